//! The film map: the panels of a mark as they lie, every strip with its place in the order of pulling, and for the
//! book one card a panel. It shows the film; it decides nothing.

use super::tape_map::Card;
use super::tape_map_mark::in_columns;
use super::tape_map_pieces::{Lie, segments};
use super::tape_map_place::Floor;
use super::tape_map_tabs::{paint_hatch, tag_items};
use crate::Plan;
use crate::mask::film::{Film, FilmPanel, STEPS};
use crate::mask::{Piece, reach};
use crate::words::{inches, length};
use geom::distance::point_to_edge;
use geom::winding::contains;
use geom::{Point, Ring, Vec2};
use sheet::frame::{Paper, Way, fit_scale, frame, inside, scale_text};
use sheet::title_block::{Row as TitleRow, title_block};
use sheet::tokens::{INK, PAPER};
use sheet::units::both_words;
use sheet::{Fill, Item, Layer, Role, Room, Sheet, Text, Weight, Words, pen};

/// Room round the film on the map, mm.
const ROUND: f64 = 14.0;
/// Height of the drawing on the map, mm.
const DRAWING: f64 = 140.0;
/// Room of a card in the book, mm: width, greatest height.
const CARD: (f64, f64) = (175.0, 120.0);
/// Room round the film on a card, mm.
const CARD_ROUND: f64 = 8.0;
/// Size of a tag's figures, mm.
const TAG: f64 = 2.8;
/// Radius of the dot a leader ends in, mm.
const DOT: f64 = 0.55;
/// Rows and columns of points among which a tag's place is sought in a strip. chosen.
const SOUGHT: u32 = 14;

/// The masks of film with their marks.
fn cards(plan: &Plan) -> Vec<(Card<'_>, &Film)> {
    let masks = &plan.masking.masks;
    let card = |(k, mask): (usize, &'_ crate::mask::Mask)| (k, mask.of.clone());
    masks
        .iter()
        .enumerate()
        .map(card)
        .filter_map(|(k, of)| {
            let mask = &masks[k];
            let mark = plan.marks.iter().find(|m| m.id == of)?;
            let before = masks[..k].iter().filter(|m| m.of == of).count();
            let card = Card { job_title: &plan.job.title, mark, mask, paint: &mask.paint, before };
            Some((card, mask.film.as_ref()?))
        })
        .collect()
}

/// The film maps with their names: `film-reg`, and `film-reg-colour-2` for a mark's second colour.
pub fn film_maps(plan: &Plan) -> Vec<(String, Sheet)> {
    let named = |card: &Card<'_>| match card.before {
        0 => format!("film-{}", card.mark.id),
        n => format!("film-{}-colour-{}", card.mark.id, n + 1),
    };
    cards(plan).iter().map(|(card, film)| (named(card), map_sheet(plan, card, film))).collect()
}

/// The files of the film maps: path below the plan's folder, and contents.
pub fn film_map_files(plan: &Plan) -> Vec<(String, Vec<u8>)> {
    let file = |(name, sheet): (String, Sheet)| {
        (format!("layout/{name}.svg"), sheet::svg::write(&sheet).into_bytes())
    };
    film_maps(plan).into_iter().map(file).collect()
}

/// The drawings of the book's film cards, named `film/PANEL`.
pub fn film_cards(plan: &Plan) -> Vec<(String, Vec<u8>)> {
    let mut out = Vec::new();
    for (card, film) in cards(plan) {
        for panel in &film.panels {
            let sheet = panel_card(&card, panel);
            out.push((format!("film/{}", panel.id), sheet::svg::write(&sheet).into_bytes()));
        }
    }
    out
}

/// What of a mark's film is drawn, and where.
struct Drawn<'a> {
    layers: Vec<Layer>,
    panels: Vec<&'a FilmPanel>,
    scale: f64,
}

