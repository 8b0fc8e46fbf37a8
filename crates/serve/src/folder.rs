//! The folder of jobs: which there are, their text, and saving one so that nothing is lost.
//!
//! Only this file touches the disk for jobs. Nothing outside the folder is read or written, whatever a name or
//! a link says.

use plan::job::{Attachments, Job};
use plan::problem::Problem;
use std::fs::{self, File, TryLockError};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// Largest file a job may name, bytes (64 MiB). chosen: a large scan.
const LARGEST: u64 = 64 << 20;
/// Name of the file that keeps a second writer out.
const LOCK: &str = ".maskwright.lock";

/// What the name of a file begins with that is written beside the one it will replace; its writer's number follows.
const BESIDE: &str = ".writing-";

/// A folder of job files, held by one server at a time.
#[derive(Debug)]
pub struct Folder {
    root: PathBuf,
    // Held while a file is written beside: two jobs saved at once must not write into one another.
    writing: Mutex<()>,
    // Held, not read: the system lets go of it when the program ends, however it ends.
    _lock: File,
}

/// Why the folder, or a job in it, cannot be used; one sentence each.
#[derive(Debug)]
pub enum FolderError {
    /// The system said no.
    System(String),
    /// Another server holds the folder.
    Held,
    /// Not a name of a job file.
    BadName,
    /// There is no such job.
    NotThere,
    /// The file changed since it was read.
    Changed,
    /// A file of that name is there already.
    Exists,
}

impl std::fmt::Display for FolderError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            FolderError::System(why) => f.write_str(why),
            FolderError::Held => f.write_str("another maskwright serves this folder already"),
            FolderError::BadName => f.write_str(
                "a job file's name has letters, digits, points, hyphens and underscores, and ends in .toml",
            ),
            FolderError::NotThere => f.write_str("there is no such job in this folder"),
            FolderError::Changed => f.write_str("the file was changed elsewhere since you saw it"),
            FolderError::Exists => f.write_str("a file of that name is there already"),
        }
    }
}

impl Folder {
    /// Opens a folder and keeps other servers out of it.
    ///
    /// # Errors
    /// If it is no folder, cannot be written, or is held.
    pub fn open(path: &Path) -> Result<Folder, FolderError> {
        let said = |e: std::io::Error| FolderError::System(format!("cannot use {}: {e}", path.display()));
        let root = path.canonicalize().map_err(said)?;
        if !root.is_dir() {
            return Err(FolderError::System(format!("{} is not a folder", path.display())));
        }
        let lock = File::options().create(true).append(true).open(root.join(LOCK)).map_err(said)?;
        match lock.try_lock() {
            Ok(()) => {
                let folder = Folder { root, writing: Mutex::default(), _lock: lock };
                folder.sweep();
                Ok(folder)
            }
            Err(TryLockError::WouldBlock) => Err(FolderError::Held),
            Err(TryLockError::Error(e)) => Err(said(e)),
        }
    }

