//! The finished film looked at by another road: points along every paint edge are asked what film lies on them, and
//! every cut how near it comes to the paint.

use super::film::{CLEAR, Film};
use super::order::bounds;
use super::plan::{Kind, Piece};
use geom::distance::edge_to_edge;
use geom::measure::segments;
use geom::point::left_of;
use geom::tolerance::{KEPT_MM, TAPE_KEPT_MM};
use geom::winding::contains;
use geom::{Edge, Point, Ring};

/// Distance between two points asked along a paint edge, mm, and the fewest on one edge. chosen.
const STEP: (f64, u32) = (20.0, 2);

/// What was found.
#[derive(Debug, Default)]
pub(super) struct FilmFound {
    /// How many points were asked.
    pub(super) asked: usize,
    /// Paint edge without film beside it.
    pub(super) bare: Vec<Point>,
    /// Film on paint.
    pub(super) on_paint: Vec<Point>,
    /// How near the nearest relief or weeding cut comes to the paint, mm; infinite if there is none.
    pub(super) nearest_cut: f64,
}

/// Asks points along all paint edges. `glyphs`: what is sprayed at each character, flat.
pub(super) fn check_film(glyphs: &[Vec<Ring>], pieces: &[Piece], film: &Film) -> FilmFound {
    let mut found = FilmFound { nearest_cut: f64::INFINITY, ..FilmFound::default() };
    let laid: Vec<(&[Ring], (Point, Point))> = pieces
        .iter()
        .filter(|p| p.kind == Kind::Film)
        .filter_map(|p| Some((p.footprint.as_slice(), bounds(&p.footprint)?)))
        .collect();
    let filmed = |p: Point| {
        laid.iter().any(|(rings, (lo, hi))| {
            lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y && contains(rings, p)
        })
    };
    let shapes: Vec<(&[Ring], (Point, Point))> =
        glyphs.iter().filter_map(|g| Some((g.as_slice(), bounds(g)?))).collect();
    let painted = |p: Point| {
        shapes.iter().any(|(rings, (lo, hi))| {
            lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y && contains(rings, p)
        })
    };
    for edge in glyphs.iter().flatten().flat_map(Ring::edges) {
        // An even number, so that none falls on an edge's middle, where a relief cut may begin.
        let count = ((edge.length() / STEP.0).ceil() as u32).max(STEP.1).next_multiple_of(2);
        for k in 0..count {
            let share = (f64::from(k) + 0.5) / f64::from(count);
            let beside = left_of(edge.direction(share)).normalize() * (2.0 * TAPE_KEPT_MM);
            let (within, without) = (edge.at(share) + beside, edge.at(share) - beside);
            found.asked += 1;
            // Beside a corner the other side of it may be nearer than the step; a relief cut that begins just here is
            // no gap.
            let aside = edge.direction(share).normalize() * (2.0 * TAPE_KEPT_MM);
            let covered = || [without, without + aside, without - aside].into_iter().any(filmed);
            if !painted(without) && !covered() {
                found.bare.push(without);
            }
            if painted(within) && filmed(within) {
                found.on_paint.push(within);
            }
        }
    }
    for panel in &film.panels {
        let cuts = panel.relief.iter().map(|r| &r.line).chain(&panel.weeding);
        let cuts: Vec<Edge> = cuts.flat_map(|c| segments(c).collect::<Vec<_>>()).collect();
        for e in panel.paint.iter().flat_map(Ring::edges) {
            for c in &cuts {
                found.nearest_cut = found.nearest_cut.min(edge_to_edge(c, &e));
            }
        }
    }
    found
}

impl FilmFound {
    /// True if nothing is wrong.
    pub(super) fn good(&self) -> bool {
        self.bare.is_empty() && self.on_paint.is_empty() && self.nearest_cut >= CLEAR - KEPT_MM
    }
}
