//! The commands, each from what was typed to its exit status.

use crate::args::{Args, Command, Kind};
use crate::folder::{self, NewFile};
use crate::{input, report, serve_page};
use plan::Plan;
use plan::job::{Attachments, Job, TemplateKind};
use plan::problem::Problem;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

/// A plan was made and nothing fails.
pub(crate) const GOOD: u8 = 0;
/// A plan was made and something in it fails.
const FAILS: u8 = 1;
/// The input cannot be used.
pub(crate) const BAD_INPUT: u8 = 2;
/// The plan could not be written.
const NOT_WRITTEN: u8 = 3;

/// The sample job that comes with the program, and the section it names.
pub(crate) const DEMO_JOB: &str = include_str!("../../../hangar/01-parasol-wing/job.toml");
pub(crate) const DEMO_SECTION: (&str, &[u8]) =
    ("naca-4412.dat", include_bytes!("../../../hangar/01-parasol-wing/naca-4412.dat"));

/// Runs a command; gives its exit status.
pub(crate) fn run(args: Args) -> u8 {
    match args.command {
        Command::Plan { job, out, wanted } => plan_job(&job, out, &wanted.meant()),
        Command::Check { job, json } => check(&job, json),
        Command::Demo { out } => demo(&out),
        Command::New { file, kind } => new(&file, kind),
        Command::Rules { pack } => rules(pack.as_deref()),
        Command::Serve { at, port, lan } => serve_page::serve(&at, port, lan),
        Command::Schema => {
            print(&format!("{:#}\n", plan::job::schema()));
            GOOD
        }
    }
}

fn plan_job(path: &Path, out: Option<PathBuf>, wanted: &plan::Wanted) -> u8 {
    let plan = match read_and_plan(path) {
        Ok(plan) => plan,
        Err(status) => return status,
    };
    let folder = out.unwrap_or_else(|| path.with_extension(""));
    // A job file without an extension would be its own folder.
    let folder = if folder == path { path.with_extension("plan") } else { folder };
    write_plan(&plan, &folder, wanted, &[])
}

fn demo(folder: &Path) -> u8 {
    let mut named = Attachments::default();
    named.files.insert(DEMO_SECTION.0.to_owned(), DEMO_SECTION.1.to_vec());
    let plan = match plan::job::read(DEMO_JOB).and_then(|job| plan::run(&job, &named)) {
        Ok(plan) => plan,
        Err(problems) => {
            tell(&report::problems("demo", &|_| Some(DEMO_JOB.to_owned()), &problems, false));
            return BAD_INPUT;
        }
    };
    let job = NewFile { path: "job.toml".to_owned(), bytes: DEMO_JOB.as_bytes().to_vec() };
    let section = NewFile { path: DEMO_SECTION.0.to_owned(), bytes: DEMO_SECTION.1.to_vec() };
    let status = write_plan(&plan, folder, &plan::Wanted::default(), &[job, section]);
    if status < BAD_INPUT {
        let at = folder.display();
        print(&format!(
            "\nThe sample job is {at}/job.toml: change it, then run  maskwright plan {at}/job.toml\n\
             Print {at}/book.pdf; look at {at}/layout/ for the drawings (any browser opens them).\n\
             Or work on it in the browser: maskwright serve {at}/job.toml\n"
        ));
    }
    status
}

/// Writes the files of a plan and says what is in it.
fn write_plan(plan: &Plan, folder: &Path, wanted: &plan::Wanted, more: &[NewFile]) -> u8 {
    let made = plan.files(wanted, &mut progress);
    let mut files: Vec<NewFile> =
        made.files.into_iter().map(|(path, bytes)| NewFile { path, bytes }).collect();
    if wanted.wants(plan::Part::Book) {
        progress("book.pdf");
        let inches = wanted.inch_book(&plan.job);
        let paper = if inches { book_pdf::Paper::Letter } else { book_pdf::Paper::A4 };
        match book_pdf::book(&plan.book_data(), &plan.book_drawings(), paper) {
            Ok(bytes) => files.push(NewFile { path: "book.pdf".to_owned(), bytes }),
            Err(why) => {
                tell(&format!("error: {why}\n"));
                return NOT_WRITTEN;
            }
        }
    }
    files.extend(more.iter().map(|f| NewFile { path: f.path.clone(), bytes: f.bytes.clone() }));
    if let Err(why) = folder::write(folder, &files) {
        tell(&format!("error: {why}\n"));
        return NOT_WRITTEN;
    }
    print(&plan.summary(&folder.display().to_string()));
    for finding in &made.findings {
        tell(&format!("fail: {}: {}\n", finding.about, finding.message));
    }
    if made.findings.is_empty() { verdict_status(plan) } else { FAILS }
}

