//! Girths and points of every ordinate file in a folder, and of NACA sections, as JSON for an outside check.
//!
//! `cargo run -p plan --example dump_sections -- FOLDER [DIGITS ...]`

use geom::Point;
use plan::surface::naca::Naca;
use plan::surface::ordinates;
use plan::surface::section::{Face, Section};
use serde_json::{Map, Value, json};
use std::path::Path;

/// Points printed on each face.
const POINTS: usize = 60;

fn face(section: &Section, upper: bool) -> Value {
    let face = Face::new(section.clone(), upper);
    let girth = face.girth();
    let at = |i: usize| {
        let Point { x, y } = face.point(girth * i as f64 / POINTS as f64);
        [x, y]
    };
    json!({ "girth": girth, "points": (0..=POINTS).map(at).collect::<Vec<_>>() })
}

fn section(section: &Section, remarks: &[String]) -> Value {
    json!({ "upper": face(section, true), "lower": face(section, false), "remarks": remarks })
}

fn file(path: &Path, name: &str) -> Result<Value, String> {
    let bytes = std::fs::read(path).map_err(|e| e.to_string())?;
    match ordinates::read(name, &bytes) {
        Ok((curve, remarks)) => Ok(section(&curve, &remarks)),
        Err(problems) => Ok(json!({ "problems": problems.iter().map(|p| &p.message).collect::<Vec<_>>() })),
    }
}

fn dump(folder: &str, digits: &[String]) -> Result<Value, String> {
    let mut all = Map::new();
    for entry in std::fs::read_dir(folder).map_err(|e| e.to_string())? {
        let path = entry.map_err(|e| e.to_string())?.path();
        if let Some(name) = path.file_name().and_then(|n| n.to_str()) {
            all.insert(name.to_owned(), file(&path, name)?);
        }
    }
    for digits in digits {
        all.insert(format!("naca:{digits}"), section(&Section::Naca(Naca::new(digits)?), &[]));
    }
    Ok(Value::Object(all))
}

fn main() -> Result<(), String> {
    use std::io::Write as _;
    let mut words = std::env::args().skip(1);
    let folder = words.next().ok_or("a folder of ordinate files is needed")?;
    let all = dump(&folder, &words.collect::<Vec<_>>())?;
    writeln!(std::io::stdout(), "{all}").map_err(|e| e.to_string())
}
