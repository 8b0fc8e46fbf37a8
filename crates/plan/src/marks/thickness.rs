//! Callipers: how thick the strokes of a character are, felt from along its own outline.
//!
//! At points along each edge a disc grows into the paint, touching the edge there, until it touches the outline
//! once more. Where the second touch lies opposite the first, within 15 degrees, the disc lies across a stroke
//! and is as wide as the stroke is thick, be the stroke straight, curved or tapered. Elsewhere it lies in a corner
//! or where strokes meet, and says nothing.

use geom::point::left_of;
use geom::tolerance::{NOISE_RELATIVE, NOISE_UNIT, PARALLEL_SINE};
use geom::{Edge, Point, Ring, Vec2};

/// Most points felt on one edge; odd, so that one lies in the middle.
const FEELS_MOST: usize = 41;

/// Points felt along the whole outline, about. chosen: a stroke of a sixth of the height is felt 15 times in
/// its own thickness.
const FEELS: f64 = 600.0;

/// Widest angle, radians, by which two sides of a stroke may miss being opposite.
const OPPOSITE: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// Widest angle, radians, by which two edges may miss being parallel and still be the sides of an even stroke.
/// chosen: the strokes of block letters stay within a millionth; half a degree over a stroke's thickness is
/// less than a hundredth of it.
const PARALLEL_SIDES: f64 = 0.01;

/// Thickness of the strokes of one character, in the unit of its outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thickness {
    /// Thinnest.
    pub least: f64,
    /// Thickest, junctions left out.
    pub most: f64,
    /// The middle one of all places measured.
    pub median: f64,
}

