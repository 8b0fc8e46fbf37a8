//! A table of the job file after its check: every value there is of the kind its key asks for.
//!
//! Values are taken out by name. A name that is not in the table's list of keys is our own mistake and panics.

use super::keys::Table;
use super::types::{DateTime, TimeAt};
use std::collections::BTreeMap;
use std::ops::Range;

/// A checked table.
#[derive(Clone, Debug)]
pub(crate) struct Checked {
    /// Its list of keys.
    pub(crate) table: &'static Table,
    /// Its kind, where its keys depend on one.
    pub(crate) kind: Option<&'static str>,
    /// What messages call it.
    pub(crate) label: String,
    /// Where it stands.
    pub(crate) span: Range<usize>,
    /// Its values, defaults included.
    pub(crate) got: BTreeMap<&'static str, Got>,
}

/// A checked value and where it stands; `0..0` for a default.
#[derive(Clone, Debug)]
pub(crate) struct Got {
    /// The value.
    pub(crate) value: Value,
    /// Where it stands.
    pub(crate) span: Range<usize>,
}

/// A checked value.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    /// A text, id or path.
    Text(String),
    /// One of the words of its key.
    Word(&'static str),
    /// True or false.
    Flag(bool),
    /// A number; minutes, C or mm/s where the key holds such.
    Number(f64),
    /// A length.
    Length(Typed),
    /// Red, green, blue.
    Colour([u8; 3]),
    /// A day.
    Date([u16; 3]),
    /// A day and time.
    DateTime(DateTime),
    /// Numbers by two characters.
    Pairs(Vec<(char, char, f64)>),
    /// A list.
    List(Vec<Got>),
    /// A table.
    Table(Checked),
}

/// A length, and the bare number it was typed as.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Typed {
    /// Millimetres.
    pub(crate) mm: f64,
    /// The number as typed, if it was one without unit.
    pub(crate) bare: Option<f64>,
}

#[cfg(test)]
thread_local! {
    /// The keys taken out so far, so that a test can tell a key nobody reads.
    pub(crate) static TAKEN: std::cell::RefCell<std::collections::BTreeSet<(&'static str, &'static str)>> =
        const { std::cell::RefCell::new(std::collections::BTreeSet::new()) };
}

impl Checked {
    /// The value of a key, if it is there, was sound or has a default.
    ///
    /// # Panics
    /// If the table's list has no such key.
    pub(crate) fn get(&self, key: &str) -> Option<&Got> {
        assert!(self.table.key(key, None).is_some(), "`{key}` is not a key of {}", self.table.written);
        #[cfg(test)]
        TAKEN.with_borrow_mut(|taken| {
            let listed = self.table.keys.iter().find(|listed| listed.name == key);
            taken.extend(listed.map(|listed| (self.table.written, listed.name)));
        });
        self.got.get(key)
    }

    /// A number, or a length in mm.
    pub(crate) fn number(&self, key: &str) -> Option<f64> {
        self.get(key).and_then(Got::number)
    }

    /// A number or length that a sound table always has. The stand-in is never seen: a table without it was
    /// refused before anything is built of it.
    pub(crate) fn sure_number(&self, key: &str) -> f64 {
        let number = self.number(key);
        debug_assert!(number.is_some(), "`{key}` of {} passed the check without a value", self.label);
        number.unwrap_or_default()
    }

    /// A text or word.
    pub(crate) fn text(&self, key: &str) -> Option<&str> {
        self.get(key).and_then(Got::text)
    }

    /// A text, word or nothing.
    pub(crate) fn text_or_empty(&self, key: &str) -> String {
        self.text(key).unwrap_or_default().to_owned()
    }

    /// The meaning of a word.
    pub(crate) fn meaning<T: Copy>(&self, key: &str, meanings: &[(&str, T)]) -> Option<T> {
        let word = self.text(key)?;
        let found = meanings.iter().find(|(name, _)| *name == word).map(|(_, meaning)| *meaning);
        debug_assert!(found.is_some(), "`{word}` of {} has no meaning", self.label);
        found
    }

