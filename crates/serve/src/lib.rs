//! The page of a job, for the laptop on the bench and the phone in the hangar: a small web server on loopback,
//! or on the local network if asked, with its page inside the program. It makes no request of its own.
//!
//! `folder` keeps the job files, `edit` changes their text, `remarks` says which comments go with what is taken out,
//! `naming` what a change is called; `desk` holds what lies open with its plans, `record` what was done; `listen`
//! takes connections, `guard` turns strangers away, `api` and `looks` answer, `words` are the words a key may hold,
//! `assets` the page's files.

mod api;
mod assets;
mod clock;
pub mod desk;
pub mod edit;
pub mod folder;
mod guard;
mod listen;
mod looks;
mod naming;
pub mod record;
mod remarks;
mod server;
pub mod square_code;
mod words;

pub use server::{ServeError, Server, Settings};
