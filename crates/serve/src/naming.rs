//! What a change is called, so that a hand on Undo knows what it takes back: `moved reg-upper`, `added ring-3`.

use crate::edit::{Edit, Step};
use serde_json::Value as Json;

/// Longest part of a name that a job can make long, characters. chosen: a word or two on a button.
const LONGEST: usize = 24;
/// Most edits beside the first that are still called after it. chosen: what a field changes at once.
const MOST_NAMED: usize = 4;

/// The name of some edits to a job whose values before them are `job`.
///
/// Edits of more than one thing are called after the first, with how many more there are.
pub(crate) fn name_of(job: Option<&Json>, edits: &[Edit]) -> String {
    let Some(first) = edits.first() else { return String::from("nothing") };
    let name = name_of_one(job.unwrap_or(&Json::Null), first);
    match edits.len() - 1 {
        0 => name,
        // A mark that is moved and sized at once is moved, as the hand sees it.
        _ if name.starts_with("moved ") => name,
        // As the answers of a new job: no first one speaks for them.
        more if MOST_NAMED < more => format!("{} values", edits.len()),
        more => format!("{name}, and {more} more"),
    }
}

fn name_of_one(job: &Json, edit: &Edit) -> String {
    let mut at = job;
    // The nearest thing with an id on the way to the value, and the keys from there.
    let (mut thing, mut keys) = (String::new(), Vec::new());
    for step in &edit.path {
        at = match step {
            Step::At(n) => at.get(*n),
            Step::Key(key) => at.get(key),
        }
        .unwrap_or(&Json::Null);
        match (step, at.get("id").and_then(Json::as_str)) {
            (_, Some(id)) => {
                thing = short(id);
                keys.clear();
            }
            (Step::Key(key), None) => keys.push(key.as_str()),
            // A further row of a list is told by its value.
            (Step::At(_), None) => {}
        }
    }
    let new = edit.value.get("id").and_then(Json::as_str);
    let (whole, gone) = (keys.is_empty(), edit.value.is_null());
    match (new, keys.last()) {
        _ if whole && gone => format!("took {thing} out"),
        (Some(id), _) => format!("added {}", short(id)),
        (None, Some(&"id")) if !thing.is_empty() => format!("{thing} renamed"),
        (None, Some(&("place" | "at" | "path"))) if !thing.is_empty() => format!("moved {thing}"),
        (None, Some(_)) => {
            let key = keys.join(" ").replace('_', " ");
            let of = if thing.is_empty() { String::new() } else { format!(" of {thing}") };
            if gone { format!("{key}{of} emptied") } else { format!("{key}{of}") }
        }
        (None, None) => thing,
    }
}

fn short(text: &str) -> String {
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    text.chars().take(LONGEST - 1).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit;

    const DEMO: &str = include_str!("../../../hangar/01-parasol-wing/job.toml");

    fn named(path: &str, value: Json) -> String {
        let step = |s: &str| s.parse().map_or_else(|_| Step::Key(s.to_owned()), Step::At);
        let edit = Edit { path: path.split('/').map(step).collect(), value };
        name_of(edit::as_json(DEMO).as_ref(), &[edit])
    }

    #[test]
    fn a_change_is_called_what_it_is() {
        let job = edit::as_json(DEMO).unwrap();
        let features = job["surface"][0]["feature"].as_array().unwrap().len();
        let last = job["surface"][0]["feature"][features - 1]["id"].as_str().unwrap().to_owned();
        assert_eq!(named("mark/0/place", serde_json::json!({ "at": [1, 2] })), "moved reg-upper");
        assert_eq!(named("mark/0/height", 3.into()), "height of reg-upper");
        assert_eq!(named("surface/0/chord/0", 3.into()), "chord of upper-right");
        assert_eq!(named("surface/0/ribs/every", 3.into()), "ribs every of upper-right");
        assert_eq!(named("mark/0/width_ratio", Json::Null), "width ratio of reg-upper emptied");
        assert_eq!(named("title", "x".into()), "title");
        assert_eq!(named("surface/0/id", "x".into()), "upper-right renamed");
        assert_eq!(named("shop/opens", "09:00".into()), "shop opens");
        assert_eq!(
            named(&format!("surface/0/feature/{}", features - 1), Json::Null),
            format!("took {last} out")
        );
        assert_eq!(
            named(&format!("surface/0/feature/{}/at", features - 1), Json::Null),
            format!("moved {last}")
        );
        let ring = serde_json::json!({ "id": "ring-9", "kind": "ring" });
        assert_eq!(named(&format!("surface/0/feature/{features}"), ring), "added ring-9");
        assert_eq!(name_of(None, &[]), "nothing");
        let many = |n: usize| vec![Edit { path: vec![Step::Key("title".to_owned())], value: "x".into() }; n];
        assert_eq!(name_of(None, &many(3)), "title, and 2 more");
        assert_eq!(name_of(None, &many(11)), "11 values");
    }

    #[test]
    fn a_long_id_is_cut() {
        let long = "a".repeat(40);
        assert_eq!(short(&long).chars().count(), LONGEST);
    }
}
