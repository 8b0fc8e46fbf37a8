//! What stands in the job file one starts from: the keys and invented values of each table, in the order of the file.

use super::template::TemplateKind;
use Line::{Off, On, Or, Usual};

/// A line of the template: a key, and its value as typed.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Line {
    /// It stands.
    On(&'static str, &'static str),
    /// It is switched off.
    Off(&'static str, &'static str),
    /// It is switched off, and goes in place of the line before it that stands.
    Or(&'static str, &'static str),
    /// It is switched off and shows the default of its key.
    Usual(&'static str),
}

/// Of the craft.
pub(crate) const CRAFT_LINES: &[Line] = &[
    On("category", "\"fixed-wing\""),
    On("built", "1990"),
    On("max_cruise_kt", "120"),
    On("mass_kg", "900"),
    On("special", "\"none\""),
    On("adiz", "false"),
];

/// Of a ground.
pub(crate) const GROUND_LINES: &[Line] = &[
    On("id", "\"cream\""),
    On("colour", "\"#efe6cf\""),
    Or("reflectance", "0.8"),
    Usual("finish"),
    Off("shot", "2026-06-04T15:00:00"),
    Off("dry_to_tape", "{ time = \"24 h\", at = \"21 C\" }"),
    Off("scuff_after", "\"48 h\""),
];

/// Of the surface.
pub(crate) fn surface_lines(kind: TemplateKind) -> &'static [Line] {
    match kind {
        TemplateKind::Flat => &[
            On("id", "\"panel\""),
            On("kind", "\"flat\""),
            On("side", "\"left\""),
            On("corners", "[[0, 0], [96, 0], [96, 30], [0, 30]]"),
            On("material", "\"metal\""),
            Off("ribs", "{ every = 12, tape = 2 }"),
            Off("panel", "\"left-side\""),
        ],
        TemplateKind::Wing => &[
            On("id", "\"panel\""),
            On("kind", "\"wing\""),
            On("half", "\"right\""),
            On("side", "\"upper\""),
            On("span", "168"),
            On("chord", "[60, 60]"),
            Usual("sweep"),
            Usual("rise"),
            Usual("washout_deg"),
            On("section", "\"naca2412\""),
            Off("girth", "[61.6, 61.6]"),
            Off("breaks", "[{ s = 96, chord = 60, rise = 2 }]"),
            Usual("tip_bow"),
            Usual("t_from"),
            On("ribs", "{ every = 12, tape = 2 }"),
            Or("ribs", "{ at = [0, 12, 24, 38], tape = 2 }"),
            On("material", "\"fabric\""),
            Off("panel", "\"right-wing\""),
        ],
        TemplateKind::Body => &[
            On("id", "\"panel\""),
            On("kind", "\"body\""),
            On("side", "\"left\""),
            Usual("waterline"),
            On(
                "stations",
                "[\n  { s = 0, half_width = 16, top = 20, bottom = -22, power = 2 },\n  { s = 60, points = [[0, 20], [14, 12], [17, 0], [12, -16], [0, -22]] },\n  \
                 { s = 120, half_width = 6, top = 12, bottom = -8, power = 2.4 },\n]",
            ),
            Off("ribs", "{ at = [0, 60, 120], tape = 2 }"),
            On("material", "\"composite\""),
            Off("panel", "\"left-side\""),
        ],
        TemplateKind::Mesh => &[
            On("id", "\"panel\""),
            On("kind", "\"mesh\""),
            Off("side", "\"left\""),
            On("file", "\"scan.stl\""),
            On("unit", "\"mm\""),
            Usual("smooth"),
            Off("axes", "{ up = [0, 0, 1], aft = [1, 0, 0] }"),
            On("material", "\"composite\""),
            Off("panel", "\"fairing\""),
        ],
    }
}

/// Of a part on a surface of this kind.
pub(crate) fn part_lines(kind: TemplateKind) -> &'static [Line] {
    if kind == TemplateKind::Mesh { SCAN_PART_LINES } else { PART_LINES }
}

/// Of a feature that is a disc.
pub(crate) fn ring_lines(kind: TemplateKind) -> &'static [Line] {
    if kind == TemplateKind::Mesh { SCAN_RING_LINES } else { RING_LINES }
}

/// Of a feature that is a path.
pub(crate) fn rivets_lines(kind: TemplateKind) -> &'static [Line] {
    if kind == TemplateKind::Mesh { SCAN_RIVETS_LINES } else { RIVETS_LINES }
}

