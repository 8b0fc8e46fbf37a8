//! The job file as a JSON Schema, so that an editor can help while a job is typed.
//!
//! It is made from `keys` and says what a schema can say: names, kinds of value, the forms of a length. It does not
//! know units, ids of other tables or shapes; the reader alone decides.

use super::keys::top::JOB;
use super::keys::{Choice, Key, Kind, Need, Size, Table};
use serde_json::{Map, Value, json};

/// The JSON Schema (draft 2020-12) of the job file, for its TOML values as JSON: days and times are strings.
///
/// # Example: a title is required
/// ```
/// assert_eq!(plan::job::schema()["required"], serde_json::json!(["title"]));
/// ```
pub fn schema() -> Value {
    let mut defs = Map::new();
    for size in [Size::Measure, Size::Fine, Size::Spare, Size::Position, Size::Roll] {
        defs.insert(size_name(size).to_owned(), length(size));
    }
    for table in JOB.all().into_iter().skip(1) {
        let before = defs.insert(def_name(table), table_schema(table));
        debug_assert!(before.is_none(), "two tables are called `{}`", table.name);
    }
    let mut root = table_schema(&JOB);
    root["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    root["title"] = json!("Maskwright job file");
    root["$defs"] = Value::Object(defs);
    root
}

fn def_name(table: &Table) -> String {
    table.name.replace(' ', "-")
}

fn table_schema(table: &Table) -> Value {
    let mut properties = Map::new();
    for key in table.keys {
        let several = table.keys.iter().filter(|other| other.name == key.name).count() > 1;
        // What a key of several meanings holds is said below, for each kind of its table.
        let says = if several { json!(true) } else { key_schema(key) };
        properties.insert(key.name.to_owned(), says);
    }
    let always = table.keys.iter().filter(|key| key.only.is_empty() && matches!(key.need, Need::Required));
    let mut schema = json!({
        "type": "object",
        "description": table.doc,
        "properties": properties,
        "required": always.map(|key| key.name).collect::<Vec<_>>(),
        "additionalProperties": false,
    });
    let mut all: Vec<Value> = alike_kinds(table)
        .into_iter()
        .map(|kinds| json!({ "if": is_kind(&kinds), "then": of_kind(table, kinds[0]) }))
        .collect();
    all.extend(table.choices.iter().map(|choice| match choice.only {
        [] => choice_schema(choice),
        kinds => json!({ "if": is_kind(kinds), "then": choice_schema(choice) }),
    }));
    all.extend(table.keys.iter().filter_map(|key| {
        let Need::Unless(others) = key.need else { return None };
        let ways = [key.name].into_iter().chain(others.iter().copied());
        Some(json!({ "anyOf": ways.map(|name| json!({ "required": [name] })).collect::<Vec<_>>() }))
    }));
    if !all.is_empty() {
        schema["allOf"] = Value::Array(all);
    }
    schema
}

/// The kinds of a table in groups that have the same keys.
fn alike_kinds(table: &Table) -> Vec<Vec<&'static str>> {
    let own = |kind: &str| table.keys.iter().map(|key| key.belongs(Some(kind))).collect::<Vec<_>>();
    let mut groups: Vec<Vec<&'static str>> = Vec::new();
    for kind in table.kinds {
        match groups.iter_mut().find(|group| own(group[0]) == own(kind)) {
            Some(group) => group.push(kind),
            None => groups.push(vec![kind]),
        }
    }
    groups
}

fn is_kind(kinds: &[&str]) -> Value {
    json!({ "properties": { "kind": { "enum": kinds } }, "required": ["kind"] })
}

/// What holds for a table of this kind alone: the keys it must have, those it cannot have, and those whose meaning
/// depends on it.
fn of_kind(table: &Table, kind: &str) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for key in table.keys {
        match table.key(key.name, Some(kind)) {
            None => {
                properties.insert(key.name.to_owned(), json!(false));
            }
            Some(own) if !own.only.is_empty() && std::ptr::eq(own, key) => {
                if table.keys.iter().filter(|other| other.name == key.name).count() > 1 {
                    properties.insert(key.name.to_owned(), key_schema(own));
                }
                if matches!(own.need, Need::Required) {
                    required.push(own.name);
                }
            }
            Some(_) => {}
        }
    }
    json!({ "properties": properties, "required": required })
}

