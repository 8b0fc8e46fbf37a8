//! The straight lines of a ruled skin unrolled side by side.
//!
//! Each line keeps its length. From one to the next the sheet turns, and the skin's own middle line between the two ribs
//! runs on, as they do on the skin. What does not twist is unrolled without stretch that way; what does keeps its lengths
//! along the lines and across their middle, and errs towards their ends by the square of the twist.

use super::{Rib, jet};
use geom::{Point, Vec2};
use skin::smooth::Place;

/// Lines of the table, closer at the nose by the square. chosen.
const LINES: usize = 256;

/// Within so many chords beside a kink the two sheets are brought together: over a shorter way the pieces that put them
/// right are too long to follow. Measured beside libigl on the kinked wing of the hangar: 0.25 left 1.068 of its mean
/// strain, 1 leaves 1.002.
const BESIDE: f64 = 1.0;

/// A straight line: where its middle lies on the sheet and which way it runs there for each mm of station.
#[derive(Clone, Copy, Debug)]
struct Line {
    middle: Vec2,
    way: Vec2,
    /// How both move with the share of the girth.
    d_middle: Vec2,
    d_way: Vec2,
}

/// The sheet between two ribs.
#[derive(Clone, Debug)]
struct Panel {
    from: f64,
    to: f64,
    /// Share of the way outboard within which it is brought to the panel before it, 0 for none.
    beside: f64,
    lines: Vec<Line>,
    /// What the rib it begins at has to move by at each line, and how that changes, to lie on the panel before it.
    moves: Vec<[Vec2; 2]>,
}

/// A ruled skin with its straight lines side by side.
#[derive(Clone, Debug)]
pub(super) struct Unrolled {
    panels: Vec<Panel>,
}

fn share(k: usize) -> f64 {
    (k as f64 / LINES as f64).powi(2)
}

impl Unrolled {
    /// Through these ribs, each panel laid to the one before it. The root's leading edge is the origin and the tip's
    /// leading edge lies level with it.
    pub(super) fn new(ribs: &[Rib]) -> Unrolled {
        let rows: Vec<Vec<(Point, Vec2)>> =
            (0..=LINES).map(|k| ribs.iter().map(|r| r.at(share(k))).collect()).collect();
        let mut panels: Vec<Panel> = Vec::new();
        for w in ribs.windows(2) {
            let mut panel = Panel {
                from: w[0].station,
                to: w[1].station,
                beside: 0.0,
                lines: lines(ribs, &rows, f64::midpoint(w[0].station, w[1].station)),
                moves: vec![[Vec2::ZERO; 2]; LINES + 1],
            };
            if let Some(before) = panels.last() {
                panel.join(before);
                panel.beside = (BESIDE * w[0].chord / (panel.to - panel.from)).min(1.0);
            }
            panels.push(panel);
        }
        let mut all = Unrolled { panels };
        let (root, tip) = (all.panels[0].from, all.panels[all.panels.len() - 1].to);
        let (a, b) = (all.at(Vec2::new(root, 0.0)).p, all.at(Vec2::new(tip, 0.0)).p);
        let back = -(b - a).atan2();
        for panel in &mut all.panels {
            panel.turned(back, a);
        }
        all
    }

    /// Where a place of station and share of the girth lies.
    pub(super) fn at(&self, uv: Vec2) -> Place {
        let i = self.panels.partition_point(|p| p.from <= uv.x).clamp(1, self.panels.len()) - 1;
        self.panels[i].at(uv)
    }
}

/// The straight lines of the panel round station `middle`, unrolled from its first one on.
fn lines(ribs: &[Rib], rows: &[Vec<(Point, Vec2)>], middle: f64) -> Vec<Line> {
    // Where the next place lies is known from how it moves: speed along and across the line, turn, and growth.
    let rate = |row: &[(Point, Vec2)]| {
        let jet = jet(ribs, &|k| row[k], middle);
        let long = jet.along.length();
        let along = jet.along.dot(jet.round) / long;
        let across = (jet.round.length_squared() - along * along).max(0.0).sqrt();
        let grows = jet.along.dot(jet.twist) / long;
        let turns = (jet.round.dot(jet.twist) - along * grows) / (across * long);
        (long, along, across, grows, turns)
    };
    let between = |k: usize, x: f64| -> Vec<(Point, Vec2)> {
        let at = share(k) + (share(k + 1) - share(k)) * x;
        ribs.iter().map(|r| r.at(at)).collect()
    };
    let (mut turn, mut place) = (0.0, Vec2::ZERO);
    let mut all = Vec::with_capacity(LINES + 1);
    for k in 0..=LINES {
        let (long, along, across, grows, turns) = rate(&rows[k]);
        let way = Vec2::from_angle(turn);
        let square = geom::point::left_of(way);
        all.push(Line {
            middle: place,
            way: way * long,
            d_middle: way * along + square * across,
            d_way: way * grows + square * (long * turns),
        });
        if k == LINES {
            break;
        }
        // Simpson's rule on the turn to the middle and to the end of the step, then on the place.
        let h = share(k + 1) - share(k);
        let rates = [0.25, 0.5, 0.75].map(|x| rate(&between(k, x)));
        let end = rate(&rows[k + 1]);
        let to_half = turn + h / 12.0 * (turns + 4.0 * rates[0].4 + rates[1].4);
        let to_end = to_half + h / 12.0 * (rates[1].4 + 4.0 * rates[2].4 + end.4);
        let speed = |turn: f64, rate: (f64, f64, f64, f64, f64)| {
            let way = Vec2::from_angle(turn);
            way * rate.1 + geom::point::left_of(way) * rate.2
        };
        place += (all[k].d_middle + speed(to_half, rates[1]) * 4.0 + speed(to_end, end)) * (h / 6.0);
        turn = to_end;
    }
    all
}