const SCAN_PART_LINES: &[Line] = &[
    On("id", "\"cover\""),
    On("corners", "[[520, 120, 40], [600, 118, 40], [600, 118, 120], [520, 120, 120]]"),
    Off("hinge", "[[520, 120, 120], [600, 118, 120]]"),
    Usual("control"),
    Usual("balanced"),
];

const SCAN_RING_LINES: &[Line] = &[
    On("id", "\"ring\""),
    On("kind", "\"ring\""),
    On("at", "[460, 121, 150]"),
    On("diameter", "30"),
    Usual("clearance"),
    Usual("removable"),
    Usual("cross"),
];

const SCAN_RIVETS_LINES: &[Line] = &[
    On("id", "\"rivets\""),
    On("kind", "\"rivets\""),
    On("path", "[[200, 100, 20], [400, 121, 20], [600, 118, 20]]"),
    Usual("width"),
    Off("pitch", "25"),
    Off("head", "5"),
];

/// Of a part.
const PART_LINES: &[Line] = &[
    On("id", "\"door\""),
    On("corners", "[[82, 2], [94, 2], [94, 11], [82, 11]]"),
    On("hinge", "[[82, 11], [94, 11]]"),
    Usual("control"),
    Usual("balanced"),
];

/// Of a feature that is a disc.
const RING_LINES: &[Line] = &[
    On("id", "\"ring\""),
    On("kind", "\"ring\""),
    On("at", "[88, 20]"),
    On("diameter", "4.5"),
    Usual("clearance"),
    Usual("removable"),
    Usual("cross"),
];

/// Of a feature that is a path.
const RIVETS_LINES: &[Line] = &[
    On("id", "\"rivets\""),
    On("kind", "\"rivets\""),
    On("path", "[[2, 2], [78, 2]]"),
    Usual("width"),
    Off("pitch", "1"),
    Off("head", "\"1/4 in\""),
];

/// Of the mark.
pub(crate) fn mark_lines(kind: TemplateKind) -> &'static [Line] {
    match kind {
        TemplateKind::Flat | TemplateKind::Body => &[
            On("id", "\"registration\""),
            On("surface", "\"panel\""),
            On("text", "\"N417RW\""),
            On("location", "\"fuselage-left\""),
            Usual("legal"),
            On("letters", "\"square\""),
            Or("letters", "{ font = \"own-letters.ttf\" }"),
            On("height", "12"),
            Or("height", "\"legal\""),
            Off("width_ratio", "0.6667"),
            Off("wide_ratio", "1.0"),
            Off("stroke_ratio", "0.1667"),
            Off("gap_ratio", "0.25"),
            Usual("spacing"),
            Off("pairs", "{ \"17\" = -0.02 }"),
            Usual("line_gap_ratio"),
            Usual("line_align"),
            Usual("slant_deg"),
            Off("tops", "\"up\""),
            On("place", "{ at = [42, 15] }"),
            Or("place", "\"nearest\""),
            Off("aim", "[42, 15]"),
            Off("within", "[[2, 3], [80, 3], [80, 27], [2, 27]]"),
            On("paint", "\"blue\""),
            On("over", "\"cream\""),
            Off("outline", "{ width = 0.5, paint = \"blue\" }"),
            Off("shadow", "{ by = [1, -1], paint = \"blue\" }"),
        ],
        TemplateKind::Wing => &[
            On("id", "\"registration\""),
            On("surface", "\"panel\""),
            On("text", "\"N417RW\""),
            Off("location", "\"wing-upper-right\""),
            Usual("legal"),
            On("letters", "\"square\""),
            Or("letters", "{ font = \"own-letters.ttf\" }"),
            On("height", "12"),
            Or("height", "\"largest\""),
            Off("width_ratio", "0.6667"),
            Off("wide_ratio", "1.0"),
            Off("stroke_ratio", "0.1667"),
            Off("gap_ratio", "0.25"),
            Usual("spacing"),
            Off("pairs", "{ \"17\" = -0.02 }"),
            Usual("line_gap_ratio"),
            Usual("line_align"),
            Usual("along"),
            Usual("slant_deg"),
            Off("tops", "\"leading-edge\""),
            On("place", "{ at = [42, 24] }"),
            Or("place", "\"nearest\""),
            Off("aim", "[42, 24]"),
            Off("within", "[[4, 4], [80, 4], [80, 50], [4, 50]]"),
            On("paint", "\"blue\""),
            On("over", "\"cream\""),
            Off("outline", "{ width = 0.5, paint = \"blue\" }"),
            Off("shadow", "{ by = [1, -1], paint = \"blue\" }"),
        ],
        TemplateKind::Mesh => &[
            On("id", "\"registration\""),
            On("surface", "\"panel\""),
            On("text", "\"N417RW\""),
            Off("location", "\"fuselage-left\""),
            On("legal", "false"),
            On("letters", "\"square\""),
            Or("letters", "{ font = \"own-letters.ttf\" }"),
            On("height", "50"),
            Off("width_ratio", "0.6667"),
            Off("wide_ratio", "1.0"),
            Off("stroke_ratio", "0.1667"),
            Off("gap_ratio", "0.25"),
            Usual("spacing"),
            Off("pairs", "{ \"17\" = -0.02 }"),
            Usual("line_gap_ratio"),
            Usual("line_align"),
            Usual("slant_deg"),
            On("place", "{ at = [400, 120, 80], toward = [500, 120, 80] }"),
            Off("aim", "[400, 120, 80]"),
            Off("toward", "[500, 120, 80]"),
            Off("within", "[[250, 110, 30], [550, 120, 30], [550, 120, 130], [250, 110, 130]]"),
            On("paint", "\"blue\""),
            On("over", "\"cream\""),
            Off("outline", "{ width = 5, paint = \"blue\" }"),
            Off("shadow", "{ by = [5, -5], paint = \"blue\" }"),
        ],
    }
}

