//! The job file one starts from: an invented mark on an invented surface, every line with a word on what it is.
//!
//! The words are those of `keys`, so a comment cannot say another thing than the reader does. Lines that open with
//! a `#` and no space are switched off: they show what else could be said, and read once the `#` is gone.

use super::keys::mark::{MARK, STRIPE};
use super::keys::shop::{CONDITIONS, GUN, MASKING, PAINT, PATTERNS, SHOP};
use super::keys::surface::{FEATURE, PART, SURFACE};
use super::keys::top::{CRAFT, GROUND, JOB, SURVEY};
use super::keys::{Key, Kind, Need, Table};
use super::template_lines::Line::{self, Off, On, Or, Usual};
use super::template_lines::*;

/// What kind of surface a new job file opens with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TemplateKind {
    /// A flat panel.
    Flat,
    /// One face of a half wing.
    Wing,
    /// A doubly curved body.
    Body,
    /// A scan.
    Mesh,
}

impl TemplateKind {
    /// All of them.
    pub const ALL: [TemplateKind; 4] =
        [TemplateKind::Flat, TemplateKind::Wing, TemplateKind::Body, TemplateKind::Mesh];

    /// Its name on the command line and in the job file.
    pub fn name(self) -> &'static str {
        match self {
            TemplateKind::Flat => "flat",
            TemplateKind::Wing => "wing",
            TemplateKind::Body => "body",
            TemplateKind::Mesh => "mesh",
        }
    }
}

/// The text of a job file to start from; it reads as it stands.
///
/// # Example: a panel that can be planned at once
/// ```
/// use plan::job::{TemplateKind, read, template};
/// let job = read(&template(TemplateKind::Flat)).expect("a template reads");
/// assert_eq!(job.marks.len(), 1);
/// ```
pub fn template(kind: TemplateKind) -> String {
    write(kind, &[])
}

/// The same without what it invents of a surface and a craft: no part, no feature, no ribs, and of the craft nothing
/// that a rule would go by. For one who answers a few questions and must not find a stranger's ring on the wing.
pub fn template_bare(kind: TemplateKind) -> String {
    write(
        kind,
        &["ribs", "built", "max_cruise_kt", "mass_kg", "special", "adiz", "location", "aim", "within"],
    )
}

/// `off` names the lines that are switched off; if there are any, parts and features are left out.
fn write(kind: TemplateKind, off: &'static [&'static str]) -> String {
    let mut page = Page { text: String::new(), off };
    page.remark(
        "A job file to start from: an invented mark on an invented surface. Write your own figures over these. \
         A line that opens with # and no space is switched off and shows what else could be said; take the # away \
         to use it. A length is a bare number in `units`, or text with its unit, such as \"24 3/8 in\", \
         \"1 ft 6 1/2 in\" or \"600 mm\".",
    );
    page.lines(
        &JOB,
        None,
        &[
            On("title", "\"My first mark\""),
            On("units", if kind == TemplateKind::Mesh { "\"mm\"" } else { "\"in\"" }),
            On("rules", "\"us-14cfr45\""),
            Usual("rule_tolerance"),
        ],
    );
    page.table("[craft]", &CRAFT, None, CRAFT_LINES);
    page.table("[survey]", &SURVEY, None, &[Usual("error")]);
    page.table("[[ground]]", &GROUND, None, GROUND_LINES);
    page.table("[[surface]]", &SURFACE, Some(kind.name()), surface_lines(kind));
    if off.is_empty() {
        page.table("[[surface.part]]", &PART, None, part_lines(kind));
        page.table("[[surface.feature]]", &FEATURE, Some("ring"), ring_lines(kind));
        page.table("[[surface.feature]]", &FEATURE, Some("rivets"), rivets_lines(kind));
    }
    page.table("[[mark]]", &MARK, None, mark_lines(kind));
    if kind == TemplateKind::Flat && off.is_empty() {
        page.table("[[stripe]]", &STRIPE, None, STRIPE_LINES);
    }
    page.table("[[paint]]", &PAINT, None, PAINT_LINES);
    page.table("[masking]", &MASKING, None, MASKING_LINES);
    page.table("[gun]", &GUN, None, &[Usual("fan"), Usual("overlap"), Usual("speed")]);
    page.table("[conditions]", &CONDITIONS, None, CONDITIONS_LINES);
    page.table("[shop]", &SHOP, None, SHOP_LINES);
    page.table("[patterns]", &PATTERNS, None, PATTERNS_LINES);
    page.text
}

