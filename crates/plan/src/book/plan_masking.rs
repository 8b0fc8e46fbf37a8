//! The plan file's `masking`: every piece of tape as data.

use super::plan_file::{file_word, mm, pair, six_digits};
use super::plan_film::{FilmOut, ReachesOut, film_out, reaches_out};
use crate::Plan;
use crate::job::FeatureKind;
use crate::mask::{End, EndKind, Kind, Mask, Paper, PaperStrip, Piece, TabAt, TabKind};
use crate::surface::Skin;
use geom::tolerance::FLATTEN_MM;
use geom::{Affine, Point, Ring};
use serde::Serialize;

/// One mask.
#[derive(Debug, Serialize)]
pub(super) struct MaskOut {
    of: String,
    /// Beyond the contract: stripes masked together with it; absent where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    with: Vec<String>,
    paint: String,
    method: &'static str,
    glyph_gaps_mm: Vec<f64>,
    tack_rings_flat_mm: Vec<Vec<[f64; 2]>>,
    pieces: Vec<PieceOut>,
    totals: TotalsOut,
    /// Beyond the contract: which colour of the mark: letters, outline or shadow.
    part: &'static str,
    /// Beyond the contract: what is sprayed through it at each character, laps under later colours included.
    sprayed_rings_flat_mm: Vec<Vec<Vec<[f64; 2]>>>,
    /// Beyond the contract: the film of a cut mask; absent for a mask of tape.
    #[serde(skip_serializing_if = "Option::is_none")]
    film: Option<FilmOut>,
    /// Beyond the contract: where to stand for it, one a reach.
    reaches: ReachesOut,
}

#[derive(Debug, Serialize)]
struct PieceOut {
    id: String,
    kind: &'static str,
    glyph: i32,
    ring: i32,
    tape_width_mm: f64,
    path_flat_mm: Vec<[f64; 2]>,
    cut_length_mm: f64,
    start: EndOut,
    finish: EndOut,
    tab: TabOut,
    over: Vec<String>,
    lay: usize,
    pull: usize,
    /// Beyond the contract: width on the label of the tape it is cut from, 0 for film.
    label_width_mm: f64,
    /// Beyond the contract: strain of the stretched side, share.
    strain: f64,
    /// Beyond the contract: the skin it covers, as laid and cut.
    footprint_flat_mm: Vec<Vec<[f64; 2]>>,
}

#[derive(Debug, Serialize)]
struct EndOut {
    end: &'static str,
    cut_deg: f64,
    past_mm: f64,
    exact: bool,
}

