//! What the book says of a stripe: the table of its edges, where parts are ticked, how its tape lies.

use super::patterns_stripe::patterned;
use super::plan_file::mm;
use super::plan_stripes::runs;
use super::stripe_parts::{ROUND_EDGE, shares, stretches};
use crate::Plan;
use crate::job::StripeEnd;
use crate::stripe::Laid;
use crate::stripe::stations::What;
use crate::stripe::tape::Lies;
use crate::surface::{Skin, SkinShape};
use crate::words::length;
use serde_json::{Value, json};

/// Lengths that differ by less than this, mm (1/64 in), are one on the tape.
const READS_ALIKE: f64 = 25.4 / 64.0;

/// The object of one stripe; `None` if its skin is not there.
pub(super) fn stripe_page(plan: &Plan, stripe: &Laid) -> Option<Value> {
    let (surface, skin) =
        plan.job.surfaces.iter().zip(&plan.skins).find(|(_, skin)| skin.id == stripe.surface)?;
    let (paint, over) = plan.job.painted_with(&stripe.id).unwrap_or_default();
    let steep = !stripe.heights.is_empty();
    let rows: Vec<Value> = if steep { &stripe.heights } else { &stripe.stations }
        .iter()
        .map(|r| {
            let told = match r.what {
                What::Edges => "",
                What::Corner => "corner of the end",
                What::Tip => "tip",
            };
            json!({
                "s_mm": mm(r.s), "lower_mm": mm(r.lower), "upper_mm": mm(r.upper), "wide_mm": mm(r.upper - r.lower),
                "told": told,
            })
        })
        .collect();
    let ticks: Vec<Value> = stripe
        .ticks
        .iter()
        .map(|t| json!({"part": t.part, "s_mm": mm(t.skin[0]), "t_mm": mm(t.skin[1])}))
        .collect();
    let runs: Vec<Value> = runs(plan, stripe)
        .unwrap_or_default()
        .into_iter()
        .filter(|r| r.kind != "layout")
        .map(|r| {
            let [from, to] = r.ends;
            json!({
                "piece": r.piece, "kind": r.kind, "tape_mm": mm(r.width), "long_mm": mm(r.length),
                "from_s_mm": mm(from[0]), "from_t_mm": mm(from[1]), "to_s_mm": mm(to[0]), "to_t_mm": mm(to[1]),
            })
        })
        .collect();
    let parted: Vec<Value> = stretches(plan, stripe)
        .into_iter()
        .map(|s| {
            let on = if s.part.is_empty() { "the rest of the skin" } else { s.part.as_str() };
            json!({"piece": s.piece, "on": on, "from_mm": s.from_skin_mm[0], "to_mm": s.to_skin_mm[0], "cut_mm": s.cut_length_mm})
        })
        .collect();
    let painted_on: Vec<Value> =
        shares(plan, stripe).into_iter().map(|s| json!({"part": s.part, "area_m2": s.area_m2})).collect();
    let tape = &stripe.tape;
    let lies = match tape.lies {
        Lies::Flat => "falls into every bend by itself",
        Lies::Steered => "must be steered by hand in its bends",
        Lies::Lifts => "would lift in its bends",
    };
    let (zero, edges) = if steep { steep_words(skin) } else { zero_words(stripe, skin) };
    Some(json!({
        "id": stripe.id,
        "surface": stripe.surface,
        "surface_words": surface.in_words(),
        "paint": paint,
        "over": over,
        "length_mm": mm(stripe.length),
        "width_mm": mm(stripe.width),
        "ends": [end_words(stripe, 0), end_words(stripe, 1)],
        "ends_long": ends_long(plan, stripe),
        "rows": rows,
        "steep": steep,
        "zero": format!("{zero}{}", datum_words(skin)),
        "lower_words": edges[0],
        "upper_words": edges[1],
        "ticks": ticks,
        "runs": runs,
        "second": second_words(skin),
        "parted": parted,
        "painted_on": painted_on,
        "round_edge_mm": ROUND_EDGE,
        // An end cut square is struck from the table and needs no pattern.
        "pattern": (0..2).any(|k| patterned(stripe, k)),
        "tape_told": tape.width > 0.0,
        "tape_mm": mm(tape.width),
        "tape_words": lies,
        "strain_percent": (tape.strain * 1000.0).round() / 10.0,
        "working_percent": if tape.working.is_finite() { json!((tape.working * 1000.0).round() / 10.0) } else { Value::Null },
    }))
}

