//! The layout drawing of one surface: what the refinisher measures from, on one A3 sheet.
//!
//! The skin to scale as it is seen, every character's box from one zero along each of the two datum lines,
//! every feature with its number, and in words how the mark lies to it. It shows a plan; it decides nothing.

use super::layout_features::feature_table;
use super::layout_measure::{chains, corner_lines, zero_words};
use super::layout_notes::{cautions, title};
use super::layout_numbers::numbers;
use super::layout_room::{room_lines, room_words};
use super::layout_skin::{OnSheet, marks, skin_lines};
use super::layout_stripes::{station_figures, stations, stripes};
use crate::finding::Finding;
use crate::fit::placed::Placed;
use crate::stripe::Laid;
use crate::surface::Skin;
use geom::{Point, Ring};
use sheet::frame::{Paper, Way, fit_scale, frame, inside};
use sheet::scale_bar::{scale_bar, scale_bar_size};
use sheet::{Item, Layer, Room, Sheet, Text};

/// Height of the strip for notes, table and title block, mm.
const STRIP: f64 = 92.0;
/// Room round the skin for balloons (above), readings (below, left) and words (right), mm.
const ABOVE: f64 = 22.0;
const BELOW: f64 = 52.0;
const LEFT: f64 = 48.0;
const RIGHT: f64 = 30.0;
/// Width of the column of cautions, mm.
const CAUTIONS: f64 = 104.0;

/// What a layout drawing shows.
pub struct View<'a> {
    /// Title of the job.
    pub job_title: &'a str,
    /// The surface.
    pub skin: &'a Skin,
    /// The surface in words, such as `right wing, upper face`.
    pub surface_words: String,
    /// The marks on it.
    pub marks: Vec<&'a Placed>,
    /// The stripes on it.
    pub stripes: Vec<&'a Laid>,
    /// Their outlines, those of one paint that meet as one.
    pub stripe_paint: Vec<Vec<Ring>>,
    /// What is said about the surface and its marks, the worst first.
    pub findings: Vec<&'a Finding>,
    /// Where the middle of each mark may be, flat, if that is to be shown.
    pub rooms: Option<Vec<Vec<Ring>>>,
}

/// The drawing.
pub fn layout(view: &View<'_>) -> Sheet {
    let size = Paper::A3.size(Way::Landscape);
    let room = inside(size);
    let strip = Room { lo: room.lo, hi: Point::new(room.hi.x, room.lo.y + STRIP) };
    let drawing = Room {
        lo: Point::new(room.lo.x + LEFT, strip.hi.y + BELOW),
        hi: Point::new(room.hi.x - RIGHT, room.hi.y - ABOVE),
    };
    let (lo, hi) = view.skin.outline.bounds().unwrap_or_default();
    let scale = fit_scale((hi.x - lo.x, hi.y - lo.y), (drawing.width(), drawing.height()));
    let on = OnSheet::centred(lo.midpoint(hi), drawing.centre(), scale);
    let skin_room = Room { lo: on.point(lo), hi: on.point(hi) };

    let table = title(view, scale, Point::new(room.hi.x, room.lo.y));
    let bar = scale_bar_size(scale);
    let bar_at = Point::new(room.hi.x - bar.0 - 2.0, table.room.hi.y + 5.0);
    let left = Room { lo: strip.lo, hi: Point::new(strip.lo.x + CAUTIONS, strip.hi.y) };
    let middle = Room {
        lo: Point::new(left.hi.x + 4.0, strip.lo.y),
        hi: Point::new(table.room.lo.x.min(bar_at.x) - 4.0, strip.hi.y),
    };
    let skin_items = skin_lines(view, &on, skin_room);
    let measures = chains(view, &on, skin_room);
    let (stations, figures) = (stations(view, &on), station_figures(view, &on, skin_room));
    let zero = zero_words(view, &on, Point::new(room.lo.x, room.hi.y));
    let room_items = room_lines(view, &on);
    let told = room_words(view, Point::new(room.lo.x, room.hi.y));
    let words: Vec<Text> = skin_items
        .iter()
        .chain(&measures)
        .chain(&stations)
        .chain(&figures)
        .chain(&zero)
        .chain(&told)
        .filter_map(text_of)
        .collect();
    let tags = Room { lo: Point::new(room.lo.x, strip.hi.y), hi: room.hi };
    let numbered = numbers(view, &on, tags, &words);
    let mut notes = cautions(view, &corner_lines(view, &on), left);
    notes.extend(zero);
    notes.extend(told);
    notes.extend(feature_table(view, &numbered.numbered, middle));

    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            layer("border", frame(size)),
            layer("skin", skin_items),
            layer("room", room_items),
            layer("marks", marks(view, &on)),
            layer("stripes", stripes(view, &on)),
            layer("stations", [stations, figures].concat()),
            layer("measures", measures),
            layer("numbers", numbered.items),
            layer("notes", notes),
            layer("scale", scale_bar(bar_at, scale)),
            layer("title block", table.items),
        ],
        title: format!("{}: {}", view.job_title, view.surface_words),
        description: format!(
            "Layout of {} on {}, seen facing the skin, with ordinates of every character from one zero.",
            view.marks
                .iter()
                .map(|m| m.words())
                .chain(view.stripes.iter().map(|s| format!("stripe {}", s.id)))
                .collect::<Vec<_>>()
                .join(", "),
            view.surface_words
        ),
    }
}

fn text_of(item: &Item) -> Option<Text> {
    if let Item::Text(text) = item { Some(text.clone()) } else { None }
}
