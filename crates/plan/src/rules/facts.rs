//! What is measured of a mark before it is held against a rule. Plain lengths in mm; whoever lays out or
//! measures the mark fills it in.

use super::height::SkinSize;
use super::pack::{Face, Hand, SurfaceKind, Tops};

/// What is known of one mark.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkFacts {
    /// Its id.
    pub id: String,
    /// The text as painted; a space is a group gap.
    pub text: String,
    /// Whether the pack binds it.
    pub legal: bool,
    /// The pack's name for the place, if the job gives one.
    pub location: Option<String>,
    /// What it is painted on.
    pub surface: SurfaceKind,
    /// Which half of a wing.
    pub half: Option<Hand>,
    /// Which face of a wing.
    pub face: Option<Face>,
    /// Which side of a body or panel.
    pub side: Option<Hand>,
    /// Height of the mark, from baseline to cap height.
    pub height_mm: f64,
    /// The characters from left to right, without spaces, the hyphen among them.
    pub characters: Vec<CharacterFacts>,
    /// Gaps between neighbours of one group, left to right.
    pub gaps_mm: Vec<f64>,
    /// Gaps between groups, left to right.
    pub group_gaps_mm: Vec<f64>,
    /// Length of each line of the mark, first to last; one for a mark of one line.
    pub lines_mm: Vec<f64>,
    /// Slant of the characters, degrees from upright.
    pub slant_deg: f64,
    /// Where the tops point.
    pub tops: Option<Tops>,
    /// Angle of the baseline from the horizontal, degrees, -180 to 180, where that makes sense.
    pub baseline_deg: Option<f64>,
    /// Distance from the mark's box to the leading edge.
    pub to_leading_edge_mm: Option<f64>,
    /// Distance from the mark's box to the trailing edge.
    pub to_trailing_edge_mm: Option<f64>,
    /// Least distance from the paint to an edge of the surface.
    pub margin_mm: Option<f64>,
    /// Size of the skin at the mark.
    pub skin: SkinSize,
    /// It has an outline or a shadow.
    pub outlined: bool,
    /// How many paints it is painted in, outline and shadow not counted.
    pub colours: usize,
}

/// What is known of one character.
#[derive(Clone, Debug, PartialEq)]
pub struct CharacterFacts {
    /// The character.
    pub character: char,
    /// Its width, measured along the baseline and before any slant.
    pub width_mm: f64,
    /// Its own height, foot to top, if it was measured; a hyphen has none.
    pub height_mm: Option<f64>,
    /// Thickness of its strokes, if it was measured.
    pub stroke: Option<StrokeFacts>,
}

/// Thickness of the strokes of a character, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrokeFacts {
    /// Least.
    pub min_mm: f64,
    /// Greatest.
    pub max_mm: f64,
    /// The middle one of all places measured.
    pub median_mm: f64,
}

impl MarkFacts {
    /// Length from the first to the last character; of the longest line if there are several.
    pub fn length_mm(&self) -> f64 {
        self.lines_mm.iter().copied().fold(0.0, f64::max)
    }
}
