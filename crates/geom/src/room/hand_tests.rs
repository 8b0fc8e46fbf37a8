//! Places worked out by hand, the room drawn as outlines, and what holds a mark in its place.

use super::tests::{Numbers, disc, measured, movement, random_walls, rect, round_shape, shape, wall};
use super::*;
use crate::point::Affine;
use crate::sample::area;
use crate::tolerance::TIE_MM;
use crate::winding::contains;
use proptest::prelude::*;
use std::f64::consts::PI;

const TIES: [Vec2; 2] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];

/// A letter O of two circles: outside 50, counter 30.
fn letter_o() -> Vec<Ring> {
    vec![Ring::circle(Point::ZERO, 50.0), Ring::circle(Point::ZERO, 30.0).reversed()]
}

/// The room is drawn within this, mm.
const DRAWN_MM: f64 = 0.02;

#[test]
fn a_ring_at_the_limit_radius_of_the_counter_or_the_stroke_has_one_place() {
    // Counter: 30 - 28 - 2 = 0, the ring's middle in the O's; the arcs are looked at from inside.
    let most = |radius: f64, clearance: f64| {
        let ring = wall(disc(3.0, 4.0, radius), clearance);
        let room = Room::new(letter_o(), &[ring], movement(40.0, 40.0));
        (room.nearest(Vec2::new(9.0, 9.0), 0.0, TIES), room.roomiest(Vec2::ZERO, TIES))
    };
    let (near, roomy) = most(28.0, 2.0);
    let (near, roomy) = (near.unwrap(), roomy.unwrap());
    assert!((near.t - Vec2::new(3.0, 4.0)).hypot() < 0.002 && near.proved, "{near:?}");
    assert!((roomy.t - Vec2::new(3.0, 4.0)).hypot() < 0.002 && roomy.clearance.abs() < TIE_MM, "{roomy:?}");
    // A hundredth more and it is too wide for the counter, and outside it is out of reach.
    let (near, roomy) = most(28.0, 2.01);
    assert!(near.unwrap_err().proved && roomy.unwrap_err().proved);
    // The stroke is 20 wide: a ring of 8 with 2 has its middle on the circle of 40 round the O's, which has to
    // come nearer by |(43, 4)| - 40.
    let ring = wall(disc(43.0, 4.0, 8.0), 2.0);
    let near = Room::new(letter_o(), &[ring], movement(8.0, 8.0)).nearest(Vec2::ZERO, 0.0, TIES).unwrap();
    let far = Vec2::new(43.0, 4.0).hypot() - 40.0;
    assert!((near.t.hypot() - far).abs() < 0.002 && near.clearance.abs() < TIE_MM, "{near:?}");
}

#[test]
fn the_room_of_a_ring_and_a_letter_o_is_three_parts_in_closed_form() {
    // Middle of the O seen from a ring of 3 with 2: within 25 of it, between 35 and 45, or beyond 55.
    let ring = wall(disc(0.0, 0.0, 3.0), 2.0);
    let free = Room::new(letter_o(), std::slice::from_ref(&ring), movement(200.0, 160.0)).free();
    let want = 200.0 * 160.0 - PI * (55.0 * 55.0 - 45.0 * 45.0 + 35.0 * 35.0 - 25.0 * 25.0);
    // Half the room's rim times what it may be off.
    assert!((area(&free) - want).abs() < 160.0 * 2.0 * PI * DRAWN_MM, "{} {want}", area(&free));
    assert_eq!(free.len(), 5, "{free:?}");
    let corners: usize = free.iter().map(|r| r.vertices.len()).sum();
    assert!(corners < 60, "arcs are arcs again, not {corners} chords");
    // Painted area clear: the stroke is no place, the counter is.
    let port = Wall { uncovered: true, ..ring };
    let free = Room::new(letter_o(), &[port], movement(200.0, 160.0)).free();
    let want = 200.0 * 160.0 - PI * (55.0 * 55.0 - 25.0 * 25.0);
    assert!((area(&free) - want).abs() < 80.0 * 2.0 * PI * DRAWN_MM);
}

#[test]
fn a_slot_as_wide_as_the_mark_has_no_area_and_one_a_tenth_wider_is_a_strip() {
    let bar = |x: f64| Wall {
        uncovered: true,
        ..wall(Region::Band { path: vec![Point::new(x, -300.0), Point::new(x, 300.0)], width: 2.0 }, 2.0)
    };
    // The shape is 147 wide, as in the tests of the search.
    let room = |gap: f64| Room::new(shape(), &[bar(-60.0), bar(93.0 + gap)], movement(100.0, 60.0));
    assert!(area(&room(0.0).free()) < 60.0 * DRAWN_MM);
    assert!(room(0.0).nearest(Vec2::ZERO, 0.0, TIES).is_ok());
    assert!((area(&room(0.1).free()) - 0.1 * 60.0).abs() < 60.0 * DRAWN_MM);
}

