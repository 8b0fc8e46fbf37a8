//! Making one skin of loose triangles: near corners welded, sides matched.

use super::{Findings, Mesh, NONE, Soup};
use geom::Point3;
use std::collections::{HashMap, HashSet};

/// Corners nearer than `weld` made one, then triangles without area or said twice left out.
pub(super) fn welded(soup: &Soup, weld: f64, found: &mut Findings) -> (Mesh, Vec<Point3>) {
    let name = names(&soup.points, weld);
    let mut points = Vec::new();
    let mut new = vec![NONE; soup.points.len()];
    let (mut triangles, mut normals) = (Vec::with_capacity(soup.triangles.len()), Vec::new());
    let mut seen: HashSet<[u32; 3]> = HashSet::with_capacity(soup.triangles.len());
    for (t, corners) in soup.triangles.iter().enumerate() {
        let [a, b, c] = corners.map(|k| name[k as usize]);
        let [p, q, r] = [a, b, c].map(|k| soup.points[k as usize]);
        let doubled = (q - p).cross(r - p).length_squared();
        if a == b || b == c || c == a || !doubled.is_finite() || doubled <= 0.0 {
            found.empty += 1;
            continue;
        }
        let mut key = [a, b, c];
        key.sort_unstable();
        if !seen.insert(key) {
            found.repeated += 1;
            continue;
        }
        triangles.push([a, b, c].map(|k| {
            if new[k as usize] == NONE {
                new[k as usize] = points.len() as u32;
                points.push(soup.points[k as usize]);
            }
            new[k as usize]
        }));
        if let Some(&n) = soup.normals.get(t) {
            normals.push(n);
        }
    }
    let distinct = name.iter().enumerate().filter(|&(k, &n)| k as u32 == n).count();
    found.welded = soup.points.len() - distinct;
    if normals.len() != triangles.len() {
        normals.clear();
    }
    (Mesh { points, triangles, across: Vec::new() }, normals)
}

/// For each point the first point (in file order) that it is one with.
fn names(points: &[Point3], weld: f64) -> Vec<u32> {
    let mut same: HashMap<[u64; 3], u32> = HashMap::with_capacity(points.len() / 4);
    let mut name: Vec<u32> = (0..points.len() as u32).collect();
    let mut distinct = Vec::new();
    for (k, p) in points.iter().enumerate() {
        // Adding zero makes -0 and 0 one.
        let first = *same.entry([p.x, p.y, p.z].map(|v| (v + 0.0).to_bits())).or_insert(k as u32);
        name[k] = first;
        if first == k as u32 {
            distinct.push(k as u32);
        }
    }
    drop(same);
    if weld > 0.0 {
        near(points, &distinct, weld, &mut name);
    }
    name
}

/// Points within `weld` of an earlier one take its name. Cells are two welds wide, so that eight cells hold all
/// that can be near.
fn near(points: &[Point3], distinct: &[u32], weld: f64, name: &mut [u32]) {
    let mut cells: HashMap<[i64; 3], Vec<u32>> = HashMap::with_capacity(distinct.len());
    let mut moved = vec![NONE; points.len()];
    for &k in distinct {
        let p = points[k as usize];
        let scaled = (p / (2.0 * weld)).to_array();
        let cell = scaled.map(|v| v.floor() as i64);
        let beside = scaled.map(|v| if v - v.floor() < 0.5 { -1 } else { 1 });
        let mut first = k;
        for n in 0..8 {
            let at: [i64; 3] = std::array::from_fn(|i| {
                cell[i].saturating_add(if (n >> i) & 1 == 1 { beside[i] } else { 0 })
            });
            for &other in cells.get(&at).into_iter().flatten() {
                if other < first && points[other as usize].distance(p) <= weld {
                    first = other;
                }
            }
        }
        if first == k {
            cells.entry(cell).or_default().push(k);
        }
        moved[k as usize] = first;
    }
    for n in name.iter_mut() {
        *n = moved[*n as usize];
    }
}

/// The side across each side, and how many pairs of corners are joined by more than two triangles.
///
/// Sides are put in buckets by their lower corner, so the work grows with the number of sides alone.
pub(super) fn matched(triangles: &[[u32; 3]], points: usize) -> (Vec<u32>, usize) {
    let mut start = vec![0_u32; points + 1];
    let ends = |t: &[u32; 3], k: usize| {
        let (a, b) = (t[k], t[if k == 2 { 0 } else { k + 1 }]);
        (a.min(b), a.max(b))
    };
    triangles.iter().for_each(|t| (0..3).for_each(|k| start[ends(t, k).0 as usize + 1] += 1));
    for k in 0..points {
        start[k + 1] += start[k];
    }
    let mut fill = start.clone();
    let mut bucket = vec![(0_u32, 0_u32); 3 * triangles.len()];
    for (n, t) in triangles.iter().enumerate() {
        for k in 0..3 {
            let (low, high) = ends(t, k);
            let at = &mut fill[low as usize];
            bucket[*at as usize] = (high, (3 * n + k) as u32);
            *at += 1;
        }
    }
    let mut across = vec![NONE; 3 * triangles.len()];
    let mut crowded = 0;
    for k in 0..points {
        let here = &mut bucket[start[k] as usize..start[k + 1] as usize];
        here.sort_unstable();
        let mut at = 0;
        while at < here.len() {
            let run = here[at..].iter().take_while(|side| side.0 == here[at].0).count();
            if run == 2 {
                across[here[at].1 as usize] = here[at + 1].1;
                across[here[at + 1].1 as usize] = here[at].1;
            }
            crowded += usize::from(run > 2);
            at += run;
        }
    }
    (across, crowded)
}
