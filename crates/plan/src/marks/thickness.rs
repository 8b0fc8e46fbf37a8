//! Callipers: how thick the strokes of a character are, seen from along its own outline.
//!
//! From points along each edge a ray goes square into the paint to the edge facing it. Where that edge runs
//! back within 15 degrees of parallel, the ray measured something: a stroke if the two are parallel, a
//! junction of strokes if they are not.

use geom::point::left_of;
use geom::tolerance::{NOISE_MM, NOISE_UNIT, PARALLEL_SINE};
use geom::{Edge, Point, Ring, Vec2};

/// Points looked from on each edge.
const LOOKS: usize = 41;

/// Widest angle, radians, by which two edges may miss being parallel and still be the two sides of a stroke.
/// chosen: a tapering stroke of a drawn letter stays within half a degree.
const PARALLEL_SIDES: f64 = 0.01;

/// Chords longer than this many median strokes cross a junction of strokes, not a stroke.
/// chosen: block letters have none between 1 and 1.3.
const JUNCTION: f64 = 1.25;

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
pub fn thickness(rings: &[Ring]) -> Option<Thickness> {
    // Each place counts by the length of edge it stands for: a bar is as thick as its long sides say.
    let mut lengths: Vec<(f64, f64)> = Vec::new();
    for seen in look(rings) {
        let weight = seen.edge.length() / LOOKS as f64;
        lengths.extend(seen.chords.iter().filter(|c| c.off <= PARALLEL_SIDES).map(|c| (c.length, weight)));
    }
    lengths.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = lengths.iter().map(|l| l.1).sum::<f64>() / 2.0;
    let mut so_far = 0.0;
    let median = lengths.iter().find(|l| {
        so_far += l.1;
        so_far >= half
    })?;
    let median = median.0;
    let most = lengths.iter().rev().map(|l| l.0).find(|l| *l <= JUNCTION * median)?;
    Some(Thickness { least: lengths[0].0, most, median })
}

/// What one ray found.
#[derive(Clone, Copy, Debug)]
pub struct Chord {
    /// Length.
    pub length: f64,
    /// Angle by which the facing edge misses being parallel, radians.
    pub off: f64,
}

/// The chords seen from one edge.
pub struct Seen {
    /// The edge.
    pub edge: Edge,
    /// What its rays found.
    pub chords: Vec<Chord>,
}

/// Looks into the paint from every edge.
pub fn look(rings: &[Ring]) -> Vec<Seen> {
    let edges: Vec<Edge> = rings.iter().flat_map(Ring::edges).collect();
    (0..edges.len())
        .map(|i| {
            let shares = (0..LOOKS).map(|k| (k as f64 + 0.5) / LOOKS as f64);
            Seen { edge: edges[i], chords: shares.filter_map(|f| chord(&edges, i, f)).collect() }
        })
        .collect()
}

fn chord(edges: &[Edge], i: usize, f: f64) -> Option<Chord> {
    let (from, travel) = (edges[i].at(f), edges[i].direction(f));
    let ray = left_of(travel);
    let mut nearest: Option<(f64, Vec2)> = None;
    for (j, edge) in edges.iter().enumerate() {
        for (length, there) in hits(edge, from, ray) {
            // An arc may face itself, but not where the ray starts.
            let starts = i == j && length < NOISE_MM;
            if length > NOISE_UNIT && !starts && nearest.is_none_or(|(least, _)| length < least) {
                nearest = Some((length, there));
            }
        }
    }
    let (length, there) = nearest?;
    let off = travel.cross(-there).atan2(travel.dot(-there)).abs();
    (off <= 15f64.to_radians()).then_some(Chord { length, off })
}

/// Where a ray meets an edge: distance, and the edge's direction there.
fn hits(edge: &Edge, from: Point, ray: Vec2) -> Vec<(f64, Vec2)> {
    match *edge {
        Edge::Line { a, b } => {
            let v = b - a;
            let sine = ray.cross(v);
            if sine.abs() < PARALLEL_SINE {
                return Vec::new();
            }
            let (length, share) = ((a - from).cross(v) / sine, (a - from).cross(ray) / sine);
            if (0.0..=1.0).contains(&share) { vec![(length, v.normalize())] } else { Vec::new() }
        }
        Edge::Arc { a, centre, radius, turn, .. } => {
            let to = from - centre;
            let b = to.dot(ray);
            let inside = b * b - to.hypot2() + radius * radius;
            if inside < 0.0 {
                return Vec::new();
            }
            [-b - inside.sqrt(), -b + inside.sqrt()]
                .into_iter()
                .filter_map(|length| {
                    let p = from + ray * length;
                    let turned = (a - centre).cross(p - centre).atan2((a - centre).dot(p - centre));
                    let ahead = (turned * turn.signum()).rem_euclid(std::f64::consts::TAU);
                    (ahead <= turn.abs()).then(|| (length, left_of(p - centre).normalize() * turn.signum()))
                })
                .collect()
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
            for stroke in [0.12, 1.0 / 6.0, 0.2] {
                for c in characters(alphabet).chars() {
                    let p = Proportions { width: 0.8, wide: 1.04, stroke };
                    let t = thickness(&glyph(alphabet, c, &p).unwrap().rings).unwrap();
                    let within = |x: f64| (x / stroke - 1.0).abs() < 0.002;
                    assert!(within(t.median) && within(t.least), "{alphabet:?} {c} {stroke}: {t:?}");
                }
            }
        }
    }
}
