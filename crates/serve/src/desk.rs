//! The desk: the jobs that lie open, each with its plan, its undo and redo, and the word that it changed.
//!
//! The file on disk is the only truth: every look reads it afresh, so that an edit by hand shows at once, and
//! a save is refused if the file is no longer the one that was seen.

use crate::edit::{self, Edit};
use crate::folder::{Folder, FolderError};
use crate::naming;
use plan::Plan;
use plan::problem::{Problem, line_and_column};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use tokio::sync::broadcast;

/// Edits that can be undone, a job. chosen: a long evening's work.
const MOST_UNDO: usize = 500;
/// Plans kept of a job. chosen: the one that is shown, and one to go back to.
const MOST_KEPT: usize = 2;
/// News kept for a slow listener. chosen: it asks for the whole when it missed some.
const NEWS: usize = 64;

/// Makes the files of a plan that take longer: the book, the patterns.
pub type MoreFiles = fn(&Plan) -> Vec<(String, Vec<u8>)>;

/// The jobs of a folder.
#[derive(Debug)]
pub struct Desk {
    /// Where they lie.
    pub folder: Folder,
    open: Mutex<BTreeMap<String, Arc<Job>>>,
    more: MoreFiles,
    /// Names of jobs that changed.
    pub news: broadcast::Sender<News>,
}

/// Word that a job, or its record, changed.
#[derive(Clone, Debug, Serialize)]
pub struct News {
    /// The job.
    pub job: String,
    /// `job` or `record`.
    pub what: &'static str,
    /// Its revision now, or how many events its record has.
    pub now: String,
}

/// A job on the desk.
#[derive(Debug, Default)]
struct Job {
    /// Held by who plans or changes it, one after the other. Nobody who only looks at what is there waits for it.
    turn: Mutex<()>,
    /// Held for a moment only, never while something is planned.
    open: Mutex<Open>,
}

#[derive(Debug, Default)]
struct Open {
    /// Its last plans, the one that is shown first: what is taken back need not be planned again.
    planned: Vec<Arc<Planned>>,
    undo: Vec<Change>,
    redo: Vec<Change>,
}

/// The text before and after.
#[derive(Debug)]
struct Change {
    /// Steps of one typing share it; empty for a step of its own.
    merge: String,
    /// What it is called.
    name: String,
    before: String,
    after: String,
}

/// A text with all its plan is made from.
struct Asked {
    text: String,
    revision: String,
    made_from: Result<(Arc<plan::job::Job>, plan::job::Attachments), Vec<Problem>>,
}

/// A job as its file says it, planned.
#[derive(Debug)]
pub struct Planned {
    /// The file's text.
    pub text: String,
    /// A short name of that text.
    pub revision: String,
    /// The job as it was read, if it could be.
    job: Option<Arc<plan::job::Job>>,
    /// The plan; `None` if the job cannot be used.
    pub plan: Option<Plan>,
    /// Why not.
    pub problems: Vec<Told>,
    files: OnceLock<Vec<(String, Vec<u8>)>>,
    more: MoreFiles,
    told: OnceLock<String>,
}

/// A problem as the page shows it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Told {
    /// The file; empty for the job file.
    pub file: String,
    /// Line in the job file, from 1.
    pub line: usize,
    /// What is wrong.
    pub message: String,
    /// What was expected.
    pub expected: String,
    /// What to do.
    pub hint: String,
}

/// Why the desk cannot do it.
#[derive(Debug)]
pub enum DeskError {
    /// The folder's word.
    Folder(FolderError),
    /// The edit makes the job unusable, or cannot be made.
    Refused(Vec<Told>),
    /// There is nothing to take back, or the file is not as the page left it.
    NothingToUndo,
}

impl From<FolderError> for DeskError {
    fn from(why: FolderError) -> DeskError {
        DeskError::Folder(why)
    }
}

/// A job with what the page needs to know of its undo.
#[derive(Debug)]
pub struct Seen {
    /// The job, planned.
    pub planned: Arc<Planned>,
    /// What the step is called that would be taken back; empty if there is none.
    pub undo: String,
    /// What the step is called that would be done again; empty if there is none.
    pub redo: String,
}

impl Desk {
    /// A desk over a folder.
    pub fn new(folder: Folder, more: MoreFiles) -> Desk {
        Desk { folder, open: Mutex::default(), more, news: broadcast::channel(NEWS).0 }
    }

