//! Exact shortest ways across triangles.
//!
//! Light spreads from the source over the unfolded triangles: what passes one side within one unfolding is a window
//! of it (Mitchell, Mount and Papadimitriou 1987). Windows are followed nearest first; at a corner only the nearest
//! may split in two (Chen and Han 1990), and one that a way through a corner beats is dropped (Xin and Wang 2009). What
//! remains is exact: lengths on the triangles to rounding, never a smoothed field.

use crate::around::Near;
use crate::mesh::NONE;
use crate::{Mesh, Spot};
use geom::{Point3, Vec2};
use std::collections::BinaryHeap;
use std::f64::consts::TAU;

/// What lights a side of a triangle: the side is put on the x axis, its triangle above, the source below.
#[derive(Clone, Copy, Debug)]
struct Window {
    /// The side, named in the triangle that is lit through it.
    side: u32,
    /// The lit stretch of it.
    from: f64,
    to: f64,
    /// The source unfolded into this plane; y is at or below 0.
    source: Vec2,
    /// Way to the source of the light before this unfolding.
    before: f64,
    /// The corner the light comes from last; `NONE` = the spot itself.
    corner: u32,
    /// The window it came through.
    parent: u32,
}

/// How a corner is reached at its least distance.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Via {
    Nothing,
    /// Straight from the spot, in its own triangle.
    Source,
    /// Along a side from another corner.
    Corner(u32),
    /// Across the triangle lit by a window.
    Window(u32),
}

/// Shortest distances from a spot, and the ways.
#[derive(Debug)]
pub struct Distances<'a> {
    mesh: &'a Mesh,
    source: Spot,
    /// Least distance of each corner, mm; endless where light did not come.
    distance: Vec<f64>,
    via: Vec<Via>,
    windows: Vec<Window>,
}

/// Work in progress.
struct Spread<'a> {
    found: Distances<'a>,
    firsts: Vec<u32>,
    /// Corners at which light may bend: open edges, and where more than a full turn of skin meets.
    bends: Vec<bool>,
    /// For each side, the nearest light that met the corner facing it: distance, and where it crossed the side.
    angle: Vec<(f64, f64)>,
    queue: BinaryHeap<Near>,
    /// Corners that give light anew, and at which distance: queued after the windows by number.
    lamps: Vec<(u32, f64)>,
    /// A place, and the longest way to it that is asked for: light that cannot get there any shorter goes no further.
    aim: Option<(Point3, f64)>,
}

/// Numbers from here on name lamps in the queue.
const LAMP: u32 = 1 << 31;

