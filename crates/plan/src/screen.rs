//! What a screen asks of a plan beyond its plan file, while a hand is still on the mark: how it would lie
//! elsewhere or larger, the room it has, the section under it, the surface in space. JSON, mm; nothing is saved.

use crate::book::plan_file::{mm, tried_json};
use crate::fit::{self, placed::Placed};
use crate::run::Plan;
use crate::surface::{Skin, SkinShape};
use geom::tolerance::NOISE_MM;
use geom::winding::contains;
use geom::{Point, Region, Ring};
use serde_json::{Value, json};

/// Largest distance, mm, between a curve and its chords on a screen. chosen: a tenth of a thin line at full size.
const DRAWN_MM: f64 = 0.05;
/// Steps along a section or a strip of a surface in space. chosen: chords too short to be seen.
const STEPS: u32 = 96;
/// Strips of a surface in space. chosen: as above; a wing's own lines along the span are straight.
const STRIPS: u32 = 48;

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
        Some(tried_json(&lie, skin.skin_from_flat(centre), mm(beyond)))
    }

    /// Every place the centre of a mark may have at its height and turn with all walls kept, as rings in flat (of
    /// odd and even filling); `None` if there is no such mark.
    pub fn room(&self, mark: &str) -> Option<Value> {
        let (placed, skin) = self.mark_on_skin(mark)?;
        let room = fit::tried::room(placed, skin);
        Some(json!({ "rings_flat_mm": room.iter().map(drawn).collect::<Vec<_>>() }))
    }

    /// The section of a wing at station `s`, seen from its tip side with the leading edge left: the face that is
    /// painted, the other face as far as the section has it, and the marks that cross the station on the skin;
    /// `None` for a surface without a section.
    pub fn section(&self, surface: &str, s: f64) -> Option<Value> {
        let skin = self.skins.iter().find(|k| k.id == surface)?;
        let SkinShape::Wing(wing) = &skin.shape else { return None };
        if !s.is_finite() {
            return None;
        }
        let s = s.clamp(0.0, wing.span());
        let (girth, chord) = (wing.girth(s), wing.chord(s));
        let at = |t: f64| wing.space_from_flat(wing.flat_from_skin([s, t]));
        let nose = at(0.0);
        let from_nose = |t: f64| {
            let p = at(t) - nose;
            [mm(p.x), mm(p.z)]
        };
        let run = |a: f64, b: f64| {
            (0..=STEPS).map(|k| from_nose(a + (b - a) * f64::from(k) / f64::from(STEPS))).collect::<Vec<_>>()
        };
        // In front of the leading edge the skin goes round the nose onto the other face, of about the same girth.
        let mut other = run(0.0, -girth * 1.02);
        other.truncate(other.iter().position(|p| p[0] > chord).unwrap_or(other.len()));
        let on_it: Vec<Value> = self
            .marks
            .iter()
            .filter(|m| m.surface == skin.id)
            .flat_map(|m| {
                let ts = spans(m, skin, s, girth);
                ts.into_iter()
                    .map(|(a, b)| json!({ "mark": m.id, "t_mm": [mm(a), mm(b)], "points_mm": run(a, b) }))
            })
            .collect();
        Some(json!({
            "s_mm": mm(s), "chord_mm": mm(chord), "girth_mm": mm(girth),
            "face_mm": run(0.0, girth), "other_face_mm": other, "paint": on_it,
        }))
    }

    /// A surface in space, as strips of points from edge to edge; `None` where it has no shape in space.
    pub fn space(&self, surface: &str) -> Option<Value> {
        let skin = self.skins.iter().find(|k| k.id == surface)?;
        let xyz = |p: Point| skin.space_from_flat(p).map(|q| [mm(q.x), mm(q.y), mm(q.z)]);
        let strips: Vec<Vec<[f64; 3]>> = columns(&skin.outline)
            .into_iter()
            .map(|(a, b)| {
                (0..=STEPS).filter_map(|k| xyz(a.lerp(b, f64::from(k) / f64::from(STEPS)))).collect()
            })
            .filter(|strip: &Vec<_>| strip.len() > 1)
            .collect();
        if strips.len() < 2 {
            return None;
        }
        let points = |ring: &Ring| ring.flattened(1.0).into_iter().filter_map(xyz).collect::<Vec<_>>();
        let features: Vec<Vec<[f64; 3]>> = skin
            .features
            .iter()
            .filter_map(|f| match &f.region {
                Region::Disc { centre, radius } => Some(points(&Ring::circle(*centre, *radius))),
                Region::Area { rings } => rings.first().map(points),
                Region::Band { .. } => None,
            })
            .collect();
        Some(json!({ "strips_mm": strips, "features_mm": features }))
    }

    fn mark_on_skin(&self, mark: &str) -> Option<(&Placed, &Skin)> {
        let placed = self.marks.iter().find(|m| m.id == mark)?;
        Some((placed, placed.skin(&self.skins)?))
    }

    /// Where a point of a surface's flat drawing is on the skin, mm; `None` if there is no such surface.
    pub fn skin_at(&self, surface: &str, flat: [f64; 2]) -> Option<[f64; 2]> {
        let skin = self.skins.iter().find(|s| s.id == surface)?;
        Some(skin.skin_from_flat(Point::new(flat[0], flat[1])))
    }

    /// The ribs of a surface and its parts, flat; `None` if there is no such surface.
    pub fn under(&self, surface: &str) -> Option<Value> {
        let skin = self.skins.iter().find(|s| s.id == surface)?;
        let line = |l: &Vec<Point>| l.iter().map(|p| pair(*p)).collect::<Vec<_>>();
        Some(json!({
            "ribs": skin.ribs.iter().map(|r| json!({
                "s_mm": mm(r.station), "tape_mm": mm(r.tape), "line_flat_mm": line(&r.line),
            })).collect::<Vec<_>>(),
            "parts": skin.parts.iter().map(|p| json!({
                "id": p.id, "ring_flat_mm": drawn(&p.outline), "hinge_flat_mm": line(&p.hinge),
            })).collect::<Vec<_>>(),
            "girths": skin.girths.iter().flatten().map(|g| json!({
                "s_mm": mm(g.station), "chord_mm": mm(g.chord), "computed_mm": mm(g.computed), "used_mm": mm(g.used()),
            })).collect::<Vec<_>>(),
        }))
    }
}

