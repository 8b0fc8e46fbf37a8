//! The paint edge cut into runs: from corner to corner, each one a line that one tape can follow.
//!
//! A corner is a turn of more than ten degrees. Everything between two corners is one run, however it bends.
//! Paint lies left of a run, so the mask lies right of it. Chords of a font's curves are thinned first.

use geom::tolerance::{NOISE_MM, NOISE_UNIT, OUTPUT_MM, TAPE_PATH_MM};
use geom::{Edge, Point, Ring, Vec2};

/// Turn, radians, from which two edges meet in a corner rather than in a bend. chosen: ten degrees.
pub const CORNER: f64 = 10.0 * std::f64::consts::PI / 180.0;
/// Half the length, mm, over which the bend of a chord line is averaged. chosen: a few chords of a letter.
const BEND_REACH: f64 = 3.0;

/// The paint edge from one corner to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Index of the character; -1 for an outline of no single character.
    pub glyph: i32,
    /// Index of the ring within its character.
    pub ring: i32,
    /// True if the ring is a hole of the paint: the mask inside it is an island.
    pub hole: bool,
    /// Points along it, flat, mm, within 0.005 mm of the paint edge; a closed run repeats its first.
    pub points: Vec<Point>,
    /// The whole ring without a corner.
    pub closed: bool,
    /// Turn at its start and at its finish, radians; left positive: the paint is convex there. 0 if closed.
    pub turns: [f64; 2],
    /// Unit directions of travel at its start and its finish.
    pub ways: [Vec2; 2],
    /// Least radius, mm, where the paint bulges towards the mask (the tape's line is its inner edge).
    pub bulging: f64,
    /// Least radius, mm, where the mask bulges towards the paint (the tape's line is its outer edge).
    pub hollow: f64,
    /// Length, mm.
    pub length: f64,
    /// The runs before and after it in its ring.
    pub before: usize,
    /// See `before`.
    pub after: usize,
}

impl Run {
    /// True if it is one straight line.
    pub fn straight(&self) -> bool {
        self.points.len() == 2
    }

    /// The point `s` mm along it and the direction there.
    pub fn at(&self, s: f64) -> (Point, Vec2) {
        let mut left = s.max(0.0);
        for w in self.points.windows(2) {
            let d = w[0].distance(w[1]);
            if left <= d && d > 0.0 {
                return (w[0].lerp(w[1], left / d), (w[1] - w[0]) / d);
            }
            left -= d;
        }
        (self.points[self.points.len() - 1], self.ways[1])
    }

    /// Its points between `from` and `to` mm along it.
    pub fn part(&self, from: f64, to: f64) -> Vec<Point> {
        let mut out = vec![self.at(from).0];
        let mut s = 0.0;
        for w in self.points.windows(2) {
            s += w[0].distance(w[1]);
            if s > from + NOISE_MM && s < to - NOISE_MM {
                out.push(w[1]);
            }
        }
        // No two points that are one once they are rounded on their way out.
        let end = self.at(to).0;
        while out.len() > 1 && out[out.len() - 1].distance(end) <= 2.0 * OUTPUT_MM {
            out.pop();
        }
        if out.len() > 1 && out[0].distance(out[1]) <= 2.0 * OUTPUT_MM {
            out.remove(1);
        }
        out.push(end);
        out
    }
}

/// One point of an outline being walked.
struct Walked {
    p: Point,
    /// Directions of travel into it and out of it.
    into: Vec2,
    out: Vec2,
    /// Signed radius of the edge that leaves it; left positive, infinite if straight.
    radius: f64,
}

/// Adds the runs of one ring.
pub fn runs_of_ring(ring: &Ring, glyph: i32, index: i32, runs: &mut Vec<Run>) {
    runs_from(ring, glyph, index, Cuts::LETTER, runs);
}

