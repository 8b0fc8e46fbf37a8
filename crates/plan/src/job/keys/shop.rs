//! The keys of the shop's side: masking, tapes, paints, gun, weather, hours.

use super::Need::{Default, Else, Required};
use super::top::TIME_AT;
use super::{Choice, Key, Kind, Limits, PART_SHARE, SHARE, SOME_SHARE, Size, Table};

/// Masking.
pub static MASKING: Table = Table::plain(
    "masking",
    "[masking]",
    "How the marks are masked, and with what.",
    &[
        Key::new(
            "method",
            Kind::Word(&["tape", "cut-mask"]),
            Default("tape"),
            "With tape, or with a mask cut from film.",
        ),
        Key::new(
            "gap",
            Kind::Length(Size::Spare),
            Default("3/8 in"),
            "From the paint edge to the tack strip.",
        ),
        Key::new(
            "overlap",
            Kind::Length(Size::Spare),
            Default("1/8 in"),
            "Least edge tape on the tack strip.",
        ),
        Key::new(
            "longest_piece",
            Kind::Length(Size::Measure),
            Default("60 in"),
            "The longest piece of edge tape.",
        ),
        Key::new(
            "tab",
            Kind::Length(Size::Spare),
            Default("1/2 in"),
            "Length of the tab a piece is pulled by.",
        ),
        Key::new(
            "edge_tapes",
            Kind::List(&Kind::Table(&TAPE), 0),
            Else("none on the shelf"),
            "Edge tapes on the shelf.",
        ),
        Key::new("tack_tape", Kind::Table(&TAPE), Else("none on the shelf"), "The tape of the tack strip."),
        Key::new(
            "layout_tapes",
            Kind::List(&Kind::Table(&TAPE), 0),
            Else("none on the shelf"),
            "Layout tapes on the shelf.",
        ),
        Key::new(
            "paper",
            Kind::List(&Kind::Table(&PAPER), 0),
            Else("none on the shelf"),
            "Rolls of masking paper.",
        ),
        Key::new(
            "edge_dwell",
            Kind::Time,
            Default("24 h"),
            "The longest time edge tape or film may stay on.",
        ),
        Key::new(
            "film",
            Kind::List(&Kind::Table(&FILM), 0),
            Else("24 in wide where `method` is \"cut-mask\", from memory"),
            "Rolls of mask film for `method = \"cut-mask\"`.",
        ),
        Key::new(
            "application_tape",
            Kind::Table(&APPLICATION_TAPE),
            Else("12 in wide where `method` is \"cut-mask\", from memory"),
            "The tape that carries the cut film to the skin.",
        ),
    ],
);

/// A roll of mask film.
pub static FILM: Table = Table::plain(
    "film",
    "{ width, roll }",
    "A roll of mask film.",
    &[
        Key::new("width", Kind::Length(Size::Measure), Required, "Its width."),
        Key::new("roll", Kind::Length(Size::Roll), Default("50 yd"), "The length of a roll."),
    ],
);

/// The tape that carries cut film.
pub static APPLICATION_TAPE: Table = Table::plain(
    "application tape",
    "{ width, roll }",
    "The tape that carries the cut film to the skin.",
    &[
        Key::new("width", Kind::Length(Size::Measure), Required, "Its width."),
        Key::new("roll", Kind::Length(Size::Roll), Default("100 yd"), "The length of a roll."),
    ],
);

/// A tape.
pub static TAPE: Table = Table::plain(
    "tape",
    "{ width, real, roll, strain }",
    "A tape on the shelf.",
    &[
        Key::new("width", Kind::Length(Size::Fine), Required, "The width on its label."),
        Key::new(
            "real",
            Kind::Length(Size::Fine),
            Else("as `width`"),
            "Its real width, which is what counts.",
        ),
        Key::new("roll", Kind::Length(Size::Roll), Default("60 yd"), "The length of a roll."),
        Key::new(
            "strain",
            Kind::Number(PART_SHARE),
            Default("0.05"),
            "How far it may be stretched around a bend, as a share of its length.",
        ),
    ],
);

/// A roll of paper.
pub static PAPER: Table = Table::plain(
    "paper",
    "{ width }",
    "A roll of masking paper.",
    &[Key::new("width", Kind::Length(Size::Measure), Required, "Its width.")],
);

