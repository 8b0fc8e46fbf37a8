//! The JSON Schema of the job file, made from the lists of keys, for editors that complete and underline.
//!
//! It says less than the reader does: it knows no units of bare numbers, no ids elsewhere, no crossed shapes.

use super::keys::top::JOB;
use super::keys::{Choice, Key, Kind, Limits, Need, Size, Table};
use serde_json::{Map, Value, json};

/// The schema, draft 2020-12. Days and times, which JSON lacks, stand as texts in it.
pub fn schema() -> Value {
    let mut definitions = Map::new();
    for table in JOB.all() {
        definitions.insert(definition_name(table), table_schema(table));
    }
    let mut root = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Maskwright job file",
        "description": "A job file (TOML). Bare numbers that are lengths are in the file's `units`.",
        "$ref": format!("#/$defs/{}", definition_name(&JOB)),
    });
    root["$defs"] = Value::Object(definitions);
    root
}

/// A name of its own for every table: letters and hyphens of how it is called.
fn definition_name(table: &Table) -> String {
    table.name.replace([' ', '_'], "-")
}

fn table_schema(table: &'static Table) -> Value {
    if table.kinds.is_empty() {
        return object(table, None);
    }
    // One complete shape a kind, so that a key of another kind is refused.
    let shapes: Vec<Value> = table
        .kinds
        .iter()
        .map(|kind| {
            json!({
                "if": { "properties": { "kind": { "const": kind } }, "required": ["kind"] },
                "then": object(table, Some(kind)),
            })
        })
        .collect();
    json!({
        "type": "object",
        "description": table.doc,
        "properties": { "kind": { "enum": table.kinds } },
        "required": ["kind"],
        "allOf": shapes,
    })
}

fn object(table: &'static Table, kind: Option<&str>) -> Value {
    let keys: Vec<&Key> = table.keys.iter().filter(|key| key.belongs(kind)).collect();
    let properties: Map<String, Value> =
        keys.iter().map(|key| (key.name.to_owned(), key_schema(key))).collect();
    let required: Vec<&str> =
        keys.iter().filter(|key| matches!(key.need, Need::Required)).map(|key| key.name).collect();
    let mut shape = json!({
        "type": "object",
        "description": table.doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    });
    let choices: Vec<Value> = table
        .choices
        .iter()
        .filter(|choice| choice.only.is_empty() || kind.is_some_and(|kind| choice.only.contains(&kind)))
        .map(choice_schema)
        .collect();
    if !choices.is_empty() {
        shape["allOf"] = Value::Array(choices);
    }
    shape
}

/// Each group whole and none of the others; where nothing is needed, also none at all.
fn choice_schema(choice: &Choice) -> Value {
    let none_of = |groups: &[&&[&str]]| {
        let keys: Map<String, Value> = groups
            .iter()
            .flat_map(|group| group.iter())
            .map(|key| ((*key).to_owned(), json!(false)))
            .collect();
        Value::Object(keys)
    };
    let mut ways: Vec<Value> = (0..choice.groups.len())
        .map(|idx| {
            let others: Vec<&&[&str]> = choice
                .groups
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != idx)
                .map(|(_, group)| group)
                .collect();
            json!({ "required": choice.groups[idx], "properties": none_of(&others) })
        })
        .collect();
    if !choice.needed {
        let all: Vec<&&[&str]> = choice.groups.iter().collect();
        ways.push(json!({ "properties": none_of(&all) }));
    }
    json!({ "oneOf": ways })
}

fn key_schema(key: &Key) -> Value {
    let mut shape = kind_schema(&key.kind);
    let without = match key.need {
        Need::Required => String::new(),
        Need::Default(typed) => format!(" Default: {typed}."),
        Need::Else(what) => format!(" If absent: {what}."),
    };
    shape["description"] = json!(format!("{} {}.{without}", key.doc, capital(&key.kind.words())));
    shape
}