impl Panel {
    /// Turned and then moved so that `origin` comes to zero.
    fn turned(&mut self, turn: f64, origin: Vec2) {
        let round = |v: Vec2| geom::point::turned(v, turn);
        for line in &mut self.lines {
            line.middle = round(line.middle - origin);
            [line.way, line.d_middle, line.d_way] = [line.way, line.d_middle, line.d_way].map(round);
        }
        for pair in &mut self.moves {
            *pair = pair.map(round);
        }
    }

    /// Laid with its first rib as near as can be to the last one of the panel before it; what is left is kept as moves.
    fn join(&mut self, before: &Panel) {
        let there: Vec<Place> = (0..=LINES).map(|k| before.at(Vec2::new(before.to, share(k)))).collect();
        let here: Vec<Place> = (0..=LINES).map(|k| self.at(Vec2::new(self.from, share(k)))).collect();
        let weight = |k: usize| share((k + 1).min(LINES)) - share(k.saturating_sub(1));
        let mean = |of: &[Place]| {
            of.iter().enumerate().map(|(k, p)| p.p * (weight(k) / 2.0)).fold(Vec2::ZERO, |a, b| a + b)
        };
        let (to, from) = (mean(&there), mean(&here));
        let (mut cos, mut sin) = (0.0, 0.0);
        for (k, (a, b)) in here.iter().zip(&there).enumerate() {
            let (a, b) = (a.p - from, b.p - to);
            cos += weight(k) * a.dot(b);
            sin += weight(k) * a.cross(b);
        }
        let turn = sin.atan2(cos);
        // Turned about the origin, then moved.
        self.turned(turn, from - geom::point::turned(to, -turn));
        for (k, there) in there.iter().enumerate() {
            let here = self.at(Vec2::new(self.from, share(k)));
            self.moves[k] = [there.p - here.p, there.v - here.v];
        }
    }

    fn at(&self, uv: Vec2) -> Place {
        let on = uv.y.clamp(0.0, 1.0);
        let k = ((on.sqrt() * LINES as f64) as usize).min(LINES - 1);
        let (from, h) = (share(k), share(k + 1) - share(k));
        let x = (on - from) / h;
        let (a, b) = (&self.lines[k], &self.lines[k + 1]);
        let (middle, d_middle) = cubic(x, h, [a.middle, b.middle], [a.d_middle, b.d_middle]);
        let (way, d_way) = cubic(x, h, [a.way, b.way], [a.d_way, b.d_way]);
        let out = uv.x - f64::midpoint(self.from, self.to);
        let mut place = Place { p: middle + way * out, u: way, v: d_middle + d_way * out };
        let far = (uv.x - self.from) / (self.to - self.from);
        if 0.0 < self.beside && far < self.beside {
            // One at the kink, none where it ends, level at both.
            let y = (far / self.beside).max(0.0);
            let (keep, slope) = (
                (1.0 + 2.0 * y) * (1.0 - y).powi(2),
                -6.0 * y * (1.0 - y) / (self.beside * (self.to - self.from)),
            );
            let (m, n) = (&self.moves[k], &self.moves[k + 1]);
            let (moved, d_moved) = cubic(x, h, [m[0], n[0]], [m[1], n[1]]);
            place = place + Place { p: moved * keep, u: moved * slope, v: d_moved * keep };
        }
        // Beyond the edges straight on.
        let beyond = uv.y - on;
        if 0.0 < beyond.abs() {
            place.p += place.v * beyond;
            place.u += d_way * beyond;
        }
        place
    }
}

/// The cubic with these ends and slopes at a share of its way, and its slope.
fn cubic(x: f64, h: f64, ends: [Vec2; 2], slopes: [Vec2; 2]) -> (Vec2, Vec2) {
    let [p, q] = ends;
    let [d, e] = slopes.map(|s| s * h);
    let (a, b) = ((p - q) * 2.0 + d + e, (q - p) * 3.0 - d * 2.0 - e);
    (((a * x + b) * x + d) * x + p, ((a * (3.0 * x) + b * 2.0) * x + d) / h)
}
