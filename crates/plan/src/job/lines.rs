//! On which line of a file a place is, asked thousands of times of one file.
//!
//! Counting the lines anew for each of many problems would take the square of them; here the starts are found once.

/// Where the lines of a text start.
pub(crate) struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    /// Those of a text.
    pub(crate) fn of(text: &str) -> Lines {
        Lines { starts: text.match_indices('\n').map(|(at, _)| at + 1).collect() }
    }

    /// The line of a byte offset, from 1.
    pub(crate) fn line(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start <= offset) + 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::line_and_column;

    #[test]
    fn every_offset_is_on_the_line_that_counting_from_the_top_gives() {
        for text in ["", "a", "\n", "a\nbé\n\nc", "a\r\nb\r\n"] {
            let lines = Lines::of(text);
            for offset in (0..=text.len()).filter(|offset| text.is_char_boundary(*offset)) {
                assert_eq!(lines.line(offset), line_and_column(text, offset).0, "{text:?} at {offset}");
            }
        }
    }
}
