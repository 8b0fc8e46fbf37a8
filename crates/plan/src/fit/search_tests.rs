//! Places worked out by hand, and places that must not depend on where the panel lies.

use super::*;
use crate::fit::given::{Pose, lay};
use crate::fit::inside::beyond;
use crate::job::{Cross, FeatureKind};
use crate::marks::letters::{Alphabet, Proportions};
use crate::surface::{FlatFeature, SkinShape};
use geom::measure::{edges_to_region, shape_to_region};
use geom::{Affine, Region};
use proptest::prelude::*;

const IN: f64 = 25.4;

/// `text` in `square` letters, 2/3 wide, strokes of 1/6.
fn design(text: &str, height_in: f64) -> Design {
    let p = Proportions { width: 2.0 / 3.0, wide: 1.0, stroke: 1.0 / 6.0 };
    Design::plain(text, Alphabet::Square, &p, height_in * IN)
}

fn inches(points: &[(f64, f64)]) -> Ring {
    Ring::from_points(points.iter().map(|&(x, y)| Point::new(x * IN, y * IN)))
}

/// A panel of 200 x 60 in.
fn panel() -> Ring {
    inches(&[(0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (0.0, 60.0)])
}

fn disc(kind: FeatureKind, x: f64, y: f64, diameter: f64, clearance: f64) -> FlatFeature {
    FlatFeature {
        id: format!("at-{x}-{y}"),
        kind,
        region: Region::Disc { centre: Point::new(x * IN, y * IN), radius: diameter * IN / 2.0 },
        clearance: clearance * IN,
        removable: false,
        cross: Cross::Never,
    }
}

fn with(features: Vec<FlatFeature>) -> Skin {
    Skin {
        id: "panel".into(),
        side: None,
        shape: SkinShape::Flat,
        outline: panel(),
        girths: None,
        features,
        parts: Vec::new(),
        ribs: Vec::new(),
    }
}

fn task<'a>(design: &'a Design, skin: &'a Skin, allowed: &'a Ring, x: f64, y: f64) -> Task<'a> {
    Task { design, skin, features: &skin.features, angle: 0.0, allowed, aim: Point::new(x * IN, y * IN) }
}

fn is_at(a: Answer, x: f64, y: f64) -> bool {
    a.proved && a.centre.distance(Point::new(x * IN, y * IN)) < 0.003
}

#[test]
fn a_ring_too_wide_for_the_stroke_goes_into_the_counter_when_left_is_as_near_as_right() {
    // The O is 20 wide, its left stroke from 81.5 to 86.5 at the aim. The ring and its clearance are 2.75 round
    // (84, 30): the O moves right until its outside is at 86.75, or left until its counter begins at 81.25.
    // Both are 5.25; the smaller s is taken.
    let (o, skin, panel) =
        (design("O", 30.0), with(vec![disc(FeatureKind::Ring, 84.0, 30.0, 4.5, 0.5)]), panel());
    let got = nearest(task(&o, &skin, &panel, 91.5, 30.0)).unwrap();
    assert!(is_at(got, 86.25, 30.0), "{got:?}");
    assert!(got.clearance.unwrap().abs() < 0.001 && (got.bound - 5.25 * IN).abs() < 0.002, "{got:?}");
    // Half a millimetre nearer to one side, that side wins.
    let right = nearest(task(&o, &skin, &panel, 91.5 + 0.5 / IN, 30.0)).unwrap();
    assert!(is_at(right, 96.75, 30.0), "{right:?}");
    // The same port must not lie under paint, but the counter is no paint.
    let port = with(vec![disc(FeatureKind::Port, 84.0, 30.0, 4.5, 0.5)]);
    assert!(is_at(nearest(task(&o, &port, &panel, 91.5, 30.0)).unwrap(), 86.25, 30.0));
}

#[test]
fn a_ring_may_lie_inside_a_stroke_that_holds_it() {
    // Ring and clearance are 2.25 round, the stroke 2.5 each way: at the aim it is in the stroke's middle.
    let (o, skin, panel) =
        (design("O", 30.0), with(vec![disc(FeatureKind::Ring, 84.0, 30.0, 4.0, 0.25)]), panel());
    let got = nearest(task(&o, &skin, &panel, 91.5, 30.0)).unwrap();
    assert!(is_at(got, 91.5, 30.0) && (got.clearance.unwrap() - 0.25 * IN).abs() < 0.001, "{got:?}");
    let port = with(vec![disc(FeatureKind::Port, 84.0, 30.0, 4.0, 0.25)]);
    assert!(is_at(nearest(task(&o, &port, &panel, 91.5, 30.0)).unwrap(), 86.75, 30.0));
}

