//! The whole pipeline, stage by stage.

use crate::book::patterns_check;
use crate::book::patterns_files::{self, Source, Wishes};
use crate::book::wanted::{Part, Wanted};
use crate::finding::{Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::{self, Attachments, Job};
use crate::problem::Problem;
use crate::rules::{self, Pack};
use crate::spray::{self, SprayPlan};
use crate::stripe::Laid;
use crate::surface::{self, Skin};
use crate::{book, fit, marks, mask, stripe};
use std::sync::OnceLock;

/// A finished plan.
#[derive(Debug)]
pub struct Plan {
    /// What was asked.
    pub job: Job,
    /// The surfaces, unrolled.
    pub skins: Vec<Skin>,
    /// The marks in their places.
    pub marks: Vec<Placed>,
    /// The stripes, laid.
    pub stripes: Vec<Laid>,
    /// How they are taped; empty without a `[masking]` table.
    pub masking: mask::MaskPlan,
    /// Paint and day.
    pub spray: SprayPlan,
    /// Everything there is to say, stage by stage.
    pub findings: Vec<Finding>,
    /// The marks as the drawing of their surface shows them, once asked for.
    drawn: OnceLock<Vec<Placed>>,
    /// The same of the stripes.
    drawn_stripes: OnceLock<Vec<Laid>>,
}

/// The files of a plan.
#[derive(Debug, Default)]
pub struct Files {
    /// Path below the plan's folder, and contents.
    pub files: Vec<(String, Vec<u8>)>,
    /// What reading them back found wrong; the plan file among them says it too.
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
        skin.map_or_else(Default::default, |skin| {
            fit::law::skin_size(skin, fit::wanted::wanted_place(mark, pack.as_ref(), skin))
        })
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
    findings.extend(fit::contrast::findings(job, pack.as_ref()));
    let (stripes, said) = stripe::lay_stripes(job, &skins, &marks);
    findings.extend(said);
    let painted: Vec<Placed> = marks.iter().chain(stripes.iter().map(|s| &s.painted)).cloned().collect();
    let (mut masking, said) = mask::mask_marks(job, &painted);
    findings.extend(said);
    masking.paper = mask::paper::paper(job, &skins, &painted, &masking);
    findings.extend(mask::paper::told(masking.paper.as_ref()));
    findings.extend(mask::slits::slits(job, &skins, &painted, &masking));
    for mark in &painted {
        let over = job.painted_with(&mark.id).map_or("", |p| p.1);
        findings.extend(spray::handling::findings(job, mark, over));
    }
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
    let spray = spray::plan_spray(job, &skins, &painted, &masking, files)?;
    findings.extend(spray.findings.iter().cloned());
    Ok(Plan {
        job: job.clone(),
        skins,
        marks,
        stripes,
        masking,
        spray,
        findings,
        drawn: OnceLock::new(),
        drawn_stripes: OnceLock::new(),
    })
}

/// The path, or one with a number where another mark's file has it: `reg` has sticks in `reg-sticks.pdf`, and a
/// mark may be called `reg-sticks`.
fn free_path(files: &[(String, Vec<u8>)], path: String) -> String {
    let taken = |p: &str| files.iter().any(|(other, _)| other == p);
    let Some((front, ending)) = path.rsplit_once('.').filter(|_| taken(&path)) else { return path };
    let other = (2..).map(|n| format!("{front}-{n}.{ending}")).find(|p| !taken(p));
    other.unwrap_or(path)
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

    /// What is painted: the marks, then the stripes, as the spray plan counts them.
    pub fn painted(&self) -> Vec<Placed> {
        self.marks.iter().chain(self.stripes.iter().map(|s| &s.painted)).cloned().collect()
    }

    /// What each of `painted` is called among the others.
    pub fn names(&self) -> Vec<String> {
        spray::called::called(&self.job, &self.painted())
    }

    /// The plan's files, as far as they are wanted, each pattern read back. `tell` hears what is made just now.
    pub fn files(&self, wanted: &Wanted, tell: &mut dyn FnMut(&str)) -> Files {
        let mut made = self.full_size(wanted, tell);
        let mut findings = self.findings.clone();
        findings.extend(made.findings.iter().cloned());
        let mut files = vec![("plan.json".to_owned(), self.plan_file(&findings).to_json().into_bytes())];
        if wanted.wants(Part::Layout) {
            for (skin, sheet) in self.skins.iter().zip(self.layouts(wanted.show_room)) {
                files.push((format!("layout/{}.svg", skin.id), sheet::svg::write(&sheet).into_bytes()));
            }
            for (job, skin) in self.job.surfaces.iter().zip(&self.skins) {
                if let Some(sheet) = self.strain_sheet(job, skin) {
                    let path = free_path(&files, format!("layout/{}-strain.svg", skin.id));
                    files.push((path, sheet::svg::write(&sheet).into_bytes()));
                }
            }
        }
        if wanted.wants(Part::Layout) {
            files.extend(book::spray_files::spray_files(self));
            files.extend(book::tape_map::tape_map_files(self));
            files.extend(book::film_map::film_map_files(self));
        }
        files.append(&mut made.files);
        Files { files, findings: made.findings }
    }

    /// Patterns and story sticks.
    fn full_size(&self, wanted: &Wanted, tell: &mut dyn FnMut(&str)) -> Files {
        let asked = &self.job.patterns;
        let wishes = Wishes {
            stock: wanted.stock(&self.job),
            pounce: asked.pounce,
            whole: asked.whole,
            mirror: asked.mirror,
        };
        let mut made = Files::default();
        let stripes = self.stripes.iter().map(|s| (&s.painted, Some(s)));
        for (mark, stripe) in self.marks.iter().map(|m| (m, None)).chain(stripes) {
            let skin = mark.skin(&self.skins);
            let surface = self.job.surfaces.iter().find(|s| s.id == mark.surface);
            let (Some(skin), Some(surface)) = (skin, surface) else { continue };
            let surface_words = surface.in_words();
            // On a skin that curves both ways a mask lies in the flat of its first stripe.
            let own = |m: &&mask::Mask| m.of == mark.id || (mark.charts.is_none() && m.serves(&mark.id));
            let masks = self.masking.masks.iter().filter(own).collect();
            let source =
                Source { job: &self.job.title, mark, skin, surface_words: &surface_words, stripe, masks };
            let mut new = Vec::new();
            if wanted.wants(Part::Patterns) {
                tell(&format!("patterns of {}", mark.id));
                new.extend(patterns_files::patterns(&source, &wishes));
                new.extend(book::film_files::film_files(&source, &wishes));
            }
            if stripe.is_none() && wanted.wants(Part::Sticks) {
                tell(&format!("story sticks of {}", mark.id));
                new.extend(patterns_files::stick_file(&source, wishes.stock));
            }
            for file in new {
                made.findings.extend(patterns_check::check(&file, &mark.id));
                let path = free_path(&made.files, file.path);
                made.files.push((path, file.bytes));
            }
        }
        made
    }

    /// The layout drawing of each surface, in the job's order; with `show_room`, where the middle of each mark may
    /// be.
    pub fn layouts(&self, show_room: bool) -> Vec<sheet::Sheet> {
        self.views(show_room).iter().map(book::layout::layout).collect()
    }

    /// The marks as the drawings of their surfaces show them.
    pub(crate) fn drawn(&self) -> &[Placed] {
        let on = |m: &Placed| match self.skins.iter().find(|s| s.id == m.surface) {
            Some(skin) => book::layout_curved::drawn(m, skin),
            None => m.clone(),
        };
        self.drawn.get_or_init(|| self.marks.iter().map(on).collect())
    }

    /// The stripes as the drawings of their surfaces show them.
    pub(crate) fn drawn_stripes(&self) -> &[Laid] {
        let on = |s: &Laid| match self.skins.iter().find(|skin| skin.id == s.surface) {
            Some(skin) => book::layout_curved::drawn_stripe(s, skin),
            None => s.clone(),
        };
        self.drawn_stripes.get_or_init(|| self.stripes.iter().map(on).collect())
    }

    /// What the drawings of each surface show, in the job's order.
    fn views(&self, show_room: bool) -> Vec<book::layout::View<'_>> {
        let mut views = Vec::new();
        for (surface, skin) in self.job.surfaces.iter().zip(&self.skins) {
            let marks: Vec<&Placed> = self.drawn().iter().filter(|m| m.surface == skin.id).collect();
            let stripes: Vec<&Laid> = self.drawn_stripes().iter().filter(|s| s.surface == skin.id).collect();
            let of_stripe =
                |f: &Finding| self.job.stripes.iter().any(|s| s.surface == skin.id && s.id == f.about);
            let about =
                |f: &&Finding| f.about == skin.id || marks.iter().any(|m| m.id == f.about) || of_stripe(f);
            let mut findings: Vec<&Finding> = self.findings.iter().filter(about).collect();
            findings.sort_by_key(|f| std::cmp::Reverse(f.severity));
            let (job_title, surface_words) = (self.job.title.as_str(), surface.in_words());
            let on_it = self.marks.iter().filter(|m| m.surface == skin.id);
            let rooms = show_room
                .then(|| on_it.map(|m| fit::tried::room(m, m.skin(&self.skins).unwrap_or(skin))).collect());
            views.push(book::layout::View {
                job_title,
                skin,
                surface_words,
                marks,
                stripe_paint: stripe::joint::as_one(&self.job, &stripes),
                stripes,
                findings,
                rooms,
            });
        }
        views
    }

    /// What the printed book is made from: plan.json's content and an object `pages`, as JSON.
    pub fn book_data(&self) -> String {
        book::pages::book_data(self)
    }

    /// The strain of a surface that does not unroll: with its side view, or with its one flat.
    fn strain_sheet(&self, surface: &job::Surface, skin: &Skin) -> Option<sheet::Sheet> {
        let (marks, stripes) = self.on(skin);
        let on = book::layout_strain::On { marks: &marks, stripes: &stripes };
        book::layout_strain::strain_sheet(&self.job, &surface.in_words(), skin, on)
    }

    /// Marks and stripes on a surface.
    fn on(&self, skin: &Skin) -> (Vec<&Placed>, Vec<&Laid>) {
        let marks = self.marks.iter().filter(|m| m.surface == skin.id).collect();
        (marks, self.stripes.iter().filter(|s| s.surface == skin.id).collect())
    }

    /// The drawings of the printed book as SVG, by name: `wing-sheet/SURFACE`, `cover/SURFACE`, `strain/SURFACE`,
    /// `tape/MARK-CHARACTER` (-1 for what lies along several), `film/PANEL`.
    pub fn book_drawings(&self) -> Vec<(String, Vec<u8>)> {
        let mut drawings = Vec::new();
        for view in self.views(false) {
            for (name, sheet) in [
                ("wing-sheet", book::pages_picture::picture(self, &view)),
                ("cover", book::pages_picture::cover(&view)),
            ] {
                drawings.push((format!("{name}/{}", view.skin.id), sheet::svg::write(&sheet).into_bytes()));
            }
        }
        for skin in &self.skins {
            let (marks, stripes) = self.on(skin);
            let on = book::layout_strain::On { marks: &marks, stripes: &stripes };
            let room = book::spray_files::LARGE_ROOM;
            if let Some(sheet) = book::layout_strain::strain_page(&self.job, skin, on, room) {
                drawings.push((format!("strain/{}", skin.id), sheet::svg::write(&sheet).into_bytes()));
            }
        }
        drawings.extend(
            book::tape_map::tape_cards(self)
                .into_iter()
                .map(|(name, sheet)| (name, sheet::svg::write(&sheet).into_bytes())),
        );
        drawings.extend(book::film_map::film_cards(self));
        drawings.extend(book::spray_files::book_drawings(self));
        drawings
    }

    /// The tape maps with their names: each whole mark, then its characters.
    pub fn tape_maps(&self) -> Vec<(String, sheet::Sheet)> {
        book::tape_map::tape_maps(self)
    }

    /// `plan.json`.
    pub fn plan_json(&self) -> String {
        self.plan_file(&self.findings).to_json()
    }

    fn plan_file(&self, findings: &[Finding]) -> book::plan_file::PlanFile {
        book::plan_file::plan_file(self, findings)
    }

    /// The findings as JSON: the plan file's `verdict` and `findings`.
    pub fn findings_json(&self) -> String {
        self.plan_file(&self.findings).findings_json()
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
