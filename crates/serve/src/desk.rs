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
/// News kept for a slow listener. chosen: it asks for the whole when it missed some.
const NEWS: usize = 64;

/// Makes the files of a plan that take longer: the book, the patterns.
pub type MoreFiles = fn(&Plan) -> Vec<(String, Vec<u8>)>;

/// The jobs of a folder.
#[derive(Debug)]
pub struct Desk {
    /// Where they lie.
    pub folder: Folder,
    open: Mutex<BTreeMap<String, Arc<Mutex<Open>>>>,
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

#[derive(Debug, Default)]
struct Open {
    planned: Option<Arc<Planned>>,
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

/// A job as its file says it, planned.
#[derive(Debug)]
pub struct Planned {
    /// The file's text.
    pub text: String,
    /// A short name of that text.
    pub revision: String,
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

    /// A job as it is on disk now.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn look(&self, name: &str) -> Result<Seen, DeskError> {
        let text = self.folder.read(name)?;
        let held = self.open(name);
        let job = &mut *lock(&held);
        Ok(self.seen(job, text))
    }

    /// A job as it was last looked at, without asking the disk: for a hand that drags, many times a second. What
    /// it lets go of is saved against the revision, so nothing rests on this.
    ///
    /// # Errors
    /// As `look`, if it was never looked at.
    pub fn at_hand(&self, name: &str) -> Result<Arc<Planned>, DeskError> {
        let held = self.open(name);
        let kept = lock(&held).planned.clone();
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
        let before = self.folder.read(name)?;
        let held = self.open(name);
        let job = &mut *lock(&held);
        let was = self.seen(job, before.clone()).planned;
        if was.revision != revision {
            return Err(FolderError::Changed.into());
        }
        let after = make(&before)?;
        let now = self.plan(job, &after);
        let more_wrong: Vec<Told> =
            now.problems.iter().filter(|p| !told_before(p, &was.problems)).cloned().collect();
        if was.problems.len() < now.problems.len() && !more_wrong.is_empty() {
            job.planned = Some(was);
            return Err(DeskError::Refused(more_wrong));
        }
        if after != before {
            self.folder.save(name, &before, &after)?;
            job.redo.clear();
            match job.undo.last_mut().filter(|c| !merge.is_empty() && c.merge == merge && c.after == before) {
                Some(change) => change.after.clone_from(&after),
                None => {
                    let name = called(&before);
                    job.undo.push(Change { merge: merge.to_owned(), name, before, after: after.clone() });
                }
            }
            if MOST_UNDO < job.undo.len() {
                job.undo.remove(0);
            }
            self.tell(name, &now);
        }
        Ok(self.seen(job, after))
    }

    /// Takes the last change back, or does it again.
    ///
    /// # Errors
    /// If there is none, or the file is not as the page left it.
    pub fn step(&self, name: &str, back: bool) -> Result<Seen, DeskError> {
        let text = self.folder.read(name)?;
        let held = self.open(name);
        let job = &mut *lock(&held);
        let (from, to) = if back { (&mut job.undo, &mut job.redo) } else { (&mut job.redo, &mut job.undo) };
        let as_left = |c: &Change| if back { c.after == text } else { c.before == text };
        let change = from.pop_if(|c| as_left(c)).ok_or(DeskError::NothingToUndo)?;
        let wanted = if back { change.before.clone() } else { change.after.clone() };
        if let Err(why) = self.folder.save(name, &text, &wanted) {
            from.push(change);
            return Err(why.into());
        }
        to.push(change);
        let seen = self.seen(job, wanted);
        self.tell(name, &seen.planned);
        Ok(seen)
    }

    fn tell(&self, name: &str, planned: &Planned) {
        // No listener is no fault.
        let _ = self.news.send(News { job: name.to_owned(), what: "job", now: planned.revision.clone() });
    }

    fn seen(&self, job: &mut Open, text: String) -> Seen {
        let planned = self.plan(job, &text);
        let named = |steps: &[Change]| steps.last().map_or_else(String::new, |c| c.name.clone());
        Seen { planned, undo: named(&job.undo), redo: named(&job.redo) }
    }

    /// The plan of a text; the last one is kept, and stands as long as nothing it was made from changed.
    fn plan(&self, job: &mut Open, text: &str) -> Arc<Planned> {
        let parsed = plan::job::read(text);
        let files = parsed.as_ref().map_err(Clone::clone).and_then(|job| self.folder.attachments(job));
        let revision = revision_of(text, files.as_ref().ok());
        if let Some(kept) = job.planned.as_ref().filter(|p| p.revision == revision) {
            return kept.clone();
        }
        let made = match (&parsed, &files) {
            (Ok(job), Ok(files)) => plan::run(job, files),
            (Err(why), _) | (_, Err(why)) => Err(why.clone()),
        };
        let (plan, problems) = match made {
            Ok(plan) => (Some(plan), vec![]),
            Err(problems) => (None, problems.iter().map(|p| Told::problem(p, text)).collect()),
        };
        let planned = Arc::new(Planned {
            text: text.to_owned(),
            revision,
            plan,
            problems,
            files: OnceLock::new(),
            more: self.more,
            told: OnceLock::new(),
        });
        job.planned = Some(planned.clone());
        planned
    }

    /// A job's own lock: one that plans keeps no other waiting.
    fn open(&self, name: &str) -> Arc<Mutex<Open>> {
        lock(&self.open).entry(name.to_owned()).or_default().clone()
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