    /// A job as it is on disk now. What is planned already is told at once, whoever plans meanwhile; what is not is
    /// planned once, for all who ask.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn look(&self, name: &str) -> Result<Seen, DeskError> {
        let job = self.open(name);
        let asked = self.asked(&job, self.folder.read(name)?);
        if let Some(seen) = job.seen(&asked) {
            return Ok(seen);
        }
        let _turn = lock(&job.turn);
        // It may have become another one while the one before was at it.
        let asked = self.asked(&job, self.folder.read(name)?);
        let planned = self.planned(&job, asked);
        Ok(job.show(planned))
    }

    /// A job as it was last looked at, without asking the disk or waiting for who plans: for a hand that drags, many
    /// times a second. What it lets go of is saved against the revision, so nothing rests on this.
    ///
    /// # Errors
    /// As `look`, if it was never looked at.
    pub fn at_hand(&self, name: &str) -> Result<Arc<Planned>, DeskError> {
        let kept = lock(&self.open(name).open).planned.first().cloned();
        match kept {
            Some(planned) => Ok(planned),
            None => Ok(self.look(name)?.planned),
        }
    }

    /// Changes a job that is still at `revision`. Changes one after the other with one `merge` key, such as the
    /// letters of a word as it is typed, are taken back as one.
    ///
    /// # Errors
    /// `Changed` if it is not; `Refused` if more would be wrong with the job than before.
    pub fn edit(&self, name: &str, revision: &str, edits: &[Edit], merge: &str) -> Result<Seen, DeskError> {
        let called = |text: &str| naming::name_of(edit::as_json(text).as_ref(), edits);
        self.change(name, revision, merge, called, |text| {
            edit::apply(text, edits).map_err(|why| DeskError::Refused(vec![Told::of(why)]))
        })
    }

    /// Puts a whole new text in place of one that is still at `revision`; it may be wrong, as when typed by hand.
    ///
    /// # Errors
    /// `Changed` if the file is another one by now.
    pub fn retype(&self, name: &str, revision: &str, text: &str) -> Result<Seen, DeskError> {
        self.change(name, revision, "", |_| String::from("the text by hand"), |_| Ok(text.to_owned()))
    }

    fn change(
        &self,
        name: &str,
        revision: &str,
        merge: &str,
        called: impl FnOnce(&str) -> String,
        make: impl FnOnce(&str) -> Result<String, DeskError>,
    ) -> Result<Seen, DeskError> {
        let job = self.open(name);
        // Who is too late is told so before anything is planned, and once more when it is his turn.
        let seen = |before: String| {
            let asked = self.asked(&job, before);
            if asked.revision == revision { Ok(asked) } else { Err(DeskError::Folder(FolderError::Changed)) }
        };
        seen(self.folder.read(name)?)?;
        let _turn = lock(&job.turn);
        let before = self.folder.read(name)?;
        let was = self.planned(&job, seen(before.clone())?);
        let after = make(&before)?;
        let now = self.planned(&job, self.asked(&job, after.clone()));
        let more_wrong: Vec<Told> =
            now.problems.iter().filter(|p| !told_before(p, &was.problems)).cloned().collect();
        if was.problems.len() < now.problems.len() && !more_wrong.is_empty() {
            return Err(DeskError::Refused(more_wrong));
        }
        if after == before {
            return Ok(job.show(now));
        }
        self.folder.save(name, &before, &after)?;
        {
            let open = &mut *lock(&job.open);
            open.redo.clear();
            match open.undo.last_mut().filter(|c| !merge.is_empty() && c.merge == merge && c.after == before)
            {
                Some(change) => change.after.clone_from(&after),
                None => {
                    let name = called(&before);
                    open.undo.push(Change { merge: merge.to_owned(), name, before, after });
                }
            }
            if MOST_UNDO < open.undo.len() {
                open.undo.remove(0);
            }
        }
        let seen = job.show(now);
        self.tell(name, &seen.planned);
        Ok(seen)
    }

    /// Takes the last change back, or does it again.
    ///
    /// # Errors
    /// If there is none, or the file is not as the page left it.
    pub fn step(&self, name: &str, back: bool) -> Result<Seen, DeskError> {
        let job = self.open(name);
        let _turn = lock(&job.turn);
        let text = self.folder.read(name)?;
        let wanted = {
            let open = &mut *lock(&job.open);
            let (from, to) =
                if back { (&mut open.undo, &mut open.redo) } else { (&mut open.redo, &mut open.undo) };
            let as_left = |c: &Change| if back { c.after == text } else { c.before == text };
            let change = from.pop_if(|c| as_left(c)).ok_or(DeskError::NothingToUndo)?;
            let wanted = if back { change.before.clone() } else { change.after.clone() };
            if let Err(why) = self.folder.save(name, &text, &wanted) {
                from.push(change);
                return Err(why.into());
            }
            to.push(change);
            wanted
        };
        let planned = self.planned(&job, self.asked(&job, wanted));
        let seen = job.show(planned);
        self.tell(name, &seen.planned);
        Ok(seen)
    }

    fn tell(&self, name: &str, planned: &Planned) {
        // No listener is no fault.
        let _ = self.news.send(News { job: name.to_owned(), what: "job", now: planned.revision.clone() });
    }

    /// What a text asks to be planned; one that is known is not read anew, only the files it names.
    fn asked(&self, job: &Job, text: String) -> Asked {
        let known = lock(&job.open).planned.iter().find(|p| p.text == text).and_then(|p| p.job.clone());
        let job = known.map_or_else(|| plan::job::read(&text).map(Arc::new), Ok);
        let made_from = job.and_then(|job| self.folder.attachments(&job).map(|files| (job, files)));
        let revision = revision_of(&text, made_from.as_ref().ok().map(|(_, files)| files));
        Asked { text, revision, made_from }
    }

    /// Its plan, one that is kept or a new one; `job.turn` is held, so that nothing is planned twice.
    fn planned(&self, job: &Job, asked: Asked) -> Arc<Planned> {
        if let Some(kept) = job.kept(&asked) {
            return kept;
        }
        let Asked { text, revision, made_from } = asked;
        let read = made_from.as_ref().ok().map(|(job, _)| job.clone());
        let (plan, problems) = match made_from.and_then(|(job, files)| plan::run(&job, &files)) {
            Ok(plan) => (Some(plan), vec![]),
            Err(problems) => (None, problems.iter().map(|p| Told::problem(p, &text)).collect()),
        };
        let (files, told) = (OnceLock::new(), OnceLock::new());
        Arc::new(Planned { text, revision, job: read, plan, problems, files, more: self.more, told })
    }

    /// A job's own place on the desk: who plans one keeps nobody at another waiting.
    fn open(&self, name: &str) -> Arc<Job> {
        lock(&self.open).entry(name.to_owned()).or_default().clone()
    }
}

