//! Prints every character over a sweep of strokes and widths as JSON, for a check by another program.
//!
//! Usage: `cargo run -p plan --example dump_letters > letters.json`. A list of
//! `{alphabet, char, width, wide, stroke, glyph_width, rings: [[[x, y], ...], ...]}`, arcs flattened to within
//! one millionth of the height.

use plan::marks::letters::{Alphabet, Proportions, characters, glyph};
use serde_json::json;
use std::io::Write;

/// Largest distance between an arc and its chords, in heights.
const FLAT: f64 = 1e-6;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut all = Vec::new();
    for stroke in [0.10, 0.12, 0.14, 1.0 / 6.0, 0.2, 0.22] {
        for width in [4.0 * stroke, 0.5, 2.0 / 3.0, 0.8, 1.0] {
            if width < 4.0 * stroke {
                continue;
            }
            let p = Proportions { width, wide: width.max(5.2 * stroke), stroke };
            for alphabet in Alphabet::ALL {
                for ch in characters(alphabet).chars() {
                    let g = glyph(alphabet, ch, &p).ok_or("a character within the promise is missing")?;
                    let rings: Vec<Vec<[f64; 2]>> = g
                        .rings
                        .iter()
                        .map(|ring| ring.flattened(FLAT).iter().map(|p| [p.x, p.y]).collect())
                        .collect();
                    all.push(json!({
                        "alphabet": format!("{alphabet:?}"), "char": ch, "width": width, "wide": p.wide,
                        "stroke": stroke, "glyph_width": g.width, "rings": rings,
                    }));
                }
            }
        }
    }
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    serde_json::to_writer(&mut out, &all)?;
    out.flush()?;
    Ok(())
}
