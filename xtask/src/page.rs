//! The page in a real browser: `tests/page/run.mjs`, driven through Debian's Chromium.
//!
//! Needs Node, npm and Chromium. Where the environment says `CI=true` what is missing is installed; elsewhere
//! the step says so and is skipped.

use crate::{call, say};
use std::env;
use std::path::Path;
use std::process::Command;

/// Does a job on the page, at two sizes.
pub(crate) fn run() -> Result<(), String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap_or(Path::new("."));
    let ci = env::var("CI").is_ok_and(|v| v == "true");
    let chromium = env::var("CHROMIUM").unwrap_or_else(|_| "/usr/bin/chromium".to_owned());
    if !Path::new(&chromium).exists() {
        if !ci {
            say(&format!("skipped: the page's tests need Chromium at {chromium} (or where CHROMIUM says)"));
            return Ok(());
        }
        call(Command::new("apt-get").args(["update", "-qq"]))?;
        call(Command::new("apt-get").args(["install", "-y", "-qq", "--no-install-recommends", "chromium"]))?;
    }
    let folder = root.join("tests/page");
    if let Err(why) =
        call(Command::new("npm").current_dir(&folder).args(["ci", "--silent", "--no-audit", "--no-fund"]))
    {
        if ci {
            return Err(why);
        }
        say(&format!("skipped: the page's tests need Node and npm ({why})"));
        return Ok(());
    }
    // Types are checked as the page is written, in plain modules with comments; nobody needs this to build it.
    call(Command::new("node").current_dir(&folder).args([
        "node_modules/typescript/bin/tsc",
        "--project",
        ".",
    ]))?;
    // Asked for as the outside checks ask: with other features of its libraries all of it would be built once more.
    let cargo = env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    call(Command::new(cargo).current_dir(root).args([
        "build",
        "--workspace",
        "--examples",
        "--bins",
        "--profile",
        "ci",
    ]))?;
    let program = root.join("target/ci/maskwright");
    call(Command::new("node").current_dir(&folder).arg("run.mjs").arg(program).env("CHROMIUM", chromium))
}
