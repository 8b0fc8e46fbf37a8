//! A wing section from a two-column ordinate file: stations and ordinates as they stand in old reports.
//!
//! Read: titles before the first row or none, `#` comments, blank lines; unit chord or per cent; columns parted by blanks or a
//! comma; one loop from the trailing edge over either face to the nose and back, or two lists that each start at
//! the nose, with or without a line of counts before them; closed or open trailing edges. Not read: three
//! columns, decimal commas, sections that run backwards anywhere but in front of the leading edge.
//!
//! The leading edge is the row at (0, 0), or the nearest row within one per cent of the chord of it; in a table
//! measured from a line under the section (its nose at station 0, some way up), the foremost row. The section is
//! then moved so that its leading edge is (0, 0), and told so. Through both faces together runs one smooth curve,
//! so that the nose is round; its ends at the trailing edge are free and stay as far apart as they were.

use super::section::Section;
use crate::problem::Problem;
use geom::spline::Spline;
use geom::tolerance::{NOSE_REACH, NOSE_TOLD, SAME_ORDINATE, SPARSE_GIRTH, STATION_REACH};
use geom::{Point, Vec2};
use std::ops::Range;

/// Most rows taken from a file. chosen: the finest public tables have a few hundred.
pub const MOST_ROWS: usize = 10_000;

/// Fewest different points that make a section. chosen: three a face, the nose and room for two edges.
pub const LEAST_POINTS: usize = 9;

/// Passes by which the curve's parameter is brought to its own arc length. Measured on NACA sections of 35 rows,
/// 60 in chord: arc length errs by 0.004 to 0.008 in of girth a face, chord length by 0.004 to 0.009 in,
/// centripetal by 0.009 to 0.012 in.
const PASSES: usize = 4;

/// What is worth knowing about a section that was read; each a sentence without a full stop.
pub type Remarks = Vec<String>;

/// One row of the file.
#[derive(Clone, Debug)]
struct Row {
    p: Point,
    span: Range<usize>,
}

/// The section in the file `name` with these `bytes`, and what is worth knowing about it.
///
/// # Errors
/// Everything that keeps the file from being a section, with its place in that file.
pub fn read(name: &str, bytes: &[u8]) -> Result<(Section, Remarks), Vec<Problem>> {
    section(bytes).map_err(|problems| problems.into_iter().map(|p| p.in_file(name)).collect())
}

fn section(bytes: &[u8]) -> Result<(Section, Remarks), Vec<Problem>> {
    let rows = unit_chord(without_counts(rows(bytes)?)?)?;
    let rows = one_loop(rows)?;
    runs_once_round(&rows)?;
    let mut remarks = Remarks::new();
    let nose = leading_edge(&rows)?;
    let origin = rows[nose].p.to_vec2();
    if origin.hypot() > NOSE_TOLD {
        remarks.push(format!(
            "the leading edge is taken at the row ({}, {}) of the chord and measured from there",
            origin.x, origin.y
        ));
    }
    let points: Vec<Point> = rows.iter().map(|r| r.p - origin).collect();
    let whole = || vec![Problem::at(0..bytes.len(), "the rows make no curve")];
    let spline = Spline::by_arc_length(&points, PASSES).ok_or_else(whole)?;
    let section = Section::Curve { nose: spline.knots()[nose], spline };
    for (upper, face) in [(true, &points[..=nose]), (false, &points[nose..])] {
        let straight: f64 = face.windows(2).map(|w| w[0].distance(w[1])).sum();
        let lost = section.girth(upper) - straight;
        if lost > SPARSE_GIRTH {
            remarks.push(format!(
                "the {} face has so few rows that its girth is sure only to {:.1} per cent of the chord",
                if upper { "upper" } else { "lower" },
                100.0 * lost
            ));
        }
    }
    Ok((section, remarks))
}

/// The rows of numbers, in the file's unit.
fn rows(bytes: &[u8]) -> Result<Vec<Row>, Vec<Problem>> {
    let all = 0..bytes.len();
    if bytes.iter().any(|&b| b < b' ' && !b.is_ascii_whitespace()) {
        return Err(vec![
            Problem::at(0..0, "the file is not text").expected("two columns of numbers: station, ordinate"),
        ]);
    }
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    for (line, start) in lines(bytes) {
        let text = line.split(|&b| b == b'#').next().unwrap_or_default();
        if text.trim_ascii().is_empty() {
            continue;
        }
        let lead = text.len() - text.trim_ascii_start().len();
        let span = start + lead..start + lead + text.trim_ascii().len();
        let text = String::from_utf8_lossy(text.trim_ascii());
        let titles = rows.is_empty() && problems.is_empty();
        match row(&text) {
            Ok(p) => rows.push(Row { p, span }),
            Err(_) if titles && !looks_like_numbers(&text) => {}
            Err(message) => {
                problems.push(Problem::at(span, message).expected("two numbers in a row: station, ordinate"))
            }
        }
    }
    if rows.len() > MOST_ROWS {
        problems.push(Problem::at(
            rows[MOST_ROWS].span.clone(),
            format!("{} rows, more than the {MOST_ROWS} that are read", rows.len()),
        ));
    } else if rows.is_empty() && problems.is_empty() {
        problems.push(Problem::at(all, "no ordinates").expected("two columns of numbers: station, ordinate"));
    }
    if problems.is_empty() { Ok(rows) } else { Err(problems) }
}

