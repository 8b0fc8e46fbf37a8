//! Tables of figures: each with its unit, how it binds, how well it is known, and where it stands.
//!
//! Ours come with the program; a shop's own file of working times is read the same way and lies over ours.

use crate::finding::{Basis, Bound};
use crate::problem::Problem;
use crate::rules::document::{Entry, Node, Value, parse};

/// Most rows a file may have. chosen: ten times ours.
const MOST_ROWS: usize = 200;

/// One figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name.
    pub id: String,
    /// Its value, in `unit`.
    pub value: f64,
    /// Its unit, in words.
    pub unit: String,
    /// How it binds.
    pub bound: Bound,
    /// How well it is known.
    pub basis: Basis,
    /// Where it stands.
    pub cite: String,
}

/// Figures by name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Figures(pub Vec<Figure>);

impl Figures {
    /// The figure of that name.
    ///
    /// # Panics
    /// If there is none: the names are fixed, and every table that came with the program was tested.
    pub fn get(&self, id: &str) -> &Figure {
        self.0.iter().find(|f| f.id == id).unwrap_or_else(|| panic!("there is a figure called {id}"))
    }

    /// Its value alone.
    ///
    /// # Panics
    /// As [`Figures::get`].
    pub fn value(&self, id: &str) -> f64 {
        self.get(id).value
    }

    /// Reads a file that came with the program.
    ///
    /// # Panics
    /// If the file is wrong: a test reads every one of them.
    pub fn own(text: &str) -> Figures {
        read(text).expect("the figures that come with the program are sound")
    }

    /// These, with the rows of a shop's own file in place of ours. Its rows need a value only: what they leave out
    /// stays as it is, but for the basis, which is then the shop's.
    ///
    /// # Errors
    /// Everything in the file that cannot be used, each with its place in it.
    pub fn with_file(mut self, name: &str, bytes: &[u8]) -> Result<Figures, Vec<Problem>> {
        let text = std::str::from_utf8(bytes)
            .map_err(|_| vec![Problem::at(0..0, format!("{name} is not UTF-8 text")).in_file(name)])?;
        let (root, mut problems) = parse(text);
        let mut found = Vec::new();
        for (row, entries) in rows(&root, &mut problems) {
            let id = text_of(entries, "id").unwrap_or_default();
            let Some(ours) = self.0.iter().find(|f| f.id == id) else {
                let near = self.0.iter().max_by(|a, b| {
                    strsim::jaro_winkler(&a.id, &id).total_cmp(&strsim::jaro_winkler(&b.id, &id))
                });
                problems.push(
                    Problem::at(row.span.clone(), format!("no working time is called `{id}`"))
                        .hint(near.map_or_else(String::new, |f| format!("did you mean `{}`?", f.id))),
                );
                continue;
            };
            let mut mine = ours.clone();
            mine.basis = Basis::Shop;
            mine.cite = text_of(entries, "cite").unwrap_or_else(|| format!("the shop's own: {name}"));
            match number_of(entries, "value") {
                Some(value) if value > 0.0 && value <= 1.0e6 => mine.value = value,
                _ => problems.push(
                    Problem::at(row.span.clone(), format!("`value` of {id} is no number over 0"))
                        .expected(ours.unit.clone()),
                ),
            }
            if text_of(entries, "unit").is_some_and(|unit| unit != ours.unit) {
                problems.push(
                    Problem::at(row.span.clone(), format!("`unit` of {id} differs"))
                        .expected(ours.unit.clone()),
                );
            }
            found.push(mine);
        }
        for mine in found {
            if let Some(slot) = self.0.iter_mut().find(|f| f.id == mine.id) {
                *slot = mine;
            }
        }
        let problems: Vec<Problem> = problems.into_iter().map(|p| p.in_file(name)).collect();
        if problems.is_empty() { Ok(self) } else { Err(problems) }
    }
}

/// The rows of a file, every value there and sound.
fn read(text: &str) -> Result<Figures, Vec<Problem>> {
    let (root, mut problems) = parse(text);
    let mut figures = Vec::new();
    for (row, entries) in rows(&root, &mut problems) {
        let figure = (|| {
            Some(Figure {
                id: text_of(entries, "id")?,
                value: number_of(entries, "value")?,
                unit: text_of(entries, "unit")?,
                bound: bound_of(&text_of(entries, "bound")?)?,
                basis: basis_of(&text_of(entries, "basis")?)?,
                cite: text_of(entries, "cite")?,
            })
        })();
        match figure {
            Some(figure) => figures.push(figure),
            None => problems.push(Problem::at(row.span.clone(), "a figure lacks one of its keys")),
        }
    }
    if problems.is_empty() { Ok(Figures(figures)) } else { Err(problems) }
}

