//! Prints the plan file of a job, for a check by another program: `dump_plan JOB.toml > plan.json`. Files the job names are
//! read from beside it, where they are there.

use plan::job::Attachments;
use std::io::Write;
use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("usage: dump_plan JOB.toml")?;
    let job =
        plan::job::read(&std::fs::read_to_string(&path)?).map_err(|problems| format!("{problems:#?}"))?;
    let mut files = Attachments::default();
    let folder = Path::new(&path).parent().ok_or("no folder")?;
    for named in plan::job::files_named(&job) {
        if let Ok(bytes) = std::fs::read(folder.join(&named.value)) {
            files.files.insert(named.value, bytes);
        }
    }
    let made = plan::run(&job, &files).map_err(|problems| format!("{problems:#?}"))?;
    std::io::stdout().lock().write_all(made.plan_json().as_bytes())?;
    Ok(())
}
