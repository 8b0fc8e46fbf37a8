//! Prints slanted, outlined and shadowed characters with the shapes they were made from, as JSON, for a check by
//! another program.
//!
//! Usage: `dump_further > further.json`. A list of marks `{alphabet, text, slant_deg, upright, leaning, outline:
//! {width, rings}, shadow: {by, rings}}`, all in mm with the baseline level and the box's middle at the origin. The
//! leaning outlines are those the other two were made from; arcs in all are flattened to within a thousandth of
//! a millimetre, but outline and shadow were made from arcs cut as a plan cuts them.

use geom::Ring;
use plan::fit::given::full_size;
use plan::marks::design::{Design, Further, FurtherShape};
use plan::marks::further::shown;
use plan::marks::letters::{Alphabet, Proportions};
use serde_json::{Value, json};
use std::io::Write;

/// Largest distance, mm, between an arc and the chords it is printed with.
const FLAT_MM: f64 = 0.001;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut all = Vec::new();
    for alphabet in Alphabet::ALL {
        for (k, text) in
            ["N80364\nKHPC67", "AVWXYZ\nMQ&S29", "BDEFGI\nJLORTU/", "4175"].into_iter().enumerate()
        {
            for slant_deg in [0.0, 12.0, -20.0] {
                all.push(mark(alphabet, text, slant_deg, 6.0 + 5.0 * k as f64));
            }
        }
    }
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    serde_json::to_writer(&mut out, &all)?;
    out.flush()?;
    Ok(())
}

fn mark(alphabet: Alphabet, text: &str, slant_deg: f64, width: f64) -> Value {
    let p = Proportions { width: 2.0 / 3.0, wide: 1.0, stroke: 1.0 / 6.0 };
    let upright = Design::plain(text, alphabet, &p, 300.0);
    let leaning = Design { slant: slant_deg.to_radians(), ..upright.clone() };
    let of = |design: &Design| -> Vec<Ring> { full_size(design).into_iter().flat_map(|g| g.rings).collect() };
    let letters = of(&leaning);
    let by = [1.5 * width, -width];
    let colour = |shape| [Further { paint: "gold".into(), shape }];
    json!({
        "alphabet": format!("{alphabet:?}"), "text": text, "slant_deg": slant_deg, "height": upright.height_mm,
        "baselines": upright.glyphs.iter().map(|g| (g.y - upright.centre().y) * upright.height_mm).collect::<Vec<_>>(),
        "upright": full_size(&upright).iter().map(|g| rings(&g.rings)).collect::<Vec<_>>(),
        "leaning": full_size(&leaning).iter().map(|g| rings(&g.rings)).collect::<Vec<_>>(),
        "outline": { "width": width, "rings": rings(&shown(&colour(FurtherShape::Outline(width)), &letters)[0]) },
        "shadow": { "by": by, "rings": rings(&shown(&colour(FurtherShape::Shadow(by)), &letters)[0]) },
    })
}

fn rings(rings: &[Ring]) -> Value {
    rings.iter().map(|r| r.flattened(FLAT_MM).iter().map(|p| [p.x, p.y]).collect::<Vec<_>>()).collect()
}
