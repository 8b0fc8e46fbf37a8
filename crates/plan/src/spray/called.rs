//! What a mark and its letters are called where several stand together: by what the mark says and, where another says
//! the same, also by where it is painted.

use super::shots::Shot;
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::stripe::SIGN;

/// What each mark is called: `N417RW`; of two that say the same `N417RW (left side, body)`, by its id if they share
/// a surface too. No two are called alike.
pub fn called(job: &Job, marks: &[Placed]) -> Vec<String> {
    let surface = |m: &Placed| {
        job.surfaces.iter().find(|s| s.id == m.surface).map_or_else(|| m.surface.clone(), |s| s.in_words())
    };
    marks
        .iter()
        .map(|mark| {
            let alike: Vec<&Placed> = marks.iter().filter(|o| o.text == mark.text).collect();
            if alike.len() < 2 {
                return mark.text.clone();
            }
            let place = surface(mark);
            let alone = alike.iter().filter(|o| surface(o) == place).count() == 1;
            format!("{} ({})", mark.text, if alone { &place } else { &mark.id })
        })
        .collect()
}

/// Letters as a person writes them, those of each mark together: `N41` where there is one mark; `N41 of N417RW, N53HK`
/// where there are several; a stripe by its id. `names` are the marks' as `called` gives them.
pub fn written<'a>(shots: impl IntoIterator<Item = &'a Shot>, marks: &[Placed], names: &[String]) -> String {
    let mut runs: Vec<(usize, String)> = Vec::new();
    for shot in shots {
        match runs.last_mut() {
            Some((mark, letters)) if *mark == shot.mark => letters.push(shot.char),
            _ => runs.push((shot.mark, shot.char.to_string())),
        }
    }
    let words = runs.into_iter().map(|(mark, letters)| {
        let whole = marks[mark].text.chars().filter(|c| !c.is_whitespace()).eq(letters.chars());
        if letters.contains(SIGN) || whole && marks.len() > 1 {
            names[mark].clone()
        } else if marks.len() > 1 {
            format!("{letters} of {}", names[mark])
        } else {
            letters
        }
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use crate::Plan;
    use crate::job::Attachments;

    /// Two sides of a fin that say the same, a third mark, and a stripe.
    const SIDES: &str = include_str!("../../tests/jobs/two-sides.toml");

    fn planned(text: &str) -> Plan {
        let job = crate::job::read(text).expect("the job is good");
        crate::run(&job, &Attachments::default()).expect("the job can be planned")
    }

    #[test]
    fn marks_that_say_the_same_are_told_apart_by_their_place() {
        let names = planned(SIDES).names();
        assert_eq!(names, ["N53 (left side, flat panel)", "N53 (right side, flat panel)", "K7", "pin"]);
        // Two of them on one panel: by their ids.
        let beside = SIDES
            .replace("surface = \"fin-right\"\ntext = \"N53\"", "surface = \"fin-left\"\ntext = \"N53\"")
            .replacen("[450, 350]", "[450, 120]", 1);
        assert_eq!(planned(&beside).names()[..2], ["N53 (reg-left)", "N53 (reg-right)"]);
    }

    #[test]
    fn letters_of_two_marks_stand_apart_and_a_stripe_by_its_id() {
        let plan = planned(SIDES);
        let day = plan.spray.day.as_ref().expect("a day works");
        let all: Vec<&str> = day.goes.iter().map(|g| g.characters.as_str()).collect();
        assert_eq!(all.join(" | "), "N53 (left side, flat panel), N53 (right side, flat panel), K7, pin");
        let rows = day.goes.iter().flat_map(|g| g.rows.iter().map(|(mark, name)| format!("{mark}{name}")));
        assert_eq!(rows.collect::<Vec<_>>(), ["0N", "05", "03", "1N", "15", "13", "2K", "27", "3pin"]);
        let mixed: Vec<&str> =
            day.tasks.iter().filter(|t| t.word == "mix").map(|t| t.part.as_str()).collect();
        assert_eq!(mixed, all);
        let cups: Vec<&str> = plan.spray.paints[0].cups.iter().map(|c| c.characters.as_str()).collect();
        assert_eq!(cups, all);
    }
}
