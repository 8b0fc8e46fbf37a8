//! Tabs: where each piece is taken hold of. A fold on a run-on end with room, else a flag across the back.

use super::channel::Field;
use super::edge::Draft;
use super::plan::{EndKind, Kind, Tab, TabAt, TabKind};
use super::shelf::{Measures, SHORT};
use geom::point::left_of;
use geom::tolerance::{KEPT_MM, TAPE_KEPT_MM};
use geom::winding::contains;
use geom::{Point, Ring, Vec2};

/// Gives the piece its tab. `first`: the end to try first.
pub(super) fn give_tab(
    draft: &mut Draft,
    field: &Field,
    paint: &[(Vec<Ring>, (Point, Point))],
    m: &Measures,
) {
    let piece = &draft.piece;
    let foldable =
        |end: EndKind, past: f64, free: f64| end == EndKind::RunOn && free + KEPT_MM >= past + m.tab;
    let n = piece.path.len();
    let folds = [
        (TabAt::Start, foldable(piece.start.kind, piece.start.past, draft.free[0])),
        (TabAt::Finish, foldable(piece.finish.kind, piece.finish.past, draft.free[1])),
    ];
    let entered = |area: &[Point]| field.near(area, 0.0).iter().any(|b| enters(area, b.a, b.b, TAPE_KEPT_MM));
    for (at, _) in folds.into_iter().filter(|(_, good)| *good && piece.kind != Kind::Plug) {
        let (p, out, past) = match at {
            TabAt::Start => (piece.path[0], (piece.path[0] - piece.path[1]).normalize(), piece.start.past),
            _ => (piece.path[n - 1], (piece.path[n - 1] - piece.path[n - 2]).normalize(), piece.finish.past),
        };
        let right = if at == TabAt::Start { left_of(out) } else { -left_of(out) } * piece.width;
        let (a, b) = (p + out * past, p + out * (past + m.tab));
        let area = vec![a, b, b + right, a + right];
        if !entered(&area) {
            draft.piece.tab = Tab { at, kind: TabKind::Fold, area };
            return;
        }
    }
    let mut area = if piece.kind == Kind::Plug { Vec::new() } else { flag(draft, field, m) };
    let painted = |p: &Point| {
        paint.iter().any(|(rings, (lo, hi))| {
            lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y && contains(rings, *p)
        })
    };
    if area.iter().any(painted) || entered(&area) {
        // No room beside the tape: the flag stands up on its own piece.
        area.clear();
    }
    draft.piece.tab = Tab { at: TabAt::Middle, kind: TabKind::Flag, area };
}

/// The skin below a flag across the back at the middle of a piece: from half its width to as far behind it as there
/// is room.
fn flag(draft: &Draft, field: &Field, m: &Measures) -> Vec<Point> {
    let piece = &draft.piece;
    let (p, way) = along(&piece.path, piece.path_length() / 2.0);
    let right = -left_of(way);
    let half = (m.tab / 2.0).min(piece.path_length() / 4.0);
    // Half the tape's width is under the flag in any case; what of the rest is cut off at a wedge carries none.
    let lo = piece.width / 2.0;
    // A bridge lies off the paint all along; an edge tape's own paint may bend up to it beside its middle.
    let from = if piece.kind == Kind::Bridge { 0.0 } else { lo };
    let reach = piece.width - from + m.tab + SHORT;
    let free = field.free_way(p + right * from + way * half, right, 2.0 * half, reach);
    let room = from - lo + if free < reach { free - SHORT } else { reach - SHORT };
    let hi = lo + room.min(draft.behind - lo - SHORT);
    if hi <= lo {
        return Vec::new();
    }
    let at = |u: f64, v: f64| p + way * u + right * v;
    vec![at(-half, lo), at(-half, hi), at(half, hi), at(half, lo)]
}

/// True if the straight line from `a` to `b` passes through the inside of a convex area, whichever way that runs
/// round, by more than `by` mm.
pub(super) fn enters(area: &[Point], a: Point, b: Point, by: f64) -> bool {
    let n = area.len();
    let round: f64 = (0..n).map(|i| area[i].to_vec2().cross(area[(i + 1) % n].to_vec2())).sum();
    let (mut lo, mut hi) = (0.0_f64, 1.0_f64);
    for i in 0..n {
        let way = (area[(i + 1) % n] - area[i]).normalize() * round.signum();
        let inside = |p: Point| way.cross(p - area[i]) - by;
        let (u, v) = (inside(a), inside(b));
        if u < 0.0 && v < 0.0 {
            return false;
        }
        if u < 0.0 {
            lo = lo.max(u / (u - v));
        } else if v < 0.0 {
            hi = hi.min(u / (u - v));
        }
    }
    n > 2 && lo < hi
}

/// The point and direction `s` mm along a line.
pub(crate) fn along(path: &[Point], s: f64) -> (Point, Vec2) {
    let mut left = s;
    let mut last = (path[0], Vec2::new(1.0, 0.0));
    for w in path.windows(2) {
        let d = w[0].distance(w[1]);
        if d > 0.0 {
            let way = (w[1] - w[0]) / d;
            if left <= d {
                return (w[0] + way * left, way);
            }
            last = (w[1], way);
        }
        left -= d;
    }
    last
}
