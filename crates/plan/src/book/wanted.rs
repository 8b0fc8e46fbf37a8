//! Which of a plan's files are wanted, and on what paper the full-size ones.

use crate::job::{Job, PatternPaper, Unit};
use sheet::frame::Paper;
use sheet::tiles::{LEAST_ROLL, MOST_ROLL};

pub use sheet::tiles::Stock;

/// A kind of file a plan gives beside `plan.json`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The printed book.
    Book,
    /// The layout drawings.
    Layout,
    /// The full-size patterns.
    Patterns,
    /// The story sticks.
    Sticks,
}

/// What is wanted of a plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wanted {
    /// These parts only; empty = all. The plan file always comes with them.
    pub only: Vec<Part>,
    /// The paper of full-size sheets; `None` = as the job says, else by its units.
    pub paper: Option<Stock>,
    /// True if the layout drawings show where the middle of each mark may be.
    pub show_room: bool,
}

impl Wanted {
    /// True if a part is wanted.
    pub fn wants(&self, part: Part) -> bool {
        self.only.is_empty() || self.only.contains(&part)
    }

    /// The paper of full-size sheets for a job.
    pub fn stock(&self, job: &Job) -> Stock {
        let usual = match job.units {
            Unit::In | Unit::Ft => Stock::Sheets(Paper::Letter),
            Unit::Mm | Unit::Cm | Unit::M => Stock::Sheets(Paper::A4),
        };
        let asked = job.patterns.paper.and_then(|paper| match paper {
            PatternPaper::A4 => Some(Stock::Sheets(Paper::A4)),
            PatternPaper::A3 => Some(Stock::Sheets(Paper::A3)),
            PatternPaper::Letter => Some(Stock::Sheets(Paper::Letter)),
            PatternPaper::Tabloid => Some(Stock::Sheets(Paper::Tabloid)),
            PatternPaper::Roll(width) => Stock::roll(width),
        });
        self.paper.or(asked).unwrap_or(usual)
    }

    /// True if the book is printed on inch papers: as the full-size sheets, beside a roll as the job measures.
    pub fn inch_book(&self, job: &Job) -> bool {
        match self.stock(job) {
            Stock::Sheets(paper) => matches!(paper, Paper::Letter | Paper::Tabloid),
            Stock::Roll(_) => matches!(job.units, Unit::In | Unit::Ft),
        }
    }
}

/// A paper as it is typed: `a4`, `a3`, `letter`, `tabloid`, or the width of a roll such as `24 in`.
///
/// # Errors
/// In words, why it is no paper.
pub fn paper(typed: &str) -> Result<Stock, String> {
    match typed.to_ascii_lowercase().as_str() {
        "a4" => return Ok(Stock::Sheets(Paper::A4)),
        "a3" => return Ok(Stock::Sheets(Paper::A3)),
        "letter" => return Ok(Stock::Sheets(Paper::Letter)),
        "tabloid" => return Ok(Stock::Sheets(Paper::Tabloid)),
        _ => {}
    }
    let width = crate::job::lengths::length_mm(typed).map_err(|_| {
        "a paper is a4, a3, letter, tabloid, or the width of a roll such as \"24 in\" or \"610 mm\""
            .to_owned()
    })?;
    Stock::roll(width)
        .ok_or_else(|| format!("a roll is {LEAST_ROLL:.0} mm to {MOST_ROLL:.0} mm wide, not {width:.1} mm"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paper_is_a_name_or_a_width_with_its_unit() {
        assert_eq!(paper("A4"), Ok(Stock::Sheets(Paper::A4)));
        assert!(matches!(paper("24 in"), Ok(Stock::Roll(w)) if (w - 609.6).abs() < 1e-9));
        for wrong in ["24", "a5", "", "100 mm", "-3 ft", "9 m"] {
            assert!(paper(wrong).is_err(), "{wrong}");
        }
    }
}
