//! A rule pack in plain text, for the screen: its numbers with bound, basis and clause.

use super::figure::{BASES, Figure, Limit, Provision, basis_words};
use super::pack::{Effect, Pack};
use super::{builtin, pack::When};

/// Widest line of a listing, characters.
const WIDE: usize = 100;

/// One line for each pack that comes with the program: id, title, how much of it was read.
pub fn listing() -> String {
    let mut lines = String::new();
    for (id, text) in builtin() {
        // The packs in the program are read by a test; one that cannot be read is left out here.
        if let Ok(pack) = Pack::read(id, text) {
            let rows: usize = pack.rows_by_basis.iter().sum();
            let read = format!("{} of {rows} rows read in the rule", pack.rows_by_basis[0]);
            lines += &format!("{id:<22}{}; {read}{}\n", pack.title, pack.label());
        }
    }
    lines
}

/// A pack's numbers and demands, each with its bound in words, how well it is known, and its clause.
pub fn show(pack: &Pack) -> String {
    let mut page = Page::default();
    page.line(0, &format!("{}: {}{}", pack.id, pack.title, pack.label()));
    page.line(0, &format!("{}. {}", pack.authority, pack.edition));
    page.line(0, &verified(pack));
    page.line(0, "Help, not approval. A tolerance on an exact figure is the shop's, never the rule's.");
    sizes(&mut page, pack);
    proportions(&mut page, pack);
    text_forms(&mut page, pack);
    places(&mut page, pack);
    others(&mut page, pack);
    page.text
}

/// How the rows of a pack were come by.
fn verified(pack: &Pack) -> String {
    let parts: Vec<String> = BASES
        .iter()
        .zip(pack.rows_by_basis)
        .filter(|(_, count)| 0 < *count)
        .map(|(&(_, basis), count)| format!("{count} {}", basis_words(basis)))
        .collect();
    let label = if pack.practice { "unverified practice: " } else { "" };
    format!("{label}rows: {}", parts.join(", "))
}

fn sizes(page: &mut Page, pack: &Pack) {
    page.head("Height");
    if pack.heights.is_empty() {
        page.line(2, "no height is asked");
    }
    for row in &pack.heights {
        let effect = match row.effect {
            Effect::Asks => "",
            Effect::Eases => "enough: ",
            Effect::Raises => "whatever else: ",
        };
        let cap =
            row.cap.as_ref().map(|cap| format!(", but never more than {}", cap.amount())).unwrap_or_default();
        let says = format!("{effect}{}{cap}: {}{}", row.height.words(), row.say, conditions(&row.when));
        page.row(&says, &row.height);
    }
    if let Some(row) = &pack.equal_heights {
        page.provision("within a mark", row);
    }
    for row in &pack.fallback {
        page.provision("where it does not fit", &row.provision);
    }
    for row in &pack.grandfather {
        // A row that keeps any size has no height worth showing.
        let size = if row.height.limit == Limit::None { String::new() } else { row.height.words() + ": " };
        page.row(&format!("until repainted: {size}{}", row.say), &row.height);
    }
    words(page, pack);
}

/// The words beside the mark, those with the same demand together.
fn words(page: &mut Page, pack: &Pack) {
    let mut told: Vec<(String, Vec<String>, &Figure)> = Vec::new();
    for row in &pack.words {
        let most = row.most.as_ref().map(|most| format!(", {}", most.words())).unwrap_or_default();
        let says = format!("{}{most}; {}", row.least.words(), row.provision.say);
        let name = format!("\"{}\"", row.text);
        match told.iter_mut().find(|(known, ..)| *known == says) {
            Some((_, names, _)) => names.push(name),
            None => told.push((says, vec![name], &row.least)),
        }
    }
    for (says, names, figure) in told {
        page.row(&format!("the word {}: {says}", names.join(", ")), figure);
    }
}

