//! Hand-made later stages for a plan: tape, paint, day and the rest in the contract's shape, so that every page of
//! the book has something to show whatever the pipeline gives. Invented data, for tests and looking only.

#![allow(dead_code, reason = "each user takes what it needs")]

use serde_json::{Value, json};

/// Fills in what is absent or empty in `data` (plan.json's content and `pages`).
pub(crate) fn fill(data: &mut Value) {
    let marks: Vec<Value> = data["marks"].as_array().cloned().unwrap_or_default();
    let put = |data: &mut Value, key: &str, value: Value| {
        let absent = match &data[key] {
            Value::Null => true,
            Value::Array(items) => items.is_empty(),
            _ => false,
        };
        if absent {
            data[key] = value;
        }
    };
    let masking: Vec<Value> = marks.iter().map(masking).collect();
    put(data, "masking", Value::from(masking));
    put(
        data,
        "paper",
        json!({"sides": ["face", "back"], "area_m2": 5.31, "strips": [
        {"surface": "upper-right", "width_mm": 304.8, "length_mm": 4267.2},
        {"surface": "upper-right", "width_mm": 457.2, "length_mm": 4267.2},
        {"surface": "upper-right", "width_mm": 457.2, "length_mm": 1524.0}]}),
    );
    let ids: Vec<&str> = marks.iter().filter_map(|m| m["id"].as_str()).collect();
    put(
        data,
        "paint",
        json!([{"id": "blue", "area_painted_m2": 0.712, "area_sprayed_m2": 1.104, "dry_film_um": 64,
        "volume_ml": 388.6, "parts": [{"name": "base", "ml": 259.07}, {"name": "hardener", "ml": 64.77}, {"name": "reducer", "ml": 64.77}],
        "mix_ml": 450, "batches": [
            {"marks": ids, "coats": ["fog", "wet"], "ml": 240, "mixed_at": "09:40", "use_by": "11:20"},
            {"marks": ids, "coats": ["fog", "wet"], "ml": 210, "mixed_at": "13:05", "use_by": "14:45"}], "dry_mass_g": 63.8}]),
    );
    put(
        data,
        "parts",
        json!([{"id": "aileron", "control": true, "dry_mass_g": 4.2, "arm_mm": 152.4, "moment_g_m": 0.64}]),
    );
    put(data, "conditions", json!({"dew_point_c": 9.7, "margin_c": 12.0, "verdict": "pass"}));
    let about = ids.first().copied().unwrap_or("");
    let task = |id: &str,
                task: &str,
                part: &str,
                go: i64,
                start: &str,
                minutes: i64,
                after: &str,
                why: &str| {
        json!({"id": id, "task": task, "about": about, "part": part, "go": go, "start": start, "minutes": minutes, "hands": 1,
            "not_before": start, "not_after": after, "why": why})
    };
    put(
        data,
        "day",
        json!([
            task(
                "t1",
                "tape",
                "",
                0,
                "2026-06-05T08:00",
                480,
                "2026-06-05T18:00",
                "layout tape, tack strip, paper"
            ),
            task(
                "t2",
                "tape",
                "N417",
                1,
                "2026-06-06T08:00",
                95,
                "2026-06-06T10:00",
                "edge tape stays on for hours, not days"
            ),
            task("t3", "scuff", "N417", 1, "2026-06-06T09:35", 20, "", ""),
            task(
                "m1",
                "mix",
                "N417",
                1,
                "2026-06-06T09:55",
                10,
                "2026-06-06T10:10",
                "pot life 2 h at 21 C, at 22 C 1 h 52 min"
            ),
            task("f1", "fog", "N417", 1, "2026-06-06T10:05", 6, "", ""),
            task("w1", "tack-up", "N417", 1, "2026-06-06T10:40", 45, "", ""),
            task(
                "c1",
                "wet-coat",
                "N417",
                1,
                "2026-06-06T11:25",
                8,
                "2026-06-06T11:50",
                "every wet coat of a go ends before its first pull"
            ),
            task(
                "p1",
                "pull",
                "N417",
                1,
                "2026-06-06T11:33",
                18,
                "2026-06-06T11:53",
                "pulled wet: within 20 min of the last coat on that edge"
            ),
            task("p2", "pull", "RW", 2, "2026-06-06T15:10", 14, "2026-06-06T15:30", ""),
            task(
                "u1",
                "unmask",
                "",
                2,
                "2026-06-06T17:33",
                25,
                "2026-06-06T23:33",
                "shadows still wipe off in this window"
            ),
            task("z1", "polish", "", 0, "2026-06-11T09:00", 90, "", "")
        ]),
    );
    put(
        data,
        "materials",
        json!([
        {"item": "edge tape 1/2 in", "need": 27.4, "unit": "m", "packs": 1, "note": "roll of 36 yd; bound by cutting: 1"},
        {"item": "tack tape 3/4 in", "need": 31.0, "unit": "m", "packs": 1, "note": "roll of 60 yd"},
        {"item": "layout tape 2 in", "need": 22.5, "unit": "m", "packs": 1, "note": ""},
        {"item": "masking paper 18 in", "need": 10.3, "unit": "m", "packs": 1, "note": ""},
        {"item": "base, blue", "need": 300, "unit": "ml", "packs": 1, "note": "1 L tin"},
        {"item": "hardener", "need": 75, "unit": "ml", "packs": 1, "note": ""},
        {"item": "swabs", "need": 60, "unit": "", "packs": 1, "note": "common practice, no source"}]),
    );
    put(
        data,
        "labour",
        json!({"minutes_by_phase": {"survey": 120, "layout": 240, "masking": 780, "preparation": 150,
        "spraying": 120, "pulling": 90, "cleanup": 60, "inspection": 45},
        "basis": "rates: common practice, no source; calibrated to about 30 h for a full set of very large wing letters"}),
    );
    put(
        data,
        "cautions",
        json!([
        {"id": "isocyanate", "text": "This hardener holds isocyanate: supplied air, skin and eyes covered, nobody else in the spray area. Follow the safety data sheet; people who have become sensitive must not be there at all."},
        {"id": "static", "text": "Fabric is an insulator: rubbing, blowing and pulling tape charge it. Drain and close fuel tanks, ground the aircraft, the stand and yourself."},
        {"id": "balance", "text": "Paint lies on a balanced control surface: its balance is checked before flight by a licensed person."}]),
    );
}

