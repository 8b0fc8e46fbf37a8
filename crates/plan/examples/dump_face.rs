//! Prints wing faces as nets of places, for `tests/outside/twisted.py`: `dump_face JOB.toml ALONG ROUND`.
//!
//! A line of JSON for each face: the strain we state, and for each place station and reading, flat and space, mm.
//! Stations are even, readings closer where the root's section turns, so that chords between them lose little. Job files that name other files are read without them.

#![allow(clippy::print_stdout, reason = "printing is what this example is for")]

use plan::job::Attachments;
use plan::surface::{SkinShape, WingSkin};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let args: Vec<String> = std::env::args().collect();
    let [_, path, along, round] = &args[..] else {
        return Err("usage: dump_face JOB.toml ALONG ROUND".into());
    };
    let (along, round): (u32, u32) = (along.parse()?, round.parse()?);
    let job =
        plan::job::read(&std::fs::read_to_string(path)?).map_err(|problems| format!("{problems:#?}"))?;
    for surface in &job.surfaces {
        let (skin, _) = plan::surface::develop(surface, &Attachments::default())
            .map_err(|problems| format!("{problems:#?}"))?;
        let SkinShape::Wing(wing) = &skin.shape else { continue };
        let strain = wing.strain().unwrap_or_default();
        let shares = shares(wing, round);
        let mut rows = Vec::new();
        for s in stations(wing, along) {
            let girth = wing.girth(s);
            for share in &shares {
                let t = girth * share;
                let flat = wing.flat_from_skin([s, t]);
                let [x, y, z] = wing.space_from_flat(flat).to_array();
                rows.push([s, t, flat.x, flat.y, x, y, z]);
            }
        }
        println!(
            "{{\"id\":{:?},\"max\":{},\"p99\":{},\"rms\":{},\"breaks\":{:?},\"places\":{rows:?}}}",
            skin.id,
            strain.max,
            strain.p99,
            strain.rms,
            wing.breaks()
        );
    }
    Ok(())
}

/// Stations, those of kinks among them, closer beside kinks.
fn stations(wing: &WingSkin, count: u32) -> Vec<f64> {
    let kinks = wing.breaks();
    let ends: Vec<f64> = [0.0].into_iter().chain(kinks.iter().copied()).chain([wing.span()]).collect();
    let panels = ends.len() as u32 - 1;
    let mut all = vec![0.0];
    for (i, w) in (0..panels).zip(ends.windows(2)) {
        let steps = count * (i + 1) / panels - count * i / panels;
        for k in 1..=steps {
            let x = f64::from(k) / f64::from(steps);
            // Slow towards a kink.
            let x = match (i > 0, i + 1 < panels) {
                (false, false) => x,
                (true, false) => x * x,
                (false, true) => 1.0 - (1.0 - x) * (1.0 - x),
                (true, true) => x * x * (3.0 - 2.0 * x),
            };
            all.push(w[0] + (w[1] - w[0]) * x);
        }
    }
    all
}

/// Shares of the girth, each step with the same part of the root section's turn and length.
fn shares(wing: &WingSkin, count: u32) -> Vec<f64> {
    let fine = 20_000_u32;
    let share = |k: u32| (f64::from(k) / f64::from(fine)).powi(2);
    let girth = wing.girth(0.0);
    let at = |k: u32| wing.space_from_flat(wing.flat_from_skin([0.0, girth * share(k)]));
    let points: Vec<_> = (0..=fine).map(at).collect();
    let steps: Vec<_> = points.windows(2).map(|w| w[1] - w[0]).collect();
    let turns: Vec<f64> = steps.windows(2).map(|w| w[0].angle_between(w[1])).collect();
    let whole: f64 = turns.iter().sum();
    let (mut sum, mut all) = (0.0, vec![0.0]);
    for (k, turn) in (1..fine).zip(turns) {
        sum += 0.7 * turn / whole + 0.3 * (share(k + 1) - share(k));
        if sum * f64::from(count) >= all.len() as f64 {
            all.push(share(k));
        }
    }
    all.truncate(count as usize);
    all.push(1.0);
    all
}
