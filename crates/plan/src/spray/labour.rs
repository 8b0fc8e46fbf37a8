//! Labour: how long each step takes, by rates a shop can replace, and the hours of a job by phase.
//!
//! The rates are common practice without a source; each says so in its table. How much tape, paper and cutting a
//! letter needs is what its mask holds, [`of_mask`]; only where a letter has no mask it is estimated from its outline, [`estimate`].

use super::figures::Figures;
use super::shots::Shot;
use crate::job::{Attachments, Job};
use crate::mask::{End, EndKind, Kind, Mask, TabKind};
use crate::problem::Problem;
use geom::tolerance::NOISE_MM;
use geom::{Point, Ring};

/// The rates that come with the program.
pub const RATES: &str = include_str!("../../../../data/labour.toml");

const FOOT_MM: f64 = 304.8;
/// Turn of an outline, degrees, from which two pieces of tape meet (as in masking).
const CORNER_DEG: f64 = 10.0;

/// What masking one letter takes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MaskWork {
    /// Edge tape, mm.
    pub edge_mm: f64,
    /// Bridge tape over tight curves, mm.
    pub bridge_mm: f64,
    /// Tack strip, mm.
    pub tack_mm: f64,
    /// Layout tape, mm.
    pub layout_mm: f64,
    /// Strips of layout tape.
    pub layout_strips: f64,
    /// Pieces of edge tape, bridges and plugs. Pieces along several letters are shared out among them.
    pub pieces: f64,
    /// Ends of those cut on the board.
    pub pre_cuts: f64,
    /// Their tabs.
    pub tabs: f64,
    /// Paper that goes with the letter, both faces, m2.
    pub paper_m2: f64,
    /// Area that is scuffed, m2.
    pub scuff_m2: f64,
    /// Paint edge that is cut from film, mm; 0 for a mask of tape.
    pub film_mm: f64,
    /// Film that is laid, m2.
    pub film_m2: f64,
    /// Panels of film. Panels with several letters are shared out among them.
    pub film_panels: f64,
    /// Which mask it shares with another stripe, counted from 1; 0 if none.
    pub shared: usize,
    /// Indices of the marks shot in other paints on whose place its mask lies.
    pub upon: Vec<usize>,
}

/// The rates of a job: ours, or the shop's own over them.
///
/// # Errors
/// Everything in the shop's file that cannot be used.
pub fn rates(job: &Job, files: &Attachments) -> Result<Figures, Vec<Problem>> {
    let ours = Figures::own(RATES);
    let Some(named) = job.shop.as_ref().and_then(|s| s.labour.as_ref()) else { return Ok(ours) };
    match files.files.get(&named.value) {
        Some(bytes) => ours.with_file(&named.value, bytes),
        None => Err(vec![Problem::at(named.span.clone(), format!("there is no file {}", named.value))]),
    }
}

/// Masking work of a letter from its outline alone, until the mask itself says it: edge tape once round, tack strip
/// once round the grown outline, one piece an edge, one cut end at each corner that points into the paint.
/// `faces_m2` is the share of both papered faces that goes with it.
pub fn estimate(shot: &Shot, gap: f64, layout_tape: f64, faces_m2: f64) -> MaskWork {
    let mut work =
        MaskWork { paper_m2: faces_m2, scuff_m2: shot.area() / super::area::M2, ..MaskWork::default() };
    for ring in &shot.rings {
        let (pieces, into_paint) = corners(ring);
        work.edge_mm += ring.perimeter();
        // A strip round a shape grows by the gap on all sides: by twice pi gaps on a full turn.
        work.tack_mm += ring.perimeter() + ring.area().signum() * std::f64::consts::TAU * gap;
        work.pieces += f64::from(pieces);
        work.pre_cuts += f64::from(into_paint);
    }
    work.layout_mm = shot.area() / layout_tape.max(1.0);
    work.layout_strips = work.pieces / 2.0;
    work.tabs = work.pieces;
    work
}

