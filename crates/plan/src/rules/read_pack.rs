//! Reads a whole rule pack from the text of its file.

use super::craft::{Category, Special};
use super::document;
use super::grammar::Pattern;
use super::pack::{
    Effect, Face, Fallback, Form, Grandfather, Hand, HeightRow, Location, Margin, Never, Pack, Performance,
    Set, SurfaceKind, Tops, When, WidthException, Word,
};
use super::read::{Reader, Table};
use crate::problem::Problem;

const CATEGORIES: &[(&str, Category)] = &[
    ("fixed-wing", Category::FixedWing),
    ("glider", Category::Glider),
    ("rotorcraft", Category::Rotorcraft),
    ("airship", Category::Airship),
    ("balloon", Category::Balloon),
    ("powered-parachute", Category::PoweredParachute),
    ("weight-shift", Category::WeightShift),
    ("boat", Category::Boat),
    ("truck", Category::Truck),
];

const SPECIALS: &[(&str, Special)] = &[
    ("none", Special::None),
    ("exhibition", Special::Exhibition),
    ("amateur-built", Special::AmateurBuilt),
    ("light-sport", Special::LightSport),
    ("limited", Special::Limited),
    ("restricted", Special::Restricted),
];

const SURFACES: &[(&str, SurfaceKind)] = &[
    ("flat", SurfaceKind::Flat),
    ("wing", SurfaceKind::Wing),
    ("body", SurfaceKind::Body),
    ("mesh", SurfaceKind::Mesh),
];

const HANDS: &[(&str, Hand)] = &[("left", Hand::Left), ("right", Hand::Right)];

const FACES: &[(&str, Face)] = &[("upper", Face::Upper), ("lower", Face::Lower)];

const TOPS: &[(&str, Tops)] = &[
    ("leading-edge", Tops::LeadingEdge),
    ("trailing-edge", Tops::TrailingEdge),
    ("up", Tops::Up),
    ("forward", Tops::Forward),
    ("aft", Tops::Aft),
];

const EFFECTS: &[(&str, Effect)] =
    &[("asks", Effect::Asks), ("eases", Effect::Eases), ("raises", Effect::Raises)];

/// Every key a pack may have at its top.
const KEYS: &[&str] = &[
    "id",
    "title",
    "authority",
    "edition",
    "unread",
    "practice",
    "height",
    "fallback",
    "equal_heights",
    "width",
    "width_exception",
    "stroke",
    "gap",
    "gap_reading",
    "group_gap",
    "hyphen_length",
    "form",
    "never",
    "reserved",
    "slant",
    "ornament",
    "one_colour",
    "contrast",
    "style",
    "location",
    "set",
    "alike",
    "margin",
    "word",
    "grandfather",
    "second_mark",
    "performance",
    "no_cover",
    "notice",
];

/// Keys of every table that applies under conditions.
const WHEN: &[&str] = &["category", "special", "at", "max_cruise", "age", "mass", "adiz"];

impl Pack {
    /// A pack from the text of its file.
    ///
    /// # Errors
    /// Every problem in the file, each with its place; `file` is the name it is given there.
    pub fn read(file: &str, text: &str) -> Result<Pack, Vec<Problem>> {
        let mut reader = Reader::default();
        let (root, broken) = document::parse(text);
        if !broken.is_empty() {
            return Err(broken.into_iter().map(|problem| problem.in_file(file)).collect());
        }
        let pack = reader.table(&root, KEYS).map(|table| pack(&mut reader, table));
        match pack {
            Some(pack) if reader.problems.is_empty() => Ok(pack),
            _ => {
                reader.problems.sort_by_key(|problem| (problem.span.start, problem.span.end));
                Err(reader.problems.into_iter().map(|problem| problem.in_file(file)).collect())
            }
        }
    }
}

