//! A scan from its file: STL (text or binary), OBJ or PLY, told apart by what is inside.
//!
//! A file that ends early or does not hold together is refused whole, with the place and what was expected there;
//! nothing is salvaged. Nothing is set aside on the word of a count that the file's own length does not bear out.

use crate::mesh::Soup;
use std::fmt;

mod obj;
mod ply;
mod stl;
mod text;

/// Most triangles or corners taken. chosen: ten times a fine scan of a fuselage side; beyond it a person waits
/// minutes.
pub const MOST: usize = 5_000_000;

/// Kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Loose triangles, text or binary.
    Stl,
    /// Corners and faces as text.
    Obj,
    /// Corners and faces, text or binary of either byte order, with a head that says which.
    Ply,
}

/// Why a file cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// Where it was noticed.
    pub place: Place,
    /// What stands there.
    pub found: String,
    /// What should.
    pub expected: String,
    /// What to do about it; may be empty.
    pub hint: String,
}

/// A place in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// A line of text, counted from 1.
    Line(usize),
    /// A byte, counted from 0.
    Byte(usize),
    /// The file as a whole.
    File,
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.place {
            Place::Line(n) => write!(f, "line {n}: ")?,
            Place::Byte(n) => write!(f, "byte {n}: ")?,
            Place::File => {}
        }
        write!(f, "found {}, expected {}", self.found, self.expected)?;
        if self.hint.is_empty() { Ok(()) } else { write!(f, "; {}", self.hint) }
    }
}

impl std::error::Error for ReadError {}

/// Triangles of a file, in the file's own unit, with what kind of file it was.
///
/// # Errors
/// An empty file, an unknown kind, an early end, a number that is none, an index beyond the corners, or more than
/// [`MOST`] triangles or corners.
pub fn soup(bytes: &[u8]) -> Result<(Soup, Format), ReadError> {
    let format = format(bytes)?;
    let soup = match format {
        Format::Stl => stl::read(bytes),
        Format::Obj => obj::read(bytes),
        Format::Ply => ply::read(bytes),
    }
    .map_err(|why| cut_short(bytes, format, why))?;
    if soup.triangles.is_empty() {
        return Err(error(Place::File, "no triangle", "a skin of triangles", "points alone are no skin"));
    }
    Ok((soup, format))
}

/// What is wrong, and that the file ends early if that is where it stands: in its last line, which has no end.
fn cut_short(bytes: &[u8], format: Format, why: ReadError) -> ReadError {
    let Place::Line(n) = why.place else { return why };
    let mut lines = text::Lines::new(bytes, format == Format::Obj);
    let last = std::iter::from_fn(|| lines.next_line()).last().map(|(line, _)| line);
    if !why.hint.is_empty() || last != Some(n) || matches!(bytes.last(), Some(b'\n' | b'\r')) {
        return why;
    }
    ReadError { hint: "the file ends early, within this line: copy it again".to_owned(), ..why }
}

/// What kind of file this is. A binary STL is known by its length, for its head may say anything, "solid" too.
fn format(bytes: &[u8]) -> Result<Format, ReadError> {
    let start = bytes.iter().position(|b| !b.is_ascii_whitespace());
    let Some(start) = start else {
        return Err(error(Place::File, "an empty file", "a scan", "copy the file again"));
    };
    if stl::is_binary(bytes) {
        return Ok(Format::Stl);
    }
    let rest = &bytes[start..];
    if rest.starts_with(b"ply\n") || rest.starts_with(b"ply\r") {
        return Ok(Format::Ply);
    }
    if rest.len() >= 5 && rest[..5].eq_ignore_ascii_case(b"solid") {
        return Ok(Format::Stl);
    }
    if obj::looks_like(rest) {
        return Ok(Format::Obj);
    }
    if let Some(early) = stl::ends_early(bytes) {
        return Err(early);
    }
    Err(error(
        Place::Byte(start),
        "no known kind of file",
        "STL, OBJ or PLY",
        "save the scan again as binary STL or PLY",
    ))
}

fn error(
    place: Place,
    found: impl Into<String>,
    expected: impl Into<String>,
    hint: impl Into<String>,
) -> ReadError {
    ReadError { place, found: found.into(), expected: expected.into(), hint: hint.into() }
}

fn too_many(place: Place, count: usize, what: &str) -> ReadError {
    error(
        place,
        format!("{count} {what}"),
        format!("at most {MOST}"),
        "cut the scan to the part that is painted, or save it coarser",
    )
}

#[cfg(test)]
mod tests;