fn kind_schema(kind: &Kind) -> Value {
    match kind {
        Kind::Id | Kind::Refers(_) => json!({ "type": "string", "pattern": "^[a-z0-9][a-z0-9-]{0,39}$" }),
        Kind::Text(longest) => json!({ "type": "string", "pattern": "\\S", "maxLength": longest }),
        Kind::Path => json!({ "type": "string", "pattern": "\\S", "maxLength": 400 }),
        Kind::Word(words) => json!({ "enum": words }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Length(size) => length(*size),
        Kind::LengthOrWord(size, words) => json!({ "anyOf": [length(*size), { "enum": words }] }),
        Kind::Number(limits) => number(limits),
        Kind::Whole(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Kind::Time => json!({ "type": "string", "pattern": TIME }),
        Kind::TimeAt(table) => json!({ "anyOf": [{ "type": "string", "pattern": TIME }, refer(table)] }),
        Kind::Clock => json!({ "type": "string", "pattern": "^([01][0-9]|2[0-3]):[0-5][0-9]$" }),
        Kind::Date => {
            json!({ "type": "string", "pattern": "^(19[0-9]{2}|20[0-9]{2}|2100)-[0-9]{2}-[0-9]{2}$" })
        }
        Kind::DateTime => json!({
            "type": "string",
            "pattern": "^(19[0-9]{2}|20[0-9]{2}|2100)-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(:[0-9]{2}(\\.[0-9]+)?)?$",
        }),
        Kind::Temperature => json!({ "type": "string", "pattern": "^\\s*-?[0-9]*\\.?[0-9]+\\s*°?[FC]\\s*$" }),
        Kind::Speed => {
            json!({ "type": "string", "pattern": "^[^-\\u2212]*[0-9½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚][^/]*/\\s*(s|min)\\s*$" })
        }
        Kind::Colour => json!({ "type": "string", "pattern": "^#[0-9a-fA-F]{6}$" }),
        Kind::Pair(item) => list_of(item, 2, Some(2)),
        Kind::OneOrPair(item) => json!({ "anyOf": [kind_schema(item), list_of(item, 2, Some(2))] }),
        Kind::Spot => list_of(&Kind::Length(Size::Position), 2, Some(3)),
        Kind::ScanPoint => list_of(&Kind::Length(Size::Position), 3, Some(3)),
        Kind::List(item, least) => list_of(item, *least, None),
        Kind::OneOrList(item) => json!({ "anyOf": [kind_schema(item), list_of(item, 2, None)] }),
        Kind::Table(table) => refer(table),
        Kind::Tables(table) => json!({ "type": "array", "items": refer(table) }),
        Kind::WordOrTable(words, table) => json!({ "anyOf": [{ "enum": words }, refer(table)] }),
    }
}

/// A time: numbers each with s, min, h or d.
const TIME: &str = "^\\s*[0-9]*\\.?[0-9]+\\s*(s|min|h|d)(\\s+[0-9]*\\.?[0-9]+\\s*(s|min|h|d))*\\s*$";

fn refer(table: &Table) -> Value {
    json!({ "$ref": format!("#/$defs/{}", definition_name(table)) })
}

fn list_of(item: &Kind, least: usize, most: Option<usize>) -> Value {
    let mut list = json!({ "type": "array", "items": kind_schema(item), "minItems": least });
    if let Some(most) = most {
        list["maxItems"] = json!(most);
    }
    list
}

/// A bare number, or text that says its unit. How large it may be depends on the unit, so only its sign is told.
fn length(size: Size) -> Value {
    let (least, _) = size.limits_mm();
    let unit = "(in|ft|yd|mm|cm|m|\"|″|”|'|′|’|''|′′)";
    let amount = "([0-9]*\\.?[0-9]+|[0-9]+/[0-9]+|[0-9]+[ -]+[0-9]+/[0-9]+|[0-9]* *-?[½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚])";
    let minus = if least < 0.0 { "[-\\u2212]?" } else { "" };
    let text = json!({
        "type": "string",
        "pattern": format!("^\\s*{minus}\\s*{amount}\\s*{unit}(-?\\s*{amount}\\s*(in|\"|″|”|''|′′))?\\s*$"),
    });
    let mut bare = json!({ "type": "number" });
    if least > 0.0 {
        bare["exclusiveMinimum"] = json!(0);
    } else if least >= 0.0 {
        bare["minimum"] = json!(0);
    }
    json!({ "anyOf": [bare, text] })
}

fn number(limits: &Limits) -> Value {
    let least = if limits.from { "minimum" } else { "exclusiveMinimum" };
    let most = if limits.to { "maximum" } else { "exclusiveMaximum" };
    let mut shape = json!({ "type": "number" });
    shape[least] = json!(limits.least);
    shape[most] = json!(limits.most);
    shape
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_table_has_a_definition_of_its_own_and_every_reference_leads_to_one() {
        let tables = JOB.all();
        let schema = schema();
        let definitions = schema["$defs"].as_object().unwrap();
        assert_eq!(definitions.len(), tables.len());
        let text = schema.to_string();
        let named: BTreeSet<&str> =
            text.split("#/$defs/").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
        for name in named {
            assert!(definitions.contains_key(name), "{name}");
        }
    }
}
