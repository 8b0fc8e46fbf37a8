//! Where the edges of a stripe are to be marked: at every rib, or at even stations, and where they enter a part that is
//! painted apart.

use super::edges::RISE;
use crate::job::Unit;
use crate::surface::Skin;
use geom::distance::crossings;
use geom::measure::segments;
use geom::tolerance::{FAIR_MM, GRID_MM};
use geom::{Point, Region, Ring};

/// Most stations of one stripe. chosen: far more than anyone marks; beyond it they are set wider.
const MOST: usize = 400;

/// Most times a crossing with a station is looked for closer; two are usual.
const CLOSER: usize = 20;

/// Where the paint lies at one station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Station, mm.
    pub s: f64,
    /// The lesser t of the paint there, mm.
    pub lower: f64,
    /// The greater.
    pub upper: f64,
}

/// Where an edge of the stripe enters or leaves a part or a cover.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// The part's or cover's id.
    pub part: String,
    /// Where on its edge, flat.
    pub flat: Point,
    /// The same on the skin: station and t, mm.
    pub skin: [f64; 2],
}

/// Even stations without ribs: 12 in, or 250 mm in a metric job. chosen.
pub fn step(unit: Unit) -> f64 {
    match unit {
        Unit::In | Unit::Ft => 304.8,
        Unit::Mm | Unit::Cm | Unit::M => 250.0,
    }
}

/// The paint of `rings` at every rib it reaches, or at even stations where there are none, and at both its ends.
pub fn rows(skin: &Skin, rings: &[Ring], unit: Unit) -> Vec<Row> {
    let outline: Vec<Vec<(f64, Point)>> =
        rings.iter().map(|r| r.flattened(RISE).into_iter().map(|p| (skin.station(p), p)).collect()).collect();
    let all = || outline.iter().flatten().map(|p| p.0);
    let (lo, hi) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    if lo.partial_cmp(&hi) != Some(std::cmp::Ordering::Less) {
        return vec![];
    }
    let mut at: Vec<f64> = skin.ribs.iter().map(|r| r.station).collect();
    if at.is_empty() {
        // Along a scan nothing else says where one is.
        let scanned = skin.strip().is_some_and(|s| s.scan().is_some());
        let mut step = if scanned { step(unit) / 4.0 } else { step(unit) };
        while (hi - lo) / step > MOST as f64 {
            step *= 2.0;
        }
        let first = (lo / step).ceil() as i64;
        at = (first..=(hi / step).floor() as i64).map(|k| k as f64 * step).collect();
    }
    at.retain(|s| lo <= *s && *s <= hi);
    at.extend([lo, hi]);
    at.sort_by(f64::total_cmp);
    at.dedup_by(|a, b| (*a - *b).abs() <= GRID_MM);
    // Just inside at the very ends, where a square end would be met along its whole length.
    let inside = |s: f64| s.clamp(lo + FAIR_MM, hi - FAIR_MM);
    at.into_iter()
        .flat_map(|s| {
            crossing(skin, &outline, inside(s)).into_iter().map(move |(lower, upper)| Row { s, lower, upper })
        })
        .collect()
}

/// The stretches of t that lie inside the outline at a station.
fn crossing(skin: &Skin, outline: &[Vec<(f64, Point)>], s: f64) -> Vec<(f64, f64)> {
    let mut t: Vec<f64> = Vec::new();
    for ring in outline {
        for (i, a) in ring.iter().enumerate() {
            let b = &ring[(i + 1) % ring.len()];
            if (a.0 <= s) == (b.0 <= s) {
                continue;
            }
            t.push(if skin.strip().is_some() {
                met(skin, *a, *b, s)
            } else {
                let (p, q) = (skin.skin_from_flat(a.1)[1], skin.skin_from_flat(b.1)[1]);
                p + (q - p) * (s - a.0) / (b.0 - a.0)
            });
        }
    }
    t.sort_by(f64::total_cmp);
    t.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The t at which a straight stretch of flat meets a station, where stations do not run evenly along it.
fn met(skin: &Skin, mut a: (f64, Point), mut b: (f64, Point), s: f64) -> f64 {
    let rising = a.0 < b.0;
    let mut p = a.1;
    for _ in 0..CLOSER {
        p = a.1.lerp(b.1, ((s - a.0) / (b.0 - a.0)).clamp(0.0, 1.0));
        let at = skin.station(p);
        if (at - s).abs() <= GRID_MM {
            break;
        }
        if (at < s) == rising { a = (at, p) } else { b = (at, p) }
    }
    skin.skin_from_flat(p)[1]
}

/// Where the `edges` of a stripe cross the edge of a part, or of a cover that comes off.
pub fn ticks(skin: &Skin, edges: &[Vec<Point>; 2]) -> Vec<Tick> {
    let parts = skin.parts.iter().map(|p| (&p.id, p.outline.clone()));
    let covers = skin.features.iter().filter(|f| f.removable).filter_map(|f| match &f.region {
        Region::Disc { centre, radius } => Some((&f.id, Ring::circle(*centre, *radius))),
        Region::Area { rings } => Some((&f.id, rings.first()?.clone())),
        Region::Band { .. } => None,
    });
    let mut found: Vec<Tick> = Vec::new();
    for (id, outline) in parts.chain(covers) {
        let mut own: Vec<Tick> = Vec::new();
        for bit in edges.iter().flat_map(|edge| segments(edge)) {
            for flat in outline.edges().flat_map(|side| crossings(&bit, &side)) {
                if own.iter().all(|t| t.flat.distance(flat) > GRID_MM) {
                    own.push(Tick { part: id.clone(), flat, skin: skin.skin_from_flat(flat) });
                }
            }
        }
        own.sort_by(|a, b| a.skin[0].total_cmp(&b.skin[0]).then(a.skin[1].total_cmp(&b.skin[1])));
        found.extend(own);
    }
    found
}