#[derive(Debug, Serialize)]
struct TabOut {
    at: &'static str,
    kind: &'static str,
    /// Beyond the contract: the skin below it; empty if it lies wholly on its own piece.
    area_flat_mm: Vec<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct TotalsOut {
    edge_mm: f64,
    bridge_mm: f64,
    tack_mm: f64,
    layout_mm: f64,
    pieces: usize,
    pre_cuts: usize,
    tabs: usize,
}

/// The paper of a job.
#[derive(Debug, Serialize)]
pub(super) struct PaperOut {
    sides: Vec<&'static str>,
    area_m2: f64,
    strips: Vec<PaperStripOut>,
    /// Beyond the contract: what is covered before all else and uncovered after, to be counted.
    covered: Vec<CoveredOut>,
    /// Beyond the contract: on scans, how far it goes round each mark; absent where there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    rounds: Vec<RoundOut>,
}

#[derive(Debug, Serialize)]
struct RoundOut {
    surface: String,
    of: String,
    /// `None`: it could not be planned.
    reach_mm: Option<f64>,
    /// By how much lengths there err at most, share.
    strain: Option<f64>,
}

#[derive(Debug, Serialize)]
struct PaperStripOut {
    surface: String,
    width_mm: f64,
    length_mm: f64,
    /// Beyond the contract: `face` or `back` of that surface, and where it lies; a back is seen through the face.
    side: &'static str,
    corners_flat_mm: Vec<[f64; 2]>,
    /// Beyond the contract: on a body, where its ends and its lower and upper edge lie: stations and girths.
    #[serde(skip_serializing_if = "Option::is_none")]
    stations_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    girths_mm: Option<[f64; 2]>,
    /// Beyond the contract: where the skin curves both ways, what is folded up along its edges.
    #[serde(skip_serializing_if = "Option::is_none")]
    darts_mm: Option<f64>,
    /// Beyond the contract: on a scan, the mark it lies round, in whose flat its corners are.
    #[serde(skip_serializing_if = "Option::is_none")]
    round: Option<String>,
}

#[derive(Debug, Serialize)]
struct CoveredOut {
    surface: String,
    id: String,
    kind: &'static str,
}

/// Windows on the skins that are papered: acrylic, which paint solvent crazes.
fn windows(
    skins: &[Skin],
    papered: impl Fn(&str) -> bool,
) -> impl Iterator<Item = (&String, &String, FeatureKind)> {
    skins.iter().filter(move |s| papered(&s.id)).flat_map(|skin| {
        let own = skin.features.iter().filter(|f| f.kind == FeatureKind::Window);
        own.map(|f| (&skin.id, &f.id, f.kind))
    })
}

/// The paper; `papered` says of a surface by its id that something is painted on it.
pub(super) fn paper_out(paper: &Paper, skins: &[Skin], papered: impl Fn(&str) -> bool) -> PaperOut {
    let on_body = |s: &PaperStrip| {
        let skin = skins.iter().find(|skin| skin.id == s.surface && skin.is_body())?;
        let [a, b] = [s.corners[0], s.corners[2]].map(|p| skin.skin_from_flat(p));
        Some([[a[0].min(b[0]), a[0].max(b[0])], [a[1], b[1]]].map(|pair| pair.map(mm)))
    };
    let side = |back: bool| if back { "back" } else { "face" };
    PaperOut {
        sides: [false, true].into_iter().filter(|b| !b || paper.back()).map(side).collect(),
        area_m2: six_digits(paper.area / 1e6),
        strips: paper
            .strips
            .iter()
            .map(|s| PaperStripOut {
                surface: s.surface.clone(),
                width_mm: mm(s.width),
                length_mm: mm(s.length),
                side: side(s.back),
                corners_flat_mm: s.corners.iter().map(|p| pair(*p)).collect(),
                stations_mm: on_body(s).map(|b| b[0]),
                girths_mm: on_body(s).map(|b| b[1]),
                darts_mm: on_body(s).map(|_| mm(s.darts)),
                round: s.round.clone(),
            })
            .collect(),
        covered: paper
            .covered
            .iter()
            .map(|(surface, id, kind)| (surface, id, *kind))
            .chain(windows(skins, papered))
            .map(|(surface, id, kind)| CoveredOut {
                surface: surface.clone(),
                id: id.clone(),
                kind: file_word(kind),
            })
            .collect(),
        rounds: paper
            .rounds
            .iter()
            .map(|r| RoundOut {
                surface: r.surface.clone(),
                of: r.of.clone(),
                reach_mm: r.reach.map(mm),
                strain: r.reach.map(|_| six_digits(r.strain)),
            })
            .collect(),
    }
}

/// All masks.
/// `axes` tells for a mark's id from flat to what its outlines are given in.
pub(super) fn masking_out(plan: &Plan, axes: impl Fn(&str) -> Affine) -> Vec<MaskOut> {
    let painted = plan.painted();
    let masks = plan.masking.masks.iter();
    masks
        .map(|mask| {
            let map = axes(&mask.of);
            let mark = painted.iter().find(|m| m.id == mask.of);
            mask_out(mask, map, mark.map(|m| reaches_out(m, &plan.skins, map)))
        })
        .collect()
}

fn mask_out(mask: &Mask, axes: Affine, reaches: Option<ReachesOut>) -> MaskOut {
    let pair = |p: Point| pair(axes * p);
    let t = &mask.totals;
    MaskOut {
        of: mask.of.clone(),
        with: mask.with.clone(),
        paint: mask.paint.clone(),
        method: if mask.tape { "tape" } else { "cut-mask" },
        glyph_gaps_mm: mask.glyph_gaps.iter().map(|g| mm(*g)).collect(),
        tack_rings_flat_mm: mask.tack_rings.iter().map(|r| r.iter().map(|p| pair(*p)).collect()).collect(),
        pieces: mask.pieces.iter().map(|p| piece_out(p, mask, axes)).collect(),
        totals: TotalsOut {
            edge_mm: mm(t.edge),
            bridge_mm: mm(t.bridge),
            tack_mm: mm(t.tack),
            layout_mm: mm(t.layout),
            pieces: t.pieces,
            pre_cuts: t.pre_cuts,
            tabs: t.tabs,
        },
        part: mask.part.word(),
        sprayed_rings_flat_mm: mask
            .sprayed
            .iter()
            .map(|g| g.iter().map(|r| ring_out(r, axes)).collect())
            .collect(),
        film: mask.film.as_ref().map(|f| film_out(f, mask, axes)),
        reaches: reaches.unwrap_or_default(),
    }
}

pub(super) fn ring_out(ring: &Ring, axes: Affine) -> Vec<[f64; 2]> {
    ring.flattened(FLATTEN_MM).into_iter().map(|p| pair(axes * p)).collect()
}

fn piece_out(p: &Piece, mask: &Mask, axes: Affine) -> PieceOut {
    let pair = |p: Point| pair(axes * p);
    PieceOut {
        id: p.id.clone(),
        kind: kind_word(p.kind),
        glyph: p.glyph,
        ring: p.ring,
        tape_width_mm: mm(p.width),
        path_flat_mm: p.path.iter().map(|q| pair(*q)).collect(),
        cut_length_mm: mm(p.cut_length),
        start: end_out(&p.start),
        finish: end_out(&p.finish),
        tab: TabOut {
            at: match p.tab.at {
                TabAt::Start => "start",
                TabAt::Finish => "finish",
                TabAt::Middle => "middle",
                TabAt::None => "none",
            },
            kind: match p.tab.kind {
                TabKind::Fold => "fold",
                TabKind::Flag => "flag",
                TabKind::None => "none",
            },
            area_flat_mm: p.tab.area.iter().map(|q| pair(*q)).collect(),
        },
        over: p.over.iter().map(|k| mask.pieces[*k].id.clone()).collect(),
        lay: p.lay,
        pull: p.pull,
        label_width_mm: mm(p.label),
        strain: six_digits(if p.strain.is_finite() { p.strain } else { 9.0 }),
        footprint_flat_mm: p.footprint.iter().map(|r| ring_out(r, axes)).collect(),
    }
}

/// The kind as the plan file words it.
pub(super) fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Layout => "layout",
        Kind::Tack => "tack",
        Kind::Edge => "edge",
        Kind::Bridge => "bridge",
        Kind::Plug => "plug",
        Kind::Film => "film",
    }
}

fn end_out(e: &End) -> EndOut {
    EndOut {
        end: match e.kind {
            EndKind::RunOn => "run-on",
            EndKind::PreCut => "pre-cut",
            EndKind::Lap => "lap",
        },
        cut_deg: six_digits(e.cut.to_degrees()),
        past_mm: mm(e.past),
        exact: e.exact,
    }
}
