//! Checks a value that is neither list nor table: a text, a number, a length, a time.

use super::amounts;
use super::check::{Checker, nearest};
use super::checked::{Typed, Value};
use super::keys::{Kind, Limits, MOST_LINES, Size, one_of};
use super::lengths::{length_mm, mm_of};
use super::tree::{Node, Raw, shortened};
use super::types::Unit;
use crate::problem::Problem;

/// Coldest and warmest temperature that is believed, C. chosen: no paint is sprayed or baked outside of them.
const TEMPERATURES_C: (f64, f64) = (-40.0, 100.0);

/// Longest time that is believed, minutes. chosen: a year; data sheets speak of days.
const LONGEST_MIN: f64 = 366.0 * 1440.0;

/// Fastest travel of a gun that is believed, mm/s. chosen: ten metres a second.
const FASTEST_MM_S: f64 = 10_000.0;

impl Checker<'_> {
    /// The value at `node` as `kind`, which holds neither list nor table alone.
    pub(crate) fn single(&mut self, node: &Node, kind: &Kind, name: &str) -> Option<Value> {
        match (kind, &node.raw) {
            (Kind::Id | Kind::Refers(_), Raw::Text(text)) => self.id(node, text, name).map(Value::Text),
            (Kind::Text(longest), Raw::Text(text)) => {
                self.readable(node, text, *longest, name).map(Value::Text)
            }
            (Kind::Lines(longest), Raw::Text(text)) => {
                self.lines(node, text, *longest, name).map(Value::Text)
            }
            (Kind::Path, Raw::Text(text)) => self.readable(node, text, 400, name).map(Value::Text),
            (Kind::Word(words) | Kind::WordOrTable(words, _), Raw::Text(text)) => {
                self.word(node, text, words, kind, name)
            }
            (Kind::LengthOrWord(size, words), Raw::Text(text)) => {
                match words.iter().find(|word| *word == text) {
                    Some(word) => Some(Value::Word(word)),
                    // What opens with a letter was meant as a word.
                    None if text.starts_with(|c: char| c.is_alphabetic()) => {
                        self.word(node, text, words, kind, name)
                    }
                    None => self.length(node, *size, name).map(Value::Length),
                }
            }
            (Kind::Length(size) | Kind::LengthOrWord(size, _), Raw::Text(_) | Raw::Number(_)) => {
                self.length(node, *size, name).map(Value::Length)
            }
            (Kind::Flag, Raw::Flag(flag)) => Some(Value::Flag(*flag)),
            (Kind::Number(limits), Raw::Number(number)) => {
                self.number(node, *number, limits, name).map(Value::Number)
            }
            (Kind::Whole(least, most), Raw::Number(number)) => {
                let number = self.finite(node, *number, name)?;
                if number.fract().abs() > 0.0 {
                    self.wrong_type(node, kind, name);
                    return None;
                }
                let limits =
                    Limits { least: f64::from(*least), from: true, most: f64::from(*most), to: true };
                self.number(node, number, &limits, name).map(Value::Number)
            }
            (Kind::Time | Kind::TimeAt(_), Raw::Text(text)) => {
                let minutes = self.amount(node, text, kind, name, amounts::minutes)?;
                self.at_most(node, minutes <= LONGEST_MIN, name, "is longer than a year")
                    .then_some(Value::Number(minutes))
            }
            (Kind::Clock, Raw::Text(text)) => {
                let minute = self.amount(node, text, kind, name, amounts::clock_minutes)?;
                Some(Value::Number(f64::from(minute)))
            }
            (Kind::Temperature, Raw::Text(text)) => {
                let celsius = self.amount(node, text, kind, name, amounts::temperature_c)?;
                let believed = TEMPERATURES_C.0 <= celsius && celsius <= TEMPERATURES_C.1;
                self.at_most(node, believed, name, "is not between -40 C and 100 C")
                    .then_some(Value::Number(celsius))
            }
            (Kind::Temperature, Raw::Number(_)) => {
                self.unit_missing(node, kind, name, "add F or C, in quotes")
            }
            (Kind::Time | Kind::TimeAt(_), Raw::Number(_)) => {
                self.unit_missing(node, kind, name, "add min, h or d, in quotes")
            }
            (Kind::Speed, Raw::Number(_)) => {
                self.unit_missing(node, kind, name, "add in/s or mm/s, in quotes")
            }
            (Kind::Speed, Raw::Text(text)) => {
                let speed = self.amount(node, text, kind, name, amounts::speed_mm_s)?;
                let moves = self.at_most(
                    node,
                    speed > 0.0,
                    name,
                    if speed < 0.0 { "is negative" } else { "is zero" },
                );
                let believed =
                    moves && self.at_most(node, speed <= FASTEST_MM_S, name, "is faster than 10 m/s");
                believed.then_some(Value::Number(speed))
            }
            (Kind::Colour, Raw::Text(text)) => {
                self.amount(node, text, kind, name, amounts::colour).map(Value::Colour)
            }
            (Kind::Date, Raw::Date(date)) => self.year(node, date[0], name).then_some(Value::Date(*date)),
            (Kind::DateTime, Raw::DateTime(moment)) => {
                self.year(node, moment.date[0], name).then_some(Value::DateTime(*moment))
            }
            (Kind::DateTime | Kind::Date, Raw::ForeignTime("a time with a zone")) => {
                let message = format!("{name} is tied to a time zone: {}", self.found(node));
                let hint = "leave the zone out: times are the shop's own clock";
                self.problems.push(Problem::at(node.span.clone(), message).expected(kind.words()).hint(hint));
                None
            }
            _ => {
                self.wrong_type(node, kind, name);
                None
            }
        }
    }

    fn amount<T>(
        &mut self,
        node: &Node,
        text: &str,
        kind: &Kind,
        name: &str,
        read: fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        let text = self.readable(node, text, 100, name)?;
        match read(&text) {
            Ok(value) => Some(value),
            Err(wrong) => {
                let problem =
                    Problem::at(node.span.clone(), format!("{name}: {}", shortened_sentence(&wrong)));
                self.problems.push(problem.expected(kind.words()));
                None
            }
        }
    }

    fn unit_missing(&mut self, node: &Node, kind: &Kind, name: &str, hint: &str) -> Option<Value> {
        let message = format!("{name} is a bare number: {}", self.found(node));
        self.problems.push(Problem::at(node.span.clone(), message).expected(kind.words()).hint(hint));
        None
    }

    fn at_most(&mut self, node: &Node, holds: bool, name: &str, what: &str) -> bool {
        if !holds {
            let message = format!("{name} {what}: {}", self.found(node));
            self.problems.push(Problem::at(node.span.clone(), message));
        }
        holds
    }

    fn year(&mut self, node: &Node, year: u16, name: &str) -> bool {
        self.at_most(node, (1900..=2100).contains(&year), name, "is not between 1900 and 2100")
    }

    fn word(
        &mut self,
        node: &Node,
        text: &str,
        words: &'static [&'static str],
        kind: &Kind,
        name: &str,
    ) -> Option<Value> {
        let text = self.readable(node, text, 100, name)?;
        if let Some(word) = words.iter().find(|word| **word == text) {
            return Some(Value::Word(word));
        }
        let mut problem = Problem::at(node.span.clone(), format!("{name} cannot be `{}`", shortened(&text)))
            .expected(kind.words());
        if let Some(word) = nearest(&text, words.iter().copied()) {
            problem = problem.hint(format!("did you mean \"{word}\"?"));
        }
        self.problems.push(problem);
        None
    }

    /// A text a person can read: not blank, not too long, no control characters, nothing that turns the line round.
    pub(crate) fn readable(&mut self, node: &Node, text: &str, longest: usize, name: &str) -> Option<String> {
        if text.is_empty() {
            self.problems.push(Problem::at(node.span.clone(), format!("{name} is empty")));
            return None;
        }
        let mut problem = |message: String, at: std::ops::Range<usize>| {
            let span = self.part_of_text(node, text, at);
            self.problems.push(Problem::at(span, message));
            None
        };
        if text.trim().is_empty() {
            return problem(format!("{name} is blank"), 0..text.len());
        }
        if let Some((at, c)) = text.char_indices().find(|(_, c)| hidden(*c).is_some()) {
            let what = hidden(c).unwrap_or_default();
            return problem(format!("{name} holds {what}, U+{:04X}", u32::from(c)), at..at + c.len_utf8());
        }
        let count = text.chars().count();
        if count > longest {
            return problem(format!("{name} is {count} characters long, more than {longest}"), 0..text.len());
        }
        Some(text.to_owned())
    }

    /// A text in lines, none of them blank.
    fn lines(&mut self, node: &Node, text: &str, longest: usize, name: &str) -> Option<String> {
        let text = text.replace("\r\n", "\n");
        let lines: Vec<&str> = text.split('\n').collect();
        // A line break is as good as a space for what a person can read.
        self.readable(node, &lines.join(" "), longest, name)?;
        let wrong = if lines.len() > MOST_LINES {
            format!("{name} has {} lines, more than {MOST_LINES}", lines.len())
        } else if let Some(blank) = lines.iter().position(|line| line.trim().is_empty()) {
            format!("{name}: line {} is blank", blank + 1)
        } else {
            return Some(text);
        };
        self.problems.push(Problem::at(node.span.clone(), wrong));
        None
    }

    /// Numbers by two characters.
    pub(crate) fn pairs(&mut self, node: &Node, limits: &Limits, name: &str) -> Option<Value> {
        let mut pairs = Vec::new();
        for entry in node.entries() {
            let own = format!("{name}, `{}`", shortened(&entry.key));
            let two: Vec<char> = entry.key.chars().collect();
            let &[left, right] = &two[..] else {
                let problem = Problem::at(entry.span.clone(), format!("{own} is not two characters"));
                self.problems.push(problem.expected("two characters in quotes, such as \"NA\""));
                continue;
            };
            let Raw::Number(number) = entry.node.raw else {
                self.wrong_type(&entry.node, &Kind::Number(*limits), &own);
                continue;
            };
            pairs.extend(self.number(&entry.node, number, limits, &own).map(|by| (left, right, by)));
        }
        (pairs.len() == node.entries().len()).then_some(Value::Pairs(pairs))
    }

    fn id(&mut self, node: &Node, text: &str, name: &str) -> Option<String> {
        let text = self.readable(node, text, 400, name)?;
        if is_id(&text) {
            return Some(text);
        }
        let lower = text.to_lowercase().replace([' ', '_'], "-");
        let mut problem =
            Problem::at(node.span.clone(), format!("{name} is `{}`, which is no id", shortened(&text)))
                .expected(Kind::Id.words());
        if is_id(&lower) {
            problem = problem.hint(format!("write \"{lower}\""));
        }
        self.problems.push(problem);
        None
    }

    /// A number that is one.
    pub(crate) fn finite(&mut self, node: &Node, number: f64, name: &str) -> Option<f64> {
        let what = if number.is_nan() { "is not a number" } else { "is infinite or far too large" };
        self.at_most(node, number.is_finite(), name, what).then_some(number)
    }

    fn number(&mut self, node: &Node, number: f64, limits: &Limits, name: &str) -> Option<f64> {
        let number = self.finite(node, number, name)?;
        if limits.hold(number) {
            return Some(number);
        }
        let typed = shortened(self.text.get(node.span.clone()).unwrap_or_default());
        let message = if number < 0.0 && limits.least >= 0.0 {
            format!("{name} is negative: {typed}")
        } else if number.abs() <= 0.0 {
            format!("{name} is zero")
        } else {
            format!("{name} is out of range: {typed}")
        };
        self.problems.push(Problem::at(node.span.clone(), message).expected(limits.words()));
        None
    }

    /// The millimetres of a text, or a problem at the very place in it.
    pub(crate) fn length_text(&mut self, node: &Node, text: &str, name: &str) -> Option<f64> {
        let text = self.readable(node, text, 100, name)?;
        match length_mm(&text) {
            Ok(mm) => Some(mm),
            Err(wrong) => {
                let span = self.part_of_text(node, &text, wrong.at);
                let message =
                    format!("{name} is no length: {} (column {} of `{text}`)", wrong.message, wrong.column);
                let expected = "a length such as \"24 3/8 in\", \"1' 6-1/2\\\"\" or \"600 mm\"";
                let problem = Problem::at(span, message).expected(expected);
                let problem = if wrong.message.starts_with("unknown unit")
                    || wrong.message.contains("unit is missing")
                {
                    problem.hint("units are in, ft, yd, mm, cm and m")
                } else {
                    problem
                };
                self.problems.push(problem);
                None
            }
        }
    }

    fn length(&mut self, node: &Node, size: Size, name: &str) -> Option<Typed> {
        let typed = match &node.raw {
            Raw::Number(number) => {
                let number = self.finite(node, *number, name)?;
                Typed { mm: mm_of(number, self.units), bare: Some(number) }
            }
            Raw::Text(text) => Typed { mm: self.length_text(node, text, name)?, bare: None },
            _ => {
                self.wrong_type(node, &Kind::Length(size), name);
                return None;
            }
        };
        let (least, most) = size.limits_mm();
        let mm = typed.mm;
        // A limit written in inches must not fail by the last bit of its conversion.
        let noise = geom::tolerance::NOISE_UNIT * most;
        if mm.is_finite() && least - noise * least.abs().min(1.0) <= mm && mm <= most + noise {
            return Some(typed);
        }
        let stands = match typed.bare {
            // As typed, since a number far too large would fill pages with noughts.
            Some(_) => {
                let typed = shortened(self.text.get(node.span.clone()).unwrap_or_default());
                format!("{typed} {}", unit_name(self.units))
            }
            None => shortened(node.text().unwrap_or_default()),
        };
        let message = if mm < 0.0 && least >= 0.0 {
            format!("{name} is negative: {stands}")
        } else if mm.abs() <= 0.0 {
            format!("{name} is zero")
        } else if mm < least && size != Size::Position {
            format!("{name} is too small: {stands} is under {least} mm")
        } else {
            format!("{name} is too large: {stands} is over {} m", most / 1000.0)
        };
        let mut problem = Problem::at(node.span.clone(), message).expected(size.words());
        if typed.bare.is_some() {
            problem = problem
                .hint(format!("a bare number is in `units`, here {}", one_of(&[unit_name(self.units)])));
        }
        self.problems.push(problem);
        None
    }
}

