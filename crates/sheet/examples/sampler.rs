//! Everything the crate can draw, on an A3 sheet of an invented panel, `sampler OUT.svg`, and on a full-size A4
//! sheet, `sampler --full OUT.svg`.
//!
//! With `--widths` in place of a name it prints the width table instead, a line for each printable ASCII
//! character (code, regular, bold), so that an outside reader can hold it against a font.

use geom::{Affine, Point, Ring, Vec2, Vertex};
use sheet::balloons::{Numbered, balloons};
use sheet::dimension::{Tip, leader, span};
use sheet::frame::{Paper, Way, fit_scale, frame, inside, scale_text};
use sheet::ordinates::{Lay, Ordinates, Stop};
use sheet::scale_bar::{check_square, scale_bar};
use sheet::symbols::{direction_arrow, register_mark, verdict_line};
use sheet::title_block::{Row, title_block};
use sheet::tokens::{SOFT_INK, TYPE_BODY, TYPE_LABEL};
use sheet::units::{both_words, mm_words, tape_measure};
use sheet::{Fill, Item, Layer, Lean, Outline, Path, Role, Room, Sheet, Text, Verdict, Weight, pen, svg};
use std::f64::consts::FRAC_PI_2;
use std::io::Write;

/// The panel, mm: 100 in by 40 in.
const PANEL: (f64, f64) = (2540.0, 1016.0);
/// Lower left corner of the panel on the sheet, mm.
const CORNER: Point = Point::new(62.0, 128.0);

fn main() -> std::io::Result<()> {
    match std::env::args().nth(1).as_deref() {
        Some("--widths") => {
            let mut out = std::io::stdout().lock();
            for c in ' '..='~' {
                let width = |weight| sheet::advance::advance(c, weight);
                writeln!(out, "{} {} {}", u32::from(c), width(Weight::Regular), width(Weight::Bold))?;
            }
            Ok(())
        }
        Some("--full") => match std::env::args().nth(2) {
            Some(name) => std::fs::write(name, svg::write(&full_size())),
            None => Err(std::io::Error::other("say where to write: sampler --full OUT.svg")),
        },
        Some(name) => std::fs::write(name, svg::write(&sampler())),
        None => Err(std::io::Error::other("say where to write: sampler OUT.svg")),
    }
}

