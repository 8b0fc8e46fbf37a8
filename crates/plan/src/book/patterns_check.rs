//! Every pattern file read back from its own bytes and held against the plan: area, length and size of the paint
//! edges. Shares nothing with the writers but the names of the layers.

use super::patterns::PAINT_EDGE;
use super::patterns_files::{Kind, PatternFile};
use crate::finding::{Bound, Finding, Severity};
use geom::tolerance::OUTPUT_MM;
use geom::{Point, Ring, Vec2};

/// Most by which an area read back may differ, as a share of it.
const AREA: f64 = 0.0001;
/// Most by which the length of all edges may differ, as a share of it. A cutter's steps of 0.025 mm lengthen
/// short chords a little.
const LENGTH: f64 = 0.0005;
/// Most by which width and height may differ, mm (the promise of a plan).
const SIZE: f64 = 0.05;
/// Chords for one arc or curve when it is measured.
const CHORDS: u32 = 256;

/// What a set of outlines measures.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Measures {
    area: f64,
    length: f64,
    width: f64,
    height: f64,
}

/// What is wrong with a file, if anything is.
pub fn check(file: &PatternFile, mark: &str) -> Option<Finding> {
    let found: Vec<Vec<Vec<Point>>> = match file.kind {
        Kind::Sticks => return None,
        Kind::Pdf => sheet::pdf::forms_in(&file.bytes).iter().map(|form| pdf(form)).collect(),
        Kind::Dxf => vec![dxf(&text(&file.bytes))],
        Kind::Svg => vec![svg(&text(&file.bytes))],
        Kind::Hpgl => hpgl(&text(&file.bytes)),
        // The paint edges are what the first tool cuts.
        Kind::Cut => hpgl(&text(&file.bytes)).into_iter().take(1).collect(),
    };
    let fail = |message: String, measured: f64, required: f64, unit| {
        let finding = Finding::new(Severity::Fail, "pattern-recheck", mark, message);
        Some(
            finding
                .figures(measured, Bound::Exact, required, unit)
                .hint("do not use this pattern; report it with the job file"),
        )
    };
    if found.len() != file.rings.len() {
        let message =
            format!("{} holds {} drawings, {} belong in it", file.path, found.len(), file.rings.len());
        return fail(message, found.len() as f64, file.rings.len() as f64, "");
    }
    for (shapes, rings) in found.iter().zip(&file.rings) {
        let (got, want) = (measures(shapes), planned(rings));
        // Every corner lies on the format's own grid: an edge may stand half a step beside its place.
        let step =
            if matches!(file.kind, Kind::Hpgl | Kind::Cut) { 1.0 / sheet::hpgl::UNITS } else { OUTPUT_MM };
        let area = AREA * want.area + step / 2.0 * want.length;
        for (what, got, want, allowed, unit) in [
            ("encloses", got.area, want.area, area, "mm2"),
            ("has edges of", got.length, want.length, LENGTH * want.length + SIZE, "mm"),
            ("is as wide as", got.width, want.width, SIZE, "mm"),
            ("is as high as", got.height, want.height, SIZE, "mm"),
        ] {
            if (got - want).abs() > allowed || !got.is_finite() {
                let message = format!("{} {what} {got:.2} {unit}, the plan says {want:.2} {unit}", file.path);
                return fail(message, got, want, unit);
            }
        }
    }
    None
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn planned(rings: &[Ring]) -> Measures {
    let ends = rings.iter().filter_map(Ring::bounds).flat_map(|(lo, hi)| [lo, hi]);
    let (lo, hi) = ends.fold((Point::new(f64::MAX, f64::MAX), Point::new(f64::MIN, f64::MIN)), reach);
    Measures {
        area: rings.iter().map(Ring::area).sum::<f64>().abs(),
        length: rings.iter().map(Ring::perimeter).sum(),
        width: if rings.is_empty() { 0.0 } else { hi.x - lo.x },
        height: if rings.is_empty() { 0.0 } else { hi.y - lo.y },
    }
}

fn reach((lo, hi): (Point, Point), p: Point) -> (Point, Point) {
    (Point::new(lo.x.min(p.x), lo.y.min(p.y)), Point::new(hi.x.max(p.x), hi.y.max(p.y)))
}

fn measures(shapes: &[Vec<Point>]) -> Measures {
    let (mut area, mut length) = (0.0, 0.0);
    for shape in shapes {
        for (i, a) in shape.iter().enumerate() {
            let b = shape[(i + 1) % shape.len()];
            area += (a.x * b.y - b.x * a.y) / 2.0;
            length += (b.x - a.x).hypot(b.y - a.y);
        }
    }
    let all = shapes.iter().flatten().copied();
    let (lo, hi) = all.fold((Point::new(f64::MAX, f64::MAX), Point::new(f64::MIN, f64::MIN)), reach);
    let size = if shapes.is_empty() { Vec2::ZERO } else { hi - lo };
    Measures { area: area.abs(), length, width: size.x, height: size.y }
}

/// Points of the arc from `a` to `b` that bends by `bulge`, both ends left out of its start.
fn arc(shape: &mut Vec<Point>, a: Point, b: Point, bulge: f64) {
    if bulge == 0.0 {
        shape.push(b);
        return;
    }
    // By the angle at the chord's ends: a point that sees the chord under the arc's angle lies on it.
    let turn = 4.0 * bulge.atan();
    let chord = b - a;
    let radius = chord.hypot() / (2.0 * (turn / 2.0).sin().abs());
    let toward = (chord.y).atan2(chord.x) - turn / 2.0;
    for k in 1..CHORDS {
        let part = turn * f64::from(k) / f64::from(CHORDS);
        let far = 2.0 * radius * (part / 2.0).sin().abs();
        let way = toward + part / 2.0;
        shape.push(Point::new(a.x + far * way.cos(), a.y + far * way.sin()));
    }
    shape.push(b);
}

/// Outlines among the drawing operators of a form.
fn pdf(operators: &str) -> Vec<Vec<Point>> {
    let marked = operators.split(&format!("/{PAINT_EDGE} BMC")).nth(1).and_then(|s| s.split("EMC").next());
    let mut shapes: Vec<Vec<Point>> = Vec::new();
    let mut numbers: Vec<f64> = Vec::new();
    for word in marked.unwrap_or_default().split_whitespace() {
        if let Ok(number) = word.parse() {
            numbers.push(number);
            continue;
        }
        let p = |k: usize| Some(Point::new(*numbers.get(k)?, *numbers.get(k + 1)?));
        match (word, shapes.last_mut()) {
            ("m", _) => shapes.extend(p(0).map(|start| vec![start])),
            ("l", Some(shape)) => shape.extend(p(0)),
            ("c", Some(shape)) => {
                if let (Some(a), Some(b), Some(c), Some(d)) = (shape.last().copied(), p(0), p(2), p(4)) {
                    for k in 1..=CHORDS {
                        let t = f64::from(k) / f64::from(CHORDS);
                        let u = 1.0 - t;
                        let mix = |a: f64, b: f64, c: f64, d: f64| {
                            u * u * u * a + 3.0 * u * u * t * b + 3.0 * u * t * t * c + t * t * t * d
                        };
                        shape.push(Point::new(mix(a.x, b.x, c.x, d.x), mix(a.y, b.y, c.y, d.y)));
                    }
                }
            }
            _ => {}
        }
        numbers.clear();
    }
    shapes
}

/// Closed polylines of the layer of paint edges.
fn dxf(text: &str) -> Vec<Vec<Point>> {
    let mut lines = text.lines();
    let mut entities: Vec<Vec<(&str, &str)>> = Vec::new();
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        if code.trim() == "0" {
            entities.push(Vec::new());
        }
        if let Some(entity) = entities.last_mut() {
            entity.push((code.trim(), value));
        }
    }
    let ours = |e: &&Vec<(&str, &str)>| e.contains(&("0", "LWPOLYLINE")) && e.contains(&("8", PAINT_EDGE));
    entities
        .iter()
        .filter(ours)
        .map(|entity| {
            let mut corners: Vec<(Point, f64)> = Vec::new();
            for (code, value) in entity {
                let number = value.parse().unwrap_or(f64::NAN);
                match (*code, corners.last_mut()) {
                    ("10", _) => corners.push((Point::new(number, f64::NAN), 0.0)),
                    ("20", Some(last)) => last.0.y = number,
                    ("42", Some(last)) => last.1 = number,
                    _ => {}
                }
            }
            let mut shape = Vec::new();
            for (i, (a, bulge)) in corners.iter().enumerate() {
                arc(&mut shape, *a, corners[(i + 1) % corners.len()].0, *bulge);
            }
            shape
        })
        .collect()
}

