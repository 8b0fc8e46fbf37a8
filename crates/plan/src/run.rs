//! The whole pipeline, stage by stage.

use crate::finding::{Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::{self, Attachments, Job};
use crate::problem::Problem;
use crate::rules::{self, Pack};
use crate::surface::{self, Skin};
use crate::{book, fit, marks};

/// A finished plan.
#[derive(Debug)]
pub struct Plan {
    /// What was asked.
    pub job: Job,
    /// The surfaces, unrolled.
    pub skins: Vec<Skin>,
    /// The marks in their places.
    pub marks: Vec<Placed>,
    /// Everything there is to say, stage by stage.
    pub findings: Vec<Finding>,
}

/// Plans a job. `files` holds what the job names, keyed as it names them.
///
/// # Errors
/// Everything in the job, or in a file it names, that cannot be used.
pub fn run(job: &Job, files: &Attachments) -> Result<Plan, Vec<Problem>> {
    let mut problems = Vec::new();
    let pack = match pack(job, files) {
        Ok(pack) => pack,
        Err(more) => {
            problems.extend(more);
            None
        }
    };
    let mut findings = Vec::new();
    let mut skins = Vec::new();
    for s in &job.surfaces {
        match surface::develop(s, files) {
            Ok((skin, said)) => {
                findings.extend(said);
                skins.push(skin);
            }
            Err(more) => problems.extend(more),
        }
    }
    // Skins that could not be made must not hide what is wrong with the marks.
    let designs = marks::settle::design_marks(job, pack.as_ref(), files, |mark| {
        let skin = skins.iter().find(|s| s.id == mark.surface);
        skin.map_or_else(Default::default, |skin| fit::law::skin_size(skin, fit::wanted::wanted_place(mark, pack.as_ref(), skin)))
    });
    let designs = match designs {
        Ok(designs) if problems.is_empty() => designs,
        Ok(_) => return Err(problems),
        Err(more) => {
            problems.extend(more);
            return Err(problems);
        }
    };
    let (marks, said) = fit::place::place_marks(job, pack.as_ref(), &skins, &designs)?;
    findings.extend(said);
    if pack.is_none() && !job.marks.is_empty() {
        findings.push(
            Finding::new(
                Severity::Note,
                "no-rules",
                "",
                "no rule pack is named: nothing is held against the law",
            )
            .hint("set `rules`, for example rules = \"us-14cfr45\"; `maskwright rules` lists the packs"),
        );
    }
    Ok(Plan { job: job.clone(), skins, marks, findings })
}

/// The rule pack the job names: one of ours, or one of its own files.
fn pack(job: &Job, files: &Attachments) -> Result<Option<Pack>, Vec<Problem>> {
    let Some(named) = &job.rules else { return Ok(None) };
    if let Some((_, text)) = rules::builtin().iter().find(|(id, _)| *id == named.value) {
        return Pack::read(&named.value, text).map(Some);
    }
    if let Some(bytes) = files.files.get(&named.value) {
        let text = String::from_utf8(bytes.clone()).map_err(|_| {
            vec![Problem::at(named.span.clone(), format!("rule pack {} is not UTF-8 text", named.value))]
        })?;
        return Pack::read(&named.value, &text).map(Some);
    }
    // The job reader knows the ids; a path without its file has been told by whoever read the files.
    Err(vec![Problem::at(named.span.clone(), format!("there is no rule pack {}", named.value))])
}

impl Plan {
    /// True if anything in the plan must not be painted as it is.
    pub fn fails(&self) -> bool {
        self.findings.iter().any(|f| f.severity == Severity::Fail)
    }

    /// The plan's files: path below the plan's folder, and contents.
    pub fn files(&self) -> Vec<(String, Vec<u8>)> {
        let plan = book::plan_file::plan_file(&self.skins, &self.marks, &self.findings);
        let mut files = vec![("plan.json".to_owned(), plan.to_json().into_bytes())];
        for (skin, sheet) in self.skins.iter().zip(self.layouts()) {
            files.push((format!("layout/{}.svg", skin.id), sheet::svg::write(&sheet).into_bytes()));
        }
        files
    }

    /// The layout drawing of each surface, in the job's order.
    pub fn layouts(&self) -> Vec<sheet::Sheet> {
        let of = |(surface, skin): (&job::Surface, &Skin)| {
            let marks: Vec<&Placed> = self.marks.iter().filter(|m| m.surface == skin.id).collect();
            let about = |f: &&Finding| f.about == skin.id || marks.iter().any(|m| m.id == f.about);
            let mut findings: Vec<&Finding> = self.findings.iter().filter(about).collect();
            findings.sort_by_key(|f| std::cmp::Reverse(f.severity));
            book::layout::layout(&book::layout::View {
                job_title: &self.job.title,
                skin,
                surface_words: surface.in_words(),
                marks,
                findings,
            })
        };
        self.job.surfaces.iter().zip(&self.skins).map(of).collect()
    }

    /// The findings as JSON: the plan file's `verdict` and `findings`.
    pub fn findings_json(&self) -> String {
        book::plan_file::plan_file(&self.skins, &self.marks, &self.findings).findings_json()
    }

    /// What was planned, in at most 40 lines; `folder` is where the files went.
    pub fn summary(&self, folder: &str) -> String {
        book::summary::summary(self, folder)
    }

    /// Every finding in words.
    pub fn report(&self) -> String {
        book::summary::report(self)
    }
}