fn sampler() -> Sheet {
    let size = Paper::A3.size(Way::Landscape);
    let scale = fit_scale(PANEL, (260.0, 120.0));
    let at = |x: f64, y: f64| CORNER + Vec2::new(x, y) * scale;
    let on_sheet = Affine::translate(CORNER.to_vec2()) * Affine::scale(scale);

    let (l, d) = (letter_l().mapped(on_sheet), letter_d().map(|ring| ring.mapped(on_sheet)));
    let panel = Room { lo: at(0.0, 0.0), hi: at(PANEL.0, PANEL.1) }.ring();
    let rings: Vec<Point> =
        [(330.0, 820.0), (410.0, 820.0), (1200.0, 700.0), (1550.0, 480.0), (2280.0, 700.0), (2330.0, 250.0)]
            .map(|(x, y)| at(x, y))
            .to_vec();

    let mut reference = vec![Item::rings([&panel], pen(Role::Outline))];
    reference.extend(rings.iter().map(|&c| Item::circle(c, 57.0 * scale, pen(Role::Hidden))));
    for x in [190.0, 1090.0, 1900.0] {
        reference.push(Item::line([at(x, 0.0), at(x, PANEL.1)], pen(Role::Hidden)));
    }
    reference.push(Item::line([at(-60.0, 500.0), at(PANEL.0 + 60.0, 500.0)], pen(Role::Centre)));

    let hatch = |lean| Fill::Hatch { colour: SOFT_INK, spacing: 2.4, lean };
    let cut = vec![
        Item::Path(Path {
            outlines: vec![Outline::from(&l)],
            stroke: Some(pen(Role::CutLine)),
            fill: Some(hatch(Lean::Rising)),
        }),
        Item::Path(Path {
            outlines: d.iter().map(Outline::from).collect(),
            stroke: Some(pen(Role::CutLine)),
            fill: Some(hatch(Lean::Falling)),
        }),
    ];

    let mut sizes = Vec::new();
    let two = |mm: f64| vec![tape_measure(mm).words(), mm_words(mm)];
    let along = [0.0, 330.0, 410.0, 600.0, 720.0, 980.0, 1200.0, 1320.0, 1550.0, 1640.0, 1760.0, PANEL.0]
        .map(|x| Stop { at: x * scale, from: 0.0, lines: two(x) })
        .to_vec();
    let room = (-10.0, PANEL.0 * scale + 10.0);
    let chain = Ordinates { room, ..Ordinates::new(CORNER, Vec2::new(1.0, 0.0), -10.0, Lay::Along, along) };
    sizes.extend(chain.draw().items);
    let up = [0.0, 200.0, 320.0, 480.0, 500.0, 680.0, 800.0, 820.0, PANEL.1]
        .map(|y| Stop { at: y * scale, from: 0.0, lines: vec![both_words(y)] })
        .to_vec();
    let chain = Ordinates::new(at(PANEL.0, 0.0), Vec2::new(0.0, 1.0), -10.0, Lay::Across, up);
    sizes.extend(chain.draw().items);
    sizes.extend(span(at(600.0, 200.0), at(600.0, 800.0), 9.0, both_words(600.0)));
    sizes.extend(span(at(600.0, 800.0), at(720.0, 800.0), 6.0, tape_measure(120.0).words()));

    let numbered: Vec<Numbered> = rings
        .iter()
        .enumerate()
        .map(|(k, &place)| Numbered { place, words: (k + 1).to_string().into() })
        .collect();
    let rail = 1016.0 * scale + 17.0;
    let mut notes = balloons(&numbered, CORNER + Vec2::new(0.0, rail), CORNER + Vec2::new(254.0, rail)).items;
    notes.extend(leader(at(1700.0, 620.0), at(1930.0, 860.0), Tip::Dot, TYPE_BODY, "painted area"));
    notes.extend(leader(at(1900.0, 120.0), at(1780.0, 60.0), Tip::Arrow, TYPE_BODY, "rib beneath"));
    notes.extend(direction_arrow(at(-200.0, 200.0), FRAC_PI_2, 30.0, TYPE_BODY, "leading edge"));
    notes.extend(direction_arrow(at(1900.0, 1330.0), 0.0, 30.0, TYPE_BODY, "outboard"));

    let foot = inside(size).lo;
    let mut verdicts = verdict_line(
        foot + Vec2::new(8.0, 38.0),
        TYPE_BODY,
        Verdict::Pass,
        tape_measure(600.0).words().and(" cap height, at least 12 in"),
    );
    // The counter's bowl is a circle of radius 180 round (1460, 500); the ring's radius is 57.
    let gap = both_words(180.0 - 57.0 - Vec2::new(1550.0 - 1460.0, 480.0 - 500.0).hypot());
    verdicts.extend(verdict_line(
        foot + Vec2::new(8.0, 30.0),
        TYPE_BODY,
        Verdict::Caution,
        gap.and(" clear of ring 4"),
    ));
    verdicts.extend(verdict_line(
        foot + Vec2::new(8.0, 22.0),
        TYPE_BODY,
        Verdict::Fail,
        "ring 3 lies half under the edge of a letter",
    ));
    verdicts.extend(scale_bar(foot + Vec2::new(120.0, 20.0), scale));
    verdicts.push(Item::Text(Text {
        colour: SOFT_INK,
        ..Text::new(
            foot + Vec2::new(8.0, 8.0),
            "<script>alert(\"tape\")</script> & other words stay words",
            TYPE_LABEL,
        )
    }));
    verdicts.push(Item::rings([&Ring::circle(rings[2], 57.0 * scale + 1.4)], pen(Role::Touched)));

    let rows = [
        Row::new("job", "Trial panel on the stand"),
        Row::new(
            "surface",
            "upper skin, left side, between rib 2 and rib 6, aft of the second seam, as measured",
        ),
        Row::new("cap height", both_words(600.0)),
        Row::new("scale", scale_text(scale)),
        Row::judged("verdict", Verdict::Fail, "ring 3 is crossed"),
        Row::new("next", "move the mark outboard, or make it smaller"),
        Row::new("sheet", "1 of 1"),
    ];
    let table = title_block(Point::new(inside(size).hi.x, foot.y), "Panel sheet", &rows);

    let mut border = frame(size);
    for (x, y) in [(18.0, 279.0), (402.0, 279.0)] {
        border.extend(register_mark(Point::new(x, y), 8.0));
    }
    let layer = |name: &str, items| Layer { name: name.to_owned(), items };
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            layer("border", border),
            layer("reference", reference),
            layer("cut lines", cut),
            layer("dimensions", sizes),
            layer("notes", notes),
            layer("verdicts", verdicts),
            layer("title block", table.items),
        ],
        title: "Sampler: an invented panel".to_owned(),
        description: "Two letters on a panel with ordinates, numbered rings, verdicts and a title block."
            .to_owned(),
    }
}