#[test]
fn without_walls_the_room_is_what_the_borders_leave_and_none_is_left_beyond_them() {
    let room = Room::new(shape(), &[], movement(80.0, 60.0));
    assert!((area(&room.free()) - 4800.0).abs() < 1.0);
    assert!(room.contacts_at(Vec2::ZERO, 0.05).is_empty());
    // An area smaller than the mark: its borders leave nothing.
    let closed = Border::of_box(Vec2::new(-1.0, 30.0)).to_vec();
    assert!(Room::new(shape(), &[], closed).free().is_empty());
}

#[test]
fn a_wall_across_the_border_of_the_movement_and_two_that_overlap_are_kept() {
    // Two discs over each other's rim, right of a square mark that may move 20 to the right: its right side, at
    // 10, has to stay 5 + 1 off the middle at 30 and so does its corner off the one at (30, 14).
    let mark = vec![rect(-10.0, -10.0, 10.0, 10.0)];
    let walls = [wall(disc(30.0, 5.0, 5.0), 1.0), wall(disc(30.0, 14.0, 8.0), 1.0)];
    let room = Room::new(mark, &walls, movement(40.0, 0.0));
    let near = room.nearest(Vec2::new(20.0, 0.0), 0.0, TIES).unwrap();
    // Corner (10, 10) to (30, 14) is 9: sqrt(81 - 16) to its left.
    let x = 30.0 - 65.0_f64.sqrt() - 10.0;
    assert!((near.t - Vec2::new(x, 0.0)).hypot() < 0.002, "{near:?}, {x}");
    let touches = room.contacts_at(near.t, 0.05);
    assert_eq!(touches.iter().map(|t| t.wall).collect::<Vec<_>>(), [1, 0]);
    assert!(touches[0].net.abs() < 0.001 && touches[0].at_mark.distance(Point::new(10.0 + x, 10.0)) < 0.001);
    assert!((touches[0].at_wall.distance(Point::new(30.0, 14.0)) - 8.0).abs() < 1e-9);
    assert!((touches[1].net - (30.0 - 6.0 - 10.0 - x)).abs() < 0.001);
}

#[test]
fn a_mark_between_two_walls_as_near_is_held_by_both() {
    let mark = vec![rect(-10.0, -10.0, 10.0, 10.0)];
    let walls =
        [wall(disc(30.0, 0.0, 5.0), 1.0), wall(disc(-32.0, 2.0, 5.0), 1.0), wall(disc(0.0, 90.0, 4.0), 0.0)];
    let room = Room::new(mark, &walls, movement(20.0, 2.0));
    let most = room.roomiest(Vec2::ZERO, TIES).unwrap();
    assert!((most.t.x + 1.0).abs() < 0.002 && (most.clearance - 15.0).abs() < TIE_MM, "{most:?}");
    let touches = room.contacts_at(most.t, 0.05);
    assert_eq!(touches.len(), 3);
    assert!((touches[0].net - touches[1].net).abs() < 0.01 && touches[2].wall == 2, "{touches:?}");
    for touch in &touches {
        let w = &walls[touch.wall];
        let d = touch.at_mark.distance(touch.at_wall) - w.clearance;
        assert!((d - touch.net).abs() < 1e-9);
    }
}

#[test]
fn a_hook_holds_a_mark_in_its_bend() {
    // Inner corner of an L at (10, 10): the square's left and lower side go to x = 12 and y = 12.
    let hook = [(0.0, 0.0), (60.0, 0.0), (60.0, 10.0), (10.0, 10.0), (10.0, 60.0), (0.0, 60.0)];
    let region = Region::Area { rings: vec![Ring::from_points(hook.map(Point::from))] };
    let walls = [Wall { uncovered: true, ..wall(region, 2.0) }];
    let room = Room::new(vec![rect(0.0, 0.0, 20.0, 20.0)], &walls, movement(60.0, 60.0));
    let near = room.nearest(Vec2::new(11.0, 11.0), 0.0, TIES).unwrap();
    assert!((near.t - Vec2::new(12.0, 12.0)).hypot() < 0.002, "{near:?}");
    let touches = room.contacts_at(near.t, 0.05);
    assert!(touches.iter().any(|t| (t.at_wall.x - 10.0).abs() < 1e-6));
    assert!(touches.iter().any(|t| (t.at_wall.y - 10.0).abs() < 1e-6), "{touches:?}");
}

