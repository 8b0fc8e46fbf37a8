//! One mark by itself: the place the job asks for, and beside it what else could be had.

use super::easiest::easiest;
use super::give::{Gives, at_words, crossing, gives, in_the_way};
use super::placed::{Alternative, Asked, Certificate, FitStatus, Why};
use super::search::{Answer, Goal, Task, largest, nearest, roomiest};
use super::wanted::{Looked, Wanted};
use crate::finding::{Bound, Finding, Severity};
use crate::marks::design::Design;
use crate::words::length;
use geom::Point;
use geom::room::NoPlace;
use geom::tolerance::KEPT_MM;

/// What a search for a place came to.
#[derive(Clone, Debug)]
pub struct Found {
    /// The design at its height.
    pub design: Design,
    /// Where its centre is.
    pub centre: Point,
    /// How that came about.
    pub status: FitStatus,
    /// Other places and sizes.
    pub alternatives: Vec<Alternative>,
    /// What was proved.
    pub certificate: Option<Certificate>,
    /// What there is to say.
    pub said: Vec<Finding>,
    /// What the search for one station came to where none serves all of a group; of its first mark.
    pub apart: Option<NoPlace>,
}

/// The place the job asks for, and at `height = "largest"` the height it allows.
pub fn find(wanted: &Wanted) -> Found {
    let mut found = unplaced(wanted);
    if wanted.open_height {
        match largest(wanted.task(), wanted.ladder.iter().copied(), wanted.goal()) {
            Ok((height, answer)) => {
                found.design.height_mm = height;
                found.said.push(if wanted.looked.place.is_empty() {
                    let what = format!("{} is the largest height that fits", length(height));
                    proof(&found.design.id, &what, &answer, &wanted.looked)
                } else {
                    largest_found(&found.design.id, height, &answer, &wanted.looked)
                });
            }
            Err(none) if wanted.looked.bare => {
                found.certificate = Some(nowhere(wanted, none));
                return found;
            }
            Err(none) => {
                refuse(&mut found, wanted, none, "at any height of the ladder");
                return found;
            }
        }
    }
    settle(&mut found, wanted);
    found
}

/// A mark at its aim, nothing searched yet.
pub fn unplaced(wanted: &Wanted) -> Found {
    Found {
        design: wanted.design.clone(),
        centre: wanted.aim,
        status: if wanted.is_given() { FitStatus::Given } else { FitStatus::None },
        alternatives: vec![],
        certificate: None,
        said: vec![],
        apart: None,
    }
}

/// The place at the height that stands, and what else could be had.
fn settle(found: &mut Found, wanted: &Wanted) {
    let design = found.design.clone();
    let task = Task { design: &design, ..wanted.task() };
    let goal = wanted.goal();
    if wanted.looked.bare {
        match if goal == Goal::Nearest { nearest(task) } else { roomiest(task) } {
            Ok(answer) => take(found, wanted, &answer),
            Err(none) => found.certificate = Some(nowhere(wanted, none)),
        }
        return;
    }
    let (near, roomy) = (nearest(task), roomiest(task));
    let chosen = if goal == Goal::Nearest { near } else { roomy };
    match chosen {
        Ok(answer) => {
            if !wanted.is_given() {
                take(found, wanted, &answer);
            }
            choices(found, wanted, (near.ok(), roomy.ok(), None), &|_, answer| answer);
        }
        // A place the user gave is judged by itself; that there is none is worth knowing all the same.
        Err(none) => refuse(found, wanted, none, "at this height"),
    }
}

/// Takes an answer for the mark's place.
pub fn take(found: &mut Found, wanted: &Wanted, answer: &Answer) {
    (found.centre, found.status) = (answer.centre, FitStatus::Placed);
    let far = answer.centre.distance(wanted.aim);
    let near = wanted.goal() == Goal::Nearest;
    let what = if near {
        format!("its place is the nearest to the aim, {} from it", length(far))
    } else {
        "its place is the roomiest there is".to_owned()
    };
    let has = if near { Some(far) } else { answer.clearance };
    found.certificate = Some(Certificate {
        asked: if near { Asked::Nearest } else { Asked::Roomiest },
        bound: has.map(|_| answer.bound),
        answer: has,
        boxes: wanted.looked.boxes + answer.boxes,
        proved: answer.proved && !wanted.looked.gave_up,
    });
    found.said.push(proof(&found.design.id, &what, answer, &wanted.looked));
}

/// That there is no place.
fn nowhere(wanted: &Wanted, none: NoPlace) -> Certificate {
    let near = wanted.goal() == Goal::Nearest;
    Certificate {
        asked: if near { Asked::Nearest } else { Asked::Roomiest },
        bound: None,
        answer: None,
        boxes: wanted.looked.boxes + none.boxes,
        proved: none.proved && !wanted.looked.gave_up,
    }
}

