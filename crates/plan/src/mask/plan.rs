//! What the tape plan consists of, as plain data.

use super::colours::Part;
use geom::{Point, Ring};

/// The masks of a job and what they need.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MaskPlan {
    /// One for every mark and paint: mark by mark, the paints of each in the order they are shot.
    pub masks: Vec<Mask>,
    /// What covers the rest; `None` if nothing is masked.
    pub paper: Option<super::Paper>,
}

/// The mask of one mark for one paint.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mask {
    /// Id of the mark.
    pub of: String,
    /// Ids of the stripes masked together with it; what is sprayed of them stands with its own.
    pub with: Vec<String>,
    /// Of stripes masked together the one each piece is counted with: 0 = `of`, then those of `with`; else empty.
    pub owners: Vec<usize>,
    /// Ids of what is shot in other paints where pieces of it lie: of two such the mask of the later is laid when the mask
    /// of the earlier is off and its paint dry to tape.
    pub upon: Vec<String>,
    /// Id of its surface.
    pub surface: String,
    /// Id of the paint; empty if the job names none.
    pub paint: String,
    /// Which colour of the mark it is for.
    pub part: Part,
    /// What is sprayed through it at each character, flat, laps under later colours included.
    pub sprayed: Vec<Vec<Ring>>,
    /// True = tape, false = a mask cut from film.
    pub tape: bool,
    /// Gap between paint edge and tack strip at each character, mm.
    pub glyph_gaps: Vec<f64>,
    /// The tack strip's edges that face the paint, flat.
    pub tack_rings: Vec<Vec<Point>>,
    /// All pieces, in the order of laying.
    pub pieces: Vec<Piece>,
    /// Sums.
    pub totals: Totals,
    /// The film it is cut from; `None` for a mask of tape.
    pub film: Option<super::Film>,
}

impl Mask {
    /// True if it masks the mark or stripe of that id, alone or with others.
    pub fn serves(&self, id: &str) -> bool {
        self.of == id || self.with.iter().any(|w| w == id)
    }

    /// True if stripes masked together meet, so that some outline is of several.
    pub fn joined(&self) -> bool {
        let outer = self.sprayed.iter().flatten().filter(|r| r.area() > 0.0).count();
        !self.with.is_empty() && outer < 1 + self.with.len()
    }

    /// The pieces counted with the mark or stripe of that id: of stripes masked together each has those along its own edges.
    pub fn pieces_of<'a>(&'a self, id: &'a str) -> impl Iterator<Item = &'a Piece> + 'a {
        let own = move |k: usize| match self.owners.get(k) {
            Some(0) | None => self.of == id,
            Some(n) => self.with.get(n - 1).is_some_and(|w| w == id),
        };
        self.pieces.iter().enumerate().filter(move |(k, _)| own(*k)).map(|(_, p)| p)
    }
}

/// What a piece is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Fills the letter's shape while the rest is taped.
    Layout,
    /// Border tape at the gap, on which everything else ends.
    Tack,
    /// Its edge is the paint's edge.
    Edge,
    /// Carries on from the back of a narrow edge tape to the tack strip.
    Bridge,
    /// Fills a small counter, cut whole on the board.
    Plug,
    /// A strip or an island of film.
    Film,
}

/// A piece of tape.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name on map and tab.
    pub id: String,
    /// What it is for.
    pub kind: Kind,
    /// Index of the character; -1 for a piece along several.
    pub glyph: i32,
    /// Index of the ring within the character; -1 for a piece along several.
    pub ring: i32,
    /// Real width as it lies, mm.
    pub width: f64,
    /// Width on the label of the tape it is cut from, mm; 0 for film.
    pub label: f64,
    /// True if it is cut down along its length to `width`.
    pub trimmed: bool,
    /// The edge of it that faces the paint, flat, without run-on; closed pieces repeat the first point.
    pub path: Vec<Point>,
    /// Its ends.
    pub start: End,
    /// See `start`.
    pub finish: End,
    /// Where it is taken hold of.
    pub tab: Tab,
    /// Strain of its stretched side, share.
    pub strain: f64,
    /// Length to cut, mm: path, what runs past both ends, and the tab if it is a fold.
    pub cut_length: f64,
    /// Indices of the pieces it lies on, rising.
    pub over: Vec<usize>,
    /// Place in the order of laying, from 1.
    pub lay: usize,
    /// Place in the order of pulling, from 1.
    pub pull: usize,
    /// The skin it covers, flat: outlines counter-clockwise, holes clockwise. Tabs are not part of it.
    pub footprint: Vec<Ring>,
}

/// One end of a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// How it ends.
    pub kind: EndKind,
    /// Angle between the cut and the paint line, measured in the tape, radians; 0 where nothing is cut to fit.
    pub cut: f64,
    /// How far it runs on past the end of its path, mm.
    pub past: f64,
    /// True if this end must meet the line.
    pub exact: bool,
}

/// How a piece ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EndKind {
    /// It runs on past the corner.
    RunOn,
    /// It is cut on the board before it is laid.
    PreCut,
    /// It laps the next piece along the same edge.
    Lap,
}

/// Where a piece is taken hold of.
#[derive(Clone, Debug, PartialEq)]
pub struct Tab {
    /// Where on the piece.
    pub at: TabAt,
    /// What it is.
    pub kind: TabKind,
    /// The skin below it, flat, corner by corner; empty if it has no room of its own or there is no tab.
    pub area: Vec<Point>,
}

/// Where a tab is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names say it")]
pub enum TabAt {
    Start,
    Finish,
    Middle,
    None,
}

/// What a tab is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TabKind {
    /// The end folded under itself.
    Fold,
    /// A scrap across the back.
    Flag,
    /// None.
    None,
}

/// Sums over a mask.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Totals {
    /// Edge tape to cut, plugs left out, mm.
    pub edge: f64,
    /// Bridge tape to cut, mm.
    pub bridge: f64,
    /// Tack strip to cut, mm.
    pub tack: f64,
    /// Layout tape to cut, mm.
    pub layout: f64,
    /// How many pieces.
    pub pieces: usize,
    /// How many ends are cut on the board.
    pub pre_cuts: usize,
    /// How many tabs.
    pub tabs: usize,
}

impl Piece {
    /// A piece before its width, ends and order are known.
    pub(super) fn blank(kind: Kind, glyph: i32, ring: i32, path: Vec<Point>) -> Piece {
        let end = End { kind: EndKind::PreCut, cut: 0.0, past: 0.0, exact: false };
        Piece {
            id: String::new(),
            kind,
            glyph,
            ring,
            width: 0.0,
            label: 0.0,
            trimmed: false,
            path,
            start: end,
            finish: end,
            tab: Tab { at: TabAt::None, kind: TabKind::None, area: Vec::new() },
            strain: 0.0,
            cut_length: 0.0,
            over: Vec::new(),
            lay: 0,
            pull: 0,
            footprint: Vec::new(),
        }
    }

    /// Length of its path, mm.
    pub fn path_length(&self) -> f64 {
        self.path.windows(2).map(|w| w[0].distance(w[1])).sum()
    }
}
