//! Draws every character of every alphabet on one sheet, as SVG, to be judged by eye.
//!
//! Usage: `cargo run -p plan --example specimen -- OUT.svg`. Three proportions of each alphabet, then the
//! characters that must not be taken for one another, side by side.

use geom::{Edge, Ring};
use plan::marks::letters::{Alphabet, Glyph, Proportions, characters, glyph};
use std::fmt::Write;

/// Height of a character on the sheet, mm.
const HEIGHT: f64 = 24.0;
/// Margin, mm.
const MARGIN: f64 = 15.0;
/// Width of the sheet, mm.
const SHEET: f64 = 560.0;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("usage: specimen OUT.svg")?;
    std::fs::write(path, sheet()?)?;
    Ok(())
}

fn sheet() -> Result<String, std::fmt::Error> {
    let proportions = [(2.0 / 3.0, 5.5 / 6.0, 1.0 / 6.0), (0.6, 0.8, 0.14), (0.8, 1.0, 0.18)]
        .map(|(width, wide, stroke)| Proportions { width, wide, stroke });
    let mut body = String::new();
    let mut y = MARGIN;
    for alphabet in Alphabet::ALL {
        for p in proportions {
            y += 5.0;
            writeln!(
                body,
                r#"<text x="{MARGIN}" y="{y}">{alphabet:?}: stroke {:.3}, width {:.3}, M and W {:.3}</text>"#,
                p.stroke, p.width, p.wide
            )?;
            y += 4.0;
            let all = characters(alphabet);
            for line in [&all[..20], &all[20..]] {
                set(&mut body, alphabet, line, &p, &mut y)?;
            }
        }
        y += 3.0;
        for p in [proportions[0], proportions[2]] {
            set(&mut body, alphabet, "B8 D0OQ S5 G6 Z2 UV", &p, &mut y)?;
        }
        y += 6.0;
    }
    let head = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{SHEET}mm" height="{y}mm" viewBox="0 0 {SHEET} {y}">"#
    );
    let style = "<style>text{font:3.2px sans-serif;fill:#444}path{fill:#111}</style>";
    Ok(format!("{head}\n{style}\n<rect width=\"100%\" height=\"100%\" fill=\"#fbfaf5\"/>\n{body}</svg>\n"))
}

/// Sets one line of characters, a quarter of the height apart at their boxes, and moves `y` below it.
fn set(
    body: &mut String,
    alphabet: Alphabet,
    line: &str,
    p: &Proportions,
    y: &mut f64,
) -> Result<(), std::fmt::Error> {
    let mut x = MARGIN;
    for ch in line.chars() {
        let Some(g) = glyph(alphabet, ch, p) else {
            x += HEIGHT * 0.4;
            continue;
        };
        writeln!(body, r#"<path d="{}"/>"#, outline(&g, x, *y + HEIGHT))?;
        x += HEIGHT * (g.width + 0.25);
    }
    *y += HEIGHT * 1.22;
    Ok(())
}

fn outline(g: &Glyph, x: f64, base: f64) -> String {
    g.rings.iter().map(|ring| path(ring, x, base)).collect()
}

/// SVG path data of a ring; y runs down on the sheet, so arcs that turn left are drawn with sweep 0.
fn path(ring: &Ring, x: f64, base: f64) -> String {
    let mut d = String::new();
    for (i, edge) in ring.edges().enumerate() {
        let place = |p: geom::Point| format!("{:.3} {:.3}", x + p.x * HEIGHT, base - p.y * HEIGHT);
        if i == 0 {
            d.push_str(&format!("M{}", place(edge.start())));
        }
        match edge {
            Edge::Line { b, .. } => d.push_str(&format!("L{}", place(b))),
            Edge::Arc { b, radius, turn, .. } => {
                let (r, large, sweep) =
                    (radius * HEIGHT, u8::from(turn.abs() > std::f64::consts::PI), u8::from(turn < 0.0));
                d.push_str(&format!("A{r:.3} {r:.3} 0 {large} {sweep} {}", place(b)));
            }
        }
    }
    d.push('Z');
    d
}
