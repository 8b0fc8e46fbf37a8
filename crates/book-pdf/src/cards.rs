//! The cards that are lists taken out of the plan in another order: what is cut, laid, pulled and poured.
//!
//! Everything here is in plan.json already; nothing is computed anew but sums and groups.

use serde_json::{Value, json};
use std::collections::BTreeMap;

/// The lists, each empty if its part of the plan is absent.
pub(crate) fn cards(data: &Value) -> Value {
    json!({
        "cutting": cutting(data),
        "tape": tape(data),
        "film": film(data),
        "pull": pull(data),
        "cups": cups(data),
        "latest_pulls": latest_pulls(data),
    })
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or("")
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or(0.0)
}

/// What the mark or stripe of that id is called: what it says, with its place where another says the same; or its id.
fn words_of<'a>(data: &'a Value, id: &'a str) -> &'a str {
    list(&data["pages"], "marks").iter().find(|m| text(m, "id") == id).map_or(id, |m| text(m, "called"))
}

/// True for what is laid on the day of spraying and pulled wet.
fn laid_wet(piece: &Value) -> bool {
    matches!(text(piece, "kind"), "edge" | "bridge" | "plug" | "film")
}

/// Each character, or `None` for a piece along several.
fn char_of<'a>(data: &'a Value, of: &str, glyph: i64) -> Option<&'a str> {
    let mark = list(data, "marks").iter().find(|m| text(m, "id") == of)?;
    list(mark, "glyphs").get(usize::try_from(glyph).ok()?).map(|g| text(g, "char"))
}

/// Every cut angle on every width of tape, with the pieces that get it, widest tape first.
///
/// Angles are told apart to half a degree, as they are printed.
fn cutting(data: &Value) -> Value {
    let mut widths: BTreeMap<i64, BTreeMap<i64, Cut>> = BTreeMap::new();
    for masking in list(data, "masking") {
        let of = coloured(data, masking);
        // Tack strips are cut by eye where they meet; only what lies on the paint line is cut to an angle.
        for piece in list(masking, "pieces").iter().filter(|p| laid_wet(p)) {
            for end in ["start", "finish"] {
                let cut = &piece[end];
                // 0 degrees: a closed piece, cut whole on the board, has no end to cut.
                if text(cut, "end") != "pre-cut" || number(cut, "cut_deg") <= 0.0 {
                    continue;
                }
                let width = (number(piece, "tape_width_mm") * 1000.0).round() as i64;
                let half_degrees = (number(cut, "cut_deg") * 2.0).round() as i64;
                let entry = widths.entry(-width).or_default().entry(half_degrees).or_default();
                let exact = cut["exact"].as_bool().unwrap_or(false);
                let hand = if end == "start" { &mut entry.start } else { &mut entry.finish };
                hand.push(json!({"of": of, "id": text(piece, "id"), "exact": exact}));
            }
        }
    }
    let cuts = |angles: BTreeMap<i64, Cut>| -> Vec<Value> {
        angles
            .into_iter()
            .rev()
            .map(|(half, cut)| json!({"deg": half as f64 / 2.0, "start": cut.start, "finish": cut.finish}))
            .collect()
    };
    widths
        .into_iter()
        .map(|(width, angles)| json!({"tape_width_mm": -width as f64 / 1000.0, "cuts": cuts(angles)}))
        .collect()
}

#[derive(Default)]
struct Cut {
    start: Vec<Value>,
    finish: Vec<Value>,
}

/// What a mark says and, where a mask is not for its letters, which colour of it is taped.
fn coloured(data: &Value, masking: &Value) -> String {
    let mut words = words_of(data, text(masking, "of")).to_owned();
    let with: Vec<&str> =
        list(masking, "with").iter().map(|w| words_of(data, w.as_str().unwrap_or_default())).collect();
    if let Some((last, before)) = with.split_last() {
        words += if before.is_empty() { " with " } else { " with" };
        words += &before.iter().map(|w| format!(" {w},")).collect::<String>();
        if !before.is_empty() {
            words = format!("{} and ", words.trim_end_matches(','));
        }
        words += last;
    }
    match text(masking, "part") {
        "" | "letters" => words,
        part => format!("{words}, {part}"),
    }
}

/// One card for the pieces along several characters, under the others and so laid first, then one a character.
fn tape(data: &Value) -> Value {
    let mut cards = Vec::new();
    for (k, masking) in list(data, "masking").iter().enumerate() {
        if masking["film"].is_object() {
            continue;
        }
        let of = text(masking, "of");
        // Drawings of a mark's further colours are counted from 2.
        let before = list(data, "masking")[..k].iter().filter(|m| text(m, "of") == of).count();
        let stem = if before == 0 { format!("tape/{of}") } else { format!("tape/{of}/{}", before + 1) };
        let mut by_glyph: BTreeMap<i64, Vec<&Value>> = BTreeMap::new();
        for piece in list(masking, "pieces") {
            let glyph = piece["glyph"].as_i64().unwrap_or(-1);
            by_glyph.entry(glyph).or_default().push(piece);
        }
        for (glyph, mut pieces) in by_glyph {
            pieces.sort_by_key(|p| p["lay"].as_i64().unwrap_or(0));
            cards.push(json!({
                "of": of,
                "text": coloured(data, masking),
                "paint": text(masking, "paint"),
                "method": text(masking, "method"),
                "stand": text(&masking["reaches"], "stand"),
                "places": list(&masking["reaches"], "places").len(),
                "glyph": glyph,
                "char": char_of(data, of, glyph).unwrap_or(""),
                "with": masking["with"],
                "drawing": format!("{stem}-{glyph}"),
                "pieces": pieces,
            }));
        }
    }
    Value::from(cards)
}

