//! Property P11 over every pack: whatever row holds a figure, the verdict it leads to flips exactly at its
//! bound. The rows are found in the files themselves, so a row of a new kind fails here until it has its check.

use super::*;
use crate::rules::document::{Node, Value, parse};
use crate::rules::figure::{Figure, FigureUnit, Limit};
use crate::rules::legible::{HEIGHT_ANGLE, STROKE_ANGLE};
use crate::rules::pack::{Effect, HeightRow, When};
use crate::rules::{Ask, check_job, check_mark};
use geom::tolerance::{RULE_NOISE_DEG, RULE_NOISE_MM};
use proptest::prelude::*;

/// One figure of a pack's file.
#[derive(Debug)]
struct Row {
    /// `height`, `margin`, `stroke`.
    table: String,
    /// Which of a list, from 0.
    index: usize,
    /// `height`, `cap`, `mass`; empty where the table itself is the figure.
    key: String,
}

/// What the rows are tried with.
#[derive(Clone, Copy, Debug)]
struct Trial {
    height_mm: f64,
    /// Chord, depth and width of the body.
    size_mm: f64,
    tolerance_mm: f64,
}

/// Where a verdict must flip: from kept at `good` to broken at `bad`.
struct Flip<'p> {
    good: f64,
    bad: f64,
    at: f64,
    kept: Box<dyn Fn(f64) -> bool + 'p>,
}

fn is_figure(node: &Node) -> bool {
    matches!(&node.value, Value::Table(entries) if entries.iter().any(|entry| entry.key == "value"))
}

fn figures_below(node: &Node) -> usize {
    let own = usize::from(is_figure(node));
    own + match &node.value {
        Value::Table(entries) => entries.iter().map(|entry| figures_below(&entry.node)).sum(),
        Value::List(nodes) => nodes.iter().map(figures_below).sum(),
        _ => 0,
    }
}

/// Every figure of a file.
fn rows(text: &str) -> Vec<Row> {
    let (root, problems) = parse(text);
    assert!(problems.is_empty());
    let Value::Table(entries) = &root.value else { panic!("a file is a table") };
    let mut rows = Vec::new();
    for entry in entries {
        let row = |index, key: &str| Row { table: entry.key.clone(), index, key: key.to_owned() };
        if is_figure(&entry.node) {
            rows.push(row(0, ""));
        }
        let Value::List(items) = &entry.node.value else { continue };
        for (index, item) in items.iter().enumerate() {
            let Value::Table(keys) = &item.value else { continue };
            rows.extend(keys.iter().filter(|key| is_figure(&key.node)).map(|key| row(index, &key.key)));
        }
    }
    assert_eq!(rows.len(), figures_below(&root), "figures lie no deeper than in a row of a table");
    rows
}

/// A craft and place for which `when` surely holds.
fn craft_for(when: &When) -> (Craft, Option<String>) {
    let this_year = YEAR.unwrap();
    let known = craft(when.categories.first().copied().unwrap_or(Category::FixedWing));
    let craft = Craft {
        special: Some(when.specials.first().copied().unwrap_or(Special::None)),
        max_cruise_kt: Some(when.max_cruise.as_ref().map_or(120.0, |figure| figure.value)),
        built: Some(when.age.as_ref().map_or(2020, |figure| this_year - figure.value as i32)),
        mass_kg: Some(when.mass.as_ref().map_or(900.0, |figure| figure.value)),
        adiz: Some(when.adiz),
        ..known
    };
    (craft, when.locations.first().cloned())
}

fn size(mm: f64) -> SkinSize {
    SkinSize { chord_mm: Some(mm), depth_mm: Some(mm), across_mm: Some(mm) }
}

/// The verdict of a code about a mark of a plain text at exact proportions, after a change.
fn verdict(
    pack: &Pack,
    trial: Trial,
    text: &str,
    code: &str,
    change: impl FnOnce(&mut MarkFacts),
) -> Option<Severity> {
    let mut mark = laid(pack, text, trial.height_mm, 1.0);
    change(&mut mark);
    worst(&check_mark(pack, &craft(Category::FixedWing), YEAR, &mark, trial.tolerance_mm), code)
}

