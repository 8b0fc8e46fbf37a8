//! A spot on a skin: a triangle and where in it; and a direction along the skin there.

use crate::Mesh;
use geom::Point3;
use geom::tolerance::NOISE_UNIT;

/// A point of a mesh.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The triangle it lies in.
    pub triangle: u32,
    /// Shares of the triangle's corners; they add up to 1.
    pub shares: [f64; 3],
}

impl Spot {
    /// The spot at a corner of the mesh, in the triangle of `side`, which starts there.
    pub fn at_start_of(side: u32) -> Spot {
        let mut shares = [0.0; 3];
        shares[side as usize % 3] = 1.0;
        Spot { triangle: side / 3, shares }
    }

    /// The spot of one triangle nearest to a point in space.
    pub fn on(mesh: &Mesh, triangle: u32, point: Point3) -> Spot {
        Spot { triangle, shares: nearest_in(mesh.corners(triangle), point) }
    }

    /// The middle of a triangle.
    pub fn middle_of(triangle: u32) -> Spot {
        Spot { triangle, shares: [1.0 / 3.0; 3] }
    }

    /// Place in space, mm.
    pub fn point(&self, mesh: &Mesh) -> Point3 {
        let [a, b, c] = mesh.corners(self.triangle);
        a * self.shares[0] + b * self.shares[1] + c * self.shares[2]
    }

    /// The same kind of spot with numbers given at the corners of the mesh.
    pub fn between<T>(&self, mesh: &Mesh, values: &[T]) -> T
    where
        T: Copy + std::ops::Mul<f64, Output = T> + std::ops::Add<Output = T>,
    {
        let [a, b, c] = mesh.triangles()[self.triangle as usize].map(|k| values[k as usize]);
        a * self.shares[0] + b * self.shares[1] + c * self.shares[2]
    }

    /// The nearest spot of a skin to a point in space, and how far it is.
    ///
    /// Looks at every triangle; meant for the few points a person gives.
    pub fn nearest(mesh: &Mesh, point: Point3) -> (Spot, f64) {
        Spot::nearest_of(mesh, 0..mesh.triangles().len() as u32, point)
    }

    /// The same among some of its triangles.
    pub fn nearest_of(mesh: &Mesh, triangles: impl IntoIterator<Item = u32>, point: Point3) -> (Spot, f64) {
        let mut best = (Spot::middle_of(0), f64::INFINITY);
        for t in triangles {
            let shares = nearest_in(mesh.corners(t), point);
            let spot = Spot { triangle: t, shares };
            let far = spot.point(mesh).distance_squared(point);
            if far < best.1 {
                best = (spot, far);
            }
        }
        (best.0, best.1.sqrt())
    }
}

impl Spot {
    /// The spot of a skin that a straight line through a point meets, `along` of unit length; of several the nearest to the
    /// point, with how far along the line it is, mm. `None` if it misses the skin. Looks at every triangle.
    pub fn pierced(mesh: &Mesh, point: Point3, along: Point3) -> Option<(Spot, f64)> {
        let mut best: Option<(Spot, f64)> = None;
        for t in 0..mesh.triangles().len() as u32 {
            let [a, b, c] = mesh.corners(t).map(|p| p - point);
            let all = mesh.cross(t).dot(along);
            // The share of a corner is that of the triangle which the line makes with the side facing it.
            let shares = [b.cross(c), c.cross(a), a.cross(b)].map(|v| v.dot(along) / all);
            if shares.iter().all(|s| -NOISE_UNIT <= *s) {
                let far = (a * shares[0] + b * shares[1] + c * shares[2]).dot(along);
                if best.is_none_or(|b| far.abs() < b.1.abs()) {
                    best = Some((Spot { triangle: t, shares: shares.map(|s| s.max(0.0)) }, far));
                }
            }
        }
        best
    }
}

/// Shares of the corners at the point of a triangle nearest to `p`.
fn nearest_in([a, b, c]: [Point3; 3], p: Point3) -> [f64; 3] {
    let (u, v, w) = (b - a, c - a, p - a);
    let (uu, uv, vv, wu, wv) = (u.dot(u), u.dot(v), v.dot(v), w.dot(u), w.dot(v));
    let all = uu * vv - uv * uv;
    let (s, t) = ((vv * wu - uv * wv) / all, (uu * wv - uv * wu) / all);
    if 0.0 <= s && 0.0 <= t && s + t <= 1.0 {
        return [1.0 - s - t, s, t];
    }
    // Else the nearest lies on a side.
    let corners = [a, b, c];
    let mut best = ([1.0, 0.0, 0.0], f64::INFINITY);
    for k in 0..3 {
        let (from, to) = (corners[k], corners[(k + 1) % 3]);
        let along = ((p - from).dot(to - from) / (to - from).length_squared()).clamp(0.0, 1.0);
        let far = (from + (to - from) * along).distance_squared(p);
        if far < best.1 {
            let mut shares = [0.0; 3];
            shares[k] = 1.0 - along;
            shares[(k + 1) % 3] = along;
            best = (shares, far);
        }
    }
    best.0
}
