//! A stripe over parts that are painted apart: what of each length of tape and of its paint belongs to which part.
//!
//! A part that comes off is taped on the bench: every piece that runs over its edge is cut there, and both halves are
//! folded round the edge. What stands between is the rest of the skin.

use super::plan_file::mm;
use crate::Plan;
use crate::mask::{Kind, Piece};
use crate::stripe::Laid;
use crate::stripe::stations::painted_apart;
use crate::surface::Skin;
use geom::boolean::intersection;
use geom::distance::crossings;
use geom::tolerance::GRID_MM;
use geom::winding::contains;
use geom::{Edge, Point, Ring};
use serde::Serialize;

/// How far tape is folded round the edge of a part, mm: 1 in (common practice, no source).
pub(super) const ROUND_EDGE: f64 = 25.4;

/// A stretch of a piece of tape on one part, or on the skin between.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Stretch {
    /// The piece it is cut from.
    pub(super) piece: String,
    /// The part; empty for the rest of the skin.
    pub(super) part: String,
    /// Station and t of its two ends, mm.
    pub(super) from_skin_mm: [f64; 2],
    pub(super) to_skin_mm: [f64; 2],
    /// Length to cut, mm, what is folded round the edges included.
    pub(super) cut_length_mm: f64,
}

/// The paint of a stripe on one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Share {
    pub(super) part: String,
    pub(super) area_m2: f64,
}

/// The tape of a stripe cut at the edges of the parts it runs over, in the order of laying, layout tape left out; empty
/// if it runs over none.
pub(super) fn stretches(plan: &Plan, stripe: &Laid) -> Vec<Stretch> {
    let Some(skin) = stripe.painted.skin(&plan.skins) else { return Vec::new() };
    let parts = painted_apart(skin);
    if stripe.ticks.is_empty() {
        return Vec::new();
    }
    let masks = plan.masking.masks.iter().filter(|m| m.of == stripe.id);
    let mut pieces: Vec<&Piece> =
        masks.flat_map(|m| &m.pieces).filter(|p| !matches!(p.kind, Kind::Layout | Kind::Film)).collect();
    pieces.sort_by_key(|p| p.lay);
    pieces.into_iter().flat_map(|piece| cut(piece, &parts, skin)).collect()
}

/// One piece cut; nothing if it lies on one part, or on none, with all its length.
fn cut(piece: &Piece, parts: &[(&str, Ring)], skin: &Skin) -> Vec<Stretch> {
    let over = (piece.cut_length - piece.path_length()).max(0.0);
    let mut out: Vec<(usize, Point, Point, f64)> = Vec::new();
    // Past the parts: the rest of the skin.
    let on = |p: Point| {
        parts.iter().position(|(_, r)| contains(std::slice::from_ref(r), p)).unwrap_or(parts.len())
    };
    for w in piece.path.windows(2) {
        let side = Edge::Line { a: w[0], b: w[1] };
        let mut at = vec![0.0, 1.0];
        let long = w[0].distance(w[1]);
        for p in
            parts.iter().flat_map(|(_, r)| r.edges().flat_map(|e| crossings(&side, &e)).collect::<Vec<_>>())
        {
            at.push((w[0].distance(p) / long.max(GRID_MM)).clamp(0.0, 1.0));
        }
        at.sort_by(f64::total_cmp);
        for pair in at.windows(2).filter(|p| (p[1] - p[0]) * long > GRID_MM) {
            let (a, b) = (w[0].lerp(w[1], pair[0]), w[0].lerp(w[1], pair[1]));
            let part = on(a.midpoint(b));
            match out.last_mut() {
                Some(last) if last.0 == part => (last.2, last.3) = (b, last.3 + a.distance(b)),
                _ => out.push((part, a, b, a.distance(b))),
            }
        }
    }
    if out.len() < 2 {
        return Vec::new();
    }
    let last = out.len() - 1;
    out.into_iter()
        .enumerate()
        .map(|(k, (part, a, b, long))| {
            // What ran past both ends of the whole goes with its first and its last stretch.
            let ends = f64::from(u8::from(k == 0)) + f64::from(u8::from(k == last));
            let folds = 2.0 - ends;
            Stretch {
                piece: piece.id.clone(),
                part: parts.get(part).map_or(String::new(), |p| p.0.to_owned()),
                from_skin_mm: skin.skin_from_flat(a).map(mm),
                to_skin_mm: skin.skin_from_flat(b).map(mm),
                cut_length_mm: mm(long + folds * ROUND_EDGE + ends * over / 2.0),
            }
        })
        .collect()
}

