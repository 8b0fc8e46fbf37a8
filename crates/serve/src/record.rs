//! The record of a job: what was laid, shot, pulled, measured and counted, and when, by the server's clock.
//!
//! One line of JSON an event, only ever added to: a step taken back is one more event. The file outlives the
//! program, the phone and the battery, and a person can read it.

use crate::clock;
use crate::folder::{Folder, FolderError};
use serde::{Deserialize, Serialize};
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::sync::{Mutex, PoisonError};

/// Longest text in an event, characters. chosen: a remark, not a letter.
const LONGEST: usize = 2000;
/// Most events a record takes. chosen: fifty times the pieces of a large job.
const MOST: usize = 50_000;

/// What the page says happened.
#[derive(Clone, Debug, Deserialize, Serialize, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct Said {
    /// Made by the page, so that an event sent twice over a bad connection is kept once.
    pub key: String,
    /// `laid`, `pulled`, `unmasked`, `undone`, `shot`, `measured`, `counted`, `note`, `timer`.
    pub what: String,
    /// What it is about: the mark and piece, the coat, the cover, the measure.
    pub about: String,
    /// The value, if there is one: a figure, initials, words.
    #[serde(default)]
    pub value: String,
}

/// An event with its number and time.
#[derive(Clone, Debug, Deserialize, Serialize, PartialEq)]
pub struct Event {
    /// From 0.
    pub n: usize,
    /// Milliseconds since 1970, by the server's clock.
    pub at_ms: u64,
    /// What happened.
    #[serde(flatten)]
    pub said: Said,
}

/// Kinds of event.
const WHATS: [&str; 9] =
    ["laid", "pulled", "unmasked", "undone", "shot", "measured", "counted", "note", "timer"];

/// Keeps two writers of one server apart.
#[derive(Debug, Default)]
pub struct Records {
    writing: Mutex<()>,
}

impl Records {
    /// All events of a job; lines that are no event are passed over.
    ///
    /// # Errors
    /// `BadName`, or what the system said.
    pub fn read(&self, folder: &Folder, job: &str) -> Result<Vec<Event>, FolderError> {
        let path = folder.record_path(job)?;
        let text = match fs::read_to_string(&path) {
            Ok(text) => text,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(e) => return Err(FolderError::System(format!("cannot read the record of {job}: {e}"))),
        };
        let events = text.lines().filter_map(|line| serde_json::from_str::<Event>(line).ok());
        Ok(events.enumerate().map(|(n, e)| Event { n, ..e }).collect())
    }

    /// Adds an event, unless one of its key is there; gives all of them.
    ///
    /// # Errors
    /// If it is no event, the record is full, or the system says no.
    pub fn add(&self, folder: &Folder, job: &str, said: Said) -> Result<Vec<Event>, FolderError> {
        let _one_at_a_time = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let texts = [&said.key, &said.what, &said.about, &said.value];
        if texts.iter().any(|t| LONGEST < t.chars().count()) || said.key.is_empty() {
            return Err(FolderError::System("that is too long for the record".to_owned()));
        }
        if !WHATS.contains(&said.what.as_str()) {
            return Err(FolderError::System(format!("`{}` is nothing a record keeps", said.what)));
        }
        // A record belongs to a job that is there.
        folder.read(job)?;
        let mut events = self.read(folder, job)?;
        if events.iter().any(|e| e.said.key == said.key) {
            return Ok(events);
        }
        if MOST <= events.len() {
            return Err(FolderError::System("the record is full; put it away under another name".to_owned()));
        }
        let event = Event { n: events.len(), at_ms: clock::now_ms(), said };
        let line = serde_json::to_string(&event).map_err(|e| FolderError::System(e.to_string()))?;
        let path = folder.record_path(job)?;
        let write = || {
            let mut file = OpenOptions::new().create(true).append(true).open(&path)?;
            // A line cut off by a power failure must not swallow the next one.
            let cut_off = fs::read(&path)?.last().is_some_and(|b| *b != b'\n');
            file.write_all(format!("{}{line}\n", if cut_off { "\n" } else { "" }).as_bytes())?;
            file.sync_all()
        };
        write().map_err(|e| FolderError::System(format!("cannot write the record of {job}: {e}")))?;
        events.push(event);
        Ok(events)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(key: &str) -> Said {
        Said { key: key.into(), what: "pulled".into(), about: "reg/3".into(), value: String::new() }
    }

    #[test]
    fn an_event_sent_twice_is_kept_once_and_a_torn_line_loses_only_itself() {
        let at = std::env::temp_dir().join(format!("maskwright-record-{}", std::process::id()));
        let _ = fs::remove_dir_all(&at);
        fs::create_dir_all(&at).unwrap();
        fs::write(at.join("a.toml"), "title = 'a'").unwrap();
        let folder = Folder::open(&at).unwrap();
        let records = Records::default();
        records.add(&folder, "a.toml", said("k1")).unwrap();
        assert_eq!(records.add(&folder, "a.toml", said("k1")).unwrap().len(), 1);
        let path = at.join("a.record.jsonl");
        let whole = fs::read_to_string(&path).unwrap();
        fs::write(&path, format!("{whole}{{\"n\":1,\"at")).unwrap();
        assert_eq!(records.add(&folder, "a.toml", said("k2")).unwrap().len(), 2);
        assert_eq!(records.read(&folder, "a.toml").unwrap().len(), 2);
        assert!(records.add(&folder, "b.toml", said("k3")).is_err());
        assert!(records.add(&folder, "a.toml", Said { what: "eaten".into(), ..said("k4") }).is_err());
    }
}
