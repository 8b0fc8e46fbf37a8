//! Prints a piece of a skin that curves both ways as triangles, for `tests/outside/roundtrip.py`.
//!
//! `dump_skin JOB.toml SURFACE` prints a scan as it is marked: joined and smoothed. `dump_skin JOB.toml SURFACE S0 S1 T0 T1
//! STEP` prints the side of a body between two stations and two readings, corners at most STEP apart. One line of JSON, mm.

#![allow(clippy::print_stdout, reason = "printing is what this example is for")]

use plan::job::{Attachments, SurfaceShape};
use plan::surface::{SkinShape, develop};
use std::error::Error;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [path, name, window @ ..] = &args[..] else { return Err("usage: dump_skin JOB SURFACE ...".into()) };
    let job =
        plan::job::read(&std::fs::read_to_string(path)?).map_err(|problems| format!("{problems:#?}"))?;
    let surface = job.surfaces.iter().find(|s| s.id == *name).ok_or("no such surface")?;
    let mut files = Attachments::default();
    if let SurfaceShape::Mesh { file, .. } = &surface.shape.value {
        let beside = Path::new(path).parent().ok_or("no folder")?.join(&file.value);
        files.files.insert(file.value.clone(), std::fs::read(beside)?);
    }
    let (skin, _) = develop(surface, &files).map_err(|problems| format!("{problems:#?}"))?;
    let (points, triangles): (Vec<[f64; 3]>, Vec<[u32; 3]>) = match &skin.shape {
        SkinShape::Scan(scan) => {
            (scan.mesh().points().iter().map(|p| p.to_array()).collect(), scan.mesh().triangles().to_vec())
        }
        SkinShape::Body(body) => {
            let sizes: Vec<f64> = window.iter().map(|x| x.parse()).collect::<Result<_, _>>()?;
            let [s0, s1, t0, t1, step] = sizes[..] else { return Err("wanted S0 S1 T0 T1 STEP".into()) };
            let count = |from: f64, to: f64| ((to - from) / step).ceil() as u32;
            let (along, round) = (count(s0, s1), count(t0, t1));
            let at = |from: f64, to: f64, k: u32, n: u32| from + (to - from) * f64::from(k) / f64::from(n);
            let mut points = Vec::new();
            for i in 0..=along {
                for j in 0..=round {
                    let reading = [at(s0, s1, i, along), at(t0, t1, j, round)];
                    points.push(body.space(reading).ok_or("beyond the side")?.to_array());
                }
            }
            (points, skin::surface::triangles(along as usize, round as usize))
        }
        _ => return Err("this skin unrolls".into()),
    };
    println!("{{\"points\":{points:?},\"triangles\":{triangles:?}}}");
    Ok(())
}
