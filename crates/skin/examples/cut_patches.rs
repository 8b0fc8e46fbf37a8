//! Cuts patches out of a scan and lays them flat, for `tests/outside/scans.py`.
//!
//! `cut_patches FILE SIZE COUNT` prints what was found in the file and COUNT patches of SIZE by SIZE, spread over it, as
//! JSON: corners on the skin, triangles, places on the pattern, stated strain. Lengths in the file's unit.

#![allow(clippy::print_stdout, reason = "printing is what this example is for")]

use skin::cut::{Cutter, Shape};
use skin::flatten::flatten;
use skin::straight::Bearing;
use skin::{Mesh, Spot, read};
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().collect();
    let [_, file, size, count] = &args[..] else { return Err("usage: cut_patches FILE SIZE COUNT".into()) };
    let (size, count): (f64, usize) = (size.parse()?, count.parse()?);
    let (soup, _) = read::soup(&std::fs::read(file)?)?;
    let (mesh, found) = Mesh::joined(&soup, 0.0).ok_or("no triangle")?;
    let cutter = Cutter::new(&mesh);
    println!("{{\"triangles\":{},\"holes\":{}}}", mesh.triangles().len(), found.holes.len());
    for k in 0..count {
        let triangle = (k * mesh.triangles().len() / count) as u32;
        let spot = Spot { triangle, shares: [1.0 / 3.0; 3] };
        let [a, b, _] = mesh.triangles()[triangle as usize].map(|k| mesh.point(k));
        let Some(bearing) = Bearing::new(&mesh, spot, b - a) else { continue };
        let cut = cutter.patch(bearing, Shape::Rectangle(size, size));
        let Ok(flat) = flatten(&cut.mesh, &cut.flat) else { continue };
        let points: Vec<[f64; 3]> = cut.mesh.points().iter().map(|p| p.to_array()).collect();
        let places: Vec<[f64; 2]> = flat.places.iter().map(|p| [p.x, p.y]).collect();
        println!(
            "{{\"short\":{},\"turned_over\":{},\"max\":{},\"rms\":{},\"points\":{points:?},\"triangles\":{:?},\
             \"places\":{places:?}}}",
            cut.short,
            flat.turned_over,
            flat.strain.max,
            flat.strain.rms,
            cut.mesh.triangles()
        );
    }
    Ok(())
}
