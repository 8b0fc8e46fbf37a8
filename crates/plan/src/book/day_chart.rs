//! The chart of the day: each day as a strip with the shop's hours, then each go drawn large, letter by letter, with
//! its windows.
//!
//! It can be read at two steps' distance: large figures, dark for wet paint, brackets for windows.

use super::layout_notes::wrap;
use crate::spray::Day;
use crate::spray::clock::{DAY, time};
use crate::spray::tasks::{Step, Task};
use geom::{Point, Ring};
use sheet::frame::{frame, inside};
use sheet::tiles_panel::wrapped;
use sheet::title_block::{Row, title_block};
use sheet::tokens::{INK, PAPER, SOFT_INK, TYPE_BODY, TYPE_FIGURE, TYPE_HEADING, TYPE_LABEL};
use sheet::{Anchor, Fill, Item, Layer, Lean, Role, Sheet, Text, Weight, pen};

/// Width of the sheet, mm: that of an A3 lying down. Its height is what the day needs, an A3's at least.
const WIDTH: f64 = 420.0;
const LEAST_HEIGHT: f64 = 297.0;
/// Height of a day's strip with what stands above and below it.
const STRIP: f64 = 34.0;
/// Height of a letter's row, of a go's head and of its foot.
const ROW: f64 = 9.0;
const HEAD: f64 = 15.0;
const FOOT: f64 = 13.0;
/// Room for names at the left.
const NAMES: f64 = 34.0;
/// Room for the key on a page of the book.
const KEY: f64 = 14.0;
/// Room for the title block at the foot.
const TITLE: f64 = 44.0;

/// What a chart shows.
pub struct Chart<'a> {
    /// Title of the job.
    pub job_title: &'a str,
    /// The day.
    pub day: &'a Day,
    /// What each mark and each stripe is called.
    pub marks: Vec<String>,
    /// Names of the paints, by index.
    pub paints: Vec<String>,
}

/// The chart.
pub fn day_chart(chart: &Chart<'_>) -> Sheet {
    let day = chart.day;
    let mut dates: Vec<i64> = day.tasks.iter().map(|t| t.start.div_euclid(DAY)).collect();
    dates.dedup();
    let letters: usize = day.goes.iter().map(|g| g.shots.len()).sum();
    let wanted = 24.0
        + dates.len() as f64 * STRIP
        + day.goes.len() as f64 * (HEAD + FOOT)
        + letters as f64 * ROW
        + TITLE
        + 2.0 * sheet::tokens::MARGIN;
    let size = (WIDTH, wanted.max(LEAST_HEIGHT));
    let room = inside(size);
    let mut items = Vec::new();
    let left = room.lo.x + 5.0;
    let mut y = room.hi.y - 11.0;
    items.push(bold(Point::new(left, y), "The days".to_owned(), TYPE_HEADING));
    items.extend(key(Point::new(left + 60.0, y)));
    y -= 6.0;
    for date in &dates {
        items.extend(strip(chart, *date, (left + NAMES, room.hi.x - 8.0), y));
        y -= STRIP;
    }
    for g in 0..day.goes.len() {
        y -= HEAD;
        let tall = day.goes[g].shots.len() as f64 * ROW;
        items.extend(go(chart, g, (left + NAMES, room.hi.x - 8.0), y));
        y -= tall + FOOT;
    }
    let first = day.tasks.iter().find(|t| t.go > 0 && t.step == Step::Mix);
    let last = day.tasks.iter().rfind(|t| t.step == Step::Unmask || t.step == Step::CleanGun);
    let rows = [
        Row::new("job", chart.job_title),
        Row::new("first cup", first.map_or(String::new(), |t| day.clock.words(t.start))),
        Row::new("paper off by", last.map_or(String::new(), |t| day.clock.words(t.end()))),
        Row::new("the data sheet", "comes before every time here"),
    ];
    let table = title_block(Point::new(room.hi.x, room.lo.y), "Day", &rows);
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            Layer { name: "border".into(), items: frame(size) },
            Layer { name: "day".into(), items },
            Layer { name: "title block".into(), items: table.items },
        ],
        title: format!("{}: the day", chart.job_title),
        description: format!(
            "Every task of {} days on the shop's clock, and each of {} goes with the windows of its letters.",
            dates.len(),
            day.goes.len()
        ),
    }
}

