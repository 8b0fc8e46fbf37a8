//! Laying a patch of skin flat with the least error of length.
//!
//! Paint masks are placed, not stretched, so what counts is length: the flat patch minimises the sum over its
//! triangles of area times (s1 - 1)^2 + (s2 - 1)^2, with s1 and s2 the greatest and least stretch there. Each
//! step turns every triangle as it lies, then solves one fixed system for the corners (Liu et al. 2008); the steps
//! are extrapolated from the last few, which halves their number. No triangle is left turned over: where one is,
//! the patch is laid out again from a map that cannot fold and relaxed with a barrier.

use crate::flatten::shape::{Shape, Shapes};
use crate::flatten::sparse::{Factors, Rows};
use crate::flatten::strain::stretches;
use crate::{Mesh, Spot};
use geom::{Point3, Vec2};

mod barrier;
mod hands;
mod mix;
mod net;
mod shape;
pub(crate) mod sparse;
mod strain;
mod stroke;

pub use strain::Strain;

/// Most steps. chosen: a square patch needs ten, a strip ten times as long as high a hundred.
const MOST_STEPS: usize = 200;

/// A step that lowers the error by less than this share is the last. chosen.
const AT_REST: f64 = 0.00001;

/// The same where a net gave the start: what it left is rough and goes in a few steps.
const NEAR_REST: f64 = 0.0002;

/// Corners from which a net under the patch is quicker than factors. Measured.
const NETTED: usize = 700;

/// A patch laid flat.
#[derive(Clone, Debug)]
pub struct Flat {
    /// Place of each corner in the pattern, mm.
    pub places: Vec<Vec2>,
    /// What laying it flat did to lengths.
    pub strain: Strain,
    /// Triangles that lie face down. 0 unless the patch cannot be laid out, such as a closed skin.
    pub turned_over: usize,
    /// Steps taken.
    pub steps: usize,
    /// The triangles as they are on the skin.
    shapes: Vec<Shape>,
}

/// Why a patch cannot be laid flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlattenError {
    /// No open rim, several pieces, or more than one rim where a map that cannot fold was needed.
    NotADisc,
    /// The triangles are too thin for the numbers to bear.
    TooThin,
}

/// The patch laid flat from a first map, one place a corner (see [`crate::around`]).
///
/// # Errors
/// [`FlattenError`].
pub fn flatten(mesh: &Mesh, first: &[Vec2]) -> Result<Flat, FlattenError> {
    let (whole, shapes) = hands::both(first.len(), || in_one_piece(mesh), || Shapes::of(mesh));
    if !whole {
        return Err(FlattenError::NotADisc);
    }
    let (places, steps) = rested(mesh, &shapes, first)?;
    unfolded(mesh, shapes, places, steps)
}

/// The same where the sides run over a curved skin and are longer than the chords between their corners: `sides`
/// holds the length of side k of triangle t at `3 t + k`.
///
/// # Errors
/// [`FlattenError`].
pub fn flatten_sides(mesh: &Mesh, sides: &[f64], first: &[Vec2]) -> Result<Flat, FlattenError> {
    if !in_one_piece(mesh) || sides.len() != 3 * mesh.triangles().len() {
        return Err(FlattenError::NotADisc);
    }
    let shapes = Shapes::of_sides(mesh, sides);
    let (places, steps) = rested(mesh, &shapes, first)?;
    unfolded(mesh, shapes, places, steps)
}

