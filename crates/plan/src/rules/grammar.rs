//! Which texts a rule allows as a mark, and in a wrong one the first character that is wrong and what could
//! stand there instead.
//!
//! A form is a short list of parts: fixed text (`N`, `D-`) or one of a set of characters in brackets, with
//! an optional count in braces (`[0-9]{0,4}`). That is all that the forms of the packs need, so it takes no
//! regular expressions; unlike those it can also say what was expected.

use std::collections::BTreeSet;

/// Most characters a form may have in all: its states are the bits of one number.
const MOST_ITEMS: usize = 60;

/// One form a mark may take.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    items: Vec<Item>,
}

/// One place of a form.
#[derive(Clone, Debug, PartialEq)]
struct Item {
    allowed: Vec<(char, char)>,
    optional: bool,
}

/// How far a text agrees with a form.
#[derive(Clone, Debug, PartialEq)]
pub enum Match {
    /// It is of that form.
    Whole,
    /// It agrees up to this character (from 0); then one of these could stand there.
    Until {
        /// Index of the first character that is wrong, or the length of a text that is too short.
        index: usize,
        /// What could stand there, in words; empty if nothing.
        expected: Vec<String>,
        /// Whether the text could have ended there.
        may_end: bool,
    },
}

/// Where a text stands in a form: which places come next, as bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct State(u64);

impl Pattern {
    /// A form from its parts.
    ///
    /// # Errors
    /// A sentence that says which part cannot be read and why.
    pub fn read(parts: &[String]) -> Result<Pattern, String> {
        let mut items = Vec::new();
        for part in parts {
            match part.strip_prefix('[') {
                None => items.extend(part.chars().map(|c| Item { allowed: vec![(c, c)], optional: false })),
                Some(rest) => class(part, rest, &mut items)?,
            }
        }
        if items.is_empty() || MOST_ITEMS < items.len() {
            return Err(format!("a form has 1 to {MOST_ITEMS} characters, this one {}", items.len()));
        }
        Ok(Pattern { items })
    }

    /// How far a text agrees with the form.
    pub fn compare(&self, text: &str) -> Match {
        let mut state = self.start();
        for (index, c) in text.chars().enumerate() {
            let next = self.step(state, c);
            if next.0 == 0 {
                return self.until(index, state);
            }
            state = next;
        }
        if self.ends(state) { Match::Whole } else { self.until(text.chars().count(), state) }
    }

    /// The state before the first character.
    pub fn start(&self) -> State {
        State(self.past_optional(1))
    }

    /// The state after one more character; no state is left (`dead`) if it may not stand there.
    pub fn step(&self, state: State, c: char) -> State {
        let mut next = 0;
        for (index, item) in self.items.iter().enumerate() {
            if state.0 >> index & 1 == 1 && item.allows(c) {
                next |= 1 << (index + 1);
            }
        }
        State(self.past_optional(next))
    }

    /// Whether a text may end in this state.
    pub fn ends(&self, state: State) -> bool {
        state.0 >> self.items.len() & 1 == 1
    }

    /// Most characters a mark of this form has.
    pub fn longest(&self) -> usize {
        self.items.len()
    }

    fn past_optional(&self, mut state: u64) -> u64 {
        for (index, item) in self.items.iter().enumerate() {
            if state >> index & 1 == 1 && item.optional {
                state |= 1 << (index + 1);
            }
        }
        state
    }

    fn until(&self, index: usize, state: State) -> Match {
        let mut ranges = BTreeSet::new();
        for (place, item) in self.items.iter().enumerate() {
            if state.0 >> place & 1 == 1 {
                ranges.extend(item.allowed.iter().copied());
            }
        }
        let expected = ranges.into_iter().map(range_words).collect();
        Match::Until { index, expected, may_end: self.ends(state) }
    }
}

impl State {
    /// Whether no form is left.
    pub fn dead(self) -> bool {
        self.0 == 0
    }
}

impl Item {
    fn allows(&self, c: char) -> bool {
        self.allowed.iter().any(|&(from, to)| from <= c && c <= to)
    }
}

/// A bracket and its count: `[A-HJ-NP-Z]{0,2}`.
fn class(part: &str, rest: &str, items: &mut Vec<Item>) -> Result<(), String> {
    let (inside, count) = rest.split_once(']').ok_or_else(|| format!("\"{part}\" has no closing bracket"))?;
    let letters: Vec<char> = inside.chars().collect();
    let (mut allowed, mut at) = (Vec::new(), 0);
    while at < letters.len() {
        let from = letters[at];
        let range = letters.get(at + 1) == Some(&'-') && at + 2 < letters.len();
        let to = if range { letters[at + 2] } else { from };
        if to < from {
            return Err(format!("\"{part}\": {from}-{to} runs backwards"));
        }
        allowed.push((from, to));
        at += if range { 3 } else { 1 };
    }
    if allowed.is_empty() {
        return Err(format!("\"{part}\" allows no character"));
    }
    let (least, most) = if count.is_empty() { (1, 1) } else { counts(part, count)? };
    for n in 0..most {
        items.push(Item { allowed: allowed.clone(), optional: least <= n });
    }
    Ok(())
}

/// `{2}` or `{0,4}`.
fn counts(part: &str, count: &str) -> Result<(usize, usize), String> {
    let wrong = || format!("\"{part}\": a count is written {{2}} or {{0,4}}");
    let inside = count.strip_prefix('{').and_then(|c| c.strip_suffix('}')).ok_or_else(wrong)?;
    let (least, most) = inside.split_once(',').unwrap_or((inside, inside));
    let least: usize = least.trim().parse().map_err(|_| wrong())?;
    let most: usize = most.trim().parse().map_err(|_| wrong())?;
    if most < least || most == 0 || MOST_ITEMS < most {
        return Err(wrong());
    }
    Ok((least, most))
}

fn range_words((from, to): (char, char)) -> String {
    match (from, to) {
        (' ', ' ') => "a space".to_owned(),
        ('-', '-') => "a hyphen".to_owned(),
        (from, to) if from == to => from.to_string(),
        (from, to) => format!("{from}-{to}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pattern(parts: &[&str]) -> Pattern {
        Pattern::read(&parts.iter().map(|&part| part.to_owned()).collect::<Vec<_>>()).unwrap()
    }

    #[test]
    fn a_text_of_the_form_is_whole_and_any_other_says_where_it_leaves_it() {
        let form = pattern(&["X", "[1-9]", "[0-9]{0,2}", "[A-CE]"]);
        assert_eq!(form.compare("X12E"), Match::Whole);
        assert_eq!(form.compare("X1A"), Match::Whole);
        let Match::Until { index, expected, may_end } = form.compare("X1D") else {
            panic!("D is not allowed")
        };
        assert_eq!((index, may_end), (2, false));
        assert_eq!(expected, ["0-9", "A-C", "E"]);
        let Match::Until { index, expected, may_end } = form.compare("X1AA") else { panic!("too long") };
        assert_eq!((index, may_end, expected.len()), (3, true, 0));
    }

    #[test]
    fn a_part_that_cannot_be_read_says_why() {
        for (part, why) in
            [("[A-", "closing"), ("[]", "no character"), ("[Z-A]", "backwards"), ("[A]{3,1}", "count")]
        {
            let error = Pattern::read(&[part.to_owned()]).unwrap_err();
            assert!(error.contains(why), "{part}: {error}");
        }
    }
}
