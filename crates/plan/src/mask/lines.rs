//! One piece along all the caps and one along all the feet, where letters are small and line up.

use super::channel::Field;
use super::outline::Run;
use super::shelf::SHORT;
use geom::tolerance::TAPE_KEPT_MM;
use geom::{Point, Vec2};

/// Cap height, mm, up to which one piece runs along several letters: 4 in. chosen: up to there gaps between letters
/// are hardly wider than the tape, and a painter's arm takes in the whole mark.
pub(super) const SHARED_UP_TO: f64 = 4.0 * 25.4;

/// A piece along several runs.
#[derive(Debug)]
pub(super) struct Line {
    /// The runs it takes over, in the order of travel.
    pub(super) members: Vec<usize>,
    /// As one straight run.
    pub(super) run: Run,
    /// `cap` or `foot`.
    pub(super) name: &'static str,
}

/// Where a mark lies: a point on its baseline, the direction of reading, and its cap height, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lay {
    /// On the baseline.
    pub(super) origin: Point,
    /// Direction of reading.
    pub(super) along: Vec2,
    /// Cap height, mm.
    pub(super) height: f64,
}

impl Lay {
    /// Height of a point over the baseline, mm.
    pub(super) fn up(&self, p: Point) -> f64 {
        self.along.cross(p - self.origin)
    }
}

/// The shared lines of a mark. `width`: of the tape that will be laid; `longest` piece, mm.
pub(super) fn shared_lines(runs: &[Run], field: &Field, lay: &Lay, width: f64, longest: f64) -> Vec<Line> {
    let mut lines = Vec::new();
    if lay.height > SHARED_UP_TO {
        return lines;
    }
    for (name, level, way) in [("cap", lay.height, -lay.along), ("foot", 0.0, lay.along)] {
        let on_line = |r: &Run| {
            !r.hole
                && r.straight()
                && r.ways[0].dot(way) > 0.9
                && r.points.iter().all(|p| (lay.up(*p) - level).abs() <= TAPE_KEPT_MM / 2.0)
        };
        let mut members: Vec<usize> = (0..runs.len()).filter(|k| on_line(&runs[*k])).collect();
        let at = |k: &usize| way.dot(runs[*k].points[0] - lay.origin);
        members.sort_by(|a, b| at(a).total_cmp(&at(b)));
        let mut chain: Vec<usize> = Vec::new();
        for k in members {
            let joins = chain.last().is_some_and(|last| {
                let (from, to) = (runs[*last].points[1], runs[k].points[0]);
                let gap = way.dot(to - from);
                let first = runs[chain[0]].points[0];
                field.free_way(from, way, width, gap) + TAPE_KEPT_MM >= gap
                    && way.dot(runs[k].points[1] - first) <= longest
            });
            if !joins {
                lines.extend(line(runs, std::mem::take(&mut chain), name));
            }
            chain.push(k);
        }
        lines.extend(line(runs, chain, name));
    }
    lines
}

/// A line along at least two characters; `None` for fewer.
fn line(runs: &[Run], members: Vec<usize>, name: &'static str) -> Option<Line> {
    let (first, last) = (runs.get(*members.first()?)?, runs.get(*members.last()?)?);
    if first.glyph == last.glyph {
        return None;
    }
    let points = vec![first.points[0], last.points[1]];
    let run = Run {
        glyph: -1,
        ring: -1,
        hole: false,
        length: points[0].distance(points[1]).max(SHORT),
        closed: false,
        turns: [first.turns[0], last.turns[1]],
        ways: [first.ways[0], first.ways[0]],
        bulging: f64::INFINITY,
        hollow: f64::INFINITY,
        before: first.before,
        after: last.after,
        points,
    };
    Some(Line { members, run, name })
}