/// Outlines of the group of paint edges: straight lines and arcs of less than half a turn.
fn svg(text: &str) -> Vec<Vec<Point>> {
    let group = text.split(&format!("<g id=\"{PAINT_EDGE}\"")).nth(1).and_then(|s| s.split("</g>").next());
    let mut shapes: Vec<Vec<Point>> = Vec::new();
    for d in group.unwrap_or_default().split(" d=\"").skip(1).filter_map(|s| s.split('"').next()) {
        let mut rest = d;
        while let Some(op) = rest.chars().next() {
            let body = &rest[op.len_utf8()..];
            let end = body.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(body.len());
            let n: Vec<f64> = body[..end].split_whitespace().filter_map(|w| w.parse().ok()).collect();
            rest = &body[end..];
            match (op, n.as_slice(), shapes.last_mut()) {
                ('M', [x, y], _) => shapes.push(vec![Point::new(*x, *y)]),
                ('L', [x, y], Some(shape)) => shape.push(Point::new(*x, *y)),
                ('A', [r, _, _, _, sweep, x, y], Some(shape)) => {
                    let b = Point::new(*x, *y);
                    if let Some(a) = shape.last().copied() {
                        let half = (a.distance(b) / 2.0 / r).min(1.0).asin();
                        let bulge = (half / 2.0).tan();
                        arc(shape, a, b, if *sweep > 0.5 { bulge } else { -bulge });
                    }
                }
                _ => {}
            }
        }
    }
    shapes
}

