//! The job as plain data: every table of the job file, every length in millimetres, every temperature in
//! degrees Celsius, every time in minutes, every angle in degrees as typed.
//!
//! Values that later stages may still have to refuse keep their place in the file (`At`).

pub use super::feature::{Cross, Feature, FeatureKind, FeatureShape, Part, Rivets, ScanShape};
pub use super::stripe::{Along, AlongLine, Apart, SkinEdge, Stripe, StripeEnd};
pub use crate::rules::craft::{Category, Craft, Special};
pub use crate::rules::pack::Tops;
use std::ops::Range;

/// A value and where it stands in the job file (byte offsets).
#[derive(Clone, Debug, PartialEq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it was read; `0..0` for a default.
    pub span: Range<usize>,
}

impl<T> At<T> {
    /// A value that was not in the file.
    pub fn assumed(value: T) -> At<T> {
        At { value, span: 0..0 }
    }
}

/// Two numbers as a person measures them on a surface, mm: along the span or x, then along the skin or y.
pub type SkinPair = [f64; 2];

/// Three numbers in a scan's own axes and unit.
pub type ScanPoint = [f64; 3];

/// The whole job file.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Title of the job.
    pub title: String,
    /// Unit of bare numbers.
    pub units: Unit,
    /// Id of a rule pack, or a path to one.
    pub rules: Option<At<String>>,
    /// The shop's tolerance on exact figures of a rule, mm.
    pub rule_tolerance: f64,
    /// Groups of mark ids that get one height and one gap.
    pub alike: Vec<Vec<String>>,
    /// True if each mark of such a group takes its own best place, not the station that serves them all.
    pub alike_own_place: bool,
    /// What the rule pack needs to choose a height.
    pub craft: Craft,
    /// How well features were measured, mm.
    pub survey_error: f64,
    /// What is painted on.
    pub grounds: Vec<Ground>,
    /// The surfaces.
    pub surfaces: Vec<Surface>,
    /// The marks.
    pub marks: Vec<Mark>,
    /// The stripes.
    pub stripes: Vec<Stripe>,
    /// How it is masked; `None` if the table is absent.
    pub masking: Option<Masking>,
    /// The paints.
    pub paints: Vec<Paint>,
    /// The spray gun.
    pub gun: Option<Gun>,
    /// Air and surface.
    pub conditions: Option<Conditions>,
    /// Hours and hands.
    pub shop: Option<Shop>,
    /// How full-size patterns are printed.
    pub patterns: Patterns,
}

/// Unit of a bare number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Inch, 25.4 mm.
    In,
    /// Foot, 304.8 mm.
    Ft,
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
}

impl Job {
    /// Paint and ground of the mark or stripe of that id, by id, empty where not said. A mirrored stripe that names none has
    /// those of the one it mirrors. `None` if there is no such mark or stripe.
    pub fn painted_with(&self, id: &str) -> Option<(&str, &str)> {
        if let Some(mark) = self.marks.iter().find(|m| m.id == id) {
            return Some((&mark.paint, &mark.over));
        }
        let stripe = self.stripes.iter().find(|s| s.id == id)?;
        let other = stripe.mirror_of.as_ref().filter(|of| of.value != id);
        let theirs = other.and_then(|of| self.stripes.iter().find(|s| s.id == of.value));
        let theirs = theirs.unwrap_or(stripe);
        let paint = if stripe.paint.is_empty() { &theirs.paint } else { &stripe.paint };
        let over = if stripe.over.is_empty() { &theirs.over } else { &stripe.over };
        Some((paint, over))
    }
}

impl Unit {
    /// Millimetres in one of it.
    pub fn mm(self) -> f64 {
        match self {
            Unit::In => 25.4,
            Unit::Ft => 304.8,
            Unit::Mm => 1.0,
            Unit::Cm => 10.0,
            Unit::M => 1000.0,
        }
    }
}

/// A time that may be tied to a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeAt {
    /// Minutes.
    pub minutes: f64,
    /// Degrees Celsius it is stated for; `None` = taken as it stands.
    pub at_c: Option<f64>,
}