    /// Takes away what an earlier server was writing when it was cut off; what it stood for is as it was before.
    fn sweep(&self) {
        for entry in fs::read_dir(&self.root).into_iter().flatten().flatten() {
            let name = entry.file_name();
            let number = name.to_str().and_then(|n| n.strip_prefix(BESIDE));
            let own = number.is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()));
            if own && entry.file_type().is_ok_and(|t| t.is_file()) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }

    /// Names of the job files, in order of the alphabet.
    pub fn jobs(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.root).into_iter().flatten().flatten();
        let mut names: Vec<String> = entries
            .filter_map(|e| e.file_name().into_string().ok())
            .filter(|name| is_name(name) && self.inside(name).is_ok())
            .collect();
        names.sort();
        names
    }

    /// A job file's text.
    ///
    /// # Errors
    /// `BadName`, `NotThere`, or what the system said.
    pub fn read(&self, name: &str) -> Result<String, FolderError> {
        if !is_name(name) {
            return Err(FolderError::BadName);
        }
        let path = self.inside(name)?;
        let about = fs::metadata(&path).map_err(|_| FolderError::NotThere)?;
        if about.len() > plan::job::LARGEST_FILE as u64 {
            return Err(FolderError::System(format!(
                "{name} is {} bytes long, too large for a job",
                about.len()
            )));
        }
        let bytes = fs::read(&path).map_err(|e| FolderError::System(format!("cannot read {name}: {e}")))?;
        String::from_utf8(bytes).map_err(|_| FolderError::System(format!("{name} is not UTF-8 text")))
    }

    /// Saves a job whose text must still be `seen`: written beside, then renamed.
    ///
    /// # Errors
    /// `Changed` if it is not, and as `read`.
    pub fn save(&self, name: &str, seen: &str, text: &str) -> Result<(), FolderError> {
        if self.read(name)? != seen {
            return Err(FolderError::Changed);
        }
        self.put(&self.inside(name)?, text.as_bytes())
    }

    /// A new job file.
    ///
    /// # Errors
    /// `Exists`, `BadName`, or what the system said.
    pub fn create(&self, name: &str, text: &str) -> Result<(), FolderError> {
        if !is_name(name) {
            return Err(FolderError::BadName);
        }
        let path = self.root.join(name);
        if fs::symlink_metadata(&path).is_ok() {
            return Err(FolderError::Exists);
        }
        self.put(&path, text.as_bytes())
    }

    /// A file that comes with a sample job, unless one of its name is there.
    ///
    /// # Errors
    /// What the system said.
    pub fn put_if_absent(&self, name: &str, bytes: &[u8]) -> Result<(), FolderError> {
        let path = self.root.join(name);
        if fs::symlink_metadata(&path).is_ok() { Ok(()) } else { self.put(&path, bytes) }
    }

    /// Where a job's record is kept: one line of JSON an event, beside the job.
    ///
    /// # Errors
    /// `BadName`, or `NotThere` if the record is a link out of the folder.
    pub fn record_path(&self, name: &str) -> Result<PathBuf, FolderError> {
        let Some(stem) = name.strip_suffix(".toml").filter(|_| is_name(name)) else {
            return Err(FolderError::BadName);
        };
        let path = self.root.join(format!("{stem}.record.jsonl"));
        match fs::symlink_metadata(&path) {
            Ok(about) if !about.is_file() => Err(FolderError::NotThere),
            _ => Ok(path),
        }
    }

    /// The files a job names, if they are regular files under this folder; their contents are never quoted.
    ///
    /// # Errors
    /// Each that is not, at the place where the job names it.
    pub fn attachments(&self, job: &Job) -> Result<Attachments, Vec<Problem>> {
        let mut found = Attachments::default();
        let mut problems = Vec::new();
        for named in plan::job::files_named(job) {
            let bytes = self.inside(&named.value).and_then(|path| {
                let about = fs::metadata(&path).map_err(|_| FolderError::NotThere)?;
                if about.len() > LARGEST {
                    return Err(FolderError::System(String::from("it is too large to read")));
                }
                fs::read(&path).map_err(|_| FolderError::NotThere)
            });
            match bytes {
                Ok(bytes) => {
                    found.files.insert(named.value.clone(), bytes);
                }
                Err(_) => problems.push(
                    Problem::at(named.span.clone(), format!("cannot read {}", named.value))
                        .expected("a file in the job's folder")
                        .hint("put the file beside the job file and name it without a path"),
                ),
            }
        }
        if problems.is_empty() { Ok(found) } else { Err(problems) }
    }

    /// The real path of a regular file under this folder.
    fn inside(&self, relative: &str) -> Result<PathBuf, FolderError> {
        let path = self.root.join(relative).canonicalize().map_err(|_| FolderError::NotThere)?;
        if path.starts_with(&self.root) && path.is_file() { Ok(path) } else { Err(FolderError::NotThere) }
    }

    fn put(&self, path: &Path, bytes: &[u8]) -> Result<(), FolderError> {
        let _writing = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        // The process id keeps two programs apart, the lock two servers.
        let beside = self.root.join(format!("{BESIDE}{}", std::process::id()));
        let write = || {
            let mut file = File::create(&beside)?;
            file.write_all(bytes)?;
            file.sync_all()?;
            fs::rename(&beside, path)
        };
        write().map_err(|e| {
            let _ = fs::remove_file(&beside);
            FolderError::System(format!("cannot write {}: {e}", path.display()))
        })
    }
}