#[test]
fn a_ring_exactly_as_wide_as_the_counter_is_found_and_one_a_hair_wider_is_not() {
    // The counter is 10 wide and 20 high; the area leaves the O from 76 to 94 for its centre, so that the ring
    // cannot stand beside it.
    let (o, allowed) = (design("O", 30.0), inches(&[(66.0, 0.0), (104.0, 0.0), (104.0, 60.0), (66.0, 60.0)]));
    let just = with(vec![disc(FeatureKind::Ring, 84.0, 30.0, 9.0, 0.5)]);
    let got = nearest(task(&o, &just, &allowed, 90.0, 31.0)).unwrap();
    assert!(is_at(got, 84.0, 31.0) && got.clearance.unwrap().abs() < 0.001, "{got:?}");
    assert!(is_at(roomiest(task(&o, &just, &allowed, 90.0, 31.0)).unwrap(), 84.0, 31.0));
    let more = with(vec![disc(FeatureKind::Ring, 84.0, 30.0, 9.001, 0.5)]);
    assert!(nearest(task(&o, &more, &allowed, 90.0, 31.0)).unwrap_err().proved);
    assert!(roomiest(task(&o, &more, &allowed, 90.0, 31.0)).unwrap_err().proved);
}

#[test]
fn a_port_on_the_border_pushes_the_mark_off_it() {
    // The O would stand on the lower border over the port, which reaches 2 up and asks 1 more.
    let (o, skin, panel) =
        (design("O", 30.0), with(vec![disc(FeatureKind::Port, 100.0, 0.0, 4.0, 1.0)]), panel());
    assert!(is_at(nearest(task(&o, &skin, &panel, 100.0, 15.0)).unwrap(), 100.0, 18.0));
    // From beyond the border the mark comes in no farther than it must.
    let free = with(vec![]);
    let got = nearest(task(&o, &free, &panel, 195.0, 10.0)).unwrap();
    assert!(is_at(got, 190.0, 15.0) && got.clearance.is_none(), "{got:?}");
}

#[test]
fn features_that_overlap_ask_no_more_than_each_alone_and_those_without_walls_nothing() {
    let one = disc(FeatureKind::Ring, 84.0, 30.0, 4.5, 0.5);
    let mut lid = disc(FeatureKind::Plate, 95.0, 20.0, 6.0, 0.5);
    lid.removable = true;
    let inner = disc(FeatureKind::Ring, 84.2, 30.1, 2.0, 0.5);
    let (o, panel) = (design("O", 30.0), panel());
    let skin = with(vec![one.clone(), one, inner, lid]);
    assert!(is_at(nearest(task(&o, &skin, &panel, 91.5, 30.0)).unwrap(), 86.25, 30.0));
}

#[test]
fn a_ring_that_may_be_crossed_square_is_still_a_wall_here() {
    let mut ring = disc(FeatureKind::Ring, 84.0, 30.0, 4.5, 0.5);
    ring.cross = Cross::Square;
    let (o, skin, panel) = (design("O", 30.0), with(vec![ring]), panel());
    assert!(is_at(nearest(task(&o, &skin, &panel, 91.5, 30.0)).unwrap(), 86.25, 30.0));
}

#[test]
fn an_area_smaller_than_the_mark_has_no_place_and_one_just_as_large_has_one() {
    let (o, skin) = (design("O", 30.0), with(vec![]));
    let small = inches(&[(10.0, 10.0), (29.99, 10.0), (29.99, 50.0), (10.0, 50.0)]);
    assert!(nearest(task(&o, &skin, &small, 20.0, 30.0)).unwrap_err().proved);
    assert!(roomiest(task(&o, &skin, &small, 20.0, 30.0)).unwrap_err().proved);
    let just = inches(&[(10.0, 10.0), (30.0, 10.0), (30.0, 40.0), (10.0, 40.0)]);
    assert!(is_at(nearest(task(&o, &skin, &just, 20.0, 33.0)).unwrap(), 20.0, 25.0));
}