/// Some panels drawn into a room, as large as they go there, or at a scale of the usual ones.
fn drawn<'a>(card: &Card<'_>, panels: Vec<&'a FilmPanel>, room: Room, round: f64, usual: bool) -> Drawn<'a> {
    let unit = Lie::new(card.mark.centre, Point::ZERO, 1.0, card.mark.angle);
    let boxes: Vec<Ring> =
        panels.iter().map(|p| unit.ring(&Ring::from_points(p.outline.iter().copied()))).collect();
    let (lo, hi) = boxes.iter().filter_map(Ring::bounds).fold(
        (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY)),
        |(a, b), (lo, hi)| {
            (Point::new(a.x.min(lo.x), a.y.min(lo.y)), Point::new(b.x.max(hi.x), b.y.max(hi.y)))
        },
    );
    let (wide, tall) = (room.width() - 2.0 * round, room.height() - 2.0 * round);
    let (w, h) = (hi.x - lo.x, hi.y - lo.y);
    let scale = if usual { fit_scale((w, h), (wide, tall)) } else { (wide / w).min(tall / h) };
    let at = room.centre() - lo.midpoint(hi).to_vec2() * scale;
    let lie = Lie::new(card.mark.centre, at, scale, card.mark.angle);
    let mut floor = Floor::new(room.inset(1.0), Vec::new());

    let (mut edges, mut cuts, mut aside, mut paint) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for panel in &panels {
        edges.push(lie.ring(&Ring::from_points(panel.outline.iter().copied())));
        paint.extend(panel.paint.iter().map(|r| lie.ring(r)));
        let on = |l: &[Point; 2]| l.map(|p| lie.point(p));
        for relief in &panel.relief {
            let line = on(&relief.line);
            floor.lines.push(((line[0], line[1]), 3.0));
            cuts.push(Item::line(line, pen(Role::Hidden)));
        }
        for line in panel.register.iter().map(on) {
            aside.push(Item::line(line, pen(Role::CutLine)));
        }
        // Waste beyond the box would be drawn over the next panel: only cuts within the box are shown.
        let within = Ring::from_points(panel.outline.iter().copied());
        for line in
            panel.weeding.iter().filter(|l| contains(std::slice::from_ref(&within), l[0].midpoint(l[1])))
        {
            cuts.push(Item::line(on(line), pen(Role::Outline)));
        }
        aside.push(Item::line(on(&panel.hinge), pen(Role::Centre)));
    }
    floor.lines.extend(paint.iter().flat_map(segments).map(|l| (l, 2.0)));
    let mut numbers = Vec::new();
    for piece in pieces_on(card, &panels) {
        let Some(at) = inner(&piece.footprint) else { continue };
        let at = lie.point(at);
        let pull = piece.pull.to_string();
        let wide = |t: &str| Words::from(t).width(TAG, Weight::Bold) + 1.6;
        let (first, rest) = (wide(&pull), wide(&piece.id));
        if let Some((room, leader)) = floor.place(at, Vec2::new(0.0, 1.0), (first + rest, TAG + 1.2)) {
            if leader.is_some() {
                let dot = Some(Fill::Plain(INK));
                numbers.push(Item::Circle { centre: at, radius: DOT, stroke: None, fill: dot });
            }
            numbers.extend(leader);
            numbers.extend(tag_items(room, first, &pull, &piece.id, TAG));
        }
    }
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let layers = vec![
        layer(
            "film",
            vec![Item::filled(&edges, Fill::Plain(PAPER)), Item::rings(&edges, pen(Role::Outline))],
        ),
        layer("paint", vec![Item::filled(&paint, paint_hatch()), Item::rings(&paint, pen(Role::CutLine))]),
        layer("cuts", cuts),
        layer("register", aside),
        layer("numbers", numbers),
    ];
    Drawn { layers, panels, scale }
}

/// The pieces of film on some panels, in the order of pulling.
fn pieces_on<'a>(card: &Card<'a>, panels: &[&FilmPanel]) -> Vec<&'a Piece> {
    let named = |id: &String| card.mask.pieces.iter().find(|p| p.id == *id);
    panels.iter().flat_map(|p| &p.pieces).filter_map(named).collect()
}

/// A point well inside a shape: of some rows of points the one farthest from its edges.
fn inner(shape: &[Ring]) -> Option<Point> {
    let (lo, hi) = shape.first()?.bounds()?;
    let share = |k: u32| (f64::from(k) + 0.5) / f64::from(SOUGHT);
    let points = (0..SOUGHT).flat_map(|i| {
        (0..SOUGHT).map(move |k| Point::new(lo.x + (hi.x - lo.x) * share(i), lo.y + (hi.y - lo.y) * share(k)))
    });
    let off = |p: Point| {
        shape.iter().flat_map(Ring::edges).map(|e| point_to_edge(p, &e)).fold(f64::INFINITY, f64::min)
    };
    let within = points.filter(|p| contains(shape, *p)).map(|p| (off(p), p));
    within.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, p)| p)
}