/// What is painted on.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Its id.
    pub id: String,
    /// Colour or reflectance.
    pub tone: Tone,
    /// Solid, metallic or clear-coated.
    pub finish: Finish,
    /// When it was shot, `2026-06-04T15:00:00`, the shop's clock.
    pub shot: Option<DateTime>,
    /// When tape may go on it.
    pub dry_to_tape: Option<TimeAt>,
    /// Minutes after which it must be scuffed.
    pub scuff_after: Option<f64>,
}

/// How light it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tone {
    /// Red, green, blue as on a screen (sRGB).
    Colour([u8; 3]),
    /// Share of light reflected, 0 to 1.
    Reflectance(f64),
    /// Not said.
    Unknown,
}

/// Finish of a ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Finish {
    Solid,
    Metallic,
    ClearCoated,
}

/// A day and time on the shop's own clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DateTime {
    /// Year, month (1-12), day (1-31).
    pub date: [u16; 3],
    /// Minutes after midnight.
    pub minute: u16,
}

/// One surface that is painted on.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Its id.
    pub id: String,
    /// Its shape, with where `kind` stands in the file.
    pub shape: At<SurfaceShape>,
    /// Which side it is on, where said.
    pub side: Option<Side>,
    /// What it is made of.
    pub material: Material,
    /// Ties the faces of one panel together.
    pub panel: Option<String>,
    /// Ribs.
    pub ribs: Option<Ribs>,
    /// Pieces that move or come off.
    pub parts: Vec<Part>,
    /// What the layout must respect.
    pub features: Vec<Feature>,
}

impl Surface {
    /// What it is in words: `right wing, upper face`, `left side, flat`.
    pub fn in_words(&self) -> String {
        let side = match self.side {
            Some(Side::Left) => "left side, ",
            Some(Side::Right) => "right side, ",
            Some(Side::Upper) => "upper side, ",
            Some(Side::Lower) => "lower side, ",
            None => "",
        };
        match &self.shape.value {
            SurfaceShape::Flat { .. } => format!("{side}flat panel"),
            SurfaceShape::Wing(w) => format!(
                "{} wing, {} face",
                if w.right { "right" } else { "left" },
                if w.upper { "upper" } else { "lower" }
            ),
            SurfaceShape::Body { .. } => format!("{side}body"),
            SurfaceShape::Mesh { .. } => format!("{side}{}", self.id),
        }
    }
}

/// Shape of a surface.
#[derive(Clone, Debug, PartialEq)]
pub enum SurfaceShape {
    /// A flat panel.
    Flat {
        /// Its edge from the datum corner, mm.
        corners: Vec<SkinPair>,
    },
    /// One face of a half wing (or tail surface).
    Wing(Box<WingShape>),
    /// Lofted through stations.
    Body {
        /// Height of the girth's zero line, mm.
        waterline: f64,
        /// The stations.
        stations: Vec<Station>,
    },
    /// A scan.
    Mesh {
        /// Path of the scan.
        file: At<String>,
        /// Its unit.
        unit: Unit,
        /// What is rougher than this is taken for the scanner's noise, mm; 0 = nothing is.
        smooth: f64,
        /// Its axes, where stated.
        axes: Option<ScanAxes>,
    },
}

/// How a scan lies in its craft, in the scan's own axes.
#[derive(Clone, Debug, PartialEq)]
pub struct ScanAxes {
    /// Which way is up, of any length.
    pub up: ScanPoint,
    /// Which way stations count, of any length; what of it runs up is left out.
    pub aft: ScanPoint,
    /// The point of the middle plane from which stations and heights count, in the scan's own unit.
    pub datum: ScanPoint,
}

