//! Why an input file cannot be used, and where: collected, never stopped at the first.

use std::ops::Range;

/// One thing wrong with an input file.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Name of the file as the user gave it; empty for the job file itself.
    pub file: String,
    /// Where in that file, as byte offsets; `0..0` if the file as a whole.
    pub span: Range<usize>,
    /// What is wrong: what was found, with its value. Lower case, no full stop.
    pub message: String,
    /// What was expected there (`a length such as 24 3/8 in`); empty if the message says it.
    pub expected: String,
    /// What to do; empty if there is nothing to add.
    pub hint: String,
}

impl Problem {
    /// A problem in the job file at `span`.
    pub fn at(span: Range<usize>, message: impl Into<String>) -> Problem {
        Problem {
            file: String::new(),
            span,
            message: message.into(),
            expected: String::new(),
            hint: String::new(),
        }
    }

    /// With what was expected.
    pub fn expected(mut self, expected: impl Into<String>) -> Problem {
        self.expected = expected.into();
        self
    }

    /// With what to do.
    pub fn hint(mut self, hint: impl Into<String>) -> Problem {
        self.hint = hint.into();
        self
    }

    /// The same, in another file than the job file.
    pub fn in_file(mut self, file: &str) -> Problem {
        self.file = file.to_owned();
        self
    }
}

/// Line and column, both from 1, of a byte offset in a text; columns count characters.
pub fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    let before = &text[..offset];
    let line_start = before.rfind('\n').map_or(0, |i| i + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}
