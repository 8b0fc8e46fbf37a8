//! Corners of a scan that lie absurdly far off all others: one wrong figure in a file, no skin.
//!
//! Left in, one of them swamps every measure of the scan: its area, its box, how it is drawn, what smoothing moved.

use super::Mesh;
use geom::Point3;

/// How many times farther from the middle than all but the strays a stray lies, at least. chosen: the tip of the sharpest
/// spinner, drawn as one fan, lies four or five times as far as the ring round its foot.
const FARTHER: f64 = 10.0;

/// One corner in this many may be a stray, and always one. chosen: what is more is a piece of skin.
const ONE_IN: usize = 100;

/// A corner left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stray {
    /// Where the file has it, mm.
    pub at: Point3,
    /// How far from the middle of the scan it lies, mm.
    pub far: f64,
    /// How far all that was kept lies from there at most, mm.
    pub kept: f64,
    /// Triangles left out with it.
    pub triangles: usize,
}

/// Leaves out the triangles that reach to a stray, and says which of them were kept.
pub(super) fn left_out(mesh: &mut Mesh) -> (Vec<Stray>, Vec<bool>) {
    let all = vec![true; mesh.triangles.len()];
    let middle = middle(&mesh.points);
    let far: Vec<f64> = mesh.points.iter().map(|p| p.distance(middle)).collect();
    // The farthest first; of what is equally far the first in the file.
    let mut order: Vec<u32> = (0..far.len() as u32).collect();
    let few = (far.len() / ONE_IN).max(1);
    let farther = |a: &u32, b: &u32| far[*b as usize].total_cmp(&far[*a as usize]).then(a.cmp(b));
    if few + 1 < order.len() {
        order.select_nth_unstable_by(few, farther);
        order.truncate(few + 1);
    }
    order.sort_unstable_by(farther);
    let gap = |pair: &[u32]| FARTHER * far[pair[1] as usize] < far[pair[0] as usize];
    let Some(last) = order.windows(2).rposition(gap) else { return (Vec::new(), all) };
    let mut strays: Vec<u32> = order[..=last].to_vec();
    strays.sort_unstable();
    let kept: Vec<bool> =
        mesh.triangles.iter().map(|t| !t.iter().any(|k| strays.binary_search(k).is_ok())).collect();
    if !kept.contains(&true) {
        return (Vec::new(), all);
    }
    let most = far[order[last + 1] as usize];
    let told = strays.iter().map(|k| Stray {
        at: mesh.points[*k as usize],
        far: far[*k as usize],
        kept: most,
        triangles: mesh.triangles.iter().filter(|t| t.contains(k)).count(),
    });
    let told: Vec<Stray> = told.collect();
    let numbers = (0..).zip(&kept).filter(|(_, kept)| **kept).map(|(t, _)| t);
    let numbers: Vec<u32> = numbers.collect();
    *mesh = mesh.part(&numbers).0;
    (told, kept)
}

/// The middle corner along each axis: a few far off do not move it.
fn middle(points: &[Point3]) -> Point3 {
    let along = |of: fn(&Point3) -> f64| {
        let mut values: Vec<f64> = points.iter().map(of).collect();
        let half = values.len() / 2;
        *values.select_nth_unstable_by(half, f64::total_cmp).1
    };
    Point3::new(along(|p| p.x), along(|p| p.y), along(|p| p.z))
}
