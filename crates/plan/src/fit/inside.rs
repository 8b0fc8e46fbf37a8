//! Whether a mark stays inside the area it was given, and if not how far it sticks out.

use geom::distance::{crossings, point_to_edge};
use geom::winding::contains;
use geom::{Edge, Point, Ring};

/// How far paint edges reach beyond the outline, mm; 0 if all paint lies inside. Looks at every corner and at
/// the middle of every stretch between two crossings with the outline, so that a notch cut into a stroke
/// counts as well as a corner hanging out.
pub fn beyond(rings: &[Ring], outline: &Ring) -> f64 {
    let sides: Vec<Edge> = outline.edges().collect();
    let allowed = std::slice::from_ref(outline);
    let out = |p: Point| {
        if contains(allowed, p) {
            return 0.0;
        }
        sides.iter().map(|s| point_to_edge(p, s)).fold(f64::INFINITY, f64::min)
    };
    let mut most: f64 = 0.0;
    for ring in rings {
        let chords = Ring::from_points(ring.flattened(geom::tolerance::FLATTEN_MM));
        for e in chords.edges() {
            most = most.max(out(e.start()));
            let length = e.length();
            let mut at: Vec<f64> =
                sides.iter().flat_map(|s| crossings(&e, s)).map(|p| p.distance(e.start()) / length).collect();
            if at.is_empty() {
                continue;
            }
            at.extend([0.0, 1.0]);
            at.sort_by(f64::total_cmp);
            for w in at.windows(2) {
                most = most.max(out(e.at(f64::midpoint(w[0], w[1]))));
            }
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
        Ring::from_points([(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from))
    }

    #[test]
    fn paint_inside_does_not_stick_out_and_paint_outside_does_by_its_overhang() {
        let panel = rect(0.0, 0.0, 1000.0, 500.0);
        assert!(beyond(&[rect(10.0, 10.0, 500.0, 400.0)], &panel) < 1e-9);
        assert!((beyond(&[rect(-7.0, 10.0, 500.0, 400.0)], &panel) - 7.0).abs() < 1e-9);
    }

    #[test]
    fn a_notch_that_cuts_through_a_stroke_counts_though_every_corner_is_inside() {
        let notched = Ring::from_points(
            [
                (0.0, 0.0),
                (1000.0, 0.0),
                (1000.0, 500.0),
                (520.0, 500.0),
                (500.0, 100.0),
                (480.0, 500.0),
                (0.0, 500.0),
            ]
            .map(Point::from),
        );
        let out = beyond(&[rect(100.0, 300.0, 900.0, 350.0)], &notched);
        assert!(out > 5.0 && out < 20.0, "{out}");
    }
}
