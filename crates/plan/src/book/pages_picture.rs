//! The picture on the wing sheet: the skin as it is seen from where the painter stands, the datum, the marks
//! with their box lines from one zero, the features by number and the two points swing distances are struck from.

use super::layout::View;
use super::layout_measure::chains;
use super::layout_skin::{OnSheet, marks, skin_lines};
use super::layout_stripes::stripes;
use super::pages::listed;
use super::pages::middle;
use super::pages_mark::swing_points;
use crate::Plan;
use crate::fit::placed::Placed;
use geom::{Point, Vec2};
use sheet::balloons::{Numbered, balloons};
use sheet::tokens::TYPE_BODY;
use sheet::{Item, Layer, Role, Room, Sheet, Text, Weight, pen};

/// Room for the skin itself, mm. The page shows the drawing larger by about a sixth, so that no figure on it is
/// under 7 points; this is what then fits on the wing sheet beside the list of features and above the tables.
const SKIN: (f64, f64) = (150.0, 62.0);
/// Room round the skin for balloons (above), readings (below, left) and words (right), mm.
const ABOVE: f64 = 19.0;
const BELOW: f64 = 41.0;
const LEFT: f64 = 44.0;
const RIGHT: f64 = 36.0;
/// Room round the skin on the cover, mm.
const COVER_RIM: f64 = 2.0;

/// The skin drawn as large as `SKIN` allows, its lower left corner at `corner`.
fn laid(view: &View<'_>, corner: Point) -> (OnSheet, Room) {
    let (lo, hi) = view.skin.outline.bounds().unwrap_or_default();
    let size = hi - lo;
    // A skin without extent is drawn at full size rather than divided by nothing.
    let scale = [SKIN.0 / size.x, SKIN.1 / size.y].into_iter().fold(f64::INFINITY, f64::min);
    let scale = if scale.is_finite() { scale } else { 1.0 };
    let on = OnSheet::centred(lo.midpoint(hi), corner + size * (scale / 2.0), scale);
    let room = Room { lo: on.point(lo), hi: on.point(hi) };
    (on, room)
}

/// The picture of one surface.
pub fn picture(plan: &Plan, view: &View<'_>) -> Sheet {
    // Readings that stand close are led apart and reach lower, others leave room: drawn once to see how low.
    let low = lowest(&drawn(plan, view, BELOW).layers);
    drawn(plan, view, if low.is_finite() { BELOW + COVER_RIM - low } else { BELOW })
}

fn drawn(plan: &Plan, view: &View<'_>, below: f64) -> Sheet {
    let (on, skin_room) = laid(view, Point::new(LEFT, below));
    let size = (skin_room.hi.x + RIGHT, skin_room.hi.y + ABOVE);
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            layer("skin", skin_lines(view, &on, skin_room)),
            layer("marks", marks(view, &on)),
            layer("stripes", stripes(view, &on)),
            layer("measures", chains(view, &on, skin_room)),
            layer("numbers", numbers(view, &on, skin_room)),
            layer("swing points", swing_marks(plan, view, &on)),
        ],
        title: format!("{}: {}", view.job_title, view.surface_words),
        description: format!("Where {} is measured from, seen facing the skin.", view.surface_words),
    }
}

/// The lowest word of a drawing.
fn lowest(layers: &[Layer]) -> f64 {
    let words = layers.iter().flat_map(|l| &l.items).filter_map(|item| match item {
        Item::Text(text) => Some(text.corners()),
        Item::Path(_) | Item::Circle { .. } => None,
    });
    words.flatten().map(|p| p.y).fold(f64::INFINITY, f64::min)
}

/// A balloon for each feature of the list beside the picture, along the upper edge.
fn numbers(view: &View<'_>, on: &OnSheet, skin_room: Room) -> Vec<Item> {
    let marks: Vec<&Placed> =
        view.marks.iter().copied().chain(view.stripes.iter().map(|s| &s.painted)).collect();
    let places: Vec<Numbered> = listed(view.skin, &marks)
        .into_iter()
        .map(|k| Numbered {
            place: on.point(middle(&view.skin.features[k].region)),
            words: (k + 1).to_string().into(),
        })
        .collect();
    if places.is_empty() {
        return vec![];
    }
    let rail = skin_room.hi.y + 12.0;
    let (left, right) = (skin_room.lo.x.min(LEFT), skin_room.hi.x.max(LEFT + SKIN.0));
    balloons(&places, Point::new(left, rail), Point::new(right, rail)).items
}

/// The same without a word on it, for the cover, where it is shown small.
pub fn cover(view: &View<'_>) -> Sheet {
    let (on, skin_room) = laid(view, Point::new(COVER_RIM, COVER_RIM));
    let no_words = |mut items: Vec<Item>| {
        items.retain(|item| !matches!(item, Item::Text(_)));
        items
    };
    let lines = no_words(skin_lines(view, &on, skin_room));
    Sheet {
        width_mm: skin_room.hi.x + COVER_RIM,
        height_mm: skin_room.hi.y + COVER_RIM,
        layers: vec![
            Layer { name: "skin".to_owned(), items: lines },
            Layer { name: "marks".to_owned(), items: marks(view, &on) },
            Layer { name: "stripes".to_owned(), items: stripes(view, &on) },
        ],
        title: format!("{}: {}", view.job_title, view.surface_words),
        description: format!("{} with its marks, seen facing the skin.", view.surface_words),
    }
}

/// A and B of each mark, each a small cross with its letter.
fn swing_marks(plan: &Plan, view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let mut items = Vec::new();
    for mark in &view.marks {
        let Some(points) = swing_points(plan, mark) else { continue };
        for (p, name) in points.at.iter().zip(["A", "B"]) {
            let c = on.point(*p);
            for arm in [Vec2::new(1.6, 1.6), Vec2::new(1.6, -1.6)] {
                items.push(Item::line([c - arm, c + arm], pen(Role::Touched)));
            }
            let mut text = Text::centred(c + Vec2::new(0.0, 4.2), name, TYPE_BODY);
            text.weight = Weight::Bold;
            text.clears = true;
            items.push(Item::Text(text));
        }
    }
    items
}
