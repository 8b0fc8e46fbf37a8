//! A rule pack: one rule or custom about marks as plain data, every number with its bound and source.
//!
//! What a rule does not say is absent here (`None`, an empty list) and is then not checked. No tolerance is
//! in it: a tolerance on an exact figure is the shop's.

use super::craft::{Category, Special};
use super::figure::{Figure, Provision};
use super::grammar::{Match, Pattern};

/// One rule or custom.
#[derive(Clone, Debug, PartialEq)]
pub struct Pack {
    /// Its name in a job file.
    pub id: String,
    /// Its name on the screen.
    pub title: String,
    /// Who made the rule.
    pub authority: String,
    /// Which edition these figures are from, and how they were come by.
    pub edition: String,
    /// Parts of the rule that were not read; nothing about them is checked, and that is said.
    pub unread: Vec<String>,
    /// No rule was found, only custom; it is labelled `unverified practice` wherever it shows.
    pub practice: bool,
    /// How many rows were read, quoted, from memory and mere practice, in this order.
    pub rows_by_basis: [usize; 4],
    /// Heights.
    pub heights: Vec<HeightRow>,
    /// What to do where the full height fits nowhere.
    pub fallback: Vec<Fallback>,
    /// All characters of a mark are of one height.
    pub equal_heights: Option<Provision>,
    /// Width of a standard character.
    pub width: Option<Figure>,
    /// Characters of another width.
    pub width_exceptions: Vec<WidthException>,
    /// Thickness of a stroke.
    pub stroke: Option<Figure>,
    /// Least gap between characters.
    pub gap: Option<Figure>,
    /// How the clause about the gap is read, if it can be read in several ways.
    pub gap_reading: String,
    /// Gap between two groups of characters, where the rule has groups.
    pub group_gap: Option<Figure>,
    /// The hyphen's length.
    pub hyphen_length: Option<Figure>,
    /// Forms a mark may take; none: any text.
    pub forms: Vec<Form>,
    /// What a mark never contains.
    pub never: Vec<Never>,
    /// Marks that are kept for someone.
    pub reserved: Vec<Form>,
    /// Greatest slant.
    pub slant: Option<Figure>,
    /// No ornament.
    pub ornament: Option<Provision>,
    /// One colour only.
    pub one_colour: Option<Provision>,
    /// The mark contrasts with what it lies on, without a number; what is estimated about it is guidance.
    pub contrast: Option<Provision>,
    /// Demands about style that are shown and not measured here (legible, permanent).
    pub style: Vec<Provision>,
    /// Places for a mark.
    pub locations: Vec<Location>,
    /// Which places must be filled.
    pub sets: Vec<Set>,
    /// Both sides alike.
    pub alike: Option<Provision>,
    /// Least clear margin round a mark.
    pub margins: Vec<Margin>,
    /// Words shown beside the mark.
    pub words: Vec<Word>,
    /// Smaller marks that may stay until they are repainted.
    pub grandfather: Vec<Grandfather>,
    /// Another mark that differs from this one.
    pub second_mark: Option<Provision>,
    /// Demands on how the mark is seen, without a size.
    pub performance: Vec<Performance>,
    /// What paint must not cover.
    pub no_cover: Vec<Provision>,
    /// What else to think of.
    pub notices: Vec<Provision>,
}

/// When a row of the pack applies; what is empty or absent does not restrict it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct When {
    /// One of these kinds of craft.
    pub categories: Vec<Category>,
    /// One of these special classes.
    pub specials: Vec<Special>,
    /// One of these places.
    pub locations: Vec<String>,
    /// Cruising speed.
    pub max_cruise: Option<Figure>,
    /// Years since it was built.
    pub age: Option<Figure>,
    /// Greatest take-off mass.
    pub mass: Option<Figure>,
    /// Only if it crosses an air defence identification zone.
    pub adiz: bool,
}

/// One height and when it is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightRow {
    /// The height.
    pub height: Figure,
    /// The height need not exceed this.
    pub cap: Option<Figure>,
    /// What the row does.
    pub effect: Effect,
    /// When.
    pub when: When,
    /// For what, in words.
    pub say: String,
}

/// What a height row does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Asks this height; of several the greatest.
    Asks,
    /// Lowers what is asked to this height, where it surely applies.
    Eases,
    /// Raises what is asked to this height, eased or not.
    Raises,
}

/// What to do where the full height fits nowhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Fallback {
    /// The fallback in words, with its source.
    pub provision: Provision,
    /// The height that is then enough, if the rule names one.
    pub height: Option<Figure>,
    /// When.
    pub when: When,
}

