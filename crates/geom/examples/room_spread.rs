//! Prints how long the search for a place takes over 100 invented panels: median, worst, boxes opened.
//!
//!     cargo run --release -p geom --example room_spread

#![expect(clippy::print_stdout, reason = "printing is what this example is for")]
#![expect(clippy::disallowed_methods, reason = "nothing but this figure reads the clock")]

#[path = "../benches/panel.rs"]
mod panel;

use geom::room::{NoPlace, Place, Room};
use panel::{AIM, TIES, font, large, round, small};
use std::time::Instant;

fn main() {
    drawn("30 features", &small(7));
    drawn("30 features, arcs", &round(7));
    drawn("30 features, chords", &font(7));
    drawn("300 features", &large(7));
    spread("roomiest, 30 features", 100, small, |room| room.roomiest(AIM, TIES));
    spread("nearest,  30 features", 100, small, |room| room.nearest(AIM, 0.0, TIES));
    spread("roomiest, 30 features, arcs", 100, round, |room| room.roomiest(AIM, TIES));
    spread("nearest,  30 features, arcs", 100, round, |room| room.nearest(AIM, 0.0, TIES));
    spread("roomiest, 30 features, chords", 20, font, |room| room.roomiest(AIM, TIES));
    spread("nearest,  30 features, chords", 20, font, |room| room.nearest(AIM, 0.0, TIES));
    spread("roomiest, 300 features", 40, large, |room| room.roomiest(AIM, TIES));
    spread("nearest,  300 features", 40, large, |room| room.nearest(AIM, 0.0, TIES));
}

/// The room drawn as outlines, and what holds the mark: time, corners and rings.
fn drawn(what: &str, room: &Room) {
    let start = Instant::now();
    let free = room.free();
    let time = start.elapsed().as_secs_f64() * 1e3;
    let corners: usize = free.iter().map(|r| r.vertices.len()).sum();
    let start = Instant::now();
    let touches = room.contacts_at(AIM, 0.05).len();
    let touching = start.elapsed().as_secs_f64() * 1e3;
    println!(
        "{what}: room drawn in {time:.1} ms ({} rings, {corners} corners), {touches} contacts in {touching:.2} ms",
        free.len()
    );
}

fn spread(
    what: &str,
    seeds: u64,
    panel: impl Fn(u64) -> Room,
    search: impl Fn(&Room) -> Result<Place, NoPlace>,
) {
    let mut times: Vec<(f64, u64, usize)> = Vec::new();
    let (mut none, mut given_up) = (0, 0);
    for seed in 0..seeds {
        let room = panel(seed);
        let mut least = f64::INFINITY;
        let mut boxes = 0;
        for _ in 0..3 {
            let start = Instant::now();
            let found = search(&room);
            least = least.min(start.elapsed().as_secs_f64() * 1e3);
            boxes = found.as_ref().map_or_else(|e| e.boxes, |p| p.boxes);
            none += usize::from(found.is_err());
            given_up += usize::from(!found.map_or_else(|e| e.proved, |p| p.proved));
        }
        times.push((least, seed, boxes));
    }
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (median, ninth, worst) =
        (times[times.len() / 2], times[times.len() * 9 / 10], times[times.len() - 1]);
    println!(
        "{what}: median {:.2} ms ({} boxes), nine of ten under {:.2} ms, worst {:.2} ms (seed {}, {} boxes), \
         no place in {} of {seeds}, given up {}",
        median.0,
        median.2,
        ninth.0,
        worst.0,
        worst.1,
        worst.2,
        none / 3,
        given_up / 3
    );
}
