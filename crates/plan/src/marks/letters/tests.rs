//! What the letters promise, measured on the letters.

use super::measure::{clash, painted};
use super::rays::look;
use super::*;
use geom::{Edge, Point};
use std::f64::consts::PI;

/// Share by which a stroke may miss its thickness.
const THICKNESS: f64 = 0.002;

/// Why no stroke need be seen from the edge `a` to `b`, longer than 1.2 strokes; `None` if one must be.
fn reason_unseen(g: &Glyph, a: Point, b: Point) -> Option<&'static str> {
    let along = |u: f64, v: f64, at: f64| (u - at).abs() < 1e-12 && (v - at).abs() < 1e-12;
    let level = along(a.y, b.y, 0.0) || along(a.y, b.y, 1.0);
    match g.char {
        'A' | 'K' | 'M' | 'N' | 'R' | 'V' | 'W' | 'X' | 'Y' | '4' | '7' | '/' if level => {
            Some("the level cut that ends a slanting stroke on the cap or base line")
        }
        '&' if along(a.x, b.x, g.width) => Some("the upright cut that ends the slanting arm"),
        // Its other side is inside the bar there; the leg is seen higher up, from its left side.
        '&' if a.y.abs() < 1e-12 && (a.x - g.width).abs() < 1e-12 => {
            Some("the toe of the leg, run together with the bar at its foot")
        }
        _ => None,
    }
}

fn promised() -> Vec<Proportions> {
    let mut all = Vec::new();
    for stroke in [0.10_f64, 0.12, 1.0 / 6.0, 0.2, 0.22] {
        for width in [4.0_f64 * stroke, 0.5, 2.0 / 3.0, 0.8, 1.0] {
            if width >= 4.0 * stroke {
                all.push(Proportions { width, wide: width.max(5.2 * stroke), stroke });
            }
        }
        all.push(Proportions { width: 0.9, wide: 1.2, stroke });
    }
    all
}

/// Every proportion at and inside the limits that are drawn but not promised.
fn drawn() -> Vec<Proportions> {
    let mut all = Vec::new();
    for stroke in [STROKE_LEAST, 0.07, 0.15, 0.24, STROKE_MOST] {
        for width in [WIDTH_LEAST * stroke, 3.6 * stroke, 0.99, 1.0, 1.25, WIDTH_MOST] {
            all.push(Proportions { width, wide: WIDE_LEAST * stroke, stroke });
            all.push(Proportions { width, wide: AMPERSAND_LEAST * stroke, stroke });
        }
        all.push(Proportions { width: 0.99, wide: 5.0 * stroke, stroke });
        all.push(Proportions { width: 0.9, wide: WIDTH_MOST, stroke });
    }
    all
}

/// Runs `check` over every character of every alphabet and gathers what it finds wrong.
fn over(proportions: &[Proportions], check: impl Fn(&Glyph, &Proportions) -> Vec<String>) {
    let mut wrong = Vec::new();
    for p in proportions {
        for alphabet in Alphabet::ALL {
            for ch in characters(alphabet).chars() {
                if ch == '&' && p.wide < AMPERSAND_LEAST * p.stroke {
                    assert_eq!(glyph(alphabet, ch, p), None);
                    continue;
                }
                let g = glyph(alphabet, ch, p).unwrap_or_else(|| panic!("{alphabet:?} {ch} at {p:?}"));
                wrong.extend(check(&g, p).into_iter().map(|what| {
                    format!("{alphabet:?} {ch} stroke {:.3} width {:.3}: {what}", p.stroke, p.width)
                }));
            }
        }
    }
    let n = wrong.len();
    wrong.truncate(40);
    assert!(n == 0, "{n} wrong:\n{}", wrong.join("\n"));
}

fn of(alphabet: Alphabet, ch: char, width: f64, stroke: f64) -> Glyph {
    glyph(alphabet, ch, &Proportions { width, wide: 1.0, stroke }).unwrap()
}

fn area(g: &Glyph) -> f64 {
    g.rings.iter().map(Ring::area).sum()
}

#[test]
fn every_outline_is_simple_and_runs_the_right_way() {
    over(&[promised(), drawn()].concat(), |g, _| {
        let mut wrong: Vec<String> = clash(&g.rings, 1e-3).into_iter().collect();
        if area(g) <= 0.0 || g.rings[0].area() <= 0.0 {
            wrong.push("outer ring is not counter-clockwise".into());
        }
        wrong.extend(g.rings[1..].iter().filter(|r| r.area() >= 0.0).map(|r| format!("hole {}", r.area())));
        wrong
    });
}

