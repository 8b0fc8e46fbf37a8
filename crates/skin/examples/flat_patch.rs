//! Lays meshes flat and measures across them, for `tests/outside/skin.py`.
//!
//! `flat_patch FILE FROM TO [FILE FROM TO ...]` prints a line of JSON for each: the pattern's places, the shortest
//! distances from the corner FROM, the corners of the way to TO, and for corners spread over the mesh the length of
//! the taut way there and of the one proven to be the shortest. Lengths in the file's unit.

#![allow(clippy::print_stdout, reason = "printing is what this example is for")]

use skin::around::around;
use skin::flatten::flatten;
use skin::taut::{shortest, taut};
use skin::windows::Distances;
use skin::{Mesh, Spot, read};
use std::error::Error;

/// Corners taut ways are drawn to.
const WAYS: usize = 60;

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    for [file, from, to] in args.as_chunks::<3>().0 {
        let (soup, _) = read::soup(&std::fs::read(file)?)?;
        let (mesh, found) = Mesh::joined(&soup, 0.0).ok_or("no triangle")?;
        let (from, to): (u32, u32) = (from.parse()?, to.parse()?);
        let (sum, n) = (mesh.points().iter().sum::<geom::Point3>(), mesh.points().len() as f64);
        let (centre, _) = Spot::nearest(&mesh, sum / n);
        let firsts = mesh.first_sides();
        let map = around(&mesh, &mesh.normals(), &firsts, centre, geom::Point3::X, |_, _| true);
        let flat = flatten(&mesh, &map.flat).map_err(|e| format!("{e:?}"))?;
        let distances = Distances::from(&mesh, Spot::at_start_of(firsts[from as usize]), f64::INFINITY, &[]);
        let places: Vec<[f64; 2]> = flat.places.iter().map(|p| [p.x, p.y]).collect();
        let way: Vec<[f64; 3]> = distances.way(to).iter().map(|p| p.to_array()).collect();
        let start = Spot::at_start_of(firsts[from as usize]);
        let mut ways: Vec<[f64; 4]> = Vec::new();
        for corner in (0..firsts.len()).step_by(firsts.len().div_ceil(WAYS)) {
            let end = Spot::at_start_of(firsts[corner]);
            let way = taut(&mesh, start, end).ok_or("in pieces")?;
            let (least, sure) = shortest(&mesh, start, end, usize::MAX).ok_or("in pieces")?;
            ways.push([corner as f64, way.length, least.length, f64::from(u8::from(sure))]);
        }
        // The file's corners in the order of ours: joining may number them anew.
        let points: Vec<[f64; 3]> = mesh.points().iter().map(|p| p.to_array()).collect();
        println!(
            "{{\"steps\":{},\"turned_over\":{},\"max\":{},\"rms\":{},\"holes\":{},\"places\":{places:?},\
             \"points\":{points:?},\"triangles\":{:?},\"distances\":{:?},\"way\":{way:?},\"ways\":{ways:?}}}",
            flat.steps,
            flat.turned_over,
            flat.strain.max,
            flat.strain.rms,
            found.holes.len(),
            mesh.triangles(),
            distances.all()
        );
    }
    Ok(())
}
