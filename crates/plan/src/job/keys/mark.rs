//! The keys of a mark and of a stripe.

use super::Need::{Default, Else, Required};
use super::{AREA, Key, Kind, Limits, POINT, Size, Table};

/// A mark.
pub static MARK: Table = Table::plain(
    "mark",
    "[[mark]]",
    "A registration or a name.",
    &[
        Key::new("id", Kind::Id, Required, "Its id; its patterns are named after it."),
        Key::new("surface", Kind::Refers("a surface"), Required, "The surface it goes on."),
        Key::new(
            "text",
            Kind::Lines(40),
            Required,
            "What it says, as typed; a space is the rule pack's group gap, a line break (`\\n`) starts a new line.",
        ),
        Key::new(
            "location",
            Kind::Text(60),
            Else("no place is named"),
            "The rule pack's name for the place.",
        ),
        Key::new("legal", Kind::Flag, Default("true"), "False if the rule pack does not bind this mark."),
        Key::new(
            "letters",
            Kind::WordOrTable(&["square", "clipped", "rounded"], &FONT),
            Default("square"),
            "The style of its characters, or a font file.",
        ),
        Key::new(
            "height",
            Kind::LengthOrWord(Size::Measure, &["largest", "legal"]),
            Required,
            "Its height; or the largest legal one that fits; or the least legal one.",
        ),
        Key::new(
            "width_ratio",
            Kind::Number(RATIO),
            Else("exactly the pack's, else 2/3"),
            "Character width over height.",
        ),
        Key::new(
            "wide_ratio",
            Kind::Number(RATIO),
            Else("1 where the pack permits a range"),
            "Width of M and W over height.",
        ),
        Key::new(
            "stroke_ratio",
            Kind::Number(STROKE),
            Else("exactly the pack's, else 1/6"),
            "Stroke over height.",
        ),
        Key::new(
            "gap_ratio",
            Kind::Number(GAP),
            Else("the pack's, else 1/4"),
            "Gap between characters over the standard character width.",
        ),
        Key::new(
            "spacing",
            Kind::Word(&["plain", "optical"]),
            Default("plain"),
            "The same gap everywhere, or gaps widened until the open areas between neighbours are equal.",
        ),
        Key::new(
            "pairs",
            Kind::Pairs(PAIR),
            Else("nothing is added"),
            "What is added to the gap between two characters side by side, over the height.",
        ),
        Key::new(
            "line_gap_ratio",
            Kind::Number(LINE_GAP),
            Default("0.5"),
            "From the baseline of a line to the caps of the next, over the height.",
        ),
        Key::new(
            "line_align",
            Kind::Word(&["left", "centre", "right"]),
            Default("centre"),
            "How lines of different length stand over each other.",
        ),
        Key::new(
            "along",
            Kind::Word(&["leading-edge", "span"]),
            Default("leading-edge"),
            "The baseline on a wing: parallel to the unrolled leading edge, or square to the root rib.",
        ),
        Key::new("slant_deg", Kind::Number(SLANT), Default("0"), "Slant in degrees, leaning right positive."),
        Key::new(
            "tops",
            Kind::Word(&["leading-edge", "trailing-edge", "up", "forward", "aft"]),
            Else("leading-edge on a wing, else up"),
            "Which way the tops of its characters point.",
        ),
        Key::new(
            "place",
            Kind::WordOrTable(&["nearest", "roomiest"], &PLACE),
            Default("nearest"),
            "How its place is chosen: nearest to the aim, with the most room, or given.",
        ),
        Key::new(
            "aim",
            POINT,
            Else("what the rule asks for, else the centre of `within`"),
            "Where its centre should be if nothing is in the way.",
        ),
        Key::new(
            "within",
            AREA,
            Else("the surface's outline less the pack's margin"),
            "Where it must stay: skin points joined by straight lines in flat.",
        ),
        Key::new("paint", Kind::Refers("a paint"), Else("not said"), "Its paint."),
        Key::new("over", Kind::Refers("a ground or a paint"), Else("not said"), "What it is painted over."),
        Key::new("outline", Kind::Table(&OUTLINE), Else("none"), "An outline in a further colour."),
        Key::new("shadow", Kind::Table(&SHADOW), Else("none"), "A shadow in a further colour."),
    ],
);

/// Width of a character over its height. chosen: five times as wide as high is beyond any lettering.
const RATIO: Limits = Limits::over(0.0, 5.0);

/// Stroke over height. chosen: at a half the counters are closed.
const STROKE: Limits = Limits { least: 0.0, from: false, most: 0.5, to: false };

/// Gap over width. chosen: nought is letters that touch; five widths is beyond any lettering.
const GAP: Limits = Limits::from(0.0, 5.0);

/// Added to a gap, over the height. chosen: letters half a height nearer overlap, a height apart are two words.
const PAIR: Limits = Limits::from(-0.5, 1.0);

/// Between two lines. chosen: nought is lines that touch.
const LINE_GAP: Limits = Limits::over(0.0, 5.0);

/// Slant. chosen: beyond 45 degrees nothing reads.
const SLANT: Limits = Limits::from(-45.0, 45.0);

/// A font.
pub static FONT: Table = Table::plain(
    "letters",
    "letters = { font }",
    "Characters from a font file.",
    &[Key::new("font", Kind::Path, Required, "The path of a TrueType or OpenType font file.")],
);

/// A given place.
pub static PLACE: Table = Table::plain(
    "place",
    "place = { at } or, on a scan, { at, toward }",
    "A place that is given.",
    &[
        Key::new("at", Kind::Spot, Required, "The centre of the mark's box."),
        Key::new(
            "toward",
            Kind::ScanPoint,
            Else("not on a scan"),
            "On a scan: the point the baseline points to.",
        ),
    ],
);

/// An outline.
pub static OUTLINE: Table = Table::plain(
    "outline",
    "outline = { width, paint }",
    "A line of even width around every character.",
    &[
        Key::new("width", Kind::Length(Size::Fine), Required, "Its width."),
        Key::new("paint", Kind::Refers("a paint"), Required, "Its paint."),
    ],
);

/// A shadow.
pub static SHADOW: Table = Table::plain(
    "shadow",
    "shadow = { by, paint }",
    "All that the characters pass over on the way to where it ends, solid, behind them.",
    &[
        Key::new("by", POINT, Required, "How far it reaches to the right and up, as one reads the mark."),
        Key::new("paint", Kind::Refers("a paint"), Required, "Its paint."),
    ],
);

/// A stripe.
pub static STRIPE: Table = Table::plain(
    "stripe",
    "[[stripe]]",
    "A trim stripe through points on the skin.",
    &[
        Key::new("id", Kind::Id, Required, "Its id; its patterns are named after it."),
        Key::new("surface", Kind::Refers("a surface"), Required, "The surface it goes on."),
        Key::new("through", Kind::List(&Kind::Spot, 2), Required, "The points its middle runs through."),
        Key::new(
            "width",
            Kind::OneOrList(&Kind::Length(Size::Fine)),
            Required,
            "Its width, or its widths evenly along the way from start to end.",
        ),
        Key::new(
            "ends",
            Kind::Pair(&Kind::Word(&["square", "round", "point", "swallowtail"])),
            Default("square"),
            "The shape of its start and its end.",
        ),
        Key::new("paint", Kind::Refers("a paint"), Else("not said"), "Its paint."),
        Key::new("over", Kind::Refers("a ground or a paint"), Else("not said"), "What it is painted over."),
    ],
);
