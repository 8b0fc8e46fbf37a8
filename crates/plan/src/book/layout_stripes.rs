//! The stripes on the layout drawing: their paint, their names and widths, and the stations at which they are marked.

use super::layout::View;
use super::layout_curved::read_on_drawing;
use super::layout_skin::OnSheet;
use crate::stripe::Laid;
use crate::words::inches;
use geom::{Point, Ring, Vec2};
use sheet::tokens::{ACCENT, TYPE_LABEL};
use sheet::{Fill, Item, Lean, Outline, Path, Role, Room, Text, pen};

/// How far a station's mark stands out beyond both edges, mm on paper.
const OUT: f64 = 1.2;
/// White between two figures of stations, mm on paper.
const BETWEEN: f64 = 2.0;

/// The painted stripes: wide edges, lightly hatched, as the letters are.
pub(super) fn stripes(view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let paint = |stripe: &&Laid| {
        let rings: Vec<Ring> = stripe.painted.rings().iter().map(|r| on.ring(r)).collect();
        Item::Path(Path {
            outlines: rings.iter().map(Outline::from).collect(),
            stroke: Some(pen(Role::CutLine)),
            fill: Some(Fill::Hatch { colour: ACCENT, spacing: 2.4, lean: Lean::Rising }),
        })
    };
    view.stripes.iter().map(paint).collect()
}

/// A short line across each stripe at every station, and each stripe's name and width.
pub(super) fn stations(view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let mut items = Vec::new();
    for (k, stripe) in view.stripes.iter().enumerate() {
        for row in &stripe.stations {
            let [a, b] =
                [row.lower, row.upper].map(|t| on.point(read_on_drawing(stripe, view.skin, [row.s, t])));
            let way = if a.distance(b) > 0.0 { (b - a).normalize() } else { Vec2::new(0.0, 1.0) };
            items.push(Item::line([a - way * OUT, b + way * OUT], pen(Role::Dimension)));
        }
        for tick in &stripe.ticks {
            items.push(Item::circle(on.point(tick.flat), 0.9, pen(Role::Touched)));
        }
        // Names one after the other along the way, the first below, so that those of neighbours keep apart.
        let at = on.point(share_along(&stripe.middle, 0.3 + 0.22 * (k % 3) as f64));
        let up = stripe.width / 2.0 * on.scale + 2.2;
        let aside = Vec2::new(0.0, if k == 0 { -up - 2.4 } else { up });
        let words = format!("{}, {}", stripe.id, inches(stripe.width));
        let mut name = Text::centred(at + aside, words, TYPE_LABEL);
        name.clears = true;
        items.push(Item::Text(name));
    }
    items
}

/// The stations in figures along the lower edge of the skin, where no letters are measured.
pub(super) fn station_figures(view: &View<'_>, on: &OnSheet, skin_room: Room) -> Vec<Item> {
    let mut items = Vec::new();
    if !view.marks.is_empty() {
        return items;
    }
    let mut stations: Vec<(f64, f64)> = view
        .stripes
        .iter()
        .flat_map(|s| s.stations.iter().map(move |row| (s, row)))
        .map(|(s, row)| (on.point(read_on_drawing(s, view.skin, [row.s, row.lower])).x, row.s))
        .collect();
    stations.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = f64::NEG_INFINITY;
    for (x, s) in stations {
        let text = Text::centred(Point::new(x, skin_room.lo.y - 6.4), inches(s), TYPE_LABEL);
        let half = text.width() / 2.0;
        if x - half < free {
            continue;
        }
        free = x + half + BETWEEN;
        let y = skin_room.lo.y;
        items.push(Item::line([Point::new(x, y - 0.8), Point::new(x, y - 3.0)], pen(Role::Dimension)));
        items.push(Item::Text(text));
    }
    if !items.is_empty() {
        let at = Point::new(skin_room.lo.x, skin_room.lo.y - 11.5);
        items.push(Item::Text(Text::new(
            at,
            "stations; t of every edge there: the stripe sheet of the book",
            TYPE_LABEL,
        )));
    }
    items
}

/// The point a share of the way along a line.
fn share_along(line: &[Point], share: f64) -> Point {
    let whole: f64 = line.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut left = whole * share;
    for w in line.windows(2) {
        let d = w[0].distance(w[1]);
        if left <= d && d > 0.0 {
            return w[0].lerp(w[1], left / d);
        }
        left -= d;
    }
    line[line.len() - 1]
}
