//! Every table and key of the job file as data: what it holds, what it is if absent, one sentence on it.
//!
//! The reader, the JSON Schema, the reference page and the hints all come from these lists, so they agree.

pub mod mark;
pub mod shop;
pub mod surface;
pub mod top;

/// A table of the job file.
#[derive(Debug)]
pub struct Table {
    /// What one of it is called in messages: `surface`.
    pub name: &'static str,
    /// How it is written: `[[surface]]`, or the key it follows.
    pub written: &'static str,
    /// One or two sentences on it.
    pub doc: &'static str,
    /// The values of its `kind` that decide which keys belong to it; empty if they always all do.
    pub kinds: &'static [&'static str],
    /// Its keys.
    pub keys: &'static [Key],
    /// Keys of which one group excludes the others.
    pub choices: &'static [Choice],
}

/// A key of a table.
#[derive(Debug)]
pub struct Key {
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// What happens without it.
    pub need: Need,
    /// The kinds of its table it belongs to; empty = all.
    pub only: &'static [&'static str],
    /// One sentence on it.
    pub doc: &'static str,
}

/// What happens when a key is absent.
#[derive(Clone, Copy, Debug)]
pub enum Need {
    /// The file cannot be used.
    Required,
    /// The file cannot be used, unless one of these other keys of its table is there.
    Unless(&'static [&'static str]),
    /// It has this value, as it would be typed (texts without quotes).
    Default(&'static str),
    /// What these words say.
    Else(&'static str),
}

/// Groups of keys of which exactly one (or at most one) may be there.
#[derive(Debug)]
pub struct Choice {
    /// The kinds of its table it holds for; empty = all.
    pub only: &'static [&'static str],
    /// The groups; the keys of one group go together.
    pub groups: &'static [&'static [&'static str]],
    /// True if one of them must be there.
    pub needed: bool,
}

/// How large a length may be. None may exceed 100 m, but a roll of tape 1,000 m.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// The size of a thing: 1 mm at least.
    Measure,
    /// The width of something thin (film, tape, a line): 0.1 mm at least.
    Fine,
    /// A distance or tolerance, which may be 0.
    Spare,
    /// A place or an offset, which may be negative.
    Position,
    /// The length of a roll: 1 m at least, 1,000 m at most.
    Roll,
}

/// Least and most of a number, each with whether it may be reached.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Least.
    pub least: f64,
    /// True if the least itself is allowed.
    pub from: bool,
    /// Most.
    pub most: f64,
    /// True if the most itself is allowed.
    pub to: bool,
}

