//! Prints the plan file of a job, for a check by another program: `dump_plan JOB.toml > plan.json`. Job files that name
//! other files are read without them.

use plan::job::Attachments;
use std::io::Write;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("usage: dump_plan JOB.toml")?;
    let job =
        plan::job::read(&std::fs::read_to_string(path)?).map_err(|problems| format!("{problems:#?}"))?;
    let made = plan::run(&job, &Attachments::default()).map_err(|problems| format!("{problems:#?}"))?;
    std::io::stdout().lock().write_all(made.plan_json().as_bytes())?;
    Ok(())
}
