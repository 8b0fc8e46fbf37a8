//! A strip of skin along a line, laid flat so that what stands square to the line stays true.
//!
//! The line is walked in short straightest joins; laid flat, each join keeps its length and each turn between two its
//! angle, so that the flat line bends as the line does on the skin (its geodesic curvature). A flat point so far off the
//! flat line is the skin's point as far off the line, straight on from it: the edges of a stripe drawn beside the flat
//! line are geodesic offsets on the skin. Only lengths along the edges differ, by the share K w^2 / 2 at a distance w
//! from the line, K the Gaussian curvature.

use crate::ground::Ground;
use geom::tolerance::{NOISE_MM, NOISE_UNIT};
use geom::{Point3, Vec2};

/// Most halvings of a stretch between two stops: 100 m down to 0.05 mm.
const MOST_HALVINGS: u32 = 21;
/// Least cosine of half the turn between two joins: beyond 120 degrees a mitre is cut short. chosen.
const LEAST_MITRE: f64 = 0.5;
/// How near a place must have been come to, mm, to stand for it where none comes nearer. chosen: what triangles leave out.
const JUMPED_MM: f64 = 0.5;
/// Most steps of aiming at a place; five are usual.
const MOST_STEPS: usize = 30;

/// How finely a line is walked.
#[derive(Clone, Copy, Debug)]
pub struct Fine {
    /// Largest distance between the line and a join, mm.
    pub rise: f64,
    /// Longest join, mm.
    pub longest: f64,
    /// Shortest join that is still cut in two, mm.
    pub shortest: f64,
    /// True if the line bends only at its stops and is straight on between them: a place beside it is then reckoned
    /// from stop to stop.
    pub legs: bool,
}

/// A strip of skin along a line.
#[derive(Clone, Debug)]
pub struct Strip<S> {
    /// Where each join starts, headed along it; last the end, headed as it came.
    stands: Vec<S>,
    /// The same in space.
    points: Vec<Point3>,
    /// The line's own measure at each.
    params: Vec<f64>,
    /// Length along the line at each, mm.
    knots: Vec<f64>,
    /// Where each lies flat.
    flat: Vec<Vec2>,
    /// Each join.
    joins: Vec<Join>,
}

/// A straightest stretch, as it lies flat.
#[derive(Clone, Copy, Debug)]
struct Join {
    way: Vec2,
    length: f64,
    /// How far "square off" leans along the join at its two ends, for each mm off.
    lean: [f64; 2],
}

fn left_of(way: Vec2) -> Vec2 {
    Vec2::new(-way.y, way.x)
}

struct Walk<'a, G: Ground> {
    ground: &'a G,
    line: &'a dyn Fn(f64) -> Option<Point3>,
    fine: Fine,
    now: G::Stand,
    /// Start of each join with its length and the turn before it.
    joins: Vec<(G::Stand, f64, f64)>,
    params: Vec<f64>,
}

impl<G: Ground> Walk<'_, G> {
    /// On along the line from its measure `a`, where one stands, to `b`.
    fn on(&mut self, a: f64, b: f64, left: u32) -> Option<()> {
        let middle = f64::midpoint(a, b);
        let to = (self.line)(b)?;
        let far = to.distance(self.ground.point(self.now));
        let way = if far <= self.fine.longest { self.ground.toward(self.now, to) } else { None };
        let good = way.is_some_and(|(stand, length)| {
            length <= self.fine.longest
                && (length < self.fine.shortest || self.straight(stand, length, middle).unwrap_or(false))
        });
        match way {
            Some((stand, length)) if good || left == 0 => {
                if NOISE_MM < length {
                    let turn = if self.joins.is_empty() { 0.0 } else { self.turn(stand) };
                    self.joins.push((stand, length, turn));
                    self.params.push(b);
                    self.now = self.ground.ahead(stand, length)?;
                }
                Some(())
            }
            None if left == 0 => None,
            _ => {
                self.on(a, middle, left - 1)?;
                self.on(middle, b, left - 1)
            }
        }
    }

    /// True if the line keeps within the rise of a join half way along it.
    fn straight(&self, stand: G::Stand, length: f64, middle: f64) -> Option<bool> {
        if self.fine.legs {
            return Some(true);
        }
        let half = self.ground.ahead(stand, length / 2.0)?;
        let off = (self.line)(middle)? - self.ground.point(half);
        let along = self.ground.along(half);
        Some((off - along * off.dot(along)).length() <= self.fine.rise)
    }

    /// From the way one came to the way of `stand`, radians to the left.
    fn turn(&self, stand: G::Stand) -> f64 {
        let (came, goes) = (self.ground.along(self.now), self.ground.along(stand));
        let out = self.ground.out(stand);
        came.cross(goes).dot(out).atan2(came.dot(goes))
    }
}

