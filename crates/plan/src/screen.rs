//! What a screen asks of a plan beyond its plan file, while a hand is still on the mark: how it would lie
//! elsewhere or larger, the room it has, the section under it, the surface in space. JSON, mm; nothing is saved.

use crate::book::plan_file::{mm, tried_json};
use crate::fit::{self, placed::Placed};
use crate::run::Plan;
use crate::stripe::{Laid, joint};
use crate::surface::{Skin, SkinShape};
use geom::{Point, Ring, Vec2};
use serde_json::{Value, json};

mod section;
mod space;

/// Largest distance, mm, between a curve and its chords on a screen. chosen: a tenth of a thin line at full size.
const DRAWN_MM: f64 = 0.05;
/// Steps along a section or a strip of a surface in space. chosen: chords too short to be seen.
const STEPS: u32 = 96;

impl Plan {
    /// How a mark would lie with its centre somewhere else, flat, and its height another; `None` if there is no
    /// such mark. Another height is the outline in proportion, as is true of letters; an outline or a shadow of a
    /// fixed width would grow with it here, and is laid right when the height is saved.
    pub fn tried(&self, mark: &str, centre: [f64; 2], height: Option<f64>) -> Option<Value> {
        let (placed, skin) = self.mark_on_skin(mark)?;
        let centre = Point::new(centre[0], centre[1]);
        let grown = height.filter(|h| *h > 0.0 && h.is_finite()).map_or(1.0, |h| h / placed.height);
        let lie = fit::tried::tried(placed, skin, centre, grown);
        let beyond = fit::tried::beyond(placed, centre, grown);
        let mut said = tried_json(&lie, skin.skin_from_flat(centre), mm(beyond));
        // On a scan a place is a point of the file's own axes, and one toward which the baseline points.
        if let Some(chart) = skin.chart().filter(|c| c.is_scan()) {
            let along = Vec2::from_angle(placed.angle) * placed.length / 2.0;
            let place = [centre, centre + along, centre - along].map(|p| chart.space(p));
            if let [Some(at), ahead, behind] = place {
                let toward = ahead.or(behind.map(|b| at * 2.0 - b)).unwrap_or(at);
                said["place_mm"] =
                    json!({ "at": at.to_array().map(mm), "toward": toward.to_array().map(mm) });
            }
        }
        Some(said)
    }

    /// Every place the centre of a mark may have at its height and turn with all walls kept, as rings in flat (of
    /// odd and even filling); `None` if there is no such mark.
    pub fn room(&self, mark: &str) -> Option<Value> {
        let (placed, skin) = self.mark_on_skin(mark)?;
        let room = fit::tried::room(placed, skin);
        Some(json!({ "rings_flat_mm": room.iter().map(drawn).collect::<Vec<_>>() }))
    }

    /// The marks of a body or scan in the flat of its own drawing, by their ids.
    fn laid(&self, surface: &str) -> Value {
        let rings = |rings: &[Ring]| rings.iter().map(drawn).collect::<Vec<_>>();
        let one = |m: &Placed| {
            let further = m.further.iter().map(|f| rings(&f.rings)).collect::<Vec<_>>();
            (m.id.clone(), json!({ "rings_flat_mm": rings(&m.rings()), "further_flat_mm": further }))
        };
        let here = self.drawn().iter().filter(|m| m.surface == surface);
        Value::Object(here.map(one).collect())
    }

    fn mark_on_skin(&self, mark: &str) -> Option<(&Placed, &Skin)> {
        let placed = self.marks.iter().find(|m| m.id == mark)?;
        Some((placed, placed.skin(&self.skins)?))
    }

    /// Where a point of a surface's flat drawing is on the skin, mm: a reading of two, on a scan a point of three in the
    /// file's axes; `None` if there is no such surface.
    pub fn skin_at(&self, surface: &str, flat: [f64; 2]) -> Option<Vec<f64>> {
        let skin = self.skins.iter().find(|s| s.id == surface)?;
        let at = Point::new(flat[0], flat[1]);
        Some(match &skin.shape {
            SkinShape::Scan(scan) => scan.seen_at(at).to_array().map(mm).to_vec(),
            _ => skin.skin_from_flat(at).to_vec(),
        })
    }

    /// The ribs of a surface and its parts, flat, the paint of its stripes as its drawing shows it (those of one paint that
    /// meet as one), and its marks as that shows them where they lie on sheets of their own; `None` if there is no such
    /// surface.
    pub fn under(&self, surface: &str) -> Option<Value> {
        let skin = self.skins.iter().find(|s| s.id == surface)?;
        let line = |l: &Vec<Point>| l.iter().map(|p| pair(*p)).collect::<Vec<_>>();
        let stripes: Vec<&Laid> = self.drawn_stripes().iter().filter(|s| s.surface == skin.id).collect();
        let paint = joint::as_one(&self.job, &stripes);
        Some(json!({
            "stripe_paint_flat_mm": paint.iter().map(|r| r.iter().map(drawn).collect()).collect::<Vec<Vec<_>>>(),
            "ribs": skin.ribs.iter().map(|r| json!({
                "s_mm": mm(r.station), "tape_mm": mm(r.tape), "line_flat_mm": line(&r.line),
            })).collect::<Vec<_>>(),
            "parts": skin.parts.iter().map(|p| json!({
                "id": p.id, "ring_flat_mm": drawn(&p.outline), "hinge_flat_mm": line(&p.hinge),
            })).collect::<Vec<_>>(),
            "girths": skin.girths.iter().flatten().map(|g| json!({
                "s_mm": mm(g.station), "chord_mm": mm(g.chord), "computed_mm": mm(g.computed), "used_mm": mm(g.used()),
            })).collect::<Vec<_>>(),
            "laid": if skin.unrolls() { json!({}) } else { self.laid(surface) },
        }))
    }
}

/// A point, rounded as in the plan file.
fn pair(p: Point) -> [f64; 2] {
    [mm(p.x), mm(p.y)]
}

fn drawn(ring: &Ring) -> Vec<[f64; 2]> {
    ring.flattened(DRAWN_MM).into_iter().map(pair).collect()
}
