//! The keys of a surface: a flat panel, a wing, a body or a scan, with its ribs, parts and features.

use super::Need::{Default, Else, Required};
use super::{AREA, AREA_ON, Choice, Key, Kind, Limits, PATH_ON, POINT, Size, Table};

const FLAT: &[&str] = &["flat"];
const WING: &[&str] = &["wing"];
const BODY: &[&str] = &["body"];
const MESH: &[&str] = &["mesh"];
const SKINS: &[&str] = &["flat", "wing", "body"];

/// A surface.
pub static SURFACE: Table = Table {
    name: "surface",
    written: "[[surface]]",
    doc: "A surface that is painted on. Its kind says which other keys it has. Parts and features follow it as \
          [[surface.part]] and [[surface.feature]].",
    kinds: &["flat", "wing", "body", "mesh"],
    keys: &[
        Key::new("id", Kind::Id, Required, "Its id."),
        Key::new(
            "kind",
            Kind::Word(&["flat", "wing", "body", "mesh"]),
            Required,
            "A flat panel, one face of a half wing (or tail), a doubly curved body lofted through stations, or a scan.",
        ),
        Key::new(
            "corners",
            AREA,
            Required,
            "The panel's edge, from its datum corner, x to the right and y up.",
        )
        .only(FLAT),
        Key::new("half", Kind::Word(&["left", "right"]), Required, "Which half, as the pilot sees it.")
            .only(WING),
        Key::new("side", Kind::Word(&["upper", "lower"]), Required, "Which face of the wing.").only(WING),
        Key::new("side", Kind::Word(&["left", "right"]), Required, "Which side of the body.").only(BODY),
        Key::new(
            "side",
            Kind::Word(&["upper", "lower", "left", "right"]),
            Else("not said"),
            "Which side of the craft it is on.",
        )
        .only(&["flat", "mesh"]),
        Key::new("span", Kind::Length(Size::Measure), Required, "Root rib to tip, square to the root rib.")
            .only(WING),
        Key::new(
            "chord",
            Kind::OneOrPair(&Kind::Length(Size::Measure)),
            Required,
            "Leading to trailing edge, straight, at root and tip.",
        )
        .only(WING),
        Key::new(
            "sweep",
            Kind::Length(Size::Position),
            Default("0 in"),
            "How far the tip's leading edge is aft of the root's; forward is negative.",
        )
        .only(WING),
        Key::new(
            "rise",
            Kind::Length(Size::Position),
            Default("0 in"),
            "How far the tip's leading edge is above the root's; below is negative.",
        )
        .only(WING),
        Key::new(
            "washout_deg",
            Kind::Number(TWIST),
            Default("0"),
            "Twist in degrees: how far the tip's section is turned nose down against the root's, about its leading edge; nose up is negative.",
        )
        .only(WING),
        Key::new(
            "section",
            Kind::OneOrPair(&Kind::Path),
            Required,
            "The wing section: naca and four or five digits, or the path of a two-column ordinate file.",
        )
        .only(WING),
        Key::new(
            "girth",
            Kind::OneOrPair(&Kind::Length(Size::Measure)),
            Else("the section's own"),
            "Skin length from leading to trailing edge as measured, at root and tip.",
        )
        .only(WING),
        Key::new(
            "breaks",
            Kind::List(&Kind::Table(&BREAK), 1),
            Else("none"),
            "Ribs between root and tip at which the panel kinks, by rising station.",
        )
        .only(WING),
        Key::new(
            "tip_bow",
            Kind::Length(Size::Spare),
            Default("0 in"),
            "Length at the tip, out to the span, that curves away: it is left out, no mark lies there.",
        )
        .only(WING),
        Key::new(
            "t_from",
            Kind::Word(&["leading-edge", "trailing-edge"]),
            Default("leading-edge"),
            "The edge from which t is measured in this file, for parts, features, `at`, `aim` and `within`.",
        )
        .only(WING),
        Key::new("ribs", Kind::Table(&RIBS), Else("none"), "The ribs under the skin.").only(SKINS),
        Key::new(
            "waterline",
            Kind::Length(Size::Position),
            Default("0 in"),
            "The height at which girth is zero.",
        )
        .only(BODY),
        Key::new(
            "stations",
            Kind::List(&Kind::Table(&STATION), 2),
            Required,
            "Its outlines, by rising station.",
        )
        .only(BODY),
        Key::new("file", Kind::Path, Required, "The scan: an STL, OBJ or PLY file.").only(MESH),
        Key::new(
            "unit",
            Kind::Word(&["in", "ft", "mm", "cm", "m"]),
            Required,
            "The unit of the scan's own numbers.",
        )
        .only(MESH),
        Key::new(
            "smooth",
            Kind::Length(Size::Spare),
            Default("1 in"),
            "What is rougher than this is taken for the scanner's noise and smoothed out; 0 = nothing is.",
        )
        .only(MESH),
        Key::new("axes", Kind::Table(&AXES), Else("it has no stations and no waterlines"), "How it lies in its craft.")
            .only(MESH),
        Key::new(
            "material",
            Kind::Word(&["fabric", "metal", "composite", "wood", "other"]),
            Default("other"),
            "What the skin is made of.",
        ),
        Key::new(
            "panel",
            Kind::Text(40),
            Else("a panel of its own"),
            "A name that ties the faces of one panel together, for paper and for painting both sides.",
        ),
        Key::new("part", Kind::Tables(&PART), Else("none"), "Pieces that move or come off."),
        Key::new("feature", Kind::Tables(&FEATURE), Else("none"), "What the layout must respect."),
    ],
    choices: &[],
};