impl<S: Copy + std::fmt::Debug> Strip<S> {
    /// The strip along a line, given by any measure that grows along it (`None` where there is no line); each of `stops`
    /// is walked to, first and last are its ends. `start` stands at its first point. `None` if the line leaves the skin
    /// or is no line.
    ///
    /// The flat line starts at (0, 0) along +x.
    pub fn along<G: Ground<Stand = S>>(
        ground: &G,
        start: S,
        line: &dyn Fn(f64) -> Option<Point3>,
        stops: &[f64],
        fine: Fine,
    ) -> Option<Strip<S>> {
        let params = vec![*stops.first()?];
        let mut walk = Walk { ground, line, fine, now: start, joins: Vec::new(), params };
        for w in stops.windows(2) {
            walk.on(w[0], w[1], MOST_HALVINGS)?;
        }
        let (now, joins, params) = (walk.now, walk.joins, walk.params);
        if joins.is_empty() {
            return None;
        }
        let n = joins.len();
        let (mut stands, mut knots, mut flat) = (Vec::with_capacity(n + 1), vec![0.0], vec![Vec2::ZERO]);
        let (mut laid, mut angle) = (Vec::with_capacity(n), 0.0);
        for (k, (stand, length, turn)) in joins.iter().enumerate() {
            angle += turn;
            let way = Vec2::from_angle(angle);
            let lean = |turn: f64| (turn / 2.0).sin() / (turn / 2.0).cos().max(LEAST_MITRE);
            let next = joins.get(k + 1).map_or(0.0, |j| j.2);
            laid.push(Join { way, length: *length, lean: [lean(*turn), -lean(next)] });
            stands.push(*stand);
            knots.push(knots[k] + length);
            flat.push(flat[k] + way * *length);
        }
        stands.push(now);
        let points = stands.iter().map(|s| ground.point(*s)).collect();
        let mut strip = Strip { stands, points, params, knots, flat, joins: laid };
        if fine.legs {
            strip.lean_by_legs(stops);
        }
        Some(strip)
    }

    /// Between two stops the way square off turns evenly from the one's to the other's.
    fn lean_by_legs(&mut self, stops: &[f64]) {
        let at = |stop: &f64| self.params.iter().position(|p| (p - stop).abs() <= NOISE_UNIT);
        let ends: Vec<usize> = stops.iter().filter_map(at).collect();
        for w in ends.windows(2).filter(|w| w[0] < w[1]) {
            let (a, b) = (self.joins[w[0]].lean[0], self.joins[w[1] - 1].lean[1]);
            let (from, whole) = (self.knots[w[0]], self.knots[w[1]] - self.knots[w[0]]);
            for k in w[0]..w[1] {
                let lean = |s: f64| a + (b - a) * (s - from) / whole;
                self.joins[k].lean = [lean(self.knots[k]), lean(self.knots[k + 1])];
            }
        }
    }

    /// The same, moved and turned in its plane so that its place `s` mm along lies at `to`, headed at `angle` there.
    pub fn moved(mut self, s: f64, to: Vec2, angle: f64) -> Strip<S> {
        let (from, way) = (self.flat_at(s, 0.0), self.joins[self.join(s)].way);
        let turn = Vec2::from_angle(angle - way.atan2());
        for p in &mut self.flat {
            *p = to + turn.rotate_scale(*p - from);
        }
        for join in &mut self.joins {
            join.way = turn.rotate_scale(join.way);
        }
        self
    }