/// One face of a half wing.
#[derive(Clone, Debug, PartialEq)]
pub struct WingShape {
    /// Which half, as the pilot sees it: true = right.
    pub right: bool,
    /// True = the upper face.
    pub upper: bool,
    /// Root rib to tip, mm, square to the root rib.
    pub span: f64,
    /// Chord at root and tip, mm.
    pub chord: [f64; 2],
    /// Tip leading edge aft of root leading edge, mm.
    pub sweep: f64,
    /// How far the tip's leading edge is above the root's, mm.
    pub rise: f64,
    /// How far the tip's section is turned nose down against the root's, about its leading edge, degrees.
    pub washout_deg: f64,
    /// Section at root and tip.
    pub section: [At<SectionName>; 2],
    /// Ribs between root and tip at which the panel kinks.
    pub breaks: Vec<WingBreak>,
    /// Length at the tip that curves away and carries no mark, mm.
    pub tip_bow: At<f64>,
    /// Skin length leading to trailing edge as measured at root and tip, mm.
    pub girth: Option<At<[f64; 2]>>,
    /// True if the user's t of features, parts and `within` starts at the trailing edge.
    pub t_from_trailing: bool,
}

/// A rib at which the straight lines of a panel kink; what it does not say lies straight between its neighbours.
#[derive(Clone, Debug, PartialEq)]
pub struct WingBreak {
    /// Its station, mm from the root rib.
    pub s: f64,
    /// Chord there, mm.
    pub chord: Option<f64>,
    /// Leading edge aft of the root's, mm.
    pub sweep: Option<f64>,
    /// Leading edge above the root's, mm.
    pub rise: Option<f64>,
    /// Turned nose down against the root's section, degrees.
    pub washout_deg: Option<f64>,
    /// Section there; needed where those of root and tip differ.
    pub section: Option<At<SectionName>>,
    /// Skin length leading to trailing edge as measured, mm.
    pub girth: Option<f64>,
    /// Where it stands in the file.
    pub span: Range<usize>,
}

/// Which section.
#[derive(Clone, Debug, PartialEq)]
pub enum SectionName {
    /// Digits of a 4- or 5-digit NACA section, `2412` or `23012`.
    Naca(String),
    /// Path of a two-column ordinate file.
    File(String),
}

/// One station of a body.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Station from the datum, mm.
    pub s: f64,
    /// Its outline.
    pub outline: StationOutline,
}

/// Outline of a station.
#[derive(Clone, Debug, PartialEq)]
pub enum StationOutline {
    /// A superellipse.
    Superellipse {
        /// Half width, mm.
        half_width: f64,
        /// Height of the top, mm.
        top: f64,
        /// Height of the bottom, mm.
        bottom: f64,
        /// 2 = ellipse.
        power: f64,
    },
    /// Measured (half width, height), top to bottom, mm.
    Points(Vec<[f64; 2]>),
}

/// Side of a craft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Side {
    Upper,
    Lower,
    Left,
    Right,
}

/// What a skin is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Material {
    Fabric,
    Metal,
    Composite,
    Wood,
    Other,
}

/// Ribs under a skin.
#[derive(Clone, Debug, PartialEq)]
pub struct Ribs {
    /// Where they are.
    pub at: RibStations,
    /// Width of the tape over each, mm; 0 if none.
    pub tape: f64,
}

/// Where ribs are.
#[derive(Clone, Debug, PartialEq)]
pub enum RibStations {
    /// Every so many mm from the root.
    Every(f64),
    /// At these stations, mm.
    At(Vec<f64>),
}