/// The tables under `figure`, and a problem for anything else in the file.
fn rows<'d>(root: &'d Node, problems: &mut Vec<Problem>) -> Vec<(&'d Node, &'d [Entry])> {
    let Value::Table(top) = &root.value else { return vec![] };
    let mut found = Vec::new();
    for entry in top {
        match (&entry.node.value, entry.key.as_str()) {
            (Value::List(list), "figure") if list.len() <= MOST_ROWS => {
                for node in list {
                    let Value::Table(entries) = &node.value else { continue };
                    for key in entries {
                        if !["id", "value", "unit", "bound", "basis", "cite"].contains(&key.key.as_str()) {
                            problems.push(
                                Problem::at(key.key_span.clone(), format!("unknown key `{}`", key.key))
                                    .expected("id, value, unit, bound, basis or cite"),
                            );
                        }
                    }
                    found.push((node, entries.as_slice()));
                }
            }
            _ => problems.push(
                Problem::at(entry.key_span.clone(), format!("`{}` is not known here", entry.key))
                    .expected(format!("up to {MOST_ROWS} tables [[figure]] with id and value")),
            ),
        }
    }
    found
}

fn text_of(entries: &[Entry], key: &str) -> Option<String> {
    entries.iter().find(|e| e.key == key).and_then(|e| match &e.node.value {
        Value::Text(text) => Some(text.clone()),
        _ => None,
    })
}

fn number_of(entries: &[Entry], key: &str) -> Option<f64> {
    entries.iter().find(|e| e.key == key).and_then(|e| match e.node.value {
        Value::Number(number) => Some(number),
        _ => None,
    })
}

fn bound_of(word: &str) -> Option<Bound> {
    Some(match word {
        "min" => Bound::Min,
        "max" => Bound::Max,
        "exact" => Bound::Exact,
        "should" => Bound::Should,
        "may" => Bound::May,
        _ => return None,
    })
}

fn basis_of(word: &str) -> Option<Basis> {
    Some(match word {
        "read" => Basis::Read,
        "quoted" => Basis::Quoted,
        "memory" => Basis::Memory,
        "practice" => Basis::Practice,
        "shop" => Basis::Shop,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_ours_has_a_unit_and_a_source() {
        for text in [super::super::LIMITS, super::super::ALLOWANCES, super::super::labour::RATES] {
            let figures = Figures::own(text);
            assert!(figures.0.len() >= 9);
            for f in &figures.0 {
                assert!(!f.unit.is_empty() && !f.cite.is_empty() && f.value.is_finite(), "{f:?}");
                assert_eq!(figures.0.iter().filter(|g| g.id == f.id).count(), 1, "{}", f.id);
            }
        }
    }

    #[test]
    fn a_shops_own_row_lies_over_ours_and_says_so() {
        let ours = Figures::own(super::super::labour::RATES);
        let text = b"[[figure]]\nid = \"swab\"\nvalue = 3\n";
        let mine = ours.clone().with_file("our.toml", text).unwrap();
        assert_eq!((mine.value("swab"), mine.get("swab").basis), (3.0, Basis::Shop));
        assert_eq!(mine.get("pull"), ours.get("pull"));
    }

    #[test]
    fn a_file_that_cannot_be_used_tells_everything_at_once() {
        let text =
            "[[figure]]\nid = \"swap\"\nvalue = 3\n[[figure]]\nid = \"pull\"\nvalue = 0\nhow = 1\n[extra]\n";
        let ours = Figures::own(super::super::labour::RATES);
        let problems = ours.with_file("our.toml", text.as_bytes()).unwrap_err();
        let all = problems.iter().map(|p| format!("{} {}\n", p.message, p.hint)).collect::<String>();
        for words in ["`swap`", "did you mean `swab`", "no number over 0", "unknown key `how`", "`extra`"] {
            assert!(all.contains(words), "{words} is missing in\n{all}");
        }
        assert!(problems.iter().all(|p| p.file == "our.toml"));
    }
}