    /// Length of the line, mm.
    pub fn length(&self) -> f64 {
        self.knots[self.joins.len()]
    }

    /// The flat line's points.
    pub fn flat(&self) -> &[Vec2] {
        &self.flat
    }

    /// Length along the line at each of them, mm.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// The line's own measure at each.
    pub fn params(&self) -> &[f64] {
        &self.params
    }

    /// Its points in space.
    pub fn points(&self) -> &[Point3] {
        &self.points
    }

    /// Where each stands on the skin, headed along the line.
    pub fn stands(&self) -> &[S] {
        &self.stands
    }

    /// The turn between two joins at an inner point, radians to the left, over the mean length of the two: how the
    /// line bends there on the skin (its geodesic curvature), 1/mm; 0 at the ends.
    pub fn bend(&self, k: usize) -> f64 {
        if k == 0 || self.joins.len() <= k {
            return 0.0;
        }
        let (a, b) = (self.joins[k - 1], self.joins[k]);
        a.way.cross(b.way).atan2(a.way.dot(b.way)) / ((a.length + b.length) / 2.0)
    }

    /// The same at the point nearest to `s` mm along.
    pub fn bend_near(&self, s: f64) -> f64 {
        let k = self.join(s);
        let next = self.knots[k + 1] - s < s - self.knots[k];
        self.bend(if next { k + 1 } else { k })
    }

    /// How long the way to a place 1 mm off the line is at most: square off leans at corners.
    pub fn longest_aside(&self) -> f64 {
        self.joins.iter().flat_map(|j| j.lean).map(|lean| lean.hypot(1.0)).fold(1.0, f64::max)
    }

    /// The join in which the place `s` mm along lies.
    fn join(&self, s: f64) -> usize {
        self.knots.partition_point(|k| *k <= s).clamp(1, self.joins.len()) - 1
    }

    /// How far along the join one is, and how square off leans there.
    fn on_join(&self, s: f64) -> (usize, f64, f64) {
        let k = self.join(s);
        let (join, u) = (self.joins[k], s - self.knots[k]);
        (k, u, join.lean[0] + (join.lean[1] - join.lean[0]) * (u / join.length).clamp(0.0, 1.0))
    }

    /// Where the place `s` mm along and `off` mm to the left of it lies flat.
    pub fn flat_at(&self, s: f64, off: f64) -> Vec2 {
        let (k, u, lean) = self.on_join(s);
        let way = self.joins[k].way;
        self.flat[k] + way * (u + off * lean) + left_of(way) * off
    }

    /// The stand `s` mm along (straight on beyond the ends), headed along the line.
    pub fn stand<G: Ground<Stand = S>>(&self, ground: &G, s: f64) -> Option<S> {
        let (k, u, _) = self.on_join(s);
        ground.ahead(self.stands[k], u)
    }

    /// The place `s` mm along and `off` mm to the left, headed to the left; `None` beyond the skin.
    pub fn place<G: Ground<Stand = S>>(&self, ground: &G, s: f64, off: f64) -> Option<S> {
        let (k, u, lean) = self.on_join(s);
        let aside = ground.turned(ground.ahead(self.stands[k], u)?, 1.0_f64.atan2(lean));
        ground.ahead(aside, off * lean.hypot(1.0))
    }