fn choice_schema(choice: &Choice) -> Value {
    let without = |names: Vec<&str>| {
        names.into_iter().map(|name| (name.to_owned(), json!(false))).collect::<Map<String, Value>>()
    };
    let mut ways: Vec<Value> = (0..choice.groups.len())
        .map(|idx| {
            let others = choice.groups.iter().enumerate().filter(|(other, _)| *other != idx);
            let names = others.flat_map(|(_, group)| group.iter().copied()).collect();
            json!({ "required": choice.groups[idx], "properties": without(names) })
        })
        .collect();
    if !choice.needed {
        let names = choice.groups.iter().flat_map(|group| group.iter().copied()).collect();
        ways.push(json!({ "properties": without(names) }));
    }
    json!({ "oneOf": ways })
}

fn key_schema(key: &Key) -> Value {
    let mut schema = kind_schema(&key.kind);
    schema["description"] = match key.need {
        Need::Else(words) => json!(format!("{} If absent: {words}.", key.doc)),
        Need::Required | Need::Unless(_) | Need::Default(_) => json!(key.doc),
    };
    if let Some(typed) = key.default_typed() {
        // A default is written as in the job file, where texts, numbers and lists look as they do in JSON.
        schema["default"] = serde_json::from_str(&typed).expect("a default is a text, number, flag or list");
    }
    schema
}