/// Of a stripe.
pub(crate) const STRIPE_LINES: &[Line] = &[
    On("id", "\"cheat-line\""),
    On("surface", "\"panel\""),
    On("through", "[[4, 26], [40, 26.75], [78, 27]]"),
    Or("along", "{ waterline = 26 }"),
    Usual("heights"),
    Off("loose", "[0, 0.25, 0]"),
    On("width", "1"),
    Or("width", "[1, 0.5]"),
    Usual("ends"),
    Off("end_length", "[0, 6]"),
    On("paint", "\"blue\""),
    On("over", "\"cream\""),
];

/// Of a paint.
pub(crate) const PAINT_LINES: &[Line] = &[
    On("id", "\"blue\""),
    On("colour", "\"#1b2f52\""),
    Or("reflectance", "0.05"),
    On("system", "\"two-pack\""),
    On("parts", "[{ name = \"base\", parts = 4 }, { name = \"hardener\", parts = 1 }]"),
    On("volume_solids", "0.42"),
    On("dry_density", "1.4"),
    On("pot_life", "{ time = \"2 h\", at = \"21 C\" }"),
    On(
        "coats",
        "[\n  { kind = \"fog\", count = 3, film_um = 8, flash = { least = \"5 min\", most = \"10 min\" } },\n  \
         { kind = \"wet\", film_um = 40, after = \"45 min\" },\n]",
    ),
    On("pull_edge", "{ state = \"wet\", from = \"0 min\", by = \"20 min\" }"),
    On("unmask", "{ from = \"6 h\", by = \"12 h\" }"),
    Off("dry_to_tape", "{ time = \"12 h\", at = \"21 C\" }"),
    Off("polish_after", "\"5 d\""),
    On("transfer_efficiency", "0.5"),
    On("isocyanate", "true"),
];

/// Of the masking.
pub(crate) const MASKING_LINES: &[Line] = &[
    Usual("method"),
    Usual("gap"),
    Usual("overlap"),
    Usual("longest_piece"),
    Usual("tab"),
    On("edge_tapes", "[{ width = \"1/2 in\", real = \"12.7 mm\", roll = \"36 yd\", strain = 0.05 }]"),
    On("tack_tape", "{ width = \"3/4 in\", real = \"18 mm\", roll = \"60 yd\" }"),
    On("layout_tapes", "[{ width = \"1 in\" }, { width = \"2 in\" }]"),
    On("paper", "[{ width = \"12 in\" }, { width = \"18 in\" }]"),
    Usual("edge_dwell"),
    Off("film", "[{ width = \"24 in\" }]"),
    Off("application_tape", "{ width = \"12 in\" }"),
];

/// Of the weather.
pub(crate) const CONDITIONS_LINES: &[Line] = &[
    Off("air", "\"72 F\""),
    Off("surface", "\"71 F\""),
    Off("humidity", "45"),
    Off("air_from", "\"left\""),
    Off("forecast", "[{ at = \"08:00\", air = \"64 F\", surface = \"62 F\", humidity = 70 }]"),
];

/// Of the shop.
pub(crate) const SHOP_LINES: &[Line] = &[
    Usual("hands"),
    Usual("opens"),
    Usual("closes"),
    On("date", "2026-06-06"),
    Off("labour", "\"our-rates.toml\""),
];

/// Of the patterns.
pub(crate) const PATTERNS_LINES: &[Line] =
    &[Off("paper", "\"24 in\""), Usual("pounce"), Usual("whole"), Usual("mirror")];
