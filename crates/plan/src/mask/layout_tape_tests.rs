//! Layout tape by hand: as many strips as strokes, lengths, angles, nothing left open.

use super::*;
use crate::job::types::Tape;
use crate::mask::plan::TabKind;
use geom::boolean::outset;

const IN: f64 = 25.4;

fn shelf(widths: &[f64]) -> Vec<Tape> {
    widths.iter().map(|w| Tape { width: *w, real: *w, roll: 54_864.0, strain: 0.02 }).collect()
}

fn ring(points: &[(f64, f64)]) -> Ring {
    Ring::from_points(points.iter().map(|(x, y)| Point::new(x * IN, y * IN)))
}

/// Square letters 8 in wide and 12 in high with strokes of 2 in, drawn here by hand.
fn square(letter: char) -> Vec<Ring> {
    let outline = |p: &[(f64, f64)]| vec![ring(p)];
    match letter {
        'I' => outline(&[(0.0, 0.0), (2.0, 0.0), (2.0, 12.0), (0.0, 12.0)]),
        'L' => outline(&[(0.0, 0.0), (8.0, 0.0), (8.0, 2.0), (2.0, 2.0), (2.0, 12.0), (0.0, 12.0)]),
        'T' => outline(&[
            (3.0, 0.0),
            (5.0, 0.0),
            (5.0, 10.0),
            (8.0, 10.0),
            (8.0, 12.0),
            (0.0, 12.0),
            (0.0, 10.0),
            (3.0, 10.0),
        ]),
        'H' => outline(&[
            (0.0, 0.0),
            (2.0, 0.0),
            (2.0, 5.0),
            (6.0, 5.0),
            (6.0, 0.0),
            (8.0, 0.0),
            (8.0, 12.0),
            (6.0, 12.0),
            (6.0, 7.0),
            (2.0, 7.0),
            (2.0, 12.0),
            (0.0, 12.0),
        ]),
        'O' => vec![
            ring(&[(0.0, 0.0), (8.0, 0.0), (8.0, 12.0), (0.0, 12.0)]),
            ring(&[(2.0, 2.0), (2.0, 10.0), (6.0, 10.0), (6.0, 2.0)]),
        ],
        'E' => outline(&[
            (0.0, 0.0),
            (8.0, 0.0),
            (8.0, 2.0),
            (2.0, 2.0),
            (2.0, 5.0),
            (7.0, 5.0),
            (7.0, 7.0),
            (2.0, 7.0),
            (2.0, 10.0),
            (8.0, 10.0),
            (8.0, 12.0),
            (0.0, 12.0),
        ]),
        _ => {
            // The diagonal is 2 in thick, square across: 4 y = 2 sqrt(16 + (12 - y)^2).
            let y = (2496.0_f64.sqrt() - 24.0) / 6.0;
            outline(&[
                (0.0, 0.0),
                (2.0, 0.0),
                (2.0, 12.0 - y),
                (6.0, 0.0),
                (8.0, 0.0),
                (8.0, 12.0),
                (6.0, 12.0),
                (6.0, y),
                (2.0, 12.0),
                (0.0, 12.0),
            ])
        }
    }
}

fn bare(letter: &[Ring], pieces: &[Piece]) -> f64 {
    let strips: Vec<Ring> = pieces.iter().flat_map(|p| p.footprint.iter().cloned()).collect();
    area(&difference(letter, &outset(&strips, 0.005, 0.001)))
}

/// Plain geometry: where every stroke is as wide as the tape, a letter takes as many strips as it has strokes,
/// and no fewer would do; where a stroke takes two widths and a half, three strips a stroke.
#[test]
fn strokes_as_wide_as_the_tape_take_one_strip_each() {
    for (letter, strokes) in [('I', 1), ('L', 2), ('T', 2), ('H', 3), ('O', 4), ('E', 4), ('N', 3)] {
        let outline = square(letter);
        for (tapes, each) in [(vec![2.0 * IN], 1), (vec![IN, 2.0 * IN, 3.0 * IN], 1), (vec![IN], 2)] {
            let pieces = layout_strips(&outline, Vec2::new(1.0, 0.0), &shelf(&tapes));
            let open = bare(&outline, &pieces);
            assert!(open < 0.01, "{letter}: {open} mm2 are open");
            // Two narrow strips side by side leave a diagonal's flush ends open now and then.
            let most = strokes * each + usize::from(letter == 'N' && each > 1) * 2;
            assert!(
                (strokes * each..=most).contains(&pieces.len()),
                "{letter} from {tapes:?}: {} strips",
                pieces.len()
            );
        }
    }
}

