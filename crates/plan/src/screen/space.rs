//! A surface in space, as a screen draws it: strips of a skin that unrolls or is lofted, triangles of a scan; with
//! its features and stripes.

use super::{DRAWN_MM, STEPS};
use crate::book::plan_file::mm;
use crate::run::Plan;
use crate::surface::{ScanSkin, Skin, SkinShape};
use geom::{Point, Point3, Region, Ring};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Strips of a surface in space. chosen: chords too short to be seen; a wing's own lines along the span are straight.
const STRIPS: u32 = 48;

/// Most triangles of a scan that are drawn one by one; a finer scan is drawn by the cells its corners fall in.
/// chosen: a phone turns so many without a stutter.
const MOST_TRIANGLES: usize = 8000;

/// Cells along the greatest extent of a finer scan. chosen: some 6,000 triangles are left.
const CELLS: f64 = 48.0;

impl Plan {
    /// A surface in space: `strips_mm` of points from edge to edge, or `points_mm` and `triangles` of a scan; its
    /// features and stripes as rings. A flat panel stands upright, x aft and its y up. `None` where there is no
    /// such surface, or it has no extent.
    pub fn space(&self, surface: &str) -> Option<Value> {
        let skin = self.skins.iter().find(|k| k.id == surface)?;
        if let SkinShape::Scan(scan) = &skin.shape {
            let (points, triangles) = thinned(scan);
            let points = points.iter().map(xyz).collect::<Vec<_>>();
            return Some(json!({ "points_mm": points, "triangles": triangles }));
        }
        let at = |p: Point| match &skin.shape {
            SkinShape::Flat => Some([mm(p.x), 0.0, mm(p.y)]),
            _ => skin.space_from_flat(p).map(|q| xyz(&q)),
        };
        let strips: Vec<Vec<[f64; 3]>> = columns(&skin.outline)
            .into_iter()
            .map(|(a, b)| {
                (0..=STEPS).filter_map(|k| at(a.lerp(b, f64::from(k) / f64::from(STEPS)))).collect()
            })
            .filter(|strip: &Vec<_>| strip.len() > 1)
            .collect();
        if strips.len() < 2 {
            return None;
        }
        let points = |ring: &Ring| ring.flattened(1.0).into_iter().filter_map(at).collect::<Vec<_>>();
        let stripes = self.stripes.iter().filter(|s| s.surface == skin.id).map(
            |s| json!({ "id": s.id, "rings_mm": s.painted.rings().iter().map(points).collect::<Vec<_>>() }),
        );
        Some(json!({
            "strips_mm": strips, "features_mm": features(skin, points), "stripes": stripes.collect::<Vec<_>>(),
        }))
    }
}

fn xyz(p: &Point3) -> [f64; 3] {
    [mm(p.x), mm(p.y), mm(p.z)]
}

fn features(skin: &Skin, points: impl Fn(&Ring) -> Vec<[f64; 3]>) -> Vec<Vec<[f64; 3]>> {
    let one = |region: &Region| match region {
        Region::Disc { centre, radius } => Some(points(&Ring::circle(*centre, *radius))),
        Region::Area { rings } => rings.first().map(&points),
        Region::Band { .. } => None,
    };
    skin.features.iter().filter_map(|f| one(&f.region)).collect()
}

/// The corners and triangles of a scan; of a fine one those of its cells, each corner at the mean of what fell there.
fn thinned(scan: &ScanSkin) -> (Vec<Point3>, Vec<[u32; 3]>) {
    let (points, triangles) = (scan.mesh().points(), scan.mesh().triangles());
    if triangles.len() <= MOST_TRIANGLES {
        return (points.to_vec(), triangles.to_vec());
    }
    let (mut lo, mut hi) = (Point3::splat(f64::INFINITY), Point3::splat(f64::NEG_INFINITY));
    for p in points {
        (lo, hi) = (lo.min(*p), hi.max(*p));
    }
    let cell = (hi - lo).max_element() / CELLS;
    let mut cells: BTreeMap<[u64; 3], (u32, Point3, f64)> = BTreeMap::new();
    let mut cell_of = Vec::with_capacity(points.len());
    for p in points {
        // Not negative, and few.
        let key = ((*p - lo) / cell).to_array().map(|x| x as u64);
        let next = cells.len() as u32;
        let held = cells.entry(key).or_insert((next, Point3::ZERO, 0.0));
        (held.1, held.2) = (held.1 + *p, held.2 + 1.0);
        cell_of.push(held.0);
    }
    let mut means = vec![Point3::ZERO; cells.len()];
    for (k, sum, n) in cells.into_values() {
        means[k as usize] = sum / n;
    }
    let kept = triangles.iter().map(|t| t.map(|k| cell_of[k as usize]));
    (means, kept.filter(|[a, b, c]| a != b && b != c && c != a).collect())
}

/// Upright lines across an outline from its upper to its lower edge, side by side from left to right, in flat.
fn columns(outline: &Ring) -> Vec<(Point, Point)> {
    let Some((lo, hi)) = outline.bounds() else { return vec![] };
    let corners = outline.flattened(DRAWN_MM);
    let sides: Vec<(Point, Point)> =
        corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| (*a, *b)).collect();
    let across = |x: f64| {
        let at =
            sides.iter().filter(|(a, b)| a.x.min(b.x) <= x && x <= a.x.max(b.x) && (a.x < b.x || b.x < a.x));
        let ys = at.map(|(a, b)| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y));
        let (low, high) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| (l.min(y), h.max(y)));
        (low < high).then(|| (Point::new(x, high), Point::new(x, low)))
    };
    // Rounding must not put the last one beyond the edge.
    let at = |i: u32| (lo.x + (hi.x - lo.x) * (f64::from(i) / f64::from(STRIPS))).min(hi.x);
    (0..=STRIPS).filter_map(|i| across(at(i))).collect()
}