#[test]
fn a_job_turned_by_37_degrees_has_the_same_distances() {
    let turn = 37.0_f64.to_radians();
    let map = Affine::rotate(turn);
    let turned = |v: Vec2| (map * v.to_point()).to_vec2();
    for (seed, mark) in [(3, shape()), (5, shape()), (105, round_shape())] {
        let walls = random_walls(seed, 14);
        let aim = Vec2::new(20.0, -10.0);
        let borders = movement(150.0, 90.0);
        let straight = Room::new(mark.clone(), &walls, borders.clone());
        let walls: Vec<Wall> =
            walls.iter().map(|w| Wall { region: mapped(&w.region, map), ..w.clone() }).collect();
        let borders = borders.iter().map(|b| Border { normal: turned(b.normal), limit: b.limit }).collect();
        let mark = mark.iter().map(|r| r.mapped(map)).collect();
        let room = Room::new(mark, &walls, borders);
        let ties = TIES.map(turned);
        let (a, b) = (straight.nearest(aim, 0.0, TIES), room.nearest(turned(aim), 0.0, ties));
        match (a, b) {
            (Ok(a), Ok(b)) => {
                let far = ((a.t - aim).hypot(), (b.t - turned(aim)).hypot());
                assert!((far.0 - far.1).abs() < 0.002, "seed {seed}: {far:?}");
            }
            (a, b) => assert!(a.is_err() && b.is_err(), "seed {seed}: {a:?} {b:?}"),
        }
        let (a, b) = (straight.roomiest(aim, TIES), room.roomiest(turned(aim), ties));
        if let (Ok(a), Ok(b)) = (a, b) {
            assert!((a.clearance - b.clearance).abs() < 0.002, "seed {seed}: {a:?} {b:?}");
        }
        let (a, b) = (area(&straight.free()), area(&room.free()));
        assert!((a - b).abs() < 1.0 + a * 0.002, "seed {seed}: {a} {b}");
    }
}

fn mapped(region: &Region, map: Affine) -> Region {
    match region {
        Region::Disc { centre, radius } => Region::Disc { centre: map * *centre, radius: *radius },
        Region::Band { path, width } => {
            Region::Band { path: path.iter().map(|p| map * *p).collect(), width: *width }
        }
        Region::Area { rings } => Region::Area { rings: rings.iter().map(|r| r.mapped(map)).collect() },
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Against plain distances (`measure`), which share no code with the outlines.
    #[test]
    fn a_movement_is_inside_the_outlines_where_every_wall_is_kept(seed in 0_u64..4000) {
        let mark = match seed % 3 {
            0 => shape(),
            1 => round_shape(),
            // The chords of a font, joined to arcs before the room is drawn.
            _ => round_shape().iter().map(|r| Ring::from_points(r.flattened(0.004))).collect(),
        };
        let walls = random_walls(seed, 3 + (seed % 9) as usize);
        let room = Room::new(mark.clone(), &walls, movement(150.0, 90.0));
        let free = room.free();
        let mut n = Numbers(seed);
        for _ in 0..if seed % 3 == 2 { 8 } else { 40 } {
            let t = Vec2::new(n.next(-80.0, 80.0), n.next(-50.0, 50.0));
            let (counted, others) = measured(&mark, &walls, t);
            let net = counted.min(others).min(75.0 - t.x.abs()).min(45.0 - t.y.abs());
            if net.abs() > DRAWN_MM {
                prop_assert_eq!(contains(&free, t.to_point()), net > 0.0, "seed {} {:?} {}", seed, t, net);
            }
        }
        // And against the search. What is drawn may be off by its error, so the room is drawn twice: eased by
        // twice that, where the nearest place has to be inside, and tightened, where no place may be nearer.
        let by = |more: f64| {
            let walls: Vec<Wall> =
                walls.iter().map(|w| Wall { clearance: w.clearance + more, ..w.clone() }).collect();
            Room::new(mark.clone(), &walls, movement(150.0 - 2.0 * more, 90.0 - 2.0 * more))
        };
        let aim = Vec2::new(20.0, -10.0);
        let tight = by(4.0 * DRAWN_MM).free();
        match by(2.0 * DRAWN_MM).nearest(aim, 0.0, TIES) {
            Ok(near) => {
                prop_assert!(contains(&free, near.t.to_point()), "seed {} {:?}", seed, near);
                let inside = contains(&tight, aim.to_point());
                let rim = tight.iter().flat_map(Ring::edges)
                    .map(|e| crate::distance::point_to_edge(aim.to_point(), &e)).fold(f64::INFINITY, f64::min);
                let nearest = if inside { 0.0 } else { rim };
                prop_assert!(nearest >= (near.t - aim).hypot() - TIE_MM, "seed {} {:?} {}", seed, near, nearest);
            }
            Err(none) => prop_assert!(none.proved && tight.is_empty(), "seed {} {:?}", seed, tight),
        }
    }
}
