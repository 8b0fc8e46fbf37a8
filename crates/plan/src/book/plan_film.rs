//! The plan file's `film` and `reaches` of a mask: what is cut from film, and where to stand.

use super::plan_file::{mm, pair, six_digits};
use super::plan_masking::ring_out;
use crate::fit::placed::Placed;
use crate::mask::film::{Film, FilmPanel, LAP, ON_TACK, RIM, STEPS};
use crate::mask::reach::{self, REACH};
use crate::mask::{Mask, Piece};
use crate::surface::Skin;
use geom::{Affine, Point};
use serde::Serialize;

/// The film of a mask.
#[derive(Debug, Serialize)]
pub(super) struct FilmOut {
    /// How far it reaches past the paint, how far panels lap, how far the rim lies on the tack strip.
    rim_mm: f64,
    lap_mm: f64,
    on_tack_mm: f64,
    /// True if the job lists no film, or no application tape, and a standing width was taken.
    assumed_film: bool,
    assumed_application_tape: bool,
    application_tape: RollOut,
    /// In the order of pulling; laid from the last to the first.
    panels: Vec<PanelOut>,
    /// The work, step by step.
    steps: Vec<&'static str>,
    basis: &'static str,
}

#[derive(Debug, Serialize)]
struct RollOut {
    width_mm: f64,
    roll_mm: f64,
}

#[derive(Debug, Serialize)]
struct PanelOut {
    id: String,
    glyphs: Vec<usize>,
    /// Its pieces in the order of pulling.
    pieces: Vec<OnPanelOut>,
    film: RollOut,
    /// Along the roll and across it.
    length_mm: f64,
    across_mm: f64,
    /// Off the roll.
    taken_mm: f64,
    /// The way along the roll, degrees counter-clockwise from +x of flat.
    along_deg: f64,
    box_flat_mm: Vec<[f64; 2]>,
    paint_rings_flat_mm: Vec<Vec<[f64; 2]>>,
    weeding_flat_mm: Vec<[[f64; 2]; 2]>,
    relief: Vec<ReliefOut>,
    hinge_flat_mm: [[f64; 2]; 2],
    register_flat_mm: Vec<[[f64; 2]; 2]>,
    application: CarryOut,
    area_m2: f64,
    cut_mm: f64,
}

#[derive(Debug, Serialize)]
struct OnPanelOut {
    id: String,
    /// `strip` or `island`.
    what: &'static str,
    /// Where its flag is: at the `rim` of the panel, or on the film `itself`.
    flag: &'static str,
}

#[derive(Debug, Serialize)]
struct ReliefOut {
    /// `letter`: outward from a letter; `gap`: along the middle of a gap.
    at: &'static str,
    line_flat_mm: [[f64; 2]; 2],
}

#[derive(Debug, Serialize)]
struct CarryOut {
    runs: usize,
    run_length_mm: f64,
}

/// Where to stand for a mask.
#[derive(Debug, Default, Serialize)]
pub(super) struct ReachesOut {
    /// An arm's reach.
    reach_mm: f64,
    basis: &'static str,
    /// Which way one stands.
    stand: &'static str,
    places: Vec<PlaceOut>,
}

#[derive(Debug, Serialize)]
struct PlaceOut {
    /// The foot of the stretch worked from there: left end, right end.
    foot_flat_mm: [[f64; 2]; 2],
    glyphs: Vec<usize>,
}

fn ends(line: &[Point; 2], axes: Affine) -> [[f64; 2]; 2] {
    line.map(|p| pair(axes * p))
}

/// The film; `axes` from flat to what outlines are given in.
pub(super) fn film_out(film: &Film, mask: &Mask, axes: Affine) -> FilmOut {
    let carrier = film.carrier.0;
    FilmOut {
        rim_mm: mm(RIM),
        lap_mm: mm(LAP),
        on_tack_mm: mm(ON_TACK),
        assumed_film: film.standing,
        assumed_application_tape: film.carrier.1,
        application_tape: RollOut { width_mm: mm(carrier.width), roll_mm: mm(carrier.length) },
        panels: film.panels.iter().map(|p| panel_out(p, mask, axes)).collect(),
        steps: STEPS.to_vec(),
        basis: "common practice, no source",
    }
}

fn on_panel(piece: &Piece) -> OnPanelOut {
    OnPanelOut {
        id: piece.id.clone(),
        what: if piece.island() { "island" } else { "strip" },
        flag: if piece.tab.area.is_empty() { "itself" } else { "rim" },
    }
}

fn panel_out(p: &FilmPanel, mask: &Mask, axes: Affine) -> PanelOut {
    let along = (axes * p.along.to_point()) - (axes * Point::ZERO);
    PanelOut {
        id: p.id.clone(),
        glyphs: p.glyphs.clone(),
        pieces: mask.pieces.iter().filter(|o| p.pieces.contains(&o.id)).rev().map(on_panel).collect(),
        film: RollOut { width_mm: mm(p.film.width), roll_mm: mm(p.film.length) },
        length_mm: mm(p.size[0]),
        across_mm: mm(p.size[1]),
        taken_mm: mm(p.taken),
        along_deg: six_digits(along.angle().to_degrees()),
        box_flat_mm: p.outline.iter().map(|q| pair(axes * *q)).collect(),
        paint_rings_flat_mm: p.paint.iter().map(|r| ring_out(r, axes)).collect(),
        weeding_flat_mm: p.weeding.iter().map(|l| ends(l, axes)).collect(),
        relief: p
            .relief
            .iter()
            .map(|r| ReliefOut {
                at: if r.gap { "gap" } else { "letter" },
                line_flat_mm: ends(&r.line, axes),
            })
            .collect(),
        hinge_flat_mm: ends(&p.hinge, axes),
        register_flat_mm: p.register.iter().map(|l| ends(l, axes)).collect(),
        application: CarryOut { runs: p.carry.0, run_length_mm: mm(p.carry.1) },
        area_m2: six_digits(p.area / 1e6),
        cut_mm: mm(p.cut_length()),
    }
}

/// Where to stand for a mark or stripe.
pub(super) fn reaches_out(mark: &Placed, skins: &[Skin], axes: Affine) -> ReachesOut {
    ReachesOut {
        reach_mm: mm(REACH),
        basis: "from memory",
        stand: reach::facing(mark, skins),
        places: reach::stands(mark)
            .into_iter()
            .map(|s| PlaceOut { foot_flat_mm: ends(&s.foot, axes), glyphs: s.glyphs })
            .collect(),
    }
}