/// Flips of a verdict about one length that is asked to be `required`.
fn flips<'p>(
    figure: &Figure,
    required: f64,
    trial: Trial,
    kept: impl Fn(f64) -> bool + Clone + 'p,
) -> Vec<Flip<'p>> {
    let slack = trial.tolerance_mm + RULE_NOISE_MM;
    let low = |at: f64| Flip { good: required, bad: at - 20.0, at, kept: Box::new(kept.clone()) };
    let high = |at: f64| Flip { good: required, bad: at + 20.0, at, kept: Box::new(kept.clone()) };
    match figure.limit {
        Limit::Min | Limit::ShouldMin => vec![low(required - RULE_NOISE_MM)],
        Limit::Max => vec![high(required + RULE_NOISE_MM)],
        Limit::Exact | Limit::Should => vec![low(required - slack), high(required + slack)],
        Limit::May | Limit::None => Vec::new(),
    }
}

/// A figure that only names something never decides: nothing of its code is said, however far off.
fn silent(figure: &Figure, said: Option<Severity>) -> Vec<Flip<'static>> {
    assert_eq!((figure.limit, said), (Limit::None, None));
    Vec::new()
}

fn of_characters<'p>(pack: &'p Pack, row: &Row, trial: Trial) -> Option<Vec<Flip<'p>>> {
    let h = trial.height_mm;
    let standard = pack.width.as_ref().map(|width| width.value * h);
    let painted = standard.unwrap_or(0.6 * h);
    let length = |figure: &Figure| match figure.unit {
        FigureUnit::Height => figure.value * h,
        FigureUnit::Width => figure.value * painted,
        _ => figure.mm().unwrap(),
    };
    let passes = |verdict: Option<Severity>| verdict == Some(Severity::Pass);
    let found = match row.table.as_str() {
        "width" => {
            let figure = pack.width.as_ref()?;
            flips(figure, length(figure), trial, move |x| {
                passes(verdict(pack, trial, "ABH", "width", |m| m.characters[0].width_mm = x))
            })
        }
        "stroke" => {
            let figure = pack.stroke.as_ref()?;
            flips(figure, length(figure), trial, move |x| {
                passes(verdict(pack, trial, "ABH", "stroke", |m| {
                    m.characters[1].stroke = Some(StrokeFacts { min_mm: x, max_mm: x, median_mm: x });
                }))
            })
        }
        "gap" => {
            let figure = pack.gap.as_ref()?;
            if figure.limit == Limit::None {
                return Some(silent(figure, verdict(pack, trial, "ABH", "gap", |m| m.gaps_mm[0] = 0.0)));
            }
            flips(figure, length(figure), trial, move |x| {
                passes(verdict(pack, trial, "ABH", "gap", |m| m.gaps_mm[1] = x))
            })
        }
        "group_gap" => {
            let figure = pack.group_gap.as_ref()?;
            flips(figure, length(figure), trial, move |x| {
                passes(verdict(pack, trial, "AB 22 CD", "group-gap", |m| m.group_gaps_mm[1] = x))
            })
        }
        "hyphen_length" => {
            let figure = pack.hyphen_length.as_ref()?;
            flips(figure, length(figure), trial, move |x| {
                passes(verdict(pack, trial, "A-B", "hyphen-length", |m| m.characters[1].width_mm = x))
            })
        }
        "width_exception" => {
            let exception = &pack.width_exceptions[row.index];
            let figure = &exception.width;
            let text = exception.characters.chars().next()?.to_string();
            if figure.limit == Limit::None {
                let wide =
                    verdict(pack, trial, &text, "width-exception", |m| m.characters[0].width_mm *= 9.0);
                return Some(silent(figure, wide));
            }
            let kept = move |x: f64| {
                passes(verdict(pack, trial, &text, "width-exception", |m| m.characters[0].width_mm = x))
            };
            if figure.limit == Limit::May {
                // A permission: from the standard width to this one, the shop's tolerance beyond both ends.
                let exact = Figure { limit: Limit::Exact, ..figure.clone() };
                let mut ends = flips(&exact, standard?, trial, kept.clone());
                ends.truncate(1);
                ends.extend(flips(&exact, length(figure), trial, kept).into_iter().skip(1));
                ends
            } else {
                flips(figure, length(figure), trial, kept)
            }
        }
        "slant" => {
            let figure = pack.slant.as_ref()?;
            assert_eq!(figure.limit, Limit::Max);
            [1.0, -1.0]
                .map(|sign| Flip {
                    good: figure.value,
                    bad: figure.value + 9.0,
                    at: figure.value + RULE_NOISE_DEG,
                    kept: Box::new(move |x| {
                        passes(verdict(pack, trial, "ABH", "slant", |m| m.slant_deg = sign * x))
                    }),
                })
                .into()
        }
        _ => return None,
    };
    Some(found)
}

