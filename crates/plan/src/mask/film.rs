//! A mask cut whole from film: what is cut, on which film, how it is carried over, and how it comes off in strips.
//!
//! The outlines of the paint are cut on a plotter; the letters' own film is the waste. Round each panel of film runs a
//! box, which is its edge; its rim lies on the tack strip, so that nothing lies over film that is pulled wet. Relief
//! cuts part what stays: round a letter into strips that peel away from it, and along the middles of the gaps. In
//! reading order: letters shared out into cells (`film_cells`), cells onto panels of the film on the shelf
//! (`film_panels`), relief and weeding cuts (`film_cuts`), the pieces that come off one by one (`film_pieces`), a
//! second look (`film_check`) and what there is to say (`film_say`).

use super::colours::{Colour, Part};
use super::film_cells::{TextLine, lines_of};
use super::film_check::check_film;
use super::film_cuts::{Relief, relief_cuts, weeding_cuts};
use super::film_panels::{Panel, share_panels};
use super::film_pieces::{rim_strip, strips_of_panel};
use super::film_say::film_findings;
use super::order::lay_and_pull;
use super::plan::{Kind, Mask};
use super::shelf::Measures;
use super::whole::{lay_of, name_colour, totals};
use crate::finding::Finding;
use crate::fit::placed::Placed;
use crate::job::types::{Masking, Roll};
use geom::{Affine, Point, Ring, Vec2};

/// How far film reaches past the paint, mm: 2 in (common practice, no source).
pub const RIM: f64 = 50.8;
/// How far one panel of film laps the next, mm: 1/2 in (common practice, no source).
pub const LAP: f64 = 12.7;
/// How far the rim lies on the tack strip, mm: 1/4 in, so that a strip that wanders 1/16 in still holds it. chosen.
pub const ON_TACK: f64 = 6.35;
/// Film left bare along each edge of the roll and before and after a panel, mm: 1/2 in for the plotter's rollers (from
/// memory).
pub const SPARE: f64 = 12.7;
/// How far one run of application tape laps the next, mm: 1/4 in (common practice, no source).
pub const CARRY_LAP: f64 = 6.35;
/// Film and application tape where the job lists none: 24 in by 50 yd, 12 in by 100 yd (from memory).
pub const STANDING: (Roll, Roll) =
    (Roll { width: 609.6, length: 45_720.0 }, Roll { width: 304.8, length: 91_440.0 });
/// No relief or weeding cut comes nearer to the paint than this, mm. chosen: five times what a knife wanders.
pub const CLEAR: f64 = 0.5;

/// The film of one mask.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// True if the job lists no film and the standing one was taken.
    pub standing: bool,
    /// The application tape, and if the job lists none.
    pub carrier: (Roll, bool),
    /// Its panels, in the order of pulling: laid from the last to the first.
    pub panels: Vec<FilmPanel>,
}

/// One panel of film, cut in one go.
#[derive(Clone, Debug, PartialEq)]
pub struct FilmPanel {
    /// Its name: `reg-film-1`.
    pub id: String,
    /// Indices of the characters on it.
    pub glyphs: Vec<usize>,
    /// Names of its pieces, in the order of pulling.
    pub pieces: Vec<String>,
    /// The roll it is cut from.
    pub film: Roll,
    /// The box round it, flat: its edge, and a weeding cut.
    pub outline: Vec<Point>,
    /// Along the roll, flat, unit length.
    pub along: Vec2,
    /// Length along the roll and across it, mm.
    pub size: [f64; 2],
    /// Film taken off the roll, mm, with what the plotter needs at both ends.
    pub taken: f64,
    /// The paint's outlines, flat: cut lines. Outer counter-clockwise, counters clockwise.
    pub paint: Vec<Ring>,
    /// Film that stays, mm2.
    pub area: f64,
    /// Cuts through the waste, so that it is lifted in parts, flat.
    pub weeding: Vec<[Point; 2]>,
    /// Cuts through what stays, so that it peels away in strips, flat.
    pub relief: Vec<Relief>,
    /// Where it is hinged while it is laid, flat.
    pub hinge: [Point; 2],
    /// Short ticks at the rim for baseline, cap line and middle, flat.
    pub register: Vec<[Point; 2]>,
    /// Runs of application tape over it, and the length of each, mm.
    pub carry: (usize, f64),
}

/// The order of the work, step by step, as card and drawing tell it.
pub const STEPS: [&str; 6] = [
    "strike baseline, cap line and the boxes of the film on the skin",
    "tack strip round the boxes, its inner edge 1/4 in inside them; paper ends on the strip",
    "weed on the bench: the waste round each box, then the letters, part by part; the islands stay on their liner",
    "application tape over the panel, pressed down; hang it by its hinge to the lines and lay one half after the other, \
     last panel first",
    "application tape off, back over itself; tape down: thumb every relief cut, lap and island to the skin",
    "scuff, wipe, spray; pull in the order of the list, each strip back over itself and away from the paint",
];

