//! Invented panels for measuring the search for a place: six block characters and features strewn over the skin.

use geom::maximin::Border;
use geom::room::{Room, Wall};
use geom::{Affine, Point, Region, Ring, Vec2};

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

/// The six characters `height` inches high, round their middle, mm.
fn mark(height: f64) -> Vec<Ring> {
    let map = Affine::scale(height * INCH / 6.0) * Affine::translate(Vec2::new(-14.5, -3.0));
    characters()
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
pub(crate) fn small(seed: u64) -> Room {
    let half = Vec2::new(15.0, 8.0) * INCH;
    Room::new(mark(12.0), &strewn(seed, 30, 88.0, 28.0), Border::of_box(half).to_vec())
}

/// Six characters 12 in high anywhere on a panel of 168 x 60 in with 300 features.
pub(crate) fn large(seed: u64) -> Room {
    let half = Vec2::new(168.0 - 58.0, 60.0 - 12.0) * (INCH / 2.0);
    Room::new(mark(12.0), &strewn(seed, 300, 168.0, 60.0), Border::of_box(half).to_vec())
}

/// Where the mark should be, and which way equally good places are told apart.
pub(crate) const AIM: Vec2 = Vec2::new(57.0, -31.0);
pub(crate) const TIES: [Vec2; 2] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];