/// A pattern at full size: what lets a painter trust the printer, and one round corner to cut.
fn full_size() -> Sheet {
    let size = Paper::A4.size(Way::Portrait);
    let room = inside(size);
    let corner = room.lo + Vec2::new(55.0, 172.0);
    let bowl = letter_d().map(|ring| {
        ring.mapped(
            Affine::translate(corner.to_vec2()) * Affine::scale(0.15) * Affine::translate((-1200.0, -200.0)),
        )
    });
    let mut items = vec![Item::rings(&bowl, pen(Role::CutLine))];
    items.push(Item::line(
        [corner + Vec2::new(-15.0, 45.0), corner + Vec2::new(99.0, 45.0)],
        pen(Role::Centre),
    ));
    items.extend(span(corner, corner + Vec2::new(0.0, 90.0), 12.0, both_words(90.0)));
    let back = corner + Vec2::new(0.0, 90.0);
    items.extend(span(back, back + Vec2::new(18.0, 0.0), 6.0, both_words(18.0)));
    let mut trust = check_square(room.lo + Vec2::new(22.0, 64.0));
    trust.extend(scale_bar(room.lo + Vec2::new(19.0, 43.0), 1.0));
    let mut border = frame(size);
    for (x, y) in [(9.0, 9.0), (9.0, room.height() - 9.0), (room.width() - 9.0, room.height() - 9.0)] {
        border.extend(register_mark(room.lo + Vec2::new(x, y), 8.0));
    }
    let rows = [
        Row::new("job", "Trial panel on the stand"),
        Row::new("mark", "left side"),
        Row::new("scale", "1:1, print at 100 %"),
        Row::judged("verdict", Verdict::Caution, "measure the square"),
        Row::new("sheet", "1 of 3"),
    ];
    let table = title_block(Point::new(room.hi.x, room.lo.y), "Pattern", &rows);
    let layer = |name: &str, items| Layer { name: name.to_owned(), items };
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            layer("border", border),
            layer("check", trust),
            layer("cut lines", items),
            layer("title block", table.items),
        ],
        title: "Sampler: a full-size pattern".to_owned(),
        description: "One letter to cut, a check square and a scale bar.".to_owned(),
    }
}

/// A letter of two straight strokes 120 mm wide, 600 mm tall, counter-clockwise; mm on the panel.
fn letter_l() -> Ring {
    let (x, y) = (600.0, 200.0);
    Ring::from_points(
        [(0.0, 0.0), (380.0, 0.0), (380.0, 120.0), (120.0, 120.0), (120.0, 600.0), (0.0, 600.0)]
            .map(|(dx, dy)| Point::new(x + dx, y + dy)),
    )
}

/// A letter whose back is straight and whose bowl is two quarter turns of radius 300, with its counter.
fn letter_d() -> [Ring; 2] {
    let quarter = (FRAC_PI_2 / 4.0).tan();
    let bowl = |inset: f64| {
        let (x, y, r) = (1200.0 + inset, 200.0 + inset, 300.0 - inset);
        let corner = |p: (f64, f64), bulge| Vertex { p: Point::new(p.0, p.1), bulge };
        Ring {
            vertices: vec![
                corner((x, y), 0.0),
                corner((1460.0, y), quarter),
                corner((1460.0 + r, y + r), quarter),
                corner((1460.0, y + 2.0 * r), 0.0),
                corner((x, y + 2.0 * r), 0.0),
            ],
        }
    };
    [bowl(0.0), bowl(120.0).reversed()]
}
