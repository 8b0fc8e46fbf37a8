//! The tack strip where the mask narrows to a point: between the legs of an A, in the crotches of an N or an M.
//!
//! A strip that ends square there leaves a stair of slits. So one of the two strips, that of the paint edge which comes
//! first, goes on into the point, its end cut along the gap of the edge across; the other ends where it no longer
//! fits beside the gap.

use super::channel::Field;
use super::shelf::Measures;
use super::tab::enters;
use geom::point::left_of;
use geom::tolerance::{KEPT_MM, NOISE_MM, NOISE_UNIT};
use geom::{Point, Vec2};
use std::f64::consts::PI;

/// Least angle, radians, at which a strip is cut to a point: 2.5 degrees. chosen: a tape 3/4 in wide is then cut over 17 in, along
/// a rule; where edges close in more slowly, short lengths cut to width follow each other.
const LEAST_CUT: f64 = 2.5 * PI / 180.0;

/// A length of the strip between edges that close in on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Wedge {
    /// From where to where its edge goes, mm along the length.
    pub(super) along: (f64, f64),
    /// How wide it is at its widest, mm.
    pub(super) width: f64,
    /// Angle at which its start and its finish are cut, radians; `None` where nothing closes in.
    pub(super) cuts: [Option<f64>; 2],
    /// True for an end that stops before the length does.
    pub(super) stops: [bool; 2],
}

/// What there is of a strip along the straight line from `a` to `b` of run `run`, paint on its left at the gap, if every
/// paint edge in its way is straight and closes in at one end: `None` if it is not so plain, `Some(None)` if the
/// strip across takes all.
pub(super) fn wedge(field: &Field, a: Point, b: Point, run: usize, m: &Measures) -> Option<Option<Wedge>> {
    let long = a.distance(b);
    let way = (b - a) / long;
    let right = -left_of(way);
    let reach = m.tack + m.gap;
    let far = [a, b, a + right * reach, b + right * reach];
    let mut ends: [Option<Closing>; 2] = [None; 2];
    // The strip and the gap round it, but for what lies behind its line.
    let (lo, hi) = (Point::new(-m.gap, NOISE_MM), Point::new(long + m.gap, reach));
    let box_ = [lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)];
    for bit in field.near(&far, m.gap) {
        let local = |p: Point| Point::new((p - a).dot(way), (p - a).dot(right));
        let (p, q) = (local(bit.a), local(bit.b));
        if bit.run == run || !enters(&box_, p, q, 0.0) {
            continue;
        }
        let along = (q - p) / (q - p).hypot().max(NOISE_MM);
        // Away from its paint, which lies on its left; in these axes that is turned about.
        let off = Vec2::new(-along.y, along.x);
        let room = |u: f64, v: f64| off.dot(Point::new(u, v) - p) - m.gap;
        let least = [room(0.0, 0.0), room(long, 0.0), room(0.0, m.tack), room(long, m.tack)];
        if least.into_iter().fold(f64::INFINITY, f64::min) >= -KEPT_MM {
            continue;
        }
        if off.y >= -NOISE_UNIT {
            return None;
        }
        // Its gap is the line v = rise u + start.
        let rise = off.x / -off.y;
        let start = room(0.0, 0.0) / -off.y;
        let (end, apex) = if rise < 0.0 { (1, -start / rise) } else { (0, -start / rise) };
        let closing = Closing { apex, rise, run: bit.run, over: (p.x.min(q.x), p.x.max(q.x)) };
        if rise.abs() < LEAST_CUT.tan() || !(-KEPT_MM..=long + KEPT_MM).contains(&apex) {
            return None;
        }
        match &mut ends[end] {
            None => ends[end] = Some(closing),
            Some(known)
                if known.run == bit.run
                    && (known.rise - rise).abs() < KEPT_MM
                    && (known.apex - apex).abs() < KEPT_MM =>
            {
                known.over = (known.over.0.min(closing.over.0), known.over.1.max(closing.over.1));
            }
            Some(_) => return None,
        }
    }
    if ends == [None; 2] {
        return None;
    }
    // The widest strip between the lines that close in.
    let height = |u: f64| ends.iter().flatten().map(|c| (c.apex - u) * -c.rise).fold(m.tack, f64::min);
    let widest = match ends {
        [Some(s), Some(f)] => height((s.rise * s.apex - f.rise * f.apex) / (s.rise - f.rise)),
        [Some(_), None] => height(long),
        _ => height(0.0),
    };
    let full = widest + KEPT_MM >= m.tack;
    let mut out = Wedge { along: (0.0, long), width: widest, cuts: [None; 2], stops: [false; 2] };
    for (k, end) in ends.iter().enumerate() {
        let Some(c) = end else { continue };
        let reached = (c.apex - widest / c.rise.abs() * if k == 1 { 1.0 } else { -1.0 }, c.apex);
        // The edge must really be there, all along the cut.
        if c.over.0 > reached.0.min(reached.1) + m.gap || c.over.1 < reached.0.max(reached.1) - m.gap {
            return None;
        }
        let mine = run < c.run;
        let at = if mine { c.apex } else { reached.0 };
        if mine {
            out.cuts[k] = Some(c.rise.abs().atan());
        } else if full {
            out.stops[k] = true;
        } else {
            return Some(None);
        }
        if k == 0 {
            out.along.0 = at;
        } else {
            out.along.1 = at;
        }
    }
    let worth = out.width >= 2.0 * m.overlap && out.along.1 - out.along.0 > m.overlap;
    Some(worth.then_some(out))
}

