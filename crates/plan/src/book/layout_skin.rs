//! The skin on the layout drawing: its edge, ribs, parts, features and the marks painted on it.

use super::layout::View;
use crate::fit::placed::Placed;
use crate::fit::relation::{Asks, asks};
use crate::job::FeatureKind;
use crate::surface::{FlatFeature, Skin, SkinShape};
use geom::measure::point_of;
use geom::{Affine, Point, Point3, Region, Ring, Vec2};
use sheet::symbols::direction_arrow;
use sheet::tokens::{ACCENT, INK, SOFT_INK, TYPE_BODY, TYPE_LABEL};
use sheet::{Fill, Item, Lean, Outline, Path, Role, Room, Text, pen};
use std::f64::consts::FRAC_PI_2;

/// Least size on paper, mm, at which a small round feature is still seen.
const SEEN: f64 = 0.8;

/// Arm of a small cross on what may carry no paint, mm on paper.
const CROSS: f64 = 1.6;

/// Share of the box round an area from which on its diagonals are the area's too.
const FILLS_ITS_BOX: f64 = 0.9;

/// Least stroke of a letter, mm on paper, whose two edges are drawn: twice the pen they are drawn with.
const SMALLEST_STROKE: f64 = 1.4;

/// Flat to sheet: evenly scaled, moved.
pub(super) struct OnSheet {
    map: Affine,
    /// Millimetres on paper for one on the skin.
    pub(super) scale: f64,
}

impl OnSheet {
    pub(super) fn centred(flat: Point, sheet: Point, scale: f64) -> OnSheet {
        let map =
            Affine::translate(sheet.to_vec2()) * Affine::scale(scale) * Affine::translate(-flat.to_vec2());
        OnSheet { map, scale }
    }

    pub(super) fn point(&self, p: Point) -> Point {
        self.map * p
    }

    pub(super) fn ring(&self, r: &Ring) -> Ring {
        r.mapped(self.map)
    }

    fn line(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|p| self.point(*p)).collect()
    }
}

/// Edge of the skin, ribs, parts, features, the datum and which way is which.
pub(super) fn skin_lines(view: &View<'_>, on: &OnSheet, skin_room: Room) -> Vec<Item> {
    let skin = view.skin;
    let mut items = Vec::new();
    for part in &skin.parts {
        let outline = on.ring(&part.outline);
        items.push(Item::Path(Path {
            outlines: vec![Outline::from(&outline)],
            stroke: Some(pen(Role::Outline)),
            fill: Some(Fill::Hatch { colour: SOFT_INK, spacing: 6.0, lean: Lean::Falling }),
        }));
        if part.hinge.len() >= 2 {
            items.push(Item::line(on.line(&part.hinge), pen(Role::Centre)));
        }
        if let Some((lo, hi)) = outline.bounds() {
            let mut name =
                Text::centred(Point::new(lo.lerp(hi, 0.32).x, hi.y - 3.0), part.id.as_str(), TYPE_LABEL);
            name.clears = true;
            items.push(Item::Text(name));
        }
    }
    for rib in &skin.ribs {
        items.push(Item::line(on.line(&rib.line), pen(Role::Hidden)));
    }
    items.push(Item::rings([&on.ring(&skin.outline)], pen(Role::Outline)));
    for feature in &skin.features {
        items.extend(feature_lines(feature, on));
    }
    items.extend(directions(view, on, skin_room));
    items
}

fn feature_lines(feature: &FlatFeature, on: &OnSheet) -> Vec<Item> {
    let stroke = match feature.kind {
        FeatureKind::Hinge => pen(Role::Centre),
        FeatureKind::Seam | FeatureKind::Lap | FeatureKind::Rivets => pen(Role::Hidden),
        _ => pen(Role::Outline),
    };
    // What may carry no paint at all is crossed out, so that it is told apart without colour.
    let barred = asks(feature).0 == Asks::PaintClear;
    match &feature.region {
        Region::Disc { centre, radius } => {
            let (c, r) = (on.point(*centre), (radius * on.scale).max(SEEN));
            let mut items = vec![Item::circle(c, r, stroke)];
            if barred {
                let arm = r.max(CROSS);
                for way in [Vec2::new(arm, arm), Vec2::new(arm, -arm)] {
                    items.push(Item::line([c - way, c + way], pen(Role::Outline)));
                }
            }
            items
        }
        Region::Area { rings } => {
            let rings: Vec<Ring> = rings.iter().map(|r| on.ring(r)).collect();
            let mut items = vec![Item::rings(&rings, stroke)];
            if barred && let Some((mut lo, mut hi)) = rings.first().and_then(Ring::bounds) {
                // The diagonals of a bent or slanting one would run out of it: a small cross within.
                if rings[0].area().abs() < FILLS_ITS_BOX * (hi.x - lo.x) * (hi.y - lo.y) {
                    let (c, arm) = (point_of(&Region::Area { rings }), Vec2::new(CROSS, CROSS));
                    (lo, hi) = (c - arm, c + arm);
                }
                items.push(Item::line([lo, hi], pen(Role::Outline)));
                items.push(Item::line([Point::new(lo.x, hi.y), Point::new(hi.x, lo.y)], pen(Role::Outline)));
            }
            items
        }
        Region::Band { path, .. } => vec![Item::line(on.line(path), stroke)],
    }
}