fn map_sheet(plan: &Plan, card: &Card<'_>, film: &Film) -> Sheet {
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let field = Room { lo: Point::new(room.lo.x, room.hi.y - DRAWING), hi: room.hi };
    let drawn = drawn(card, film.panels.iter().collect(), field, ROUND, true);
    let heading = Text {
        weight: Weight::Bold,
        ..Text::new(
            Point::new(room.lo.x + 3.0, room.hi.y - 6.5),
            format!("{}, cut from film", card.text()),
            5.0,
        )
    };
    let taken: f64 = film.panels.iter().map(|p| p.taken).sum();
    let rows = [
        TitleRow::new("job", card.job_title),
        TitleRow::new("mark", card.text()),
        TitleRow::new("panels", film.panels.len().to_string()),
        TitleRow::new("film off the roll", both_words(taken)),
        TitleRow::new("strips and islands", pieces_on(card, &drawn.panels).len().to_string()),
        TitleRow::new("you stand", reach::facing(card.mark, &plan.skins)),
        TitleRow::new("scale", scale_text(drawn.scale)),
        TitleRow::new("next", "strike the lines and boxes"),
    ];
    let title = title_block(Point::new(room.hi.x, room.lo.y), "Film map", &rows);
    let notes = notes(
        card,
        film,
        Room {
            lo: Point::new(room.lo.x, room.lo.y),
            hi: Point::new(title.room.lo.x - 4.0, field.lo.y - 2.0),
        },
    );
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let mut layers = vec![layer("border", frame(size))];
    layers.extend(drawn.layers);
    layers.push(layer("notes", [vec![Item::Text(heading)], notes].concat()));
    layers.push(layer("title block", title.items));
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers,
        title: format!("{}: film map of {}", card.job_title, card.text()),
        description: format!("The film of the whole mark, {} panels.", film.panels.len()),
    }
}

fn panel_card(card: &Card<'_>, panel: &FilmPanel) -> Sheet {
    let unit = Lie::new(card.mark.centre, Point::ZERO, 1.0, card.mark.angle);
    let shape = unit.ring(&Ring::from_points(panel.outline.iter().copied()));
    let (lo, hi) = shape.bounds().unwrap_or((Point::ZERO, Point::new(1.0, 1.0)));
    let wide = CARD.0 - 2.0 * CARD_ROUND;
    let tall = ((hi.y - lo.y) * wide / (hi.x - lo.x) + 2.0 * CARD_ROUND).min(CARD.1);
    let room = Room { lo: Point::ZERO, hi: Point::new(CARD.0, tall) };
    let drawn = drawn(card, vec![panel], room, CARD_ROUND, false);
    Sheet {
        width_mm: CARD.0,
        height_mm: tall,
        layers: drawn.layers,
        title: format!("film {}", panel.id),
        description: "One panel of film with its cuts and the order of pulling.".to_owned(),
    }
}

/// The panels one by one, the work step by step, and what the lines mean.
fn notes(card: &Card<'_>, film: &Film, room: Room) -> Vec<Item> {
    let mut lines: Vec<(String, bool)> =
        vec![("Panels, in the order of pulling; laid from the last".to_owned(), true)];
    for panel in &film.panels {
        let letters: Vec<String> = panel
            .glyphs
            .iter()
            .filter_map(|g| card.mark.glyphs.get(*g).map(|glyph| format!("{} {}", g + 1, glyph.char)))
            .collect();
        lines.push((
            format!(
                "{}: {}; film {} wide, {} off the roll; {} of application tape {} wide",
                panel.id,
                letters.join(", "),
                inches(panel.film.width),
                length(panel.taken),
                if panel.carry.0 == 1 { "1 run".to_owned() } else { format!("{} runs", panel.carry.0) },
                inches(film.carrier.0.width),
            ),
            false,
        ));
    }
    lines.push(("Where to stand".to_owned(), true));
    let stands = reach::stands(card.mark).len();
    lines.push((
        if stands == 1 {
            "one place reaches all (an arm's reach of 5 ft, from memory)".to_owned()
        } else {
            format!("{stands} places, an arm's reach of 5 ft each (from memory)")
        },
        false,
    ));
    lines.push(("In this order (common practice, no source)".to_owned(), true));
    lines.extend(STEPS.iter().enumerate().map(|(k, step)| (format!("{}. {step}", k + 1), false)));
    lines.push(("What the lines mean".to_owned(), true));
    for words in [
        "wide, round the hatch: paint edge; narrow: the box, and cuts across the letters by which the waste is parted",
        "broken: relief cut, from 1/16 in off the paint outwards, or down the middle of a gap",
        "long dash and dot: the hinge; short wide tick at the rim: baseline, cap line, middle",
        "black figure: place in pulling; beside it the name of the strip",
    ] {
        lines.push((words.to_owned(), false));
    }
    in_columns(&lines, room)
}
