//! What there is to say about film: on how many panels, where they lap, what was assumed, what to mind.

use super::film::{CLEAR, LAP, STANDING, STEPS};
use super::film_check::FilmFound;
use super::film_panels::Panel;
use super::order::bounds;
use super::plan::{Kind, Mask};
use super::say::char_words;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::types::Masking;
use crate::words::{inches, length, on_flat};
use geom::boolean::intersection;
use geom::tolerance::{FLATTEN_MM, KEPT_MM, TAPE_TOUCH_MM2};
use geom::{Point, Ring};

/// Everything there is to say about one mask.
pub(super) fn film_findings(
    mark: &Placed,
    masking: &Masking,
    mask: &Mask,
    panels: &[Panel],
    found: &FilmFound,
) -> Vec<Finding> {
    let id = &mark.id;
    let Some(film) = &mask.film else { return vec![] };
    let practice = |severity, code: &'static str, words: String| {
        Finding::new(severity, code, id, words).source(Basis::Practice, "common practice, no source")
    };
    let mut out = vec![checked(mark, mask, found)];
    let taken: f64 = film.panels.iter().map(|p| p.taken).sum();
    let upright = panels.iter().filter(|p| p.upright).count();
    let way = match upright {
        0 => "along the baseline",
        n if n == panels.len() => "up the letters",
        _ => "along the baseline or up the letters, as its map says",
    };
    let widths: Vec<String> = widths(film.panels.iter().map(|p| p.film.width));
    let many = film.panels.len();
    let islands = mask.pieces.iter().filter(|p| p.island()).count();
    out.push(practice(
        Severity::Note,
        "film-panels",
        format!(
            "{} of film {} wide, {} off the roll, laid {way}{}; {islands} islands in counters ride on the application tape",
            if many == 1 { "1 panel".to_owned() } else { format!("{many} panels") },
            widths.join(" and "),
            length(taken),
            if many == 1 {
                String::new()
            } else {
                format!(", each lapping the next by {} where they meet", inches(LAP))
            },
        ),
    ));
    out.push(practice(Severity::Note, "film-order", format!("in this order: {}", STEPS.join("; "))));
    if film.standing || film.carrier.1 {
        let mut what = Vec::new();
        if film.standing {
            what.push(format!("film {} wide in rolls of 50 yd", inches(STANDING.0.width)));
        }
        if film.carrier.1 {
            what.push(format!("application tape {} wide in rolls of 100 yd", inches(STANDING.1.width)));
        }
        out.push(
            Finding::new(
                Severity::Note,
                "film-standing",
                id,
                format!("the job does not list all of its film: {} is assumed", what.join(" and ")),
            )
            .source(Basis::Memory, "standing widths: from memory")
            .hint("list yours: film = [{ width = \"24 in\" }], application_tape = { width = \"12 in\" }"),
        );
    }
    if masking.tack_tape.is_none() {
        out.push(practice(
            Severity::Caution,
            "film-no-tack-strip",
            "no tack tape is listed: the rim of the film and the edge of the paper have nothing to end on".to_owned(),
        )
        .hint("list tack_tape in [masking]: the film's rim lies on it, so that no paper lies over film"));
    }
    let parted: Vec<&Panel> = panels.iter().filter(|p| p.part.1 > 1).collect();
    if let Some(first) = parted.first() {
        out.push(
            practice(
                Severity::Caution,
                "film-through-paint",
                format!(
                    "the letters are larger than the film both ways: it is parted across them into {} rows, and each lap \
                     leaves a step in the paint edge where it bleeds",
                    first.part.1
                ),
            )
            .figures(first.film.width, Bound::Min, first.wants, "mm")
            .hint(format!(
                "film at least {} wide needs no such lap; else press it down hard and fog the base colour (or clear) along \
                 it first",
                length(first.wants)
            )),
        );
    }
    if let Some(lap) = panels.iter().map(|p| p.lap).reduce(f64::min).filter(|l| *l < LAP - KEPT_MM) {
        out.push(
            practice(
                Severity::Caution,
                "film-lap-short",
                format!("the gaps are narrow: panels lap each other by only {} there", length(lap)),
            )
            .figures(lap, Bound::Should, LAP, "mm")
            .hint("cover the lap with a strip of tape, its ends off the paint"),
        );
    }
    let together: Vec<&Panel> = panels.iter().collect();
    let joined: Vec<String> = film
        .panels
        .iter()
        .zip(&together)
        .filter(|(p, panel)| p.glyphs.len() > panel.range.len())
        .map(|(p, _)| p.glyphs.iter().map(|g| char_words(mark, *g as i32)).collect::<Vec<_>>().join(", "))
        .collect();
    if !joined.is_empty() {
        out.push(practice(
            Severity::Note,
            "film-joined",
            format!(
                "some letters stand too close for a straight cut between them and come off together: among {}",
                joined.join("; ")
            ),
        ));
    }
    out.push(
        practice(
            Severity::Caution,
            "film-relief",
            "every relief cut is a slit that paint can creep through, and ends 1/16 in off the paint, where the film tears \
             as it is pulled"
                .to_owned(),
        )
        .hint("thumb each cut down before the first fog coat; part the last bit with blunt-nosed scissors, not a blade, \
               where it will not tear; try it on a scrap"),
    );
    out
}