#[test]
fn a_frame_of_four_strips_has_their_lengths() {
    // An O of 8 by 12 in: two strips of 12 in, and two of 4 in that lap half an inch at both ends, or of 8 in.
    let pieces = layout_strips(&square('O'), Vec2::new(1.0, 0.0), &shelf(&[2.0 * IN]));
    let mut lengths: Vec<f64> =
        pieces.iter().map(|p| (p.path_length() + p.start.past + p.finish.past) / IN).collect();
    lengths.sort_by(f64::total_cmp);
    for (got, wanted) in lengths.iter().zip([5.0, 5.0, 12.0, 12.0]) {
        assert!((got - wanted).abs() < 0.01, "{lengths:?}");
    }
    assert!(pieces.iter().all(|p| (p.width - 2.0 * IN).abs() < 1e-9 && !p.trimmed));
    assert!(pieces.iter().all(|p| p.tab.kind == TabKind::None));
}

#[test]
fn tape_wider_than_the_stroke_is_cut_down_to_it() {
    let pieces = layout_strips(&square('L'), Vec2::new(1.0, 0.0), &shelf(&[3.0 * IN]));
    assert_eq!(pieces.len(), 2);
    assert!(pieces.iter().all(|p| p.trimmed && (p.width - 2.0 * IN).abs() < 0.03));
}

#[test]
fn a_slanted_end_is_cut_at_its_angle() {
    // A stroke leaning 3 in 4: cut level at both ends, 53.13 degrees to the paint line.
    let stroke = [ring(&[(0.0, 0.0), (2.5, 0.0), (11.5, 12.0), (9.0, 12.0)])];
    let pieces = layout_strips(&stroke, Vec2::new(1.0, 0.0), &shelf(&[2.0 * IN]));
    assert_eq!(pieces.len(), 1);
    let wanted = 4.0_f64.atan2(3.0);
    for end in [pieces[0].start, pieces[0].finish] {
        let sharp = end.cut.min(std::f64::consts::PI - end.cut);
        assert!((sharp - wanted).abs() < 0.001 && end.exact, "{}", end.cut.to_degrees());
    }
    // Its path is the paint edge, the hypotenuse; the slant takes 1.5 in more of tape, past one end.
    let [piece] = &pieces[..] else { panic!("one strip") };
    let past = piece.start.past + piece.finish.past;
    assert!((piece.path_length() / IN - 15.0).abs() < 0.01, "{}", piece.path_length());
    assert!(((piece.path_length() + past) / IN - (15.0 + 1.5)).abs() < 0.01, "{past}");
}

#[test]
fn an_o_all_round_is_covered_by_short_straight_strips() {
    for (radius, stroke) in [(6.0, 2.0), (3.0, 0.75), (1.5, 0.25)] {
        let outline: Vec<Ring> = [radius, radius - stroke]
            .iter()
            .enumerate()
            .map(|(k, r)| {
                let n = 180;
                let points = (0..n).map(|i| {
                    let a = f64::from(i) / f64::from(n) * std::f64::consts::TAU;
                    Point::new(r * IN * a.cos(), r * IN * a.sin())
                });
                let ring = Ring::from_points(points);
                if k == 0 { ring } else { ring.reversed() }
            })
            .collect();
        let pieces = layout_strips(&outline, Vec2::new(1.0, 0.0), &shelf(&[IN, 2.0 * IN]));
        let open = bare(&outline, &pieces);
        assert!(open < 0.01, "radius {radius}: {open} mm2 are open");
        // Laid across the stroke each strip would take its width of the outside; along it, as much of the bend
        // as still is a strip: (2/3) a^2 r^2 of hollow beside a (R^2 - r^2) of paint.
        let across = std::f64::consts::PI / (1.0 / radius).asin();
        let inner = radius - stroke;
        let hollow = (1.0 / STRIP - 1.0) * 1.5 * ((radius / inner).powi(2) - 1.0);
        let along = std::f64::consts::PI / hollow.sqrt();
        let most = 1.5 * across.max(along);
        assert!(pieces.len() as f64 <= most, "radius {radius}: {} strips, {across} {along}", pieces.len());
    }
}
