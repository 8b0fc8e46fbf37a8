//! The smooth batten that a stripe on a scan is laid along: through places of its line, so that the tape's bends are those of
//! the line and not of single triangles; between stations, and no farther than its ends lie on the scan.

use super::curved::{Asked, ROUNDS, farthest, none, off_skin};
use super::say::EDGE_MM;
use super::way::{BEND, Chords, Way};
use crate::surface::strip::Course;
use crate::surface::{ScanSkin, StripSkin};
use geom::spline::Spline;
use geom::tolerance::KEPT_MM;
use geom::{Point, Point3, Vec2};
use skin::Mesh;
use skin::beside::Place;

/// Largest distance between the batten and its joins, mm: what an edge may be off, and what a strip on a scan is walked to.
const RISE: f64 = EDGE_MM;
/// The most it turns by from one join to the next, radians: half of what would be a mitre.
const TURN: f64 = BEND / 2.0;
/// Most joins from place to place.
const MOST_JOINS: f64 = 200.0;
/// Steps in which an end is drawn back from a rim, mm, and how many widths at most.
pub(super) const BACK: f64 = 1.0;
const BACK_WIDTHS: f64 = 4.0;
/// How far inside a rim an end stays, mm.
const INSIDE: f64 = 0.1;
/// Halvings of a last step back, or of a join at a station.
const HALVINGS: usize = 30;

/// Places that a batten is laid through, and which of them are corners.
#[derive(Clone)]
pub(super) struct Nodes {
    pub(super) points: Vec<Point3>,
    pub(super) corners: Vec<usize>,
}

/// A batten along nodes, on the strip it lies in.
pub(super) struct Laying {
    pub(super) strip: StripSkin,
    pub(super) line: Chords,
    /// Length along the line at each node, mm.
    pub(super) knots: Vec<f64>,
    pub(super) corners: Vec<usize>,
    /// Distance between the line and the middle of the strip, mm.
    pub(super) apart: f64,
}

impl Nodes {
    pub(super) fn of(mesh: &Mesh, places: &[Place]) -> Nodes {
        Nodes {
            points: places.iter().map(|p| p.spot.point(mesh)).collect(),
            corners: (0..places.len()).filter(|k| places[*k].corner).collect(),
        }
    }
}

/// A batten through nodes, walked and laid anew until both are one.
pub(super) fn laid(scan: &ScanSkin, nodes: &Nodes, width: f64) -> Result<Laying, String> {
    let count = nodes.points.len();
    let stops: Vec<f64> = (0..count).map(|k| k as f64).collect();
    let at = |t: f64| {
        let k = (t.floor() as usize).min(count - 2);
        let share = t - k as f64;
        // The points themselves are met, not looked for again.
        Some(match share {
            0.0 => nodes.points[k],
            1.0 => nodes.points[k + 1],
            _ => StripSkin::spot_near(scan, nodes.points[k].lerp(nodes.points[k + 1], share)).0,
        })
    };
    let course = Course { at: &at, stops: &stops, legs: true };
    let strip = StripSkin::on_scan(scan, course, width).ok_or_else(off_skin)?;
    let corners = nodes.corners.clone();
    let (line, knots) = batten(&strip.flat_of_stops(&stops), &corners).ok_or_else(none)?;
    let mut best =
        Laying { apart: farthest(&strip, &Way::Chords(line.clone())), strip, line, knots, corners };
    for _ in 0..ROUNDS {
        let line = &best.line;
        let next = best.strip.redrawn(&|s| line.at(s).p, &best.knots, width).ok_or_else(off_skin)?;
        let (line, knots) = batten(&next.flat_of_stops(&best.knots), &best.corners).ok_or_else(none)?;
        let apart = farthest(&next, &Way::Chords(line.clone()));
        // Over triangles the two come no nearer than a join may leave its line.
        let nearer = apart < best.apart / 2.0;
        if best.apart <= apart {
            break;
        }
        best = Laying { strip: next, line, knots, corners: best.corners, apart };
        if !nearer {
            break;
        }
    }
    Ok(best)
}

/// Joins of a smooth batten through points of flat, parted at corners, and where along it the points are, mm. Its ends run
/// on as they came: a batten with free ends would be straight there.
fn batten(points: &[Point], corners: &[usize]) -> Option<(Chords, Vec<f64>)> {
    let last = points.len().checked_sub(1)?;
    let mut stops = vec![0];
    stops.extend(corners.iter().copied().filter(|k| 0 < *k && *k < last));
    stops.push(last);
    let mut joins = vec![points[0]];
    for w in stops.windows(2) {
        let own = &points[w[0]..=w[1]];
        let n = own.len();
        if n < 4 {
            let parts = (n > 2).then(|| Spline::by_arc_length(own, 3)).flatten();
            match parts {
                Some(spline) => joined(&mut joins, &spline, 0, n - 1),
                None => joins.extend(own[1..].iter().flat_map(|p| [*p])),
            }
            continue;
        }
        let on =
            |a: Point, b: Point, c: Point| (a.to_vec2() * 3.0 - b.to_vec2() * 3.0 + c.to_vec2()).to_point();
        let run_on: Vec<Point> = [on(own[0], own[1], own[2])]
            .into_iter()
            .chain(own.iter().copied())
            .chain([on(own[n - 1], own[n - 2], own[n - 3])])
            .collect();
        joined(&mut joins, &Spline::by_arc_length(&run_on, 3)?, 1, n);
    }
    let line = Chords::new(joins)?;
    // Its own points are among its joins.
    let mut knots = Vec::with_capacity(points.len());
    let mut k = 0;
    for p in points {
        let far = |i: usize| line.points()[i].distance(*p);
        while k + 1 < line.points().len() && KEPT_MM < far(k) {
            k += 1;
        }
        knots.push(line.knots()[k]);
    }
    knots.windows(2).all(|w| w[0] < w[1]).then_some((line, knots))
}

