//! The section of a wing, or the ring of a body, at a station: the face that is painted, the other face, and the
//! marks that cross the station on the skin.

use super::STEPS;
use crate::book::plan_file::mm;
use crate::fit::placed::Placed;
use crate::run::Plan;
use crate::surface::body::BodySkin;
use crate::surface::{Skin, SkinShape, WingSkin};
use geom::tolerance::NOISE_MM;
use geom::winding::contains;
use geom::{Point3, Vec2};
use serde_json::{Value, json};
use skin::body::{Body, Side};
use skin::surface::Surface;

/// Places a station is asked at for paint before the ends of each stretch are halved down. What is narrower than
/// such a step may be missed. chosen: a thousandth of a girth.
const ASKED: u32 = 1000;

/// A point of a section as it is drawn, mm.
type Drawn = [f64; 2];

impl Plan {
    /// The section of a wing at station `s`, seen from its tip side with the leading edge left; the ring of a body,
    /// seen from behind. The face that is painted, the other face as far as the section has it, and the marks that
    /// cross the station on the skin; `None` for a surface without a section.
    pub fn section(&self, surface: &str, s: f64) -> Option<Value> {
        let skin = self.skins.iter().find(|k| k.id == surface)?;
        if !s.is_finite() {
            return None;
        }
        match &skin.shape {
            SkinShape::Wing(wing) => Some(self.wing_section(skin, wing, s)),
            SkinShape::Body(body) => self.ring(skin, body, s),
            _ => None,
        }
    }

    fn wing_section(&self, skin: &Skin, wing: &WingSkin, s: f64) -> Value {
        let s = s.clamp(0.0, wing.span());
        let (girth, chord) = (wing.girth(s), wing.chord(s));
        let at = |t: f64| wing.space_from_flat(wing.flat_from_skin([s, t]));
        let nose = at(0.0);
        let from_nose = |t: f64| {
            let p = at(t) - nose;
            [mm(p.x), mm(p.z)]
        };
        // In front of the leading edge the skin goes round the nose onto the other face, of about the same girth.
        let mut other = run(0.0, -girth * 1.02, &from_nose);
        other.truncate(other.iter().position(|p| p[0] > chord).unwrap_or(other.len()));
        json!({
            "s_mm": mm(s), "chord_mm": mm(chord), "girth_mm": mm(girth),
            "face_mm": run(0.0, girth, &from_nose), "other_face_mm": other,
            "paint": self.paint_across(skin, s, (0.0, girth), &from_nose),
        })
    }

    fn ring(&self, skin: &Skin, body: &BodySkin, s: f64) -> Option<Value> {
        let (from, to) = body.range();
        let s = s.clamp(from, to);
        let (bottom, top) = body.body().girths(body.side(), s)?;
        // At its very ends a reading may be a rounding beyond the middle of the top or the bottom: `space` is there.
        let from_behind = |p: Point3| [mm(p.y), mm(p.z)];
        let own = |t: f64| body.space([s, t]).map_or([0.0, mm(body.body().waterline())], from_behind);
        let other = if body.side() == Side::Left { Side::Right } else { Side::Left };
        let (low, high) = Body::shares(other);
        let across = |v: f64| from_behind(body.body().jet(Vec2::new(s, v)).p);
        let face = run(bottom, top, &own);
        let sizes = |k: usize| {
            let all = face.iter().map(|p| p[k]);
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)))
        };
        let ((left, right), (below, above)) = (sizes(0), sizes(1));
        Some(json!({
            "s_mm": mm(s), "girth_mm": mm(top - bottom), "t_mm": [mm(bottom), mm(top)],
            "half_width_mm": mm(right - left), "height_mm": mm(above - below),
            "waterline_mm": mm(body.body().waterline()),
            "face_mm": face, "other_face_mm": run(low, high, &across),
            "paint": self.paint_across(skin, s, (bottom, top), &own),
        }))
    }

    /// The stretches of paint at a station, drawn by `at` from their t.
    fn paint_across(
        &self,
        skin: &Skin,
        s: f64,
        (from, to): (f64, f64),
        at: &dyn Fn(f64) -> Drawn,
    ) -> Vec<Value> {
        let here = self.marks.iter().filter(|m| m.surface == skin.id);
        here.flat_map(|m| {
            let own = m.skin(&self.skins).unwrap_or(skin);
            let stretches = spans(m, own, s, (from, to));
            stretches
                .into_iter()
                .map(|(a, b)| json!({ "mark": m.id, "t_mm": [mm(a), mm(b)], "points_mm": run(a, b, at) }))
        })
        .collect()
    }
}

fn run(a: f64, b: f64, at: &dyn Fn(f64) -> Drawn) -> Vec<Drawn> {
    (0..=STEPS).map(|k| at(a + (b - a) * f64::from(k) / f64::from(STEPS))).collect()
}

/// Stretches of t at station `s` that a mark paints.
fn spans(mark: &Placed, skin: &Skin, s: f64, (from, to): (f64, f64)) -> Vec<(f64, f64)> {
    let rings = mark.all_rings();
    let painted = |t: f64| contains(&rings, skin.flat_from_skin([s, t]));
    let t_at = |k: u32| from + (to - from) * f64::from(k) / f64::from(ASKED);
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
            (true, None) => since = Some(if k == 0 { from } else { edge(t_at(k), t_at(k - 1)) }),
            (false, Some(start)) => {
                found.push((start, edge(t_at(k - 1), t_at(k))));
                since = None;
            }
            _ => (),
        }
    }
    found.extend(since.map(|start| (start, to)));
    found
}