/// Lines without their ends, each with the offset of its first byte; a mark of the encoding is skipped.
fn lines(bytes: &[u8]) -> impl Iterator<Item = (&[u8], usize)> {
    let skip = if bytes.starts_with(b"\xef\xbb\xbf") { 3 } else { 0 };
    bytes[skip..].split(|&b| b == b'\n' || b == b'\r').scan(skip, |start, line| {
        let at = *start;
        *start += line.len() + 1;
        Some((line, at))
    })
}

fn cells(text: &str) -> Vec<&str> {
    text.split(|c: char| c == ',' || c.is_whitespace()).filter(|c| !c.is_empty()).collect()
}

fn row(text: &str) -> Result<Point, String> {
    let cells = cells(text);
    let &[x, y] = cells.as_slice() else {
        let columns =
            if cells.len() == 1 { "one column".to_owned() } else { format!("{} columns", cells.len()) };
        return Err(format!("`{}` is {columns}", short(text)));
    };
    let number = |cell: &str| match cell.parse::<f64>() {
        Ok(v) if v.is_finite() => Ok(v),
        Ok(_) => Err(format!("`{}` is no finite number", short(cell))),
        Err(_) => Err(format!("`{}` is not a number", short(cell))),
    };
    Ok(Point::new(number(x)?, number(y)?))
}

/// True if a line before the first row is a row with a slip, not a title: numbers in too many columns, or a
/// decimal number beside something with a decimal point.
fn looks_like_numbers(text: &str) -> bool {
    let cells = cells(text);
    let number = |c: &&str| c.parse::<f64>().is_ok();
    let numbers = cells.iter().filter(|c| number(c)).count();
    cells.len() >= 2 && numbers == cells.len()
        || cells.len() == 2 && numbers == 1 && cells.iter().all(|c| c.contains('.'))
}

/// At most forty characters of what was found, for a message.
fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

/// The rows without a first row of counts ("17 17").
fn without_counts(mut rows: Vec<Row>) -> Result<Vec<Row>, Vec<Problem>> {
    let (first, others) = (&rows[0], rows.len() - 1);
    let Point { x, y } = first.p;
    let whole = |v: f64| v >= 2.0 && (v - v.round()).abs() <= 0.0;
    if whole(x) && whole(y) {
        let said = x + y;
        if (said - others as f64).abs() > 0.0 {
            return Err(vec![
                Problem::at(first.span.clone(), format!("{x} + {y} rows are announced, {others} follow"))
                    .hint("correct the counts or leave their line out"),
            ]);
        }
        rows.remove(0);
    }
    Ok(rows)
}

/// The rows at unit chord.
fn unit_chord(mut rows: Vec<Row>) -> Result<Vec<Row>, Vec<Problem>> {
    let last = rows.iter().max_by(|a, b| a.p.x.total_cmp(&b.p.x)).map_or(0..0, |r| r.span.clone());
    let most = rows.iter().map(|r| r.p.x).fold(f64::MIN, f64::max);
    let scale = if (most - 1.0).abs() <= STATION_REACH {
        1.0
    } else if (most / 100.0 - 1.0).abs() <= STATION_REACH {
        100.0
    } else {
        return Err(vec![
            Problem::at(last, format!("the last station is {most}"))
                .expected("1 (unit chord) or 100 (per cent)"),
        ]);
    };
    let mut problems = Vec::new();
    for row in &mut rows {
        row.p = (row.p.to_vec2() / scale).to_point();
        if row.p.y.abs() > 1.0 || row.p.x < -1.0 {
            problems.push(
                Problem::at(row.span.clone(), "the row lies more than a chord off the section")
                    .expected("stations from 0 to the chord, ordinates well under it"),
            );
        }
    }
    if problems.is_empty() { Ok(rows) } else { Err(problems) }
}

