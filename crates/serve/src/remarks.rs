//! Comments round what is taken out of a job file: which go with it, which stay.
//!
//! What goes: the comment at the end of its own line with the indented lines that carry it on, and the comment
//! lines straight above it, from its own column, up to a blank line. What stays: everything else; above all lines
//! that carry on the comment of the line before, remarks with a blank line under them, and lines that are switched
//! off (`#key = value`, no blank after the `#`). In doubt a comment stays: a painter's note is not ours to lose.

use toml_edit::{Array, ArrayOfTables, Decor, DocumentMut, Item, RawString, Table};

/// Comment lines that stay although what stood under them is gone, for the first table after a place in the file.
#[derive(Debug)]
pub(crate) struct Left {
    lines: String,
    /// Place in the file of the table they stood in; `None` for the top of the file.
    behind: Option<isize>,
}

/// Takes a key out of a table; comments that stay go to the key after it, or are handed back.
pub(crate) fn take_key(table: &mut Table, key: &str) -> Option<Left> {
    let below = table.iter().skip_while(|(k, _)| *k != key).skip(1).find(|(_, item)| item.is_value());
    let below = below.map(|(k, _)| k.to_owned());
    let behind = table.position();
    let above = table.key(key).map(|k| raw(k.leaf_decor().prefix())).unwrap_or_default();
    let gone = table.remove(key)?;
    let (above, commented) = match &gone {
        Item::Value(v) => (above, raw(v.decor().suffix()).contains('#')),
        Item::Table(t) => (raw(t.decor().prefix()), false),
        _ => (String::new(), false),
    };
    let lines = stays(&above);
    let next = below.as_deref().and_then(|k| table.key_mut(k)).map(|mut k| {
        let decor = k.leaf_decor_mut();
        let rest = raw(decor.prefix());
        decor.set_prefix(format!("{lines}{}", if commented { without_more(&rest) } else { &rest }));
    });
    match next {
        Some(()) => None,
        None if lines.is_empty() && !commented => None,
        None => Some(Left { lines, behind }),
    }
}

/// Takes a row out of a list of tables; comments that stay go to the row after it, or are handed back.
pub(crate) fn take_row(list: &mut ArrayOfTables, n: usize) -> Option<Left> {
    let gone = list.get(n)?;
    let (lines, behind) = (stays(&raw(gone.decor().prefix())), gone.position());
    list.remove(n);
    (!lines.is_empty()).then_some(Left { lines, behind })
}

/// Takes an item out of a list; a comment behind the item before it stays.
pub(crate) fn take_item(list: &mut Array, n: usize) {
    let Some(gone) = list.get(n) else { return };
    // After a comma a comment to the end of the line is of the item before it.
    let before = own_line(&raw(gone.decor().prefix())).0.to_owned();
    list.remove(n);
    let joined = |rest: &str| {
        let (own, rest) = own_line(rest);
        // Without a comment there, whatever blanks stood between are kept.
        if before.is_empty() && own.is_empty() { None } else { Some(format!("{before}{rest}")) }
    };
    if let Some(next) = list.get_mut(n) {
        if let Some(prefix) = joined(&raw(next.decor().prefix())) {
            next.decor_mut().set_prefix(prefix);
        }
    } else if let Some(trailing) = joined(&raw(Some(list.trailing()))) {
        list.set_trailing(trailing);
    }
}

/// Puts comments that stay before the first table behind the place they stood at, or at the end of the file.
pub(crate) fn put_back(doc: &mut DocumentMut, left: Left) {
    let mut places = Vec::new();
    each(doc.as_table_mut(), &mut |t| places.extend(t.position()));
    let behind = left.behind;
    match places.into_iter().filter(|p| behind.is_none_or(|b| b < *p)).min() {
        Some(place) => each(doc.as_table_mut(), &mut |t| {
            if t.position() == Some(place) {
                put_before(t.decor_mut(), &left.lines);
            }
        }),
        None => {
            let end = raw(Some(doc.trailing()));
            doc.set_trailing(format!("{}{}", left.lines, without_more(&end)));
        }
    }
}

