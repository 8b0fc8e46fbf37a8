//! OBJ: `v` lines and `f` lines; faces of more than three corners are cut into triangles.

use super::text::{Lines, point, said};
use super::{MOST, Place, ReadError, error, too_many};
use crate::mesh::Soup;

/// Whether the first words of its lines are those of an OBJ.
pub(super) fn looks_like(bytes: &[u8]) -> bool {
    let known = ["v", "vn", "vt", "vp", "f", "g", "o", "s", "l", "p", "mtllib", "usemtl"];
    let mut lines = Lines::new(bytes, true);
    let mut seen = 0;
    while let Some((_, line)) = lines.next_line() {
        let Some(word) = line.split_ascii_whitespace().next() else { continue };
        if word.starts_with('#') {
            continue;
        }
        if !known.contains(&word) {
            return false;
        }
        seen += 1;
        if word == "v" || seen == 20 {
            return true;
        }
    }
    false
}

pub(super) fn read(bytes: &[u8]) -> Result<Soup, ReadError> {
    let mut soup = Soup::default();
    let mut lines = Lines::new(bytes, true);
    let mut face = Vec::new();
    // Faces may name corners that come later, so the greatest is checked at the end.
    let (mut greatest, mut greatest_line) = (0, 0);
    while let Some((n, line)) = lines.next_line() {
        let line = line.split('#').next().unwrap_or_default();
        let mut words = line.split_ascii_whitespace();
        match words.next() {
            Some("v") => soup.points.push(point(&mut words, n)?),
            Some("f") => {
                face.clear();
                for word in words {
                    face.push(corner(word, soup.points.len(), n)?);
                }
                if face.len() < 3 {
                    return Err(error(
                        Place::Line(n),
                        format!("a face with {} corners", face.len()),
                        "three or more",
                        "",
                    ));
                }
                let last = face.iter().copied().max().unwrap_or(0);
                if greatest < last {
                    (greatest, greatest_line) = (last, n);
                }
                for pair in face[1..].windows(2) {
                    soup.triangles.push([face[0], pair[0], pair[1]]);
                }
            }
            _ => {}
        }
        if MOST < soup.triangles.len().max(soup.points.len()) {
            return Err(too_many(Place::Line(n), MOST + 1, "triangles or corners"));
        }
    }
    if !soup.triangles.is_empty() && soup.points.len() <= greatest as usize {
        return Err(error(
            Place::Line(greatest_line),
            format!("corner {}", u64::from(greatest) + 1),
            format!("one of the {} corners of the file", soup.points.len()),
            "the copy may be cut short: copy it again",
        ));
    }
    Ok(soup)
}

/// Index of a corner, from 0; `7`, `7/1`, `7/1/3`, `7//3` count from the first, `-1` is the last so far.
fn corner(word: &str, so_far: usize, line: usize) -> Result<u32, ReadError> {
    let first = word.split('/').next().unwrap_or_default();
    let wrong = || error(Place::Line(line), said(word), "the number of a corner", "");
    let index: i64 = first.parse().map_err(|_| wrong())?;
    let from_zero = if index < 0 { so_far as i64 + index } else { index - 1 };
    u32::try_from(from_zero).ok().filter(|&k| (k as usize) < MOST).ok_or_else(wrong)
}
