//! The table of features on the layout drawing, and under it what was proved of each mark's place and what else
//! could be had.

use super::layout::View;
use super::layout_notes::{LINE, NOTE, clipped, heading, small, worst};
use super::layout_numbers::sign;
use super::plan_file::relation_word;
use crate::fit::given::named;
use crate::fit::placed::{Asked, FeatureFit, FitStatus, Placed, Relation, Why};
use crate::surface::{FlatFeature, SkinShape};
use crate::words::{inches, length};
use geom::Point;
use sheet::symbols::verdict_mark;
use sheet::{Item, Room, Text, Verdict};

/// How a table of so many rows is set: columns, size of type, from line to line, and where in a column name,
/// relation, distance and spare stand (mm; no distance where there is no room for one).
struct Style {
    columns: usize,
    size: f64,
    line: f64,
    at: [f64; 4],
}

/// From roomy to close; the closest takes sixty features.
const STYLES: [Style; 3] = [
    Style { columns: 1, size: NOTE, line: LINE, at: [6.5, 48.0, 74.0, 114.0] },
    Style { columns: 2, size: NOTE, line: LINE, at: [6.5, 40.0, 0.0, 66.0] },
    Style { columns: 3, size: 2.5, line: 3.4, at: [5.5, 26.0, 0.0, 45.0] },
];
/// Lines that are kept for the legend.
const LEGEND: f64 = 8.0;

/// Number, name, how it lies and how clear, for every feature; `numbered` tells which have a tag.
pub(super) fn feature_table(view: &View<'_>, numbered: &[bool], room: Room) -> Vec<Item> {
    let features = &view.skin.features;
    let top = Point::new(room.lo.x, room.hi.y - 5.0);
    if features.is_empty() {
        let mut items = vec![heading(top, "No features")];
        items.extend(choices(view, Room { hi: Point::new(room.hi.x, room.hi.y - 8.0), ..room }));
        return items;
    }
    let first = room.hi.y - 10.5;
    let rows = |s: &Style| ((first - room.lo.y - LEGEND) / s.line).floor().max(1.0) as usize;
    let style = STYLES.iter().find(|s| features.len() <= rows(s) * s.columns).unwrap_or(&STYLES[2]);
    let wide = (room.width() / style.columns as f64).floor();
    let rows = rows(style);
    let per_column = features.len().div_ceil(style.columns).min(rows);
    let shown = features.len().min(rows * style.columns);
    let words = if style.at[2] > 0.0 {
        "Features: how they lie, distance to paint, how far over what they ask"
    } else {
        "Features: how they lie, how far over what they ask"
    };
    let mut items = vec![heading(top, words)];
    for (k, feature) in features.iter().take(shown).enumerate() {
        let (column, row) = (k / per_column, k % per_column);
        let at = Point::new(room.lo.x + wide * column as f64, first - style.line * row as f64);
        let number = numbered.get(k).copied().unwrap_or(false).then_some(k + 1);
        items.extend(row_of(number, feature, worst(view, &feature.id), at, style));
    }
    let mut y = first - style.line * per_column as f64;
    if shown < features.len() {
        items.push(small(
            Point::new(room.lo.x, y),
            format!("and {} more: see plan.json", features.len() - shown),
        ));
        y -= LINE;
    }
    items.extend(legend(Point::new(room.lo.x + 2.6, y - 1.4)));
    items.extend(choices(view, Room { hi: Point::new(room.hi.x, y - 5.5), ..room }));
    items
}

fn row_of(
    number: Option<usize>,
    feature: &FlatFeature,
    fit: Option<&FeatureFit>,
    at: Point,
    style: &Style,
) -> Vec<Item> {
    let write = |x: f64, words: String| Item::Text(Text::new(Point::new(at.x + x, at.y), words, style.size));
    let [name, lies, distance, spare] = style.at;
    let shown = number.map_or_else(|| "-".to_owned(), |n| n.to_string());
    let mut items =
        vec![write(0.0, shown), write(name, clipped(&named(feature), lies - name - 1.0, style.size))];
    let Some(fit) = fit else { return items };
    items.push(write(lies, relation_word(fit.relation).replace('-', " ")));
    let apart = fit.clearance + feature.clearance;
    if distance > 0.0 && apart > 0.0 {
        items.push(write(distance, length(apart)));
    }
    let full = |mm: f64| if distance > 0.0 { length(mm) } else { inches(mm) };
    items.push(write(
        spare,
        match (fit.short(), fit.asks_none()) {
            (Some(lacking), _) => format!("{} short", full(lacking)),
            (None, Some(words)) => words.to_owned(),
            (None, None) => full(fit.clearance.max(0.0)),
        },
    ));
    if fit.short().is_some() {
        items.extend(verdict_mark(Point::new(at.x - 2.2, at.y + 0.9), 2.6, Verdict::Fail));
    }
    items
}