/// The joins of a spline from its point `from` to its point `to`, the first left out.
fn joined(joins: &mut Vec<Point>, spline: &Spline, from: usize, to: usize) {
    for k in from..to {
        let (a, b) = (spline.knots()[k], spline.knots()[k + 1]);
        let way = |v: f64| spline.derivative(v);
        let ways = [a, f64::midpoint(a, b), b].map(way);
        let turn = |u: Vec2, v: Vec2| u.cross(v).atan2(u.dot(v)).abs();
        let turns = 2.0 * turn(ways[0], ways[1]).max(turn(ways[1], ways[2]));
        // An arc that turns by t over a length l stands l t / 8 over its chord.
        let risen = ((b - a) * turns / (8.0 * RISE)).sqrt();
        let parts = risen.max(turns / TURN).ceil().clamp(1.0, MOST_JOINS) as u32;
        joins.extend((1..=parts).map(|i| spline.at(a + (b - a) * f64::from(i) / f64::from(parts))));
    }
}

/// Between the stations asked for, and drawn back so that both corners of each end lie on the scan.
pub(super) fn fitted(
    asked: &Asked<'_>,
    scan: &ScanSkin,
    between: [Option<f64>; 2],
    laying: Laying,
    step: f64,
) -> Result<Laying, String> {
    let (line, strip) = (&laying.line, &laying.strip);
    let whole = line.length();
    let station = |s: f64| match scan.axes().zip(strip.space(line.at(s).p)) {
        Some((axes, p)) => axes.read(p).x,
        None => s,
    };
    let nothing = || "its line has nothing between the stations `from` and `to`".to_owned();
    // It is walked aft, but for what runs upright or has no stations.
    let (fore, last) = (station(0.0), station(whole));
    let falls = last < fore;
    let (mut ends, mut cut) = ([0.0, whole], false);
    for (asked, is_from) in [(between[0], true), (between[1], false)] {
        let Some(to) = asked else { continue };
        let (low, high) = (fore.min(last), fore.max(last));
        if (is_from && high <= to) || (!is_from && to <= low) {
            return Err(nothing());
        }
        if low < to && to < high {
            let (mut a, mut b) = (0.0, whole);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(a, b);
                if (station(middle) < to) == falls { b = middle } else { a = middle }
            }
            ends[usize::from(is_from == falls)] = f64::midpoint(a, b);
            cut = true;
        }
    }
    let on = |s: f64, half: f64| {
        let at = line.at(s);
        strip.space(at.p + at.left * half).is_some() && strip.space(at.p - at.left * half).is_some()
    };
    let mut drawn = false;
    for (k, end) in ends.iter_mut().enumerate() {
        let (half, way) = (asked.shape.half_at(k as f64), if k == 0 { 1.0 } else { -1.0 });
        // A hair inside the rim, so that what is laid anew does not stand over it by less than that.
        let fits = |back: f64| on(*end + way * (back - INSIDE), half);
        let most = BACK_WIDTHS * asked.shape.widest() + step;
        let Some(back) = (0..=(most / BACK) as usize).map(|i| i as f64 * BACK).find(|d| fits(*d)) else {
            continue;
        };
        if back > 0.0 {
            let (mut out, mut inside) = (back - BACK, back);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(out, inside);
                if fits(middle) { inside = middle } else { out = middle }
            }
            *end += way * inside;
            drawn = true;
        }
    }
    if !drawn && !cut {
        return Ok(laying);
    }
    if ends[1] <= ends[0] + step / 4.0 {
        return Err(nothing());
    }
    let kept = |s: &f64| ends[0] + step / 2.0 < *s && *s < ends[1] - step / 2.0;
    let inner: Vec<usize> = (0..laying.knots.len()).filter(|k| kept(&laying.knots[*k])).collect();
    let places = [ends[0]].into_iter().chain(inner.iter().map(|k| laying.knots[*k])).chain([ends[1]]);
    let points =
        places.map(|s| strip.space(line.at(s).p)).collect::<Option<Vec<_>>>().ok_or_else(off_skin)?;
    let corners = (0..inner.len()).filter(|k| laying.corners.contains(&inner[*k])).map(|k| k + 1).collect();
    laid(scan, &Nodes { points, corners }, asked.shape.widest())
}
