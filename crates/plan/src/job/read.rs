//! Reads a job file: form, keys, values, shapes and ids are checked, and every problem comes at once.

use super::across;
use super::build;
use super::check::Checker;
use super::checked::Checked;
use super::ids::{self, Ids};
use super::keys::top::JOB;
use super::lines::Lines;
use super::tree;
use super::types::{At, Job, Letters, SectionName, SurfaceShape, Unit};
use crate::problem::Problem;
use std::collections::BTreeSet;

/// Largest job file that is read, bytes. chosen: hundreds of times the longest job a shop would type.
pub const LARGEST_FILE: usize = 4 * 1024 * 1024;

/// Most problems that are told, the last one saying how many more there are.
pub const MOST_PROBLEMS: usize = 2000;

/// The job of a job file's text.
///
/// # Errors
/// Everything that is wrong with the file, by its place in it; at most `MOST_PROBLEMS`. Where the form of the
/// file itself is broken, what seems to be missing is not told, as it may stand in the broken part.
///
/// # Example: a panel without a mark is a job
/// ```
/// let text = "title = 'Panel'\n[[surface]]\nid = 'fin'\nkind = 'flat'\ncorners = [[0, 0], [30, 0], [24, 40]]\n";
/// let job = plan::job::read(text).expect("a sound job");
/// assert_eq!(job.surfaces[0].id, "fin");
/// ```
pub fn read(text: &str) -> Result<Job, Vec<Problem>> {
    if text.len() > LARGEST_FILE {
        let message = format!("the file is {} bytes long, more than {LARGEST_FILE}", text.len());
        return Err(vec![Problem::at(0..0, message).hint("a job file is text; is this the right file?")]);
    }
    let tree::Grown { root, problems: syntax, lost_from } = tree::grow(text);
    let mut checker = Checker { text, units: Unit::In, problems: Vec::new(), absences: Vec::new() };
    if let Some(units) = root.entry("units").and_then(tree::Node::text)
        && let Some((_, unit)) = build::UNITS.iter().find(|(name, _)| *name == units)
    {
        checker.units = *unit;
    }
    let top = checker.table(&root, &JOB, "the job");
    let across = across::check(&top);
    let mut problems = checker.problems;
    problems.extend(ids::doubled(&root, text));
    problems.extend(across.problems);
    problems.extend(unknown_pack(&top));
    if syntax.is_empty() {
        problems.extend(checker.absences);
        problems.extend(across.absences);
        problems.extend(Ids::of(&root).dangling(&top));
    } else {
        problems = beside_broken_lines(text, problems, &syntax, lost_from.unwrap_or(text.len()));
        problems.extend(syntax);
    }
    if problems.is_empty() {
        return Ok(build::job(&top));
    }
    problems.sort_by_key(|problem| problem.span.start);
    if problems.len() > MOST_PROBLEMS {
        let more = problems.len() - (MOST_PROBLEMS - 1);
        problems.truncate(MOST_PROBLEMS - 1);
        problems.push(Problem::at(0..0, format!("and {more} more problems, which are not shown")));
    }
    Err(problems)
}

/// Without the problems that are echoes of a broken form: those on its line, those of a value it stands in, and
/// those behind the place from which on nothing can be believed.
fn beside_broken_lines(text: &str, problems: Vec<Problem>, syntax: &[Problem], lost: usize) -> Vec<Problem> {
    let lines = Lines::of(text);
    let broken: BTreeSet<usize> = syntax.iter().map(|problem| lines.line(problem.span.start)).collect();
    let places: BTreeSet<usize> = syntax.iter().map(|problem| problem.span.start).collect();
    let echo = |problem: &Problem| {
        lost <= problem.span.start
            || broken.contains(&lines.line(problem.span.start))
            || places.range(problem.span.clone()).next().is_some()
    };
    problems.into_iter().filter(|problem| !echo(problem)).collect()
}

/// The rule pack a job names by an id that no pack has.
fn unknown_pack(top: &Checked) -> Option<Problem> {
    let named = build::at_text(top, "rules")?;
    let known: Vec<&str> = crate::rules::builtin().iter().map(|(id, _)| *id).collect();
    if names_a_file(&named.value) || known.contains(&named.value.as_str()) {
        return None;
    }
    let near = known.iter().max_by(|a, b| {
        strsim::jaro_winkler(a, &named.value).total_cmp(&strsim::jaro_winkler(b, &named.value))
    });
    Some(
        Problem::at(named.span, format!("no rule pack is called `{}`", named.value))
            .expected("a pack's id, or a path ending in .toml")
            .hint(
                near.map_or_else(String::new, |n| {
                    format!("did you mean `{n}`? `maskwright rules` lists them")
                }),
            ),
    )
}

/// The files a job names, each with its place: section files, scans, fonts, and a rule pack given by its path.
///
/// A `rules` value is a path if it holds a slash or ends in `.toml`; otherwise it is the id of a pack.
pub fn files_named(job: &Job) -> Vec<At<String>> {
    let mut files: Vec<At<String>> = Vec::new();
    files.extend(job.shop.iter().filter_map(|shop| shop.labour.clone()));
    files.extend(job.rules.iter().filter(|rules| names_a_file(&rules.value)).cloned());
    for surface in &job.surfaces {
        match &surface.shape.value {
            SurfaceShape::Wing(wing) => {
                let [root, tip] = &wing.section;
                // One section typed for both ends is one file.
                let ends = if root == tip { vec![root] } else { vec![root, tip] };
                let between = wing.breaks.iter().filter_map(|b| b.section.as_ref());
                files.extend(ends.into_iter().chain(between).filter_map(|section| match &section.value {
                    SectionName::File(path) => Some(At { value: path.clone(), span: section.span.clone() }),
                    SectionName::Naca(_) => None,
                }));
            }
            SurfaceShape::Mesh { file, .. } => files.push(file.clone()),
            SurfaceShape::Flat { .. } | SurfaceShape::Body { .. } => {}
        }
    }
    for mark in &job.marks {
        if let Letters::Font(path) = &mark.letters.value {
            files.push(At { value: path.clone(), span: mark.letters.span.clone() });
        }
    }
    files
}

/// True if a `rules` value is the path of a rule pack rather than its id.
pub fn names_a_file(rules: &str) -> bool {
    rules.ends_with(".toml") || rules.contains(['/', '\\'])
}
