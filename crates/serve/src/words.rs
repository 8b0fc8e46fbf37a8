//! The words a key of the job file may hold, and what stands if it is empty, for the lists the page lets one choose
//! from: taken from the reader's own lists, so that the page offers nothing the reader refuses.

use serde_json::{Map, Value, json};

/// For each table its keys: `{"words": [...], "default": ...}`. Where the words depend on a surface's kind they
/// stand once more under `key.kind`: `side.wing`.
pub(crate) fn words() -> Value {
    let schema = plan::job::schema();
    let mut tables = Map::new();
    tables.insert(String::from("job"), table(&schema));
    for (name, def) in schema["$defs"].as_object().into_iter().flatten() {
        let keys = table(def);
        if keys.as_object().is_some_and(|k| !k.is_empty()) {
            tables.insert(name.clone(), keys);
        }
    }
    Value::Object(tables)
}

fn table(schema: &Value) -> Value {
    let mut keys = Map::new();
    for (key, says) in schema["properties"].as_object().into_iter().flatten() {
        put(&mut keys, key.clone(), says);
    }
    // What holds for one kind of a table alone.
    for rule in schema["allOf"].as_array().into_iter().flatten() {
        let kinds = rule["if"]["properties"]["kind"]["enum"].as_array();
        for kind in kinds.into_iter().flatten().filter_map(Value::as_str) {
            for (key, says) in rule["then"]["properties"].as_object().into_iter().flatten() {
                put(&mut keys, format!("{key}.{kind}"), says);
            }
        }
    }
    Value::Object(keys)
}

fn put(keys: &mut Map<String, Value>, key: String, says: &Value) {
    let own = says["enum"].as_array().or_else(|| says["items"]["enum"].as_array());
    let one_of = || says["anyOf"].as_array()?.iter().find_map(|way| way["enum"].as_array());
    let words = own.or_else(one_of);
    let default = &says["default"];
    if words.is_some() || !default.is_null() {
        keys.insert(key, json!({ "words": words, "default": default }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_are_those_the_reader_takes() {
        let words = words();
        assert_eq!(words["job"]["units"]["words"], json!(["in", "ft", "mm", "cm", "m"]));
        assert_eq!(words["surface"]["side.wing"]["words"], json!(["upper", "lower"]));
        assert_eq!(words["surface"]["side.body"]["words"], json!(["left", "right"]));
        assert_eq!(words["mark"]["height"]["words"], json!(["largest", "legal"]));
        assert_eq!(words["survey"]["error"]["default"], "1/16 in");
        // And each is one: a job with any of them reads as far as that key goes.
        for kind in words["feature"]["kind"]["words"].as_array().unwrap() {
            let text = format!(
                "title = 'a'\n[[surface]]\nid = 's'\nkind = 'flat'\ncorners = [[0,0],[9,0],[9,9]]\n\
                 [[surface.feature]]\nid = 'f'\nkind = {kind}\n"
            );
            let told = plan::job::read(&text).err().unwrap_or_default();
            assert!(!told.iter().any(|p| p.message.contains("kind")), "{kind}: {told:?}");
        }
    }
}
