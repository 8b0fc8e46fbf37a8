//! Invented panels for measuring the search for a place: six block characters and features strewn over the skin.

use geom::maximin::Border;
use geom::room::{Room, Wall};
use geom::{Affine, Edge, Point, Region, Ring, Vec2, Vertex};

/// One inch, mm.
const INCH: f64 = 25.4;

/// Repeatable numbers (Knuth's MMIX constants, TAOCP 2, 3.3.4, from memory).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        lo + (hi - lo) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

fn ring(points: &[(f64, f64)]) -> Ring {
    Ring::from_points(points.iter().copied().map(Point::from))
}

fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
    ring(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
}

/// Block characters 4 wide, 6 high, strokes of 1: H, O, E, N, 8 and 4.
fn characters() -> Vec<Vec<Ring>> {
    let h = [
        (0., 0.),
        (1., 0.),
        (1., 2.5),
        (3., 2.5),
        (3., 0.),
        (4., 0.),
        (4., 6.),
        (3., 6.),
        (3., 3.5),
        (1., 3.5),
        (1., 6.),
        (0., 6.),
    ];
    let e = [
        (0., 0.),
        (4., 0.),
        (4., 1.),
        (1., 1.),
        (1., 2.5),
        (3., 2.5),
        (3., 3.5),
        (1., 3.5),
        (1., 5.),
        (4., 5.),
        (4., 6.),
        (0., 6.),
    ];
    let n =
        [(0., 0.), (1., 0.), (1., 4.), (3., 0.), (4., 0.), (4., 6.), (3., 6.), (3., 2.), (1., 6.), (0., 6.)];
    let four = [
        (2.2, 0.),
        (3.2, 0.),
        (3.2, 1.3),
        (4., 1.3),
        (4., 2.3),
        (3.2, 2.3),
        (3.2, 6.),
        (2.2, 6.),
        (0., 2.3),
        (0., 1.3),
        (2.2, 1.3),
    ];
    let counter = [(2.2, 2.3), (2.2, 4.3), (1.1, 2.3)];
    vec![
        vec![ring(&h)],
        vec![rect(0., 0., 4., 6.), rect(1., 1., 3., 5.).reversed()],
        vec![ring(&e)],
        vec![ring(&n)],
        vec![rect(0., 0., 4., 6.), rect(1., 1., 3., 2.5).reversed(), rect(1., 3.5, 3., 5.).reversed()],
        vec![ring(&four), ring(&counter)],
    ]
}

/// A rectangle whose corners are quarter circles.
fn rounded(x0: f64, y0: f64, x1: f64, y1: f64, r: f64) -> Ring {
    let quarter = std::f64::consts::FRAC_PI_8.tan();
    let corners = [
        (x0 + r, y0, 0.0),
        (x1 - r, y0, quarter),
        (x1, y0 + r, 0.0),
        (x1, y1 - r, quarter),
        (x1 - r, y1, 0.0),
        (x0 + r, y1, quarter),
        (x0, y1 - r, 0.0),
        (x0, y0 + r, quarter),
    ];
    Ring { vertices: corners.map(|(x, y, bulge)| Vertex { p: Point::new(x, y), bulge }).to_vec() }
}

/// Characters of the same size whose turns are swept round: 0, 8, D, O, 9 and 6, or much like them.
fn round_characters() -> Vec<Vec<Ring>> {
    let outer = rounded(0., 0., 4., 6., 2.);
    let counter = rounded(1., 1., 3., 5., 1.).reversed();
    let half = |y: f64| rounded(1., y, 3., y + 1.5, 0.7).reversed();
    vec![
        vec![outer.clone(), counter.clone()],
        vec![outer.clone(), half(1.0), half(3.5)],
        vec![rounded(0., 0., 4., 6., 1.5), rounded(1., 1., 3., 5., 0.5).reversed()],
        vec![outer.clone(), counter],
        vec![outer.clone(), half(3.5)],
        vec![outer, half(1.0)],
    ]
}

/// The same as a font gives them: `chords` straight edges for every edge that is bent.
fn chorded(rings: &[Ring], chords: u32) -> Vec<Ring> {
    rings
        .iter()
        .map(|ring| {
            Ring::from_points(ring.edges().flat_map(|e| {
                let n = if matches!(e, Edge::Arc { .. }) { chords } else { 1 };
                (0..n).map(move |k| e.at(f64::from(k) / f64::from(n)))
            }))
        })
        .collect()
}

/// Six characters `height` inches high, round their middle, mm.
fn mark(characters: &[Vec<Ring>], height: f64) -> Vec<Ring> {
    let map = Affine::scale(height * INCH / 6.0) * Affine::translate(Vec2::new(-14.5, -3.0));
    characters
        .iter()
        .enumerate()
        .flat_map(|(k, rings)| {
            let at = Affine::translate(Vec2::new(k as f64 * 5.0, 0.0));
            rings.iter().map(|r| r.mapped(map * at)).collect::<Vec<_>>()
        })
        .collect()
}

fn strewn(seed: u64, count: usize, width: f64, height: f64) -> Vec<Wall> {
    let mut n = Numbers(seed.wrapping_mul(7919).wrapping_add(1));
    (0..count)
        .map(|k| {
            let c = Point::new(n.next(-width / 2.0, width / 2.0), n.next(-height / 2.0, height / 2.0))
                .to_vec2()
                * INCH;
            let c = c.to_point();
            let region = if k % 4 == 3 {
                let (w, h) = (n.next(0.3, 2.0) * INCH, n.next(0.3, 2.0) * INCH);
                Region::Area { rings: vec![rect(c.x, c.y, c.x + w, c.y + h)] }
            } else {
                Region::Disc { centre: c, radius: n.next(0.1, 0.6) * INCH }
            };
            Wall { region, clearance: n.next(0.0, 0.1) * INCH, uncovered: k % 6 == 5, counts: true }
        })
        .collect()
}

/// Six characters 12 in high, 30 features, a window of movement of 30 x 16 in.
fn window(characters: &[Vec<Ring>], seed: u64) -> Room {
    let half = Vec2::new(15.0, 8.0) * INCH;
    Room::new(mark(characters, 12.0), &strewn(seed, 30, 88.0, 28.0), Border::of_box(half).to_vec())
}

/// The small panel with block characters.
pub(crate) fn small(seed: u64) -> Room {
    window(&characters(), seed)
}

/// The small panel with characters of arcs.
pub(crate) fn round(seed: u64) -> Room {
    window(&round_characters(), seed)
}

/// The small panel with characters of chords, about 600 each.
pub(crate) fn font(seed: u64) -> Room {
    let characters: Vec<Vec<Ring>> = round_characters().iter().map(|c| chorded(c, 75)).collect();
    window(&characters, seed)
}

/// Six characters 12 in high anywhere on a panel of 168 x 60 in with 300 features.
pub(crate) fn large(seed: u64) -> Room {
    let half = Vec2::new(168.0 - 58.0, 60.0 - 12.0) * (INCH / 2.0);
    Room::new(mark(&characters(), 12.0), &strewn(seed, 300, 168.0, 60.0), Border::of_box(half).to_vec())
}

/// Where the mark should be, and which way equally good places are told apart.
pub(crate) const AIM: Vec2 = Vec2::new(57.0, -31.0);
pub(crate) const TIES: [Vec2; 2] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];