/// Twist of a wing, degrees: more is no wing but a slip.
const TWIST: Limits = Limits::from(-15.0, 15.0);

/// How a scan lies in its craft.
pub static AXES: Table = Table::plain(
    "axes",
    "axes = { up, aft, datum }",
    "How a scan lies in its craft, in the scan's own axes: it gives the scan stations and waterlines, for stripes along a \
     waterline or an edge and for their mirror images.",
    &[
        Key::new("up", Kind::ScanPoint, Required, "Which way is up, as a direction: [0, 0, 1]."),
        Key::new(
            "aft",
            Kind::ScanPoint,
            Required,
            "Which way stations count, as a direction square to `up`: [1, 0, 0].",
        ),
        Key::new(
            "datum",
            Kind::ScanPoint,
            Else("the scan's own zero"),
            "The point from which stations and waterlines count, in the scan's own unit; the plane of symmetry, upright and \
             fore and aft, runs through it.",
        ),
    ],
);

/// A rib at which a wing kinks.
pub static BREAK: Table = Table::plain(
    "break",
    "{ s, chord, sweep, rise, washout_deg, section, girth }",
    "A rib between root and tip at which edges, rise or twist change; what it does not say lies straight between its \
     neighbours.",
    &[
        Key::new("s", Kind::Length(Size::Measure), Required, "Its station, square to the root rib."),
        Key::new(
            "chord",
            Kind::Length(Size::Measure),
            Else("straight between its neighbours"),
            "Leading to trailing edge, straight.",
        ),
        Key::new(
            "sweep",
            Kind::Length(Size::Position),
            Else("straight between its neighbours"),
            "How far its leading edge is aft of the root's; forward is negative.",
        ),
        Key::new(
            "rise",
            Kind::Length(Size::Position),
            Else("straight between its neighbours"),
            "How far its leading edge is above the root's; below is negative.",
        ),
        Key::new(
            "washout_deg",
            Kind::Number(TWIST),
            Else("straight between its neighbours"),
            "How far its section is turned nose down against the root's, in degrees.",
        ),
        Key::new(
            "section",
            Kind::Path,
            Else("that of root and tip, if they have one"),
            "Its section, as on the surface.",
        ),
        Key::new(
            "girth",
            Kind::Length(Size::Measure),
            Else("the section's own"),
            "Skin length from leading to trailing edge as measured.",
        ),
    ],
);

/// Ribs.
pub static RIBS: Table = Table {
    name: "ribs",
    written: "ribs = { every, tape } or { at, tape }",
    doc: "Where the ribs are: evenly from the root, or each by its station.",
    kinds: &[],
    keys: &[
        Key::new(
            "every",
            Kind::Length(Size::Measure),
            Else("given by `at`"),
            "From one rib to the next, from the root.",
        ),
        Key::new(
            "at",
            Kind::List(&Kind::Length(Size::Position), 1),
            Else("given by `every`"),
            "The station of each.",
        ),
        Key::new(
            "tape",
            Kind::Length(Size::Spare),
            Default("0 in"),
            "Width of the tape over each rib; 0 if there is none.",
        ),
    ],
    choices: &[Choice { only: &[], groups: &[&["every"], &["at"]], needed: true }],
};