/// True for a plain file name that ends in `.toml`.
fn is_name(name: &str) -> bool {
    let sound = |c: char| c.is_ascii_alphanumeric() || "._-".contains(c);
    name.len() <= 100 && name.ends_with(".toml") && !name.starts_with('.') && name.chars().all(sound)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scratch(name: &str) -> PathBuf {
        let path = std::env::temp_dir().join(format!("maskwright-serve-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        path
    }

    #[test]
    fn nothing_outside_the_folder_is_read() {
        let at = scratch("outside");
        let shop = at.join("shop");
        fs::create_dir(&shop).unwrap();
        fs::write(at.join("secret.toml"), "title = 'secret'").unwrap();
        std::os::unix::fs::symlink(at.join("secret.toml"), shop.join("link.toml")).unwrap();
        let folder = Folder::open(&shop).unwrap();
        assert!(folder.read("link.toml").is_err());
        assert!(folder.read("../secret.toml").is_err());
        assert!(folder.jobs().is_empty());
        let text = "title = 'a'\nrules = '../secret.toml'\n";
        let job = plan::job::read(text).unwrap();
        let told = folder.attachments(&job).unwrap_err();
        assert_eq!(told.len(), 1);
        assert!(!format!("{told:?}").contains("title = 'secret'"));
    }

    #[test]
    fn a_save_over_a_changed_file_is_refused_and_loses_nothing() {
        let at = scratch("changed");
        let folder = Folder::open(&at).unwrap();
        folder.create("a.toml", "one").unwrap();
        fs::write(at.join("a.toml"), "two").unwrap();
        assert!(matches!(folder.save("a.toml", "one", "three"), Err(FolderError::Changed)));
        assert_eq!(folder.read("a.toml").unwrap(), "two");
        assert!(matches!(folder.create("a.toml", "four"), Err(FolderError::Exists)));
    }

    #[test]
    fn what_a_cut_off_server_left_half_written_is_swept_away() {
        let at = scratch("swept");
        fs::write(at.join(".writing-4711"), "half").unwrap();
        fs::write(at.join(".writing-notes"), "the painter's own").unwrap();
        fs::write(at.join("a.toml"), "title = 'a'").unwrap();
        let folder = Folder::open(&at).unwrap();
        assert!(!at.join(".writing-4711").exists());
        assert!(at.join(".writing-notes").exists());
        assert_eq!(folder.jobs(), ["a.toml"]);
    }

    #[test]
    fn two_jobs_saved_at_once_do_not_write_into_one_another() {
        let at = scratch("at-once");
        let folder = Folder::open(&at).unwrap();
        std::thread::scope(|scope| {
            for name in ["a.toml", "b.toml", "c.toml"] {
                let folder = &folder;
                scope.spawn(move || {
                    let mut seen = name.to_owned();
                    folder.create(name, &seen).unwrap();
                    for n in 0..60 {
                        let text = format!("{name} {n} {}", name.repeat(500 * n % 1000));
                        folder.save(name, &seen, &text).unwrap();
                        assert_eq!(folder.read(name).unwrap(), text);
                        seen = text;
                    }
                });
            }
        });
    }

    #[test]
    fn a_second_server_is_kept_out() {
        let at = scratch("held");
        let first = Folder::open(&at).unwrap();
        assert!(matches!(Folder::open(&at), Err(FolderError::Held)));
        drop(first);
        assert!(Folder::open(&at).is_ok());
    }
}