/// Where a paint edge is cut into runs.
#[derive(Clone, Copy, Debug)]
pub struct Cuts {
    /// At turns of more than this, radians.
    pub corner: f64,
    /// Where an arc meets a straight line or chords too, as a round end meets a stripe's edges.
    pub at_arcs: bool,
}

impl Cuts {
    /// A letter's.
    pub const LETTER: Cuts = Cuts { corner: CORNER, at_arcs: false };
}

/// Adds the runs of one ring.
pub fn runs_from(ring: &Ring, glyph: i32, index: i32, cuts: Cuts, runs: &mut Vec<Run>) {
    let walked = walk(ring);
    let n = walked.len();
    if n < 3 {
        return;
    }
    let hole = ring.area() < 0.0;
    let arc_ends =
        |i: usize| cuts.at_arcs && walked[i].radius.is_finite() != walked[(i + n - 1) % n].radius.is_finite();
    // Where an arc begins without a turn both tapes run on, as past a corner of the paint that is hardly one.
    let turn = |w: &Walked| w.into.cross(w.out).atan2(w.into.dot(w.out));
    let told = |i: usize| {
        let turn = turn(&walked[i]);
        if arc_ends(i) && turn.abs() <= cuts.corner { NOISE_UNIT } else { turn }
    };
    let corners: Vec<usize> =
        (0..n).filter(|i| turn(&walked[*i]).abs() > cuts.corner || arc_ends(*i)).collect();
    let first = runs.len();
    let closed = corners.is_empty();
    let ends: Vec<(usize, usize)> = if closed {
        vec![(start_of_closed(&walked), n)]
    } else {
        let k = corners.len();
        (0..k).map(|i| (corners[i], (corners[(i + 1) % k] + n - corners[i] - 1) % n + 1)).collect()
    };
    let count = ends.len();
    for (k, (from, steps)) in ends.into_iter().enumerate() {
        let points: Vec<Point> = (0..=steps).map(|i| walked[(from + i) % n].p).collect();
        let (bulging, hollow) = bends(&walked, from, steps, closed);
        let last = &walked[(from + steps) % n];
        runs.push(Run {
            glyph,
            ring: index,
            hole,
            length: points.windows(2).map(|w| w[0].distance(w[1])).sum(),
            closed,
            turns: if closed { [0.0; 2] } else { [told(from), told((from + steps) % n)] },
            ways: [walked[from].out, last.into],
            bulging,
            hollow,
            points,
            before: first + (k + count - 1) % count,
            after: first + (k + 1) % count,
        });
    }
}

/// Where the tape of a ring without corners begins: at its lowest point, nearest to the painter.
fn start_of_closed(walked: &[Walked]) -> usize {
    (0..walked.len()).min_by(|a, b| walked[*a].p.y.total_cmp(&walked[*b].p.y)).unwrap_or(0)
}

/// Least radii of a stretch, bending left and bending right.
fn bends(walked: &[Walked], from: usize, steps: usize, closed: bool) -> (f64, f64) {
    let n = walked.len();
    let (mut left, mut right) = (f64::INFINITY, f64::INFINITY);
    let mut take = |radius: f64| {
        if radius > 0.0 {
            left = left.min(radius);
        } else {
            right = right.min(-radius);
        }
    };
    let step = |i: usize| {
        let (a, b) = (&walked[(from + i) % n], &walked[(from + i + 1) % n]);
        (b.p - a.p).hypot()
    };
    let turn = |i: usize| {
        let w = &walked[(from + i) % n];
        // Within an arc the chords' turn is told by its radius.
        if w.radius.is_finite() { 0.0 } else { w.into.cross(w.out).atan2(w.into.dot(w.out)) }
    };
    for i in 0..steps {
        let radius = walked[(from + i) % n].radius;
        if radius.is_finite() {
            take(radius);
        }
        if i == 0 && !closed {
            continue;
        }
        if turn(i).abs() <= 0.0 {
            continue;
        }
        let (mut sum, mut reach) = (turn(i), 0.0);
        for way in [false, true] {
            let (mut far, mut k) = (0.0, i);
            loop {
                let back = if way { Some(k) } else { k.checked_sub(1) };
                let Some(at) = back.filter(|at| *at < steps) else { break };
                let d = step(at);
                if far + d > BEND_REACH {
                    far = BEND_REACH.min(far + d);
                    break;
                }
                far += d;
                k = if way { k + 1 } else { at };
                if k == 0 || k >= steps {
                    break;
                }
                sum += turn(k);
            }
            reach += far;
        }
        if sum.abs() > 0.0 {
            take(reach / sum);
        }
    }
    (left, right)
}