/// The painted letters: wide edges, lightly hatched. Further colours: narrow edges, hatched closely, an outline the
/// other way and a shadow as the letters.
pub(super) fn marks(view: &View<'_>, on: &OnSheet) -> Vec<Item> {
    let mut items = Vec::new();
    for mark in &view.marks {
        for further in &mark.further {
            let rings: Vec<Ring> = further.rings.iter().map(|r| on.ring(r)).collect();
            let lean = if further.shadow { Lean::Rising } else { Lean::Falling };
            items.push(Item::Path(Path {
                outlines: rings.iter().map(Outline::from).collect(),
                stroke: Some(pen(Role::Outline)),
                fill: Some(Fill::Hatch { colour: SOFT_INK, spacing: 1.0, lean }),
            }));
        }
        // Letters so small that their two edges would run together are filled.
        let small = mark.stroke * on.scale < SMALLEST_STROKE;
        let (stroke, fill) = if small {
            (None, Fill::Plain(INK))
        } else {
            (Some(pen(Role::CutLine)), Fill::Hatch { colour: ACCENT, spacing: 2.4, lean: Lean::Rising })
        };
        for glyph in &mark.glyphs {
            let rings: Vec<Ring> = glyph.rings.iter().map(|r| on.ring(r)).collect();
            let outlines = rings.iter().map(Outline::from).collect();
            items.push(Item::Path(Path { outlines, stroke, fill: Some(fill) }));
        }
    }
    items
}

/// Which way is forward, which end is the root, where to stand.
fn directions(view: &View<'_>, on: &OnSheet, skin_room: Room) -> Vec<Item> {
    let mut items = Vec::new();
    let right = skin_room.hi.x + 9.0;
    let label = |at: Point, words: &str| {
        let mut text = Text::centred(at, words, TYPE_LABEL);
        text.clears = true;
        Item::Text(text)
    };
    match &view.skin.shape {
        SkinShape::Wing(_) => {
            items.extend(direction_arrow(
                Point::new(right, skin_room.centre().y - 12.0),
                FRAC_PI_2,
                24.0,
                TYPE_BODY,
                "leading edge",
            ));
            let outboard = view.skin.flat_from_skin([1.0, 0.0]).x - view.skin.flat_from_skin([0.0, 0.0]).x;
            let (root, tip) = if outboard > 0.0 {
                (skin_room.lo.x, skin_room.hi.x)
            } else {
                (skin_room.hi.x, skin_room.lo.x)
            };
            items.push(label(Point::new(root, skin_room.hi.y + 4.0), "root rib"));
            items.push(label(Point::new(tip, skin_room.hi.y + 4.0), "tip"));
            // Behind the edge from which the letters read upright.
            let turned = view.marks.iter().any(|m| m.angle.cos() < 0.0);
            let edge = if turned { skin_room.hi.y + 4.0 } else { skin_room.lo.y - 4.0 };
            items.extend(stand_here(Point::new(skin_room.hi.x + 15.0, edge)));
        }
        _ => {
            if matches!(view.skin.shape, SkinShape::Body(_)) {
                let aft = view.skin.flat_from_skin([1.0, 0.0]).x > 0.0;
                let ends = if aft { ["forward", "aft"] } else { ["aft", "forward"] };
                for (x, words) in [skin_room.lo.x, skin_room.hi.x].into_iter().zip(ends) {
                    items.push(label(Point::new(x, skin_room.hi.y + 4.0), words));
                }
            }
            items.extend(direction_arrow(
                Point::new(right, skin_room.centre().y - 8.0),
                FRAC_PI_2,
                16.0,
                TYPE_BODY,
                "up",
            ));
            // Below what stations are told of along the edge.
            let below = if view.marks.is_empty() && !view.stripes.is_empty() { 11.5 } else { 4.0 };
            items.extend(stand_here(Point::new(skin_room.hi.x + 15.0, skin_room.lo.y - below)));
        }
    }
    // Where the middle of a mark was wanted, if it came to lie elsewhere.
    for mark in &view.marks {
        if !aside(mark, on) {
            continue;
        }
        let (at, aim) = (on.point(mark.centre), on.point(mark.fit.aim));
        for arm in [Vec2::new(1.6, 0.0), Vec2::new(0.0, 1.6)] {
            items.push(Item::line([aim - arm, aim + arm], pen(Role::Touched)));
        }
        items.push(Item::circle(at, 0.7, pen(Role::Touched)));
        items.push(Item::line([aim, at], pen(Role::Centre)));
    }
    if let Some(zero) = zero(view.skin) {
        let zero = on.point(zero);
        items.push(Item::circle(zero, 1.8, pen(Role::Touched)));
        items.push(Item::circle(zero, 0.5, pen(Role::Touched)));
    }
    items
}

/// Where all measures start, flat: a scan has such a place only where axes are stated for it, at their datum.
fn zero(skin: &Skin) -> Option<Point> {
    match &skin.shape {
        SkinShape::Scan(scan) => Some(scan.flat(scan.axes()?.place(Point3::ZERO))),
        _ => Some(Point::ZERO),
    }
}

/// True if a mark came to lie elsewhere than its middle was wanted, so far that it is seen on the drawing.
pub(super) fn aside(mark: &Placed, on: &OnSheet) -> bool {
    on.point(mark.centre).distance(on.point(mark.fit.aim)) >= SEEN
}

/// Where the painter stands, in words, with a figure over them: head and shoulders.
fn stand_here(at: Point) -> Vec<Item> {
    let mut text = Text::centred(at, "you stand here", TYPE_LABEL);
    text.clears = true;
    let foot = at + Vec2::new(0.0, TYPE_LABEL + 0.9);
    let shoulders = [(-2.0, 0.0), (-1.7, 1.3), (-0.9, 1.8), (0.9, 1.8), (1.7, 1.3), (2.0, 0.0)]
        .map(|(x, y)| foot + Vec2::new(x, y));
    vec![
        Item::Text(text),
        Item::rings([&Ring::from_points(shoulders)], pen(Role::Outline)),
        Item::circle(foot + Vec2::new(0.0, 3.2), 1.1, pen(Role::Outline)),
    ]
}