fn pack(r: &mut Reader, t: Table<'_>) -> Pack {
    let mut pack = Pack {
        id: r.text(t, "id"),
        title: r.text(t, "title"),
        authority: r.text(t, "authority"),
        edition: r.text(t, "edition"),
        unread: r.texts(t, "unread"),
        practice: r.truth(t, "practice"),
        rows_by_basis: [0; 4],
        heights: rows(r, t, "height", &["height", "cap", "effect", "say"], height),
        fallback: rows(r, t, "fallback", &["say", "basis", "cite", "height"], |r, row| Fallback {
            provision: r.provision(row),
            height: r.figure_or_none(row, "height"),
            when: when(r, row),
        }),
        equal_heights: r.provision_or_none(t, "equal_heights"),
        width: r.figure_or_none(t, "width"),
        width_exceptions: rows(r, t, "width_exception", &["characters", "width"], |r, row| WidthException {
            characters: r.text(row, "characters"),
            width: r.figure(row, "width"),
        }),
        stroke: r.figure_or_none(t, "stroke"),
        gap: r.figure_or_none(t, "gap"),
        gap_reading: r.text_or_empty(t, "gap_reading"),
        group_gap: r.figure_or_none(t, "group_gap"),
        hyphen_length: r.figure_or_none(t, "hyphen_length"),
        forms: rows(r, t, "form", &["parts", "category_letter", "say", "basis", "cite"], form),
        never: rows(
            r,
            t,
            "never",
            &["characters", "starts", "groups", "gap", "say", "basis", "cite"],
            |r, row| Never {
                characters: r.text_or_empty(row, "characters"),
                starts: r.texts(row, "starts"),
                groups: r.texts(row, "groups"),
                gap: r.truth(row, "gap"),
                provision: r.provision(row),
            },
        ),
        reserved: rows(r, t, "reserved", &["parts", "say", "basis", "cite"], form),
        slant: r.figure_or_none(t, "slant"),
        ornament: r.provision_or_none(t, "ornament"),
        one_colour: r.provision_or_none(t, "one_colour"),
        contrast: r.provision_or_none(t, "contrast"),
        style: rows(r, t, "style", &["say", "basis", "cite"], Reader::provision),
        locations: rows(r, t, "location", LOCATION, location),
        sets: rows(r, t, "set", &["any_of", "say", "basis", "cite"], set),
        alike: r.provision_or_none(t, "alike"),
        margins: rows(r, t, "margin", &["figure"], |r, row| Margin {
            figure: r.figure(row, "figure"),
            when: when(r, row),
        }),
        words: rows(r, t, "word", &["text", "least", "most", "say", "basis", "cite"], |r, row| Word {
            text: r.text(row, "text"),
            specials: r.words(row, "special", SPECIALS),
            least: r.figure(row, "least"),
            most: r.figure_or_none(row, "most"),
            provision: r.provision(row),
        }),
        grandfather: rows(r, t, "grandfather", &["height", "say"], |r, row| Grandfather {
            height: r.figure(row, "height"),
            when: when(r, row),
            say: r.text(row, "say"),
        }),
        second_mark: r.provision_or_none(t, "second_mark"),
        performance: rows(r, t, "performance", &["figure", "say"], |r, row| Performance {
            figure: r.figure(row, "figure"),
            say: r.text(row, "say"),
        }),
        no_cover: rows(r, t, "no_cover", &["say", "basis", "cite"], Reader::provision),
        notices: rows(r, t, "notice", &["say", "basis", "cite"], Reader::provision),
    };
    pack.rows_by_basis = r.rows;
    known_places(r, t, &pack);
    pack
}

/// Keys of a place, besides its conditions.
const LOCATION: &[&str] = &[
    "id",
    "say",
    "basis",
    "cite",
    "surface",
    "side",
    "half",
    "face",
    "tops",
    "horizontal",
    "vertical_below",
    "centred",
    "forward_half",
    "decoration",
];

