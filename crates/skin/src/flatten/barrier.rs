//! For patches that fold under plain steps: a map that cannot fold, relaxed so that it never does.
//!
//! The rim is put round a circle and every corner inside at the mean of its neighbours (Tutte's map of a disc never
//! folds). Then stretch and its inverse are both counted, so that a triangle about to turn over costs without end;
//! each step is downhill under the same fixed system and is cut short before any triangle could turn.

use super::FlattenError;
use super::shape::Shapes;
use super::sparse::{Factors, Rows};
use crate::Mesh;
use geom::Vec2;

/// Most steps downhill. chosen.
const MOST_STEPS: usize = 400;

/// Most halvings of one step. chosen.
const MOST_HALVINGS: usize = 30;

/// Share of the way to the first turned triangle that a step may go. chosen.
const SHORT_OF_TURNING: f64 = 0.8;

/// The patch on a disc of its own area.
pub(super) fn disc(mesh: &Mesh, shapes: &Shapes) -> Result<Vec<Vec2>, FlattenError> {
    let n = mesh.points().len();
    let sides = 3 * mesh.triangles().len() as u32;
    let start = (0..sides).find(|s| mesh.across(*s).is_none()).ok_or(FlattenError::NotADisc)?;
    let (mut rim, mut side) = (Vec::new(), start);
    loop {
        rim.push(side);
        side = mesh.next_on_rim(side);
        if side == start || rim.len() > sides as usize {
            break;
        }
    }
    let open = (0..sides).filter(|s| mesh.across(*s).is_none()).count();
    if open != rim.len() {
        return Err(FlattenError::NotADisc);
    }
    let total: f64 = rim.iter().map(|s| mesh.length(*s)).sum();
    let radius = (shapes.area / std::f64::consts::PI).sqrt();
    let mut held = vec![None; n];
    let mut gone = 0.0;
    for &s in &rim {
        let (sin, cos) = (std::f64::consts::TAU * gone / total).sin_cos();
        held[mesh.from(s) as usize] = Some(Vec2::new(cos, sin) * radius);
        gone += mesh.length(s);
    }
    let mut beside: Vec<Vec<u32>> = vec![Vec::new(); n];
    for s in 0..sides {
        let (a, b) = (mesh.from(s), mesh.to(s));
        beside[a as usize].push(b);
        beside[b as usize].push(a);
    }
    let mut rows = Rows { start: vec![0], column: Vec::new(), value: Vec::new() };
    let mut wanted = vec![[0.0; 2]; n];
    for k in 0..n {
        let others = &mut beside[k];
        others.sort_unstable();
        others.dedup();
        if let Some(place) = held[k].or(others.is_empty().then_some(Vec2::ZERO)) {
            rows.column.push(k as u32);
            rows.value.push(1.0);
            wanted[k] = [place.x, place.y];
        } else {
            let mut entries = vec![(k as u32, others.len() as f64)];
            for &other in others.iter() {
                match held[other as usize] {
                    Some(place) => {
                        wanted[k][0] += place.x;
                        wanted[k][1] += place.y;
                    }
                    None => entries.push((other, -1.0)),
                }
            }
            entries.sort_unstable_by_key(|e| e.0);
            rows.column.extend(entries.iter().map(|e| e.0));
            rows.value.extend(entries.iter().map(|e| e.1));
        }
        rows.start.push(rows.column.len() as u32);
    }
    Factors::new(&rows).ok_or(FlattenError::TooThin)?.solve(&mut wanted);
    Ok(wanted.into_iter().map(|[x, y]| Vec2::new(x, y)).collect())
}

/// Downhill steps; returns how many.
pub(super) fn relax(mesh: &Mesh, shapes: &Shapes, factors: &Factors, places: &mut [Vec2]) -> usize {
    let mut slope = vec![[0.0; 2]; places.len()];
    let mut cost = count(mesh, shapes, places, Some(&mut slope));
    for step in 1..=MOST_STEPS {
        let down: f64 = {
            let before = slope.clone();
            factors.solve(&mut slope);
            before.iter().zip(&slope).map(|(g, d)| g[0] * d[0] + g[1] * d[1]).sum()
        };
        let mut long = first_turned(mesh, places, &slope).mul_add(SHORT_OF_TURNING, 0.0).min(1.0);
        let mut next = cost;
        let mut moved = places.to_vec();
        for _ in 0..MOST_HALVINGS {
            for (to, (from, d)) in moved.iter_mut().zip(places.iter().zip(&slope)) {
                *to = *from - Vec2::new(d[0], d[1]) * long;
            }
            next = count(mesh, shapes, &moved, None);
            if next < cost - 0.1 * long * down {
                break;
            }
            long /= 2.0;
        }
        if !(next < cost) {
            return step;
        }
        places.copy_from_slice(&moved);
        let gained = cost - next;
        cost = count(mesh, shapes, places, Some(&mut slope));
        if gained <= super::AT_REST * cost {
            return step;
        }
    }
    MOST_STEPS
}

/// Half the sum of area times s1^2 + s2^2 + 1/s1^2 + 1/s2^2, endless where a triangle is turned; with its slope.
fn count(mesh: &Mesh, shapes: &Shapes, places: &[Vec2], mut slope: Option<&mut Vec<[f64; 2]>>) -> f64 {
    if let Some(slope) = &mut slope {
        slope.fill([0.0; 2]);
    }
    let mut sum = 0.0;
    for (shape, t) in shapes.shapes.iter().zip(mesh.triangles()) {
        let [p, q, r] = t.map(|k| places[k as usize]);
        let area = shape.area();
        let along = (q - p) / shape.b;
        let across = ((r - p) - along * shape.c.x) / shape.c.y;
        let turned = along.cross(across);
        if !(0.0 < turned) {
            return f64::INFINITY;
        }
        let square = along.hypot2() + across.hypot2();
        sum += area * square * (1.0 + turned.powi(-2)) / 2.0;
        if let Some(slope) = &mut slope {
            let (same, inverse) = (1.0 + turned.powi(-2), square * turned.powi(-3));
            // Slope by the two columns of the map, then by the corners.
            let by_along = (along * same - Vec2::new(across.y, -across.x) * inverse) * area;
            let by_across = (across * same - Vec2::new(-along.y, along.x) * inverse) * area;
            let by_r = by_across / shape.c.y;
            let by_q = (by_along - by_across * (shape.c.x / shape.c.y)) / shape.b;
            for (k, by) in [(1, by_q), (2, by_r), (0, -by_q - by_r)] {
                slope[t[k] as usize][0] += by.x;
                slope[t[k] as usize][1] += by.y;
            }
        }
    }
    sum
}

/// How much of the step against `slope` it takes until the first triangle has no area left.
fn first_turned(mesh: &Mesh, places: &[Vec2], slope: &[[f64; 2]]) -> f64 {
    let mut least = f64::INFINITY;
    for t in mesh.triangles() {
        let [p, q, r] = t.map(|k| places[k as usize]);
        let [dp, dq, dr] = t.map(|k| -Vec2::new(slope[k as usize][0], slope[k as usize][1]));
        let (u, v, du, dv) = (q - p, r - p, dq - dp, dr - dp);
        let (a, b, c) = (du.cross(dv), u.cross(dv) + du.cross(v), u.cross(v));
        // Smallest positive root of a x^2 + b x + c, with c > 0.
        let inside = b * b - 4.0 * a * c;
        if 0.0 <= inside {
            let part = -(b + b.signum() * inside.sqrt()) / 2.0;
            for root in [part / a, c / part] {
                if 0.0 < root && root < least {
                    least = root;
                }
            }
        }
    }
    least
}