/// The ring as points with directions; arcs as chords with their own tangents.
fn walk(ring: &Ring) -> Vec<Walked> {
    let straight = ring.vertices.iter().all(|v| v.bulge == 0.0);
    let thinned;
    let ring = if straight && ring.vertices.len() > 64 {
        thinned =
            Ring::from_points(thin(&ring.vertices.iter().map(|v| v.p).collect::<Vec<_>>(), TAPE_PATH_MM));
        &thinned
    } else {
        ring
    };
    let edges: Vec<Edge> = ring.edges().filter(|e| e.length() > NOISE_MM).collect();
    let n = edges.len();
    let mut out = Vec::new();
    for (i, e) in edges.iter().enumerate() {
        let before = &edges[(i + n - 1) % n];
        let into = before.direction(1.0);
        match e {
            Edge::Line { a, .. } => {
                out.push(Walked { p: *a, into, out: e.direction(0.0), radius: f64::INFINITY });
            }
            Edge::Arc { radius, turn, .. } => {
                let rise = (1.0 - TAPE_PATH_MM / radius).clamp(-1.0, 1.0).acos() * 2.0;
                let steps = (turn.abs() / rise.max(NOISE_MM)).ceil().clamp(1.0, 720.0) as usize;
                for k in 0..steps {
                    let f = k as f64 / steps as f64;
                    let way = e.direction(f);
                    out.push(Walked {
                        p: e.at(f),
                        into: if k == 0 { into } else { way },
                        out: way,
                        radius: radius * turn.signum(),
                    });
                }
            }
        }
    }
    out
}

/// The corners of a closed chord line that keep it within `within` mm.
pub fn thin(points: &[Point], within: f64) -> Vec<Point> {
    let n = points.len();
    if n < 4 {
        return points.to_vec();
    }
    // Two points that surely stay: the leftmost, and the one farthest from it.
    let a = (0..n).min_by(|i, j| points[*i].x.total_cmp(&points[*j].x)).unwrap_or(0);
    let far = |i: &usize| points[*i].distance(points[a]);
    let b = (0..n).max_by(|i, j| far(i).total_cmp(&far(j))).unwrap_or(0);
    let steps = (b + n - a) % n;
    let mut out = Vec::new();
    thin_open(points, a, steps, within, &mut out);
    thin_open(points, b, n - steps, within, &mut out);
    out
}

/// Keeps the first of the points `from ..= from + steps` (round the ring) and those needed between.
pub(super) fn thin_open(points: &[Point], from: usize, steps: usize, within: f64, out: &mut Vec<Point>) {
    let n = points.len();
    let mut open = vec![(from, steps)];
    while let Some((from, steps)) = open.pop() {
        let (a, b) = (points[from % n], points[(from + steps) % n]);
        let along = b - a;
        let length = along.hypot();
        let off = |i: usize| {
            let d = points[(from + i) % n] - a;
            if length <= NOISE_MM {
                return d.hypot();
            }
            let t = (d.dot(along) / (length * length)).clamp(0.0, 1.0);
            (d - along * t).hypot()
        };
        let worst = (1..steps).map(|i| (off(i), i)).max_by(|x, y| x.0.total_cmp(&y.0));
        match worst {
            Some((d, i)) if d > within => {
                open.push((from + i, steps - i));
                open.push((from, i));
            }
            _ => out.push(a),
        }
    }
}