/// One card a panel of film, in the order of laying: from the last to be pulled to the first.
fn film(data: &Value) -> Value {
    let mut cards = Vec::new();
    for masking in list(data, "masking") {
        let of = text(masking, "of");
        let film = &masking["film"];
        for (k, panel) in list(film, "panels").iter().enumerate().rev() {
            let pull = |id: &str| {
                list(masking, "pieces").iter().find(|p| text(p, "id") == id).map(|p| p["pull"].clone())
            };
            let rows: Vec<Value> = list(panel, "pieces")
                .iter()
                .map(|p| {
                    json!({
                        "id": text(p, "id"),
                        "pull": pull(text(p, "id")),
                        "what": text(p, "what"),
                        "flag": if text(p, "flag") == "rim" { "at the rim" } else { "on it" },
                    })
                })
                .collect();
            let letters: Vec<&str> =
                list(panel, "glyphs").iter().filter_map(|g| char_of(data, of, g.as_i64()?)).collect();
            cards.push(json!({
                "of": of,
                "text": coloured(data, masking),
                "paint": text(masking, "paint"),
                "panel": panel,
                "number": k + 1,
                "count": list(film, "panels").len(),
                "letters": letters.join(" "),
                "application_tape": film["application_tape"],
                "steps": film["steps"],
                "basis": film["basis"],
                "stand": masking["reaches"]["stand"],
                "places": list(&masking["reaches"], "places").len(),
                "drawing": format!("film/{}", text(panel, "id")),
                "rows": rows,
            }));
        }
    }
    Value::from(cards)
}

/// What is pulled wet, in pulling order, for each mark: edge tape, bridges and plugs, or film. Layout tape is out by then
/// and tack strips stay until all is unmasked.
fn pull(data: &Value) -> Value {
    let mut cards = Vec::new();
    for masking in list(data, "masking") {
        let of = text(masking, "of");
        let mut pieces: Vec<&Value> = list(masking, "pieces").iter().filter(|p| laid_wet(p)).collect();
        pieces.sort_by_key(|p| p["pull"].as_i64().unwrap_or(0));
        let rows: Vec<Value> = pieces
            .iter()
            .map(|p| {
                json!({
                    "id": text(p, "id"),
                    "kind": text(p, "kind"),
                    "char": char_of(data, of, p["glyph"].as_i64().unwrap_or(-1)).unwrap_or(""),
                    "tab": p["tab"],
                })
            })
            .collect();
        if !rows.is_empty() {
            cards.push(json!({
                "of": of,
                "text": coloured(data, masking),
                "paint": text(masking, "paint"),
                "go": first_go(data, of),
                "rows": rows,
            }));
        }
    }
    Value::from(cards)
}

/// The first spraying of what is pulled, counted from 1; 0 if no day is planned.
fn first_go(data: &Value, of: &str) -> i64 {
    let own = list(data, "day").iter().filter(|t| text(t, "task") == "pull" && text(t, "about") == of);
    own.filter_map(|t| t["go"].as_i64()).min().unwrap_or(0)
}

/// Cup lines: for each batch of each paint, how far the cup is filled after each part, ml from empty.
fn cups(data: &Value) -> Value {
    let mut cards = Vec::new();
    for paint in list(data, "paint") {
        let parts = list(paint, "parts");
        let whole: f64 = parts.iter().map(|p| number(p, "ml")).sum();
        if whole <= 0.0 {
            continue;
        }
        for batch in list(paint, "batches") {
            let share = number(batch, "ml") / whole;
            let mut filled = 0.0;
            let lines: Vec<Value> = parts
                .iter()
                .map(|p| {
                    let ml = number(p, "ml") * share;
                    filled += ml;
                    json!({"name": text(p, "name"), "ml": round(ml), "to_ml": round(filled)})
                })
                .collect();
            cards.push(json!({
                "paint": text(paint, "id"),
                "ml": round(number(batch, "ml")),
                "marks": batch["marks"],
                "coats": batch["coats"],
                "mixed_at": text(batch, "mixed_at"),
                "use_by": text(batch, "use_by"),
                "lines": lines,
            }));
        }
    }
    Value::from(cards)
}

/// To a whole millilitre: a cup shows no finer line.
fn round(ml: f64) -> f64 {
    ml.round()
}

/// When each pull must be over, in the order of the day.
fn latest_pulls(data: &Value) -> Value {
    list(data, "day")
        .iter()
        .filter(|t| text(t, "task") == "pull")
        .map(|t| {
            // Stripes of one mask are pulled in one and name themselves, each by what it is called.
            let part = text(t, "part");
            let one = part.contains(',');
            json!({
                "of": if one { part } else { words_of(data, text(t, "about")) },
                "part": if one { "" } else { part },
                "go": t["go"],
                "start": text(t, "start"),
                "not_after": text(t, "not_after"),
            })
        })
        .collect()
}