/// The rows of a list of tables, each with its own keys and those of conditions.
fn rows<T>(
    r: &mut Reader,
    t: Table<'_>,
    key: &str,
    own: &[&str],
    mut read: impl FnMut(&mut Reader, Table<'_>) -> T,
) -> Vec<T> {
    let allowed: Vec<&str> = own.iter().chain(WHEN).copied().collect();
    let tables = r.tables(t, key, &allowed);
    tables.into_iter().map(|row| read(r, row)).collect()
}

fn when(r: &mut Reader, row: Table<'_>) -> When {
    When {
        categories: r.words(row, "category", CATEGORIES),
        specials: r.words(row, "special", SPECIALS),
        locations: r.texts(row, "at"),
        max_cruise: r.figure_or_none(row, "max_cruise"),
        age: r.figure_or_none(row, "age"),
        mass: r.figure_or_none(row, "mass"),
        adiz: r.truth(row, "adiz"),
    }
}

fn height(r: &mut Reader, row: Table<'_>) -> HeightRow {
    HeightRow {
        height: r.figure(row, "height"),
        cap: r.figure_or_none(row, "cap"),
        effect: r.word(row, "effect", EFFECTS).unwrap_or(Effect::Asks),
        when: when(r, row),
        say: r.text(row, "say"),
    }
}

fn form(r: &mut Reader, row: Table<'_>) -> Form {
    let parts = r.texts(row, "parts");
    let pattern = Pattern::read(&parts).unwrap_or_else(|why| {
        let span = row.get("parts").map_or(0..0, |node| node.span.clone());
        r.wrong(&span, why, "parts such as [\"N\", \"[1-9]\", \"[0-9]{0,4}\"]");
        Pattern::read(&["?".to_owned()]).expect("one character is a form")
    });
    Form {
        pattern,
        provision: r.provision(row),
        category_letter: r.truth(row, "category_letter"),
        when: when(r, row),
    }
}

fn location(r: &mut Reader, row: Table<'_>) -> Location {
    Location {
        id: r.text(row, "id"),
        provision: r.provision(row),
        categories: r.words(row, "category", CATEGORIES),
        surfaces: r.words(row, "surface", SURFACES),
        side: r.word(row, "side", HANDS),
        half: r.word(row, "half", HANDS),
        face: r.word(row, "face", FACES),
        tops: r.word(row, "tops", TOPS),
        horizontal: r.truth(row, "horizontal"),
        vertical_below: r.figure_or_none(row, "vertical_below"),
        centred: r.truth(row, "centred"),
        forward_half: r.truth(row, "forward_half"),
        decoration: r.truth(row, "decoration"),
    }
}

fn set(r: &mut Reader, row: Table<'_>) -> Set {
    let mut any_of = Vec::new();
    for node in r.list(row, "any_of") {
        if let document::Value::List(places) = &node.value {
            any_of.push(places.iter().filter_map(text_of).collect::<Vec<_>>());
        } else {
            r.wrong(&node.span, "any_of holds something else than a list", "lists of the names of places");
        }
    }
    Set { any_of, provision: r.provision(row), when: when(r, row) }
}

fn text_of(node: &document::Node) -> Option<String> {
    if let document::Value::Text(text) = &node.value { Some(text.clone()) } else { None }
}

/// A place that is named in a row and not described in the pack could never be filled.
fn known_places(r: &mut Reader, t: Table<'_>, pack: &Pack) {
    let whens = (pack.heights.iter().map(|row| &row.when)).chain(pack.margins.iter().map(|row| &row.when));
    let mut named: Vec<&String> = whens.flat_map(|when| &when.locations).collect();
    named.extend(pack.sets.iter().flat_map(|set| set.any_of.iter().flatten()));
    named.sort();
    named.dedup();
    for place in named.into_iter().filter(|place| pack.location(place).is_none()) {
        let span = t.get("location").map_or(0..0, |node| node.span.clone());
        r.wrong(&span, format!("no location is called \"{place}\""), "a [[location]] with that id");
    }
}
