//! The room on the layout drawing: where the middle of a mark may be with every clearance kept, and where it is.

use super::layout::View;
use super::layout_skin::OnSheet;
use crate::fit::placed::Placed;
use crate::words::inches;
use geom::{Point, Ring, Vec2};
use sheet::tokens::{SOFT_INK, TYPE_LABEL};
use sheet::{Fill, Item, Lean, Outline, Path, Role, Text, pen};

/// Half an arm of the cross at a mark's middle, mm on paper.
const ARM: f64 = 2.2;
/// Below the line that tells the zero, mm.
const BELOW: f64 = 8.5;
/// From line to line, mm.
const LINE: f64 = 4.2;

/// The rooms, dashed and hatched level, and a cross at each mark's middle.
pub(super) fn room_lines(view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let Some(rooms) = &view.rooms else { return Vec::new() };
    let mut items = Vec::new();
    for (mark, room) in view.marks.iter().zip(rooms) {
        if !room.is_empty() {
            let rings: Vec<Ring> = room.iter().map(|r| on.ring(r)).collect();
            items.push(Item::Path(Path {
                outlines: rings.iter().map(Outline::from).collect(),
                stroke: Some(pen(Role::Hidden)),
                fill: Some(Fill::Hatch { colour: SOFT_INK, spacing: 1.6, lean: Lean::Falling }),
            }));
        }
        let middle = on.point(mark.centre);
        for arm in [Vec2::new(ARM, 0.0), Vec2::new(0.0, ARM)] {
            items.push(Item::line([middle - arm, middle + arm], pen(Role::CutLine)));
        }
    }
    items
}

/// What the dashes say, a line a mark, below what tells the zero.
pub(super) fn room_words(view: &View<'_>, corner: Point) -> Vec<Item> {
    let Some(rooms) = &view.rooms else { return Vec::new() };
    let line = |(k, (mark, room)): (usize, (&&Placed, &Vec<Ring>))| {
        let size = |(lo, hi): (Point, Point)| {
            format!("; it is {} wide and {} high over all", inches(hi.x - lo.x), inches(hi.y - lo.y))
        };
        let over_all = room.iter().filter_map(Ring::bounds).reduce(|a, b| {
            (Point::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), Point::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
        });
        let words = match over_all {
            Some(over_all) => {
                format!("dashed: where the middle (cross) of {} may be{}", mark.id, size(over_all))
            }
            None => format!("the middle of {} has no room with any width at this height", mark.id),
        };
        let at = corner + Vec2::new(3.0, -BELOW - LINE * k as f64);
        Item::Text(Text::new(at, words, TYPE_LABEL))
    };
    view.marks.iter().zip(rooms).enumerate().map(line).collect()
}
