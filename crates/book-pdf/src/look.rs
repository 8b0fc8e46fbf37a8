//! The face of the book: the tokens of the drawings, handed to the pages, and the book's face given to drawings.

use crate::clean::{Lacking, printable};
use crate::typeset::has_sign;
use serde_json::{Value, json};
use sheet::tokens;

/// The face of every word of the book; its condensed cut, for headings, is known by the same name.
const FACE: &str = "Sofia Sans";
/// What stands in where a sign is missing.
const FACE_ELSE: &str = "DejaVu Sans";

/// Colours as hexadecimal words, sizes in mm.
pub(crate) fn look() -> Value {
    json!({
        "paper": tokens::PAPER.hex(),
        "ink": tokens::INK.hex(),
        "soft_ink": tokens::SOFT_INK.hex(),
        "accent": tokens::ACCENT.hex(),
        "pass": tokens::PASS.hex(),
        "caution": tokens::CAUTION.hex(),
        "fail": tokens::FAIL.hex(),
        "margin": tokens::MARGIN,
        "gap": tokens::GAP,
        "pad": tokens::CELL_PAD,
        "heading": tokens::TYPE_HEADING,
        "figure": tokens::TYPE_FIGURE,
        "body": tokens::TYPE_BODY,
        "label": tokens::TYPE_LABEL,
        "wide": sheet::pens::WIDE,
        "narrow": sheet::pens::NARROW,
        "face": [FACE, FACE_ELSE],
    })
}

/// A drawing with its words in the book's face, so that page and drawing are visibly one thing, and in signs the
/// book has. The drawings' own room for letters is generous; this face is narrower than they allow for.
pub(crate) fn in_our_face(svg: &str, lacking: &mut Lacking) -> String {
    let stack = format!("font-family=\"{}\"", tokens::FONT_STACK);
    let ours = format!("font-family=\"{FACE}, {FACE_ELSE}\"");
    printable(&svg.replacen(&stack, &ours, 1), &has_sign, lacking)
}
