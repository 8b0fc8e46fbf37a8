//! The picture on the wing sheet: the skin as it is seen from where the painter stands, the datum, the marks
//! with their box lines from one zero, the features by number and the two points swing distances are struck from.

use super::layout::View;
use super::layout_measure::chains;
use super::layout_skin::{OnSheet, marks, numbers, skin_lines};
use super::pages_mark::swing_points;
use crate::Plan;
use geom::{Point, Vec2};
use sheet::frame::fit_scale;
use sheet::tokens::TYPE_BODY;
use sheet::{Item, Layer, Role, Room, Sheet, Text, Weight, pen};

/// Size of the drawing, mm. The page shows it larger by about a sixth, so that no figure on it is under 7 points.
const SIZE: (f64, f64) = (330.0, 132.0);
/// Room round the skin for balloons (above), readings (below, left) and words (right), mm.
const ABOVE: f64 = 20.0;
const BELOW: f64 = 38.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 34.0;

/// The picture of one surface.
pub fn picture(plan: &Plan, view: &View<'_>) -> Sheet {
    let room = Room { lo: Point::ZERO, hi: Point::new(SIZE.0, SIZE.1) };
    let drawing = Room {
        lo: Point::new(LEFT, BELOW),
        hi: Point::new(SIZE.0 - RIGHT, SIZE.1 - ABOVE),
    };
    let (lo, hi) = view.skin.outline.bounds().unwrap_or_default();
    let scale = fit_scale((hi.x - lo.x, hi.y - lo.y), (drawing.width(), drawing.height()));
    let on = OnSheet::centred(lo.midpoint(hi), drawing.centre(), scale);
    let skin_room = Room { lo: on.point(lo), hi: on.point(hi) };
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    Sheet {
        width_mm: SIZE.0,
        height_mm: SIZE.1,
        layers: vec![
            layer("skin", skin_lines(view, &on, skin_room)),
            layer("marks", marks(view, &on)),
            layer("measures", chains(view, &on, skin_room)),
            layer("numbers", numbers(view, &on, skin_room, room).items),
            layer("swing points", swing_marks(plan, view, &on)),
        ],
        title: format!("{}: {}", view.job_title, view.surface_words),
        description: format!("Where {} is measured from, seen facing the skin.", view.surface_words),
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
