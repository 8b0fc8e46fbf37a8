//! Places a constant distance from a line on triangles, measured over the skin.
//!
//! From places along the line one walks straight off it; where the way back to the nearest place of the line is not as long
//! as asked (a dent between, another stretch of the line nearer by) the place is moved along that way until it is. The
//! ways are taut, their lengths exact on the triangles: no smoothed field of distances has a say. At a corner of the line
//! the two hands meet in a mitre.

use crate::straight::Bearing;
use crate::trail::Trail;
use crate::{Mesh, Spot};
use geom::Point3;
use geom::tolerance::SETTLED_MM;
use std::f64::consts::FRAC_PI_2;

/// Most times a place is moved; two are usual.
const MOST_MOVES: usize = 12;
/// Share of the distance that a place may be moved by in all: farther, and it belongs to another stretch of the line.
const MOST_MOVED: f64 = 0.25;
/// Halvings by which the first and the last place are looked for.
const HALVINGS: usize = 16;
/// Least cosine of half the turn at a corner: beyond 120 degrees a mitre is cut short. chosen.
const LEAST_MITRE: f64 = 0.5;

/// What places are asked for.
#[derive(Clone, Copy, Debug)]
pub struct Beside<'a> {
    /// The skin.
    pub mesh: &'a Mesh,
    /// The line.
    pub line: &'a Trail,
    /// Its corners: where, mm along it, and by how much it turns there, radians to the left.
    pub corners: &'a [(f64, f64)],
    /// How far off, mm to the left; 0 = the line itself.
    pub off: f64,
    /// Distance between places along the line at most, mm.
    pub step: f64,
}

/// A place beside a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// The spot.
    pub spot: Spot,
    /// Where the line is nearest, mm along it.
    pub s: f64,
    /// True at a corner.
    pub corner: bool,
}