/// The same without frame and title block, cut into pages of the book: as many strips and goes a page as its room,
/// mm, holds, the key above each.
pub fn day_pages(chart: &Chart<'_>, room: (f64, f64)) -> Vec<Sheet> {
    let mut dates: Vec<i64> = chart.day.tasks.iter().map(|t| t.start.div_euclid(DAY)).collect();
    dates.dedup();
    let across = (NAMES, room.0 - 8.0);
    let strips = dates.iter().map(|d| (STRIP, Box::new(|y| strip(chart, *d, across, y)) as Drawer<'_>));
    let goes = (0..chart.day.goes.len()).map(|g| {
        let tall = HEAD + chart.day.goes[g].shots.len() as f64 * ROW + FOOT;
        (tall, Box::new(move |y| go(chart, g, across, y - HEAD)) as Drawer<'_>)
    });
    let mut pages: Vec<(Vec<Item>, f64)> = Vec::new();
    for (tall, draw) in strips.chain(goes) {
        let full = pages.last().is_none_or(|(_, y)| y - tall < 0.0);
        if full {
            pages.push((key(Point::new(0.5, room.1 - 6.0)), room.1 - KEY));
        }
        if let Some((items, y)) = pages.last_mut() {
            items.extend(draw(*y));
            *y -= tall;
        }
    }
    pages
        .into_iter()
        .map(|(items, _)| Sheet {
            width_mm: room.0,
            height_mm: room.1,
            layers: vec![Layer { name: "day".into(), items }],
            title: format!("{}: the day", chart.job_title),
            description: "Tasks on the shop's clock, with the windows of the letters.".to_owned(),
        })
        .collect()
}

/// Draws a part of the chart below a height.
type Drawer<'a> = Box<dyn Fn(f64) -> Vec<Item> + 'a>;

/// What the signs mean.
fn key(at: Point) -> Vec<Item> {
    let mut items = Vec::new();
    let mut x = at.x;
    let looks = [
        (Look::Light, "light coat"),
        (Look::Wet, "wet coat"),
        (Look::Pull, "pull and swab"),
        (Look::Work, "other work"),
        (Look::Wait, "wait"),
    ];
    for (look, words) in looks {
        items.extend(block(x, at.y - 0.6, 9.0, 4.6, look));
        items.push(Item::Text(Text::new(Point::new(x + 11.0, at.y), words, TYPE_LABEL + 0.4)));
        x += 13.0 + 2.1 * words.len() as f64;
    }
    items.extend(bracket(x, x + 9.0, at.y + 3.4));
    items.push(Item::Text(Text::new(
        Point::new(x + 11.0, at.y),
        "window: begin after, end before",
        TYPE_LABEL + 0.4,
    )));
    items
}

/// How a block is filled: by hatch and darkness, not by colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Look {
    Light,
    Wet,
    Pull,
    Work,
    Wait,
}

fn look(task: &Task) -> Look {
    match task.step {
        Step::Coat(_) if task.word == "wet-coat" => Look::Wet,
        Step::Coat(_) => Look::Light,
        Step::Pull | Step::Swab => Look::Pull,
        Step::Wait => Look::Wait,
        _ => Look::Work,
    }
}

fn block(x: f64, y: f64, wide: f64, tall: f64, look: Look) -> Vec<Item> {
    let ring = Ring::from_points([
        Point::new(x, y),
        Point::new(x + wide, y),
        Point::new(x + wide, y + tall),
        Point::new(x, y + tall),
    ]);
    let line = pen(Role::Outline);
    match look {
        Look::Wait => vec![Item::line(
            [Point::new(x, y + tall / 2.0), Point::new(x + wide, y + tall / 2.0)],
            pen(Role::Hidden),
        )],
        Look::Wet => vec![Item::filled([&ring], Fill::Plain(INK)), Item::rings([&ring], line)],
        Look::Light => {
            let fill = Fill::Hatch { colour: INK, spacing: 1.3, lean: Lean::Rising };
            vec![
                Item::filled([&ring], Fill::Plain(PAPER)),
                Item::filled([&ring], fill),
                Item::rings([&ring], line),
            ]
        }
        Look::Pull => {
            let fill = Fill::Hatch { colour: SOFT_INK, spacing: 2.4, lean: Lean::Falling };
            vec![
                Item::filled([&ring], Fill::Plain(PAPER)),
                Item::filled([&ring], fill),
                Item::rings([&ring], pen(Role::CutLine)),
            ]
        }
        Look::Work => vec![Item::filled([&ring], Fill::Plain(PAPER)), Item::rings([&ring], line)],
    }
}

/// A window: a line with a foot at either end.
fn bracket(from: f64, to: f64, y: f64) -> Vec<Item> {
    let line = pen(Role::Dimension);
    vec![Item::line(
        [Point::new(from, y - 1.6), Point::new(from, y), Point::new(to, y), Point::new(to, y - 1.6)],
        line,
    )]
}

/// One day: the shop's hours, and every task as a block.
fn strip(chart: &Chart<'_>, date: i64, (from, to): (f64, f64), top: f64) -> Vec<Item> {
    let day = chart.day;
    let mut items = Vec::new();
    let own: Vec<&Task> = day.tasks.iter().filter(|t| t.start.div_euclid(DAY) == date).collect();
    let (opens, closes) = (date * DAY + day.hours.0, date * DAY + day.hours.1);
    let x = |t: i64| {
        from + (to - from) * (t.clamp(opens, closes) - opens) as f64 / (closes - opens).max(1) as f64
    };
    let base = top - 19.0;
    let tall = 8.0;
    items.push(bold(Point::new(from - NAMES, base + 2.0), day.clock.day_words(date * DAY), TYPE_FIGURE));
    items.push(Item::line([Point::new(from, base), Point::new(to, base)], pen(Role::Dimension)));
    let hour = |t: i64| t.rem_euclid(60) == 0;
    for t in (opens..=closes).filter(|t| hour(*t) || *t == opens || *t == closes) {
        items.push(Item::line([Point::new(x(t), base), Point::new(x(t), base - 1.8)], pen(Role::Dimension)));
        items.push(Item::Text(Text {
            anchor: Anchor::Middle,
            colour: SOFT_INK,
            ..Text::new(Point::new(x(t), base - 5.0), time(t), TYPE_LABEL)
        }));
    }
    for t in &own {
        items.extend(block(x(t.start), base, (x(t.end()) - x(t.start)).max(0.4), tall, look(t)));
    }
    // Names: one for each run of tasks of a kind that touch, in as many rows as they need.
    let mut rows: [f64; 3] = [f64::NEG_INFINITY; 3];
    let mut names = Vec::new();
    for (start, end, words) in named(&own, chart) {
        let mid = 0.5 * (x(start) + x(end));
        let wide = sheet::Words::from(words.as_str()).width(TYPE_LABEL, Weight::Regular);
        let at = (mid - wide / 2.0).clamp(from, (to - wide).max(from));
        let Some(row) = rows.iter().position(|full| *full + 2.0 < at) else { continue };
        rows[row] = at + wide;
        let y = base + tall + 1.6 + 3.4 * row as f64;
        items.push(Item::line([Point::new(mid, base + tall), Point::new(mid, y - 0.4)], pen(Role::Leader)));
        names.push(Item::Text(Text { clears: true, ..Text::new(Point::new(at, y), words, TYPE_LABEL) }));
    }
    // No leader runs through a name.
    items.extend(names);
    for (g, go) in day.goes.iter().enumerate() {
        let Some((a, b)) = go.unmask_window else { continue };
        if b > opens && a < closes {
            let y = base - 8.0 - 2.6 * (g % 2) as f64;
            items.extend(bracket(x(a), x(b), y));
            items.push(Item::Text(Text {
                clears: true,
                ..Text::new(
                    Point::new(x(a) + 3.0, y - 1.0),
                    format!("paper of go {} off in here", g + 1),
                    TYPE_LABEL,
                )
            }));
        }
    }
    items
}

/// Runs of tasks that go by one name: from, to, name.
fn named(own: &[&Task], chart: &Chart<'_>) -> Vec<(i64, i64, String)> {
    let name = |t: &Task| -> Option<String> {
        // Stripes of one mask are named all.
        let mark = match t.mark {
            Some(m) if t.part.is_empty() => chart.marks[m].clone(),
            _ => t.part.clone(),
        };
        Some(match t.step {
            Step::Wait => return None,
            // What is done, up to its first comma, tells the pieces apart.
            Step::Mask => format!("{mark}: {}", t.why.split(',').next().unwrap_or_default()),
            Step::Edge | Step::Scuff => {
                let film = chart.day.tasks.iter().any(|o| o.step == Step::Edge && o.why.starts_with("film"));
                format!("{}, go {}", if film { "film" } else { "edge tape" }, t.go)
            }
            Step::Cover
            | Step::Wipe
            | Step::Mix
            | Step::Coat(_)
            | Step::Pull
            | Step::Swab
            | Step::CleanGun => {
                format!("go {}: {}", t.go, chart.day.goes[t.go - 1].characters)
            }
            Step::Unmask => format!("unmask go {}", t.go),
            Step::Inspect => "inspect".to_owned(),
            Step::Polish => "polish".to_owned(),
        })
    };
    let mut runs: Vec<(i64, i64, String)> = Vec::new();
    for t in own {
        let Some(name) = name(t) else { continue };
        match runs.iter_mut().rfind(|r| r.2 == name) {
            Some(run) => run.1 = run.1.max(t.end()),
            None => runs.push((t.start, t.end(), name)),
        }
    }
    runs
}

/// One go, drawn large: a row a letter.
fn go(chart: &Chart<'_>, g: usize, (from, to): (f64, f64), top: f64) -> Vec<Item> {
    let day = chart.day;
    let own: Vec<&Task> = day
        .tasks
        .iter()
        .filter(|t| t.go == g + 1)
        .filter(|t| {
            matches!(
                t.step,
                Step::Cover
                    | Step::Wipe
                    | Step::Mix
                    | Step::Coat(_)
                    | Step::Wait
                    | Step::Pull
                    | Step::Swab
                    | Step::CleanGun
            )
        })
        .collect();
    let (Some(start), Some(end)) = (own.iter().map(|t| t.start).min(), own.iter().map(|t| t.end()).max())
    else {
        return vec![];
    };
    let windows = &day.goes[g].pull_windows;
    let end = windows.iter().map(|w| w.1).max().unwrap_or(end).max(end);
    let x = |t: i64| from + (to - from) * (t - start) as f64 / (end - start).max(1) as f64;
    let rows = day.goes[g].shots.len();
    let bottom = top - rows as f64 * ROW;
    let mut items = vec![
        bold(
            Point::new(from - NAMES, top + 7.0),
            format!(
                "Go {}: {} in {}, {}",
                g + 1,
                day.goes[g].characters,
                chart.paints[day.goes[g].paint],
                day.clock.day_words(start)
            ),
            TYPE_FIGURE,
        ),
        Item::line([Point::new(from, bottom), Point::new(to, bottom)], pen(Role::Dimension)),
    ];
    let step = [5, 10, 15, 30, 60].into_iter().find(|s| (end - start) / s <= 24).unwrap_or(120);
    for t in (start..=end).filter(|t| t.rem_euclid(step) == 0) {
        items.push(Item::line(
            [Point::new(x(t), bottom), Point::new(x(t), bottom - 1.8)],
            pen(Role::Dimension),
        ));
        items.push(Item::Text(Text {
            anchor: Anchor::Middle,
            colour: SOFT_INK,
            ..Text::new(Point::new(x(t), bottom - 5.0), time(t), TYPE_LABEL)
        }));
    }
    for (_, mixed, use_by) in &day.goes[g].cups {
        if let Some(by) = use_by {
            let y = bottom - 8.4;
            items.extend(bracket(x(*mixed), x((*by).min(end)), y));
            items.push(Item::Text(Text {
                clears: true,
                ..Text::new(
                    Point::new(x(*mixed) + 3.0, y - 1.0),
                    format!("cup good until {}", time(*by)),
                    TYPE_LABEL,
                )
            }));
        }
    }
    let mut named_blocks = Vec::new();
    for t in &own {
        let whole = matches!(t.step, Step::Cover | Step::Wipe | Step::Mix | Step::CleanGun | Step::Wait);
        if whole {
            let (y, tall) = (bottom + 1.2, rows as f64 * ROW - 3.6);
            items.extend(block(x(t.start), y, x(t.end()) - x(t.start), tall, look(t)));
            let words = match t.step {
                Step::Cover => "cover",
                Step::Wipe => "wipe",
                Step::Mix => "mix",
                Step::CleanGun => "clean the gun",
                _ => continue,
            };
            let room = x(t.end()) - x(t.start) - 1.5;
            // A word that does not go in says nothing: the block is in the list of the day.
            let wide = |word: &str| sheet::Words::from(word).width(TYPE_LABEL, Weight::Regular);
            if words.split(' ').any(|word| room < wide(word)) {
                continue;
            }
            let lines = wrap(words, room, TYPE_LABEL);
            for (k, line) in lines.iter().enumerate() {
                named_blocks.push(Item::Text(Text {
                    anchor: Anchor::Middle,
                    // The windows of the letters run on through the block.
                    clears: true,
                    ..Text::new(
                        Point::new(0.5 * (x(t.start) + x(t.end())), y + tall / 2.0 - 0.9 - 3.4 * k as f64),
                        line.clone(),
                        TYPE_LABEL,
                    )
                }));
            }
        }
    }
    let first = own
        .iter()
        .find(|t| matches!(t.step, Step::Coat(0)))
        .and_then(|t| t.letters.first())
        .copied()
        .unwrap_or(0);
    let named = &day.goes[g].rows;
    for (row, (_, name)) in named.iter().enumerate() {
        let y = top - (row + 1) as f64 * ROW + 1.2;
        if name.chars().count() > 1 {
            let size = TYPE_BODY;
            let cut = wrapped(name, NAMES - 3.0, size, Weight::Bold, 1).concat();
            items.push(bold(Point::new(from - NAMES, y + 1.4), cut, size));
        } else {
            items.push(bold(Point::new(from - 8.0, y + 1.4), name.clone(), TYPE_FIGURE));
        }
        let letter = first + row;
        for t in &own {
            let mut at = t.start;
            // What is pulled in one is one block over all its rows.
            if matches!(t.step, Step::Pull | Step::Swab) && t.letters.first() == Some(&letter) {
                let more = (t.letters.len() - 1) as f64 * ROW;
                items.extend(block(x(t.start), y - more, x(t.end()) - x(t.start), ROW - 3.6 + more, look(t)));
            }
            for (l, m) in t.letters.iter().zip(&t.each) {
                if *l == letter {
                    items.extend(block(x(at), y, x(at + m) - x(at), ROW - 3.6, look(t)));
                }
                at += m;
            }
        }
        let one = |t: &&Task| t.step == Step::Pull && t.letters[1..].contains(&letter);
        if let Some((a, b)) = windows.get(row).filter(|_| !own.iter().any(one)) {
            items.extend(bracket(x(*a), x(*b), y + ROW - 2.4));
        }
    }
    // When each kind of step starts, above the rows.
    let mut last = f64::NEG_INFINITY;
    for t in own.iter().filter(|t| matches!(t.step, Step::Mix | Step::Coat(_) | Step::Pull | Step::CleanGun))
    {
        let words = time(t.start);
        let wide = sheet::Words::from(words.as_str()).width(TYPE_LABEL, Weight::Regular);
        if x(t.start) < last + 2.0 {
            continue;
        }
        last = x(t.start) + wide;
        items.push(Item::line(
            [Point::new(x(t.start), top), Point::new(x(t.start), top + 2.0)],
            pen(Role::Leader),
        ));
        items.push(Item::Text(Text::new(Point::new(x(t.start), top + 2.6), words, TYPE_LABEL)));
    }
    items.extend(named_blocks);
    items.extend(beside_letters(chart, named, from - NAMES, top));
    items
}

/// Left of the letters of a go: which mark they are of, where the job has several.
fn beside_letters(chart: &Chart<'_>, rows: &[(usize, String)], left: f64, top: f64) -> Vec<Item> {
    let mut items = Vec::new();
    let mut row = 0;
    for run in rows.chunk_by(|a, b| a.0 == b.0) {
        let letters = run.iter().all(|(_, name)| name.chars().count() == 1);
        let words = if chart.marks.len() > 1 { chart.marks[run[0].0].as_str() } else { "letter by letter" };
        if letters {
            // Two lines fit beside each letter.
            let lines = wrapped(words, NAMES - 10.0, TYPE_LABEL, Weight::Regular, 2 * run.len());
            for (k, line) in lines.into_iter().enumerate() {
                let at = Point::new(left, top - row as f64 * ROW - 3.6 - 3.6 * k as f64);
                items.push(Item::Text(Text { colour: SOFT_INK, ..Text::new(at, line, TYPE_LABEL) }));
            }
        }
        row += run.len();
    }
    items
}

fn bold(at: Point, words: String, size: f64) -> Item {
    Item::Text(Text { weight: Weight::Bold, ..Text::new(at, words, size) })
}