fn kind_schema(kind: &Kind) -> Value {
    match kind {
        Kind::Id | Kind::Refers(_) => form("^[a-z0-9][a-z0-9-]{0,39}$".to_owned()),
        Kind::Text(longest) => text(*longest),
        Kind::Lines(longest) => lines(*longest),
        Kind::Path => text(400),
        Kind::Word(words) => json!({ "enum": words }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Length(size) => json!({ "$ref": format!("#/$defs/{}", size_name(*size)) }),
        Kind::LengthOrWord(size, words) => {
            json!({ "anyOf": [kind_schema(&Kind::Length(*size)), { "enum": words }] })
        }
        Kind::Number(limits) => {
            let (least, most) = (
                if limits.from { "minimum" } else { "exclusiveMinimum" },
                if limits.to { "maximum" } else { "exclusiveMaximum" },
            );
            json!({ "type": "number", least: limits.least, most: limits.most })
        }
        Kind::Whole(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Kind::Time => form(format!(
            "^\\s*(?=[0-9.])(?:{NUMBER}\\s*d(?:\\s+|$))?(?:{NUMBER}\\s*h(?:\\s+|$))?\
             (?:{NUMBER}\\s*min(?:\\s+|$))?(?:{NUMBER}\\s*s\\s*)?$"
        )),
        Kind::TimeAt(table) => either(kind_schema(&Kind::Time), refer(table)),
        Kind::Clock => form("^(?:[01][0-9]|2[0-3]):[0-5][0-9]$".to_owned()),
        Kind::Date => form(format!("^{DAY}$")),
        Kind::DateTime => form(format!("^{DAY}[Tt ][0-9]{{2}}:[0-9]{{2}}(?::[0-9]{{2}}(?:\\.[0-9]+)?)?$")),
        Kind::Temperature => form(format!("^\\s*-?{NUMBER}\\s*°?[FC]\\s*$")),
        Kind::Speed => form(format!("^\\s*{}\\s*/\\s*(?:s|min)\\s*$", length_form())),
        Kind::Colour => form("^#[0-9a-fA-F]{6}$".to_owned()),
        Kind::Pair(item) => array(item, 2, 2),
        Kind::OneOrPair(item) => either(kind_schema(item), array(item, 2, 2)),
        Kind::Spot => either(kind_schema(&super::keys::POINT), kind_schema(&Kind::ScanPoint)),
        Kind::ScanPoint => {
            let item = json!({ "anyOf": [{ "type": "number" }, signed_length()] });
            json!({ "type": "array", "items": item, "minItems": 3, "maxItems": 3 })
        }
        Kind::List(item, least) => array(item, *least, LONGEST_LIST),
        Kind::OneOrList(item) => either(kind_schema(item), array(item, 2, LONGEST_LIST)),
        Kind::Table(table) => refer(table),
        Kind::Tables(table) => json!({ "type": "array", "items": refer(table) }),
        Kind::Pairs(limits) => json!({
            "type": "object",
            "propertyNames": { "minLength": 2, "maxLength": 2 },
            "additionalProperties": kind_schema(&Kind::Number(*limits)),
        }),
        Kind::WordOrTable(words, table) => either(json!({ "enum": words }), refer(table)),
    }
}

fn refer(table: &Table) -> Value {
    json!({ "$ref": format!("#/$defs/{}", def_name(table)) })
}

fn either(one: Value, other: Value) -> Value {
    json!({ "anyOf": [one, other] })
}

fn array(item: &Kind, least: usize, most: usize) -> Value {
    json!({ "type": "array", "items": kind_schema(item), "minItems": least, "maxItems": most })
}

fn form(pattern: String) -> Value {
    json!({ "type": "string", "pattern": pattern })
}

/// Text that is not blank and holds nothing a reader cannot see.
fn text(longest: usize) -> Value {
    let seen = "^(?=.*\\S)[^\\u0000-\\u001f\\u007f-\\u009f\\u00ad\\u061c\\u200b\\u200e\\u200f\\u2028-\\u202e\
                \\u2060\\u2066-\\u2069\\ufeff]*$";
    json!({ "type": "string", "minLength": 1, "maxLength": longest, "pattern": seen })
}

/// As `text`, with line breaks between lines that are not blank.
fn lines(longest: usize) -> Value {
    let line = "[^\\u0000-\\u001f\\u007f-\\u009f\\u00ad\\u061c\\u200b\\u200e\\u200f\\u2028-\\u202e\\u2060\\u2066-\\u2069\\ufeff]*";
    let seen = format!("{line}\\S{line}");
    let pattern = format!("^{seen}(?:\\r?\\n{seen}){{0,{}}}$", super::keys::MOST_LINES - 1);
    json!({ "type": "string", "minLength": 1, "maxLength": longest, "pattern": pattern })
}

/// A decimal number without a sign.
const NUMBER: &str = "(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)";

/// A day of the years 1900 to 2100.
const DAY: &str = "(?:19[0-9]{2}|20[0-9]{2}|2100)-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])";

/// A length as text, without a sign: feet and inches, or an amount and its unit.
fn length_form() -> String {
    let vulgar = "[½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚]";
    let fraction = "[0-9]+/0*[1-9][0-9]*";
    let amount = format!(
        "(?:[0-9]+(?:-|\\s*){vulgar}|[0-9]+(?:-|\\s+){fraction}|{fraction}|{vulgar}|[0-9]+(?:\\.[0-9]+)?|\\.[0-9]+)"
    );
    let inch = "(?:in|\"|″|”|''|′′)";
    let foot = "(?:ft|'|′|’)";
    format!("(?:[0-9]+\\s*{foot}(?:-|\\s*){amount}\\s*{inch}|{amount}\\s*(?:{inch}|{foot}|yd|mm|cm|m))")
}

fn signed_length() -> Value {
    form(format!("^\\s*[-−]?\\s*{}\\s*$", length_form()))
}

fn size_name(size: Size) -> &'static str {
    match size {
        Size::Measure => "length",
        Size::Fine => "fine-width",
        Size::Spare => "distance",
        Size::Position => "position",
        Size::Roll => "roll-length",
    }
}

/// A length: a bare number, whose limits are those of the unit that allows most, or text with its unit.
fn length(size: Size) -> Value {
    let (least_mm, most_mm) = size.limits_mm();
    // The least is met soonest by a number of metres, the most and a negative least last by one of millimetres.
    let least = if least_mm > 0.0 { least_mm / super::types::Unit::M.mm() } else { least_mm };
    let most = most_mm / super::types::Unit::Mm.mm();
    let typed = if least_mm < 0.0 { signed_length() } else { form(format!("^\\s*{}\\s*$", length_form())) };
    json!({
        "description": format!("A bare number in the file's `units`, or {}.", size.words()),
        "anyOf": [{ "type": "number", "minimum": least, "maximum": most }, typed],
    })
}

/// Longest list the reader takes.
const LONGEST_LIST: usize = super::check::LONGEST_LIST;