impl<'a> Distances<'a> {
    /// Distances from `source` to every corner nearer than `within` (endless = all); stops early once all of `until`
    /// (corners) are settled, if any are given.
    pub fn from(mesh: &'a Mesh, source: Spot, within: f64, until: &[u32]) -> Distances<'a> {
        let mut spread = Spread::new(mesh, source);
        spread.start();
        spread.run(within, until);
        spread.found
    }

    /// Distances from `source` as far as they matter for the corner `goal`, if it is no farther than `most`: of other
    /// corners only upper bounds.
    pub(crate) fn toward(mesh: &'a Mesh, source: Spot, goal: u32, most: f64) -> Distances<'a> {
        let mut spread = Spread::new(mesh, source);
        spread.aim = Some((mesh.point(goal), most));
        spread.start();
        spread.run(most, &[goal]);
        spread.found
    }

    /// Least distance of each corner, mm.
    pub fn all(&self) -> &[f64] {
        &self.distance
    }

    /// The shortest way from the source to a corner, from the source on; empty if light did not come there.
    pub fn way(&self, corner: u32) -> Vec<Point3> {
        let mut way = vec![self.mesh.point(corner)];
        let mut at = corner;
        loop {
            match self.via[at as usize] {
                Via::Nothing => return Vec::new(),
                Via::Source => break,
                Via::Corner(other) => {
                    at = other;
                    way.push(self.mesh.point(at));
                }
                Via::Window(w) => {
                    let next = self.back(w, &mut way);
                    if next == NONE {
                        break;
                    }
                    at = next;
                    way.push(self.mesh.point(at));
                }
            }
        }
        let source = self.source.point(self.mesh);
        if way.last().is_some_and(|p| *p != source) {
            way.push(source);
        }
        way.reverse();
        way
    }

    /// From the corner facing a window's side back through its parents; the corner the light came from.
    fn back(&self, window: u32, way: &mut Vec<Point3>) -> u32 {
        let mut w = self.windows[window as usize];
        let mut to = apex(self.mesh, w.side);
        loop {
            let across = crossed(w.source, to).clamp(w.from, w.to);
            let long = self.mesh.length(w.side);
            let (a, b) = (self.mesh.point(self.mesh.from(w.side)), self.mesh.point(self.mesh.to(w.side)));
            way.push(a + (b - a) * (across / long));
            if w.parent == NONE {
                return w.corner;
            }
            // The same point in the parent's plane: on the side of its triangle across this one.
            let parent = self.windows[w.parent as usize];
            let other = self.mesh.across(w.side).unwrap_or(w.side);
            let tip = apex(self.mesh, parent.side);
            let base = self.mesh.length(parent.side);
            // `across` counts from the start of the side in the lit triangle, which is the end of `other`.
            to = if other == Mesh::next(parent.side) {
                tip + (Vec2::new(base, 0.0) - tip) * (across / long)
            } else {
                tip * (across / long)
            };
            w = parent;
        }
    }
}

/// The corner facing a side, the side on the x axis.
fn apex(mesh: &Mesh, side: u32) -> Vec2 {
    let (a, b, c) = (mesh.point(mesh.from(side)), mesh.point(mesh.to(side)), mesh.point(mesh.facing(side)));
    let long = (b - a).length();
    let x = (c - a).dot(b - a) / long;
    Vec2::new(x, ((c - a).length_squared() - x * x).max(0.0).sqrt())
}

/// Where the straight line from below the x axis to a point above it crosses it.
fn crossed(source: Vec2, to: Vec2) -> f64 {
    let height = to.y - source.y;
    if height <= 0.0 { (source.x + to.x) / 2.0 } else { source.x - (to.x - source.x) * (source.y / height) }
}

impl<'a> Spread<'a> {
    fn new(mesh: &'a Mesh, source: Spot) -> Spread<'a> {
        let n = mesh.points().len();
        let mut turn = vec![0.0; n];
        let mut bends = vec![false; n];
        for side in 0..3 * mesh.triangles().len() as u32 {
            let (a, b, c) = (mesh.from(side), mesh.to(side), mesh.facing(side));
            let at = mesh.point(a);
            turn[a as usize] += (mesh.point(b) - at).angle_between(mesh.point(c) - at);
            if mesh.across(side).is_none() {
                bends[a as usize] = true;
                bends[b as usize] = true;
            }
        }
        bends.iter_mut().zip(turn).for_each(|(bends, turn)| *bends |= TAU < turn);
        let found = Distances {
            mesh,
            source,
            distance: vec![f64::INFINITY; n],
            via: vec![Via::Nothing; n],
            windows: Vec::new(),
        };
        let angle = vec![(f64::INFINITY, 0.0); 3 * mesh.triangles().len()];
        Spread {
            found,
            firsts: mesh.first_sides(),
            bends,
            angle,
            queue: BinaryHeap::new(),
            lamps: Vec::new(),
            aim: None,
        }
    }

    fn start(&mut self) {
        let mesh = self.found.mesh;
        let spot = self.found.source;
        let corners = mesh.triangles()[spot.triangle as usize];
        if let Some(k) = (0..3).find(|k| 1.0 - geom::tolerance::NOISE_UNIT <= spot.shares[*k]) {
            // At a corner: all triangles round it.
            self.found.distance[corners[k] as usize] = 0.0;
            self.found.via[corners[k] as usize] = Via::Source;
            self.light_from(corners[k], 0.0);
            return;
        }
        // On a side: into both its triangles, for along the side itself no light goes out.
        let here = spot.point(mesh);
        let on = (0..3).find(|k| spot.shares[(k + 2) % 3] <= geom::tolerance::NOISE_UNIT);
        let across = on.and_then(|k| mesh.across(3 * spot.triangle + k as u32)).map(|s| s / 3);
        for t in [Some(spot.triangle), across].into_iter().flatten() {
            for side in 3 * t..3 * t + 3 {
                let corner = mesh.from(side);
                self.reach(corner, here.distance(mesh.point(corner)), Via::Source);
                let Some(other) = mesh.across(side) else { continue };
                let (a, b) = (mesh.point(mesh.from(other)), mesh.point(mesh.to(other)));
                let to = (b - a).length();
                let x = (here - a).dot(b - a) / to;
                let y = -((here - a).length_squared() - x * x).max(0.0).sqrt();
                let source = Vec2::new(x, y);
                self.push(Window {
                    side: other,
                    from: 0.0,
                    to,
                    source,
                    before: 0.0,
                    corner: NONE,
                    parent: NONE,
                });
            }
        }
    }

    fn run(&mut self, within: f64, until: &[u32]) {
        while let Some(Near(near, name)) = self.queue.pop() {
            let settled = |k: &u32| self.found.distance[*k as usize] <= near;
            if within < near || (!until.is_empty() && until.iter().all(settled)) {
                break;
            }
            if name < LAMP {
                self.pass(name);
            } else {
                let (corner, distance) = self.lamps[(name - LAMP) as usize];
                if distance <= self.found.distance[corner as usize] {
                    self.light_from(corner, distance);
                }
            }
        }
    }

    /// A corner is reached at a distance: kept if it is the least yet, and a lamp if light may bend there.
    fn reach(&mut self, corner: u32, distance: f64, via: Via) {
        if self.found.distance[corner as usize] <= distance {
            return;
        }
        self.found.distance[corner as usize] = distance;
        self.found.via[corner as usize] = via;
        if self.aim.is_some_and(|(to, most)| most < distance + to.distance(self.found.mesh.point(corner))) {
            return;
        }
        if self.bends[corner as usize] {
            self.queue.push(Near(distance, LAMP + self.lamps.len() as u32));
            self.lamps.push((corner, distance));
        }
    }

    /// Light from a corner into every triangle round it.
    fn light_from(&mut self, corner: u32, before: f64) {
        let mesh = self.found.mesh;
        let sides: Vec<u32> = mesh.around(self.firsts[corner as usize]).collect();
        for side in sides {
            for other in [mesh.to(side), mesh.facing(side)] {
                let far = mesh.point(corner).distance(mesh.point(other));
                self.reach(other, before + far, Via::Corner(corner));
            }
            if let Some(lit) = mesh.across(Mesh::next(side)) {
                let tip = apex(mesh, Mesh::next(side));
                let to = mesh.length(lit);
                // Seen from across, the side runs the other way and the corner lies below.
                let source = Vec2::new(to - tip.x, -tip.y);
                self.push(Window { side: lit, from: 0.0, to, source, before, corner, parent: NONE });
            }
        }
    }

    fn push(&mut self, window: Window) {
        if self.aim.is_some_and(|(to, most)| most < self.least_by(&window, to)) {
            return;
        }
        let nearest = window.source.x.clamp(window.from, window.to);
        let near = window.before + (window.source - Vec2::new(nearest, 0.0)).hypot();
        self.queue.push(Near(near, self.found.windows.len() as u32));
        self.found.windows.push(window);
    }

    /// The least way through a window to a place, straight through space from the window on.
    fn least_by(&self, w: &Window, to: Point3) -> f64 {
        let mesh = self.found.mesh;
        let (a, b) = (mesh.point(mesh.from(w.side)), mesh.point(mesh.to(w.side)));
        let along = (b - a) / mesh.length(w.side);
        let (d, x) = (to - a, along.dot(to - a));
        // Turned about the side into the plane of the light, on its far side.
        let turned = Vec2::new(x, (d - along * x).length());
        let by = Vec2::new(crossed(w.source, turned).clamp(w.from, w.to), 0.0);
        w.before + (by - w.source).hypot() + (turned - by).hypot()
    }

    /// Light through one window: to the corner facing it, and on through the two other sides.
    fn pass(&mut self, name: u32) {
        let mesh = self.found.mesh;
        let w = self.found.windows[name as usize];
        if w.source.y >= 0.0 || self.beaten(&w) {
            return;
        }
        let (base, tip) = (mesh.length(w.side), apex(mesh, w.side));
        let shadow = crossed(w.source, tip);
        let (mut left, mut right) = (w.from < shadow, shadow < w.to);
        // A corner on the very rim of the light is reached too, by a way that bends by a rounding step.
        let slack = geom::tolerance::NOISE_UNIT * base;
        if w.from - slack <= shadow && shadow <= w.to + slack {
            let by = Vec2::new(shadow.clamp(w.from, w.to), 0.0);
            let far = w.before + (by - w.source).hypot() + (tip - by).hypot();
            self.reach(mesh.facing(w.side), far, Via::Window(name));
        }
        if left && right {
            let far = w.before + (tip - w.source).hypot();
            let (least, at) = self.angle[w.side as usize];
            if far < least {
                self.angle[w.side as usize] = (far, shadow);
            } else {
                // A nearer light met this corner: only the ways that do not cross its own go on. Two lights whose rims
                // meet at the corner cross by rounding only, and both go on.
                left = shadow < at + slack;
                right = at - slack < shadow;
            }
        }
        let (next, last) = (Mesh::next(w.side), Mesh::next(Mesh::next(w.side)));
        if right {
            self.through(&w, name, next, (tip, Vec2::new(base, 0.0)), (w.from.max(shadow), w.to));
        }
        if left {
            self.through(&w, name, last, (Vec2::ZERO, tip), (w.from, w.to.min(shadow)));
        }
    }

    /// Light that crosses the base between `span` and goes out through `side`. `ends` are that side's ends as the
    /// triangle across sees them: from and to.
    fn through(&mut self, w: &Window, name: u32, side: u32, ends: (Vec2, Vec2), span: (f64, f64)) {
        let Some(lit) = self.found.mesh.across(side) else { return };
        let long = self.found.mesh.length(side);
        let along = (ends.1 - ends.0) / long;
        let hit = |x: f64| {
            let ray = Vec2::new(x, 0.0) - w.source;
            let turn = ray.cross(along);
            if turn == 0.0 { None } else { Some((ray.cross(w.source - ends.0) / turn).clamp(0.0, long)) }
        };
        let (Some(p), Some(q)) = (hit(span.0), hit(span.1)) else { return };
        let (from, to) = (p.min(q), p.max(q));
        if to - from <= geom::tolerance::NOISE_RELATIVE * long {
            return;
        }
        let d = w.source - ends.0;
        let below = along.cross(d);
        let source = Vec2::new(d.dot(along), below.min(0.0));
        let window = Window { side: lit, from, to, source, before: w.before, corner: w.corner, parent: name };
        // Light that a way through a corner of the side beats goes no further; most windows end here.
        if !self.beaten(&window) {
            self.push(window);
        }
    }

    /// Whether every point of the window is nearer by way of a corner.
    fn beaten(&self, w: &Window) -> bool {
        let mesh = self.found.mesh;
        let known = |corner: u32| self.found.distance[corner as usize];
        let long = mesh.length(w.side);
        let to_from = w.before + (w.source - Vec2::new(w.from, 0.0)).hypot();
        let to_to = w.before + (w.source - Vec2::new(w.to, 0.0)).hypot();
        // Equal ways are kept: rounding must not drop both.
        let longer = |a: f64, b: f64| b * (1.0 + geom::tolerance::PARALLEL_SINE) < a;
        if longer(to_to, known(mesh.from(w.side)) + w.to)
            || longer(to_from, known(mesh.to(w.side)) + long - w.from)
        {
            return true;
        }
        let Some(behind) = mesh.across(w.side) else { return false };
        // The corner behind, seen from this plane, and on which side of it the light came in.
        let tip = apex(mesh, behind);
        let tip = Vec2::new(long - tip.x, -tip.y);
        let far = known(mesh.facing(behind));
        let left = crossed_left(w.source, tip, w.from, w.to);
        let (end, to_end) = if left { (w.from, to_from) } else { (w.to, to_to) };
        longer(to_end, far + (tip - Vec2::new(end, 0.0)).hypot())
    }
}

/// Whether the light to the middle of a stretch passes left of a corner behind it.
fn crossed_left(source: Vec2, tip: Vec2, from: f64, to: f64) -> bool {
    let middle = Vec2::new((from + to) / 2.0, 0.0);
    (middle - source).cross(tip - source) < 0.0
}

#[cfg(test)]
mod tests;