impl Job {
    /// The plan of what is asked, if it is kept.
    fn kept(&self, asked: &Asked) -> Option<Arc<Planned>> {
        lock(&self.open).planned.iter().find(|p| p.revision == asked.revision).cloned()
    }

    /// What is asked with its undo, if its plan is the last one shown.
    fn seen(&self, asked: &Asked) -> Option<Seen> {
        let open = lock(&self.open);
        open.planned.first().filter(|p| p.revision == asked.revision).map(|p| open.seen(p))
    }

    /// Puts a plan on top.
    fn show(&self, planned: Arc<Planned>) -> Seen {
        let mut open = lock(&self.open);
        open.planned.retain(|p| p.revision != planned.revision);
        open.planned.insert(0, planned.clone());
        open.planned.truncate(MOST_KEPT);
        open.seen(&planned)
    }
}

impl Open {
    fn seen(&self, planned: &Arc<Planned>) -> Seen {
        let named = |steps: &[Change]| steps.last().map_or_else(String::new, |c| c.name.clone());
        Seen { planned: planned.clone(), undo: named(&self.undo), redo: named(&self.redo) }
    }
}

/// A value as JSON text.
fn text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_else(|_| "null".to_owned())
}

/// What is kept behind these locks can be made again from the files, whoever fell while holding one.
fn lock<T>(held: &Mutex<T>) -> MutexGuard<'_, T> {
    held.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Planned {
    /// The job and its plan as JSON, made once: the fields of an object, without its braces.
    pub fn told(&self, name: &str) -> &str {
        self.told.get_or_init(|| {
            format!(
                "\"name\":{},\"revision\":{},\"job\":{},\"text\":{},\"problems\":{},\"plan\":{}",
                text(&name),
                text(&self.revision),
                text(&edit::as_json(&self.text)),
                text(&self.text),
                text(&self.problems),
                self.plan.as_ref().map_or_else(|| "null".to_owned(), Plan::plan_json),
            )
        })
    }

    /// A file of the plan: `plan.json`, a drawing, the book.
    pub fn file(&self, path: &str) -> Option<&[u8]> {
        let plan = self.plan.as_ref()?;
        let files = self.files.get_or_init(|| (self.more)(plan));
        files.iter().find(|(name, _)| name == path).map(|(_, bytes)| bytes.as_slice())
    }

    /// Paths of all of them.
    pub fn paths(&self) -> Vec<&str> {
        let Some(plan) = &self.plan else { return vec![] };
        self.files.get_or_init(|| (self.more)(plan)).iter().map(|(name, _)| name.as_str()).collect()
    }
}

impl Told {
    fn of(message: String) -> Told {
        Told { file: String::new(), line: 1, message, expected: String::new(), hint: String::new() }
    }