/// A straight paint edge that closes in on the strip: where its gap meets the strip's own, its slope there.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Closing {
    apex: f64,
    rise: f64,
    run: usize,
    /// From where to where the edge goes, along the length.
    over: (f64, f64),
}

#[cfg(test)]
mod tests {
    use super::super::outline::{Run, runs_of_ring};
    use super::*;
    use geom::Ring;

    const GAP: f64 = 8.0;

    fn measures(tack: f64) -> Measures {
        Measures { gap: GAP, overlap: 3.0, tack, tab: 12.0, longest: 1500.0 }
    }

    /// A counter of three straight edges, and the corners of what lies within by the gap: the same triangle, smaller
    /// by (r - gap) / r about its incentre, r its inscribed circle.
    fn counter(corners: [Point; 3]) -> (Vec<Run>, [Point; 3]) {
        let mut runs = Vec::new();
        // A hole of the paint runs clockwise.
        runs_of_ring(&Ring::from_points(corners), 0, 1, &mut runs);
        let side = |k: usize| corners[(k + 1) % 3].distance(corners[(k + 2) % 3]);
        let round: f64 = (0..3).map(side).sum();
        let centre = (0..3).fold(Vec2::ZERO, |s, k| s + corners[k].to_vec2() * (side(k) / round)).to_point();
        let area = (corners[1] - corners[0]).cross(corners[2] - corners[0]).abs() / 2.0;
        let share = (2.0 * area / round - GAP) / (2.0 * area / round);
        (runs, corners.map(|p| centre + (p - centre) * share))
    }

    fn angle(at: Point, p: Point, q: Point) -> f64 {
        let (u, v) = ((p - at).normalize(), (q - at).normalize());
        u.dot(v).clamp(-1.0, 1.0).acos()
    }

    /// Plain geometry of a triangle: the first strip is cut at its corners' angles; those after it stop where it and they
    /// are both a tape wide, a tape's width over the tangent of the corner before the point.
    #[test]
    fn a_three_cornered_counter_takes_one_pointed_strip_and_others_beside_it() {
        let corners = [Point::new(0.0, 0.0), Point::new(30.0, 130.0), Point::new(75.0, -10.0)];
        let (runs, inner) = counter(corners);
        let field = Field::new(&runs, 20.0);
        let m = measures(10.0);
        let start = |k: usize| corners.iter().position(|p| p.distance(runs[k].points[0]) < 1e-9);
        let side = |k: usize| {
            let i = start(k)?;
            Some((inner[i], inner[(i + 1) % 3], inner[(i + 2) % 3]))
        };
        for k in 0..3 {
            let Some((a, b, c)) = side(k) else { panic!("run {k} starts at no corner") };
            let Some(Some(got)) = wedge(&field, a, b, k, &m) else { panic!("run {k} has no strip") };
            assert!((got.width - 10.0).abs() < 1e-6, "{got:?}");
            let (before, after) = (angle(a, b, c), angle(b, a, c));
            let long = a.distance(b);
            // The edge before comes first in the ring but for the first run, the edge after but for the last.
            let cut = [k == 0, k != 2];
            for (end, corner) in [(0, before), (1, after)] {
                let at = if end == 0 { got.along.0 } else { long - got.along.1 };
                if cut[end] {
                    assert!((got.cuts[end].unwrap_or(0.0) - corner).abs() < 1e-6, "{k}: {got:?}, {corner}");
                    assert!(at.abs() < 1e-6, "{k}: {got:?}");
                } else {
                    assert!(got.stops[end] && got.cuts[end].is_none(), "{k}: {got:?}");
                    assert!((at - 10.0 / corner.tan()).abs() < 1e-6, "{k}: {got:?}");
                }
            }
        }
    }

    /// Where all that is left by the gap is narrower than the tape, one strip as wide as its height covers it.
    #[test]
    fn a_narrow_counter_takes_one_strip() {
        let corners = [Point::new(0.0, 0.0), Point::new(18.0, 90.0), Point::new(36.0, 0.0)];
        let (runs, inner) = counter(corners);
        let field = Field::new(&runs, 20.0);
        let m = measures(18.0);
        let i = corners.iter().position(|p| p.distance(runs[0].points[0]) < 1e-9).unwrap_or(3);
        let (a, b, c) = (inner[i], inner[(i + 1) % 3], inner[(i + 2) % 3]);
        let height = (b - a).cross(c - a).abs() / a.distance(b);
        assert!(height < 18.0);
        let Some(Some(got)) = wedge(&field, a, b, 0, &m) else { panic!("no strip") };
        assert!((got.width - height).abs() < 1e-6, "{got:?}, {height}");
        let (a, b) = (inner[(i + 1) % 3], inner[(i + 2) % 3]);
        assert_eq!(
            wedge(&field, a, b, 1, &m),
            Some(None),
            "all beside the next edge lies under the first strip"
        );
    }

    /// Beside a level edge, between walls that stand square, nothing closes in.
    #[test]
    fn square_corners_are_no_wedge() {
        let corners = [(0.0, 0.0), (0.0, 90.0), (60.0, 90.0), (60.0, 0.0)].map(|(x, y)| Point::new(x, y));
        let mut runs = Vec::new();
        runs_of_ring(&Ring::from_points(corners), 0, 1, &mut runs);
        let field = Field::new(&runs, 20.0);
        let (a, b) = (runs[0].points[0], runs[0].points[1]);
        let way = (b - a).normalize();
        let (a, b) = (a + way * GAP - left_of(way) * GAP, b - way * GAP - left_of(way) * GAP);
        assert_eq!(wedge(&field, a, b, 0, &measures(18.0)), None);
    }
}