/// Upright lines across an outline from its upper to its lower edge, side by side from left to right, in flat.
fn columns(outline: &Ring) -> Vec<(Point, Point)> {
    let Some((lo, hi)) = outline.bounds() else { return vec![] };
    let corners = outline.flattened(DRAWN_MM);
    let sides: Vec<(Point, Point)> =
        corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| (*a, *b)).collect();
    let across = |x: f64| {
        let at =
            sides.iter().filter(|(a, b)| a.x.min(b.x) <= x && x <= a.x.max(b.x) && (a.x < b.x || b.x < a.x));
        let ys = at.map(|(a, b)| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y));
        let (low, high) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| (l.min(y), h.max(y)));
        (low < high).then(|| (Point::new(x, high), Point::new(x, low)))
    };
    (0..=STRIPS).filter_map(|i| across(lo.x + (hi.x - lo.x) * f64::from(i) / f64::from(STRIPS))).collect()
}

/// A point, rounded as in the plan file.
fn pair(p: Point) -> [f64; 2] {
    [mm(p.x), mm(p.y)]
}

fn drawn(ring: &Ring) -> Vec<[f64; 2]> {
    ring.flattened(DRAWN_MM).into_iter().map(pair).collect()
}

/// Stretches of t at station `s` that a mark paints: looked for at every thousandth of its girth, each end then
/// halved down to where paint begins. What is narrower than a thousandth may be missed.
fn spans(mark: &Placed, skin: &Skin, s: f64, girth: f64) -> Vec<(f64, f64)> {
    const ASKED: u32 = 1000;
    let rings = mark.all_rings();
    let painted = |t: f64| contains(&rings, skin.flat_from_skin([s, t]));
    let t_at = |k: u32| girth * f64::from(k) / f64::from(ASKED);
    // The edge between a place with paint and one without.
    let edge = |mut on: f64, mut off: f64| {
        while (on - off).abs() > NOISE_MM {
            let middle = f64::midpoint(on, off);
            if painted(middle) { on = middle } else { off = middle }
        }
        on
    };
    let (mut found, mut since) = (Vec::new(), None);
    for k in 0..=ASKED {
        match (painted(t_at(k)), since) {
            (true, None) => since = Some(if k == 0 { 0.0 } else { edge(t_at(k), t_at(k - 1)) }),
            (false, Some(from)) => {
                found.push((from, edge(t_at(k - 1), t_at(k))));
                since = None;
            }
            _ => (),
        }
    }
    found.extend(since.map(|from| (from, girth)));
    found
}
