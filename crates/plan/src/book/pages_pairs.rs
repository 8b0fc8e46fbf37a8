//! What stands on two sides alike or mirrored, so that the inspection holds one side against the other: nobody sees a
//! stripe an inch low until he looks at the nose from ahead.

use super::plan_file::mm;
use crate::Plan;
use crate::job::{Side, Surface, SurfaceShape};
use crate::stripe::Laid;
use crate::stripe::stations::What;
use serde_json::{Value, json};
use std::mem::discriminant;

/// Most stations at which the edges of two stripes are held against one another. chosen: ends and two between.
const MOST: usize = 4;

/// One object a pair: what it is called, its two sides, and for stripes the stations both are read at.
pub(super) fn pairs(plan: &Plan) -> Vec<Value> {
    let job = &plan.job;
    let surface = |id: &str| job.surfaces.iter().find(|s| s.id == id);
    let mut out = Vec::new();
    for (k, first) in plan.marks.iter().enumerate() {
        // Each is held against the next of its kind: three are two pairs.
        let Some(other) = plan.marks[k + 1..].iter().find(|o| {
            let grouped = job.alike.iter().any(|g| g.contains(&first.id) && g.contains(&o.id));
            // The same name on a wing and on a fuselage is no pair.
            let mirrored = || {
                let (a, b) = (surface(&first.surface)?, surface(&o.surface)?);
                let kinds = discriminant(&a.shape.value) == discriminant(&b.shape.value);
                Some(
                    kinds
                        && matches!(
                            sides(a, b).each_ref().map(String::as_str),
                            ["left", "right"] | ["right", "left"]
                        ),
                )
            };
            let alike = || o.text == first.text && mirrored() == Some(true);
            o.surface != first.surface && (grouped || alike())
        }) else {
            continue;
        };
        let (Some(a), Some(b)) = (surface(&first.surface), surface(&other.surface)) else { continue };
        let name = if first.text == other.text {
            first.text.clone()
        } else {
            format!("{} and {}", first.text, other.text)
        };
        out.push(
            json!({"kind": "mark", "of": first.id, "name": name, "sides": sides(a, b), "steep": false, "stations_mm": [], "there_mm": []}),
        );
    }
    for own in &plan.stripes {
        let of = job.stripes.iter().find(|s| s.id == own.id).and_then(|s| s.mirror_of.as_ref());
        let Some(of) = of.and_then(|of| plan.stripes.iter().find(|s| s.id == of.value)) else { continue };
        let (Some(a), Some(b)) = (surface(&of.surface), surface(&own.surface)) else { continue };
        let steep = !of.heights.is_empty();
        let rows = if steep { &of.heights } else { &of.stations };
        // A tip has one edge only.
        let both: Vec<f64> = rows.iter().filter(|r| r.what == What::Edges).map(|r| r.s).collect();
        let on = |laid: &Laid, p: geom::Point| {
            let skin = plan.skins.iter().find(|s| s.id == laid.surface);
            skin.map_or(p.x, |s| s.skin_from_flat(p)[usize::from(steep)])
        };
        // On a flat panel stations run to the right on either side: the same place has two.
        let ends = |laid: &Laid| [&laid.middle[0], &laid.middle[laid.middle.len() - 1]].map(|p| on(laid, *p));
        let ([a0, a1], [b0, b1]) = (ends(of), ends(own));
        let there = |s: f64| if steep { s } else { b0 + (s - a0) * (b1 - b0) / (a1 - a0) };
        let stations = spread(&both);
        out.push(json!({
            "kind": "stripe", "of": of.id, "name": format!("{} and {}", of.id, own.id), "sides": sides(a, b),
            "steep": steep, "stations_mm": stations.iter().map(|s| mm(*s)).collect::<Vec<_>>(),
            "there_mm": stations.iter().map(|s| mm(there(*s))).collect::<Vec<_>>(),
        }));
    }
    out
}

/// First and last of them and as many between as go in.
fn spread(all: &[f64]) -> Vec<f64> {
    let most = MOST.min(all.len());
    (0..most).map(|k| if most < 2 { all[k] } else { all[k * (all.len() - 1) / (most - 1)] }).collect()
}

