//! What the printed book needs and plan.json lacks: the surface and the marks in a painter's words, and every
//! measure that is taken on the skin. It shows a plan; it decides nothing.

use super::pages_mark::mark_page;
use super::pages_order::setting_out;
use super::pages_pairs::pairs;
use super::pages_parts::part_rows;
use super::pages_stripes::stripe_page;
use super::plan_file::{mm, relation_word};
use crate::Plan;
use crate::fit::given::kind_word;
use crate::fit::placed::{FeatureFit, Placed};
use crate::job::{Category, FeatureKind, Surface};
use crate::stripe::joint::is_stripe;
use crate::surface::{FlatFeature, Skin, SkinShape};
use geom::{Point, Region, Ring};
use serde_json::{Value, json};

/// Most features with a number on the wing sheet. Chosen: balloons on one rail still apart, list beside the picture.
const LISTED: usize = 15;

/// plan.json's content and the object `pages`, as JSON text.
pub fn book_data(plan: &Plan) -> String {
    let mut data: Value = serde_json::from_str(&plan.plan_json()).unwrap_or_default();
    data["pages"] = pages(plan);
    data.to_string()
}

/// The object `pages` of the book's data; lengths in mm, temperatures in C.
pub fn pages(plan: &Plan) -> Value {
    let job = &plan.job;
    let mut out = json!({
        "title": job.title,
        "rules": job.rules.as_ref().map_or(String::new(), |r| rules_words(&r.value)),
        "craft": match job.craft.category {
            Some(Category::Boat) => "boat",
            Some(Category::Truck) => "truck",
            _ => "aircraft",
        },
        "survey_error_mm": mm(job.survey_error),
        "rule_tolerance_mm": mm(job.rule_tolerance),
        "surfaces": job.surfaces.iter().zip(&plan.skins).map(|(s, skin)| surface_page(plan, s, skin)).collect::<Vec<_>>(),
        "stripes": plan.stripes.iter().filter_map(|s| stripe_page(plan, s)).collect::<Vec<_>>(),
        "pairs": pairs(plan),
        "marks": plan.marks.iter().zip(plan.names()).filter_map(|(m, called)| mark_page(plan, m, called)).collect::<Vec<_>>(),
    });
    if let Some(c) = &job.conditions {
        let mut said = serde_json::Map::new();
        for (key, value) in [("air_c", c.air_c), ("surface_c", c.surface_c), ("humidity", c.humidity)] {
            if let Some(value) = value {
                said.insert(key.into(), json!(value));
            }
        }
        out["conditions"] = Value::Object(said);
    }
    if let Some(gun) = &job.gun {
        out["gun"] = json!({"fan_mm": mm(gun.fan), "overlap_percent": (gun.overlap * 100.0).round(), "speed_mm": mm(gun.speed)});
    }
    if let Some(masking) = &job.masking {
        out["masking"] = json!({
            "overlap_mm": mm(masking.overlap), "tab_mm": mm(masking.tab),
            "dwell_h": (masking.edge_dwell / 6.0).round() / 10.0,
        });
    }
    if job.paints.iter().any(|p| p.isocyanate) {
        out["isocyanate"] = json!(true);
    }
    out
}

/// A pack of ours by its title; any other by the name the job gives it.
fn rules_words(named: &str) -> String {
    crate::rules::builtin()
        .iter()
        .find(|(id, _)| *id == named)
        .and_then(|(id, text)| crate::rules::Pack::read(id, text).ok())
        .map_or_else(|| named.to_owned(), |pack| format!("{} ({named})", pack.title))
}

fn surface_page(plan: &Plan, surface: &Surface, skin: &Skin) -> Value {
    let marks: Vec<&Placed> = plan.marks.iter().filter(|m| m.surface == skin.id).collect();
    let stripes = plan.stripes.iter().filter(|s| s.surface == skin.id).map(|s| &s.painted);
    let painted: Vec<&Placed> = marks.iter().copied().chain(stripes).collect();
    let features: Vec<Value> =
        skin.features.iter().enumerate().map(|(k, f)| feature_row(k + 1, f, skin, &painted)).collect();
    let ports: Vec<Value> = skin
        .features
        .iter()
        .filter(|f| FeatureKind::OPENINGS.contains(&f.kind))
        .map(|f| json!({"id": f.id, "kind": kind_word(f.kind)}))
        .collect();
    let windows: Vec<&str> =
        skin.features.iter().filter(|f| f.kind == FeatureKind::Window).map(|f| f.id.as_str()).collect();
    let [_, strain_name, strain_says] = super::layout_strain::words(skin);
    json!({
        "id": skin.id,
        "words": surface.in_words(),
        "wing": matches!(skin.shape, SkinShape::Wing(_)),
        "panel": surface.panel.clone().unwrap_or_default(),
        "zero": zero_words(skin),
        "stand": stand_words(skin, marks.iter().any(|m| m.angle.cos() < 0.0)),
        "strain": json!({"name": strain_name, "says": strain_says}),
        "features": features,
        "listed": listed(skin, &painted),
        "ports": ports,
        "windows": windows,
        "parts": part_rows(plan, surface, skin),
        "order": setting_out(plan, skin, &marks),
    })
}