/// Thickness of the strokes of a character; `None` if no two sides face each other.
///
/// Exact on straight edges and arcs; rings must not cross and run as those of a glyph do.
pub fn thickness(rings: &[Ring]) -> Option<Thickness> {
    let sides = sides(rings);
    let step = rings.iter().map(Ring::perimeter).sum::<f64>() / FEELS;
    // Each place counts by the length of edge it stands for: a bar is as thick as its long sides say.
    let mut found: Vec<(f64, f64)> = Vec::new();
    for i in 0..sides.len() {
        let length = sides[i].edge.length();
        let feels = ((length / step / 2.0) as usize * 2 + 1).min(FEELS_MOST);
        let shares = (0..feels).map(|k| (k as f64 + 0.5) / feels as f64);
        let discs: Vec<Disc> =
            shares.filter_map(|f| disc(&sides, i, f)).filter(|d| d.off <= OPPOSITE).collect();
        // An edge that has a parallel side somewhere belongs to an even stroke: what faces it at an angle
        // elsewhere is another stroke, running into this one.
        let even = discs.iter().any(|d| d.off <= PARALLEL_SIDES);
        let counted = discs.iter().filter(|d| !even || d.off <= PARALLEL_SIDES);
        found.extend(counted.map(|d| (2.0 * d.radius, length / feels as f64)));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = found.iter().map(|l| l.1).sum::<f64>() / 2.0;
    let mut so_far = 0.0;
    let median = found.iter().find(|l| {
        so_far += l.1;
        so_far >= half
    })?;
    Some(Thickness { least: found.first()?.0, most: found.last()?.0, median: median.0 })
}

/// An edge, and how sharply the outline turns at its ends.
struct Side {
    edge: Edge,
    /// The box round it.
    bounds: (Point, Point),
    /// Angles turned through at its start and at its end, radians, either way.
    turns: [f64; 2],
}

fn sides(rings: &[Ring]) -> Vec<Side> {
    let mut sides = Vec::new();
    for ring in rings {
        let edges: Vec<Edge> = ring.edges().filter(|e| e.length() > 0.0).collect();
        let n = edges.len();
        let turn = |a: &Edge, b: &Edge| angle(a.direction(1.0), b.direction(0.0));
        sides.extend((0..n).map(|i| Side {
            edge: edges[i],
            bounds: edges[i].bounds(),
            turns: [turn(&edges[(i + n - 1) % n], &edges[i]), turn(&edges[i], &edges[(i + 1) % n])],
        }));
    }
    sides
}

/// A disc in the paint that touches the outline twice.
#[derive(Clone, Copy)]
struct Disc {
    radius: f64,
    /// Angle by which the two touches miss being opposite; pi where the second is at a sharp corner.
    off: f64,
}

/// The largest disc in the paint that touches side `i` a share `f` of the way along.
fn disc(sides: &[Side], i: usize, f: f64) -> Option<Disc> {
    let (from, inward) = (sides[i].edge.at(f), left_of(sides[i].edge.direction(f)));
    let mut best: Option<Disc> = None;
    let take = |best: &mut Option<Disc>, radius: f64, foot: Point, sharp: bool| {
        let (nearer, level) = best.map_or((true, false), |b| {
            let slack = NOISE_UNIT * b.radius;
            (radius < b.radius - slack, radius < b.radius + slack)
        });
        if !nearer && !level {
            return;
        }
        // Of two touches at once the more opposite one says what the disc lies in.
        let off = if sharp { std::f64::consts::PI } else { opposite(from, inward, radius, foot) };
        if nearer || best.is_some_and(|b| off < b.off) {
            *best = Some(Disc { radius, off });
        }
    };
    for (j, side) in sides.iter().enumerate() {
        // Outside the smallest disc so far nothing makes a smaller one.
        if best.is_some_and(|b| clear_of(side.bounds, from + inward * b.radius, b.radius)) {
            continue;
        }
        if let Some((radius, foot)) = touch(side.edge, from, inward, i == j) {
            take(&mut best, radius, foot, false);
        }
        let ends = [(side.edge.start(), side.turns[0]), (side.edge.end(), side.turns[1])];
        for (corner, turn) in ends {
            let to = corner - from;
            let ahead = to.dot(inward);
            if ahead > NOISE_UNIT * to.hypot() {
                take(&mut best, to.hypot2() / (2.0 * ahead), corner, turn > OPPOSITE);
            }
        }
    }
    best
}

/// True if a box lies off the disc.
fn clear_of((lo, hi): (Point, Point), centre: Point, radius: f64) -> bool {
    let reach = radius * (1.0 + 4.0 * NOISE_UNIT);
    lo.x > centre.x + reach || hi.x < centre.x - reach || lo.y > centre.y + reach || hi.y < centre.y - reach
}

/// Angle by which a touch at `foot` misses lying opposite the touch at `from`.
fn opposite(from: Point, inward: Vec2, radius: f64, foot: Point) -> f64 {
    let to = foot - (from + inward * radius);
    angle(to, inward)
}

fn angle(u: Vec2, v: Vec2) -> f64 {
    u.cross(v).atan2(u.dot(v)).abs()
}

/// Radius of the disc that touches `from` and, between its ends, an edge; and where it touches that edge.
fn touch(edge: Edge, from: Point, inward: Vec2, own: bool) -> Option<(f64, Point)> {
    match edge {
        Edge::Line { a, b } => {
            let along = (b - a).normalize();
            let towards = left_of(along);
            let height = (from - a).dot(towards);
            let facing = 1.0 - inward.dot(towards);
            if own || height <= 0.0 || facing <= PARALLEL_SINE {
                return None;
            }
            // The centre, r inward, is r from the line: height + r inward.towards = r.
            let radius = height / facing;
            let foot = from + inward * radius - towards * radius;
            let share = (foot - a).dot(along);
            (0.0 <= share && share <= a.distance(b)).then_some((radius, foot))
        }
        Edge::Arc { a, centre, radius: big, turn, .. } => {
            let out = from - centre;
            let ahead = inward.dot(out);
            // Paint is inside an arc that turns left, outside one that turns right; the squared distance of
            // the disc's centre from the arc's is (big - r)^2 or (big + r)^2.
            let sign = turn.signum();
            let (rise, slope) = (sign * (big * big - out.hypot2()), 2.0 * (sign * ahead + big));
            let on_the_circle = own || rise.abs() <= NOISE_RELATIVE * big * big * FEELS;
            let radius = match (on_the_circle, turn > 0.0) {
                // From inside a circle to itself: the circle is the disc, and touches it across.
                (true, true) => big,
                (true, false) => return None,
                (false, _) if slope > PARALLEL_SINE * big && rise > 0.0 => rise / slope,
                (false, _) => return None,
            };
            let across = if on_the_circle { -out } else { out + inward * radius };
            if across.hypot() <= NOISE_UNIT * big {
                return Some((radius, from + inward * (2.0 * radius)));
            }
            let foot = centre + across.normalize() * big;
            let turned = (a - centre).cross(foot - centre).atan2((a - centre).dot(foot - centre));
            let gone = (turned * sign).rem_euclid(std::f64::consts::TAU);
            (gone <= turn.abs()).then_some((radius, foot))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::marks::letters::{Alphabet, Proportions, characters, glyph};

    #[test]
    fn block_letters_measure_the_stroke_they_were_asked_for() {
        for alphabet in Alphabet::ALL {
            let cases = [0.10, 0.12, 1.0 / 6.0, 0.22].map(|t| [(t, 4.0 * t, 5.2 * t), (t, 0.88, 1.15)]);
            for (stroke, width, wide) in cases.concat() {
                for c in characters(alphabet).chars() {
                    let p = Proportions { width, wide, stroke };
                    let t = thickness(&glyph(alphabet, c, &p).unwrap().rings).unwrap();
                    let within = |x: f64| (x / stroke - 1.0).abs() < 0.002;
                    assert!(
                        within(t.median) && within(t.least) && within(t.most),
                        "{alphabet:?} {c} {stroke}: {t:?}"
                    );
                }
            }
        }
    }

    fn near(got: f64, want: f64, share: f64) -> bool {
        (got / want - 1.0).abs() < share
    }

    #[test]
    fn a_ring_is_as_thick_as_its_radii_differ() {
        // Closed form: R - r, with arcs and with chords.
        let rings = [Ring::circle(Point::ZERO, 0.5), Ring::circle(Point::ZERO, 0.36).reversed()];
        let t = thickness(&rings).unwrap();
        assert!(near(t.least, 0.14, 1e-9) && near(t.most, 0.14, 1e-9), "{t:?}");
        let chords = rings.map(|r| Ring::from_points(r.flattened(4e-6)));
        let t = thickness(&chords).unwrap();
        assert!(near(t.least, 0.14, 2e-4) && near(t.most, 0.14, 2e-4) && near(t.median, 0.14, 2e-4), "{t:?}");
    }

    #[test]
    fn a_thick_and_thin_ring_measures_its_thinnest_and_its_thickest() {
        // Closed form: a hole e off the middle leaves R - r - e at one side and R - r + e at the other.
        let rings = [Ring::circle(Point::ZERO, 0.5), Ring::circle(Point::new(0.06, 0.0), 0.36).reversed()]
            .map(|r| Ring::from_points(r.flattened(4e-6)));
        let t = thickness(&rings).unwrap();
        assert!(near(t.least, 0.08, 2e-3) && near(t.most, 0.20, 2e-3), "{t:?}");
        assert!(0.13 < t.median && t.median < 0.15, "{t:?}");
    }

    #[test]
    fn a_tapering_bar_measures_the_discs_that_fit_between_its_sides() {
        // Closed form: sides at +-half off the axis meet at an apex; a disc a way x from the apex along the
        // axis has the radius x sin half. The first disc clear of the narrow end has its centre x0 + r from
        // the apex, the last clear of the wide end x1 - r.
        let (thin, thick) = (0.1_f64, 0.2_f64);
        let bar = Ring::from_points(
            [(0.0, -thin / 2.0), (1.0, -thick / 2.0), (1.0, thick / 2.0), (0.0, thin / 2.0)].map(Point::from),
        );
        let half = ((thick - thin) / 2.0_f64).atan();
        let (x0, x1) = (thin / 2.0 / half.tan(), thick / 2.0 / half.tan());
        let least = 2.0 * x0 * half.sin() / (1.0 - half.sin());
        let most = 2.0 * x1 * half.sin() / (1.0 + half.sin());
        let t = thickness(&[bar]).unwrap();
        assert!(near(t.least, least, 0.02) && near(t.most, most, 0.02), "{t:?} {least} {most}");
        assert!(near(t.median, (least + most) / 2.0, 0.01), "{t:?}");
    }

    #[test]
    fn where_two_bars_cross_nothing_is_measured() {
        // A cross of bars 0.1 and 0.3 thick: discs in the middle touch the corners.
        let (u, v) = (0.05, 0.15);
        let corners = [
            (u, v),
            (u, 1.0),
            (-u, 1.0),
            (-u, v),
            (-1.0, v),
            (-1.0, -v),
            (-u, -v),
            (-u, -1.0),
            (u, -1.0),
            (u, -v),
            (1.0, -v),
            (1.0, v),
        ];
        let t = thickness(&[Ring::from_points(corners.map(Point::from))]).unwrap();
        assert!(near(t.least, 0.1, 1e-9) && near(t.most, 0.3, 1e-9), "{t:?}");
    }
}