/// How much of the paint lies on each part; empty if it runs over none.
pub(super) fn shares(plan: &Plan, stripe: &Laid) -> Vec<Share> {
    let Some(skin) = stripe.painted.skin(&plan.skins) else { return Vec::new() };
    let rings = stripe.painted.rings();
    let own = |(id, outline): (&str, Ring)| {
        let area: f64 = intersection(&rings, &[outline]).iter().map(Ring::area).sum();
        (area > 1.0).then(|| Share { part: id.to_owned(), area_m2: (area / 1.0e3).round() / 1.0e3 })
    };
    painted_apart(skin).into_iter().filter_map(own).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Attachments, read};

    /// By hand: a stripe from 0 to 100 in over a cowl to 38 in and a door from 60 to 80: each long edge is cut in four,
    /// which add up to it and to six folds of 1 in; 4 in by 38 and by 20 in of paint lie on the two.
    #[test]
    fn tape_and_paint_are_parted_at_the_edges_of_parts() {
        let job = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[0, 0], [120, 0], \
                   [120, 30], [0, 30]]\n[[surface.part]]\nid = \"cowl\"\ncorners = [[-5, -5], [38, -5], [38, 35], [-5, \
                   35]]\n[[surface.part]]\nid = \"door\"\ncorners = [[60, 5], [80, 5], [80, 29], [60, 29]]\n[[stripe]]\nid = \
                   \"red\"\nsurface = \"s\"\nalong = { waterline = 15, to = 100 }\nwidth = 4\n[masking]\nedge_tapes = [{ width \
                   = \"1/2 in\", roll = \"36 yd\", strain = 0.05 }]\ntack_tape = { width = \"3/4 in\", roll = \"36 yd\" }\n";
        let plan = crate::run(&read(job).unwrap(), &Attachments::default()).unwrap();
        let stripe = &plan.stripes[0];
        let all = stretches(&plan, stripe);
        let long: Vec<&Piece> = plan.masking.masks[0]
            .pieces
            .iter()
            .filter(|p| p.kind == Kind::Edge && p.path_length() > 90.0 * 25.4)
            .collect();
        assert_eq!(long.len(), 2);
        for piece in long {
            let own: Vec<&Stretch> = all.iter().filter(|s| s.piece == piece.id).collect();
            let sum: f64 = own.iter().map(|s| s.cut_length_mm).sum();
            assert!(
                (sum - piece.cut_length - 6.0 * ROUND_EDGE).abs() < 0.01,
                "{sum} of {}",
                piece.cut_length
            );
            let mut on: Vec<&str> = own.iter().map(|s| s.part.as_str()).collect();
            on.sort_unstable();
            assert_eq!(on, ["", "", "cowl", "door"]);
            let door = own.iter().find(|s| s.part == "door").unwrap();
            assert!((door.cut_length_mm - 22.0 * 25.4).abs() < 0.01);
        }
        let of: Vec<(String, f64)> =
            shares(&plan, stripe).into_iter().map(|s| (s.part, s.area_m2 * 1.0e6 / 645.16)).collect();
        assert!((of[0].1 - 152.0).abs() < 0.8 && (of[1].1 - 80.0).abs() < 0.8, "{of:?}");
    }

    #[test]
    fn a_stripe_over_no_part_is_not_parted() {
        let job = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[0, 0], [120, 0], \
                   [120, 30], [0, 30]]\n[[stripe]]\nid = \"red\"\nsurface = \"s\"\nalong = { waterline = 15, from = 5, to = \
                   100 }\nwidth = 4\n";
        let plan = crate::run(&read(job).unwrap(), &Attachments::default()).unwrap();
        assert!(stretches(&plan, &plan.stripes[0]).is_empty() && shares(&plan, &plan.stripes[0]).is_empty());
    }
}