/// How long a point or a swallowtail is at each end; and what was asked, where a point begins at a corner of its line.
fn ends_long(plan: &Plan, stripe: &Laid) -> Vec<Value> {
    let own = plan.job.stripes.iter().find(|s| s.id == stripe.id);
    let of = own.and_then(|s| s.mirror_of.as_ref());
    let asked = of.and_then(|of| plan.job.stripes.iter().find(|s| s.id == of.value)).or(own);
    let asked = asked.and_then(|s| s.end_length);
    let one = |k: usize| {
        let long = stripe.shape.long[k];
        let mut said = json!({"long_mm": mm(long), "told": long > 0.0});
        if let Some(asked) = asked.map(|a| a[k]).filter(|a| READS_ALIKE < (a - long).abs()) {
            said["asked_mm"] = json!(mm(asked));
        }
        said
    };
    vec![one(0), one(1)]
}

/// Where stations and edges are read from, and what the two edges are called.
fn zero_words(stripe: &Laid, skin: &Skin) -> (&'static str, [&'static str; 2]) {
    let level = ["lower edge", "upper edge"];
    match &skin.shape {
        SkinShape::Wing(_) => (
            "Stations out from the root rib, square to it; the two edges down the skin from the leading edge.",
            ["leading side", "trailing side"],
        ),
        SkinShape::Body(_) => (
            "Stations from the datum, straight along the body and not along its skin (a square off a string, or a plumb line, \
             carries them over); the two edges up from the waterline, a tape laid round the skin at the station.",
            level,
        ),
        SkinShape::Scan(scan) if scan.axes().is_some() => (
            "Stations aft from the datum; the two edges by their heights over it: set the craft level, and carry the height \
             over with a level or a square.",
            level,
        ),
        SkinShape::Scan(_) if stripe.painted.charts.is_some() => (
            "Stations along the middle from the start of the stripe, the two edges square off it to the left (below \
             zero: to the right), a tape laid on the skin.",
            ["right edge", "left edge"],
        ),
        _ => ("Stations from the datum corner to the right; the two edges up from the datum corner.", level),
    }
}

/// Where on the craft the datum of a scan is found: a scan's own zero is a point in space that nobody can put a finger on.
fn datum_words(skin: &Skin) -> String {
    let SkinShape::Scan(scan) = &skin.shape else { return String::new() };
    let Some(axes) = scan.axes() else { return String::new() };
    let least = scan.mesh().points().iter().map(|p| axes.read(*p)).reduce(|a, b| a.min(b));
    least.map_or_else(String::new, |least| {
        format!(
            " To find the datum: the foremost spot of the skin is at station {}, its lowest at height {}.",
            length(least.x),
            length(least.z)
        )
    })
}

/// The same for a steep stripe, whose rows go by height.
fn steep_words(skin: &Skin) -> (&'static str, [&'static str; 2]) {
    let sides = ["nearer edge", "farther edge"];
    match &skin.shape {
        SkinShape::Wing(_) => (
            "Down the skin from the leading edge; the two edges by their stations out from the root rib, square to it.",
            sides,
        ),
        SkinShape::Body(_) => (
            "Up from the waterline, a tape laid round the skin; the two edges by their stations from the datum, straight along \
             the body and not along its skin (a square off a string, or a plumb line, carries them over).",
            sides,
        ),
        SkinShape::Scan(_) => (
            "Heights over the datum, the craft set level; the two edges by their stations aft from it.",
            sides,
        ),
        _ => ("Up from the datum corner; the two edges by their stations, from it to the right.", sides),
    }
}

/// What the second number of a reading is called.
pub(super) fn second_words(skin: &Skin) -> &'static str {
    match &skin.shape {
        SkinShape::Scan(scan) if scan.axes().is_some() => "height",
        SkinShape::Scan(_) => "left of the middle",
        SkinShape::Strip(strip) if strip.scan().is_some() && strip.reads_along() => "left of the middle",
        SkinShape::Strip(strip) if strip.scan().is_some() => "height",
        SkinShape::Wing(_) => "from leading edge",
        SkinShape::Flat => "up",
        SkinShape::Body(_) | SkinShape::Strip(_) | SkinShape::Chart(_) => "girth",
    }
}

fn end_words(stripe: &Laid, k: usize) -> &'static str {
    match stripe.shape.ends[k] {
        StripeEnd::Square => "square",
        StripeEnd::Round => "round",
        StripeEnd::Point => "point",
        StripeEnd::Swallowtail => "swallowtail",
        StripeEnd::Mitre => "mitred",
        StripeEnd::Butt => "butted",
    }
}