/// A craft and place at which just this row decides the height.
fn deciding(pack: &Pack, row: &HeightRow, size: SkinSize) -> (Craft, Option<String>) {
    use Category::{
        Airship, Balloon, Boat, FixedWing, Glider, PoweredParachute, Rotorcraft, Truck, WeightShift,
    };
    let (base, place) = craft_for(&row.when);
    let categories =
        [FixedWing, Glider, Rotorcraft, Airship, Balloon, PoweredParachute, WeightShift, Boat, Truck];
    // A row may be eased for light craft, so a heavy one is tried as well.
    for mass_kg in [base.mass_kg, Some(9000.0)] {
        for category in categories.map(Some) {
            let craft = Craft { category, mass_kg, ..base.clone() };
            let ask = Ask { craft: &craft, location: place.as_deref(), this_year: YEAR };
            if pack.least_height(ask, size).say == row.say {
                return (craft, place);
            }
        }
    }
    panic!("no craft is asked: {}", row.say)
}

fn of_heights<'p>(pack: &'p Pack, row: &Row, trial: Trial) -> Vec<Flip<'p>> {
    let height = &pack.heights[row.index];
    let skin = size(trial.size_mm);
    let share = |size: SkinSize| size.of(&height.height).unwrap();
    let cap = height.cap.as_ref().and_then(Figure::mm);
    let check_height = |size: SkinSize, required: f64| {
        let (craft, place) = deciding(pack, height, size);
        flips(&height.height, required, trial, move |x| {
            let mut mark = laid(pack, "ABH", x, 1.0);
            (mark.skin, mark.location) = (size, place.clone());
            worst(&check_mark(pack, &craft, YEAR, &mark, trial.tolerance_mm), "height")
                == Some(Severity::Pass)
        })
    };
    let decides = |known: fn(&Craft, f64) -> Craft| {
        let (craft, place) = deciding(pack, height, skin);
        move |x: f64| {
            let craft = known(&craft, x);
            let ask = Ask { craft: &craft, location: place.as_deref(), this_year: YEAR };
            pack.least_height(ask, skin).say == height.say
        }
    };
    match row.key.as_str() {
        "height" => check_height(skin, cap.map_or(share(skin), |cap| cap.min(share(skin)))),
        "cap" => {
            let cap = cap.unwrap();
            // Of a small size the share binds, of a large one the cap does, and where they meet both do.
            let meet = cap / height.height.value;
            let mut found = check_height(size(0.7 * meet), 0.7 * cap);
            found.extend(check_height(size(meet), cap));
            found.extend(check_height(size(3.0 * meet), cap));
            found
        }
        "max_cruise" => {
            limit(&height.when.max_cruise, 1.0, decides(|c, x| Craft { max_cruise_kt: Some(x), ..c.clone() }))
        }
        "mass" => limit(&height.when.mass, 1.0, decides(|c, x| Craft { mass_kg: Some(x), ..c.clone() })),
        "age" => {
            let decides = decides(|c, x| Craft { built: Some(YEAR.unwrap() - x as i32), ..c.clone() });
            years(&height.when.age, decides)
        }
        key => panic!("no check of a flip for height.{key}"),
    }
}

/// The flip of a condition on a number that is known of a craft.
fn limit<'p>(figure: &Option<Figure>, step: f64, holds: impl Fn(f64) -> bool + 'p) -> Vec<Flip<'p>> {
    let figure = figure.as_ref().unwrap();
    let bad = match figure.limit {
        Limit::Max => figure.value + step,
        Limit::Min => figure.value - step,
        other => panic!("a condition with the bound {other:?}"),
    };
    vec![Flip { good: figure.value, bad, at: figure.value, kept: Box::new(holds) }]
}

/// Years are whole: a condition on an age flips from one year to the next.
fn years<'p>(figure: &Option<Figure>, holds: impl Fn(f64) -> bool + 'p) -> Vec<Flip<'p>> {
    let figure = figure.as_ref().unwrap();
    assert_eq!(figure.limit, Limit::Min);
    assert!(holds(figure.value) && holds(figure.value + 50.0) && !holds(figure.value - 1.0) && !holds(0.0));
    Vec::new()
}

