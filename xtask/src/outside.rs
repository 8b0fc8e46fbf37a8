//! Second opinions: scripts in `tests/outside` that read what we write with other people's libraries.
//!
//! They run in a Python environment of their own (`.venv`, versions pinned in
//! `tests/outside/requirements.txt`), made here when it is missing or out of date.

use crate::{call, say};
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Runs every outside check.
pub(crate) fn run() -> Result<(), String> {
    let Some(python) = environment()? else { return Ok(()) };
    let root = root();
    // The scripts ask cargo for our own examples and program; the build of the tests serves them too.
    call(Command::new(env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned())).current_dir(&root).args([
        "build",
        "--workspace",
        "--examples",
        "--bins",
        "--profile",
        "ci",
    ]))?;
    call(Command::new(python).current_dir(&root).args(["tests/outside/run.py", "target/ci"]))
}

/// Prints the most memory the program needs for the demo and a check.
pub(crate) fn memory() -> Result<(), String> {
    let Some(python) = environment()? else { return Ok(()) };
    call(
        Command::new(python)
            .current_dir(root())
            .args(["tests/outside/memory.py", "target/release/maskwright"]),
    )
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().map_or_else(PathBuf::new, Path::to_path_buf)
}

/// The environment's Python, made if need be; `None` if this machine has no Python and may go without.
fn environment() -> Result<Option<PathBuf>, String> {
    let root = root();
    let wanted =
        fs::read_to_string(root.join("tests/outside/requirements.txt")).map_err(|e| e.to_string())?;
    let stamp = root.join(".venv/installed.txt");
    let python = root.join(if cfg!(windows) { ".venv/Scripts/python.exe" } else { ".venv/bin/python" });
    if python.exists() && fs::read_to_string(&stamp).is_ok_and(|have| have == wanted) {
        return Ok(Some(python));
    }
    let made =
        call(Command::new("python3").current_dir(&root).args(["-m", "venv", ".venv"])).and_then(|()| {
            call(Command::new(&python).current_dir(&root).args([
                "-m",
                "pip",
                "install",
                "--quiet",
                "--disable-pip-version-check",
                "-r",
                "tests/outside/requirements.txt",
            ]))
        });
    match made {
        Ok(()) => {
            fs::write(&stamp, wanted).map_err(|e| e.to_string())?;
            Ok(Some(python))
        }
        Err(why) if env::var("CI").is_ok_and(|v| v == "true") => Err(why),
        Err(why) => {
            say(&format!("skipped: the outside checks need Python 3 with venv and pip ({why})"));
            Ok(None)
        }
    }
}