    /// How far along and to the left of the line a flat point lies, mm. Where several places of the line would do, the
    /// nearest; beyond its ends straight on.
    pub fn along_and_off(&self, p: Vec2) -> (f64, f64) {
        let last = self.joins.len() - 1;
        let mut best: Option<(f64, f64)> = None;
        for (k, join) in self.joins.iter().enumerate() {
            let d = p - self.flat[k];
            let off = join.way.cross(d);
            if best.is_some_and(|b| b.1.abs() <= off.abs()) {
                continue;
            }
            let more = (join.lean[1] - join.lean[0]) / join.length;
            let share = 1.0 + off * more;
            if share <= NOISE_UNIT {
                continue;
            }
            let mut u = (d.dot(join.way) - off * join.lean[0]) / share;
            // Beyond the ends nothing leans any more.
            if k == 0 && u < 0.0 {
                u = d.dot(join.way) - off * join.lean[0];
            } else if k == last && join.length < u {
                u = d.dot(join.way) - off * join.lean[1];
            }
            let slack = NOISE_MM;
            if (k == 0 || -slack <= u) && (k == last || u <= join.length + slack) {
                best = Some((self.knots[k] + u, off));
            }
        }
        best.unwrap_or_else(|| {
            let near = |k: &usize| (self.flat[*k] - p).hypot2();
            let k = (0..self.flat.len()).min_by(|a, b| near(a).total_cmp(&near(b))).unwrap_or(0);
            let way = self.joins[k.min(last)].way;
            (self.knots[k], way.cross(p - self.flat[k]))
        })
    }

    /// The place on the skin of a flat point, headed to the left of the line; `None` beyond the skin.
    pub fn on_skin<G: Ground<Stand = S>>(&self, ground: &G, p: Vec2) -> Option<S> {
        let (s, off) = self.along_and_off(p);
        self.place(ground, s, off)
    }

    /// How far along and to the left of the line a point in space on the skin lies, mm; `Err` with a rough answer where
    /// it is farther off than `reach` mm, or not found.
    ///
    /// # Errors
    /// The place come nearest to it, if that is as near as triangles allow; else what the point nearest on the line sees of it,
    /// its distance straight through space.
    pub fn foot<G: Ground<Stand = S>>(
        &self,
        ground: &G,
        to: Point3,
        reach: f64,
    ) -> Result<(f64, f64), (f64, f64)> {
        let last = self.joins.len() - 1;
        let near = |k: &usize| self.points[*k].distance_squared(to);
        let all = 0..self.points.len();
        let k = all.min_by(|a, b| near(a).total_cmp(&near(b))).unwrap_or(0);
        let stand = self.stands[k];
        let d = to - self.points[k];
        let (along, out) = (ground.along(stand), ground.out(stand));
        let left = out.cross(along);
        let square = Vec2::new(d.dot(along), d.dot(left));
        let flat = square * (d.length() / square.hypot().max(NOISE_MM));
        let flat = self.flat[k] + self.joins[k.min(last)].way.rotate_scale(flat);
        let rough = self.along_and_off(flat);
        if reach < d.length() {
            return Err(rough);
        }
        let mut at = rough;
        // Over triangles ways square off jump past corners: between two no way leads to the place itself.
        let mut best = (f64::INFINITY, rough);
        let nearest = |best: (f64, (f64, f64))| if best.0 <= JUMPED_MM { best.1 } else { rough };
        for _ in 0..MOST_STEPS {
            let Some(end) = self.place(ground, at.0, at.1) else { return Err(nearest(best)) };
            let miss = to - ground.point(end);
            if miss.length() <= NOISE_MM {
                return Ok(at);
            }
            if miss.length() < best.0 {
                best = (miss.length(), at);
            }
            let up = ground.along(end);
            let right = up.cross(ground.out(end));
            // In flat, so that the next place is reckoned from whichever join it lies beside.
            let (k, _, lean) = self.on_join(at.0);
            let way = self.joins[k].way;
            let upwards = (left_of(way) + way * lean).normalize();
            let aside = Vec2::new(upwards.y, -upwards.x);
            let p = self.flat_at(at.0, at.1) + upwards * miss.dot(up) + aside * miss.dot(right);
            if !p.is_finite() {
                return Err(nearest(best));
            }
            at = self.along_and_off(p);
        }
        let settled = self
            .place(ground, at.0, at.1)
            .is_some_and(|end| (to - ground.point(end)).length() <= geom::tolerance::STRIP_AIM_MM);
        if settled { Ok(at) } else { Err(nearest(best)) }
    }
}

#[cfg(test)]
mod tests;