    fn problem(p: &Problem, text: &str) -> Told {
        Told {
            file: p.file.clone(),
            line: if p.file.is_empty() { line_and_column(text, p.span.start).0 } else { 0 },
            message: p.message.clone(),
            expected: p.expected.clone(),
            hint: p.hint.clone(),
        }
    }
}

/// A problem is an old one if its words were told before, on whichever line.
fn told_before(p: &Told, before: &[Told]) -> bool {
    before.iter().any(|b| b.message == p.message && b.file == p.file)
}

/// A short name of a text and the files it names (FNV-1a, 64 bit): two windows compare it, nobody attacks it.
fn revision_of(text: &str, files: Option<&plan::job::Attachments>) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let mut eat = |bytes: &[u8]| {
        for b in bytes {
            hash = (hash ^ u64::from(*b)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    };
    eat(text.as_bytes());
    for (name, bytes) in files.into_iter().flat_map(|f| &f.files) {
        eat(name.as_bytes());
        eat(bytes);
    }
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::Step;
    use std::sync::mpsc;
    use std::time::Duration;

    const DEMO: &str = include_str!("../../../hangar/01-parasol-wing/job.toml");

    /// Longest wait for what must come at once; a desk that holds somebody up fails by it.
    const PATIENCE: Duration = Duration::from_secs(60);

    fn desk(name: &str) -> Arc<Desk> {
        let at = std::env::temp_dir().join(format!("maskwright-desk-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&at);
        std::fs::create_dir_all(&at).unwrap();
        let section = include_bytes!("../../../hangar/01-parasol-wing/naca-4412.dat");
        std::fs::write(at.join("naca-4412.dat"), section).unwrap();
        let folder = Folder::open(&at).unwrap();
        folder.create("a.toml", DEMO).unwrap();
        Arc::new(Desk::new(folder, |_| vec![]))
    }

    fn moved(s: f64) -> Vec<Edit> {
        let path = ["mark", "", "place", "at", ""].map(|k| match k {
            "" => Step::At(0),
            key => Step::Key(key.to_owned()),
        });
        vec![Edit { path: path.to_vec(), value: s.into() }]
    }

    #[test]
    fn who_looks_or_drags_or_is_too_late_does_not_wait_for_who_plans() {
        let desk = desk("turn");
        let first = desk.look("a.toml").unwrap().planned.revision.clone();
        let now = desk.edit("a.toml", &first, &moved(81.0), "").unwrap().planned.revision.clone();
        let job = desk.open("a.toml");
        // Somebody plans, for as long as this is held.
        let turn = lock(&job.turn);
        let (tell, told) = mpsc::channel();
        let others = desk.clone();
        std::thread::spawn(move || {
            let seen = others.look("a.toml").unwrap().planned.revision.clone();
            let held = others.at_hand("a.toml").unwrap().revision.clone();
            let late = others.edit("a.toml", &first, &moved(82.0), "");
            let late = matches!(late, Err(DeskError::Folder(FolderError::Changed)));
            tell.send((seen, held, late)).unwrap();
        });
        assert_eq!(told.recv_timeout(PATIENCE).unwrap(), (now.clone(), now, true));
        drop(turn);
    }

    #[test]
    fn what_many_ask_for_at_once_is_planned_once() {
        let desk = desk("once");
        let first = desk.look("a.toml").unwrap().planned;
        desk.folder.save("a.toml", DEMO, &DEMO.replace("height = 30", "height = 29")).unwrap();
        let seen: Vec<Arc<Planned>> = std::thread::scope(|scope| {
            let asked: Vec<_> =
                (0..50).map(|_| scope.spawn(|| desk.look("a.toml").unwrap().planned)).collect();
            asked.into_iter().map(|a| a.join().unwrap()).collect()
        });
        assert!(seen.iter().all(|p| Arc::ptr_eq(p, &seen[0])));
        assert_ne!(seen[0].revision, first.revision);
    }

    #[test]
    fn what_is_taken_back_is_there_already() {
        let desk = desk("back");
        let first = desk.look("a.toml").unwrap().planned;
        let second = desk.edit("a.toml", &first.revision, &moved(83.0), "").unwrap().planned;
        let back = desk.step("a.toml", true).unwrap();
        assert!(Arc::ptr_eq(&back.planned, &first));
        assert_eq!(back.undo, "");
        let again = desk.step("a.toml", false).unwrap();
        assert!(Arc::ptr_eq(&again.planned, &second));
        assert_eq!(desk.folder.read("a.toml").unwrap(), second.text);
        // What is refused is neither saved nor shown.
        let wrong = Edit { path: vec![Step::Key("title".to_owned())], value: serde_json::Value::Null };
        assert!(desk.edit("a.toml", &second.revision, &[wrong], "").is_err());
        assert!(Arc::ptr_eq(&desk.look("a.toml").unwrap().planned, &second));
    }
}
