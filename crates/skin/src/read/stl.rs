//! STL: 84 bytes and 50 a triangle, or the same as text.

use super::text::{Lines, point, said};
use super::{MOST, Place, ReadError, error, too_many};
use crate::mesh::Soup;
use geom::Point3;

const HEAD: usize = 84;
const RECORD: usize = 50;

/// How many triangles a binary file says it has.
fn said_count(bytes: &[u8]) -> Option<usize> {
    let count = bytes.get(80..HEAD)?;
    Some(u32::from_le_bytes([count[0], count[1], count[2], count[3]]) as usize)
}

/// Its length is the one its count asks for, or it is longer and holds bytes that no text has.
pub(super) fn is_binary(bytes: &[u8]) -> bool {
    let Some(count) = said_count(bytes) else { return false };
    let Some(wanted) = count.checked_mul(RECORD).and_then(|n| n.checked_add(HEAD)) else { return false };
    wanted == bytes.len()
        || (wanted < bytes.len() && 0 < count && bytes[80..].iter().take(4000).any(|b| *b == 0))
            && !bytes.starts_with(b"ply")
}

/// A binary file shorter than its count asks for.
pub(super) fn ends_early(bytes: &[u8]) -> Option<ReadError> {
    let count = said_count(bytes)?;
    let wanted = count.checked_mul(RECORD)?.checked_add(HEAD)?;
    (bytes.len() < wanted && bytes[80..].iter().take(4000).any(|b| *b == 0)).then(|| {
        error(
            Place::Byte(bytes.len()),
            format!("the end of the file after {} triangles", (bytes.len() - HEAD) / RECORD),
            format!("{count} triangles, as its head says"),
            "the copy is cut short or is no scan: copy it again",
        )
    })
}

pub(super) fn read(bytes: &[u8]) -> Result<Soup, ReadError> {
    if is_binary(bytes) {
        binary(bytes)
    } else if let Some(early) = ends_early(bytes).filter(|_| !has_facets(bytes)) {
        Err(early)
    } else {
        text(bytes)
    }
}

fn has_facets(bytes: &[u8]) -> bool {
    let start = &bytes[..bytes.len().min(1000)];
    start.windows(5).any(|w| w.eq_ignore_ascii_case(b"facet"))
}

fn binary(bytes: &[u8]) -> Result<Soup, ReadError> {
    let count = said_count(bytes).unwrap_or(0);
    if MOST < count {
        return Err(too_many(Place::Byte(80), count, "triangles"));
    }
    let mut soup = Soup {
        points: Vec::with_capacity(3 * count),
        triangles: Vec::with_capacity(count),
        normals: Vec::with_capacity(count),
    };
    for (n, record) in bytes[HEAD..].chunks_exact(RECORD).take(count).enumerate() {
        let value = |k: usize| {
            f64::from(f32::from_le_bytes([record[k], record[k + 1], record[k + 2], record[k + 3]]))
        };
        let at = |k: usize| Point3::new(value(12 * k), value(12 * k + 4), value(12 * k + 8));
        for k in 1..4 {
            if !at(k).is_finite() {
                return Err(error(
                    Place::Byte(HEAD + RECORD * n + 12 * k),
                    "a corner that is no number",
                    "three finite numbers",
                    "",
                ));
            }
            soup.points.push(at(k));
        }
        soup.normals.push(at(0));
        let first = 3 * n as u32;
        soup.triangles.push([first, first + 1, first + 2]);
    }
    if soup.normals.iter().any(|n| !n.is_finite()) || soup.normals.iter().all(|n| *n == Point3::ZERO) {
        soup.normals.clear();
    }
    Ok(soup)
}

fn text(bytes: &[u8]) -> Result<Soup, ReadError> {
    let mut soup = Soup::default();
    let mut lines = Lines::new(bytes, false);
    let (mut corners, mut open, mut ended) = (0, false, false);
    while let Some((n, line)) = lines.next_line() {
        let mut words = line.split_ascii_whitespace();
        let Some(word) = words.next() else { continue };
        match word.to_ascii_lowercase().as_str() {
            "solid" => ended = false,
            "endsolid" if !open => ended = true,
            "facet" if !open => {
                words.next();
                // Some programs write a normal that is no number for a needle of a triangle.
                soup.normals.push(point(&mut words, n).unwrap_or(Point3::ZERO));
                (open, corners) = (true, 0);
            }
            "outer" | "endloop" if open => {}
            "vertex" if open => {
                soup.points.push(point(&mut words, n)?);
                corners += 1;
            }
            "endfacet" if open && corners == 3 => {
                let first = soup.points.len() as u32 - 3;
                soup.triangles.push([first, first + 1, first + 2]);
                open = false;
                if MOST < soup.triangles.len() {
                    return Err(too_many(Place::Line(n), soup.triangles.len(), "triangles"));
                }
            }
            "endfacet" if open => {
                return Err(error(
                    Place::Line(n),
                    format!("a facet with {corners} corners"),
                    "three",
                    "save the scan as triangles",
                ));
            }
            _ => {
                let wanted = if open { "vertex or endfacet" } else { "facet or endsolid" };
                return Err(error(Place::Line(n), said(word), wanted, ""));
            }
        }
    }
    if open || !ended {
        return Err(error(
            Place::Line(lines.number()),
            "the end of the file",
            if open { "endfacet" } else { "endsolid" },
            "the copy is cut short: copy it again",
        ));
    }
    Ok(soup)
}