/// Where all measures start.
fn zero_words(skin: &Skin) -> &'static str {
    match &skin.shape {
        SkinShape::Wing(_) => {
            "Zero is the ring in the picture: the leading edge at the root rib. Lay the tape along the skin, not across it."
        }
        SkinShape::Body(_) | SkinShape::Chart(_) | SkinShape::Strip(_) => {
            "Zero is the ring in the picture: station 0 at the waterline. Girth is read with a tape laid round the skin."
        }
        SkinShape::Scan(_) => {
            "Each mark is read from its own middle, along its baseline and up, with a tape on the skin."
        }
        SkinShape::Flat => "Zero is the ring in the picture: the datum corner of the panel.",
    }
}

/// Where the painter stands so that the letters read upright.
pub(super) fn stand_words(skin: &Skin, turned: bool) -> &'static str {
    match &skin.shape {
        SkinShape::Wing(_) if turned => "You stand before the leading edge.",
        SkinShape::Wing(_) => "You stand behind the trailing edge.",
        SkinShape::Flat => "You stand facing the panel.",
        _ => "You stand facing the skin.",
    }
}

/// Which features the wing sheet numbers and lists: all, or the most that still reads, those nearest to paint
/// first; in the job's order.
pub(super) fn listed(skin: &Skin, marks: &[&Placed]) -> Vec<usize> {
    let clearance = |k: usize| worst(marks, &skin.features[k].id).map_or(f64::INFINITY, |(_, f)| f.clearance);
    // Of what lies on a scan only what is on a mark's own sheet has figures.
    let whole = !matches!(skin.shape, SkinShape::Scan(_));
    let mut order: Vec<usize> = (0..skin.features.len())
        .filter(|k| whole || from_mark(&skin.features[*k].id, marks).is_some())
        .collect();
    order.sort_by(|a, b| clearance(*a).total_cmp(&clearance(*b)));
    order.truncate(LISTED);
    order.sort_unstable();
    order
}

fn feature_row(number: usize, feature: &FlatFeature, skin: &Skin, marks: &[&Placed]) -> Value {
    let scanned = matches!(skin.shape, SkinShape::Scan(_)).then(|| from_mark(&feature.id, marks)).flatten();
    let [s, t] = scanned.unwrap_or_else(|| skin.skin_from_flat(middle(&feature.region)));
    let fit = worst(marks, &feature.id);
    let mut row = json!({
        "n": number,
        "id": feature.id,
        "kind": kind_word(feature.kind),
        "at_mm": [mm(s), mm(t)],
        "removable": feature.removable,
        "relation": fit.map_or("", |(_, f)| relation_word(f.relation)),
    });
    if let Some((of, fit)) = fit {
        row["spare"] = spare(fit);
        // The sheet stands under the marks: a stripe that lies worse is named.
        row["of"] = json!(if is_stripe(of) { of.id.as_str() } else { "" });
    }
    row
}

/// On a scan: where a feature lies from the middle of the first mark whose sheet holds it, along the baseline and up; of a
/// line the spot that is nearest to paint.
fn from_mark(id: &str, marks: &[&Placed]) -> Option<[f64; 2]> {
    marks.iter().filter(|m| m.charts.is_some()).find_map(|m| {
        let sheet = &m.charts.as_ref()?.sheet;
        let feature = sheet.features.iter().find(|f| f.id == id)?;
        let near = m.fit.features.iter().find(|f| f.id == id).and_then(|f| f.touch);
        let at = match (&feature.region, near) {
            (Region::Band { .. }, Some([_, rim])) => rim,
            (region, _) => middle(region),
        };
        Some(sheet.skin_from_flat(at))
    })
}

/// The one that lies worst to a feature.
fn worst<'a>(marks: &[&'a Placed], id: &str) -> Option<(&'a Placed, &'a FeatureFit)> {
    crate::fit::placed::worst(marks.iter().copied(), id)
}

