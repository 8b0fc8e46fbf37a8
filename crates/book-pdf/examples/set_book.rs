//! Sets the book of a job to look at, later stages filled in with invented data where the plan has none.
//!
//!     cargo run -p book-pdf --example set_book -- JOB.toml OUT.pdf [letter] [plain]
//!
//! `plain` leaves out the invented data.

#[path = "../src/tests/sample.rs"]
mod sample;

use book_pdf::{Paper, book};
use plan::job::Attachments;
use std::error::Error;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [job_path, out, options @ ..] = args.as_slice() else {
        return Err("usage: set_book JOB.toml OUT.pdf [letter] [plain]".into());
    };
    let job = plan::job::read(&std::fs::read_to_string(job_path)?).map_err(|p| format!("{p:?}"))?;
    let beside = Path::new(job_path).parent().unwrap_or(Path::new(""));
    let mut files = Attachments::default();
    for name in plan::job::files_named(&job) {
        files.files.insert(name.value.clone(), std::fs::read(beside.join(&name.value))?);
    }
    let plan = plan::run(&job, &files).map_err(|p| format!("{p:?}"))?;
    let mut data: serde_json::Value = serde_json::from_str(&plan.book_data())?;
    if !options.iter().any(|o| o == "plain") {
        sample::fill(&mut data);
    }
    let paper = if options.iter().any(|o| o == "letter") { Paper::Letter } else { Paper::A4 };
    std::fs::write(out, book(&data.to_string(), &plan.book_drawings(), paper)?)?;
    Ok(())
}