/// A piece of tape along every straight edge of every character, a tack strip and a layout strip a character.
fn masking(mark: &Value) -> Value {
    let mut pieces = Vec::new();
    let glyphs = mark["glyphs"].as_array().cloned().unwrap_or_default();
    for (g, glyph) in glyphs.iter().enumerate() {
        let letter = glyph["char"].as_str().unwrap_or("x");
        let mut n = 0;
        for (r, ring) in glyph["rings_flat_mm"].as_array().into_iter().flatten().enumerate() {
            let points: Vec<(f64, f64)> = ring
                .as_array()
                .into_iter()
                .flatten()
                .map(|p| (p[0].as_f64().unwrap_or(0.0), p[1].as_f64().unwrap_or(0.0)))
                .collect();
            for k in 0..points.len() {
                let (a, b) = (points[k], points[(k + 1) % points.len()]);
                let length = (a.0 - b.0).hypot(a.1 - b.1);
                if length < 12.0 {
                    continue;
                }
                n += 1;
                let hole = r > 0;
                let turn = (b.1 - a.1).atan2(b.0 - a.0).to_degrees().abs();
                let deg = if turn % 90.0 < 1.0 { 90.0 } else { (turn % 90.0).clamp(25.0, 80.0) };
                let end = |first: bool| {
                    if hole {
                        json!({"end": "pre-cut", "cut_deg": deg, "past_mm": 0, "exact": first})
                    } else {
                        json!({"end": "run-on", "cut_deg": 0, "past_mm": 12.7 + 10.0, "exact": false})
                    }
                };
                pieces.push(json!({
                    "id": format!("{letter}{}-{n}", g + 1), "kind": "edge", "glyph": g, "ring": r, "tape_width_mm": if n % 4 == 0 { 6.35 } else { 12.7 },
                    "path_flat_mm": [[a.0, a.1], [b.0, b.1]], "cut_length_mm": length + 50.0, "start": end(true), "finish": end(false),
                    "tab": {"at": if hole { "middle" } else { "finish" }, "kind": if hole { "flag" } else { "fold" }}, "over": []}));
            }
        }
    }
    let count = pieces.len();
    for (k, p) in pieces.iter_mut().enumerate() {
        p["lay"] = json!(k + 1);
        p["pull"] = json!(count - k);
    }
    json!({"of": mark["id"], "paint": "blue", "method": "tape", "glyph_gaps_mm": [], "tack_rings_flat_mm": [], "pieces": pieces,
        "totals": {"edge_mm": 1, "bridge_mm": 0, "tack_mm": 1, "layout_mm": 1, "pieces": count, "pre_cuts": 1, "tabs": count}})
}