/// What a key holds.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// The id of its own table.
    Id,
    /// The id of another table, named in words.
    Refers(&'static str),
    /// Text of at most so many characters.
    Text(usize),
    /// Text of at most so many characters, which may go over several lines.
    Lines(usize),
    /// The path of a file, relative to the job file.
    Path,
    /// One of these words.
    Word(&'static [&'static str]),
    /// `true` or `false`.
    Flag,
    /// A length.
    Length(Size),
    /// A length, or one of these words.
    LengthOrWord(Size, &'static [&'static str]),
    /// A number.
    Number(Limits),
    /// A whole number, least and most.
    Whole(i32, i32),
    /// A stretch of time; at least so many minutes.
    Time,
    /// A stretch of time, or one with the temperature it holds for.
    TimeAt(&'static Table),
    /// A time of day.
    Clock,
    /// A day.
    Date,
    /// A day and time.
    DateTime,
    /// A temperature.
    Temperature,
    /// A travel speed.
    Speed,
    /// A colour as on a screen.
    Colour,
    /// Two of these.
    Pair(&'static Kind),
    /// One of these for both, or two.
    OneOrPair(&'static Kind),
    /// A point on the skin, or three numbers in the axes of a scan.
    Spot,
    /// Three numbers in the axes of a scan.
    ScanPoint,
    /// A list of at least so many of these.
    List(&'static Kind, usize),
    /// One of these, or a list of at least two.
    OneOrList(&'static Kind),
    /// A table.
    Table(&'static Table),
    /// A list of tables.
    Tables(&'static Table),
    /// A table of numbers whose keys are two characters each.
    Pairs(Limits),
    /// One of these words, or a table.
    WordOrTable(&'static [&'static str], &'static Table),
}

/// A point on the skin: two positions.
pub const POINT: Kind = Kind::Pair(&Kind::Length(Size::Position));

/// The corners of an area.
pub const AREA: Kind = Kind::List(&POINT, 3);

/// The corners of an area of a surface of any kind.
pub const AREA_ON: Kind = Kind::List(&Kind::Spot, 3);

/// The points of a path on a surface of any kind.
pub const PATH_ON: Kind = Kind::List(&Kind::Spot, 2);

/// Most lines of one text. chosen: more is a notice, not a mark.
pub const MOST_LINES: usize = 4;

/// A share of a whole, 0 to 1, both allowed.
pub const SHARE: Limits = Limits { least: 0.0, from: true, most: 1.0, to: true };

/// A share that cannot be nothing: over 0, up to 1.
pub const SOME_SHARE: Limits = Limits { least: 0.0, from: false, most: 1.0, to: true };

/// A share that cannot be the whole: from 0, under 1.
pub const PART_SHARE: Limits = Limits { least: 0.0, from: true, most: 1.0, to: false };

impl Key {
    /// A key of every kind of its table.
    const fn new(name: &'static str, kind: Kind, need: Need, doc: &'static str) -> Key {
        Key { name, kind, need, only: &[], doc }
    }

    /// The same, of these kinds of its table.
    const fn only(mut self, kinds: &'static [&'static str]) -> Key {
        self.only = kinds;
        self
    }

    /// Its default as it is typed in a job file, texts in quotes; `None` if it has none.
    pub fn default_typed(&self) -> Option<String> {
        let Need::Default(typed) = self.need else { return None };
        Some(match self.kind {
            Kind::Flag | Kind::Number(_) | Kind::Whole(..) => typed.to_owned(),
            // Both of a pair have the one default.
            Kind::Pair(_) => format!("[\"{typed}\", \"{typed}\"]"),
            _ => format!("\"{typed}\""),
        })
    }

    /// If it belongs to a table of this kind; without a known kind every key does.
    pub fn belongs(&self, kind: Option<&str>) -> bool {
        self.only.is_empty() || kind.is_none_or(|kind| self.only.contains(&kind))
    }
}

impl Table {
    /// A table with neither kinds nor choices.
    const fn plain(
        name: &'static str,
        written: &'static str,
        doc: &'static str,
        keys: &'static [Key],
    ) -> Table {
        Table { name, written, doc, kinds: &[], keys, choices: &[] }
    }

    /// The key of that name in a table of this kind.
    pub fn key(&self, name: &str, kind: Option<&str>) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name && key.belongs(kind))
    }

    /// The default of a length, mm, for a table that is absent as a whole.
    ///
    /// # Panics
    /// If the key has no default that is a length: our own mistake in the lists.
    pub fn default_length_mm(&self, name: &str) -> f64 {
        let Some(Key { need: Need::Default(typed), .. }) = self.key(name, None) else {
            panic!("`{name}` of {} has no default", self.written);
        };
        super::lengths::length_mm(typed).expect("a default is a length")
    }

    /// Every table reached from this one, itself first, in the order of the file.
    pub fn all(&'static self) -> Vec<&'static Table> {
        let mut found: Vec<&'static Table> = vec![self];
        for key in self.keys {
            for table in key.kind.tables().into_iter().flat_map(Table::all) {
                if !found.iter().any(|known| std::ptr::eq(*known, table)) {
                    found.push(table);
                }
            }
        }
        found
    }
}

impl Kind {
    /// The table it holds, if it holds one.
    pub fn tables(&self) -> Option<&'static Table> {
        match self {
            Kind::Table(table) | Kind::Tables(table) | Kind::WordOrTable(_, table) | Kind::TimeAt(table) => {
                Some(table)
            }
            Kind::List(kind, _) | Kind::OneOrList(kind) | Kind::Pair(kind) | Kind::OneOrPair(kind) => {
                kind.tables()
            }
            _ => None,
        }
    }

    /// What it holds in words, for a message, the schema and the reference page.
    pub fn words(&self) -> String {
        match self {
            Kind::Id => "an id: 1 to 40 of a-z, 0-9 and -, not opening with -".to_owned(),
            Kind::Refers(what) => format!("the id of {what}"),
            Kind::Text(longest) => format!("text of 1 to {longest} characters"),
            Kind::Lines(longest) => {
                format!("text of 1 to {longest} characters in at most {MOST_LINES} lines")
            }
            Kind::Path => "the path of a file".to_owned(),
            Kind::Word(words) => one_of(words),
            Kind::Flag => "true or false".to_owned(),
            Kind::Length(size) => size.words().to_owned(),
            Kind::LengthOrWord(size, words) => format!("{}, or {}", size.words(), one_of(words)),
            Kind::Number(limits) => limits.words(),
            Kind::Whole(least, most) => format!("a whole number from {least} to {most}"),
            Kind::Time => "a time such as \"24 h\", \"45 min\", \"5 d\" or \"1 h 30 min\"".to_owned(),
            Kind::TimeAt(_) => "a time such as \"24 h\", or { time = \"24 h\", at = \"21 C\" }".to_owned(),
            Kind::Clock => "a time of day in quotes, such as \"08:00\"".to_owned(),
            Kind::Date => "a day without quotes, such as 2026-06-06".to_owned(),
            Kind::DateTime => "a day and time without quotes, such as 2026-06-04T15:00:00".to_owned(),
            Kind::Temperature => "a temperature such as \"72 F\" or \"21 C\"".to_owned(),
            Kind::Speed => "a speed such as \"18 in/s\" or \"450 mm/s\"".to_owned(),
            Kind::Colour => "a colour such as \"#1b2f52\"".to_owned(),
            Kind::Pair(Kind::Length(Size::Position)) => "two positions, such as [42, 30]".to_owned(),
            Kind::Pair(kind) => format!("two of: {}", kind.words()),
            Kind::OneOrPair(kind) => format!("{}; or a list of two", kind.words()),
            Kind::Spot => "two positions, such as [84, 30]; on a scan three".to_owned(),
            Kind::ScanPoint => "three numbers in the scan's axes and unit".to_owned(),
            Kind::List(kind, 0) => format!("a list, each {}", kind.words()),
            Kind::List(kind, least) => format!("a list of {least} or more, each {}", kind.words()),
            Kind::OneOrList(kind) => format!("{}; or a list of two or more", kind.words()),
            Kind::Table(table) => format!("a table: {}", table.written),
            Kind::Tables(table) => format!("a list of tables: {}", table.written),
            Kind::Pairs(limits) => {
                format!("a table such as {{ \"NA\" = -0.02 }}, each {}", limits.words())
            }
            Kind::WordOrTable(words, table) => format!("{}, or a table: {}", one_of(words), table.written),
        }
    }
}

impl Size {
    /// What it is in words.
    pub fn words(self) -> &'static str {
        match self {
            Size::Measure => "a length such as \"24 3/8 in\", from 1 mm to 100 m",
            Size::Fine => "a width such as \"1/2 in\", from 0.1 mm to 100 m",
            Size::Spare => "a distance such as \"1/4 in\", from 0 to 100 m",
            Size::Position => "a position such as \"24 3/8 in\", within 100 m either way",
            Size::Roll => "the length of a roll such as \"36 yd\", from 1 m to 1,000 m",
        }
    }

    /// Least and most, mm.
    pub fn limits_mm(self) -> (f64, f64) {
        match self {
            Size::Measure => (1.0, 100_000.0),
            Size::Fine => (0.1, 100_000.0),
            Size::Spare => (0.0, 100_000.0),
            Size::Position => (-100_000.0, 100_000.0),
            Size::Roll => (1000.0, 1_000_000.0),
        }
    }
}

impl Limits {
    /// Over one number up to another.
    const fn over(least: f64, most: f64) -> Limits {
        Limits { least, from: false, most, to: true }
    }

    /// From one number to another.
    const fn from(least: f64, most: f64) -> Limits {
        Limits { least, from: true, most, to: true }
    }

    /// True if the value lies within.
    pub fn hold(&self, value: f64) -> bool {
        let above = if self.from { self.least <= value } else { self.least < value };
        let below = if self.to { value <= self.most } else { value < self.most };
        above && below
    }

    /// What it is in words.
    pub fn words(&self) -> String {
        let least = if self.from { "from" } else { "over" };
        let most = if self.to { "to" } else { "under" };
        format!("a number {least} {} {most} {}", self.least, self.most)
    }
}

/// The words in quotes, joined by commas and `or`.
pub(crate) fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}