impl Beside<'_> {
    /// Places from the line's start to its end; fewer than two where there is no room for them. Each but those at corners is
    /// `off` from the line, to [`SETTLED_MM`].
    pub fn places(&self) -> Vec<Place> {
        let whole = self.line.length();
        let mut stops = vec![0.0];
        stops.extend(self.corners.iter().map(|c| c.0));
        stops.push(whole);
        let mut all: Vec<Place> = Vec::new();
        for (k, w) in stops.windows(2).enumerate() {
            let mut own = self.stretch([w[0], w[1]], [k == 0, k + 2 == stops.len()]);
            // What lies in the shadow of a corner ran backwards.
            own.retain(|p| all.last().is_none_or(|last| last.s < p.s));
            all.append(&mut own);
            if let Some((s, turn)) = self.corners.get(k)
                && let Some(spot) = self.mitre(*s, *turn)
            {
                all.push(Place { spot, s: *s, corner: true });
            }
        }
        all
    }

    /// Places beside one stretch between corners, both ends of the line itself included.
    fn stretch(&self, [a, b]: [f64; 2], ends: [bool; 2]) -> Vec<Place> {
        let parts = ((b - a) / self.step).ceil().max(2.0);
        let at = |k: usize| a + (b - a) * k as f64 / parts;
        let shadow = |s: f64| {
            let turns = self.corners.iter().filter(|c| 0.0 < c.1 * self.off);
            let mut shadows = turns.map(|c| ((s - c.0).abs(), self.off.abs() * (c.1.abs() / 2.0).tan()));
            shadows.any(|(far, long)| far < long + self.step / 4.0)
        };
        let last = parts as usize;
        let wanted = usize::from(!ends[0])..=if ends[1] { last } else { last - 1 };
        let found: Vec<(f64, Option<Place>)> =
            wanted.map(at).filter(|s| !shadow(*s)).map(|s| (s, self.place(s, [a, b]))).collect();
        let mut all: Vec<Place> = Vec::new();
        for (_, place) in &found {
            if let Some(place) = place
                && all.last().is_none_or(|l| l.s < place.s)
            {
                all.push(*place);
            }
        }
        // As far as there is skin to walk off to.
        let missed = |list: &mut dyn Iterator<Item = &(f64, Option<Place>)>| {
            let mut out = None;
            for (s, place) in list {
                match place {
                    Some(_) => return out.map(|o| (o, *s)),
                    None => out = Some(*s),
                }
            }
            None
        };
        let halved = |(mut out, mut inside): (f64, f64)| {
            let mut best = None;
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(out, inside);
                match self.place(middle, [a, b]) {
                    Some(place) => (best, inside) = (Some(place), middle),
                    None => out = middle,
                }
            }
            best
        };
        if let Some(place) = missed(&mut found.iter()).and_then(halved)
            && all.first().is_none_or(|f| place.s < f.s)
        {
            if all.first().is_some_and(|f| f.s - place.s < self.step / 4.0) {
                all[0] = place;
            } else {
                all.insert(0, place);
            }
        }
        if let Some(place) = missed(&mut found.iter().rev()).and_then(halved)
            && all.last().is_none_or(|l| l.s < place.s)
        {
            if all.last().is_some_and(|l| place.s - l.s < self.step / 4.0) {
                all.pop();
            }
            all.push(place);
        }
        all
    }

    /// The place beside the line `s` mm along a stretch of it.
    fn place(&self, s: f64, stretch: [f64; 2]) -> Option<Place> {
        let spot = self.line.at(self.mesh, s);
        if self.off == 0.0 {
            return Some(Place { spot, s, corner: false });
        }
        let start = Bearing::new(self.mesh, spot, self.way(s, stretch)?)?;
        let start = start.turned(self.mesh, FRAC_PI_2.copysign(self.off));
        let mut at = self.walked(start, self.off.abs())?;
        let mut moved = 0.0;
        for _ in 0..MOST_MOVES {
            let foot = self.line.foot(self.mesh, at)?;
            let more = self.off.abs() - foot.far;
            if more.abs() <= SETTLED_MM {
                return Some(Place { spot: at, s: foot.s, corner: false });
            }
            moved += more.abs();
            if MOST_MOVED * self.off.abs() < moved {
                return None;
            }
            at = self.walked(Bearing::new(self.mesh, at, -foot.toward)?, more)?;
        }
        None
    }

    fn walked(&self, from: Bearing, far: f64) -> Option<Spot> {
        let line = from.ahead(self.mesh, far);
        (far.abs() - SETTLED_MM <= line.length).then_some(line.end.spot)
    }

    /// Which way the line runs there, over half a step to either side: a rim of triangles has teeth.
    fn way(&self, s: f64, [a, b]: [f64; 2]) -> Option<Point3> {
        let half = self.step / 2.0;
        let at = |s: f64| self.line.at(self.mesh, s.clamp(a, b)).point(self.mesh);
        (at(s + half) - at(s - half)).try_normalize()
    }

    /// Where the two hands of a corner meet.
    fn mitre(&self, s: f64, turn: f64) -> Option<Spot> {
        let spot = self.line.at(self.mesh, s);
        if self.off == 0.0 {
            return Some(spot);
        }
        let hair = SETTLED_MM;
        let start = Bearing::new(self.mesh, spot, self.line.way((s - hair).max(0.0)))?;
        let start = start.turned(self.mesh, turn / 2.0 + FRAC_PI_2.copysign(self.off));
        self.walked(start, self.off.abs() / (turn / 2.0).cos().max(LEAST_MITRE))
    }

    /// How far places given beside the line are from their distance at most, mm; `None` if a way to it is not found.
    pub fn errs(&self, places: &[Spot]) -> Option<f64> {
        let one = |spot: &Spot| Some((self.line.foot(self.mesh, *spot)?.far - self.off.abs()).abs());
        places.iter().map(one).try_fold(0.0_f64, |most, far| Some(most.max(far?)))
    }
}