/// The text with a table that was put into it moved behind the comments that close what stands above: lines that
/// carry on the last one, and lines that are switched off. `None` if it stands well, or more changed than that.
pub(crate) fn settled(before: &str, now: &str) -> Option<String> {
    let (was, is): (Vec<&str>, Vec<&str>) =
        (before.split_inclusive('\n').collect(), now.split_inclusive('\n').collect());
    let at = was.iter().zip(&is).take_while(|(a, b)| a == b).count();
    let new = is.len().checked_sub(was.len()).filter(|n| 0 < *n)?;
    if is[at + new..] != was[at..] {
        return None;
    }
    let comment = |l: &&&str| l.trim_start().starts_with('#');
    let run = was[at..].iter().take_while(comment).count();
    let open_below = was.get(at + run).is_none_or(|l| l.trim().is_empty());
    let closes = |l: &&&str| comment(l) && !l.starts_with("# ");
    let closing = if open_below { run } else { was[at..].iter().take_while(closes).count() };
    let (above, below) = was[at..].split_at(closing);
    (0 < closing).then(|| [&was[..at], above, &is[at..at + new], below].concat().concat())
}

fn put_before(decor: &mut Decor, lines: &str) {
    let rest = raw(decor.prefix());
    decor.set_prefix(format!("{lines}{}", without_more(&rest)));
}

/// Every table with a header of its own, in no particular order.
fn each(table: &mut Table, seen: &mut dyn FnMut(&mut Table)) {
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(t) => {
                if !t.is_implicit() && !t.is_dotted() {
                    seen(t);
                }
                each(t, seen);
            }
            Item::ArrayOfTables(list) => {
                for t in list.iter_mut() {
                    seen(t);
                    each(t, seen);
                }
            }
            _ => {}
        }
    }
}

fn raw(text: Option<&RawString>) -> String {
    text.and_then(RawString::as_str).unwrap_or_default().to_owned()
}

/// Of the lines above something that is taken out, those that stay; no blank lines at their end.
fn stays(above: &str) -> String {
    let lines: Vec<&str> = above.split_inclusive('\n').collect();
    let own = lines.iter().rev().take_while(|l| l.starts_with("# ") || l.trim_end() == "#").count();
    let kept = &lines[..lines.len() - own];
    let last = kept.iter().rposition(|l| !l.trim().is_empty()).map_or(0, |k| k + 1);
    kept[..last].concat()
}

/// Without the indented comment lines it opens with: they carry on the comment of the line that is gone.
fn without_more(above: &str) -> &str {
    let more: usize = above
        .split_inclusive('\n')
        .take_while(|l| l.starts_with([' ', '\t']) && l.trim_start().starts_with('#'))
        .map(str::len)
        .sum();
    &above[more..]
}

/// A comment up to the end of the line, if there is one, and what comes after it.
fn own_line(text: &str) -> (&str, &str) {
    let end = text.find('\n').unwrap_or(text.len());
    if text[..end].contains('#') { text.split_at(end) } else { ("", text) }
}

#[cfg(test)]
mod tests {
    use crate::edit::{Edit, Step, apply, as_json};
    use proptest::prelude::*;
    use serde_json::{Value as Json, json};

    fn without(text: &str, path: &[Json]) -> String {
        let step = |s: &Json| {
            s.as_str().map_or_else(|| Step::At(s.as_u64().unwrap_or(0) as usize), |k| Step::Key(k.to_owned()))
        };
        apply(text, &[Edit { path: path.iter().map(step).collect(), value: Json::Null }]).unwrap()
    }

    #[test]
    fn a_key_takes_its_own_comments_along_and_no_others() {
        let text = "# The job, as told by Ann.\n\n# Asked twice.\na = 1 # why\n   # and why not\n# off:\n#x = 2\nb = 2\n";
        assert_eq!(without(text, &[json!("a")]), "# The job, as told by Ann.\n# off:\n#x = 2\nb = 2\n");
        // What stands above, switched off, is not about it.
        let after = without(text, &[json!("b")]);
        assert_eq!(
            after,
            "# The job, as told by Ann.\n\n# Asked twice.\na = 1 # why\n   # and why not\n# off:\n#x = 2\n"
        );
    }

    #[test]
    fn the_last_key_of_a_table_leaves_its_comments_before_the_next() {
        let text =
            "[t]\nb = 1 # of b\n  # more of b\n#c = 2\nd = 3 # of d\n  # more of d\n\n# of u\n[u]\ne = 4\n";
        assert_eq!(
            without(text, &[json!("t"), json!("d")]),
            "[t]\nb = 1 # of b\n  # more of b\n#c = 2\n\n# of u\n[u]\ne = 4\n"
        );
        assert_eq!(
            without(text, &[json!("u"), json!("e")]),
            "[t]\nb = 1 # of b\n  # more of b\n#c = 2\nd = 3 # of d\n  # more of d\n\n# of u\n[u]\n"
        );
        // And of the last table at the end of the file.
        assert_eq!(without("[t]\nb = 1\n#c = 2\nd = 3\n", &[json!("t"), json!("d")]), "[t]\nb = 1\n#c = 2\n");
    }