/// Characters of another width than the standard one.
#[derive(Clone, Debug, PartialEq)]
pub struct WidthException {
    /// Which characters.
    pub characters: String,
    /// Their width; with `Limit::May` the greatest width permitted, from the standard one up; with
    /// `Limit::None` the usual width, nothing is asked.
    pub width: Figure,
}

/// A form of mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// The form.
    pub pattern: Pattern,
    /// The form in words.
    pub provision: Provision,
    /// It holds the letter of the craft's category, so that no word need stand beside it.
    pub category_letter: bool,
    /// When it may be used.
    pub when: When,
}

impl Form {
    /// Whether a text is of this form.
    pub fn matches(&self, text: &str) -> bool {
        self.pattern.compare(text) == Match::Whole
    }
}

/// What a mark never contains.
#[derive(Clone, Debug, PartialEq)]
pub struct Never {
    /// None of these characters.
    pub characters: String,
    /// It does not start like this.
    pub starts: Vec<String>,
    /// No group of it is one of these.
    pub groups: Vec<String>,
    /// It is about a hyphen or group gap that is too many.
    pub gap: bool,
    /// The prohibition in words.
    pub provision: Provision,
}

/// A place for a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Location {
    /// Its name in a job file.
    pub id: String,
    /// The place in words, with its source.
    pub provision: Provision,
    /// For these kinds of craft; empty for all.
    pub categories: Vec<Category>,
    /// Kinds of surface it can be on.
    pub surfaces: Vec<SurfaceKind>,
    /// Which side of the craft.
    pub side: Option<Hand>,
    /// Which half of a wing.
    pub half: Option<Hand>,
    /// Which face of a wing.
    pub face: Option<Face>,
    /// Which way the tops of the characters point.
    pub tops: Option<Tops>,
    /// The baseline is horizontal.
    pub horizontal: bool,
    /// The mark may stand vertical where no more than this height is asked.
    pub vertical_below: Option<Figure>,
    /// As far from the leading edge as from the trailing edge, as far as possible.
    pub centred: bool,
    /// In the half of the craft nearer the bow.
    pub forward_half: bool,
    /// The rule asks for no mark here; one that is here is decoration.
    pub decoration: bool,
}

/// Places that must be filled.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// One of these lists of places, whole.
    pub any_of: Vec<Vec<String>>,
    /// In words, with its source.
    pub provision: Provision,
    /// When.
    pub when: When,
}

/// A clear margin round a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Margin {
    /// How wide.
    pub figure: Figure,
    /// When.
    pub when: When,
}

/// A word shown beside the mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Word {
    /// The word as painted.
    pub text: String,
    /// For these special classes.
    pub specials: Vec<Special>,
    /// Least height of its letters.
    pub least: Figure,
    /// Greatest height of its letters.
    pub most: Option<Figure>,
    /// Where it goes, in words.
    pub provision: Provision,
}

/// A smaller mark that may stay until it is repainted.
#[derive(Clone, Debug, PartialEq)]
pub struct Grandfather {
    /// Its least height.
    pub height: Figure,
    /// For whom.
    pub when: When,
    /// Which marks, and when they lose this, in words.
    pub say: String,
}

/// A demand on how the mark is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Performance {
    /// The distance.
    pub figure: Figure,
    /// The demand in words.
    pub say: String,
}

/// Kind of surface a mark is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SurfaceKind {
    /// A flat panel.
    Flat,
    /// A wing, or anything with leading and trailing edge.
    Wing,
    /// A body.
    Body,
    /// A scan.
    Mesh,
}

/// Left or right, as the pilot sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Hand {
    Left,
    Right,
}

/// Face of a wing or tailplane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Face {
    Upper,
    Lower,
}

/// Where the tops of the characters point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Tops {
    LeadingEdge,
    TrailingEdge,
    Up,
    Forward,
    Aft,
}

impl Pack {
    /// The place of that name.
    pub fn location(&self, id: &str) -> Option<&Location> {
        self.locations.iter().find(|location| location.id == id)
    }

    /// The word the pack knows under this text, if the text is no mark but such a word; capitals, and a
    /// hyphen or space in it, make no difference.
    pub fn word(&self, text: &str) -> Option<&Word> {
        let plain = |text: &str| text.to_uppercase().replace('-', " ");
        self.words.iter().find(|word| plain(&word.text) == plain(text))
    }

    /// What is put after a message from this pack: nothing, unless no rule was found.
    pub fn label(&self) -> &'static str {
        if self.practice { " [unverified practice]" } else { "" }
    }
}

impl Tops {
    /// The direction in words.
    pub fn words(self) -> &'static str {
        match self {
            Tops::LeadingEdge => "the leading edge",
            Tops::TrailingEdge => "the trailing edge",
            Tops::Up => "up",
            Tops::Forward => "forward",
            Tops::Aft => "aft",
        }
    }
}
