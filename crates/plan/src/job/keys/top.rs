//! The head of the job file: title, units, rules, the craft, the survey, and what is painted on.

use super::Need::{Default, Else, Required};
use super::{Choice, Key, Kind, Limits, SHARE, Size, Table, mark, shop, surface};

/// The whole file.
pub static JOB: Table = Table::plain(
    "the job",
    "(top of the file)",
    "What the job is called, its units, and the rules it must meet. These keys stand before the first table.",
    &[
        Key::new("title", Kind::Text(200), Required, "What the job is called; printed on every sheet."),
        Key::new(
            "units",
            Kind::Word(&["in", "ft", "mm", "cm", "m"]),
            Default("in"),
            "The unit of every length written as a bare number.",
        ),
        Key::new(
            "rules",
            Kind::Text(400),
            Else("no rules are checked"),
            "The id of a rule pack, or the path of one: with a slash in it, or ending in .toml.",
        ),
        Key::new(
            "rule_tolerance",
            Kind::Length(Size::Spare),
            Default("1/16 in"),
            "How far a figure may be from an exact figure of a rule; the shop's own, not the rule's.",
        ),
        Key::new(
            "alike",
            Kind::List(&Kind::List(&Kind::Refers("a mark"), 2), 0),
            Else("every mark for itself"),
            "Groups of marks that get one height and one gap.",
        ),
        Key::new(
            "alike_place",
            Kind::Word(&["same-station", "own"]),
            Default("same-station"),
            "Where marks of one group go: at the same station on both sides, features of all sides counted together; or each at its own best place.",
        ),
        Key::new(
            "craft",
            Kind::Table(&CRAFT),
            Else("taken at its strictest"),
            "What the rule pack needs to choose a height.",
        ),
        Key::new(
            "survey",
            Kind::Table(&SURVEY),
            Else("its defaults"),
            "How well the features were measured.",
        ),
        Key::new("ground", Kind::Tables(&GROUND), Else("none"), "What is painted on."),
        Key::new("surface", Kind::Tables(&surface::SURFACE), Else("none"), "The surfaces."),
        Key::new("mark", Kind::Tables(&mark::MARK), Else("none"), "The marks."),
        Key::new("stripe", Kind::Tables(&mark::STRIPE), Else("none"), "The stripes."),
        Key::new(
            "masking",
            Kind::Table(&shop::MASKING),
            Else("nothing is planned of it"),
            "How it is masked.",
        ),
        Key::new("paint", Kind::Tables(&shop::PAINT), Else("none"), "The paints."),
        Key::new("gun", Kind::Table(&shop::GUN), Else("nothing is planned of it"), "The spray gun."),
        Key::new(
            "conditions",
            Kind::Table(&shop::CONDITIONS),
            Else("nothing is planned of it"),
            "Air and surface.",
        ),
        Key::new("shop", Kind::Table(&shop::SHOP), Else("nothing is planned of it"), "Hours and hands."),
        Key::new(
            "patterns",
            Kind::Table(&shop::PATTERNS),
            Else("its defaults"),
            "How full-size patterns are printed.",
        ),
    ],
);

/// The craft.
pub static CRAFT: Table = Table::plain(
    "craft",
    "[craft]",
    "What the rule pack needs to choose a height. What an absent key would decide is taken at its strictest, with a caution.",
    &[
        Key::new(
            "category",
            Kind::Word(&[
                "fixed-wing",
                "glider",
                "rotorcraft",
                "airship",
                "balloon",
                "powered-parachute",
                "weight-shift",
                "boat",
                "truck",
            ]),
            Else("taken at its strictest"),
            "What kind of craft it is.",
        ),
        Key::new("built", Kind::Whole(1900, 2100), Else("taken at its strictest"), "The year it was built."),
        Key::new(
            "max_cruise_kt",
            Kind::Number(Limits::over(0.0, 2000.0)),
            Else("taken at its strictest"),
            "Its greatest cruising speed, knots calibrated airspeed.",
        ),
        Key::new(
            "mass_kg",
            Kind::Number(Limits::over(0.0, 1_000_000.0)),
            Else("taken at its strictest"),
            "Its greatest take-off mass, kilograms.",
        ),
        Key::new(
            "special",
            Kind::Word(&["none", "exhibition", "amateur-built", "light-sport", "limited", "restricted"]),
            Else("taken at its strictest"),
            "Its special class, if it has one.",
        ),
        Key::new(
            "adiz",
            Kind::Flag,
            Else("taken at its strictest"),
            "If it crosses an air defence identification zone.",
        ),
    ],
);

/// The survey.
pub static SURVEY: Table = Table::plain(
    "survey",
    "[survey]",
    "How well the features were measured.",
    &[Key::new(
        "error",
        Kind::Length(Size::Spare),
        Default("1/16 in"),
        "The error of a measured place; a net clearance below it is a caution to measure again.",
    )],
);

/// A ground.
pub static GROUND: Table = Table {
    name: "ground",
    written: "[[ground]]",
    doc: "What is painted on: the colour that is there already.",
    kinds: &[],
    keys: &[
        Key::new("id", Kind::Id, Required, "Its id."),
        Key::new("colour", Kind::Colour, Else("not known"), "Its colour as on a screen (sRGB)."),
        Key::new(
            "reflectance",
            Kind::Number(SHARE),
            Else("not known"),
            "The share of light it reflects, in place of a colour.",
        ),
        Key::new(
            "finish",
            Kind::Word(&["solid", "metallic", "clear-coated"]),
            Default("solid"),
            "Its finish.",
        ),
        Key::new(
            "shot",
            Kind::DateTime,
            Else("long ago"),
            "When it was sprayed, on the shop's own clock; seconds are dropped.",
        ),
        Key::new(
            "dry_to_tape",
            Kind::TimeAt(&TIME_AT),
            Else("at once"),
            "How long after that tape may go on it.",
        ),
        Key::new(
            "scuff_after",
            Kind::Time,
            Else("never"),
            "How long after that it must be scuffed before paint.",
        ),
    ],
    choices: &[Choice { only: &[], groups: &[&["colour"], &["reflectance"]], needed: false }],
};

/// A time tied to a temperature.
pub static TIME_AT: Table = Table::plain(
    "time",
    "{ time, at }",
    "A time, and the temperature it is stated for. Only a time with `at` is scaled to the shop's temperature.",
    &[
        Key::new("time", Kind::Time, Required, "The time."),
        Key::new(
            "at",
            Kind::Temperature,
            Else("the time is taken as it stands"),
            "The temperature it is stated for.",
        ),
    ],
);