/// Masking work of a letter as its mask says: its own pieces, and its share of those along several letters, of which
/// the mark `of` has `letters`; of stripes masked together the pieces along its own edges.
pub fn of_mask(mask: &Mask, of: &str, shot: &Shot, letters: usize, faces_m2: f64) -> MaskWork {
    let mut work =
        MaskWork { paper_m2: faces_m2, scuff_m2: shot.area() / super::area::M2, ..MaskWork::default() };
    for piece in mask.pieces_of(of) {
        let share = match usize::try_from(piece.glyph) {
            Ok(glyph) if glyph == shot.glyph => 1.0,
            Ok(_) => continue,
            Err(_) => 1.0 / letters.max(1) as f64,
        };
        let length = share * piece.cut_length;
        match piece.kind {
            Kind::Layout => {
                work.layout_mm += length;
                work.layout_strips += share;
                continue;
            }
            Kind::Tack => {
                work.tack_mm += length;
                continue;
            }
            Kind::Edge | Kind::Plug => work.edge_mm += length,
            Kind::Bridge => work.bridge_mm += length,
            Kind::Film => {
                work.film_mm += length;
                work.film_m2 += share * piece.footprint.iter().map(Ring::area).sum::<f64>() / super::area::M2;
            }
        }
        let cut = |end: &End| end.kind == EndKind::PreCut && end.cut > 0.0;
        work.pieces += share;
        work.pre_cuts += share * [piece.start, piece.finish].iter().filter(|e| cut(e)).count() as f64;
        work.tabs += if piece.tab.kind == TabKind::None { 0.0 } else { share };
    }
    let own = |p: &&crate::mask::FilmPanel| p.glyphs.contains(&shot.glyph);
    for panel in mask.film.iter().flat_map(|f| &f.panels).filter(own) {
        work.film_panels += 1.0 / panel.glyphs.len().max(1) as f64;
    }
    work
}

/// Corners of a ring, and those of them that point into the paint.
fn corners(ring: &Ring) -> (u32, u32) {
    let all = ring.flattened(1.0);
    let n = all.len();
    let points: Vec<Point> =
        (0..n).filter(|i| all[*i].distance(all[(i + 1) % n]) > NOISE_MM).map(|i| all[i]).collect();
    let n = points.len();
    let mut found = (0, 0);
    for i in 0..n {
        let (a, b) = (points[i] - points[(i + n - 1) % n], points[(i + 1) % n] - points[i]);
        let turn = a.cross(b).atan2(a.dot(b)).to_degrees();
        if turn.abs() > CORNER_DEG {
            found.0 += 1;
            found.1 += u32::from(turn < 0.0);
        }
    }
    (found.0.max(1), found.1)
}

/// Minutes at a rate of so many feet an hour.
pub fn minutes_for_length(mm: f64, rate_ft_h: f64) -> f64 {
    mm / FOOT_MM / rate_ft_h * 60.0
}

/// Minutes at a rate of so many square feet an hour.
pub fn minutes_for_area(m2: f64, rate_ft2_h: f64) -> f64 {
    m2 * super::area::M2 / (FOOT_MM * FOOT_MM) / rate_ft2_h * 60.0
}

/// Edge tape laid and layout tape out, or film weeded and laid, the letter scuffed if it is: minutes for one pair of
/// hands.
pub fn edge_minutes(work: &MaskWork, scuffed: bool, rates: &Figures) -> f64 {
    let scuff = if scuffed { minutes_for_area(work.scuff_m2, rates.value("scuff")) } else { 0.0 };
    minutes_for_length(work.edge_mm + work.bridge_mm, rates.value("edge-tape"))
        + work.pre_cuts * rates.value("pre-cut")
        + work.tabs * rates.value("tab")
        + minutes_for_length(work.film_mm, rates.value("film-weed"))
        + minutes_for_area(work.film_m2, rates.value("film-lay"))
        + work.film_panels * rates.value("film-panel")
        + scuff
}

/// Layout tape, tack strip and paper of a letter: minutes for one pair of hands.
pub fn mask_minutes(work: &MaskWork, rates: &Figures) -> (f64, f64) {
    let strips = minutes_for_length(work.tack_mm, rates.value("tack-strip"))
        + minutes_for_area(work.paper_m2, rates.value("paper"));
    // Film brings the outline with it: only its box is struck, which goes with the baseline.
    let layout = if work.film_mm > 0.0 { 0.0 } else { rates.value("layout") }
        + work.layout_strips * rates.value("layout-strip")
        + minutes_for_length(work.layout_mm, rates.value("layout-tape"));
    (layout, strips)
}

/// Pulling the edge tape or the film: minutes for one pair of hands, without the swab.
pub fn pull_minutes(work: &MaskWork, rates: &Figures) -> f64 {
    minutes_for_length(work.edge_mm + work.bridge_mm + work.film_mm, rates.value("pull"))
}

/// Hours of a job by phase, minutes for one pair of hands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Labour {
    /// Phase and minutes, in the order of the work.
    pub phases: Vec<(&'static str, f64)>,
    /// Where the rates come from.
    pub basis: String,
}

impl Labour {
    /// All minutes.
    pub fn total(&self) -> f64 {
        self.phases.iter().map(|p| p.1).sum()
    }
}
