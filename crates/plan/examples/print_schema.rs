//! Prints the JSON Schema of the job file, for the outside check of it.

use std::io::Write;

fn main() -> std::io::Result<()> {
    let text = serde_json::to_string_pretty(&plan::job::schema())?;
    writeln!(std::io::stdout(), "{text}")
}
