//! One mark on its side of a body: where its middle may be, and the sheets that are laid flat to look for it there.

use super::cells::Cell;
use super::find::Found;
use super::seek::Ground;
use super::sheets::round_size;
use super::wanted::wanted_place;
use crate::job::SkinPair;
use crate::marks::design::Design;
use crate::surface::{BodySkin, Chart, Skin, SkinShape};
use geom::tolerance::OVERHANG_MM;
use geom::{Point, Vec2};

/// Share of a sheet's reach which is counted as looked at: sheets lap over each other, and a skin's readings are not quite lengths.
pub(super) const COUNTED: f64 = 0.8;

/// Share of a mark's size that the readings of its ends surely differ by. chosen: lengths are greater than the stations
/// they span, on a slope of 45 degrees by 1.4.
const SURELY: f64 = 0.7;

/// Most a sheet may err by, mm (1 in). chosen: with more no place on it says anything of the skin.
const MOST_OFF: f64 = 25.4;

/// One mark on its side of a body.
pub(super) struct Sided<'a> {
    /// The mark, by its place in the job.
    pub(super) k: usize,
    /// Its surface.
    pub(super) own: &'a Skin,
    pub(super) body: &'a BodySkin,
    /// Its characters.
    pub(super) design: &'a Design,
    /// Where it is wanted, and the turn of its baseline on the body's own flat.
    pub(super) aim: SkinPair,
    pub(super) turn: f64,
    /// Where it must stay, the box round that.
    pub(super) area: Cell,
}

impl<'a> Sided<'a> {
    pub(super) fn of(ground: &Ground<'a>, k: usize) -> Option<Sided<'a>> {
        let (mark, own) = (&ground.job.marks[k], ground.skin(k)?);
        let SkinShape::Body(body) = &own.shape else { return None };
        let at = wanted_place(mark, ground.pack, own);
        let turn = own.angle_for(mark.tops.as_ref().map(|t| t.value), mark.along_span, at).ok()?;
        let edge = own.outline.vertices.iter().map(|v| body.reading(v.p));
        let asked: Vec<SkinPair> = if mark.within.is_empty() { edge.collect() } else { mark.within.clone() };
        let most = |k: usize| asked.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
        let least = |k: usize| asked.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min);
        let area = Cell { lo: [least(0), least(1)], hi: [most(0), most(1)] };
        Some(Sided { k, own, body, design: &ground.designs[k], aim: body.reading(at), turn, area })
    }

    /// Along the body and round it, from along the baseline and up; and back.
    pub(super) fn turned(&self, size: Vec2) -> Vec2 {
        let (sin, cos) = self.turn.sin_cos();
        if cos.abs() < sin.abs() { Vec2::new(size.y, size.x) } else { size }
    }

    /// How near, along the body and round it, the middle of a mark of a size can be to the edge of where it may go.
    pub(super) fn to_edge(&self, size: Vec2) -> Vec2 {
        self.turned(size) * (SURELY / 2.0)
    }

    /// The readings of points off the aim near which the middle of a mark of a size can be.
    fn on_it(&self, cell: &Cell, size: Vec2) -> Vec<SkinPair> {
        let (all, near) = cell.points();
        let edge = self.to_edge(size);
        let here = all.into_iter().map(|[s, t]| [s + self.aim[0], t + self.aim[1]]);
        here.filter(|p| edge.x.min(edge.y) - near < self.body.to_edge(*p)).collect()
    }

    /// The middle of them, or where that is off the skin one of them that is not.
    fn middle(&self, of: &[SkinPair]) -> Option<SkinPair> {
        let off = |p: &SkinPair| self.body.to_edge(*p);
        let middle = middle(of).filter(|p| 0.0 < off(p));
        let inmost = || of.iter().copied().max_by(|a, b| off(a).total_cmp(&off(b))).filter(|p| 0.0 < off(p));
        middle.or_else(inmost)
    }

    /// True if not even the mark by itself can be laid flat in the middle of a cell.
    pub(super) fn too_bent(&self, cell: &Cell, size: Vec2) -> bool {
        let Some(middle) = self.middle(&self.on_it(cell, size)) else { return true };
        self.flat_enough(self.own.flat_from_skin(middle), size).is_none()
    }

    /// A chart, if what it errs by can be borne.
    pub(super) fn flat_enough(&self, at: Point, size: Vec2) -> Option<Chart> {
        Chart::on_body(self.body, at, self.turn, size).filter(|c| c.figures.stroke_error <= MOST_OFF)
    }

    /// A sheet on which the middle of a mark of `size` can be anywhere in a cell off its aim.
    pub(super) fn lay(&self, cell: &Cell, size: Vec2) -> Piece {
        let here = self.on_it(cell, size);
        let Some(middle) = self.middle(&here) else { return Piece::Off };
        let half = here.iter().fold(Vec2::ZERO, |h: Vec2, p| {
            Vec2::new(h.x.max((p[0] - middle[0]).abs()), h.y.max((p[1] - middle[1]).abs()))
        });
        let whole = size + self.turned(half * (2.0 / COUNTED)) + Vec2::new(1.0, 1.0) * OVERHANG_MM;
        let at = self.own.flat_from_skin(middle);
        let Some(chart) = self.flat_enough(at, whole) else { return Piece::Bent };
        let axes = chart.axes();
        let sheet = self.own.sheet(chart.aimed_at(self.aim).to_look_in());
        let reach = (whole - size) / 2.0;
        let inside = |p: &SkinPair| {
            let local = axes * sheet.flat_from_skin(*p);
            local.x.abs() <= reach.x && local.y.abs() <= reach.y
        };
        let covered = here.iter().filter(|p| 0.0 < self.body.to_edge(**p)).all(inside);
        Piece::Laid(Box::new(sheet), covered)
    }
}

impl Sided<'_> {
    /// The sheet close round a place that was found on a wide one.
    pub(super) fn lay_close(&self, at: SkinPair, wide: &Skin, found: &Found) -> Option<Skin> {
        // Far enough round it for what the wide sheet may have been off by.
        let errs = wide.chart().map_or(0.0, |c| c.figures.stroke_error);
        let size = round_size(&found.design) + Vec2::new(4.0, 4.0) * errs;
        let chart = Chart::on_body(self.body, self.own.flat_from_skin(at), self.turn, size)?;
        Some(self.own.sheet(chart.aimed_at(self.aim)))
    }
}

/// The middle of the box round readings.
fn middle(of: &[SkinPair]) -> Option<SkinPair> {
    let range = |k: usize| {
        let all = || of.iter().map(|p| p[k]);
        f64::midpoint(all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max))
    };
    (!of.is_empty()).then(|| [range(0), range(1)])
}

/// A piece of a side.
pub(super) enum Piece {
    /// No place is there.
    Off,
    /// It cannot be laid flat.
    Bent,
    /// Laid flat, and whether all of it was reached.
    Laid(Box<Skin>, bool),
}