/// True for 1 to 40 of a-z, 0-9 and -, not opening with -.
pub fn is_id(text: &str) -> bool {
    let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit();
    text.len() <= 40 && text.bytes().next().is_some_and(plain) && text.bytes().all(|b| plain(b) || b == b'-')
}

/// What a character is called that a reader cannot see but that changes the text.
///
/// The characters that turn a line round are those of the property `Bidi_Control` of the Unicode Character
/// Database (PropList.txt; the list here from memory).
fn hidden(c: char) -> Option<&'static str> {
    match c {
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            Some("a character that changes the direction of the text")
        }
        '\u{2028}' | '\u{2029}' => Some("a line separator"),
        '\u{200b}' | '\u{feff}' | '\u{ad}' | '\u{2060}' => Some("an invisible character"),
        c if c.is_control() => Some("a control character"),
        _ => None,
    }
}

/// The name of a unit as the job file writes it.
pub(crate) fn unit_name(unit: Unit) -> &'static str {
    match unit {
        Unit::In => "in",
        Unit::Ft => "ft",
        Unit::Mm => "mm",
        Unit::Cm => "cm",
        Unit::M => "m",
    }
}

fn shortened_sentence(sentence: &str) -> String {
    if sentence.chars().count() <= 120 {
        sentence.to_owned()
    } else {
        format!("{}…", sentence.chars().take(119).collect::<String>())
    }
}