/// The shortest text of a form, with the first characters of the alphabet that may stand there.
fn sample(pattern: &crate::rules::grammar::Pattern) -> String {
    let (mut text, mut state) = (String::new(), pattern.start());
    while !pattern.ends(state) {
        let mut alphabet = ('A'..='Z').chain('0'..='9').chain(['-', ' ']);
        let next = alphabet.find(|&c| !pattern.step(state, c).dead()).unwrap();
        text.push(next);
        state = pattern.step(state, next);
    }
    text
}

fn of_forms<'p>(pack: &'p Pack, row: &Row, trial: Trial) -> Vec<Flip<'p>> {
    let form = &pack.forms[row.index];
    let (base, _) = craft_for(&form.when);
    let text = sample(&form.pattern);
    let allowed = move |known: &Craft| {
        let mark = laid(pack, &text, trial.height_mm, 1.0);
        worst(&check_mark(pack, known, YEAR, &mark, trial.tolerance_mm), "form-condition").is_none()
    };
    match row.key.as_str() {
        "mass" => limit(&form.when.mass, 1.0, move |x| allowed(&Craft { mass_kg: Some(x), ..base.clone() })),
        "age" => years(&form.when.age, move |x| {
            allowed(&Craft { built: Some(YEAR.unwrap() - x as i32), ..base.clone() })
        }),
        key => panic!("no check of a flip for form.{key}"),
    }
}

fn of_others<'p>(pack: &'p Pack, row: &Row, trial: Trial) -> Vec<Flip<'p>> {
    let plane = craft(Category::FixedWing);
    let tolerance = trial.tolerance_mm;
    match (row.table.as_str(), row.key.as_str()) {
        ("set", "mass") => {
            let set = &pack.sets[row.index];
            let (base, _) = craft_for(&set.when);
            limit(&set.when.mass, 1.0, move |x| {
                let craft = Craft { mass_kg: Some(x), ..base.clone() };
                let findings = check_job(pack, &craft, YEAR, &[], tolerance);
                findings.iter().any(|f| f.code == "marks-wanted" && f.message.contains(&set.provision.say))
            })
        }
        ("margin", "figure") => {
            let margin = &pack.margins[row.index];
            let (craft, place) = craft_for(&margin.when);
            flips(&margin.figure, margin.figure.mm().unwrap(), trial, move |x| {
                let mut mark = laid(pack, "ABH", trial.height_mm, 1.0);
                (mark.margin_mm, mark.location) = (Some(x), place.clone());
                worst(&check_mark(pack, &craft, YEAR, &mark, tolerance), "margin") == Some(Severity::Pass)
            })
        }
        ("word", "least" | "most") => {
            let word = &pack.words[row.index];
            let figure = if row.key == "least" { Some(&word.least) } else { word.most.as_ref() }.unwrap();
            flips(figure, figure.mm().unwrap(), trial, move |x| {
                let mark = MarkFacts { text: word.text.clone(), ..laid(pack, "ABH", x, 1.0) };
                worst(&check_mark(pack, &plane, YEAR, &mark, tolerance), "word") == Some(Severity::Pass)
            })
        }
        ("grandfather", "height") => {
            let old = &pack.grandfather[row.index];
            let (craft, _) = craft_for(&old.when);
            let said = move |x: f64| {
                let mark = laid(pack, "ABH", x, 1.0);
                let findings = check_mark(pack, &craft, YEAR, &mark, tolerance);
                findings.iter().any(|f| f.code == "grandfathered-lost" && f.message.contains(&old.say))
            };
            if old.height.limit == Limit::None {
                assert!(said(1.0), "whatever its size");
                return Vec::new();
            }
            flips(&old.height, old.height.mm().unwrap(), trial, said)
        }
        ("fallback", "height") => {
            let fallback = &pack.fallback[row.index];
            let figure = fallback.height.as_ref().unwrap();
            let (craft, place) = craft_for(&fallback.when);
            // So small a body that the fallback lies below every height that is asked.
            let skin = size(trial.size_mm / 20.0);
            flips(figure, skin.of(figure).unwrap(), trial, move |x| {
                let mut mark = laid(pack, "ABH", x, 1.0);
                (mark.skin, mark.location) = (skin, place.clone());
                worst(&check_mark(pack, &craft, YEAR, &mark, tolerance), "height") == Some(Severity::Caution)
            })
        }
        ("location", "vertical_below") => {
            let location = &pack.locations[row.index];
            let figure = location.vertical_below.as_ref().unwrap();
            let category = location.categories.first().copied().unwrap_or(Category::FixedWing);
            flips(figure, figure.mm().unwrap(), trial, move |x| {
                let asks = |mm: f64| HeightRow {
                    height: Figure { limit: Limit::Min, ..figure.with_mm(mm) },
                    cap: None,
                    effect: Effect::Asks,
                    when: When::default(),
                    say: "an invented height".to_owned(),
                };
                let pack = Pack { heights: vec![asks(x)], ..pack.clone() };
                let mut mark = laid(&pack, "ABH", trial.height_mm, 1.0);
                (mark.location, mark.tops, mark.side) =
                    (Some(location.id.clone()), Some(Tops::Forward), location.side);
                let findings = check_mark(&pack, &craft(category), YEAR, &mark, tolerance);
                worst(&findings, "orientation") == Some(Severity::Pass)
            })
        }
        ("performance", "figure") => {
            let distance = pack.performance[row.index].figure.mm().unwrap();
            let guide = Figure { limit: Limit::ShouldMin, ..pack.performance[row.index].figure.clone() };
            let kept = move |height: f64, stroke: f64| {
                let mut mark = laid(pack, "ABH", height, 1.0);
                mark.characters[2].stroke.as_mut().unwrap().median_mm = stroke;
                worst(&check_mark(pack, &plane, YEAR, &mark, tolerance), "legible-size")
                    == Some(Severity::Pass)
            };
            let by_stroke = kept.clone();
            let mut found = flips(&guide, distance * HEIGHT_ANGLE, trial, move |x| kept(x, 99.0));
            found.extend(flips(&guide, distance * STROKE_ANGLE, trial, move |x| by_stroke(900.0, x)));
            found
        }
        (table, key) => panic!("no check of a flip for {table}.{key}"),
    }
}