#[test]
fn no_corner_is_repeated_or_lies_on_a_straight_edge() {
    over(&[promised(), drawn()].concat(), |g, _| {
        let mut wrong = Vec::new();
        for ring in &g.rings {
            let edges: Vec<Edge> = ring.edges().collect();
            for (i, edge) in edges.iter().enumerate() {
                let next = edges[(i + 1) % edges.len()];
                let bend = edge.direction(1.0).cross(next.direction(0.0)).abs();
                let straight = matches!((edge, next), (Edge::Line { .. }, Edge::Line { .. }));
                if edge.length() < 1e-6 || straight && bend < 1e-6 {
                    wrong.push(format!("at {:?}", edge.end()));
                }
            }
        }
        wrong
    });
}

#[test]
fn the_box_is_exactly_what_was_asked() {
    over(&[promised(), drawn()].concat(), |g, p| {
        let (lo, hi) = g.rings[0].bounds().unwrap();
        let (low, high) = match g.char {
            '-' => (0.5 - p.stroke / 2.0, 0.5 + p.stroke / 2.0),
            '.' => (0.0, p.stroke),
            _ => (0.0, 1.0),
        };
        let width = match g.char {
            'M' | 'W' | '&' => p.wide,
            'I' | '1' | '.' => p.stroke,
            '/' => 0.75 * p.width,
            _ => p.width,
        };
        let off = [lo.x, lo.y - low, hi.x - width, hi.y - high, g.width - width];
        off.iter().filter(|d| d.abs() > 1e-12).map(|d| format!("box off by {d:e}")).collect()
    });
}

#[test]
fn every_stroke_is_as_thick_as_asked() {
    over(&promised(), |g, p| {
        let t = p.stroke;
        let mut wrong = Vec::new();
        for seen in look(&g.rings) {
            let (a, b) = (seen.edge.start(), seen.edge.end());
            let is_stroke = |length: f64| (length / t - 1.0).abs() <= THICKNESS;
            for chord in &seen.chords {
                // Nothing is thinner than a stroke. Parallel edges are a stroke apart, or (across a junction,
                // or along a stroke from its end) far more: nothing lies between, where a stroke drawn too
                // thick would be.
                let parallel = chord.off < 1e-6;
                if chord.length < t * (1.0 - THICKNESS)
                    || parallel && !is_stroke(chord.length) && chord.length < 1.3 * t
                {
                    wrong.push(format!("{:.4} strokes thick seen from {a:?}-{b:?}", chord.length / t));
                    break;
                }
            }
            let measured = seen.chords.iter().any(|c| c.off < 1e-6 && is_stroke(c.length));
            let listed = reason_unseen(g, a, b).is_some();
            if seen.edge.length() > 1.2 * t && !measured && !listed {
                wrong.push(format!("no stroke seen from {a:?}-{b:?}"));
            }
        }
        wrong
    });
}

#[test]
fn callipers_see_a_stroke_one_percent_too_thick() {
    // The same letters stretched by 1 % along: every upright stroke is then too thick for the test above.
    let g = of(Alphabet::Clipped, 'H', 0.6, 0.14);
    let stretch = |p: Point| Point::new(p.x * 1.01, p.y);
    let rings: Vec<Ring> =
        g.rings.iter().map(|r| Ring::from_points(r.flattened(1e-6).into_iter().map(stretch))).collect();
    let lengths: Vec<f64> = look(&rings).iter().flat_map(|s| s.chords.iter().map(|c| c.length)).collect();
    assert!(lengths.iter().any(|l| (l / 0.14 - 1.01).abs() < 1e-9));
    assert!(lengths.iter().any(|l| (l / 0.14 - 1.0).abs() < 1e-9));
}

#[test]
fn no_edge_is_too_short_to_lay_a_tape_to() {
    over(&promised(), |g, _| {
        let edges = g.rings.iter().flat_map(|r| r.edges().collect::<Vec<_>>());
        edges
            .filter(|e| e.length() < 0.02)
            .map(|e| format!("{:.4} long at {:?}", e.length(), e.start()))
            .collect()
    });
}

#[test]
fn a_stroke_one_sixth_thick_makes_the_figure_one_of_14_cfr_45_29() {
    // 14 CFR 45.29 (c) and (d), from memory: characters two thirds as wide as high, but the 1, one sixth as
    // wide; formed of solid lines one sixth as thick as the character is high.
    let one = of(Alphabet::Square, '1', 2.0 / 3.0, 1.0 / 6.0);
    assert!((one.width - 1.0 / 6.0).abs() < 1e-12 && (area(&one) - 1.0 / 6.0).abs() < 1e-12);
    for ch in "ABCDEFGHJKLNOPQRSTUVXYZ02346789".chars() {
        assert!((of(Alphabet::Rounded, ch, 2.0 / 3.0, 1.0 / 6.0).width - 2.0 / 3.0).abs() < 1e-12);
    }
}

