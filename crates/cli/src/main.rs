//! The program `maskwright`: what was typed -> what is meant -> files and words on the terminal.
//!
//! Exit status: 0 a plan was made and nothing fails; 1 a plan was made and something in it fails; 2 the input
//! cannot be used; 3 the plan could not be written. Data goes to stdout, messages to stderr. Only this crate
//! reads and writes files and prints.

mod args;
mod folder;
mod input;
mod report;
mod run;
mod serve_page;

use std::process::ExitCode;

fn main() -> ExitCode {
    let typed = match args::read() {
        Ok(typed) => typed,
        Err(status) => return status,
    };
    ExitCode::from(run::run(typed))
}