/// How much there is to spare: a length, what is lacking, or words where nothing is asked.
pub(super) fn spare(fit: &FeatureFit) -> Value {
    match (fit.short(), fit.asks_none()) {
        (Some(lacking), _) => json!({"short_mm": mm(lacking)}),
        (None, Some(words)) => json!({"words": words}),
        (None, None) => json!({"clear_mm": mm(fit.clearance.max(0.0))}),
    }
}

/// The middle of a disc or an area; of a line the point of it half its length along.
pub(super) fn middle(region: &Region) -> Point {
    match region {
        Region::Disc { centre, .. } => *centre,
        Region::Area { rings } => {
            rings.first().and_then(Ring::bounds).map_or(Point::ZERO, |(lo, hi)| lo.midpoint(hi))
        }
        Region::Band { path, .. } => {
            let half = path.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>() / 2.0;
            let mut left = half;
            for w in path.windows(2) {
                let long = w[0].distance(w[1]);
                if left <= long && long > 0.0 {
                    return w[0].lerp(w[1], left / long);
                }
                left -= long;
            }
            path.last().copied().unwrap_or_default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::placed::Relation;
    use crate::job::{Attachments, read};

    const PANEL: &str = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[0, 0], [120, 0], \
                         [120, 40], [0, 40]]\n[[surface.feature]]\nid = \"joint\"\nkind = \"seam\"\npath = [[50, 0], [50, \
                         40]]\n[[surface.feature]]\nid = \"port\"\nkind = \"port\"\nat = [30, 10]\ndiameter = 1\nclearance = \
                         2\n[[mark]]\nid = \"name\"\nsurface = \"s\"\ntext = \"TI\"\nheight = 6\nplace = { at = [80, 30] \
                         }\n[[stripe]]\nid = \"bar\"\nsurface = \"s\"\nalong = { waterline = 13, from = 5, to = 115 }\nwidth = \
                         4\n";

    /// A stripe may run over a seam: the sheet of the mark says so and whose it is, and no sign of a fault stands there.
    /// The edge of the stripe at 11 in is 1/2 in over the rim of the port, which asks 2: 1 1/2 in lack.
    #[test]
    fn a_seam_a_stripe_may_cross_is_no_fault_and_a_wall_that_is_not_kept_is() {
        let plan = crate::run(&read(PANEL).unwrap(), &Attachments::default()).unwrap();
        let rows = pages(&plan)["surfaces"][0]["features"].clone();
        assert_eq!(rows[0]["spare"], json!({"words": "as allowed"}), "{rows}");
        assert_eq!(rows[0]["of"], "bar");
        assert_eq!(rows[1]["spare"], json!({"short_mm": 38.1}), "{rows}");
        let marks = &pages(&plan)["marks"][0]["fits"];
        assert_eq!(marks[0]["spare"], json!({"words": "asks nothing"}), "{marks}");
        assert!(marks[1]["spare"]["clear_mm"].as_f64().unwrap() > 900.0, "{marks}");
    }

    /// A fault stands before what is merely crossed.
    #[test]
    fn a_wall_that_is_not_kept_is_worse_than_a_crossing_that_is_allowed() {
        let plan = crate::run(&read(PANEL).unwrap(), &Attachments::default()).unwrap();
        let mut near = plan.marks[0].clone();
        let mut far = plan.stripes[0].painted.clone();
        for (placed, relation, clearance, wall) in
            [(&mut near, Relation::Clear, -1.0, true), (&mut far, Relation::Crossed, -9.0, false)]
        {
            let fit = &mut placed.fit.features[0];
            (fit.relation, fit.clearance, fit.wall) = (relation, clearance, wall);
        }
        let (of, fit) = worst(&[&far, &near], "joint").unwrap();
        assert_eq!((of.id.as_str(), fit.short()), ("name", Some(1.0)));
    }

    /// Of a bent line the middle lies on it: a quarter of a circle round zero, at 45 degrees.
    #[test]
    fn the_middle_of_a_bent_line_lies_on_it() {
        let path = (0..=90)
            .map(|d| Point::ZERO + geom::Vec2::from_angle(f64::from(d).to_radians()) * 100.0)
            .collect();
        let at = middle(&Region::Band { path, width: 1.0 });
        assert!((at.to_vec2().hypot() - 100.0).abs() < 0.01 && (at.x - at.y).abs() < 0.01, "{at:?}");
    }
}