/// What is made just now, on a terminal only.
fn progress(what: &str) {
    if std::io::stderr().is_terminal() {
        tell(&format!("{what} ...\n"));
    }
}

fn check(path: &Path, json: bool) -> u8 {
    let plan = match read_and_plan(path) {
        Ok(plan) => plan,
        Err(status) => return status,
    };
    print(&if json { plan.findings_json() } else { plan.report() });
    verdict_status(&plan)
}

fn new(path: &Path, kind: Kind) -> u8 {
    let text = plan::job::template(match kind {
        Kind::Flat => TemplateKind::Flat,
        Kind::Wing => TemplateKind::Wing,
        Kind::Body => TemplateKind::Body,
        Kind::Mesh => TemplateKind::Mesh,
    });
    let made = std::fs::OpenOptions::new().write(true).create_new(true).open(path);
    match made.and_then(|mut f| f.write_all(text.as_bytes())) {
        Ok(()) => {
            print(&format!(
                "{} is yours to fill in; then run  maskwright plan {}\n",
                path.display(),
                path.display()
            ));
            GOOD
        }
        Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {
            tell(&format!(
                "error: {} is there already; nothing was changed\nhint: choose another name\n",
                path.display()
            ));
            NOT_WRITTEN
        }
        Err(e) => {
            tell(&format!("error: cannot write {}: {e}\n", path.display()));
            NOT_WRITTEN
        }
    }
}

fn rules(pack: Option<&str>) -> u8 {
    let Some(name) = pack else {
        print(&plan::rules::listing());
        return GOOD;
    };
    let text = match plan::rules::builtin().iter().find(|(id, _)| *id == name) {
        Some((_, text)) => (*text).to_owned(),
        None if name.ends_with(".toml") || name.contains(['/', '\\']) => match input::text(Path::new(name)) {
            Ok(text) => text,
            Err(why) => {
                tell(&format!("error: {why}\n"));
                return BAD_INPUT;
            }
        },
        None => {
            let known: Vec<&str> = plan::rules::builtin().iter().map(|(id, _)| *id).collect();
            tell(&format!("error: no rule pack is called {name}\nhint: there are {}\n", known.join(", ")));
            return BAD_INPUT;
        }
    };
    match plan::rules::Pack::read(name, &text) {
        Ok(pack) => {
            print(&plan::rules::show(&pack));
            GOOD
        }
        Err(problems) => {
            tell(&report::problems(name, &|_| Some(text.clone()), &problems, colour()));
            BAD_INPUT
        }
    }
}

/// Reads a job and plans it; every problem is told on stderr.
fn read_and_plan(path: &Path) -> Result<Plan, u8> {
    let text = input::text(path).map_err(|why| {
        tell(&format!("error: {why}\n"));
        BAD_INPUT
    })?;
    let beside = path.parent().unwrap_or(Path::new(""));
    plan_of(&text, beside).map_err(|problems| {
        let source = |file: &str| {
            if file.is_empty() { Some(text.clone()) } else { input::text(&beside.join(file)).ok() }
        };
        tell(&report::problems(&path.display().to_string(), &source, &problems, colour()));
        BAD_INPUT
    })
}

fn plan_of(text: &str, beside: &Path) -> Result<Plan, Vec<Problem>> {
    let job: Job = plan::job::read(text)?;
    let files = input::attachments(&job, beside)?;
    plan::run(&job, &files)
}

fn verdict_status(plan: &Plan) -> u8 {
    if plan.fails() { FAILS } else { GOOD }
}

fn colour() -> bool {
    std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none()
}

/// To stdout; a closed pipe ends the output, not the program.
pub(crate) fn print(text: &str) {
    let _ = std::io::stdout().write_all(text.as_bytes());
}

/// To stderr.
pub(crate) fn tell(text: &str) {
    let _ = anstream::stderr().write_all(text.as_bytes());
}