/// Outlines of each pen that draws, in the order the pens are taken.
fn hpgl(text: &str) -> Vec<Vec<Vec<Point>>> {
    let mut pens: Vec<Vec<Vec<Point>>> = Vec::new();
    for command in text.split(';').map(str::trim) {
        let Some((op, list)) = command.split_at_checked(2) else { continue };
        let n: Vec<f64> = list.split(',').filter_map(|w| w.parse::<f64>().ok()).map(|v| v / 40.0).collect();
        let points = n.chunks_exact(2).map(|p| Point::new(p[0], p[1]));
        match (op, pens.last_mut()) {
            ("SP", _) if list != "0" => pens.push(Vec::new()),
            ("PU", Some(shapes)) if !n.is_empty() => shapes.push(points.collect()),
            ("PD", Some(shapes)) => {
                if let Some(shape) = shapes.last_mut() {
                    shape.extend(points);
                }
            }
            _ => {}
        }
    }
    pens
}

#[cfg(test)]
mod tests {
    use super::*;
    use sheet::{Item, Layer, Role, pen};

    fn rings() -> Vec<Ring> {
        let hole = Ring::circle(Point::new(60.0, 40.0), 25.0).reversed();
        let outer = [(0.0, 0.0), (120.0, 5.0), (110.0, 90.0), (0.0, 80.0)].map(Point::from);
        vec![Ring::from_points(outer), hole]
    }

    fn file(kind: Kind, bytes: Vec<u8>) -> PatternFile {
        PatternFile { path: "patterns/reg".into(), bytes, kind, rings: vec![rings()] }
    }

    fn layers() -> Vec<Layer> {
        vec![Layer { name: PAINT_EDGE.into(), items: vec![Item::rings(&rings(), pen(Role::CutLine))] }]
    }

    #[test]
    fn every_format_reads_back_as_it_was_planned_and_a_changed_number_is_found() {
        let svg = sheet::svg::write_bare(&sheet::Sheet {
            width_mm: 130.0,
            height_mm: 100.0,
            layers: layers(),
            ..Default::default()
        });
        let room = sheet::Room { lo: Point::ZERO, hi: Point::new(130.0, 100.0) };
        let document = |layers| sheet::pdf::Document {
            forms: vec![sheet::pdf::Form { room, layers }],
            ..Default::default()
        };
        let hpgl = sheet::hpgl::write(&rings());
        let dxf = sheet::dxf::write(&layers());
        let good = [
            file(Kind::Svg, svg.clone().into_bytes()),
            file(Kind::Dxf, dxf.clone().into_bytes()),
            file(Kind::Hpgl, hpgl.clone().into_bytes()),
            file(Kind::Pdf, sheet::pdf::write(&document(layers()))),
        ];
        for file in &good {
            assert_eq!(check(file, "reg"), None, "{:?}", file.kind);
        }
        let mut moved = rings();
        moved[0].vertices[2].p.x += 0.2;
        let moved =
            vec![Layer { name: PAINT_EDGE.into(), items: vec![Item::rings(&moved, pen(Role::CutLine))] }];
        let bad = [
            file(Kind::Svg, svg.replace("L120 ", "L120.2 ").into_bytes()),
            file(Kind::Dxf, dxf.replace("\n120\n", "\n120.2\n").into_bytes()),
            file(Kind::Hpgl, hpgl.replace("4800,", "4808,").into_bytes()),
            file(Kind::Pdf, sheet::pdf::write(&document(moved))),
            file(Kind::Pdf, b"%PDF-1.7".to_vec()),
        ];
        for file in &bad {
            let finding = check(file, "reg").unwrap_or_else(|| panic!("{:?} was not found", file.kind));
            assert_eq!(finding.severity, Severity::Fail);
        }
    }
}
