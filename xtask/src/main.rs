//! The workshop's own chores: `cargo xtask ci` is what a change must pass; each step can be run by name.
//!
//! Steps run in the order given. `ci` is all of them. What a person's machine lacks (Python for the outside
//! checks) is named and skipped; where the environment says `CI=true` nothing is skipped.

mod outside;
mod page;

use std::env;
use std::process::{Command, ExitCode};

/// A step: its name, what it does, how.
type Step = (&'static str, &'static str, fn() -> Result<(), String>);

const STEPS: &[Step] = &[
    ("fmt", "formatting is as rustfmt has it", fmt),
    ("clippy", "no lint speaks up", clippy),
    ("test", "unit, property, command-line and tidy tests, one optimised build with assertions", test),
    ("doc", "documentation builds without a warning", doc),
    ("outside", "other people's readers and solvers agree with what we write", outside::run),
    ("page", "a job is done on the page in a real browser", page::run),
];

fn main() -> ExitCode {
    let mut names: Vec<String> = env::args().skip(1).collect();
    if names.iter().any(|n| n == "ci") {
        names = STEPS.iter().map(|s| s.0.to_owned()).collect();
    }
    let unknown: Vec<&String> =
        names.iter().filter(|n| *n != "bench" && !STEPS.iter().any(|s| s.0 == **n)).collect();
    if names.is_empty() || !unknown.is_empty() {
        say("usage: cargo xtask ci | bench | STEP...");
        for (name, what, _) in STEPS {
            say(&format!("  {name:8} {what}"));
        }
        return ExitCode::from(2);
    }
    for name in names {
        say(&format!("== {name}"));
        let result = match STEPS.iter().find(|s| s.0 == name) {
            Some((_, _, step)) => step(),
            None => bench(),
        };
        if let Err(why) = result {
            say(&format!("{name} failed: {why}"));
            return ExitCode::FAILURE;
        }
    }
    say("all steps passed");
    ExitCode::SUCCESS
}

fn fmt() -> Result<(), String> {
    cargo(&["fmt", "--all", "--check"])
}

fn clippy() -> Result<(), String> {
    cargo(&["clippy", "--workspace", "--all-targets", "--profile", "ci", "--", "-D", "warnings"])
}

fn test() -> Result<(), String> {
    cargo(&["test", "--workspace", "--profile", "ci"])
}

fn doc() -> Result<(), String> {
    call(
        Command::new(cargo_path())
            .args(["doc", "--workspace", "--no-deps"])
            .env("RUSTDOCFLAGS", "-D warnings"),
    )
}

/// Times of the whole program and its kernels; a report, never a test.
fn bench() -> Result<(), String> {
    cargo(&["bench", "--workspace"])?;
    outside::memory()
}

fn cargo(args: &[&str]) -> Result<(), String> {
    call(Command::new(cargo_path()).args(args))
}

fn cargo_path() -> String {
    env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned())
}

/// Runs a command to its end; what it prints goes straight through.
pub(crate) fn call(command: &mut Command) -> Result<(), String> {
    let shown = format!("{command:?}");
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(format!("{shown} ended with {status}")),
        Err(e) => Err(format!("{shown} could not be started: {e}")),
    }
}

#[allow(clippy::print_stderr, reason = "a chore tells the terminal how far it is")]
pub(crate) fn say(line: &str) {
    eprintln!("{line}");
}
