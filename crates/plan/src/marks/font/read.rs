//! Whether a file is a font that can be lettered from, and if not, why.

use super::face::Face;
use super::{Font, outline};
use crate::problem::Problem;
use geom::Ring;

/// Largest font file, bytes. chosen: fonts of one script are under 1 MB, those of all scripts near 20.
const FILE_MOST: usize = 32 << 20;
/// Units in an em that a font may have (OpenType, table `head`, from memory).
const UNITS: std::ops::RangeInclusive<u16> = 16..=16384;
/// Heights of capitals, in ems, of which letters can be made. chosen: type has 0.5 to 0.9.
const CAP_EM: std::ops::RangeInclusive<f64> = 0.05..=4.0;

/// The font in a file. `name` is the file as the job names it.
///
/// # Errors
/// What is wrong with the file, in plain words, once.
pub fn read(name: &str, bytes: &[u8]) -> Result<Font, Vec<Problem>> {
    font(bytes).map_err(|problem| vec![problem.in_file(name)])
}

fn font(bytes: &[u8]) -> Result<Font, Problem> {
    if bytes.len() > FILE_MOST {
        let found = format!("a font of {} MB is too large", bytes.len() >> 20);
        return Err(whole(found).expected(format!("at most {} MB", FILE_MOST >> 20)));
    }
    kind(bytes)?;
    directory(bytes)?;
    let broken = || {
        whole("the font's tables cannot be read")
            .hint("save the font again from where it came, or take another copy of it")
    };
    let face = Face::open(bytes).ok_or_else(broken)?;
    if !face.has_outlines() {
        return Err(without_outlines(&face));
    }
    let em = face.units_per_em();
    let drawn = face.number_of('H').and_then(|number| top(&outline(&face, 'H', number, em).ok()?));
    let cap = drawn.map(|y| y * em).or_else(|| face.cap_height()).ok_or_else(|| {
        whole("the font has no H to measure and does not say how high its capitals are")
            .hint("take a font with the letters A to Z")
    })?;
    if !CAP_EM.contains(&(cap / em)) {
        return Err(whole(format!("the font's capitals are {:.3} of an em high", cap / em))
            .expected(format!("{} to {} of an em", CAP_EM.start(), CAP_EM.end())));
    }
    Ok(Font { bytes: bytes.to_vec(), cap })
}

/// The greatest y of some rings.
fn top(rings: &[Ring]) -> Option<f64> {
    rings.iter().filter_map(Ring::bounds).map(|(_, high)| high.y).max_by(f64::total_cmp)
}

/// What the first four bytes say.
fn kind(bytes: &[u8]) -> Result<(), Problem> {
    let unpack = "unpack it to a .ttf or .otf file first, and name that";
    match bytes.get(..4) {
        Some([0, 1, 0, 0] | b"true" | b"OTTO") => Ok(()),
        Some(b"wOFF") => Err(whole("this is a WOFF file, a font packed for web pages").hint(unpack)),
        Some(b"wOF2") => Err(whole("this is a WOFF2 file, a font packed for web pages").hint(unpack)),
        Some(b"ttcf") => Err(whole("this is a collection of several fonts in one file")
            .hint("save the one font you want as a .ttf or .otf file of its own")),
        Some(b"typ1" | b"%!PS" | [0x80, 1, ..]) => {
            Err(whole("this is a PostScript Type 1 font")
                .hint("have it converted to .otf first, and name that"))
        }
        Some(_) => {
            Err(whole("this is not a font file").expected("a TrueType (.ttf) or OpenType (.otf) font"))
        }
        None => Err(whole(format!("a font file of {} bytes is empty or cut short", bytes.len()))
            .expected("a TrueType (.ttf) or OpenType (.otf) font")),
    }
}

/// The list of tables at the file's start: all of them in the file, the first of them sane.
fn directory(bytes: &[u8]) -> Result<(), Problem> {
    let short = |what: String| whole(what).hint("the file is cut short: copy or fetch it again");
    let half = |at: usize| bytes.get(at..)?.first_chunk().map(|b| u16::from_be_bytes(*b));
    let word = |at: usize| bytes.get(at..)?.first_chunk().map(|b| u32::from_be_bytes(*b) as usize);
    let count = usize::from(half(4).unwrap_or(0));
    for k in 0..count {
        let at = 12 + 16 * k;
        let (Some(start), Some(length)) = (word(at + 8), word(at + 12)) else {
            return Err(short(format!("the font ends within its list of tables, at byte {}", bytes.len())));
        };
        let name = String::from_utf8_lossy(&bytes[at..at + 4]).trim().to_owned();
        let end = start.saturating_add(length);
        if end > bytes.len() {
            return Err(short(format!(
                "the font's table `{name}` ends at byte {end}, the file at byte {}",
                bytes.len()
            )));
        }
        let units = half(start.saturating_add(18)).filter(|_| name == "head" && length >= 20);
        if let Some(units) = units.filter(|u| !UNITS.contains(u)) {
            return Err(whole(format!("the font has {units} units in an em")).expected("16 to 16384 units"));
        }
    }
    Ok(())
}

fn without_outlines(face: &Face<'_>) -> Problem {
    let has = |tag: &[u8; 4]| face.table(*tag).is_some();
    if has(b"CFF2") {
        return whole("this is a variable font with cubic curves (a CFF2 table), which is not read")
            .hint("take the font's variable .ttf, or save the weight you want as a plain .otf");
    }
    if [b"CBDT", b"EBDT", b"sbix", b"bdat"].into_iter().any(has) {
        return whole("the font is made of pictures of dots and has no outlines")
            .hint("take a font with outlines");
    }
    whole("the font has no outlines").hint("take a TrueType or OpenType font with outlines")
}

fn whole(message: impl Into<String>) -> Problem {
    Problem::at(0..0, message)
}