/// The mask of one colour of a mark, cut from film.
pub(super) fn film_mask(masking: &Masking, mark: &Placed, colour: &Colour) -> (Mask, Vec<Finding>) {
    let m = Measures::new(masking);
    let lay = lay_of(mark);
    let level_from_flat = Affine::rotate(-mark.angle) * Affine::translate(-lay.origin.to_vec2());
    let flat_from_level = level_from_flat.inverse();
    let lines = lines_of(mark, colour, level_from_flat);
    let alone = mark.charts.as_ref().is_some_and(|c| !c.one_plane(mark.height));
    let standing = masking.film.is_empty();
    let shelf = if standing { vec![STANDING.0] } else { masking.film.clone() };
    let carrier = (masking.application_tape.unwrap_or(STANDING.1), masking.application_tape.is_none());
    let panels = share_panels(&lines, &shelf, alone);

    let mut film = Film { standing, carrier, panels: Vec::new() };
    let mut pieces = Vec::new();
    for panel in &panels {
        let line: &TextLine = &lines[panel.line];
        let relief = relief_cuts(line, panel);
        let mut strips = strips_of_panel(line, panel, &relief, mark, &m, &pieces);
        name_colour(&mut strips, colour.part);
        let mut done = finished(mark, colour, line, panel, relief, carrier.0, film.panels.len());
        done.pieces = strips.iter().map(|p| p.id.clone()).collect();
        film.panels.push(done);
        pieces.extend(strips);
    }
    let (mut strip, tack_rings) = rim_strip(&panels, masking.tack_tape, m.tack);
    name_colour(&mut strip, colour.part);
    pieces.extend(strip);
    for piece in &mut pieces {
        mapped(piece, flat_from_level);
    }
    for panel in &mut film.panels {
        panel.map(flat_from_level);
    }
    lay_and_pull(&mut pieces);
    for p in &mut pieces {
        p.cut_length = p.path_length() + p.start.past + p.finish.past;
    }
    let found = check_film(&colour.glyphs, &pieces, &film);
    let mask = Mask {
        of: mark.id.clone(),
        with: Vec::new(),
        owners: Vec::new(),
        upon: Vec::new(),
        surface: mark.surface.clone(),
        paint: colour.paint.clone(),
        part: colour.part,
        sprayed: colour.glyphs.clone(),
        tape: false,
        glyph_gaps: vec![RIM - ON_TACK; mark.glyphs.len()],
        tack_rings: tack_rings.iter().map(|r| r.iter().map(|p| flat_from_level * *p).collect()).collect(),
        totals: totals(&pieces),
        pieces,
        film: Some(film),
    };
    let said = film_findings(mark, masking, &mask, &panels, &found);
    (mask, said)
}

/// A panel with its cuts, still level.
fn finished(
    mark: &Placed,
    colour: &Colour,
    line: &TextLine,
    panel: &Panel,
    relief: Vec<Relief>,
    carrier: Roll,
    before: usize,
) -> FilmPanel {
    let paint = panel.paint(line);
    let size = panel.size();
    let [length, across] = size;
    let area =
        Ring::from_points(panel.outline.iter().copied()).area() - paint.iter().map(Ring::area).sum::<f64>();
    let runs = ((across - CARRY_LAP) / (carrier.width - CARRY_LAP)).ceil().max(1.0) as usize;
    let sign = match colour.part {
        Part::Letters => "film",
        Part::Outline => "outline-film",
        Part::Shadow => "shadow-film",
    };
    FilmPanel {
        id: format!("{}-{sign}-{}", mark.id, before + 1),
        glyphs: panel.cells(line).iter().flat_map(|c| c.glyphs.iter().copied()).collect(),
        pieces: Vec::new(),
        film: panel.film,
        outline: panel.outline.to_vec(),
        along: panel.along(),
        size,
        taken: length + 2.0 * SPARE,
        area,
        weeding: weeding_cuts(line, panel, mark.stroke),
        hinge: panel.hinge(),
        register: panel.register(mark, line),
        paint,
        relief,
        carry: (runs, length + 2.0 * SPARE),
    }
}

fn mapped(piece: &mut super::Piece, map: Affine) {
    for p in piece.path.iter_mut().chain(&mut piece.tab.area) {
        *p = map * *p;
    }
    for ring in &mut piece.footprint {
        *ring = ring.mapped(map);
    }
}

impl FilmPanel {
    /// Everything that has a place, mapped by a turn and a shift.
    fn map(&mut self, map: Affine) {
        let pairs = self.weeding.iter_mut().chain(&mut self.register).chain([&mut self.hinge]).flatten();
        let relief = self.relief.iter_mut().flat_map(|r| &mut r.line);
        for p in self.outline.iter_mut().chain(pairs).chain(relief) {
            *p = map * *p;
        }
        for ring in &mut self.paint {
            *ring = ring.mapped(map);
        }
        self.along = (map * self.along.to_point()) - (map * Point::ZERO);
    }

    /// Length of everything the plotter cuts, mm.
    pub fn cut_length(&self) -> f64 {
        let lines = self.weeding.iter().chain(self.relief.iter().map(|r| &r.line));
        self.paint.iter().map(Ring::perimeter).sum::<f64>()
            + Ring::from_points(self.outline.iter().copied()).perimeter()
            + lines.map(|[a, b]| a.distance(*b)).sum::<f64>()
    }
}

impl super::Piece {
    /// True for film that fills a counter: it lies closed along its paint.
    pub fn island(&self) -> bool {
        self.kind == Kind::Film && self.path.len() > 2 && self.path.first() == self.path.last()
    }
}

impl Film {
    /// Film that stays on the skin while it is sprayed, mm2; laps count twice.
    pub fn area(&self) -> f64 {
        self.panels.iter().map(|p| p.area).sum()
    }
}
