//! Lines and words of a text file, with their numbers.

use super::{Place, ReadError, error};
use geom::Point3;

/// Lines of a file, numbered from 1; a line that ends in `\` goes on in the next.
pub(super) struct Lines<'a> {
    rest: &'a [u8],
    number: usize,
    continued: bool,
}

impl<'a> Lines<'a> {
    pub(super) fn new(bytes: &'a [u8], continued: bool) -> Lines<'a> {
        Lines { rest: bytes, number: 0, continued }
    }

    /// The next line without its end, its number put before it.
    pub(super) fn next_line(&mut self) -> Option<(usize, String)> {
        let first = self.number + 1;
        let mut line = self.raw()?;
        while self.continued && line.trim_end().ends_with('\\') {
            let kept = line.trim_end().len() - 1;
            line.truncate(kept);
            line.push(' ');
            let Some(more) = self.raw() else { break };
            line.push_str(&more);
        }
        Some((first, line))
    }

    fn raw(&mut self) -> Option<String> {
        if self.rest.is_empty() {
            return None;
        }
        self.number += 1;
        let end = self.rest.iter().position(|&b| b == b'\n' || b == b'\r').unwrap_or(self.rest.len());
        let line = String::from_utf8_lossy(&self.rest[..end]).into_owned();
        let skip = if self.rest[end..].starts_with(b"\r\n") { 2 } else { 1 };
        self.rest = self.rest.get(end + skip..).unwrap_or_default();
        Some(line)
    }

    /// Number of the last line read.
    pub(super) fn number(&self) -> usize {
        self.number
    }
}

/// A number that is neither endless nor none.
pub(super) fn number(word: Option<&str>, line: usize) -> Result<f64, ReadError> {
    let Some(word) = word else {
        return Err(error(Place::Line(line), "the end of the line", "a number", ""));
    };
    match word.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(error(Place::Line(line), said(word), "a number", "")),
    }
}

pub(super) fn point<'a>(words: &mut impl Iterator<Item = &'a str>, line: usize) -> Result<Point3, ReadError> {
    Ok(Point3::new(number(words.next(), line)?, number(words.next(), line)?, number(words.next(), line)?))
}

/// A word of the file as shown in a message: short, in quotes, without control characters.
pub(super) fn said(word: &str) -> String {
    let short: String = word.chars().filter(|c| !c.is_control()).take(24).collect();
    format!("\"{short}{}\"", if word.chars().count() > 24 { "..." } else { "" })
}