/// A station of a body.
pub static STATION: Table = Table {
    name: "station",
    written: "{ s, half_width, top, bottom, power } or { s, points }",
    doc: "One outline of a body: a superellipse, or measured points.",
    kinds: &[],
    keys: &[
        Key::new("s", Kind::Length(Size::Position), Required, "Where it is, from the datum, growing aft."),
        Key::new(
            "half_width",
            Kind::Length(Size::Measure),
            Else("given by `points`"),
            "Half of its greatest width.",
        ),
        Key::new(
            "top",
            Kind::Length(Size::Position),
            Else("given by `points`"),
            "Height of its highest point.",
        ),
        Key::new(
            "bottom",
            Kind::Length(Size::Position),
            Else("given by `points`"),
            "Height of its lowest point.",
        ),
        Key::new(
            "power",
            Kind::Number(Limits::from(1.0, 20.0)),
            Default("2"),
            "How square it is: 1 is a diamond, 2 an ellipse, more is squarer. A pinched section is measured as `points`.",
        ),
        Key::new(
            "points",
            Kind::List(&POINT, 4),
            Else("given by the other keys"),
            "Measured half width and height, from the middle of the top to the middle of the bottom, four at least.",
        ),
    ],
    choices: &[Choice { only: &[], groups: &[&["half_width", "top", "bottom"], &["points"]], needed: true }],
};

/// A part.
pub static PART: Table = Table::plain(
    "part",
    "[[surface.part]]",
    "A piece that moves or comes off: aileron, rudder, door, cowl, cover.",
    &[
        Key::new("id", Kind::Id, Required, "Its id, unique on its surface."),
        Key::new("corners", AREA_ON, Required, "Its outline on the skin."),
        Key::new("hinge", PATH_ON, Else("none"), "Its hinge line on the skin."),
        Key::new("control", Kind::Flag, Default("false"), "If it is a control surface."),
        Key::new(
            "balanced",
            Kind::Flag,
            Default("false"),
            "If it is balanced, so that paint on it must be weighed.",
        ),
    ],
);

/// Kinds of feature that are a disc or an area.
pub const SPOTS: &[&str] = &[
    "ring",
    "plate",
    "cap",
    "step",
    "patch",
    "port",
    "drain",
    "vent",
    "filler",
    "placard",
    "data-plate",
    "window",
    "keep-out",
];

/// Kinds of feature that are a path.
pub const LINES: &[&str] = &["rivets", "hinge", "gap", "seam", "lap"];

/// All of them, in the order of the contract's table.
const FEATURE_KINDS: &[&str] = &[
    "ring",
    "plate",
    "cap",
    "step",
    "patch",
    "rivets",
    "port",
    "drain",
    "vent",
    "filler",
    "placard",
    "data-plate",
    "window",
    "keep-out",
    "hinge",
    "gap",
    "seam",
    "lap",
];

/// A feature.
pub static FEATURE: Table = Table {
    name: "feature",
    written: "[[surface.feature]]",
    doc: "What the layout must respect, measured on the skin; on a scan by points in its own axes and unit, joined the \
          shortest way over it. Hinges, gaps, seams, laps and rivet rows are paths; everything else is a disc or an \
          area.",
    kinds: FEATURE_KINDS,
    keys: &[
        Key::new("id", Kind::Id, Required, "Its id, unique on its surface."),
        Key::new("kind", Kind::Word(FEATURE_KINDS), Required, "What it is."),
        Key::new("at", Kind::Spot, Else("given by `corners`"), "The centre of a disc.").only(SPOTS),
        Key::new(
            "diameter",
            Kind::Length(Size::Measure),
            Else("given by `corners`"),
            "The diameter of a disc, to the outer edge of its patch.",
        )
        .only(SPOTS),
        Key::new("corners", AREA_ON, Else("given by `at` and `diameter`"), "The corners of an area.")
            .only(SPOTS),
        Key::new("path", PATH_ON, Required, "The points of a path.").only(LINES),
        Key::new("width", Kind::Length(Size::Fine), Default("1 mm"), "The full width of a path.").only(LINES),
        Key::new("pitch", Kind::Length(Size::Measure), Else("not known"), "From one rivet to the next.")
            .only(&["rivets"]),
        Key::new(
            "head",
            Kind::Length(Size::Fine),
            Else("not known"),
            "The diameter of a rivet's head; the row is at least so wide.",
        )
        .only(&["rivets"]),
        Key::new(
            "clearance",
            Kind::Length(Size::Spare),
            Default("1/4 in"),
            "The least distance kept from it.",
        ),
        Key::new(
            "removable",
            Kind::Flag,
            Default("false"),
            "If it comes off and is painted together with the mark, off the craft.",
        ),
        Key::new(
            "cross",
            Kind::Word(&["never", "square", "any"]),
            Default("never"),
            "If a paint edge may cross it: never, at 60 to 90 degrees through its middle half, or anyhow.",
        ),
    ],
    choices: &[Choice { only: SPOTS, groups: &[&["at", "diameter"], &["corners"]], needed: true }],
};