/// A mark: a registration or a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its id.
    pub id: String,
    /// Id of its surface.
    pub surface: String,
    /// What it says.
    pub text: At<String>,
    /// The rule pack's name for the place.
    pub location: Option<At<String>>,
    /// The pack binds it.
    pub legal: bool,
    /// Letter style.
    pub letters: At<Letters>,
    /// How high.
    pub height: At<Height>,
    /// Character width over height.
    pub width_ratio: Option<f64>,
    /// Width of M and W over height.
    pub wide_ratio: Option<f64>,
    /// Stroke over height.
    pub stroke_ratio: Option<f64>,
    /// Gap over standard character width.
    pub gap_ratio: Option<f64>,
    /// True if gaps are widened until the open areas between neighbours are equal.
    pub optical: At<bool>,
    /// Added to the gap between two characters side by side, of the height.
    pub pairs: At<Vec<(char, char, f64)>>,
    /// From the baseline of a line to the caps of the next, of the height.
    pub line_gap_ratio: f64,
    /// How lines of different length stand over each other.
    pub line_align: LineAlign,
    /// True if the baseline is square to the root rib rather than along the leading edge.
    pub along_span: bool,
    /// Slant, degrees, leaning right positive.
    pub slant_deg: At<f64>,
    /// Which way the tops point.
    pub tops: Option<At<Tops>>,
    /// How its place is chosen.
    pub place: At<Place>,
    /// Where the centre should be if nothing is in the way.
    pub aim: Option<SkinPair>,
    /// On a scan: where the centre should be if nothing is in the way, and where the baseline points.
    pub scan_aim: Option<At<[ScanPoint; 2]>>,
    /// Where the mark must stay; empty = the surface's outline.
    pub within: Vec<SkinPair>,
    /// On a scan: where the mark must stay; empty = what can be laid flat round it.
    pub scan_within: At<Vec<ScanPoint>>,
    /// Id of its paint; empty if not said.
    pub paint: String,
    /// Id of what it is painted over; empty if not said.
    pub over: String,
    /// An outline in a further colour: width, paint.
    pub outline: Option<At<(f64, String)>>,
    /// A shadow in a further colour: by, paint.
    pub shadow: Option<At<([f64; 2], String)>>,
}

/// Letter style.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Letters {
    Square,
    Clipped,
    Rounded,
    /// A font file by path.
    Font(String),
}

/// How lines of different length stand over each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum LineAlign {
    Left,
    Centre,
    Right,
}

/// How high a mark is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Height {
    /// So many mm.
    Given(f64),
    /// The largest legal one that fits.
    Largest,
    /// The least legal one.
    Legal,
}

/// How a mark's place is chosen.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// Nearest to the aim.
    Nearest,
    /// Greatest clearance.
    Roomiest,
    /// Centre of the mark's box, on the skin, mm.
    At(SkinPair),
    /// On a scan: centre and where the baseline points, in the scan's own axes and unit.
    OnMesh {
        /// Centre.
        at: ScanPoint,
        /// Direction point.
        toward: ScanPoint,
    },
}

/// How it is masked.
#[derive(Clone, Debug, PartialEq)]
pub struct Masking {
    /// True = tape, false = a mask cut from film.
    pub tape: bool,
    /// Paint edge to tack strip, mm.
    pub gap: f64,
    /// Least edge tape on the tack strip, mm.
    pub overlap: f64,
    /// Longest piece of edge tape, mm.
    pub longest_piece: f64,
    /// Length of a tab, mm.
    pub tab: f64,
    /// Edge tapes on the shelf.
    pub edge_tapes: Vec<Tape>,
    /// The tack strip's tape.
    pub tack_tape: Option<Tape>,
    /// Layout tapes on the shelf.
    pub layout_tapes: Vec<Tape>,
    /// Widths of masking paper, mm.
    pub paper: Vec<f64>,
    /// Longest time edge tape or film may stay on, minutes.
    pub edge_dwell: f64,
    /// Rolls of mask film.
    pub film: Vec<Roll>,
    /// The tape that carries cut film to the skin.
    pub application_tape: Option<Roll>,
}

/// Real width, mm, of the tack tape where the job names none: 3/4 in tape as it measures, 18 mm (facts E4, read).
const TACK: f64 = 18.0;

impl Masking {
    /// Real width of the tack strip's tape, mm.
    pub fn tack(&self) -> f64 {
        self.tack_tape.map_or(TACK, |t| t.real)
    }
}

/// A roll of film or of application tape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roll {
    /// Its width, mm.
    pub width: f64,
    /// Its length, mm.
    pub length: f64,
}

/// A tape on the shelf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tape {
    /// Width on its label, mm.
    pub width: f64,
    /// Its real width, mm.
    pub real: f64,
    /// Length of a roll, mm.
    pub roll: f64,
    /// Working strain, share.
    pub strain: f64,
}