    #[test]
    fn a_row_leaves_what_is_not_about_it() {
        let text = "[[m]]\nid = 'a'\n\n# All of these were measured on Tuesday.\n\n# This one by eye.\n[[m]]\nid = 'b'\n\n[[m]]\nid = 'c'\n";
        assert_eq!(
            without(text, &[json!("m"), json!(1)]),
            "[[m]]\nid = 'a'\n\n# All of these were measured on Tuesday.\n\n[[m]]\nid = 'c'\n"
        );
    }

    #[test]
    fn a_table_put_in_stands_behind_the_comments_that_close_the_one_above() {
        let text = "[[s]]\nid = 'a' # its id,\n  # carried on\n#off = 1\n\n[[m]]\nid = 'b'\n";
        let put = |text: &str, path: &[Json], value: Json| {
            let step = |s: &Json| s.as_str().map_or_else(|| Step::At(0), |k| Step::Key(k.to_owned()));
            apply(text, &[Edit { path: path.iter().map(step).collect(), value }]).unwrap()
        };
        let path = [json!("s"), json!(0), json!("f"), json!(0)];
        let with = put(text, &path, json!({ "id": "c" }));
        assert_eq!(
            with,
            "[[s]]\nid = 'a' # its id,\n  # carried on\n#off = 1\n\n[[s.f]]\nid = \"c\"\n\n[[m]]\nid = 'b'\n"
        );
        assert_eq!(without(&with, &path), text);
        // A comment straight above the next table is about that one.
        let with = put("[[s]]\nid = 'a'\n# about m\n[[m]]\nid = 'b'\n", &path, json!({ "id": "c" }));
        assert_eq!(with, "[[s]]\nid = 'a'\n\n[[s.f]]\nid = \"c\"\n# about m\n[[m]]\nid = 'b'\n");
    }

    #[test]
    fn an_item_of_a_list_leaves_the_comment_behind_the_one_before() {
        let text = "a = [\n  1, # one\n  2, # two\n  3, # three\n]\n";
        assert_eq!(without(text, &[json!("a"), json!(1)]), "a = [\n  1, # one\n  3, # three\n]\n");
        assert_eq!(without(text, &[json!("a"), json!(2)]), "a = [\n  1, # one\n  2, # two\n]\n");
        assert_eq!(without("a = [1, 2, 3]\n", &[json!("a"), json!(1)]), "a = [1, 3]\n");
    }

    /// Every key of a table that holds a value, with its path.
    fn keys(at: &Json, path: &[Json], found: &mut Vec<Vec<Json>>) {
        for (key, value) in at.as_object().into_iter().flatten() {
            let own = [path, &[json!(key)]].concat();
            match value {
                Json::Array(rows) if rows.first().is_some_and(Json::is_object) => {
                    for (n, row) in rows.iter().enumerate() {
                        keys(row, &[own.as_slice(), &[json!(n)]].concat(), found);
                    }
                }
                Json::Object(t) if !t.contains_key("$time") => keys(value, &own, found),
                _ => found.push(own),
            }
        }
    }

    proptest! {
        /// Whatever key is taken out of a template: every line that is switched off is there afterwards, in order,
        /// and what else is said reads as before.
        #[test]
        fn no_line_that_is_switched_off_is_lost(kind in 0usize..4, which in 0usize..1000) {
            let text = plan::job::template(plan::job::TemplateKind::ALL[kind]);
            let mut all = Vec::new();
            let before = as_json(&text).unwrap();
            keys(&before, &[], &mut all);
            let path = &all[which % all.len()];
            let after = without(&text, path);
            let off = |t: &str| t.lines().filter(|l| l.starts_with('#') && !l.starts_with("# ")).map(str::to_owned).collect::<Vec<_>>();
            prop_assert_eq!(off(&text), off(&after), "{:?}", path);
            let mut expected = before;
            let (last, way) = path.split_last().unwrap();
            let mut at = &mut expected;
            for step in way {
                at = match step.as_str() { Some(k) => &mut at[k], None => &mut at[step.as_u64().unwrap_or(0) as usize] };
            }
            at.as_object_mut().unwrap().remove(last.as_str().unwrap());
            prop_assert_eq!(as_json(&after).unwrap(), expected);
        }
    }
}
