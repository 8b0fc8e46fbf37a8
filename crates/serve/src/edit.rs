//! Edits of a job file's text: one value changes, every comment and the order of all else stays. What is taken out
//! takes only its own comments along; see `remarks`.

use crate::remarks::{self, Left};
use serde::Deserialize;
use serde_json::Value as Json;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, Value};

/// One step of a path: a key, or a number in a list.
#[derive(Clone, Debug, Deserialize, PartialEq)]
#[serde(untagged)]
pub enum Step {
    /// The place in a list, from 0.
    At(usize),
    /// A key.
    Key(String),
}

/// One edit.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Edit {
    /// Where, from the top of the file.
    pub path: Vec<Step>,
    /// What it is from now on; `null` takes it out. One past the end of a list adds to it.
    pub value: Json,
}

/// The text with the edits made.
///
/// # Errors
/// In words, if the text is not TOML or a path leads nowhere.
pub fn apply(text: &str, edits: &[Edit]) -> Result<String, String> {
    let mut doc: DocumentMut = text
        .parse()
        .map_err(|_| String::from("the file is not in a form that can be edited here; mend it by hand"))?;
    for edit in edits {
        let Some((last, way)) = edit.path.split_last() else {
            return Err("an edit without a place".to_owned());
        };
        let before = doc.to_string();
        let mut at = Spot::Table(doc.as_table_mut());
        for (step, next) in way.iter().zip(way.iter().skip(1).chain([last])) {
            at = at.down(step, next)?;
        }
        if let Some(left) = at.set(last, &edit.value)? {
            remarks::put_back(&mut doc, left);
        }
        if let Some(settled) = remarks::settled(&before, &doc.to_string()) {
            doc =
                settled.parse().map_err(|_| String::from("the table cannot be put there; do it by hand"))?;
        }
    }
    Ok(doc.to_string())
}

