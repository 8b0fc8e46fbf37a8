//! Bodies and scans laid flat round a mark: against closed forms, and there and back again.

use super::surface;
use crate::finding::Severity;
use crate::job::{Attachments, Side, Station, StationOutline, SurfaceShape};
use crate::surface::{BodySkin, Chart, develop};
use geom::{Point, Ring, Vec2};

fn hoop(s: f64, half_width: f64, top: f64, bottom: f64) -> Station {
    Station { s, outline: StationOutline::Superellipse { half_width, top, bottom, power: 2.0 } }
}

/// A round tube of radius 600.
fn tube(side: Side) -> BodySkin {
    let stations = [0.0, 1500.0, 3000.0].map(|s| hoop(s, 600.0, 600.0, -600.0));
    BodySkin::new(Some(side), 0.0, &stations).unwrap()
}

/// The ball of 8 in of facts/geometry.md, B2, between rings near its poles.
fn ball() -> BodySkin {
    let r = 203.2_f64;
    let stations: Vec<Station> = (-12..=12)
        .map(|k| {
            let s = r * (f64::from(k) / 12.0 * 1.35).sin();
            let half = (r * r - s * s).sqrt();
            hoop(s, half, half, -half)
        })
        .collect();
    BodySkin::new(Some(Side::Left), 0.0, &stations).unwrap()
}

#[test]
fn a_tube_lies_flat_as_its_closed_form_says() {
    for side in [Side::Left, Side::Right] {
        let body = tube(side);
        let middle = body.flat([1400.0, 120.0]);
        let chart = Chart::on_body(&body, middle, 0.3, Vec2::new(1500.0, 400.0)).unwrap();
        // As an analytic tube the strain is below 1e-9 (`skin::surface::way`); a ring lofted of cubic pieces bends
        // a little more here and less there, which chords 40 mm long see as a few parts in a hundred million.
        assert!(chart.figures.max_strain < 5e-8, "{:?}", chart.figures);
        assert!(chart.figures.stroke_error < 1e-4, "{:?}", chart.figures);
        assert!(chart.figures.bound < 1e-12);
        for (s, t) in [(1400.0, 120.0), (1000.0, 0.0), (1700.0, 260.0), (1250.0, -90.0)] {
            let p = chart.at_reading([s, t]);
            // Readings of a tube are its unrolled skin: flat is them.
            assert!(p.distance(body.flat([s, t])) < 2e-3, "{p:?} {s} {t}");
            let [s2, t2] = chart.reading(p);
            assert!((s2 - s).abs() < 1e-6 && (t2 - t).abs() < 1e-6, "{s2} {t2}");
            let q = chart.space(p).unwrap();
            let angle = t / 600.0;
            let out = if side == Side::Left { -1.0 } else { 1.0 };
            assert!(
                (q.y - out * 600.0 * angle.cos()).abs() < 2e-3 && (q.z - 600.0 * angle.sin()).abs() < 2e-3
            );
        }
    }
}

/// Closed form: between the ends of a straight side the straightest way over a ball is its great circle. A side as long as
/// the letter errs by more than the sampled strokes, which are shorter; what is stated covers it, and no more.
#[test]
fn the_stated_error_of_a_stroke_covers_each_side_of_the_letter() {
    let body = ball();
    for (wide, high) in [(2.0, 3.0), (4.0, 6.0), (5.33, 8.0)] {
        let size = Vec2::new(wide, high) * 25.4;
        let chart = Chart::on_body(&body, Point::new(0.0, 0.0), 0.0, size).unwrap();
        let corners = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)];
        let corners = corners.map(|(x, y)| chart.flat_of_local(Vec2::new(x * size.x, y * size.y)));
        let places = corners.map(|p| chart.space(p).unwrap().normalize());
        let off = |k: usize| {
            let drawn = corners[k].distance(corners[(k + 1) % 4]);
            (203.2 * places[k].angle_between(places[(k + 1) % 4]) - drawn).abs()
        };
        let worst = (0..4).map(off).fold(0.0, f64::max);
        let sampled = chart.figures.stroke_error;
        let stated = chart.with_sides(&[Ring::from_points(corners)]).figures.stroke_error;
        // The lofted ball is off a round one by a few hundredths.
        assert!(1.03 * sampled < worst && (stated - worst).abs() < 0.02, "{sampled} {stated} {worst}");
    }
}

#[test]
fn a_ball_strains_as_measured_elsewhere_and_never_less_than_it_must() {
    let body = ball();
    for (size, strain, stroke_in) in [((2.0, 3.0), 0.0047, 0.0060), ((4.0, 6.0), 0.019, 0.049)] {
        let size = Vec2::new(size.0, size.1) * 25.4;
        let chart = Chart::on_body(&body, Point::new(0.0, 0.0), 0.0, size).unwrap();
        let f = chart.figures;
        assert!(f.bound <= f.max_strain && 0.0 < f.bound, "{f:?}");
        assert!((f.curvature * 203.2 * 203.2 - 1.0).abs() < 0.02, "{f:?}");
        // facts/geometry.md, B2 (libigl on 35,000 triangles); ours reaches a twentieth of the size farther on each side, so
        // strain is greater by about 1.1 squared.
        assert!((f.max_strain / (1.21 * strain) - 1.0).abs() < 0.2, "{f:?}");
        assert!((f.stroke_error / 25.4 / stroke_in - 1.0).abs() < 0.6, "{f:?}");
    }
}

#[test]
fn a_loft_says_where_a_step_wants_a_station_and_where_it_stands_outside_its_stations() {
    const IN: f64 = 25.4;
    let said = |stations: &[(f64, f64)]| {
        let stations: Vec<Station> =
            stations.iter().map(|(s, r)| hoop(s * IN, r * IN, r * IN, -r * IN)).collect();
        let body = SurfaceShape::Body { waterline: 0.0, stations };
        let (_, findings) = develop(&surface(body), &Attachments::default()).unwrap();
        findings.iter().map(|f| (f.severity, f.message.clone(), f.hint.clone())).collect::<Vec<_>>()
    };
    let step = said(&[(0.0, 10.0), (30.0, 10.0), (33.0, 14.0), (90.0, 14.0)]);
    assert_eq!(step.len(), 1, "{step:?}");
    let (severity, message, hint) = &step[0];
    assert_eq!(*severity, Severity::Caution);
    assert!(
        message.contains("between stations 30 in (762 mm) and 33 in (838.2 mm) the skin moves 4 in"),
        "{message}"
    );
    assert!(hint.contains("measure one more station between stations 30 in"), "{hint}");
    // A belly between two equal stations: 0.6 in, the closed form of a free cubic through these four.
    let belly = said(&[(0.0, 10.0), (30.0, 14.0), (60.0, 14.0), (90.0, 10.0)]);
    assert_eq!(belly.len(), 3, "{belly:?}");
    for (severity, message, _) in &belly {
        assert_eq!(*severity, Severity::Note);
        assert!(message.contains("outside what both say: at 45 in"), "{message}");
        assert!(message.contains("14 19/32 in"), "{message}");
    }
    assert_eq!(said(&[(0.0, 10.0), (40.0, 14.0), (90.0, 16.0)]), []);
}