fn widths(all: impl Iterator<Item = f64>) -> Vec<String> {
    let mut out: Vec<f64> = all.collect();
    out.sort_by(f64::total_cmp);
    out.dedup_by(|a, b| (*a - *b).abs() < KEPT_MM);
    out.into_iter().map(inches).collect()
}

fn checked(mark: &Placed, mask: &Mask, found: &FilmFound) -> Finding {
    let count = mask.pieces.iter().filter(|p| p.kind == Kind::Film).count();
    let code = "film-covers";
    if found.good() {
        let cuts = if found.nearest_cut.is_finite() {
            format!("; no other cut comes nearer to the paint than {:.1} mm", found.nearest_cut)
        } else {
            String::new()
        };
        return Finding::new(
            Severity::Pass,
            code,
            &mark.id,
            format!(
                "{count} pieces of film leave no paint edge bare and lie on no paint, asked at {} places by another \
                 road{cuts}",
                found.asked
            ),
        );
    }
    let place = |p: &Point| format!("first {}", on_flat(*p));
    let mut words = Vec::new();
    if let Some(p) = found.bare.first() {
        words.push(format!("the paint edge is bare at {} places, {}", found.bare.len(), place(p)));
    }
    if let Some(p) = found.on_paint.first() {
        words.push(format!("film lies on paint at {} places, {}", found.on_paint.len(), place(p)));
    }
    if found.nearest_cut < CLEAR - KEPT_MM {
        words.push(format!("a cut comes to {:.2} mm from the paint", found.nearest_cut));
    }
    Finding::new(Severity::Fail, code, &mark.id, words.join("; "))
        .figures(found.nearest_cut.min(CLEAR), Bound::Min, CLEAR, "mm")
        .hint("do not cut this film; report it with the job file")
}

/// A stripe is never cut from film.
pub(super) fn stripe_taped(id: &str, taped: bool) -> Finding {
    let words =
        "a stripe's edges are taped in one run, not cut from film, which would be joined across the paint";
    let severity = if taped { Severity::Note } else { Severity::Caution };
    let finding = Finding::new(severity, "film-no-stripe", id, words)
        .source(Basis::Practice, "common practice, no source");
    if taped {
        finding
    } else {
        finding.hint("list edge_tapes in [masking]: without them the stripe has no mask")
    }
}

/// Film of one mark that lies where another is painted.
pub(super) fn over_others(masks: &[Mask], marks: &[Placed]) -> Vec<Finding> {
    let mut out = Vec::new();
    for mask in masks {
        let Some(film) = &mask.film else { continue };
        let outlines: Vec<Ring> =
            film.panels.iter().map(|p| Ring::from_points(p.outline.iter().copied())).collect();
        for other in marks.iter().filter(|m| m.id != mask.of && m.surface == mask.surface) {
            let rings: Vec<Ring> =
                other.all_rings().iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM))).collect();
            let (Some(a), Some(b)) = (bounds(&outlines), bounds(&rings)) else { continue };
            let apart = a.1.x < b.0.x || b.1.x < a.0.x || a.1.y < b.0.y || b.1.y < a.0.y;
            if apart || intersection(&outlines, &rings).iter().map(Ring::area).sum::<f64>() <= TAPE_TOUCH_MM2
            {
                continue;
            }
            out.push(
                Finding::new(
                    Severity::Caution,
                    "film-over-paint",
                    &mask.of,
                    format!("the rim of its film lies where {} is painted", other.id),
                )
                .source(Basis::Practice, "common practice, no source")
                .hint("paint one, let it dry to tape, then lay the film of the other; or trim the rim"),
            );
        }
    }
    out
}