/// What the shapes of the tags say.
fn legend(at: Point) -> Vec<Item> {
    let mut items = Vec::new();
    let mut x = at.x;
    for relation in
        [Relation::Clear, Relation::InsideCounter, Relation::InsidePaint, Relation::Crossed, Relation::Split]
    {
        items.extend(sign(Point::new(x, at.y + 0.9), Some(relation)));
        let text = Text::new(Point::new(x + 3.6, at.y), relation_word(relation).replace('-', " "), NOTE);
        x += text.width() + 10.0;
        items.push(Item::Text(text));
    }
    items
}

/// What was proved, and what else could be had, mark by mark as far as there is room.
fn choices(view: &View<'_>, room: Room) -> Vec<Item> {
    let mut items = Vec::new();
    let mut y = room.hi.y - 4.0;
    for mark in &view.marks {
        let lines = lines_of(mark, view);
        let needs = LINE * (lines.len() as f64 + 0.5);
        if lines.is_empty() || y - needs < room.lo.y {
            continue;
        }
        for (k, cells) in lines.into_iter().enumerate() {
            if k == 0 {
                items.push(heading(Point::new(room.lo.x, y), &clipped(&cells[0], room.width() * 0.8, NOTE)));
                y -= LINE;
                continue;
            }
            let columns = [0.0, 24.0, 66.0, 108.0];
            for (cell, x) in cells.into_iter().zip(columns) {
                items.push(small(Point::new(room.lo.x + x, y), cell));
            }
            y -= LINE;
        }
        y -= LINE * 0.5;
    }
    items
}

fn lines_of(mark: &Placed, view: &View<'_>) -> Vec<Vec<String>> {
    let fit = &mark.fit;
    if fit.alternatives.is_empty() {
        return Vec::new();
    }
    let head = match (fit.status, &fit.certificate) {
        (FitStatus::None, _) => "has no place; what would give".to_owned(),
        (_, Some(c)) if c.proved => match (c.asked, c.bound) {
            (Asked::Nearest, Some(bound)) => {
                format!("proved: no place is nearer to the aim than {}", inches(bound.max(0.0)))
            }
            (Asked::Roomiest, Some(bound)) => {
                format!("proved: no place has more to spare than {}", inches(bound.max(0.0)))
            }
            _ => "no wall limits it".to_owned(),
        },
        (FitStatus::Given, _) => "placed as given; what else could be had".to_owned(),
        _ => "the best place found, not proved".to_owned(),
    };
    let mut lines = vec![vec![format!("{}: {head}", mark.text)]];
    // On a scan a place is read from the mark's own middle: its view gives no lengths.
    let sheet = mark.charts.as_ref().filter(|_| matches!(view.skin.shape, SkinShape::Scan(_)));
    let (skin, centre) = match sheet {
        Some(charts) => (&charts.sheet, "from here, along and up"),
        None => (view.skin, "centre, along and across"),
    };
    lines.push(["", "height", centre, "to spare"].map(str::to_owned).to_vec());
    for a in &fit.alternatives {
        let [s, t] = skin.skin_from_flat(a.centre);
        let why = match a.why {
            Why::Nearest => "nearest",
            Why::Roomiest => "roomiest",
            Why::Largest => "largest",
            Why::Easiest => "easiest",
            Why::Crossing => "crossing",
            Why::Gap => "other gap",
        };
        lines.push(vec![
            why.to_owned(),
            length(a.height),
            format!("{} / {}", inches(s), inches(t)),
            a.clearance.map_or_else(|| "no wall".to_owned(), |c| length(c.max(0.0))),
        ]);
    }
    lines
}