    /// True or false; false if absent.
    pub(crate) fn flag(&self, key: &str) -> bool {
        matches!(self.get(key), Some(Got { value: Value::Flag(true), .. }))
    }

    /// Numbers by two characters; none if they are absent.
    pub(crate) fn pairs(&self, key: &str) -> Vec<(char, char, f64)> {
        match self.get(key) {
            Some(Got { value: Value::Pairs(pairs), .. }) => pairs.clone(),
            _ => vec![],
        }
    }

    /// The items of a list; none if it is absent.
    pub(crate) fn list(&self, key: &str) -> &[Got] {
        self.get(key).map_or(&[], Got::list)
    }

    /// The tables of a list; none if it is absent.
    pub(crate) fn tables(&self, key: &str) -> impl Iterator<Item = &Checked> {
        self.list(key).iter().filter_map(Got::table)
    }

    /// A table.
    pub(crate) fn table(&self, key: &str) -> Option<&Checked> {
        self.get(key).and_then(Got::table)
    }

    /// A point, mm.
    pub(crate) fn point(&self, key: &str) -> Option<[f64; 2]> {
        self.get(key).and_then(Got::point)
    }

    /// A list of points, mm; none if it is absent.
    pub(crate) fn points(&self, key: &str) -> Vec<[f64; 2]> {
        self.list(key).iter().filter_map(Got::point).collect()
    }

    /// A list of points of a scan in its own unit, which is `unit_mm` millimetres; none if it is absent.
    pub(crate) fn scan_points(&self, key: &str, unit_mm: f64) -> Vec<[f64; 3]> {
        self.list(key).iter().filter_map(|got| got.scan_point(unit_mm)).collect()
    }

    /// A time, with the temperature it holds for if it was given.
    pub(crate) fn time_at(&self, key: &str) -> Option<TimeAt> {
        match &self.get(key)?.value {
            Value::Number(minutes) => Some(TimeAt { minutes: *minutes, at_c: None }),
            Value::Table(table) => Some(TimeAt { minutes: table.number("time")?, at_c: table.number("at") }),
            _ => None,
        }
    }

    /// Where the value of a key stands, or the table if the key is absent.
    pub(crate) fn span_of(&self, key: &str) -> Range<usize> {
        self.get(key).map_or_else(|| self.span.clone(), |got| got.span.clone())
    }
}

impl Got {
    /// A number, or a length in mm.
    pub(crate) fn number(&self) -> Option<f64> {
        match self.value {
            Value::Number(number) => Some(number),
            Value::Length(typed) => Some(typed.mm),
            _ => None,
        }
    }

    /// A text or word.
    pub(crate) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            Value::Word(word) => Some(word),
            _ => None,
        }
    }

    /// The items of a list; none of anything else.
    pub(crate) fn list(&self) -> &[Got] {
        match &self.value {
            Value::List(items) => items,
            _ => &[],
        }
    }

    /// A table.
    pub(crate) fn table(&self) -> Option<&Checked> {
        match &self.value {
            Value::Table(table) => Some(table),
            _ => None,
        }
    }

    /// Two lengths or numbers.
    pub(crate) fn point(&self) -> Option<[f64; 2]> {
        match self.list() {
            [a, b] => Some([a.number()?, b.number()?]),
            _ => None,
        }
    }

    /// Three numbers in a scan's own unit, which is `unit_mm` millimetres: bare ones as typed, others turned into it.
    pub(crate) fn scan_point(&self, unit_mm: f64) -> Option<[f64; 3]> {
        let own = |got: &Got| match got.value {
            Value::Length(typed) => Some(typed.bare.unwrap_or(typed.mm / unit_mm)),
            _ => None,
        };
        match self.list() {
            [a, b, c] => Some([own(a)?, own(b)?, own(c)?]),
            _ => None,
        }
    }
}
