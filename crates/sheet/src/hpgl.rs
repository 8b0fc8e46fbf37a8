//! Outlines for a film cutter: HP-GL, 40 units to the millimetre, cut lines and nothing else, a pen a colour.
//!
//! The zero is the lower left corner of what is cut, so that no coordinate is negative. Outlines become chords within
//! half its step: shorter ones would stagger from step to step and cut a longer, rougher edge. No words are written: a
//! cutter would cut them. A cutter that counts in sixteen bits reaches 819 mm; longer work wants one that counts further.

use geom::plainer::plainer;
use geom::tolerance::FLATTEN_MM;
use geom::{Point, Ring};
use std::fmt::Write;

/// Units in a millimetre (plotter units of 0.025 mm, from memory).
pub const UNITS: f64 = 40.0;

/// What one tool cuts.
#[derive(Clone, Copy, Debug)]
pub struct Tool<'a> {
    /// Closed outlines.
    pub rings: &'a [Ring],
    /// Straight cuts.
    pub lines: &'a [[Point; 2]],
}

/// The file for one tool. Rings with a number that is not finite are left out.
pub fn write(rings: &[Ring]) -> String {
    write_tools(&[Tool { rings, lines: &[] }])
}

/// The file for several tools, numbered from 1 in their order, all from one zero: what is cut one after the other lies on
/// each other. Paths with a number that is not finite are left out, and a tool for which nothing is left.
pub fn write_tools(tools: &[Tool<'_>]) -> String {
    let paths = |tool: &Tool<'_>| -> Vec<Vec<Point>> {
        let closed = tool.rings.iter().map(|r| {
            let fine = Ring::from_points(r.flattened(FLATTEN_MM / 5.0));
            let mut points: Vec<Point> = plainer(&fine, 0.5 / UNITS).vertices.iter().map(|v| v.p).collect();
            points.extend(points.first().copied());
            points
        });
        let all = closed.chain(tool.lines.iter().map(|l| l.to_vec()));
        all.filter(|points| points.len() > 1 && points.iter().all(|p| p.is_finite())).collect()
    };
    let all: Vec<Vec<Vec<Point>>> = tools.iter().map(paths).collect();
    let lo =
        all.iter().flatten().flatten().fold((f64::MAX, f64::MAX), |lo, p| (lo.0.min(p.x), lo.1.min(p.y)));
    let unit = |v: f64, zero: f64| ((v - zero) * UNITS).round() as i64;
    let mut out = String::from("IN;PA;SP1;\n");
    for (k, paths) in all.iter().enumerate() {
        if k > 0 && !paths.is_empty() {
            // Writing to a String cannot fail.
            let _ = writeln!(out, "PU;SP{};", k + 1);
        }
        for points in paths {
            let pairs: Vec<String> =
                points.iter().map(|p| format!("{},{}", unit(p.x, lo.0), unit(p.y, lo.1))).collect();
            let _ = writeln!(out, "PU{};PD{};", pairs[0], pairs[1..].join(","));
        }
    }
    out.push_str("PU;SP0;\n");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_of_ten_millimetres_is_four_hundred_units_wide_and_closed() {
        let square = Ring::from_points([(-5.0, 2.0), (5.0, 2.0), (5.0, 12.0), (-5.0, 12.0)].map(Point::from));
        let want = "IN;PA;SP1;\nPU0,0;PD400,0,400,400,0,400,0,0;\nPU;SP0;\n";
        assert_eq!(write(&[square]), want);
    }

    /// A circle drawn in chords far shorter than the cutter's step: its written edge is as long as the circle and as large.
    #[test]
    fn a_fine_outline_is_not_staggered() {
        let r = 20.0;
        let fine = Ring::from_points((0..2500).map(|k| {
            let angle = f64::from(k) * std::f64::consts::TAU / 2500.0;
            Point::new(r * angle.cos(), r * angle.sin())
        }));
        let text = write(&[fine]);
        let path = text.lines().nth(1).unwrap_or("");
        let numbers: Vec<f64> = path
            .split(|c: char| !c.is_ascii_digit() && c != '-')
            .filter_map(|n| n.parse::<f64>().ok())
            .map(|n| n / UNITS)
            .collect();
        let points: Vec<Point> = numbers.chunks_exact(2).map(|c| Point::new(c[0], c[1])).collect();
        let long: f64 = points.windows(2).map(|w| w[0].distance(w[1])).sum();
        let round = std::f64::consts::TAU * r;
        assert!((long - round).abs() < 0.0005 * round, "{long} mm of {round}");
        for p in &points {
            let off = p.distance(Point::new(r, r)) - r;
            assert!(off.abs() < 0.036, "{off} mm off the circle");
        }
    }

    #[test]
    fn each_tool_has_its_number_and_all_share_one_zero() {
        let square = Ring::from_points([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(Point::from));
        let line = [Point::new(-1.0, 5.0), Point::new(-1.0, 6.0)];
        let tools = [Tool { rings: &[square], lines: &[] }, Tool { rings: &[], lines: &[line] }];
        let want = "IN;PA;SP1;\nPU40,0;PD440,0,440,400,40,400,40,0;\nPU;SP2;\nPU0,200;PD0,240;\nPU;SP0;\n";
        assert_eq!(write_tools(&tools), want);
    }

    #[test]
    fn a_tool_without_work_is_left_out() {
        fn tool(rings: &[Ring]) -> Tool<'_> {
            Tool { rings, lines: &[] }
        }
        let square =
            |x: f64| [Ring::from_points([(x, 0.0), (x + 1.0, 0.0), (x + 1.0, 1.0)].map(Point::from))];
        let want = "IN;PA;SP1;\nPU80,0;PD120,0,120,40,80,0;\nPU;SP3;\nPU0,0;PD40,0,40,40,0,0;\nPU;SP0;\n";
        assert_eq!(write_tools(&[tool(&square(2.0)), tool(&[]), tool(&square(0.0))]), want);
    }
}