/// Widest line of the file. chosen: what a terminal and a sheet of paper take without folding.
const WIDEST: usize = 110;

/// Where a remark beside a value starts, unless the value is longer. chosen: most values end before it.
const REMARK_COLUMN: usize = 36;

/// The file as it grows.
struct Page {
    text: String,
    /// Lines that are switched off, whatever the list says.
    off: &'static [&'static str],
}

impl Page {
    /// A table: its header, then its lines.
    fn table(&mut self, header: &str, table: &Table, kind: Option<&str>, lines: &[Line]) {
        self.text.push('\n');
        // What a table is, is said once.
        let told = self.text.contains(&format!("\n{header} "));
        self.beside(header, if told { "One more of them." } else { table.doc });
        self.lines(table, kind, lines);
    }

    fn lines(&mut self, table: &Table, kind: Option<&str>, lines: &[Line]) {
        let mut last = None;
        for line in lines {
            let (On(name, _) | Off(name, _) | Or(name, _) | Usual(name)) = line;
            let key = table.key(name, kind).expect("the template uses keys of the lists");
            match line {
                On(_, value) if !self.off.contains(name) => {
                    self.beside(&format!("{name} = {value}"), &remark(key))
                }
                On(_, value) | Off(_, value) => self.beside(&format!("#{name} = {value}"), &remark(key)),
                Or(_, value) => {
                    let words = match last {
                        Some(last) if last == *name => "Or so, in place of the line above.".to_owned(),
                        _ => format!("Or this, in place of the line above. {}", remark(key)),
                    };
                    self.beside(&format!("#{name} = {value}"), &words);
                }
                Usual(_) => {
                    let value = key.default_typed().expect("a usual value is the default of its key");
                    self.beside(&format!("#{name} = {value}"), &format!("{} Default.", remark(key)));
                }
            }
            last = Some(*name);
        }
    }

    /// A remark on lines of its own.
    fn remark(&mut self, words: &str) {
        for line in folded(words, WIDEST - 2) {
            self.text.push_str(&format!("# {line}\n"));
        }
    }

    /// Something typed, with a remark beside its last line, or above it if there is no room beside it.
    fn beside(&mut self, typed: &str, words: &str) {
        let width = |text: &str| text.chars().count();
        let last = typed.rsplit('\n').next().unwrap_or(typed);
        let column = REMARK_COLUMN.max(width(last) + 1);
        if typed.contains('\n') || (WIDEST < column + 2 + width(words) && REMARK_COLUMN < column) {
            self.remark(words);
            self.text.push_str(&format!("{typed}\n"));
            return;
        }
        let mut lead = format!("{typed:<column$}");
        for line in folded(words, WIDEST - column - 2) {
            self.text.push_str(&format!("{lead}# {line}\n"));
            lead = " ".repeat(column);
        }
    }
}

/// What a key is, with the words it may hold.
fn remark(key: &Key) -> String {
    let words = match key.kind {
        Kind::Word(_) | Kind::WordOrTable(..) | Kind::Pair(Kind::Word(_)) | Kind::LengthOrWord(..) => {
            format!(" Holds {}.", key.kind.words())
        }
        _ => String::new(),
    };
    let absent = match key.need {
        Need::Else(words) => format!(" If absent: {words}."),
        Need::Required | Need::Unless(_) | Need::Default(_) => String::new(),
    };
    format!("{}{words}{absent}", key.doc)
}

/// The words in lines of at most so many characters, broken at spaces.
fn folded(words: &str, widest: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= widest => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