/// Lists the nearest, roomiest, largest and easiest, and a crossing if that is nearer.
/// `higher` is a height above the mark's for which there is a place on a wider sheet; `measured` gives an answer its
/// clearance where what was searched errs.
pub fn choices(
    found: &mut Found,
    wanted: &Wanted,
    (near, roomy, higher): (Option<Answer>, Option<Answer>, Option<(f64, Answer)>),
    measured: &dyn Fn(&Design, Answer) -> Answer,
) {
    let design = found.design.clone();
    let task = Task { design: &design, ..wanted.task() };
    let mut words = Vec::new();
    let told = |answer: &Answer| {
        let clear = answer.clearance.map_or_else(String::new, |c| {
            if c > KEPT_MM {
                format!(" with {} to spare", length(c))
            } else {
                " with nothing to spare".to_owned()
            }
        });
        format!("{} from the aim{clear}", length(answer.centre.distance(wanted.aim)))
    };
    for (why, name, answer) in [(Why::Nearest, "nearest", near), (Why::Roomiest, "roomiest", roomy)] {
        if let Some(answer) = answer {
            found.alternatives.push(Alternative::new(why, task.design, &answer));
            words.push(format!("{name} {}", told(&answer)));
        }
    }
    let on_chart = wanted.skin.chart().is_some();
    let most =
        if wanted.open_height || (wanted.is_given() && on_chart) { None } else { highest(wanted, &design) };
    let most = [most, higher].into_iter().flatten().reduce(|a, b| if a.0 < b.0 { b } else { a });
    let most = most.or_else(|| near.map(|answer| (task.design.height_mm, answer)));
    // Round a mark that has its place the sheet ends before the skin does.
    let sheet_ends = wanted.is_given() && on_chart;
    if sheet_ends {
        words.push("with height = \"largest\" it is as high as it can be there".to_owned());
    }
    if let Some((height, answer)) = most.filter(|_| !sheet_ends) {
        let design = Design { height_mm: height, ..task.design.clone() };
        let same = near.is_some_and(|n| n.centre.distance(answer.centre) <= KEPT_MM)
            && height <= task.design.height_mm + KEPT_MM;
        let answer = if same { answer } else { measured(&design, answer) };
        found.alternatives.push(Alternative::new(Why::Largest, &design, &answer));
        words.push(format!("largest {} high", length(height)));
    }
    if let Some(mut easy) = easiest(task) {
        easy.answer = measured(task.design, easy.answer);
        found.alternatives.push(Alternative::new(Why::Easiest, task.design, &easy.answer));
        words.push(format!("easiest {}", told(&easy.answer)));
        let moved = easy.answer.centre.distance(found.centre);
        if moved > KEPT_MM {
            found.said.push(
                Finding::new(
                    Severity::Note,
                    "fit-easiest",
                    &task.design.id,
                    format!("the easiest place is {} from this one: {}", length(moved), easy.words),
                )
                .hint(at_words(task, easy.answer.centre)),
            );
        }
    }
    let mut across = Gives::default();
    crossing(&mut across, task);
    let nearer = across.alternatives.first().is_some_and(|a| {
        near.is_some_and(|n| a.centre.distance(task.aim) + KEPT_MM < n.centre.distance(task.aim))
    });
    if nearer {
        found.alternatives.extend(across.alternatives);
        found.said.extend(across.said);
    }
    found.said.push(Finding::new(
        Severity::Note,
        "fit-choices",
        &task.design.id,
        format!("what can be had{}: {}", wanted.looked.place, words.join("; ")),
    ));
}

/// The largest height above a design's for which there is a place, and the place.
pub fn highest(wanted: &Wanted, design: &Design) -> Option<(f64, Answer)> {
    let higher = wanted.ladder.iter().copied().filter(|h| *h > design.height_mm + KEPT_MM);
    largest(Task { design, ..wanted.task() }, higher, Goal::Nearest).ok()
}

/// There is no place: what is in the way, and what would give.
pub fn refuse(found: &mut Found, wanted: &Wanted, none: NoPlace, when: &str) {
    let task = Task { design: &found.design, ..wanted.task() };
    let certificate = nowhere(wanted, none);
    let (text, boxes, place) = (&wanted.mark.text.value, certificate.boxes, &wanted.looked.place);
    let mut words = if certificate.proved {
        format!("there is no place for {text} {when} (proved over {boxes} boxes of places{place})")
    } else {
        format!("no place was found for {text} {when} within {boxes} boxes of places{place}")
    };
    let way = in_the_way(task);
    if !way.is_empty() {
        words += &format!("; in the way at the aim: {}", way.join(", "));
    }
    let given = wanted.is_given();
    let severity = if given { Severity::Note } else { Severity::Fail };
    let more = gives(wanted, task.design);
    let hint = if more.said.is_empty() {
        "make it smaller, ask less clearance of several features, or widen `within`"
    } else {
        "each note about this mark names one change that opens a place"
    };
    found.said.push(Finding::new(severity, "no-place", &wanted.mark.id, words).hint(hint));
    found.said.extend(more.said);
    found.alternatives.extend(more.alternatives);
    if !given {
        found.certificate = Some(certificate);
    }
}

/// The largest height found on sheets of skin laid flat. What they err by is kept clear there, and near a tight bend that
/// is much: no proof that nothing larger fits.
fn largest_found(mark: &str, height: f64, answer: &Answer, looked: &Looked) -> Finding {
    let message = format!(
        "{} is the largest height found over {} boxes of places{}; what the sheets are off by is kept clear, so that a \
         little more may fit",
        length(height),
        looked.boxes + answer.boxes,
        looked.place
    );
    Finding::new(Severity::Note, "largest-found", mark, message)
        .figures(answer.clearance.unwrap_or(0.0), Bound::Min, 0.0, "mm")
        .hint("give the mark this place and try a greater height there")
}

/// A finding that says how well an answer is proved.
pub fn proof(mark: &str, what: &str, answer: &Answer, looked: &Looked) -> Finding {
    let proved = answer.proved && !looked.gave_up;
    let sure = if proved { "proved" } else { "best found, not proved" };
    Finding::new(
        if proved { Severity::Pass } else { Severity::Caution },
        "fit-proof",
        mark,
        format!("{what} ({sure} over {} boxes of places{})", looked.boxes + answer.boxes, looked.place),
    )
    .figures(answer.clearance.unwrap_or(0.0), Bound::Min, 0.0, "mm")
}
