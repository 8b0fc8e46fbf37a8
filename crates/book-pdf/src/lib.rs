//! The printed book of a job: what the refinisher pins to the wall and carries to the wing, as one PDF.
//!
//! Fed by data alone: the plan as JSON (plan.json's content and an object `pages`) and drawings by name. It
//! plans nothing and knows no aircraft. Pages whose data is absent are left out and the contents follow. Words
//! of a job stay words: they reach the pages as data and are never read as markup.

mod cards;
mod clean;
mod look;
mod readings;
mod typeset;

use serde_json::{Value, json};
use std::fmt;

/// Paper the book is printed on. The wing sheet, one large page, is on the next larger one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm; the wing sheet on A3.
    A4,
    /// 8 1/2 by 11 in; the wing sheet on 11 by 17 in.
    Letter,
}

/// Why a book could not be set.
#[derive(Debug)]
pub enum BookError {
    /// The plan is not JSON.
    Data(String),
    /// The pages did not come together: a fault of ours, in the words of the typesetter.
    Setting(String),
}

impl fmt::Display for BookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BookError::Data(why) => write!(f, "the plan given to the book is not JSON: {why}"),
            BookError::Setting(why) => write!(f, "the book could not be set: {why}"),
        }
    }
}

impl std::error::Error for BookError {}

/// The book as PDF bytes; the same plan gives the same bytes.
///
/// `data_json` is the content of plan.json (CONTRACT.md 5) and an object `pages` with what plan.json lacks; any
/// part may be absent. `drawings` are SVG documents by name: `wing-sheet/SURFACE`, `tape/OF-GLYPH`,
/// `mixing/PAINT`, `day/1` and on; a drawing nobody asks for is left out.
///
/// # Errors
/// [`BookError::Data`] if `data_json` is not JSON, [`BookError::Setting`] if a page could not be set.
pub fn book(data_json: &str, drawings: &[(String, Vec<u8>)], paper: Paper) -> Result<Vec<u8>, BookError> {
    typeset::typeset(manuscript(data_json, drawings, paper)?).map_err(BookError::Setting)
}

/// What the pages are set from: the plan cleaned, read and sorted into cards, the look, the drawings.
fn manuscript(
    data_json: &str,
    drawings: &[(String, Vec<u8>)],
    paper: Paper,
) -> Result<typeset::Manuscript, BookError> {
    let mut data: Value = serde_json::from_str(data_json).map_err(|e| BookError::Data(e.to_string()))?;
    if !data.is_object() {
        return Err(BookError::Data("not an object".to_owned()));
    }
    readings::drop_outlines(&mut data);
    let mut lacking = clean::Lacking::new();
    clean::clean(&mut data, &typeset::has_sign, &mut lacking);
    let drawn: Vec<Vec<u8>> = drawings
        .iter()
        .map(|(_, svg)| look::in_our_face(&String::from_utf8_lossy(svg), &mut lacking).into_bytes())
        .collect();
    data["lacking"] = lacking.into_iter().map(sheet::signs::number).collect();
    data["cards"] = cards::cards(&data);
    readings::add(&mut data);
    data["paper_size"] = json!(match paper {
        Paper::A4 => "a4",
        Paper::Letter => "us-letter",
    });
    let named: serde_json::Map<String, Value> = drawings
        .iter()
        .enumerate()
        .map(|(k, (name, _))| (name.clone(), json!(typeset::drawing_path(k))))
        .collect();
    data["drawings"] = Value::Object(named);
    Ok(typeset::Manuscript { data: data.to_string(), look: look::look().to_string(), drawings: drawn })
}

#[cfg(test)]
mod tests;
