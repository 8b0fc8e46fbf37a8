//! A stripe over parts that are painted apart: what of each length of tape and of its paint belongs to which part.
//!
//! A part that comes off is taped on the bench: every piece that runs over its edge is cut there, and both halves are
//! folded round the edge. What stands between is the rest of the skin.

use super::plan_file::{mm, six_digits};
use crate::Plan;
use crate::mask::{End, Kind, Piece, TabAt};
use crate::stripe::Laid;
use crate::stripe::joint::{flat, left_of};
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
    if stripe.ticks.is_empty() {
        return Vec::new();
    }
    let mut out = Vec::new();
    for mask in plan.masking.masks.iter().filter(|m| m.serves(&stripe.id)) {
        // Stripes masked together lie in the flat of the first.
        let first = plan.stripes.iter().find(|s| s.id == mask.of).unwrap_or(stripe);
        let Some(skin) = first.painted.skin(&plan.skins) else { continue };
        let parts = painted_apart(skin);
        let own = mask.pieces_of(&stripe.id).filter(|p| !matches!(p.kind, Kind::Layout | Kind::Film));
        let mut pieces: Vec<&Piece> = own.collect();
        pieces.sort_by_key(|p| p.lay);
        out.extend(pieces.into_iter().flat_map(|piece| cut(piece, &parts, skin)));
    }
    out
}

/// One piece cut; nothing if it lies on one part, or on none, with all its length.
fn cut(piece: &Piece, parts: &[(&str, Ring)], skin: &Skin) -> Vec<Stretch> {
    // What runs past each end of the whole, and the tab folded at one of them.
    let fold = (piece.cut_length - piece.path_length() - piece.start.past - piece.finish.past).max(0.0);
    let past = |end: End, at: TabAt| end.past + if piece.tab.at == at { fold } else { 0.0 };
    let past = [past(piece.start, TabAt::Start), past(piece.finish, TabAt::Finish)];
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
            let ends = [k == 0, k == last];
            // An end of the whole runs past it; any other folds round the edge of a part.
            let more = ends.iter().zip(past).map(|(own, past)| if *own { past } else { ROUND_EDGE });
            Stretch {
                piece: piece.id.clone(),
                part: parts.get(part).map_or(String::new(), |p| p.0.to_owned()),
                from_skin_mm: skin.skin_from_flat(a).map(mm),
                to_skin_mm: skin.skin_from_flat(b).map(mm),
                cut_length_mm: mm(long + more.sum::<f64>()),
            }
        })
        .collect()
}

/// How much of the paint lies on each part; empty if it runs over none. What it shares with a stripe of its paint that stands
/// before it in the job is counted with that one.
pub(super) fn shares(plan: &Plan, stripe: &Laid) -> Vec<Share> {
    let Some(skin) = stripe.painted.skin(&plan.skins) else { return Vec::new() };
    let before = plan.stripes.iter().take_while(|s| s.id != stripe.id).map(|s| &s.painted);
    let rings = flat(&left_of(&plan.job, before, &stripe.painted, stripe.painted.rings()));
    let own = |(id, outline): (&str, Ring)| {
        let area: f64 = intersection(&rings, &[outline]).iter().map(Ring::area).sum();
        (area > 1.0).then(|| Share { part: id.to_owned(), area_m2: six_digits(area / 1.0e6) })
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
            // Each end has what runs past it and no other's: the cowl's from the edge at 38 in, the tab where it is.
            for (stretch, end, tab) in
                [(own[0], piece.start, TabAt::Start), (own[own.len() - 1], piece.finish, TabAt::Finish)]
            {
                let long = (stretch.from_skin_mm[0] - stretch.to_skin_mm[0]).abs();
                let tab = if piece.tab.at == tab { 12.7 } else { 0.0 };
                assert!(
                    (stretch.cut_length_mm - long - end.past - tab - ROUND_EDGE).abs() < 0.02,
                    "{}: {} for {long} + {} + {tab}",
                    piece.id,
                    stretch.cut_length_mm,
                    end.past
                );
            }
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

    /// By hand: two stripes of 4 in that cross square on a part share 16 in2, which is painted once; of the second, which runs
    /// over 20 in of it, 64 in2 are left. In two paints each has its own.
    #[test]
    fn the_paint_of_a_joint_is_counted_once() {
        let job = |paint: &str| {
            format!(
                "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[0, 0], [120, 0], \
                 [120, 30], [0, 30]]\n[[surface.part]]\nid = \"door\"\ncorners = [[50, 5], [80, 5], [80, 25], [50, 25]]\n\
                 [[stripe]]\nid = \"level\"\nsurface = \"s\"\npaint = \"red\"\nalong = {{ waterline = 15, from = 5, to = 110 }}\n\
                 width = 4\n[[stripe]]\nid = \"steep\"\nsurface = \"s\"\npaint = \"{paint}\"\nalong = {{ straight = [[65, 2], [65, \
                 28]] }}\nwidth = 4\n[[paint]]\nid = \"red\"\ncolour = \"#9c1f1f\"\n[[paint]]\nid = \"gold\"\ncolour = \"#b8860b\"\n"
            )
        };
        for (paint, want) in [("red", [120.0, 64.0]), ("gold", [120.0, 80.0])] {
            let plan = crate::run(&read(&job(paint)).unwrap(), &Attachments::default()).unwrap();
            let on = |k: usize| shares(&plan, &plan.stripes[k])[0].area_m2 * 1.0e6 / 645.16;
            assert!((on(0) - want[0]).abs() < 0.8 && (on(1) - want[1]).abs() < 0.8, "{} {}", on(0), on(1));
        }
    }

    /// Of two masked together the second alone runs over a door: its own tape is parted there, in its own table.
    #[test]
    fn tape_of_a_stripe_masked_with_another_is_parted_too() {
        let job = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[0, 0], [120, 0], \
                   [120, 60], [0, 60]]\n[[surface.part]]\nid = \"door\"\ncorners = [[50, 30], [80, 30], [80, 55], [50, 55]]\n\
                   [[stripe]]\nid = \"level\"\nsurface = \"s\"\npaint = \"red\"\nalong = { waterline = 10 }\nwidth = 4\n\
                   [[stripe]]\nid = \"steep\"\nsurface = \"s\"\npaint = \"red\"\nalong = { straight = [[65, 50], [65, 13]] }\nwidth = \
                   4\nends = [\"square\", \"butt\"]\n[masking]\nedge_tapes = [{ width = \"1/2 in\", roll = \"36 yd\", strain = 0.05 \
                   }]\ntack_tape = { width = \"3/4 in\", roll = \"36 yd\" }\n[[paint]]\nid = \"red\"\ncolour = \"#9c1f1f\"\n";
        let plan = crate::run(&read(job).unwrap(), &Attachments::default()).unwrap();
        assert_eq!(plan.masking.masks.len(), 1);
        assert!(stretches(&plan, &plan.stripes[0]).is_empty());
        let own = stretches(&plan, &plan.stripes[1]);
        // Both long edges, each on the door and below it; 20 in of either on the door.
        let on = |part: &str| own.iter().filter(|s| s.part == part && s.piece.starts_with("steep-")).count();
        assert_eq!((on("door"), on("")), (2, 2), "{own:?}");
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
