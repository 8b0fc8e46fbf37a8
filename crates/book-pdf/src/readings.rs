//! Lengths as a tape measure reads them, put beside every length in mm of the data.

use serde_json::{Map, Value, json};
use sheet::units::{mm_text, tape_measure};

/// Outlines are for cutting, not for reading: they are taken out before the pages see the data.
pub(crate) fn drop_outlines(data: &mut Value) {
    match data {
        Value::Object(fields) => {
            fields.retain(|_, value| !is_outline(value));
            fields.values_mut().for_each(drop_outlines);
        }
        Value::Array(items) => items.iter_mut().for_each(drop_outlines),
        _ => {}
    }
}

/// True for a list of points, or of lists of points.
fn is_outline(value: &Value) -> bool {
    let Value::Array(items) = value else { return false };
    items.first().is_some_and(|first| match first {
        Value::Array(inner) => inner.first().is_some_and(|x| x.is_number() || x.is_array()),
        _ => false,
    })
}

/// Adds beside every number or short list of numbers `x_mm` its reading `x_read`.
pub(crate) fn add(data: &mut Value) {
    match data {
        Value::Object(fields) => {
            let mut more = Map::new();
            for (key, value) in fields.iter_mut() {
                let Some(stem) = key.strip_suffix("_mm") else {
                    add(value);
                    continue;
                };
                let read = match value {
                    Value::Number(n) => n.as_f64().map(reading),
                    Value::Array(items) => items
                        .iter()
                        .map(|x| x.as_f64().map(reading))
                        .collect::<Option<Vec<_>>>()
                        .map(Value::from),
                    _ => None,
                };
                if let Some(read) = read {
                    more.insert(format!("{stem}_read"), read);
                }
            }
            // A finding's figures carry their unit in a field of its own.
            if fields.get("unit").is_some_and(|unit| unit == "mm") {
                for key in ["measured", "required"] {
                    if let Some(mm) = fields.get(key).and_then(Value::as_f64) {
                        more.insert(format!("{key}_read"), reading(mm));
                    }
                }
            }
            fields.extend(more);
        }
        Value::Array(items) => items.iter_mut().for_each(add),
        _ => {}
    }
}

/// Whole inches, fraction and millimetres of a length, as texts.
fn reading(mm: f64) -> Value {
    let inches = tape_measure(mm).to_string();
    let bare = inches.strip_suffix(" in").unwrap_or(&inches);
    let minus = bare.starts_with('-');
    let bare = bare.trim_start_matches('-');
    let (whole, fraction) = match bare.split_once(' ') {
        Some((whole, fraction)) => (whole, fraction),
        None if bare.contains('/') => ("", bare),
        None => (bare, ""),
    };
    let (above, below) = fraction.split_once('/').unwrap_or(("", ""));
    json!({
        "minus": minus, "whole": whole, "above": above, "below": below,
        "mm": mm_text(mm).trim_end_matches(" mm").replace('-', "\u{2212}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_has_the_parts_of_the_tape() {
        // 25.4 mm to the inch by definition.
        assert_eq!(
            reading(619.125),
            json!({"minus": false, "whole": "24", "above": "3", "below": "8", "mm": "619.1"})
        );
        assert_eq!(reading(-12.7)["above"], "1");
        assert_eq!(reading(-12.7)["whole"], "");
        assert_eq!(reading(0.0)["whole"], "0");
    }

    #[test]
    fn every_length_gets_a_reading_and_outlines_go() {
        let mut data =
            json!({"a_mm": 25.4, "at_mm": [25.4, 50.8], "rings_mm": [[[0, 0], [1, 1]]], "b": [{"c_mm": 1}]});
        drop_outlines(&mut data);
        add(&mut data);
        assert_eq!(data["a_read"]["whole"], "1");
        assert_eq!(data["at_read"][1]["whole"], "2");
        assert!(data.get("rings_mm").is_none());
        assert_eq!(data["b"][0]["c_read"]["mm"], "1");
    }
}
