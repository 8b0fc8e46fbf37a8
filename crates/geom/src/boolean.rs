//! Shapes cut, joined and grown: what two sets of outlines have together, in common, or one without the other, and
//! all that lies within so many mm of one.
//!
//! The only file that knows the crate behind it. Outlines are rounded to our own fixed grid (its origin at 0, its
//! step `GRID_MM`) and handed over as whole numbers, so that a shape comes back with the same corners whatever
//! stands beside it. Straight edges only: arcs are cut into chords within `FLATTEN_MM` first.

use crate::plainer::plainer;
use crate::point::Point;
use crate::ring::Ring;
use crate::tolerance::{FLATTEN_MM, GRID_MM};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::i_shape::int::shape::{IntContour, IntShapes};
use i_overlay::mesh::int::arc::ArcOptions;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::{IntLineJoin, IntOutlineStyle};
use i_overlay::mesh::math::MathMode;

/// Farthest a coordinate may lie from the origin, mm: a thousand kilometres, where the grid still has
/// millions of times the room and `f64` still tells two grid lines apart.
const REACH_MM: f64 = 1e9;

/// What lies in `a` or in `b`: outer rings counter-clockwise, holes clockwise, each outer before its holes.
///
/// Rings given may overlap and cross themselves: a point is inside a set if its rings wind round it other than
/// zero times. Corners of the result lie on the grid.
///
/// # Panics
/// If a coordinate is not finite or lies beyond a thousand kilometres; whoever reads a job refuses those.
pub fn union(a: &[Ring], b: &[Ring]) -> Vec<Ring> {
    overlay(a, b, OverlayRule::Union)
}

/// What lies in `a` and in `b`. Orientation, corners and limits as for [`union`].
///
/// # Panics
/// As [`union`].
pub fn intersection(a: &[Ring], b: &[Ring]) -> Vec<Ring> {
    overlay(a, b, OverlayRule::Intersect)
}

/// What lies in `a` and not in `b`. Orientation, corners and limits as for [`union`].
///
/// # Panics
/// As [`union`].
pub fn difference(a: &[Ring], b: &[Ring]) -> Vec<Ring> {
    overlay(a, b, OverlayRule::Difference)
}

fn overlay(a: &[Ring], b: &[Ring], rule: OverlayRule) -> Vec<Ring> {
    off_grid(&Overlay::from_subj_and_clip(&on_grid(a), &on_grid(b)).overlay(rule, FillRule::NonZero))
}

/// All within `margin` mm of `rings`, as the fan of a gun reaches beyond a paint edge: corners that point outwards
/// become round, counters shrink and close. What several shapes share is there once. The edge lies within `tolerance`
/// mm of the true one. Orientation and limits as for [`union`].
///
/// # Panics
/// As [`union`].
///
/// # Example
/// ```
/// use geom::{Point, Ring, boolean::outset};
/// let square = Ring::from_points([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(Point::from));
/// let grown: f64 = outset(&[square], 2.0, 0.001).iter().map(Ring::area).sum();
/// assert!((grown - (100.0 + 4.0 * 20.0 + std::f64::consts::PI * 4.0)).abs() < 0.05);
/// ```
pub fn outset(rings: &[Ring], margin: f64, tolerance: f64) -> Vec<Ring> {
    // The crate asks for outlines that do not overlap, each outside running counter-clockwise.
    let mut grown = union(&plain(rings, tolerance / 4.0), &[]);
    // In two steps: on the inside of a bend each chord's edge crosses all others', and the first step, being
    // short, leaves few of them to the second.
    for part in [0.125, 0.875] {
        grown = step(&plain(&grown, tolerance / 8.0), margin * part, tolerance / 4.0);
    }
    grown
}

fn plain(rings: &[Ring], tolerance: f64) -> Vec<Ring> {
    rings.iter().map(|r| plainer(r, tolerance)).collect()
}

fn step(rings: &[Ring], margin: f64, tolerance: f64) -> Vec<Ring> {
    let turn = 2.0 * (1.0 - tolerance / margin.max(tolerance)).acos();
    let round = ArcOptions {
        max_step: Angle::from_radians(turn).unwrap_or(ArcOptions::MAX_STEP),
        ..ArcOptions::default()
    };
    let style = IntOutlineStyle::new((margin / GRID_MM).round() as i64)
        .line_join(IntLineJoin::Round(round))
        .math(MathMode::Float);
    let parts = Overlay::from_subj_and_clip(&on_grid(rings), &on_grid(&[]))
        .overlay(OverlayRule::Union, FillRule::NonZero);
    // Never: the crate checks ranges only on request, and the grid's are kept when it is entered.
    off_grid(&parts.outline(&style).expect("an outline within reach grows"))
}

fn off_grid(shapes: &IntShapes<i64>) -> Vec<Ring> {
    let mut rings = Vec::new();
    for shape in shapes {
        for (i, contour) in shape.iter().enumerate() {
            let ring = Ring::from_points(
                contour.iter().map(|p| Point::new(p.x as f64 * GRID_MM, p.y as f64 * GRID_MM)),
            );
            // The first contour of a shape is its outside.
            assert!((ring.area() > 0.0) == (i == 0), "outer rings run counter-clockwise, holes clockwise");
            rings.push(ring);
        }
    }
    rings
}

