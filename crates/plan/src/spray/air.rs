//! Air and surface judged: dew point, the margin over it, humidity, warmth; and how times change with warmth.
//!
//! Only the dew margin is a wall. The paint's data sheet comes before every limit here.

use super::clock::{span_words, time};
use super::figures::{Figure, Figures};
use super::psychro::dew_point_c;
use super::warmth::minutes;
use crate::finding::{Bound, Finding, Severity};
use crate::job::{Conditions, Job, TimeAt};

/// The air as judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Dew point, C.
    pub dew_point_c: f64,
    /// How far the surface stands above it, C.
    pub margin_c: f64,
    /// The worst of all that is said of it.
    pub verdict: Severity,
}

/// The temperature that times are scaled to: the air of the shop, or its surface if the air is not known.
pub fn shop_c(job: &Job) -> Option<f64> {
    job.conditions.as_ref().and_then(|c| c.air_c.or(c.surface_c))
}

/// What the conditions come to; `None` without air, surface and humidity, now or in the forecast.
pub fn judge(job: &Job, limits: &Figures) -> (Option<Air>, Vec<Finding>) {
    let Some(c) = &job.conditions else { return (None, vec![]) };
    let mut findings = Vec::new();
    let now = now(c);
    if let Some(at) = now {
        findings.extend(figures_of(at, "", limits));
    }
    let hours: Vec<(u16, [f64; 3])> = c.forecast.iter().map(|f| (f.0, [f.1, f.2, f.3])).collect();
    let worst = hours.iter().min_by(|a, b| margin(a.1).total_cmp(&margin(b.1)));
    if let Some((minute, at)) = worst {
        let when = format!(" at {}", time(i64::from(*minute)));
        let said = figures_of(*at, &when, limits);
        if said.iter().all(|f| f.severity <= Severity::Note) {
            findings.push(
                Finding::new(
                    Severity::Note,
                    "worst-hour",
                    "",
                    format!(
                        "the worst hour of the forecast is {}: the surface stands {} over the dew point",
                        time(i64::from(*minute)),
                        degrees(margin(*at))
                    ),
                )
                .figures(margin(*at), Bound::Min, limits.value("dew-margin"), "C"),
            );
        }
        findings.extend(said);
    }
    findings.extend(changes(job, limits));
    let Some(at) = now.or(worst.map(|w| w.1)) else { return (None, findings) };
    let verdict = findings.iter().map(|f| f.severity).max().unwrap_or(Severity::Pass).max(Severity::Pass);
    (Some(Air { dew_point_c: dew_point_c(at[0], at[2]), margin_c: margin(at), verdict }), findings)
}

/// Air, surface, humidity as they are now.
fn now(c: &Conditions) -> Option<[f64; 3]> {
    Some([c.air_c?, c.surface_c?, c.humidity?])
}

/// Surface over dew point, C.
fn margin([air, surface, humidity]: [f64; 3]) -> f64 {
    surface - dew_point_c(air, humidity)
}

/// `9.3 C (48.7 F)`.
pub fn celsius(c: f64) -> String {
    format!("{:.1} C ({:.1} F)", c + 0.0, c * 1.8 + 32.0)
}

/// A difference of temperature: `6.1 C (11 F)`.
fn degrees(c: f64) -> String {
    format!("{:.1} C ({:.1} F)", c + 0.0, c * 1.8)
}

fn figures_of(at: [f64; 3], when: &str, limits: &Figures) -> Vec<Finding> {
    let [air, surface, humidity] = at;
    let data_sheet = "the paint's data sheet comes first; where it allows this, it may be";
    let dew = limits.get("dew-margin");
    let over = margin(at);
    let kept = over >= dew.value - geom::tolerance::NOISE_UNIT;
    let mut findings = vec![
        Finding::new(
            if kept { Severity::Pass } else { Severity::Fail },
            "dew-point",
            "",
            format!(
                "the surface{when} at {} stands {} over the dew point of {}, at least {} asked",
                celsius(surface),
                degrees(over),
                celsius(dew_point_c(air, humidity)),
                degrees(dew.value)
            ),
        )
        .figures(over, Bound::Min, dew.value, "C")
        .source(dew.basis, dew.cite.clone())
        .hint(if kept {
            ""
        } else {
            "warm the surface, dry the air or wait: water would lie under the paint"
        }),
    ];
    let mut beyond =
        |limit: &Figure, measured: f64, words: String, severity: Severity, unit: &'static str| {
            let out = match limit.id.rsplit_once('-').map(|x| x.1) {
                Some("most") => measured > limit.value,
                _ => measured < limit.value,
            };
            if out {
                findings.push(
                    Finding::new(severity, code(&limit.id), "", words)
                        .figures(measured, limit.bound, limit.value, unit)
                        .source(limit.basis, limit.cite.clone())
                        .hint(data_sheet),
                );
            }
            out
        };
    let percent = |id: &str| format!("{:.0} %", limits.value(id));
    if !beyond(
        limits.get("humidity-most"),
        humidity,
        format!("humidity{when} is {humidity:.0} %, over {}: paint may blush", percent("humidity-most")),
        Severity::Caution,
        "%",
    ) {
        for id in ["humidity-usual-most", "humidity-usual-least"] {
            beyond(
                limits.get(id),
                humidity,
                format!(
                    "humidity{when} is {humidity:.0} %, usual is {} to {}",
                    percent("humidity-usual-least"),
                    percent("humidity-usual-most")
                ),
                Severity::Note,
                "%",
            );
        }
    }
    for (id, what, measured) in [
        ("surface-least", "the surface", surface),
        ("air-least", "the air", air),
        ("air-most", "the air", air),
    ] {
        let side = if id.ends_with("most") { "warmer" } else { "colder" };
        beyond(
            limits.get(id),
            measured,
            format!("{what}{when} is {}, {side} than {}", celsius(measured), celsius(limits.value(id))),
            Severity::Caution,
            "C",
        );
    }
    beyond(
        limits.get("tape-least"),
        surface,
        format!("tape{when} grips badly on a surface of {}", celsius(surface)),
        Severity::Caution,
        "C",
    );
    findings
}