/// A paint.
pub static PAINT: Table = Table {
    name: "paint",
    written: "[[paint]]",
    doc: "A paint, with the figures of its data sheet.",
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
            "system",
            Kind::Word(&["two-pack", "enamel", "basecoat", "lacquer", "dope"]),
            Default("two-pack"),
            "What kind of paint it is.",
        ),
        Key::new(
            "parts",
            Kind::List(&Kind::Table(&MIX), 0),
            Else("ready mixed"),
            "What it is mixed from, by volume.",
        ),
        Key::new(
            "volume_solids",
            Kind::Number(SOME_SHARE),
            Else("no volumes are worked out"),
            "The share of the mixture that stays as dry film, by volume.",
        ),
        Key::new(
            "dry_density",
            Kind::Number(Limits::over(0.0, 10.0)),
            Else("no masses are worked out"),
            "Density of the dry film, kg/L.",
        ),
        Key::new(
            "pot_life",
            Kind::TimeAt(&TIME_AT),
            Else("without end"),
            "How long the mixture can be sprayed.",
        ),
        Key::new(
            "coats",
            Kind::List(&Kind::Table(&COAT), 0),
            Else("none are planned"),
            "Its coats in order.",
        ),
        Key::new("pull_edge", Kind::Table(&PULL), Else("not planned"), "When the edge tape is pulled."),
        Key::new(
            "unmask",
            Kind::Table(&UNMASK),
            Else("not planned"),
            "When the paper and tack strips come off.",
        ),
        Key::new(
            "dry_to_tape",
            Kind::TimeAt(&TIME_AT),
            Else("not planned"),
            "How long after its last coat tape may go on it.",
        ),
        Key::new(
            "polish_after",
            Kind::TimeAt(&TIME_AT),
            Else("not planned"),
            "How long after its last coat it may be polished.",
        ),
        Key::new(
            "transfer_efficiency",
            Kind::Number(SOME_SHARE),
            Else("no volumes are worked out"),
            "The share of the sprayed paint that lands.",
        ),
        Key::new("isocyanate", Kind::Flag, Default("false"), "If its hardener holds isocyanate."),
    ],
    choices: &[Choice { only: &[], groups: &[&["colour"], &["reflectance"]], needed: false }],
};

/// A part of a mixture.
pub static MIX: Table = Table::plain(
    "part of the mixture",
    "{ name, parts }",
    "A part of the mixture, by volume.",
    &[
        Key::new("name", Kind::Text(60), Required, "What it is called."),
        Key::new("parts", Kind::Number(Limits::over(0.0, 1000.0)), Required, "How many parts of it."),
    ],
);

/// A coat.
pub static COAT: Table = Table::plain(
    "coat",
    "{ kind, count, film_um, flash, after }",
    "A coat, sprayed one or more times.",
    &[
        Key::new("kind", Kind::Word(&["fog", "tack-up", "wet"]), Required, "What kind of coat."),
        Key::new("count", Kind::Whole(1, 20), Default("1"), "How many times it is sprayed."),
        Key::new(
            "film_um",
            Kind::Number(Limits::over(0.0, 1000.0)),
            Required,
            "The dry film of each, micrometres.",
        ),
        Key::new("flash", Kind::Table(&FLASH), Else("none"), "The wait between two of them."),
        Key::new("after", Kind::Time, Else("at once"), "The wait after the coat before."),
    ],
);

/// A wait.
pub static FLASH: Table = Table::plain(
    "flash",
    "flash = { least, most, at }",
    "The wait between two coats.",
    &[
        Key::new("least", Kind::Time, Required, "The shortest wait."),
        Key::new("most", Kind::Time, Required, "The longest wait."),
        Key::new(
            "at",
            Kind::Temperature,
            Else("as it stands"),
            "The temperature it holds for; it is then scaled to the shop's.",
        ),
    ],
);

/// Pulling.
pub static PULL: Table = Table::plain(
    "pull_edge",
    "pull_edge = { state, from, by, at }",
    "When the edge tape is pulled, after the last coat on that edge.",
    &[
        Key::new(
            "state",
            Kind::Word(&["wet", "tacky", "dry", "set"]),
            Default("wet"),
            "The state the paint is in then.",
        ),
        Key::new("from", Kind::Time, Default("0 min"), "The soonest."),
        Key::new("by", Kind::Time, Required, "The latest."),
        Key::new(
            "at",
            Kind::Temperature,
            Else("as it stands"),
            "The temperature it holds for; it is then scaled to the shop's.",
        ),
    ],
);

