//! A surface in space, as a screen draws it: strips of a skin that unrolls or is lofted, triangles of a scan; with
//! its features and stripes.

use super::{DRAWN_MM, STEPS};
use crate::book::plan_file::mm;
use crate::job::Side;
use crate::run::Plan;
use crate::stripe::Laid;
use crate::surface::{ScanSkin, Skin, SkinShape};
use geom::{Point, Point3, Region, Ring, Vec2};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Strips of a surface in space. chosen: chords too short to be seen; a wing's own lines along the span are straight.
const STRIPS: u32 = 48;

/// Most triangles of a scan that are drawn one by one; a finer scan is drawn by the cells its corners fall in.
/// chosen: a phone turns so many without a stutter.
const MOST_TRIANGLES: usize = 8000;

/// Cells along the greatest extent of a finer scan. chosen: some 6,000 triangles are left.
const CELLS: f64 = 48.0;

/// Longest step of a line that follows the skin, mm. chosen: a chord too short to be seen to leave it.
const STEP_MM: f64 = 40.0;

impl Plan {
    /// A surface in space: `strips_mm` of points from edge to edge, or `points_mm` and `triangles` of a scan; on it its
    /// `features` and `parts` as lines, each point with the way out there, and its `stripes` as rings. A flat panel stands
    /// upright, x aft and its y up. Of a scan with stated axes these as `axes`, and `from`, the way toward one who looks at
    /// its side. `None` where there is no such surface, or it has no extent.
    pub fn space(&self, surface: &str) -> Option<Value> {
        let skin = self.skins.iter().find(|k| k.id == surface)?;
        let mut said = match &skin.shape {
            SkinShape::Scan(scan) => {
                let (points, triangles) = thinned(scan);
                let points = points.iter().map(xyz).collect::<Vec<_>>();
                json!({ "points_mm": points, "triangles": triangles })
            }
            _ => {
                let strip = |(a, b): (Point, Point)| {
                    let along = (0..=STEPS).map(|k| a.lerp(b, f64::from(k) / f64::from(STEPS)));
                    along.filter_map(|p| in_space(skin, p)).collect::<Vec<_>>()
                };
                let strips = columns(&skin.outline).into_iter().map(strip);
                let strips: Vec<_> = strips.filter(|s| s.len() > 1).collect();
                if strips.len() < 2 {
                    return None;
                }
                json!({ "strips_mm": strips.iter().map(|s| s.iter().map(xyz).collect()).collect::<Vec<Vec<_>>>() })
            }
        };
        if let SkinShape::Scan(scan) = &skin.shape
            && let Some(axes) = scan.axes()
        {
            let way = |x: f64, y: f64, z: f64| axes.place(Point3::new(x, y, z)) - axes.place(Point3::ZERO);
            let [aft, starboard, up] = [way(1.0, 0.0, 0.0), way(0.0, 1.0, 0.0), way(0.0, 0.0, 1.0)];
            said["axes"] = json!({ "aft": xyz(&aft), "starboard": xyz(&starboard), "up": xyz(&up) });
            let side = self.job.surfaces.iter().find(|s| s.id == surface).and_then(|s| s.side);
            match side {
                Some(Side::Left) => said["from"] = json!(xyz(&-starboard)),
                Some(Side::Right) => said["from"] = json!(xyz(&starboard)),
                Some(Side::Upper | Side::Lower) | None => {}
            }
        }
        let [features, parts] = lying(skin);
        let line = |l: &Vec<[Point3; 2]>| {
            let each = |k: usize| l.iter().map(|p| xyz(&p[k])).collect::<Vec<_>>();
            json!({ "points_mm": each(0), "out": each(1) })
        };
        said["features"] = features.iter().map(line).collect();
        said["parts"] = parts.iter().map(line).collect();
        said["stripes"] =
            self.stripes.iter().filter(|s| s.surface == skin.id).map(|s| stripe(s, skin)).collect();
        Some(said)
    }
}

fn xyz(p: &Point3) -> [f64; 3] {
    [mm(p.x), mm(p.y), mm(p.z)]
}

/// A flat point in space; a flat panel stands upright.
fn in_space(skin: &Skin, p: Point) -> Option<Point3> {
    match &skin.shape {
        SkinShape::Flat => Some(Point3::new(p.x, 0.0, p.y)),
        _ => skin.space_from_flat(p),
    }
}

/// Features and parts as lines, each point with the way out there.
fn lying(skin: &Skin) -> [Vec<Vec<[Point3; 2]>>; 2] {
    if let SkinShape::Scan(scan) = &skin.shape {
        return scan.lying_in_space();
    }
    let with = |p: Point| {
        let [at, right, up] =
            [p, p + Vec2::new(1.0, 0.0), p + Vec2::new(0.0, 1.0)].map(|q| in_space(skin, q));
        let (at, right, up) = (at?, right?, up?);
        Some([at, (right - at).cross(up - at).normalize()])
    };
    let closed = |ring: &Ring| {
        let mut round = ring.flattened(DRAWN_MM);
        round.extend(round.first().copied());
        stepped(&round).into_iter().filter_map(with).collect::<Vec<_>>()
    };
    let one = |region: &Region| match region {
        Region::Disc { centre, radius } => closed(&Ring::circle(*centre, *radius)),
        Region::Area { rings } => rings.first().map(closed).unwrap_or_default(),
        Region::Band { path, .. } => stepped(path).into_iter().filter_map(with).collect(),
    };
    [
        skin.features.iter().map(|f| one(&f.region)).collect(),
        skin.parts.iter().map(|p| closed(&p.outline)).collect(),
    ]
}

/// A line in steps short enough to follow the skin.
fn stepped(line: &[Point]) -> Vec<Point> {
    let mut all: Vec<Point> = line.first().copied().into_iter().collect();
    for ends in line.windows(2) {
        let parts = (ends[0].distance(ends[1]) / STEP_MM).ceil().max(1.0);
        all.extend((1..=parts as u32).map(|k| ends[0].lerp(ends[1], f64::from(k) / parts)));
    }
    all
}

/// The outlines of a stripe, from the flat it is laid in.
fn stripe(stripe: &Laid, skin: &Skin) -> Value {
    let own = stripe.painted.charts.as_ref().map_or(skin, |c| &c.sheet);
    let ring = |r: &Ring| {
        let points = r.flattened(1.0).into_iter().filter_map(|p| in_space(own, p));
        points.map(|p| xyz(&p)).collect::<Vec<_>>()
    };
    json!({ "id": stripe.id, "rings_mm": stripe.painted.rings().iter().map(ring).collect::<Vec<_>>() })
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
