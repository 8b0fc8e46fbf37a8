//! The keys of a mark and of a stripe.

use super::Need::{Default, Else, Required, Unless};
use super::{AREA_ON, Choice, Key, Kind, Limits, POINT, Size, Table};

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
            Kind::Spot,
            Else("what the rule asks for, else the centre of `within`"),
            "Where its centre should be if nothing is in the way.",
        ),
        Key::new(
            "toward",
            Kind::ScanPoint,
            Else("not on a scan, or said in `place`"),
            "On a scan, with `aim`: the point the baseline points to.",
        ),
        Key::new(
            "within",
            AREA_ON,
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
pub static STRIPE: Table = Table {
    choices: &[Choice { only: &[], groups: &[&["through"], &["along"], &["mirror_of"]], needed: false }],
    ..Table::plain(
        "stripe",
        "[[stripe]]",
        "A trim stripe: through points on the skin, along something, or the mirror image of another.",
        STRIPE_KEYS,
    )
};

const STRIPE_KEYS: &[Key] = &[
    Key::new("id", Kind::Id, Required, "Its id; its patterns are named after it."),
    Key::new("surface", Kind::Refers("a surface"), Required, "The surface it goes on."),
    Key::new(
        "through",
        Kind::List(&Kind::Spot, 2),
        Unless(&["along", "mirror_of"]),
        "The points its middle runs through, as fair as can be: with the least change of bend along the way.",
    ),
    Key::new(
        "heights",
        Kind::Word(&["girth", "waterline"]),
        Default("girth"),
        "On a body, what the second number of each point of `through` is: up along the skin from the waterline, or the \
         height itself, as the stations' `top` and `bottom` are given.",
    ),
    Key::new(
        "loose",
        Kind::List(&Kind::Length(Size::Spare), 2),
        Else("through every point"),
        "How far its middle may pass each point of `through` to run fairer, in the same order; 0 = through it.",
    ),
    Key::new("along", Kind::Table(&ALONG), Else("it runs through points"), "What it runs along."),
    Key::new(
        "mirror_of",
        Kind::Refers("a stripe"),
        Else("it is no mirror image"),
        "The stripe of the other side that it mirrors by station and height; its ends and, where not said, its \
         width and paint are that one's. On scans both sides may be one surface, if its axes are stated.",
    ),
    Key::new(
        "width",
        Kind::OneOrList(&Kind::Length(Size::Fine)),
        Unless(&["mirror_of"]),
        "Its width, or its widths evenly spaced along the way from start to end: between two it changes evenly, \
         through more of them in a smooth curve.",
    ),
    Key::new(
        "ends",
        Kind::Pair(&Kind::Word(&["square", "round", "point", "swallowtail", "mitre", "butt"])),
        Default("square"),
        "The shape of its start and its end. `mitre`: it meets another stripe's end that says `mitre` too, within four widths \
         of the wider; both are cut on the line through the two corners where their edges cross, and run on or cut back to \
         it; past a turn of 120 degrees the tip is cut blunt. `butt`: it runs up to the nearest edge of another stripe \
         within four of its own widths, so that no notch of base is left where it comes in aslant. Stripes of one paint \
         that touch or cross are masked and painted as one.",
    ),
    Key::new(
        "end_length",
        Kind::OneOrPair(&Kind::Length(Size::Spare)),
        Else("a point is as long as it is wide, a swallowtail half as long"),
        "How long a point or a swallowtail is, for both ends or for start and end.",
    ),
    Key::new("paint", Kind::Refers("a paint"), Else("not said"), "Its paint."),
    Key::new("over", Kind::Refers("a ground or a paint"), Else("not said"), "What it is painted over."),
];

/// What a stripe runs along.
pub static ALONG: Table = Table {
    choices: &[
        Choice {
            only: &[],
            groups: &[&["waterline"], &["edge"], &["feature"], &["straight"], &["stripe"]],
            needed: true,
        },
        Choice { only: &[], groups: &[&["off"], &["gap"], &["gap_tape"]], needed: false },
    ],
    ..Table::plain(
        "along",
        "along = { waterline }, { edge, off }, { feature, off }, { straight } or { stripe, gap }",
        "The line a stripe runs along.",
        &[
            Key::new(
                "waterline",
                Kind::Length(Size::Position),
                Else("another line is named"),
                "Level: at this height over the datum corner of a flat panel, on a body at this height as its stations' `top` \
                 and `bottom` are given, on a scan whose axes are stated at this height over its `datum`.",
            ),
            Key::new(
                "edge",
                Kind::Word(&["leading-edge", "trailing-edge", "upper", "lower"]),
                Else("another line is named"),
                "An edge of the surface: of a wing the leading or trailing one, of a panel the upper or lower one, of a \
                 body the middle of its top or its bottom, of a scan whose axes are stated the upper or lower edge of its \
                 longest open rim.",
            ),
            Key::new(
                "feature",
                Kind::Refers("a feature"),
                Else("another line is named"),
                "A seam or other feature with a path.",
            ),
            Key::new(
                "straight",
                Kind::Pair(&Kind::Spot),
                Else("another line is named"),
                "Two points: the straightest way on the skin between them; on a scan the shortest.",
            ),
            Key::new(
                "stripe",
                Kind::Refers("a stripe"),
                Else("another line is named"),
                "Another stripe of this surface.",
            ),
            Key::new(
                "off",
                Kind::Length(Size::Position),
                Else("0"),
                "How far its middle lies from the line: inwards from an edge, else upwards as one faces the skin \
                 (from a line that runs upright: to its left).",
            ),
            Key::new(
                "gap",
                Kind::Length(Size::Spare),
                Else("`off` counts"),
                "Beside a stripe: the bare base between the two edges.",
            ),
            Key::new(
                "gap_tape",
                Kind::Length(Size::Fine),
                Else("`off` counts"),
                "Beside a stripe: the edge tape, by its label, that lies in the gap and makes it as wide as the tape \
                 really is.",
            ),
            Key::new(
                "side",
                Kind::Word(&["above", "below"]),
                Default("above"),
                "Beside a stripe, with `gap` or `gap_tape`: the side it lies on as one faces the skin.",
            ),
            Key::new(
                "from",
                Kind::Length(Size::Position),
                Else("its whole length"),
                "The station it starts at; on a scan without stated axes how far along the line.",
            ),
            Key::new(
                "to",
                Kind::Length(Size::Position),
                Else("its whole length"),
                "The station it ends at, likewise.",
            ),
        ],
    )
};