#[test]
fn a_notch_in_the_area_is_no_place_for_paint() {
    // A notch 4 wide cut down to y = 40 at x = 100: an O with its top at 45 has to pass it on the near side,
    // or keep below it.
    let notched = inches(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 60.0),
        (102.0, 60.0),
        (102.0, 40.0),
        (98.0, 40.0),
        (98.0, 60.0),
        (0.0, 60.0),
    ]);
    let (o, skin) = (design("O", 30.0), with(vec![]));
    let got = nearest(task(&o, &skin, &notched, 90.0, 45.0)).unwrap();
    assert!(is_at(got, 88.0, 45.0), "{got:?}");
    let below = nearest(task(&o, &skin, &notched, 100.0, 27.0)).unwrap();
    assert!(is_at(below, 100.0, 25.0), "{below:?}");
    let rings: Vec<Ring> =
        lay(&o, Pose { centre: got.centre, angle: 0.0 }).into_iter().flat_map(|g| g.rings).collect();
    assert!(beyond(&rings, &notched) <= 0.001);
}

#[test]
fn the_largest_height_is_the_first_on_the_way_down_that_has_a_place() {
    // The area is 25 in high and 40 in long; an O of height h is 2 h / 3 wide: 25 in is the limit.
    let (o, free) = (design("O", 1.0), with(vec![]));
    let allowed = inches(&[(10.0, 10.0), (50.0, 10.0), (50.0, 35.0), (10.0, 35.0)]);
    let ladder = || (0..=160).map(|k| (30.0 - f64::from(k) / 8.0) * IN);
    let (height, got) = largest(task(&o, &free, &allowed, 20.0, 20.0), ladder(), Goal::Nearest).unwrap();
    assert!((height - 25.0 * IN).abs() < 1e-9 && is_at(got, 20.0, 22.5), "{height} {got:?}");
    // A port 10 in across in the area's middle leaves 15 in on either side, or lies in a counter of h / 3.
    let port = with(vec![disc(FeatureKind::Port, 30.0, 22.5, 10.0, 0.0)]);
    let (height, got) = largest(task(&o, &port, &allowed, 20.0, 20.0), ladder(), Goal::Roomiest).unwrap();
    // Beside it the O may be 15 wide, 22.5 high; the counter would have to be 10 wide, 30 high.
    assert!((height - 22.5 * IN).abs() < 1e-9 && got.centre.x < 20.0 * IN, "{height} {got:?}");
    assert!(largest(task(&o, &port, &allowed, 20.0, 20.0), [40.0 * IN, 35.0 * IN], Goal::Nearest).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// P2: moving the whole job moves the place with it. What is kept is measured again by `measure`, which
    /// shares no code with the search.
    #[test]
    fn moving_the_whole_job_changes_no_distance(
        at in proptest::collection::vec((70.0..130.0_f64, 5.0..55.0_f64, 1.0..5.0_f64, any::<bool>()), 1..9),
        dx in -4000.0..4000.0_f64, dy in -4000.0..4000.0_f64,
    ) {
        let features: Vec<FlatFeature> = at.iter().map(|&(x, y, d, port)| {
            disc(if port { FeatureKind::Port } else { FeatureKind::Ring }, x, y, d, 0.25)
        }).collect();
        let shift = Vec2::new(dx, dy);
        let there: Vec<FlatFeature> = features.iter().map(|f| {
            let Region::Disc { centre, radius } = f.region else { unreachable!() };
            FlatFeature { region: Region::Disc { centre: centre + shift, radius }, ..f.clone() }
        }).collect();
        let (mark, here, there) = (design("HO", 18.0), with(features), with(there));
        let (panel, moved) = (panel(), panel().mapped(Affine::translate(shift)));
        let first = task(&mark, &here, &panel, 100.0, 30.0);
        let second = Task { skin: &there, features: &there.features, allowed: &moved, aim: first.aim + shift, ..first };
        for search in [nearest, roomiest] {
            let (a, b) = (search(first).unwrap(), search(second).unwrap());
            let (far_a, far_b) = (a.centre.distance(first.aim), b.centre.distance(second.aim));
            prop_assert!((a.clearance.unwrap() - b.clearance.unwrap()).abs() < 0.002);
            prop_assert!((a.bound - b.bound).abs() < 0.002 && (far_a - far_b).abs() < 0.003);
            let rings: Vec<Ring> =
                lay(&mark, Pose { centre: a.centre, angle: 0.0 }).into_iter().flat_map(|g| g.rings).collect();
            let least = here.features.iter().map(|f| {
                let covers = f.kind == FeatureKind::Port;
                let d = if covers { shape_to_region(&rings, &f.region) } else { edges_to_region(&rings, &f.region) };
                d - f.clearance
            }).fold(f64::INFINITY, f64::min);
            prop_assert!(least >= -0.001 && (least - a.clearance.unwrap()).abs() < 0.001);
        }
    }
}