/// Unmasking.
pub static UNMASK: Table = Table::plain(
    "unmask",
    "unmask = { from, by, at }",
    "When the paper and tack strips come off, after the last coat of that go.",
    &[
        Key::new("from", Kind::Time, Default("0 min"), "The soonest."),
        Key::new("by", Kind::Time, Required, "The latest."),
        Key::new(
            "at",
            Kind::Temperature,
            Else("as it stands"),
            "The temperature it holds for; it is then scaled to the shop's.",
        ),
    ],
);

/// The gun.
pub static GUN: Table = Table::plain(
    "gun",
    "[gun]",
    "The spray gun as it is set.",
    &[
        Key::new("fan", Kind::Length(Size::Measure), Default("8 in"), "Width of its fan on the work."),
        Key::new(
            "overlap",
            Kind::Number(PART_SHARE),
            Default("0.5"),
            "Share of a pass that the next one covers.",
        ),
        Key::new("speed", Kind::Speed, Default("18 in/s"), "How fast it travels."),
    ],
);

/// Weather.
pub static CONDITIONS: Table = Table::plain(
    "conditions",
    "[conditions]",
    "Air and surface on the day. Nothing is assumed of the weather: what needs an absent figure is left out.",
    &[
        Key::new("air", Kind::Temperature, Else("not known"), "Temperature of the air."),
        Key::new("surface", Kind::Temperature, Else("not known"), "Temperature of the surface."),
        Key::new("humidity", Kind::Number(HUMIDITY), Else("not known"), "Relative humidity, per cent."),
        Key::new(
            "air_from",
            Kind::Word(&["left", "right"]),
            Else("letters are shot as they are read"),
            "The side the airflow comes from as one faces the skin; letters are then shot downwind.",
        ),
        Key::new(
            "forecast",
            Kind::List(&Kind::Table(&FORECAST), 0),
            Else("none"),
            "What is expected through the day.",
        ),
    ],
);

/// Relative humidity, per cent.
const HUMIDITY: Limits = Limits::from(0.0, 100.0);

/// A line of the forecast.
pub static FORECAST: Table = Table::plain(
    "forecast",
    "{ at, air, surface, humidity }",
    "What is expected at one time of the day.",
    &[
        Key::new("at", Kind::Clock, Required, "The time of day."),
        Key::new("air", Kind::Temperature, Required, "Temperature of the air."),
        Key::new("surface", Kind::Temperature, Required, "Temperature of the surface."),
        Key::new("humidity", Kind::Number(HUMIDITY), Required, "Relative humidity, per cent."),
    ],
);

/// The shop.
pub static SHOP: Table = Table::plain(
    "shop",
    "[shop]",
    "Hours and hands, on the shop's own clock.",
    &[
        Key::new("hands", Kind::Whole(1, 20), Default("1"), "How many pairs of hands."),
        Key::new("opens", Kind::Clock, Default("08:00"), "When it opens."),
        Key::new("closes", Kind::Clock, Default("18:00"), "When it closes."),
        Key::new(
            "date",
            Kind::Date,
            Else("no dates are given"),
            "The day of the first spraying; taping days come before it.",
        ),
        Key::new(
            "labour",
            Kind::Path,
            Else("the rates that come with the program"),
            "A file of the shop's own working times, rows [[figure]] with id and value as in data/labour.toml.",
        ),
    ],
);

/// Full-size patterns.
pub static PATTERNS: Table = Table::plain(
    "patterns",
    "[patterns]",
    "How full-size patterns and story sticks are printed.",
    &[
        Key::new(
            "paper",
            Kind::LengthOrWord(Size::Measure, &["a4", "a3", "letter", "tabloid"]),
            Else("letter where the job measures in inches or feet, else a4"),
            "The paper: a sheet by its name, or the width of a roll, 210 mm to 5 m; `--paper` goes before it.",
        ),
        Key::new(
            "pounce",
            Kind::Flag,
            Default("false"),
            "With dots along the paint edges, for pricking the pattern.",
        ),
        Key::new(
            "whole",
            Kind::Flag,
            Default("false"),
            "The whole mark in the PDF too, beside one pattern for each character.",
        ),
        Key::new(
            "mirror",
            Kind::Flag,
            Default("false"),
            "A mirrored set of files too, marked as such, for cutting a film from its back.",
        ),
    ],
);