/// A paint.
#[derive(Clone, Debug, PartialEq)]
pub struct Paint {
    /// Its id.
    pub id: String,
    /// Its colour or reflectance.
    pub tone: Tone,
    /// What kind of paint.
    pub system: PaintSystem,
    /// Parts by volume of the mixture.
    pub parts: Vec<(String, f64)>,
    /// Volume solids of the mixture, share.
    pub volume_solids: Option<f64>,
    /// Dry density, kg/L.
    pub dry_density: Option<f64>,
    /// Pot life.
    pub pot_life: Option<TimeAt>,
    /// Coats in order.
    pub coats: Vec<Coat>,
    /// When the edge tape is pulled.
    pub pull_edge: Option<PullEdge>,
    /// When the rest comes off, minutes after the last coat: from, by.
    pub unmask: Option<[f64; 2]>,
    /// Degrees Celsius the unmasking is stated for; `None` = taken as it stands.
    pub unmask_at_c: Option<f64>,
    /// When it may be masked.
    pub dry_to_tape: Option<TimeAt>,
    /// Time until it may be polished.
    pub polish_after: Option<TimeAt>,
    /// Share of the paint that lands.
    pub transfer_efficiency: Option<f64>,
    /// Its hardener holds isocyanate.
    pub isocyanate: bool,
}

/// Kind of paint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum PaintSystem {
    TwoPack,
    Enamel,
    Basecoat,
    Lacquer,
    Dope,
}

/// A coat, sprayed one or more times.
#[derive(Clone, Debug, PartialEq)]
pub struct Coat {
    /// `fog`, `tack-up` or `wet`.
    pub kind: String,
    /// How many.
    pub count: u32,
    /// Dry film of each, micrometres.
    pub film_um: f64,
    /// Minutes between them: least, most.
    pub flash: Option<[f64; 2]>,
    /// Degrees Celsius the flash is stated for; `None` = taken as it stands.
    pub flash_at_c: Option<f64>,
    /// Minutes after the coat before.
    pub after: Option<f64>,
}

/// When edge tape is pulled, after the last coat on that edge.
#[derive(Clone, Debug, PartialEq)]
pub struct PullEdge {
    /// `wet`, `tacky`, `dry` or `set`.
    pub state: String,
    /// Minutes.
    pub from: f64,
    /// Minutes.
    pub by: f64,
    /// Degrees Celsius both are stated for; `None` = taken as they stand.
    pub at_c: Option<f64>,
}

/// The spray gun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gun {
    /// Fan, mm.
    pub fan: f64,
    /// Overlap of passes, share.
    pub overlap: f64,
    /// Travel, mm/s.
    pub speed: f64,
}

/// Air and surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditions {
    /// Air, C; `None` if not known.
    pub air_c: Option<f64>,
    /// Surface, C; `None` if not known.
    pub surface_c: Option<f64>,
    /// Relative humidity, per cent; `None` if not known.
    pub humidity: Option<f64>,
    /// The side the air comes from, as one faces the skin; `None` if not said.
    pub air_from: Option<AirFrom>,
    /// What is expected: minute of the day, air C, surface C, humidity per cent.
    pub forecast: Vec<(u16, f64, f64, f64)>,
}

/// The side the air comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum AirFrom {
    Left,
    Right,
}

/// Hours and hands.
#[derive(Clone, Debug, PartialEq)]
pub struct Shop {
    /// Pairs of hands.
    pub hands: u32,
    /// Opening, minutes after midnight.
    pub opens: u16,
    /// Closing, minutes after midnight.
    pub closes: u16,
    /// Day of the first spraying.
    pub date: Option<[u16; 3]>,
    /// Path of a file of the shop's own working times.
    pub labour: Option<At<String>>,
}

/// How full-size patterns are printed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Patterns {
    /// The paper; `None` if not said.
    pub paper: Option<PatternPaper>,
    /// With dots to prick along the paint edges.
    pub pounce: bool,
    /// The whole mark too, beside its characters.
    pub whole: bool,
    /// A mirrored set too, for the back of a film.
    pub mirror: bool,
}

/// Paper patterns are printed on.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum PatternPaper {
    A4,
    A3,
    Letter,
    Tabloid,
    /// A roll of this width, mm.
    Roll(f64),
}