/// A patch at rest, laid out again if it folds.
fn unfolded(
    mesh: &Mesh,
    shapes: Shapes,
    mut places: Vec<Vec2>,
    mut steps: usize,
) -> Result<Flat, FlattenError> {
    let mut turned_over = shapes.turned_over(mesh, &places);
    if turned_over != 0 {
        let exact = Solver::Factored(Factors::new(&shapes.laplacian(mesh)).ok_or(FlattenError::TooThin)?);
        let mut unfolded = barrier::disc(mesh, &shapes)?;
        if let Solver::Factored(factors) = &exact {
            steps += barrier::relax(mesh, &shapes, factors, &mut unfolded);
        }
        let mut lower = unfolded.clone();
        steps += relax(mesh, &shapes, &exact, &mut lower);
        let folds = shapes.turned_over(mesh, &lower);
        places = if folds == 0 { lower } else { unfolded };
        turned_over = shapes.turned_over(mesh, &places);
    }
    let strain = Strain::of(&shapes, &stretches(mesh, &shapes.shapes, &places));
    Ok(Flat { places, strain, turned_over, steps, shapes: shapes.shapes })
}

/// How each step's system is solved.
enum Solver {
    /// Exactly, by factors made once.
    Factored(Factors),
    /// Nearly, by sweeps and a net under the patch.
    Netted(Rows, net::Net),
}

/// From a first map to rest: small patches by factors; large ones start from the flattened net and go on with it.
fn rested(mesh: &Mesh, shapes: &Shapes, first: &[Vec2]) -> Result<(Vec<Vec2>, usize), FlattenError> {
    let (rows, (net, mut places, mut steps)) =
        hands::both(first.len(), || shapes.laplacian(mesh), || started(mesh, shapes, first));
    let net = net.and_then(|mut net| net.prepare(&rows).then_some(net));
    let solver = match net {
        Some(net) => Solver::Netted(rows, net),
        None => Solver::Factored(Factors::new(&rows).ok_or(FlattenError::TooThin)?),
    };
    steps += relax(mesh, shapes, &solver, &mut places);
    Ok((places, steps))
}

/// The net under a patch, if it is so large that one helps, and the places and steps of the start: the first map, moved
/// as the net is when it is laid flat.
fn started(mesh: &Mesh, shapes: &Shapes, first: &[Vec2]) -> (Option<net::Net>, Vec<Vec2>, usize) {
    let large = NETTED <= first.len();
    let Some(net) = large.then(|| net::Net::under(mesh, first)).flatten() else {
        return (None, first.to_vec(), 0);
    };
    if let Some((laid, flat, knots)) = net.laid(mesh, first)
        && in_one_piece(&laid)
        && let Ok((coarse, taken)) = rested(&laid, &Shapes::of(&laid), &flat)
    {
        let start = net.carried(first, &knots, &coarse);
        // A net laid over folds may lead astray.
        if shapes.turned_over(mesh, &start) <= shapes.turned_over(mesh, first) {
            return (Some(net), start, taken);
        }
        return (Some(net), first.to_vec(), taken);
    }
    (Some(net), first.to_vec(), 0)
}

/// Whether all triangles hang together side by side.
fn in_one_piece(mesh: &Mesh) -> bool {
    // A list with room for all, so that none is asked for on the way.
    let all = mesh.triangles().len();
    let (mut met, mut queue) = (vec![false; all], Vec::with_capacity(all));
    if 0 < all {
        met[0] = true;
        queue.push(0_u32);
    }
    let mut count = 0;
    while let Some(&t) = queue.get(count) {
        count += 1;
        for side in 3 * t..3 * t + 3 {
            if let Some(other) = mesh.across(side)
                && !std::mem::replace(&mut met[other as usize / 3], true)
            {
                queue.push(other / 3);
            }
        }
    }
    count == met.len()
}

