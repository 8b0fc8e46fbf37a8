//! Lengths as text in a whole job, in every spelling there is a decision on.
//!
//! Expected values are exact rationals of the inch of 25.4 mm, worked out by hand: 24 3/8 in = 195/8 x 25.4 mm.

use super::near;
use super::refused::spoiled;
use crate::job::{Job, read};
use crate::problem::Problem;

/// The job whose first mark is aimed at `typed` along the span; a position, since it may be negative.
fn aimed_at(typed: &str) -> Result<Job, Vec<Problem>> {
    read(&spoiled("aim = [12, 9]", &format!("aim = ['''{typed}''', 9]")))
}

#[test]
fn lengths_that_mean_one_thing_read_and_the_others_are_refused() {
    let table: [(&str, Result<f64, &str>); 8] = [
        ("24 3/8 in", Ok(619.125)),
        ("24-3/8 in", Ok(619.125)),
        ("1' 6-1/2\"", Ok(469.9)),
        ("1′ 6½″", Ok(469.9)),
        ("-5 mm", Ok(-5.0)),
        ("1,5 m", Err("a decimal comma: write a point (column 2 of `1,5 m`)")),
        ("24 3 in", Err("two numbers with no fraction between them (column 1 of `24 3 in`)")),
        ("nan mm", Err("`nan` is not a number (column 1 of `nan mm`)")),
    ];
    for (typed, wanted) in table {
        match (aimed_at(typed), wanted) {
            (Ok(job), Ok(mm)) => near(job.marks[0].aim.unwrap()[0], mm),
            (Err(problems), Err(why)) => {
                assert_eq!(problems.len(), 1);
                assert_eq!(problems[0].message, format!("`aim` of mark `reg` is no length: {why}"));
            }
            (got, _) => panic!("{typed}: {got:?}"),
        }
    }
}

#[test]
fn the_least_and_the_most_of_a_length_are_allowed_and_a_hair_beyond_is_not() {
    let height = |typed: &str| read(&spoiled("height = 12", &format!("height = \"{typed}\"")));
    for (typed, mm) in [("1 mm", 1.0), ("100 m", 100_000.0), ("100000 mm", 100_000.0), ("0.1 cm", 1.0)] {
        let job = height(typed).unwrap_or_else(|problems| panic!("{typed}: {problems:?}"));
        let crate::job::Height::Given(got) = job.marks[0].height.value else { panic!("{typed}") };
        near(got, mm);
    }
    for typed in ["0.999 mm", "100.001 m", "100001 mm", "0.0393 in", "328 ft 1.1 in"] {
        assert_eq!(height(typed).unwrap_err().len(), 1, "{typed}");
    }
}