/// Somewhere in the file.
enum Spot<'a> {
    Table(&'a mut Table),
    Inline(&'a mut InlineTable),
    Tables(&'a mut ArrayOfTables),
    List(&'a mut Array),
}

fn lost(step: &Step) -> String {
    match step {
        Step::At(n) => format!("there is no number {n} in that list"),
        Step::Key(key) => format!("there is no `{key}` there"),
    }
}

impl<'a> Spot<'a> {
    /// One step down; `next` is the one after it.
    fn down(self, step: &Step, next: &Step) -> Result<Spot<'a>, String> {
        let none = || lost(step);
        match (self, step) {
            (Spot::Table(t), Step::Key(key)) => {
                // A table the file does not have yet is opened by the first value in it, a list by its first row.
                let item = t.entry(key).or_insert_with(|| match next {
                    Step::At(0) => Item::ArrayOfTables(ArrayOfTables::new()),
                    _ => Item::Table(Table::new()),
                });
                Spot::of_item(item).ok_or_else(none)
            }
            (Spot::Inline(t), Step::Key(key)) => t.get_mut(key).and_then(Spot::of_value).ok_or_else(none),
            (Spot::Tables(list), Step::At(n)) => list.get_mut(*n).map(Spot::Table).ok_or_else(none),
            (Spot::List(list), Step::At(n)) => list.get_mut(*n).and_then(Spot::of_value).ok_or_else(none),
            _ => Err(none()),
        }
    }

    fn of_item(item: &'a mut Item) -> Option<Spot<'a>> {
        match item {
            Item::Table(t) => Some(Spot::Table(t)),
            Item::ArrayOfTables(list) => Some(Spot::Tables(list)),
            Item::Value(v) => Spot::of_value(v),
            Item::None => None,
        }
    }

    fn of_value(value: &'a mut Value) -> Option<Spot<'a>> {
        match value {
            Value::InlineTable(t) => Some(Spot::Inline(t)),
            Value::Array(list) => Some(Spot::List(list)),
            _ => None,
        }
    }

    /// Sets or takes out a value; gives the comments that stay of what was taken out.
    fn set(self, step: &Step, json: &Json) -> Result<Option<Left>, String> {
        match (self, step) {
            (Spot::Table(t), Step::Key(key)) if json.is_null() => Ok(remarks::take_key(t, key)),
            (Spot::Table(t), Step::Key(key)) => set_in_table(t, key, json).map(|()| None),
            (Spot::Inline(t), Step::Key(key)) => match (json, t.get_mut(key)) {
                (Json::Null, _) => {
                    t.remove(key);
                    Ok(None)
                }
                (_, Some(old)) => replace(old, json).map(|()| None),
                (_, None) => {
                    let mut new = value_of(json)?;
                    // The blank before the closing brace goes behind what comes last now.
                    if let Some((_, last)) = t.iter_mut().last() {
                        let blank =
                            last.decor().suffix().and_then(|s| s.as_str()).unwrap_or_default().to_owned();
                        if !blank.is_empty() {
                            last.decor_mut().set_suffix("");
                            new.decor_mut().set_suffix(blank);
                        }
                    }
                    t.insert(key, new);
                    Ok(None)
                }
            },
            (Spot::Tables(list), Step::At(n)) if json.is_null() && *n < list.len() => {
                Ok(remarks::take_row(list, *n))
            }
            (Spot::Tables(list), Step::At(n)) if *n == list.len() => {
                list.push(table_of(json)?);
                Ok(None)
            }
            (Spot::List(list), Step::At(n)) if json.is_null() && *n < list.len() => {
                remarks::take_item(list, *n);
                Ok(None)
            }
            (Spot::List(list), Step::At(n)) if *n == list.len() => {
                list.push_formatted(value_of(json)?);
                Ok(None)
            }
            (Spot::List(list), Step::At(n)) => match list.get_mut(*n) {
                Some(old) => replace(old, json).map(|()| None),
                None => Err(lost(step)),
            },
            _ => Err(lost(step)),
        }
    }
}

fn set_in_table(table: &mut Table, key: &str, json: &Json) -> Result<(), String> {
    match table.get_mut(key) {
        Some(Item::Value(old)) => replace(old, json),
        _ => {
            // Within its line, as people write a place or a list of tapes by hand. Rows of their own, `[[mark]]`, come
            // one at a time, by their number.
            table.insert(key, Item::Value(value_of(json)?));
            Ok(())
        }
    }
}

/// Puts a new value where an old one stands, with the blanks and the comment round it.
fn replace(old: &mut Value, json: &Json) -> Result<(), String> {
    let mut new = value_of(json)?;
    *new.decor_mut() = old.decor().clone();
    *old = new;
    Ok(())
}

/// Keys of the job file in the order people write them: which one it is, where it is, how large, what of it. Others
/// follow by the alphabet.
const ORDER: [&str; 52] = [
    "id",
    "kind",
    "name",
    "text",
    "half",
    "side",
    "s",
    "at",
    "file",
    "unit",
    "corners",
    "diameter",
    "path",
    "through",
    "waterline",
    "edge",
    "feature",
    "straight",
    "stripe",
    "gap",
    "gap_tape",
    "off",
    "span",
    "chord",
    "sweep",
    "rise",
    "washout_deg",
    "section",
    "girth",
    "breaks",
    "tip_bow",
    "half_width",
    "top",
    "bottom",
    "power",
    "points",
    "every",
    "tape",
    "height",
    "place",
    "width",
    "real",
    "roll",
    "strain",
    "count",
    "film_um",
    "flash",
    "after",
    "time",
    "least",
    "from",
    "air",
];

/// The keys of a new table in the order of `ORDER`.
fn in_order(fields: &serde_json::Map<String, Json>) -> Vec<&String> {
    let mut keys: Vec<&String> = fields.keys().collect();
    // A mark and a stripe say their surface early, a forecast's row after the air.
    let rank = |key: &str| match key {
        "surface" if fields.contains_key("id") => 2,
        _ => ORDER.iter().position(|k| *k == key).unwrap_or(ORDER.len()),
    };
    keys.sort_by_key(|key| rank(key));
    keys
}

fn table_of(json: &Json) -> Result<Table, String> {
    let Json::Object(fields) = json else { return Err("a table was expected".to_owned()) };
    let mut table = Table::new();
    table.decor_mut().set_prefix("\n");
    for key in in_order(fields) {
        if !fields[key].is_null() {
            table.insert(key, Item::Value(value_of(&fields[key])?));
        }
    }
    Ok(table)
}

fn value_of(json: &Json) -> Result<Value, String> {
    Ok(match json {
        Json::Bool(b) => Value::from(*b),
        Json::String(s) => Value::from(s.as_str()),
        Json::Number(n) => match n.as_i64() {
            Some(whole) => Value::from(whole),
            None => Value::from(n.as_f64().filter(|f| f.is_finite()).ok_or("a number was expected")?),
        },
        Json::Array(items) => {
            let mut list = Array::new();
            for item in items {
                list.push(value_of(item)?);
            }
            Value::Array(list)
        }
        Json::Object(fields) => {
            // A day and time has no form of its own in JSON.
            if let (1, Some(Json::String(time))) = (fields.len(), fields.get("$time")) {
                return time
                    .parse::<toml_edit::Datetime>()
                    .map(Value::from)
                    .map_err(|_| format!("`{time}` is not a day and time such as 2026-06-06T09:00:00"));
            }
            let mut table = InlineTable::new();
            for key in in_order(fields) {
                table.insert(key, value_of(&fields[key])?);
            }
            Value::InlineTable(table)
        }
        Json::Null => return Err("a value was expected".to_owned()),
    })
}

/// The job file's values as JSON, for the page; a day and time as `{"$time": "..."}`.
///
/// `None` if the text is not TOML.
pub fn as_json(text: &str) -> Option<Json> {
    let doc: DocumentMut = text.parse().ok()?;
    Some(table_json(doc.as_table()))
}

fn table_json(table: &Table) -> Json {
    Json::Object(table.iter().map(|(key, item)| (key.to_owned(), item_json(item))).collect())
}

fn item_json(item: &Item) -> Json {
    match item {
        Item::None => Json::Null,
        Item::Value(v) => value_json(v),
        Item::Table(t) => table_json(t),
        Item::ArrayOfTables(list) => Json::Array(list.iter().map(table_json).collect()),
    }
}

fn value_json(value: &Value) -> Json {
    match value {
        Value::String(s) => Json::from(s.value().as_str()),
        Value::Integer(n) => Json::from(*n.value()),
        Value::Float(f) => serde_json::Number::from_f64(*f.value()).map_or(Json::Null, Json::Number),
        Value::Boolean(b) => Json::from(*b.value()),
        Value::Datetime(d) => serde_json::json!({ "$time": d.value().to_string() }),
        Value::Array(list) => Json::Array(list.iter().map(value_json).collect()),
        Value::InlineTable(t) => {
            Json::Object(t.iter().map(|(key, v)| (key.to_owned(), value_json(v))).collect())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const DEMO: &str = include_str!("../../../hangar/01-parasol-wing/job.toml");

    fn edit(path: &str, value: Json) -> Edit {
        let step = |s: &str| s.parse().map_or_else(|_| Step::Key(s.to_owned()), Step::At);
        Edit { path: path.split('/').map(step).collect(), value }
    }

    /// Numbers of the lines that differ.
    fn changed(a: &str, b: &str) -> usize {
        assert_eq!(a.lines().count(), b.lines().count());
        a.lines().zip(b.lines()).filter(|(a, b)| a != b).count()
    }

    #[test]
    fn a_key_put_into_a_line_stands_as_people_write_it() {
        let put = |text: &str, key: &str, value: Json| {
            let path = vec![Step::Key("along".to_owned()), Step::Key(key.to_owned())];
            apply(text, &[Edit { path, value }]).unwrap()
        };
        let text = "along = { edge = 'upper', off = 4 } # why\n";
        assert_eq!(put(text, "from", 10.into()), "along = { edge = 'upper', off = 4, from = 10 } # why\n");
        let whole = Edit {
            path: vec![Step::Key("coats".to_owned())],
            value: serde_json::json!([{ "film_um": 8, "count": 3, "kind": "fog" }]),
        };
        let told = apply("title = 'a'\n", &[whole]).unwrap();
        assert!(told.contains("{ kind = \"fog\", count = 3, film_um = 8 }"), "{told}");
    }

    proptest! {
        /// P12: reading a job, editing one value and saving changes one line.
        #[test]
        fn p12_one_edit_changes_one_line(s in -500.0f64..500.0, which in 0usize..5, h in "[a-z0-9 ]{1,12}") {
            let e = match which {
                0 => edit("mark/0/place/at", serde_json::json!([s, 31.5])),
                1 => edit("surface/0/feature/1/at/0", serde_json::json!(s)),
                2 => edit("mark/0/height", serde_json::json!(h)),
                3 => edit("paint/0/pot_life/at", serde_json::json!("20 C")),
                _ => edit("title", serde_json::json!(h)),
            };
            let after = apply(DEMO, std::slice::from_ref(&e)).unwrap();
            prop_assert!(changed(DEMO, &after) <= 1);
            // And it is the value asked for.
            let mut at = as_json(&after).unwrap();
            for step in &e.path {
                at = match step { Step::At(n) => at[*n].take(), Step::Key(k) => at[k.as_str()].take() };
            }
            prop_assert_eq!(at, e.value);
        }
    }

    #[test]
    fn a_comment_beside_a_value_stays() {
        let text = "# head\na = 1 # why\n[t] # table\nb = [1, # one\n 2] # end\n";
        let after = apply(text, &[edit("a", 7.into()), edit("t/b/0", 5.into())]).unwrap();
        assert_eq!(after, "# head\na = 7 # why\n[t] # table\nb = [5, # one\n 2] # end\n");
    }

    #[test]
    fn a_feature_added_and_taken_out_leaves_the_file_as_it_was() {
        let n = as_json(DEMO).unwrap()["surface"][0]["feature"].as_array().unwrap().len();
        let ring = serde_json::json!({ "id": "ring-9", "kind": "ring", "at": [1, 2], "diameter": 4.5 });
        let path = format!("surface/0/feature/{n}");
        let with = apply(DEMO, &[edit(&path, ring)]).unwrap();
        assert!(with.contains("id = \"ring-9\""), "{with}");
        assert!(plan::job::read(&with).is_ok(), "{with}");
        assert_eq!(apply(&with, &[edit(&path, Json::Null)]).unwrap(), DEMO);
    }

    #[test]
    fn the_first_feature_of_a_surface_opens_the_list_under_it() {
        use plan::job::{TemplateKind, read, template_bare};
        for kind in [TemplateKind::Flat, TemplateKind::Wing] {
            let text = template_bare(kind);
            let ring = serde_json::json!({ "id": "ring-1", "kind": "ring", "at": [20, 12], "diameter": 2 });
            let with = apply(&text, &[edit("surface/0/feature/0", ring)]).unwrap();
            let job = read(&with).unwrap_or_else(|p| panic!("{p:#?}\n{with}"));
            assert_eq!(job.surfaces[0].features.len(), 1);
            // And it stands behind its surface, before the marks.
            assert!(with.find("[[surface.feature]]") < with.find("[[mark]]"), "{with}");
            let again = apply(&with, &[edit("surface/0/feature/0", Json::Null)]).unwrap();
            assert_eq!(again, text);
        }
        // The first mark of a job that has none.
        let text = "title = 'a'\n";
        let mark = serde_json::json!({ "id": "m", "surface": "s", "text": "A", "height": 3 });
        let with = apply(text, &[edit("mark/0", mark)]).unwrap();
        assert!(with.contains("[[mark]]"), "{with}");
    }

    #[test]
    fn what_is_put_into_a_table_is_written_within_its_line() {
        let text = "[[mark]]\nid = 'm'\n[shop]\nhands = 1\n";
        let after = apply(text, &[edit("mark/0/place", serde_json::json!({ "at": [1, 2] }))]).unwrap();
        assert_eq!(after, "[[mark]]\nid = 'm'\nplace = { at = [1, 2] }\n[shop]\nhands = 1\n");
        let coats = serde_json::json!([{ "kind": "wet" }]);
        let after = apply("[[paint]]\nid = 'p'\n", &[edit("paint/0/coats", coats)]).unwrap();
        assert_eq!(after, "[[paint]]\nid = 'p'\ncoats = [{ kind = \"wet\" }]\n");
        // A table the file does not have is opened.
        let after = apply("title = 'a'\n", &[edit("shop/hands", 2.into())]).unwrap();
        assert!(after.contains("[shop]\nhands = 2\n"), "{after}");
    }

    #[test]
    fn a_path_that_leads_nowhere_is_told() {
        assert!(apply(DEMO, &[edit("mark/7/height", 3.into())]).is_err());
        assert!(apply("a = = 1", &[edit("a", 3.into())]).is_err());
    }
}
