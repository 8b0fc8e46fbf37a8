//! Prints characters of a font file as JSON, for a check by another program.
//!
//! Usage: `cargo run -p plan --example dump_font -- file.ttf "HNO8"`. An object
//! `{cap_height_em, missing: [char], glyphs: [{char, width, left, right, stroke: {least, median, most},
//! rings: [[[x, y], ...], ...]}]}`, lengths in cap heights. Characters without paint are left out as missing are.

use plan::marks::font::read;
use plan::marks::thickness::thickness;
use serde_json::json;
use std::io::Write;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let (Some(path), Some(text)) = (args.next(), args.next()) else {
        return Err("two arguments: a font file, and characters".into());
    };
    let font = read(&path, &std::fs::read(&path)?)
        .map_err(|problems| problems.into_iter().map(|p| p.message).collect::<Vec<_>>().join("; "))?;
    let (mut glyphs, mut missing) = (Vec::new(), Vec::new());
    for ch in text.chars() {
        let (Ok(glyph), Ok(white)) = (font.glyph(ch), font.bearings(ch)) else {
            missing.push(ch);
            continue;
        };
        let rings: Vec<Vec<[f64; 2]>> =
            glyph.rings.iter().map(|r| r.vertices.iter().map(|v| [v.p.x, v.p.y]).collect()).collect();
        let stroke =
            thickness(&glyph.rings).map(|t| json!({ "least": t.least, "median": t.median, "most": t.most }));
        glyphs.push(json!({
            "char": ch, "width": glyph.width, "left": white.left, "right": white.right, "stroke": stroke,
            "rings": rings,
        }));
    }
    let all = json!({ "cap_height_em": font.cap_height_em(), "missing": missing, "glyphs": glyphs });
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    serde_json::to_writer(&mut out, &all)?;
    out.flush()?;
    Ok(())
}