fn proportions(page: &mut Page, pack: &Pack) {
    page.head("Characters");
    let named = [
        ("width", &pack.width),
        ("stroke", &pack.stroke),
        ("gap", &pack.gap),
        ("gap between groups", &pack.group_gap),
        ("length of the hyphen", &pack.hyphen_length),
        ("slant", &pack.slant),
    ];
    for (name, figure) in named {
        match figure {
            Some(figure) => page.row(&format!("{name}: {}", figure.words()), figure),
            None => page.line(2, &format!("{name}: nothing found")),
        }
        if name == "gap" && !pack.gap_reading.is_empty() {
            page.line(4, &pack.gap_reading);
        }
    }
    for row in &pack.width_exceptions {
        let names: Vec<String> = row.characters.chars().map(String::from).collect();
        let free = if row.width.limit == Limit::None { "free, usually " } else { "" };
        page.row(&format!("width of {}: {free}{}", names.join(" and "), row.width.words()), &row.width);
    }
    for row in pack.ornament.iter().chain(&pack.one_colour).chain(&pack.contrast).chain(&pack.style) {
        page.provision("style", row);
    }
}

fn text_forms(page: &mut Page, pack: &Pack) {
    page.head("Text");
    if pack.forms.is_empty() {
        page.line(2, "no form is asked");
    }
    for row in &pack.forms {
        page.provision("allowed", &row.provision);
    }
    for row in &pack.never {
        page.provision("never", &row.provision);
    }
    for row in &pack.reserved {
        page.provision("reserved", &row.provision);
    }
    if let Some(row) = &pack.second_mark {
        page.provision("second mark", row);
    }
}

fn places(page: &mut Page, pack: &Pack) {
    page.head("Places");
    let mut told: Vec<(&Provision, Vec<&str>)> = Vec::new();
    for row in &pack.locations {
        match told.iter_mut().find(|(known, _)| **known == row.provision) {
            Some((_, names)) => names.push(&row.id),
            None => told.push((&row.provision, vec![&row.id])),
        }
    }
    for (provision, names) in told {
        page.provision(&names.join(", "), provision);
    }
    for row in &pack.sets {
        page.provision("wanted", &row.provision);
    }
    if let Some(row) = &pack.alike {
        page.provision("alike", row);
    }
    for row in &pack.margins {
        page.row(
            &format!("margin to the edges: {}{}", row.figure.words(), conditions(&row.when)),
            &row.figure,
        );
    }
}

fn others(page: &mut Page, pack: &Pack) {
    if !pack.unread.is_empty() {
        page.head("Not read: what rests on these is second hand or not checked");
        pack.unread.iter().for_each(|part| page.line(2, part));
    }
    if pack.performance.is_empty() && pack.no_cover.is_empty() && pack.notices.is_empty() {
        return;
    }
    page.head("Also");
    for row in &pack.performance {
        page.row(&format!("{}: {}", row.say, row.figure.amount()), &row.figure);
    }
    for row in &pack.no_cover {
        page.provision("do not cover", row);
    }
    for row in &pack.notices {
        page.provision("think of", row);
    }
}

/// The figures among the conditions of a row.
pub(super) fn conditions(when: &When) -> String {
    let figures = [("cruise", &when.max_cruise), ("age", &when.age), ("mass", &when.mass)];
    let mut text = String::new();
    for (name, figure) in figures {
        if let Some(figure) = figure {
            text += &format!("; {name} {}, {}, {}", figure.words(), basis_words(figure.basis), figure.cite);
        }
    }
    text
}

/// Plain text in lines of limited length.
#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn head(&mut self, name: &str) {
        self.text.push('\n');
        self.line(0, name);
    }

    fn row(&mut self, says: &str, figure: &Figure) {
        self.line(2, &format!("{says} [{}; {}]", basis_words(figure.basis), figure.cite));
    }

    fn provision(&mut self, name: &str, row: &Provision) {
        self.line(2, &format!("{name}: {} [{}; {}]", row.say, basis_words(row.basis), row.cite));
    }

    /// A paragraph, its further lines set in by two.
    fn line(&mut self, indent: usize, text: &str) {
        let mut length = indent;
        self.text += &" ".repeat(indent);
        for (n, word) in text.split_whitespace().enumerate() {
            let wide = word.chars().count();
            if 0 < n && WIDE < length + 1 + wide {
                self.text.push('\n');
                self.text += &" ".repeat(indent + 2);
                length = indent + 2;
            } else if 0 < n {
                self.text.push(' ');
                length += 1;
            }
            self.text += word;
            length += wide;
        }
        self.text.push('\n');
    }
}
