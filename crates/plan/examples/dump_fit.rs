//! Prints invented panels with the places the search found on them, as JSON, for a check by another program.
//!
//! Usage: `dump_fit [PANELS]`. A list of `{seconds, seed, rings, features, window, aim, nearest, roomiest}` in mm:
//! the mark's outlines round its box's middle (arcs within a hundredth of a millimetre), features as a disc, a
//! path with a width or corners, the least and greatest centre allowed, and each answer as `{centre, clearance,
//! bound}` or `{none: proved}`.

#![expect(clippy::disallowed_methods, reason = "the time both searches took is told beside brute force's")]

use geom::{Point, Region, Ring, Vec2};
use plan::fit::given::{Pose, lay};
use plan::fit::search::{Answer, Task, nearest, roomiest};
use plan::job::{Cross, FeatureKind};
use plan::marks::design::Design;
use plan::marks::letters::{Alphabet, Proportions};
use plan::surface::{FlatFeature, Skin, SkinShape};
use serde_json::{Value, json};
use std::io::Write;
use std::time::Instant;

const INCH: f64 = 25.4;

/// Repeatable numbers (Knuth's MMIX constants, TAOCP 2, 3.3.4, from memory).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        lo + (hi - lo) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let panels = std::env::args().nth(1).map_or(Ok(72), |n| n.parse())?;
    let all: Vec<Value> = (0..panels).map(panel).collect();
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    serde_json::to_writer(&mut out, &all)?;
    out.flush()?;
    Ok(())
}

/// One panel: two or three characters 6 in high, a window of a few inches, features from few to far too many.
fn panel(seed: u64) -> Value {
    let mut n = Numbers(seed.wrapping_mul(104_729).wrapping_add(17));
    let alphabet = Alphabet::ALL[(seed % 3) as usize];
    let text = ["HO4", "8E", "N0A", "RS3", "B6", "OOO"][(seed / 3 % 6) as usize];
    let p = Proportions { width: 2.0 / 3.0, wide: 1.0, stroke: 1.0 / 6.0 };
    let design = Design::plain(text, alphabet, &p, 6.0 * INCH);
    let (w, h) = (design.length * design.height_mm, design.height_mm);
    // The window of centres, and round it the area the mark must stay in.
    let (wide, high) = (n.next(1.0, 6.0) * INCH, n.next(1.0, 4.0) * INCH);
    let middle = Point::new(n.next(0.0, 3000.0), n.next(0.0, 1000.0));
    let reach = Vec2::new((w + wide) / 2.0, (h + high) / 2.0);
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(x, y)| middle + Vec2::new(x * reach.x, y * reach.y));
    let allowed = Ring::from_points(corners);
    let count = 2 + (seed % 7) * 2;
    let features = (0..count).map(|k| feature(&mut n, k, middle, reach)).collect();
    let skin = Skin {
        id: "panel".into(),
        side: None,
        shape: SkinShape::Flat,
        outline: allowed.clone(),
        girths: None,
        features,
        parts: Vec::new(),
        ribs: Vec::new(),
    };
    let aim = middle + Vec2::new(n.next(-0.5, 0.5) * wide, n.next(-0.5, 0.5) * high);
    let task =
        Task { design: &design, skin: &skin, features: &skin.features, angle: 0.0, allowed: &allowed, aim };
    let rings: Vec<Value> = lay(&design, Pose { centre: Point::ZERO, angle: 0.0 })
        .iter()
        .flat_map(|g| g.rings.iter().map(|r| points(&r.flattened(geom::tolerance::FLATTEN_MM))))
        .collect();
    let half = Vec2::new(wide, high) / 2.0;
    let start = Instant::now();
    let (near, most) = (nearest(task), roomiest(task));
    let seconds = start.elapsed().as_secs_f64();
    json!({
        "seconds": seconds, "seed": seed, "rings": rings, "features": skin.features.iter().map(shown).collect::<Vec<_>>(),
        "window": points(&[middle - half, middle + half]), "aim": [aim.x, aim.y],
        "nearest": told(near), "roomiest": told(most),
    })
}

fn feature(n: &mut Numbers, k: u64, middle: Point, reach: Vec2) -> FlatFeature {
    let c = middle + Vec2::new(n.next(-1.0, 1.0) * reach.x, n.next(-1.0, 1.0) * reach.y);
    let region = match k % 4 {
        0 | 2 => Region::Disc { centre: c, radius: n.next(1.0, 9.0) },
        1 => {
            let path = vec![c, c + Vec2::new(n.next(-40.0, 40.0), n.next(-40.0, 40.0))];
            Region::Band { path, width: n.next(1.0, 4.0) }
        }
        _ => {
            // A hook, which is not convex.
            let (w, h) = (n.next(8.0, 25.0), n.next(8.0, 25.0));
            let hook = [(0.0, 0.0), (w, 0.0), (w, h), (w - 4.0, h), (w - 4.0, 4.0), (0.0, 4.0)];
            Region::Area { rings: vec![Ring::from_points(hook.map(|(x, y)| c + Vec2::new(x, y)))] }
        }
    };
    let kind = if n.next(0.0, 1.0) < 0.4 { FeatureKind::Port } else { FeatureKind::Ring };
    let clearance = n.next(-1.0, 3.0).max(0.0);
    FlatFeature { id: format!("f{k}"), kind, region, clearance, removable: false, cross: Cross::Never }
}

fn shown(f: &FlatFeature) -> Value {
    let shape = match &f.region {
        Region::Disc { centre, radius } => json!({ "centre": [centre.x, centre.y], "radius": radius }),
        Region::Band { path, width } => json!({ "path": points(path), "width": width }),
        Region::Area { rings } => {
            json!({ "corners": points(&rings[0].flattened(geom::tolerance::FLATTEN_MM)) })
        }
    };
    json!({ "shape": shape, "clearance": f.clearance, "uncovered": f.kind == FeatureKind::Port })
}

fn told(found: Result<Answer, geom::room::NoPlace>) -> Value {
    match found {
        Ok(a) => json!({
            "centre": [a.centre.x, a.centre.y], "clearance": a.clearance, "bound": a.bound, "proved": a.proved,
        }),
        Err(e) => json!({ "none": e.proved }),
    }
}

fn points(points: &[Point]) -> Value {
    points.iter().map(|p| [p.x, p.y]).collect()
}
