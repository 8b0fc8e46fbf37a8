//! The plan's folder: written beside, then swapped in whole, so that nothing half-written ever lies there.
//!
//! `manifest.txt` lists the files of the last run, one path a line. A later run replaces exactly those: what
//! it no longer writes is removed, and a file that is not on the list is never touched.

use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

const MANIFEST: &str = "manifest.txt";
const MANIFEST_HEAD: &str =
    "# Files of this plan; a new run replaces them. Keep your own files under other names.";

/// A file to write: its path below the folder, with forward slashes, and its bytes.
pub(crate) struct NewFile {
    pub(crate) path: String,
    pub(crate) bytes: Vec<u8>,
}

/// Why a folder could not be written.
#[derive(Debug)]
pub(crate) enum WriteError {
    /// The system said no.
    System { path: PathBuf, error: io::Error },
    /// A file of somebody else's lies where one of ours should go.
    NotOurs { path: PathBuf },
}

impl std::fmt::Display for WriteError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            WriteError::System { path, error } => write!(f, "cannot write {}: {error}", path.display()),
            WriteError::NotOurs { path } => write!(
                f,
                "{} is there already and is not from an earlier plan\nhint: move it away, or choose another folder with -o",
                path.display()
            ),
        }
    }
}

/// Writes the files and the manifest into `folder`, all or nothing.
pub(crate) fn write(folder: &Path, files: &[NewFile]) -> Result<(), WriteError> {
    let at = |path: &Path| {
        let path = path.to_owned();
        move |error| WriteError::System { path, error }
    };
    let ours = manifest(folder);
    for file in files {
        let target = folder.join(&file.path);
        if fs::symlink_metadata(&target).is_ok() && !ours.contains(&file.path) {
            return Err(WriteError::NotOurs { path: target });
        }
    }
    let made_folder = !folder.exists();
    fs::create_dir_all(folder).map_err(at(folder))?;
    // The process id keeps two runs apart; both names are gone when the run ends.
    let stage = folder.join(format!(".writing-{}", std::process::id()));
    let result = stage_and_swap(folder, &stage, files, &ours);
    let _ = fs::remove_dir_all(&stage);
    if result.is_err() && made_folder {
        let _ = fs::remove_dir_all(folder);
    }
    result
}

fn stage_and_swap(folder: &Path, stage: &Path, files: &[NewFile], ours: &[String]) -> Result<(), WriteError> {
    let system = |path: &Path, error| WriteError::System { path: path.to_owned(), error };
    let (fresh, old) = (stage.join("new"), stage.join("old"));
    let mut list = String::from(MANIFEST_HEAD);
    list.push('\n');
    for file in files {
        list.push_str(&file.path);
        list.push('\n');
        put(&fresh.join(&file.path), &file.bytes)?;
    }
    put(&fresh.join(MANIFEST), list.as_bytes())?;

    // Everything is on disk; from here on only names change, and each change can be undone.
    let mut undo: Vec<(PathBuf, PathBuf)> = Vec::new();
    let mut step = |from: PathBuf, to: PathBuf| -> Result<(), WriteError> {
        if let Some(parent) = to.parent() {
            fs::create_dir_all(parent).map_err(|e| system(parent, e))?;
        }
        fs::rename(&from, &to).map_err(|e| system(&to, e))?;
        undo.push((to, from));
        Ok(())
    };
    let outgoing = ours.iter().map(String::as_str).chain([MANIFEST]);
    let result = outgoing
        .filter(|p| fs::symlink_metadata(folder.join(p)).is_ok())
        .try_for_each(|p| step(folder.join(p), old.join(p)))
        .and_then(|()| {
            let incoming = files.iter().map(|f| f.path.as_str()).chain([MANIFEST]);
            incoming.clone().try_for_each(|p| step(fresh.join(p), folder.join(p)))
        });
    if result.is_err() {
        for (to, from) in undo.iter().rev() {
            let _ = fs::rename(to, from);
        }
    } else {
        for path in ours {
            remove_empty_parents(folder, path);
        }
    }
    result
}

fn put(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let system = |error| WriteError::System { path: path.to_owned(), error };
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent).map_err(system)?;
    }
    fs::write(path, bytes).map_err(system)
}

/// The paths an earlier run listed; paths that lead out of the folder are not believed.
fn manifest(folder: &Path) -> Vec<String> {
    let text = fs::read_to_string(folder.join(MANIFEST)).unwrap_or_default();
    if !text.starts_with(MANIFEST_HEAD) {
        return vec![];
    }
    let stays_inside = |p: &&str| Path::new(p).components().all(|c| matches!(c, Component::Normal(_)));
    text.lines().skip(1).filter(|l| !l.is_empty()).filter(stays_inside).map(str::to_owned).collect()
}

/// Removes folders the earlier run left empty, up to the plan's own folder.
fn remove_empty_parents(folder: &Path, path: &str) {
    for parent in Path::new(path).ancestors().skip(1).filter(|p| !p.as_os_str().is_empty()) {
        if fs::remove_dir(folder.join(parent)).is_err() {
            return;
        }
    }
}
