//! The stripes on the layout drawing: their paint, their names and widths, and the stations at which they are marked.

use super::layout::View;
use super::layout_curved::read_on_drawing;
use super::layout_skin::OnSheet;
use crate::words::inches;
use geom::boolean::intersection;
use geom::point::left_of;
use geom::{Point, Ring, Vec2};
use sheet::tokens::{ACCENT, INK, TYPE_LABEL};
use sheet::{Fill, Item, Lean, Outline, Path, Role, Room, Text, pen};

/// How far a station's mark stands out beyond both edges, mm on paper.
const OUT: f64 = 1.2;
/// Half of the dark diamond where a part and the skin beside it are ticked, mm on paper.
const TICK: f64 = 1.1;
/// White between two figures of stations, mm on paper.
const BETWEEN: f64 = 2.0;

/// Where along a stripe its name may stand, in the order they are tried.
const SHARES: [f64; 9] = [0.3, 0.52, 0.74, 0.18, 0.4, 0.63, 0.86, 0.06, 0.96];
/// White between a stripe and its name, and round a name, mm on paper; chords of what a name is held against.
const ASIDE: f64 = 1.6;
const ROUND: f64 = 0.4;
const CHORD: f64 = 0.1;

/// The painted stripes: wide edges, lightly hatched, as the letters are; none in a joint.
pub(super) fn stripes(view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let paint = |rings: &Vec<Ring>| {
        let rings: Vec<Ring> = rings.iter().map(|r| on.ring(r)).collect();
        Item::Path(Path {
            outlines: rings.iter().map(Outline::from).collect(),
            stroke: Some(pen(Role::CutLine)),
            fill: Some(Fill::Hatch { colour: ACCENT, spacing: 2.4, lean: Lean::Rising }),
        })
    };
    view.stripe_paint.iter().map(paint).collect()
}

/// A short line across each stripe at every station, and each stripe's name and width.
pub(super) fn stations(view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let mut items = Vec::new();
    for stripe in &view.stripes {
        for row in &stripe.stations {
            let [a, b] =
                [row.lower, row.upper].map(|t| on.point(read_on_drawing(stripe, view.skin, [row.s, t])));
            let way = if a.distance(b) > 0.0 { (b - a).normalize() } else { Vec2::new(0.0, 1.0) };
            items.push(Item::line([a - way * OUT, b + way * OUT], pen(Role::Dimension)));
        }
        for tick in &stripe.ticks {
            let diamond = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
                .map(|(x, y)| on.point(tick.flat) + Vec2::new(x, y) * TICK);
            items.push(Item::filled([&Ring::from_points(diamond)], Fill::Plain(INK)));
        }
    }
    items.extend(names(view, on));
    items
}

/// The name and width of each stripe beside it, where they lie on no paint and on no other name if there is such a place.
fn names(view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let stripes = view.stripe_paint.iter().flatten();
    let letters = view.marks.iter().flat_map(|m| &m.glyphs).flat_map(|g| &g.rings);
    let flat = |r: &Ring| Ring::from_points(on.ring(r).flattened(CHORD));
    let mut taken: Vec<Ring> = stripes.chain(letters).map(flat).collect();
    let mut items = Vec::new();
    for stripe in &view.stripes {
        let words = format!("{}, {}", stripe.id, inches(stripe.width));
        let size = Vec2::new(Text::new(Point::ZERO, words.as_str(), TYPE_LABEL).width(), TYPE_LABEL);
        let line: Vec<Point> = stripe.middle.iter().map(|p| on.point(*p)).collect();
        let places = SHARES.iter().flat_map(|share| {
            let (at, way) = share_along(&line, *share);
            let off = left_of(way);
            // The lower side first.
            let off = if off.y > 0.0 { -off } else { off };
            [off, -off].map(|off| {
                let half = off.x.abs() * size.x / 2.0 + off.y.abs() * size.y / 2.0;
                at + off * (stripe.width / 2.0 * on.scale + half + ASIDE)
            })
        });
        let boxed = |c: Point| {
            let (w, h) = (size.x / 2.0 + ROUND, size.y / 2.0 + ROUND);
            Ring::from_points([(-w, -h), (w, -h), (w, h), (-w, h)].map(|(x, y)| c + Vec2::new(x, y)))
        };
        let covered = |c: &Point| intersection(&[boxed(*c)], &taken).iter().map(Ring::area).sum::<f64>();
        let all: Vec<(Point, f64)> = places.map(|c| (c, covered(&c))).collect();
        let least = all.iter().map(|(_, over)| *over).fold(f64::INFINITY, f64::min);
        let Some((at, _)) = all.into_iter().find(|(_, over)| *over <= least) else { continue };
        taken.push(boxed(at));
        // A line of text stands on its base.
        let mut name = Text::centred(at - Vec2::new(0.0, 0.35 * size.y), words, TYPE_LABEL);
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
            "stations; where both edges lie at each: the stripe sheet of the book",
            TYPE_LABEL,
        )));
    }
    items
}

/// The point a share of the way along a line, and the way on from there.
fn share_along(line: &[Point], share: f64) -> (Point, Vec2) {
    let whole: f64 = line.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut left = whole * share;
    for w in line.windows(2) {
        let d = w[0].distance(w[1]);
        if left <= d && d > 0.0 {
            return (w[0].lerp(w[1], left / d), (w[1] - w[0]) / d);
        }
        left -= d;
    }
    (line[line.len() - 1], Vec2::new(1.0, 0.0))
}