/// What the two sides are called: left and right where they are, else by their surfaces.
fn sides(a: &Surface, b: &Surface) -> [String; 2] {
    let word = |s: &Surface| match (&s.shape.value, s.side) {
        (SurfaceShape::Wing(wing), _) => Some(if wing.right { "right" } else { "left" }),
        (_, Some(Side::Left)) => Some("left"),
        (_, Some(Side::Right)) => Some("right"),
        (_, Some(Side::Upper)) => Some("upper"),
        (_, Some(Side::Lower)) => Some("lower"),
        (_, None) => None,
    };
    match (word(a), word(b)) {
        (Some(one), Some(other)) if one != other => [one.to_owned(), other.to_owned()],
        _ => [a.id.clone(), b.id.clone()],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Attachments, read};

    const TWO: &str = "title = \"t\"\nunits = \"in\"\nalike = [[\"one\", \"other\"]]\n\
         [[surface]]\nid = \"port-panel\"\nkind = \"flat\"\nside = \"left\"\ncorners = [[0, 0], [120, 0], [120, 40], [0, 40]]\n\
         [[surface]]\nid = \"far-panel\"\nkind = \"flat\"\nside = \"right\"\ncorners = [[0, 0], [120, 0], [120, 40], [0, 40]]\n\
         [[mark]]\nid = \"one\"\nsurface = \"port-panel\"\ntext = \"TI\"\nheight = 6\nplace = { at = [80, 30] }\n\
         [[mark]]\nid = \"other\"\nsurface = \"far-panel\"\ntext = \"TI\"\nheight = 6\nplace = { at = [40, 30] }\n\
         [[stripe]]\nid = \"bar\"\nsurface = \"port-panel\"\nalong = { waterline = 13, from = 5, to = 115 }\nwidth = 4\n\
         [[stripe]]\nid = \"rab\"\nsurface = \"far-panel\"\nmirror_of = \"bar\"\n\
         [[stripe]]\nid = \"lone\"\nsurface = \"far-panel\"\nalong = { waterline = 3 }\nwidth = 2\n";

    /// Marks that are to be alike and stripes that are mirrored are held against one another, each by its side; a stripe of
    /// one side alone is not. Stations by hand: the ends at 5 and 115 in stand in the table of the stripe.
    #[test]
    fn what_stands_on_both_sides_is_held_against_the_other() {
        let plan = crate::run(&read(TWO).unwrap(), &Attachments::default()).unwrap();
        let pairs = pairs(&plan);
        let told: Vec<(&str, &str)> =
            pairs.iter().map(|p| (p["kind"].as_str().unwrap(), p["name"].as_str().unwrap())).collect();
        assert_eq!(told, [("mark", "TI"), ("stripe", "bar and rab")], "{pairs:?}");
        assert!(pairs.iter().all(|p| p["sides"] == json!(["left", "right"])), "{pairs:?}");
        let at: Vec<f64> =
            pairs[1]["stations_mm"].as_array().unwrap().iter().map(|s| s.as_f64().unwrap()).collect();
        assert_eq!(at.len(), MOST);
        assert!((at[0] - 5.0 * 25.4).abs() < 0.1 && (at[3] - 115.0 * 25.4).abs() < 0.1, "{at:?}");
        // Mirrored: what stands at 5 in from the left of one panel stands at 115 in on the other, whose zero is at its nose.
        let there: Vec<f64> =
            pairs[1]["there_mm"].as_array().unwrap().iter().map(|s| s.as_f64().unwrap()).collect();
        for (s, other) in at.iter().zip(&there) {
            assert!((s + other - 120.0 * 25.4).abs() < 0.1, "{at:?} {there:?}");
        }
        assert!(at.windows(2).all(|w| w[0] < w[1]), "{at:?}");
    }

    /// The same name on the fuselage and on the wing is nobody's other side, though both are there to the left and right.
    #[test]
    fn a_name_on_a_wing_is_no_pair_of_one_on_a_fuselage() {
        let wing = "[[surface]]\nid = \"far-panel\"\nkind = \"wing\"\nhalf = \"right\"\nside = \"upper\"\nspan = 120\nchord = \
                    40\nsection = \"naca4412\"\n";
        let job = TWO.replace("alike = [[\"one\", \"other\"]]\n", "");
        let marks = |job: &str| {
            let plan = crate::run(&read(job).unwrap(), &Attachments::default()).unwrap();
            pairs(&plan).iter().filter(|p| p["kind"] == "mark").count()
        };
        assert_eq!(marks(&job), 1);
        let panel = job.find("[[surface]]\nid = \"far-panel\"").unwrap();
        let (head, rest) = job.split_at(panel);
        let tail = &rest[rest.find("[[mark]]").unwrap()..rest.find("[[stripe]]").unwrap()];
        assert_eq!(marks(&format!("{head}{wing}{}", tail.replace("at = [40, 30]", "at = [60, 20]"))), 0);
    }

    #[test]
    fn few_stations_are_all_taken_once() {
        assert_eq!(spread(&[]), Vec::<f64>::new());
        assert_eq!(spread(&[1.0]), [1.0]);
        assert_eq!(spread(&[1.0, 2.0, 3.0]), [1.0, 2.0, 3.0]);
        assert_eq!(spread(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]), [1.0, 3.0, 5.0, 7.0]);
    }
}
