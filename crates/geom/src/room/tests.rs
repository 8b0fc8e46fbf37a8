//! The search against a brute-force grid that shares none of its code, and against places worked out by hand.

use super::*;
use crate::distance::{edge_to_edge, point_to_edge};
use crate::measure::{edges_to_region, shape_to_region};
use crate::point::Affine;
use crate::ring::{Edge, Vertex};
use crate::tolerance::{SETTLED_MM, TIE_MM};
use crate::winding::contains;

const TIES: [Vec2; 2] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];

/// A small generator of repeatable numbers (Knuth's MMIX constants, TAOCP 2, 3.3.4, from memory).
pub(super) struct Numbers(pub(super) u64);
impl Numbers {
    pub(super) fn next(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        lo + (hi - lo) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

pub(super) fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
    Ring::from_points([(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from))
}

/// Two characters: a frame and an L beside it, 100 high, round their middle.
pub(super) fn shape() -> Vec<Ring> {
    let ell = [(80.0, 0.0), (147.0, 0.0), (147.0, 17.0), (97.0, 17.0), (97.0, 100.0), (80.0, 100.0)];
    centred(&[
        rect(0.0, 0.0, 67.0, 100.0),
        rect(17.0, 17.0, 50.0, 83.0).reversed(),
        Ring::from_points(ell.map(Point::from)),
    ])
}

/// A ring of arcs with a round counter, and a stroke with round ends.
pub(super) fn round_shape() -> Vec<Ring> {
    let stroke = Ring {
        vertices: [(95.0, 8.0, 0.0), (135.0, 8.0, 1.0), (135.0, 32.0, 0.0), (95.0, 32.0, 1.0)]
            .map(|(x, y, bulge)| Vertex { p: Point::new(x, y), bulge })
            .to_vec(),
    };
    let middle = Point::new(40.0, 50.0);
    centred(&[Ring::circle(middle, 40.0), Ring::circle(middle, 23.0).reversed(), stroke])
}

fn centred(rings: &[Ring]) -> Vec<Ring> {
    rings.iter().map(|r| r.mapped(Affine::translate(Vec2::new(-73.5, -50.0)))).collect()
}

pub(super) fn movement(w: f64, h: f64) -> Vec<Border> {
    Border::of_box(Vec2::new(w / 2.0, h / 2.0)).to_vec()
}

pub(super) fn disc(x: f64, y: f64, radius: f64) -> Region {
    Region::Disc { centre: Point::new(x, y), radius }
}

pub(super) fn wall(region: Region, clearance: f64) -> Wall {
    Wall { region, clearance, uncovered: false, counts: true }
}

pub(super) fn random_walls(seed: u64, count: usize) -> Vec<Wall> {
    let mut n = Numbers(seed);
    (0..count)
        .map(|k| {
            let c = Point::new(n.next(-150.0, 150.0), n.next(-100.0, 100.0));
            let clearance = n.next(-1.0, 4.0).max(0.0);
            let region = match k % 4 {
                0 => Region::Disc { centre: c, radius: n.next(0.5, 7.0) },
                1 => {
                    let b = c + Vec2::new(n.next(-20.0, 20.0), n.next(-20.0, 20.0));
                    Region::Band { path: vec![c, b], width: n.next(0.5, 3.0) }
                }
                2 => Region::Area {
                    rings: vec![rect(c.x, c.y, c.x + n.next(1.0, 15.0), c.y + n.next(1.0, 9.0))],
                },
                _ => {
                    // A hook, turned: not convex.
                    let (w, h) = (n.next(8.0, 20.0), n.next(8.0, 20.0));
                    let hook = [(0.0, 0.0), (w, 0.0), (w, h), (w - 3.0, h), (w - 3.0, 3.0), (0.0, 3.0)];
                    let map = Affine::translate(c.to_vec2()) * Affine::rotate(n.next(0.0, 6.3));
                    Region::Area { rings: vec![Ring::from_points(hook.map(Point::from)).mapped(map)] }
                }
            };
            Wall { region, clearance, uncovered: k % 3 == 1, counts: k % 5 != 4 }
        })
        .collect()
}

/// Net clearances by `measure`, which shares no code with the search: the least over walls that count, and over
/// the others.
pub(super) fn measured(shape: &[Ring], walls: &[Wall], t: Vec2) -> (f64, f64) {
    let rings: Vec<Ring> = shape.iter().map(|r| r.mapped(Affine::translate(t))).collect();
    let mut least = (f64::INFINITY, f64::INFINITY);
    for w in walls {
        let d =
            if w.uncovered { shape_to_region(&rings, &w.region) } else { edges_to_region(&rings, &w.region) }
                - w.clearance;
        if w.counts {
            least.0 = least.0.min(d);
        } else {
            least.1 = least.1.min(d);
        }
    }
    least
}

/// The same straight from distances of edges; `None` where a wall is not kept. Cheap enough for a grid.
fn kept(shape: &[Ring], edges: &[Edge], walls: &[Wall], t: Vec2) -> Option<f64> {
    let mut least = f64::INFINITY;
    for w in walls {
        let (sides, half, inside): (Vec<Edge>, f64, Point) = match &w.region {
            Region::Disc { centre, radius } => {
                let c = *centre - t;
                (vec![Edge::Line { a: c, b: c }], *radius, c)
            }
            Region::Band { path, width } => {
                (vec![Edge::Line { a: path[0] - t, b: path[1] - t }], width / 2.0, path[0] - t)
            }
            Region::Area { rings } => {
                let moved: Vec<Ring> = rings.iter().map(|r| r.mapped(Affine::translate(-t))).collect();
                if edges.iter().any(|e| contains(&moved, e.start())) {
                    return None;
                }
                // Off the corner, so that touching is not being covered.
                let p = moved[0].vertices[0].p.lerp(moved[0].vertices[2].p, 1e-6);
                (moved[0].edges().collect(), 0.0, p)
            }
        };
        for e in edges {
            for s in &sides {
                let d = if s.start() == s.end() { point_to_edge(s.start(), e) } else { edge_to_edge(e, s) };
                let net = d - half - w.clearance;
                if net < 0.0 || (d == 0.0) {
                    return None;
                }
                if w.counts {
                    least = least.min(net);
                }
            }
        }
        if w.uncovered && contains(shape, inside) {
            return None;
        }
    }
    Some(least)
}

/// Searches one random panel and compares with a grid: true if it has a place.
fn agrees_with_a_grid(seed: u64, shape: &[Ring], walls: &[Wall], step: f64) -> bool {
    let aim = Vec2::new(20.0, -10.0);
    let room = Room::new(shape.to_vec(), walls, movement(150.0, 90.0));
    let near = room.nearest(aim, 0.0, TIES);
    let most = room.roomiest(aim, TIES);
    let any = room.exists();
    let edges: Vec<Edge> = shape.iter().flat_map(Ring::edges).collect();
    let (mut grid_most, mut grid_near) = (f64::NEG_INFINITY, f64::INFINITY);
    let (columns, rows) = ((75.0 / step) as i32, (45.0 / step) as i32);
    for i in -columns..=columns {
        for j in -rows..=rows {
            let t = Vec2::new(f64::from(i) * step, f64::from(j) * step);
            if let Some(c) = kept(shape, &edges, walls, t) {
                grid_most = grid_most.max(c);
                grid_near = grid_near.min((t - aim).hypot());
            }
        }
    }
    match (near, most, any) {
        (Ok(near), Ok(most), Ok(any)) => {
            assert!(near.proved && most.proved, "seed {seed}: {near:?} {most:?}");
            let far = (near.t - aim).hypot();
            assert!(far <= grid_near + TIE_MM, "seed {seed}: nearest {far}, grid {grid_near}");
            assert!(
                near.bound <= far + 1e-9 && far <= near.bound + TIE_MM + SETTLED_MM,
                "seed {seed}: {near:?}"
            );
            assert!(most.clearance >= grid_most - TIE_MM, "seed {seed}: {most:?}, grid {grid_most}");
            assert!(
                most.bound + 1e-9 >= most.clearance && most.bound <= most.clearance + TIE_MM + SETTLED_MM,
                "seed {seed}: {most:?}"
            );
            for t in [near.t, most.t, any] {
                let (counted, others) = measured(shape, walls, t);
                assert!(counted.min(others) >= -0.001, "seed {seed}: {t:?} {counted} {others}");
                assert!(t.x.abs() <= 75.001 && t.y.abs() <= 45.001);
            }
            let again = measured(shape, walls, most.t).0;
            assert!((again - most.clearance).abs() < 2e-3, "seed {seed}: measured {again}, {most:?}");
            true
        }
        (Err(near), Err(most), Err(any)) => {
            assert!(near.proved && most.proved && any.proved, "seed {seed}");
            assert!(grid_most < 0.0, "seed {seed}: a place exists with {grid_most}");
            false
        }
        other => panic!("seed {seed}: {other:?}"),
    }
}

#[test]
fn no_place_of_a_grid_beats_the_search_and_none_is_claimed_where_one_is() {
    let (mut some, mut none) = (0, 0);
    for seed in 0..30 {
        let walls = random_walls(seed, 6 + (seed as usize % 6) * 11);
        if agrees_with_a_grid(seed, &shape(), &walls, 3.0) {
            some += 1;
        } else {
            none += 1;
        }
    }
    assert!(some >= 8 && none >= 4, "both kinds must be tried: {some} with, {none} without");
}

#[test]
fn the_same_holds_for_characters_drawn_with_arcs() {
    let (mut some, mut none) = (0, 0);
    for seed in 100..118 {
        let walls = random_walls(seed, 6 + (seed as usize % 6) * 13);
        if agrees_with_a_grid(seed, &round_shape(), &walls, 4.0) {
            some += 1;
        } else {
            none += 1;
        }
    }
    assert!(some >= 5 && none >= 2, "both kinds must be tried: {some} with, {none} without");
}

#[test]
fn a_slot_exactly_as_wide_as_the_mark_is_found() {
    let bar = |x: f64| Wall {
        uncovered: true,
        ..wall(Region::Band { path: vec![Point::new(x, -300.0), Point::new(x, 300.0)], width: 2.0 }, 2.0)
    };
    // The shape is 147 wide: from 3 mm right of the left bar's middle to 3 mm left of the right one's. The
    // movement is too small for a bar to pass between the two characters.
    let room = Room::new(shape(), &[bar(-60.0), bar(93.0)], movement(100.0, 60.0));
    let found = room.nearest(Vec2::new(40.0, 7.0), 0.0, TIES).unwrap();
    assert!((found.t - Vec2::new(16.5, 7.0)).hypot() < 0.001 && found.proved, "{found:?}");
    let most = room.roomiest(Vec2::new(40.0, 7.0), TIES).unwrap();
    assert!((most.t - Vec2::new(16.5, 7.0)).hypot() < 0.001 && most.clearance.abs() < 0.001, "{most:?}");
    let room = Room::new(shape(), &[bar(-60.0), bar(92.99)], movement(100.0, 60.0));
    assert!(room.nearest(Vec2::new(40.0, 7.0), 0.0, TIES).unwrap_err().proved);
    assert!(room.roomiest(Vec2::new(40.0, 7.0), TIES).unwrap_err().proved);
}

#[test]
fn a_movement_without_width_is_still_searched() {
    let room = Room::new(shape(), &[wall(disc(0.0, 90.0, 3.0), 1.0)], movement(0.0, 60.0));
    // The disc stands between the characters, 6.5 from either; nothing is above it but the aim.
    let found = room.nearest(Vec2::new(5.0, 20.0), 0.0, TIES).unwrap();
    assert!((found.t - Vec2::new(0.0, 20.0)).hypot() < 0.001, "{found:?}");
}

#[test]
fn of_two_places_as_near_the_shops_rule_decides() {
    // A port over the middle of the frame's left stroke, which reaches from -73.5 to -56.5: the frame has to
    // go 8.5 + 4 + 1 one way or the other.
    let port = Wall { uncovered: true, ..wall(disc(-65.0, 0.0, 4.0), 1.0) };
    let room = Room::new(shape(), &[port], movement(80.0, 60.0));
    let right = room.nearest(Vec2::ZERO, 0.0, [Vec2::new(-1.0, 0.0), Vec2::ZERO]).unwrap();
    let left = room.nearest(Vec2::ZERO, 0.0, TIES).unwrap();
    assert!((left.t - Vec2::new(-13.5, 0.0)).hypot() < 0.002, "{left:?}");
    assert!((right.t - Vec2::new(13.5, 0.0)).hypot() < 0.002, "{right:?}");
}

#[test]
fn on_a_ridge_of_equal_clearance_the_place_nearest_the_aim_is_taken() {
    // A ring in the frame's counter, 33 wide and 66 high: best half way across, anywhere along the middle.
    let room = Room::new(shape(), &[wall(disc(-40.0, 0.0, 3.0), 0.5)], movement(10.0, 100.0));
    let most = room.roomiest(Vec2::new(2.0, 11.0), TIES).unwrap();
    assert!((most.t - Vec2::new(0.0, 11.0)).hypot() < 0.003, "{most:?}");
    assert!((most.clearance - 13.0).abs() < TIE_MM && most.bound <= 13.0 + TIE_MM, "{most:?}");
}

#[test]
fn a_ring_may_lie_in_a_stroke_but_a_port_may_not() {
    // A movement so small that the disc stays over the frame's left stroke.
    let ring = wall(disc(-65.0, 0.0, 4.0), 1.0);
    let port = Wall { uncovered: true, ..ring.clone() };
    let most = Room::new(shape(), &[ring], movement(4.0, 4.0)).roomiest(Vec2::ZERO, TIES).unwrap();
    assert!((most.clearance - 3.5).abs() < TIE_MM && most.t.hypot() < 0.003, "{most:?}");
    assert!(Room::new(shape(), &[port], movement(4.0, 4.0)).exists().unwrap_err().proved);
}

#[test]
fn an_edge_along_the_cut_between_two_pieces_is_not_clear() {
    // An L of a wall whose level cut runs at y = 10 from x = 0 to 20; the mark is a thin stroke that could hide
    // its upper edge there only.
    let hook = [(0.0, -40.0), (60.0, -40.0), (60.0, 10.0), (20.0, 10.0), (20.0, 60.0), (0.0, 60.0)];
    let region = Region::Area { rings: vec![Ring::from_points(hook.map(Point::from))] };
    let stroke = vec![rect(1.0, 9.0, 19.0, 10.0)];
    let room = Room::new(stroke, &[wall(region, 0.0)], movement(1.0, 1.0));
    assert!(room.exists().unwrap_err().proved);
    assert!(room.nearest(Vec2::ZERO, 0.0, TIES).unwrap_err().proved);
}

#[test]
fn without_walls_the_aim_or_the_border_next_to_it_is_the_place() {
    let room = Room::new(shape(), &[], movement(80.0, 60.0));
    let at = room.nearest(Vec2::new(10.0, 10.0), 0.0, TIES).unwrap();
    assert_eq!((at.t, at.clearance), (Vec2::new(10.0, 10.0), f64::INFINITY));
    let most = room.roomiest(Vec2::new(100.0, 10.0), TIES).unwrap();
    assert!((most.t - Vec2::new(40.0, 10.0)).hypot() < 0.001);
    let closed = vec![
        Border { normal: Vec2::new(1.0, 0.0), limit: -1.0 },
        Border { normal: Vec2::new(-1.0, 0.0), limit: -1.0 },
        Border { normal: Vec2::new(0.0, 1.0), limit: 1.0 },
        Border { normal: Vec2::new(0.0, -1.0), limit: 1.0 },
    ];
    assert!(Room::new(shape(), &[], closed).exists().unwrap_err().proved);
}
