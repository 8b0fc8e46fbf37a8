//! How long each step takes on patches of a chosen size: by the clock the least of five runs (of exact distances on large
//! scans one), of the processor's time (both cores added up) their mean; with the most memory held so far.
//!
//! `skin_speed [TRIANGLES [short]]` prints a table; `short` leaves out the exact distances, which take seconds.

#![allow(clippy::print_stdout, reason = "printing is what this example is for")]

mod skins;

use skin::around::around;
use skin::flatten::flatten;
use skin::taut::{shortest, taut};
use skin::windows::Distances;
use skin::{Spot, denoise};
use std::error::Error;

/// Runs of each step: a machine that does other work only adds to the clock.
const RUNS: u32 = 5;

/// Processor time of this process so far, ms; it is counted in hundredths of a second.
fn spent() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields = stat.rsplit(')').next().unwrap_or_default().split_whitespace();
    fields.skip(11).take(2).filter_map(|f| f.parse::<f64>().ok()).sum::<f64>() * 10.0
}

#[allow(clippy::disallowed_methods, reason = "this example reads the clock to show times; no plan does")]
fn timed<T>(what: &str, runs: u32, run: impl Fn() -> T) -> T {
    let (before, mut least, mut result) = (spent(), f64::INFINITY, None);
    for _ in 0..runs {
        let started = std::time::Instant::now();
        let found = run();
        least = least.min(started.elapsed().as_secs_f64() * 1000.0);
        result = Some(found);
    }
    let mean = (spent() - before) / f64::from(runs);
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let most = status.lines().find_map(|l| l.strip_prefix("VmHWM:")).unwrap_or("-").trim().to_owned();
    println!("{what:32} {least:9.2} ms   processor {mean:6.0} ms   most memory so far {most}");
    result.unwrap_or_else(run)
}

fn main() -> Result<(), Box<dyn Error>> {
    let count = std::env::args().nth(1).map_or(Ok(200_000), |n| n.parse())?;
    let scan = timed("scan made", 1, || skins::scan(count));
    let (spot, _) = Spot::nearest(&scan, skins::middle(&scan));
    let (normals, firsts) = (scan.normals(), scan.first_sides());
    let map = timed("scan: first map", RUNS, || {
        around(&scan, &normals, &firsts, spot, geom::Point3::X, |_, _| true)
    });
    let flat = timed("scan: flatten", RUNS, || flatten(&scan, &map.flat)).map_err(|e| format!("{e:?}"))?;
    println!("    {:?}, {} steps, {} turned over", flat.strain, flat.steps, flat.turned_over);
    let egg = timed("grid made", 1, || skins::egg_patch(count));
    let flat =
        timed("grid: flatten", RUNS, || flatten(&egg.mesh, &egg.flat)).map_err(|e| format!("{e:?}"))?;
    println!("    {:?}, {} steps, {} turned over", flat.strain, flat.steps, flat.turned_over);
    let goal = skins::corner_at(&scan, spot, 12.0 * 25.4);
    let way = timed("scan: taut way of 12 in", RUNS, || taut(&scan, spot, goal)).ok_or("in one piece")?;
    let least = timed("scan: the same, none shorter", RUNS, || shortest(&scan, spot, goal, usize::MAX));
    let (least, sure) = least.ok_or("in one piece")?;
    println!("    taut {:.6} mm, shortest {:.6} mm, proven: {sure}", way.length, least.length);
    timed("scan: smooth to 1 in", RUNS, || denoise::smoothed(&scan, 25.4));
    if std::env::args().len() > 2 {
        return Ok(());
    }
    let all = timed("scan: exact distances to 12 in", if count < 50_000 { RUNS } else { 1 }, || {
        Distances::from(&scan, spot, 12.0 * 25.4, &[]).all().to_vec()
    });
    println!("    {} corners reached", all.iter().filter(|d| d.is_finite()).count());
    Ok(())
}
