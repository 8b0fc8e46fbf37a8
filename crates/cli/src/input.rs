//! Reading what a job names: the job file itself and the files beside it.

use plan::problem::Problem;
use std::fs;
use std::path::{Path, PathBuf};

/// Largest input file that is read, bytes (64 MiB). The job reader has a smaller limit of its own.
const LARGEST: u64 = 64 << 20;

/// A file's bytes, or why not in words.
pub(crate) fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let about = fs::metadata(path).map_err(|e| format!("cannot read {}: {e}", path.display()))?;
    if !about.is_file() {
        return Err(format!("{} is not a file", path.display()));
    }
    if about.len() > LARGEST {
        return Err(format!("{} is {} MiB, too large to read", path.display(), about.len() >> 20));
    }
    fs::read(path).map_err(|e| format!("cannot read {}: {e}", path.display()))
}

/// A text file's text, or why not in words.
pub(crate) fn text(path: &Path) -> Result<String, String> {
    let bytes = bytes(path)?;
    String::from_utf8(bytes).map_err(|e| {
        let before = e.utf8_error().valid_up_to();
        let line = e.as_bytes()[..before].iter().filter(|b| **b == b'\n').count() + 1;
        format!("{} is not UTF-8 text: strange byte in line {line}", path.display())
    })
}

/// The files a job names, read from beside the job file. A file that cannot be read is a problem at the place
/// where the job names it; its contents are never quoted.
pub(crate) fn attachments(
    job: &plan::job::Job,
    beside: &Path,
) -> Result<plan::job::Attachments, Vec<Problem>> {
    let mut found = plan::job::Attachments::default();
    let mut problems = Vec::new();
    for named in plan::job::files_named(job) {
        match bytes(&resolve(beside, &named.value)) {
            Ok(bytes) => {
                found.files.insert(named.value.clone(), bytes);
            }
            Err(why) => problems.push(
                Problem::at(named.span.clone(), why).hint("paths are taken from the folder of the job file"),
            ),
        }
    }
    if problems.is_empty() { Ok(found) } else { Err(problems) }
}

fn resolve(beside: &Path, named: &str) -> PathBuf {
    beside.join(named)
}