/// Where a verdict flips between two figures, to the last bit.
fn bisected(flip: &Flip<'_>) -> f64 {
    let (mut good, mut bad) = (flip.good, flip.bad);
    assert!((flip.kept)(good), "kept at {good}");
    assert!(!(flip.kept)(bad), "broken at {bad}");
    loop {
        let middle = f64::midpoint(good, bad);
        if [good, bad].map(f64::to_bits).contains(&middle.to_bits()) {
            return middle;
        }
        if (flip.kept)(middle) { good = middle } else { bad = middle }
    }
}

fn check_every_row(trial: Trial) {
    for (id, text) in builtin() {
        let pack = pack(id);
        for row in rows(text) {
            let flips = match row.table.as_str() {
                "height" => of_heights(&pack, &row, trial),
                "form" => of_forms(&pack, &row, trial),
                _ => of_characters(&pack, &row, trial).unwrap_or_else(|| of_others(&pack, &row, trial)),
            };
            for flip in flips {
                let found = bisected(&flip);
                assert!(
                    (found - flip.at).abs() <= 1e-9 * flip.at.abs().max(1.0),
                    "{id} {row:?}: flips at {found}, must at {}",
                    flip.at
                );
            }
        }
    }
}

#[test]
fn every_pack_has_figures_and_none_lies_where_it_is_not_found() {
    let counts: Vec<usize> = builtin().iter().map(|(_, text)| rows(text).len()).collect();
    assert!(counts.iter().all(|count| 0 < *count), "{counts:?}");
    assert!(60 < counts.iter().sum::<usize>(), "{counts:?}");
}

#[test]
fn a_stroke_in_millimetres_binds_whatever_the_height() {
    // The French rule for call signs on deck asks 6 cm (ship-safety division 219, annex 219-A.4).
    let mut boat = pack("us-boat-33cfr173");
    let figure = Figure {
        value: 6.0,
        unit: FigureUnit::Cm,
        limit: Limit::Min,
        basis: crate::finding::Basis::Read,
        cite: "an invented clause".to_owned(),
    };
    boat.stroke = Some(figure);
    let row = Row { table: "stroke".to_owned(), index: 0, key: String::new() };
    for height_mm in [100.0, 450.0] {
        let trial = Trial { height_mm, size_mm: 1000.0, tolerance_mm: 1.0 };
        let flips = of_characters(&boat, &row, trial).unwrap();
        assert!((bisected(&flips[0]) - 59.999).abs() < 1e-9);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn p11_every_figure_of_every_pack_flips_the_verdict_exactly_at_its_bound(
        height_mm in 60.0..900.0_f64, size_mm in 900.0..2500.0_f64, tolerance_mm in 0.0..3.0_f64,
    ) {
        check_every_row(Trial { height_mm, size_mm, tolerance_mm });
    }
}
