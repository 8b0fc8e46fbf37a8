//! What the book says of parts that move or come off: how much paint lies on each, and what of it has no mass yet.

use super::plan_file::six_digits;
use crate::Plan;
use crate::fit::placed::Placed;
use crate::job::Surface;
use crate::spray::area::{M2, painted_inside};
use crate::spray::parts::PartLoad;
use crate::spray::shots::{Shot, shots};
use crate::surface::Skin;
use geom::Ring;
use geom::boolean::intersection;
use serde_json::{Value, json};

/// The least area that is called paint, mm2: less is rounding along an edge that paint and part share.
const LEAST_MM2: f64 = 1.0;

/// One object a part of the surface: what it is, the painted area on it, and the area whose mass nobody can tell.
pub(super) fn part_rows(plan: &Plan, surface: &Surface, skin: &Skin) -> Vec<Value> {
    let panel = surface.panel.as_deref().unwrap_or(&skin.id);
    let painted: Vec<Placed> =
        plan.marks.iter().cloned().chain(plan.stripes.iter().map(|s| s.painted.clone())).collect();
    let all = shots(&plan.job, &plan.skins, &painted);
    skin.parts
        .iter()
        .map(|part| {
            let load = plan.spray.parts.iter().find(|l| is_load(l, panel, &part.id));
            let own = |mark: &Placed| {
                let on = mark.skin(&plan.skins)?.parts.iter().find(|p| p.id == part.id)?;
                (mark.surface == skin.id).then(|| on.outline.clone())
            };
            let (mut area, mut unweighed) = (0.0, 0.0);
            for (m, mark) in painted.iter().enumerate() {
                let Some(outline) = own(mark) else { continue };
                // No paint of the job is named for it.
                let named = plan.job.painted_with(&mark.id).map_or("", |(paint, _)| paint);
                if plan.job.paints.iter().all(|p| p.id != named) {
                    let bare = inside(&mark.rings(), &outline);
                    (area, unweighed) = (area + bare, unweighed + bare);
                }
                for shot in all.iter().filter(|s| s.mark == m) {
                    let share = painted_inside(&[shot], &outline).map_or(0.0, |(area, _)| area);
                    area += share;
                    if load.is_none() || !weighed(plan, shot) {
                        unweighed += share;
                    }
                }
            }
            let [area, unweighed] =
                [area, unweighed].map(|a| if a > LEAST_MM2 { six_digits(a / M2) } else { 0.0 });
            json!({
                "id": part.id, "control": part.control, "balanced": part.balanced,
                "load": load.map_or("", |l| l.id.as_str()), "area_m2": area, "unweighed_m2": unweighed,
            })
        })
        .collect()
}

/// True if a load is that of this part. Parts of one id on two panels are told apart by the panel before it.
fn is_load(load: &PartLoad, panel: &str, part: &str) -> bool {
    load.on == panel && (load.id == part || load.id == format!("{panel}-{part}"))
}

/// True if the shot's paint has all that its dry mass follows from.
fn weighed(plan: &Plan, shot: &Shot) -> bool {
    let paint = &plan.job.paints[shot.paint];
    paint.dry_density.is_some() && paint.coats.iter().any(|c| c.count > 0 && c.film_um > 0.0)
}

fn inside(rings: &[Ring], outline: &Ring) -> f64 {
    intersection(rings, std::slice::from_ref(outline)).iter().map(Ring::area).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Attachments, read};

    /// A panel of 120 by 30 in with a tab of 20 by 30 in at its end, a bar of 4 in over both: 80 sq in lie on the tab.
    fn rows(paint: &str, stripe_paint: &str) -> Vec<Value> {
        let text = format!(
            "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[0, 0], [120, 0], [120, \
             30], [0, 30]]\n[[surface.part]]\nid = \"tab\"\ncontrol = true\nbalanced = true\nhinge = [[100, 0], [100, \
             30]]\ncorners = [[100, 0], [120, 0], [120, 30], [100, 30]]\n[[surface.part]]\nid = \"hatch\"\ncorners = [[2, \
             20], [6, 20], [6, 28], [2, 28]]\n[[stripe]]\nid = \"bar\"\nsurface = \"s\"\nalong = {{ waterline = 15, from = 5, \
             to = 120 }}\nwidth = 4\n{stripe_paint}[[paint]]\nid = \"green\"\ncolour = \"#1e4d2b\"\nsystem = \
             \"enamel\"\n{paint}"
        );
        let plan = crate::run(&read(&text).unwrap(), &Attachments::default()).unwrap();
        part_rows(&plan, &plan.job.surfaces[0], &plan.skins[0])
    }

    const COATS: &str = "coats = [{ kind = \"wet\", count = 2, film_um = 25 }]\n";

    /// Paint without coats, without a dry density, or not in the job at all has a mass that nobody knows, never none.
    #[test]
    fn paint_of_unknown_mass_on_a_part_is_not_called_none() {
        let area = 80.0 * 25.4 * 25.4 / 1.0e6;
        for (paint, of, weighed) in [
            ("", "paint = \"green\"\n", false),
            ("dry_density = 1.4\n", "paint = \"green\"\n", false),
            (COATS, "paint = \"green\"\n", false),
            (&format!("{COATS}dry_density = 1.4\n"), "paint = \"green\"\n", true),
            (&format!("{COATS}dry_density = 1.4\n"), "", false),
        ] {
            let rows = rows(paint, of);
            let number = |key: &str| rows[0][key].as_f64().unwrap();
            assert!((number("area_m2") - area).abs() < area / 1000.0, "{paint}: {}", rows[0]);
            let unknown = if weighed { 0.0 } else { area };
            assert!((number("unweighed_m2") - unknown).abs() < area / 1000.0, "{paint}: {}", rows[0]);
            assert_eq!(rows[0]["load"], if weighed { "tab" } else { "" });
            // The hatch lies 3 in above the bar.
            assert_eq!((&rows[1]["area_m2"], &rows[1]["load"]), (&json!(0.0), &json!("")));
        }
    }

    /// Two parts of one id on two panels: each finds its own mass.
    #[test]
    fn parts_of_one_name_on_two_panels_find_their_own_mass() {
        let load = |id: &str, on: &str| PartLoad {
            id: id.into(),
            on: on.into(),
            control: false,
            balanced: false,
            dry_mass_g: 1.0,
            arm_mm: 0.0,
            moment_g_m: 0.0,
        };
        assert!(is_load(&load("left-cowl", "left"), "left", "cowl"));
        assert!(is_load(&load("cowl", "left"), "left", "cowl"));
        assert!(!is_load(&load("left-cowl", "left"), "right", "cowl"));
    }
}