fn on_grid(rings: &[Ring]) -> Vec<IntContour<i64>> {
    let step = |v: f64| {
        assert!(v.abs() <= REACH_MM, "a coordinate is finite and within reach, got {v}");
        (v / GRID_MM).round() as i64
    };
    rings
        .iter()
        .map(|r| r.flattened(FLATTEN_MM).iter().map(|p| IntPoint { x: step(p.x), y: step(p.y) }).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::area;

    fn square(x: f64, y: f64, side: f64) -> Ring {
        Ring::from_points(
            [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
                .map(|(u, v)| Point::new(x + u * side, y + v * side)),
        )
    }

    #[test]
    fn areas_of_two_squares_that_share_a_corner_square_add_up() {
        // Closed form: 100 + 100 - 25, 25, 100 - 25.
        let (a, b) = ([square(0.0, 0.0, 10.0)], [square(5.0, 5.0, 10.0).reversed()]);
        assert!((area(&union(&a, &b)) - 175.0).abs() < 1e-9);
        assert!((area(&intersection(&a, &b)) - 25.0).abs() < 1e-9);
        assert!((area(&difference(&a, &b)) - 75.0).abs() < 1e-9);
        assert!(intersection(&a, &[square(20.0, 0.0, 1.0)]).is_empty());
    }

    #[test]
    fn a_hole_comes_back_clockwise_after_its_outer_ring() {
        let ring = difference(&[square(0.0, 0.0, 10.0)], &[square(4.0, 4.0, 2.0)]);
        assert_eq!(ring.len(), 2);
        assert!((ring[0].area() - 100.0).abs() < 1e-9 && (ring[1].area() + 4.0).abs() < 1e-9);
    }

    #[test]
    fn corners_of_a_shape_do_not_depend_on_its_neighbours() {
        let shape =
            Ring::from_points([(0.4, 0.1003), (7.7777, 0.2), (6.1234, 5.4321), (0.3, 4.0)].map(Point::from));
        let alone = union(std::slice::from_ref(&shape), &[]);
        let corners = |rings: &[Ring]| rings[0].vertices.iter().map(|v| v.p).collect::<Vec<_>>();
        for x in [20.0, 333.3, 5000.123, -1.0e6] {
            let mut both = union(std::slice::from_ref(&shape), &[square(x, 0.7, 3.0)]);
            assert_eq!(both.len(), 2);
            both.retain(|r| (r.area() - 9.0).abs() > 1.0);
            assert_eq!(corners(&both), corners(&alone), "neighbour at {x}");
        }
    }

    #[test]
    fn a_disc_loses_no_more_area_than_its_chords_do() {
        // Closed form: pi r^2; chords within e of the circle lose less than 2 pi r e.
        let r = 57.15;
        let got = area(&union(&[Ring::circle(Point::ZERO, r)], &[]));
        let full = std::f64::consts::PI * r * r;
        assert!(got < full && full - got < std::f64::consts::TAU * r * (FLATTEN_MM + GRID_MM));
    }

    #[test]
    #[should_panic(expected = "finite")]
    fn a_coordinate_that_is_not_finite_is_our_own_bug() {
        union(&[square(f64::NAN, 0.0, 1.0)], &[]);
    }

    fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Ring {
        Ring::from_points([(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from))
    }

    #[test]
    fn a_convex_shape_grows_by_steiners_formula() {
        // Steiner: area + perimeter r + pi r^2 for every convex shape.
        for ring in [
            rectangle(0.0, 0.0, 508.0, 762.0),
            Ring::circle(Point::new(3.0, 4.0), 57.15),
            Ring::from_points([(0.0, 0.0), (400.0, 0.0), (0.0, 300.0)].map(Point::from)),
        ] {
            let r = 101.6;
            let wanted = ring.area() + ring.perimeter() * r + std::f64::consts::PI * r * r;
            let grown = area(&outset(std::slice::from_ref(&ring), r, 0.01));
            assert!(grown <= wanted + 1.0 && wanted - grown < 0.05 * ring.perimeter(), "{grown} {wanted}");
        }
    }

    #[test]
    fn an_inside_corner_is_counted_once() {
        // An L of two strokes 4 wide, 24 high, 16 long grown by 2: its box is 20 by 28, the notch
        // still 12 by 20 and sharp; the five other corners are quarter rounds.
        let l = Ring::from_points(
            [(0.0, 0.0), (16.0, 0.0), (16.0, 4.0), (4.0, 4.0), (4.0, 24.0), (0.0, 24.0)].map(Point::from),
        );
        let wanted = 20.0 * 28.0 - 12.0 * 20.0 - 5.0 * (4.0 - std::f64::consts::PI);
        assert!((area(&outset(&[l], 2.0, 0.0001)) - wanted).abs() < 0.02);
    }

    #[test]
    fn a_counter_shrinks_and_closes() {
        let hole = |side: f64| {
            let at = (40.0 - side) / 2.0;
            vec![rectangle(0.0, 0.0, 40.0, 40.0), rectangle(at, at, side, side).reversed()]
        };
        let outer = 1600.0 + 160.0 * 5.0 + std::f64::consts::PI * 25.0;
        assert!((area(&outset(&hole(20.0), 5.0, 0.001)) - (outer - 100.0)).abs() < 0.1);
        assert!((area(&outset(&hole(8.0), 5.0, 0.001)) - outer).abs() < 0.1);
    }

    #[test]
    fn neighbours_share_their_overlap() {
        // Two squares 10 apart grown by 5 just touch; by 6 they share a strip.
        let two = [rectangle(0.0, 0.0, 50.0, 50.0), rectangle(60.0, 0.0, 50.0, 50.0)];
        let alone = |r: f64| 2500.0 + 200.0 * r + std::f64::consts::PI * r * r;
        assert!((area(&outset(&two, 5.0, 0.001)) - 2.0 * alone(5.0)).abs() < 0.5);
        let shared = 2.0 * alone(6.0) - area(&outset(&two, 6.0, 0.001));
        assert!(shared > 2.0 * 50.0 - 0.5 && shared < 2.0 * 62.0, "{shared}");
    }
}