/// Steps until the error rests.
fn relax(mesh: &Mesh, shapes: &Shapes, solver: &Solver, places: &mut Vec<Vec2>) -> usize {
    let mut sides = vec![[0.0; 2]; places.len()];
    // Room to work in: asking for it anew at each step takes as long as a sweep.
    let (mut to, mut room) = (Vec::new(), Vec::new());
    let mut mix = mix::Mix::default();
    let mut best: Option<(f64, Vec<Vec2>)> = None;
    let mut last = f64::INFINITY;
    let rest = if matches!(solver, Solver::Netted(..)) { NEAR_REST } else { AT_REST };
    for step in 1..=MOST_STEPS {
        // The error of the places the step starts from comes for free.
        let error = shapes.wanted(mesh, places, &mut sides, &mut room);
        if let Some((least, before)) = &best
            && *least < error
        {
            // Extrapolation went too far: back to the best and on with plain steps.
            places.clone_from(before);
            shapes.wanted(mesh, places, &mut sides, &mut room);
            mix.forget();
        } else {
            let gained = last - error;
            last = error;
            match &mut best {
                Some((least, before)) => {
                    *least = error;
                    before.clone_from(places);
                }
                None => best = Some((error, places.clone())),
            }
            if gained <= rest * error || error <= shapes.noise() {
                return step;
            }
        }
        match solver {
            Solver::Factored(factors) => {
                factors.solve(&mut sides);
                mix.next(places, &sides);
            }
            Solver::Netted(rows, net) => {
                to.clear();
                to.extend(places.iter().map(|p| [p.x, p.y]));
                // The first step goes farthest: solved twice as well it saves one at the end.
                for _ in 0..if step == 1 { 2 } else { 1 } {
                    net.nearer(rows, &sides, &mut to, &mut room);
                }
                mix.next(places, &to);
            }
        }
    }
    if let Some((_, places_of_least)) = best {
        *places = places_of_least;
    }
    MOST_STEPS
}

impl Flat {
    /// The pattern moved and turned so that `centre` is the origin and `along` points to +x.
    pub fn aligned(mut self, mesh: &Mesh, centre: Spot, along: Point3) -> Flat {
        let corners = mesh.triangles()[centre.triangle as usize];
        let [a, b, c] = corners.map(|k| mesh.point(k));
        let [p, q, r] = corners.map(|k| self.places[k as usize]);
        let origin = p * centre.shares[0] + q * centre.shares[1] + r * centre.shares[2];
        // `along` in the triangle's own corners, then in the pattern.
        let (u, v) = (b - a, c - a);
        let (uu, uv, vv) = (u.dot(u), u.dot(v), v.dot(v));
        let (wu, wv) = (along.dot(u), along.dot(v));
        let all = uu * vv - uv * uv;
        let x = (q - p) * ((vv * wu - uv * wv) / all) + (r - p) * ((uu * wv - uv * wu) / all);
        let long = x.hypot();
        if 0.0 < long {
            let (cos, sin) = (x.x / long, x.y / long);
            for place in &mut self.places {
                let d = *place - origin;
                *place = Vec2::new(d.x * cos + d.y * sin, d.y * cos - d.x * sin);
            }
        }
        self
    }

    /// Greatest strain of each triangle, either way, as a share.
    pub fn strains(&self, mesh: &Mesh) -> Vec<f64> {
        let far = |(most, least): (f64, f64)| (most - 1.0).abs().max((least - 1.0).abs());
        stretches(mesh, &self.shapes, &self.places).into_iter().map(far).collect()
    }

    /// Largest difference, mm, between a straight stroke of this length in the pattern and its length on the skin,
    /// over `count` strokes spread over the patch in all directions; `None` if no such stroke lies inside.
    pub fn worst_stroke(&self, mesh: &Mesh, length: f64, count: usize) -> Option<f64> {
        stroke::worst(mesh, &self.shapes, &self.places, length, count)
    }

    /// Length on the skin, mm, of a straight line of the pattern; `None` where it leaves the pattern.
    pub fn length(&self, mesh: &Mesh, line: [Vec2; 2]) -> Option<f64> {
        stroke::length(mesh, &self.shapes, &self.places, line)
    }

    /// The spot of the skin under each point of the pattern; `None` outside it.
    pub fn spots(&self, mesh: &Mesh, points: &[Vec2]) -> Vec<Option<Spot>> {
        stroke::spots(mesh, &self.shapes, &self.places, points)
    }
}

#[cfg(test)]
mod tests;