#[test]
fn areas_agree_with_closed_forms() {
    // Elementary mensuration: a frame is the box less its counter; two half circles and a rectangle make the
    // rounded zero; a parallelogram is its foot times its height; a turned corner loses (1 - pi / 4) r^2.
    let (w, t) = (0.7, 0.15);
    let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-12, "got {got}, wanted {want}");
    near(area(&of(Alphabet::Square, 'O', w, t)), w - (w - 2.0 * t) * (1.0 - 2.0 * t));
    let pill = |w: f64, h: f64| w * (h - w) + PI * w * w / 4.0;
    near(area(&of(Alphabet::Rounded, '0', w, t)), pill(w, 1.0) - pill(w - 2.0 * t, 1.0 - 2.0 * t));
    near(area(&of(Alphabet::Rounded, '0', 1.0, t)), PI * (0.25 - (0.5 - t) * (0.5 - t)));
    near(area(&of(Alphabet::Square, 'L', w, t)), t + t * (w - t));
    let slash = of(Alphabet::Square, '/', w, t);
    let angle = (1.0 / (slash.rings[0].vertices[2].p.x - slash.rings[0].vertices[1].p.x)).atan();
    near(area(&slash), t / angle.sin());
    let r = (0.2 * (w - 2.0 * t)).min(0.15 * (1.0 - 3.0 * t));
    let corner = 1.0 - PI / 4.0;
    let lost = 2.0 * corner * ((r + t) * (r + t) - r * r);
    near(area(&of(Alphabet::Rounded, 'U', w, t)), 2.0 * t + t * (w - 2.0 * t) - lost);
}

#[test]
fn a_cut_turn_is_as_thick_as_the_stroke_by_the_distance_of_parallels() {
    // Distance of the parallels x + y = c and x + y = d: |d - c| / sqrt 2 (analytic geometry of the line).
    let g = of(Alphabet::Clipped, 'O', 0.66, 0.16);
    let sum = |ring: usize, k: usize| g.rings[ring].vertices[k].p.x + g.rings[ring].vertices[k].p.y;
    let (outer, inner) = (sum(0, 0), sum(1, 0));
    assert!(((inner - outer) / 2f64.sqrt() - 0.16).abs() < 1e-12, "{outer} {inner}");
}

#[test]
fn characters_that_could_be_mistaken_differ_by_a_visible_share_of_their_paint() {
    // Share of paint that belongs to one of the two only. 0.03 of all the paint is chosen: it is what the
    // corners of a plain square O lose to the smallest cuts that are told at a glance. Letters drawn alike
    // give 0.
    let wanted = 0.03;
    for p in promised() {
        for alphabet in Alphabet::ALL {
            for pair in ["B8", "DO", "D0", "O0", "G6", "S5", "Z2", "UV", "QO", "CG", "38", "B3", "PR", "69"] {
                let outlines: Vec<Vec<Vec<Point>>> = pair
                    .chars()
                    .map(|ch| {
                        glyph(alphabet, ch, &p).unwrap().rings.iter().map(|r| r.flattened(1e-4)).collect()
                    })
                    .collect();
                let (mut either, mut one) = (0u32, 0u32);
                for i in 0..60 {
                    for j in 0..90 {
                        let q =
                            Point::new((f64::from(i) + 0.5) / 60.0 * p.width, (f64::from(j) + 0.5) / 90.0);
                        let (a, b) = (painted(&outlines[0], q), painted(&outlines[1], q));
                        either += u32::from(a || b);
                        one += u32::from(a != b);
                    }
                }
                let got = f64::from(one) / f64::from(either);
                assert!(got >= wanted, "{alphabet:?} {pair} at {p:?}: {got:.4}, wanted {wanted}");
            }
        }
    }
}

#[test]
fn what_is_not_held_or_cannot_be_drawn_gives_none() {
    let p = Proportions { width: 0.6, wide: 0.9, stroke: 0.14 };
    for ch in ['a', ' ', '\u{d8}', '+', '_'] {
        assert!(glyph(Alphabet::Square, ch, &p).is_none(), "{ch}");
    }
    for bad in [
        Proportions { stroke: 0.3, ..p },
        Proportions { stroke: 0.0, ..p },
        Proportions { stroke: f64::NAN, ..p },
        Proportions { width: 0.4, ..p },
        Proportions { width: 2.0, ..p },
        Proportions { wide: 0.5, ..p },
        Proportions { wide: f64::INFINITY, ..p },
    ] {
        assert!(glyph(Alphabet::Rounded, 'B', &bad).is_none(), "{bad:?}");
    }
}

#[test]
fn each_character_is_held_once_and_drawn_by_its_name() {
    for alphabet in Alphabet::ALL {
        let mut held: Vec<char> = characters(alphabet).chars().collect();
        assert_eq!(held.len(), 40);
        for &ch in &held {
            assert_eq!(of(alphabet, ch, 0.6, 0.14).char, ch);
        }
        held.sort_unstable();
        held.dedup();
        assert_eq!(held.len(), 40);
    }
}
