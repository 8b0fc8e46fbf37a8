//! Outlines for a film cutter: HP-GL, 40 units to the millimetre, cut lines and nothing else, a pen a colour.
//!
//! The zero is the lower left corner of what is cut, so that no coordinate is negative. Arcs become chords
//! within a five-hundredth of a millimetre, well under its step. No words are written: a cutter would cut
//! them. A cutter that counts in sixteen bits reaches 819 mm; longer work wants one that counts further.

use geom::Ring;
use geom::tolerance::FLATTEN_MM;
use std::fmt::Write;

/// Units in a millimetre (plotter units of 0.025 mm, from memory).
pub const UNITS: f64 = 40.0;

/// The file. Rings with a number that is not finite are left out.
pub fn write(rings: &[Ring]) -> String {
    write_pens(&[rings])
}

/// The file of several colours, each with a pen of its own, counted from 1 in the order given, all from one zero:
/// films cut one after the other lie on each other. Rings with a number that is not finite are left out, and a
/// colour of which nothing is left.
pub fn write_pens(colours: &[&[Ring]]) -> String {
    let shapes_of = |rings: &[Ring]| -> Vec<Vec<geom::Point>> {
        rings
            .iter()
            .map(|r| r.flattened(FLATTEN_MM / 5.0))
            .filter(|points| points.len() > 1 && points.iter().all(|p| p.is_finite()))
            .collect()
    };
    let colours: Vec<Vec<Vec<geom::Point>>> = colours.iter().map(|rings| shapes_of(rings)).collect();
    let all = colours.iter().flatten().flatten();
    let lo = all.fold((f64::MAX, f64::MAX), |lo, p| (lo.0.min(p.x), lo.1.min(p.y)));
    let unit = |v: f64, zero: f64| ((v - zero) * UNITS).round() as i64;
    let mut out = String::from("IN;PA;SP1;\n");
    for (k, shapes) in colours.iter().enumerate() {
        if k > 0 && !shapes.is_empty() {
            // Writing to a String cannot fail.
            let _ = writeln!(out, "PU;SP{};", k + 1);
        }
        for points in shapes {
            let start = (unit(points[0].x, lo.0), unit(points[0].y, lo.1));
            let _ = write!(out, "PU{},{};PD", start.0, start.1);
            for p in &points[1..] {
                let _ = write!(out, "{},{},", unit(p.x, lo.0), unit(p.y, lo.1));
            }
            let _ = writeln!(out, "{},{};", start.0, start.1);
        }
    }
    out.push_str("PU;SP0;\n");
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use geom::Point;

    #[test]
    fn a_square_of_ten_millimetres_is_four_hundred_units_wide_and_closed() {
        let square = Ring::from_points([(-5.0, 2.0), (5.0, 2.0), (5.0, 12.0), (-5.0, 12.0)].map(Point::from));
        let want = "IN;PA;SP1;\nPU0,0;PD400,0,400,400,0,400,0,0;\nPU;SP0;\n";
        assert_eq!(write(&[square]), want);
    }

    #[test]
    fn each_colour_has_its_pen_and_all_have_one_zero() {
        let square =
            |x: f64| [Ring::from_points([(x, 0.0), (x + 1.0, 0.0), (x + 1.0, 1.0)].map(Point::from))];
        let want = "IN;PA;SP1;\nPU80,0;PD120,0,120,40,80,0;\nPU;SP3;\nPU0,0;PD40,0,40,40,0,0;\nPU;SP0;\n";
        assert_eq!(write_pens(&[&square(2.0), &[], &square(0.0)]), want);
    }
}
