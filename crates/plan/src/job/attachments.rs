//! Contents of the files a job names: sections, scans, fonts, rule packs.
//!
//! Whoever runs the pipeline reads them and hands them over; the pipeline itself opens nothing.

use std::collections::BTreeMap;

/// Files by their path as it is written in the job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Attachments {
    /// Path as written, and the file's bytes.
    pub files: BTreeMap<String, Vec<u8>>,
}