/// The rows as one loop from the upper trailing edge round the nose to the lower one, no point twice running.
fn one_loop(rows: Vec<Row>) -> Result<Vec<Row>, Vec<Problem>> {
    let half = 0.5;
    let first = rows[0].span.clone();
    let mut rows = if rows[0].p.x > half {
        rows
    } else {
        // Two lists: the second starts where the station falls back from the trailing edge to the nose.
        let falls = |w: &[Row]| w[0].p.x > half && w[1].p.x < half;
        let Some(cut) = rows.windows(2).position(falls) else {
            return Err(vec![
                Problem::at(first, "the rows start at the nose and no second list follows")
                    .expected("two lists from the nose, or one loop from the trailing edge"),
            ]);
        };
        let (one, two) = rows.split_at(cut + 1);
        one.iter().rev().chain(two).cloned().collect()
    };
    rows.dedup_by(|b, a| a.p.distance(b.p) <= SAME_ORDINATE);
    if rows.len() < LEAST_POINTS {
        let message = format!("{} different points", rows.len());
        return Err(vec![
            Problem::at(first, message).expected(format!("at least {LEAST_POINTS}, better thirty or more")),
        ]);
    }
    let twice: f64 =
        (0..rows.len()).map(|i| rows[i].p.to_vec2().cross(rows[(i + 1) % rows.len()].p.to_vec2())).sum();
    if twice.abs() <= SAME_ORDINATE {
        return Err(vec![Problem::at(first, "the two faces enclose nothing")]);
    }
    if twice < 0.0 {
        rows.reverse();
    }
    Ok(rows)
}

/// Stations fall to the foremost row and rise behind it, and the faces do not cross.
fn runs_once_round(rows: &[Row]) -> Result<(), Vec<Problem>> {
    let foremost = foremost(rows);
    let mut problems: Vec<Problem> = rows
        .windows(2)
        .enumerate()
        .filter(|(i, w)| if *i < foremost { w[1].p.x > w[0].p.x } else { w[1].p.x < w[0].p.x })
        .map(|(_, w)| {
            let message = format!("station {} beside station {} runs backwards", w[1].p.x, w[0].p.x);
            Problem::at(w[1].span.clone(), message)
                .expected("one loop from the trailing edge, or two lists from the nose, in order")
        })
        .collect();
    if problems.is_empty() {
        // Both faces run one way along x, so only spans over a common station can cross: walk them together.
        let (upper, lower) = (&rows[..=foremost], &rows[foremost..]);
        let mut i = upper.len() - 1;
        for w in lower.windows(2) {
            while i > 0 && upper[i - 1].p.x < w[0].p.x {
                i -= 1;
            }
            let mut k = i;
            while k > 0 && upper[k].p.x <= w[1].p.x {
                if crosses(upper[k].p, upper[k - 1].p, w[0].p, w[1].p) {
                    let message = format!("the faces cross near station {:.4}", w[0].p.x);
                    problems.push(
                        Problem::at(w[1].span.clone(), message)
                            .expected("the lower face under the upper one"),
                    );
                    break;
                }
                k -= 1;
            }
        }
    }
    if problems.is_empty() { Ok(()) } else { Err(problems) }
}

/// True if two segments cross in their insides.
fn crosses(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, v: Vec2, q: Point| v.cross(q - p);
    side(a, b - a, c) * side(a, b - a, d) < 0.0 && side(c, d - c, a) * side(c, d - c, b) < 0.0
}

fn foremost(rows: &[Row]) -> usize {
    (0..rows.len()).min_by(|&i, &j| rows[i].p.x.total_cmp(&rows[j].p.x)).unwrap_or(0)
}

/// The row that is the leading edge; see the module's head.
fn leading_edge(rows: &[Row]) -> Result<usize, Vec<Problem>> {
    let far = |i: &usize| rows[*i].p.to_vec2().hypot();
    let nearest = (0..rows.len()).min_by(|i, j| far(i).total_cmp(&far(j))).unwrap_or(0);
    let foremost = foremost(rows);
    let found = if far(&nearest) <= NOSE_REACH {
        nearest
    } else if rows[foremost].p.x.abs() <= NOSE_REACH {
        foremost
    } else {
        return Err(vec![
            Problem::at(
                rows[foremost].span.clone(),
                format!("the foremost station is {}", rows[foremost].p.x),
            )
            .expected("a row at the leading edge, station 0")
            .hint("add the nose to the table"),
        ]);
    };
    if found == 0 || found + 1 == rows.len() {
        return Err(vec![Problem::at(rows[found].span.clone(), "the leading edge is the first or last row")]);
    }
    Ok(found)
}

#[cfg(test)]
#[path = "ordinates_tests.rs"]
mod tests;