fn code(id: &str) -> &'static str {
    match id {
        "humidity-most" | "humidity-usual-most" | "humidity-usual-least" => "humidity",
        "surface-least" => "surface-cold",
        "air-least" => "air-cold",
        "air-most" => "air-warm",
        _ => "tape-cold",
    }
}

/// Times scaled far beyond what they are stated for, and what becomes of them if it warms or cools by 5 C.
fn changes(job: &Job, limits: &Figures) -> Vec<Finding> {
    let shop = shop_c(job);
    let mut findings = Vec::new();
    for paint in &job.paints {
        let times = [("pot life", paint.pot_life), ("dry to tape", paint.dry_to_tape)];
        let scaled: Vec<(&str, TimeAt)> =
            times.into_iter().filter_map(|(w, t)| Some((w, t?))).filter(|t| t.1.at_c.is_some()).collect();
        match shop {
            Some(now) if !scaled.is_empty() => {
                let at = |c: f64| {
                    let words: Vec<String> = scaled
                        .iter()
                        .map(|(what, t)| format!("{what} {}", span_words(minutes(*t, Some(c)).round() as i64)))
                        .collect();
                    words.join(", ")
                };
                findings.push(
                    Finding::new(
                        Severity::Note,
                        "warmth",
                        &paint.id,
                        format!(
                            "at {} {}; 5 C colder {}; 5 C warmer {}",
                            celsius(now),
                            at(now),
                            at(now - 5.0),
                            at(now + 5.0)
                        ),
                    )
                    .source(crate::finding::Basis::Read, "UFGS 09 97 para 3.7.1.3: doubles per 10 C colder"),
                );
                let most = limits.get("scaled-most");
                let far = scaled.iter().filter_map(|t| t.1.at_c).map(|at| (at - now).abs()).fold(0.0, f64::max);
                if far > most.value {
                    findings.push(
                        Finding::new(
                            Severity::Caution,
                            "beyond-sheet",
                            &paint.id,
                            format!("times are scaled by {far:.0} C from what they are stated for"),
                        )
                        .figures(far, Bound::Max, most.value, "C")
                        .source(most.basis, most.cite.clone())
                        .hint("ask the data sheet for this temperature, or bring the shop nearer to it"),
                    );
                }
            }
            None if !scaled.is_empty() => findings.push(
                Finding::new(
                    Severity::Caution,
                    "no-temperature",
                    &paint.id,
                    "the shop's temperature is not known: times are taken as if it were the one they are stated for",
                )
                .hint("set `air` in [conditions]"),
            ),
            _ => {}
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(air: &str, surface: &str, humidity: f64) -> Job {
        let text = format!(
            "title = \"t\"\n[conditions]\nair = \"{air}\"\nsurface = \"{surface}\"\nhumidity = {humidity}\n"
        );
        crate::job::read(&text).unwrap()
    }

    fn limits() -> Figures {
        Figures::own(super::super::LIMITS)
    }

    /// Check 26: a published chart's example: 70 F, 65 %: refused at 61 F, allowed at 63 F.
    #[test]
    fn five_fahrenheit_over_the_dew_point_is_a_wall() {
        let (air, found) = judge(&job("70 F", "61 F", 65.0), &limits());
        assert_eq!(air.unwrap().verdict, Severity::Fail);
        assert!(found.iter().any(|f| f.code == "dew-point" && f.severity == Severity::Fail));
        assert_eq!(judge(&job("70 F", "63 F", 65.0), &limits()).0.unwrap().verdict, Severity::Pass);
    }

    /// The verdict flips at 2.78 C and nowhere else.
    #[test]
    fn the_wall_stands_at_its_figure() {
        let dew = dew_point_c(25.0, 60.0);
        for (over, severity) in [(2.779, Severity::Fail), (2.781, Severity::Pass)] {
            let found = figures_of([25.0, dew + over, 60.0], "", &limits());
            assert_eq!(found[0].severity, severity, "{over}");
        }
    }

    #[test]
    fn the_worst_hour_of_a_forecast_is_named() {
        let text = "title = \"t\"\n[conditions]\nair = \"72 F\"\nsurface = \"71 F\"\nhumidity = 45\n\
            forecast = [{ at = \"08:00\", air = \"64 F\", surface = \"55 F\", humidity = 78 }, \
            { at = \"12:00\", air = \"70 F\", surface = \"70 F\", humidity = 50 }]\n";
        let (air, found) = judge(&crate::job::read(text).unwrap(), &limits());
        assert_eq!(air.unwrap().verdict, Severity::Fail);
        assert!(found.iter().any(|f| f.severity == Severity::Fail && f.message.contains("at 08:00")));
    }

    #[test]
    fn without_figures_nothing_is_judged() {
        let job = crate::job::read("title = \"t\"\n[conditions]\nair = \"72 F\"\n").unwrap();
        assert_eq!(judge(&job, &limits()), (None, vec![]));
    }
}
