//! A mark laid level for its pattern: baseline along x, tops up, its first character's lower left corner at zero.
//!
//! Only turned and moved, never scaled: the pattern lies on the skin as the mark does in flat. Mirrored only for
//! the back of a film, about the middle of the mark's length.

use crate::fit::placed::{Placed, PlacedGlyph};
use crate::fit::relation::{Asks, asks};
use crate::job::FeatureKind;
use crate::surface::{FlatFeature, Skin};
use geom::tolerance::FLATTEN_MM;
use geom::{Affine, Point, Region, Ring, Vec2};
use sheet::{Item, Role, Room, pen};

/// A mark and how flat becomes level.
pub(super) struct Level<'a> {
    pub(super) mark: &'a Placed,
    pub(super) skin: &'a Skin,
    pub(super) mirrored: bool,
    level_from_flat: Affine,
}

impl<'a> Level<'a> {
    /// `None` for a mark without characters.
    pub(super) fn new(mark: &'a Placed, skin: &'a Skin, mirrored: bool) -> Option<Level<'a>> {
        let zero = mark.glyphs.first()?.corners[0];
        let mut level_from_flat = Affine::rotate(-mark.angle) * Affine::translate(-zero.to_vec2());
        if mirrored {
            level_from_flat = Affine::translate(Vec2::new(mark.length, 0.0))
                * Affine::scale_non_uniform(-1.0, 1.0)
                * level_from_flat;
        }
        Some(Level { mark, skin, mirrored, level_from_flat })
    }

    /// Flat to level.
    pub(super) fn map(&self) -> Affine {
        self.level_from_flat
    }

    /// What shows of the further colours in a room, as lines that end at its sides.
    pub(super) fn further_in(&self, room: Room) -> Vec<Item> {
        let mut items = Vec::new();
        for ring in self.mark.further.iter().flat_map(|f| &f.rings) {
            let points = self.ring(ring).flattened(FLATTEN_MM);
            let n = points.len();
            let mut line: Vec<Point> = Vec::new();
            for i in 0..n {
                match super::tape_map_place::clip((points[i], points[(i + 1) % n]), room) {
                    Some((a, b)) => {
                        if line.last().is_none_or(|l| l.distance(a) > FLATTEN_MM) {
                            items.extend(open_line(std::mem::take(&mut line)));
                            line.push(a);
                        }
                        line.push(b);
                    }
                    None => items.extend(open_line(std::mem::take(&mut line))),
                }
            }
            items.extend(open_line(line));
        }
        items
    }

    /// A room with what the further colours reach beyond the letters on each side.
    pub(super) fn with_further(&self, room: Room) -> Room {
        let around = |rings: &mut dyn Iterator<Item = &Ring>| {
            rings.filter_map(|r| self.ring(r).bounds()).reduce(|(a, b), (lo, hi)| {
                (Point::new(a.x.min(lo.x), a.y.min(lo.y)), Point::new(b.x.max(hi.x), b.y.max(hi.y)))
            })
        };
        let letters = around(&mut self.mark.glyphs.iter().flat_map(|g| &g.rings));
        let further = around(&mut self.mark.further.iter().flat_map(|f| &f.rings));
        let (Some((lo, hi)), Some((a, b))) = (letters, further) else { return room };
        let (low, high) = (lo - a, b - hi);
        Room {
            lo: room.lo - Vec2::new(low.x.max(0.0), low.y.max(0.0)),
            hi: room.hi + Vec2::new(high.x.max(0.0), high.y.max(0.0)),
        }
    }

    pub(super) fn point(&self, p: Point) -> Point {
        self.level_from_flat * p
    }

    /// The ring, still counter-clockwise if it was.
    pub(super) fn ring(&self, ring: &Ring) -> Ring {
        let ring = ring.mapped(self.level_from_flat);
        if self.mirrored { ring.reversed() } else { ring }
    }

    /// The outlines of some characters.
    pub(super) fn rings(&self, glyphs: &[&PlacedGlyph]) -> Vec<Ring> {
        glyphs.iter().flat_map(|g| &g.rings).map(|r| self.ring(r)).collect()
    }

    /// The box of some characters: their own boxes and whatever of them reaches beyond.
    pub(super) fn room(&self, glyphs: &[&PlacedGlyph]) -> Room {
        let corners = glyphs.iter().flat_map(|g| g.corners).map(|c| self.point(c));
        let ends = self
            .rings(glyphs)
            .iter()
            .filter_map(Ring::bounds)
            .flat_map(|(lo, hi)| [lo, hi])
            .collect::<Vec<_>>();
        let mut room = Room { lo: Point::new(f64::MAX, f64::MAX), hi: Point::new(f64::MIN, f64::MIN) };
        for p in corners.chain(ends) {
            room.lo = Point::new(room.lo.x.min(p.x), room.lo.y.min(p.y));
            room.hi = Point::new(room.hi.x.max(p.x), room.hi.y.max(p.y));
        }
        room
    }

    /// Where a direction of flat (radians) points on the pattern.
    pub(super) fn direction(&self, angle: f64) -> f64 {
        let turned = angle - self.mark.angle;
        if self.mirrored { std::f64::consts::PI - turned } else { turned }
    }

    /// A feature on the pattern, moved by `by`.
    pub(super) fn region(&self, region: &Region, by: Vec2) -> Region {
        let point = |p: Point| self.point(p) + by;
        match region {
            Region::Disc { centre, radius } => Region::Disc { centre: point(*centre), radius: *radius },
            Region::Area { rings } => Region::Area {
                rings: rings.iter().map(|r| self.ring(r).mapped(Affine::translate(by))).collect(),
            },
            Region::Band { path, width } => {
                Region::Band { path: path.iter().map(|p| point(*p)).collect(), width: *width }
            }
        }
    }
}

fn open_line(line: Vec<Point>) -> Option<Item> {
    (line.len() > 1).then(|| Item::line(line, pen(Role::Outline)))
}

/// Box round a region.
pub(super) fn bounds(region: &Region) -> Option<Room> {
    let around = |points: &mut dyn Iterator<Item = Point>, by: f64| {
        points
            .map(|p| (p, p))
            .reduce(|(lo, hi), (p, _)| {
                (Point::new(lo.x.min(p.x), lo.y.min(p.y)), Point::new(hi.x.max(p.x), hi.y.max(p.y)))
            })
            .map(|(lo, hi)| Room { lo, hi }.inset(-by))
    };
    match region {
        Region::Disc { centre, radius } => around(&mut std::iter::once(*centre), *radius),
        Region::Area { rings } => around(&mut rings.iter().flat_map(|r| r.flattened(FLATTEN_MM)), 0.0),
        Region::Band { path, width } => around(&mut path.iter().copied(), width / 2.0),
    }
}

/// The lines of a feature at full size: its edge, its centre where it has one, crossed out if it may carry no
/// paint.
pub(super) fn feature_items(feature: &FlatFeature, region: &Region) -> Vec<Item> {
    let barred = asks(feature).0 == Asks::PaintClear;
    let thin = pen(Role::Outline);
    let mut items = Vec::new();
    match region {
        Region::Disc { centre, radius } => {
            items.push(Item::circle(*centre, *radius, thin));
            let arm = (radius + 4.0).min(1.15 * radius + 1.0);
            let ways = if barred {
                [Vec2::new(0.7, 0.7) * *radius, Vec2::new(0.7, -0.7) * *radius]
            } else {
                [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)]
            };
            let stroke = if barred { thin } else { pen(Role::Centre) };
            items.extend(ways.map(|way| Item::line([*centre - way, *centre + way], stroke)));
        }
        Region::Area { rings } => {
            items.push(Item::rings(rings, thin));
            if barred && let Some((lo, hi)) = rings.first().and_then(Ring::bounds) {
                items.push(Item::line([lo, hi], thin));
                items.push(Item::line([Point::new(lo.x, hi.y), Point::new(hi.x, lo.y)], thin));
            }
        }
        Region::Band { path, width } => {
            let stroke = match feature.kind {
                FeatureKind::Hinge => pen(Role::Centre),
                FeatureKind::Seam | FeatureKind::Lap | FeatureKind::Rivets => pen(Role::Hidden),
                _ => thin,
            };
            items.push(Item::line(path.iter().copied(), stroke));
            items.extend(sides(path, *width).map(|side| Item::line(side, thin)));
        }
    }
    items
}

/// Lines of a feature no name may cover.
pub(super) fn feature_edges(region: &Region) -> Vec<Vec<Point>> {
    match region {
        Region::Disc { centre, radius } => {
            let (x, y) = (Vec2::new(*radius, 0.0), Vec2::new(0.0, *radius));
            vec![
                sheet::tiles_pages::closed(&Ring::circle(*centre, *radius)),
                vec![*centre - x, *centre + x],
                vec![*centre - y, *centre + y],
            ]
        }
        Region::Area { rings } => rings.iter().map(sheet::tiles_pages::closed).collect(),
        Region::Band { path, width } => {
            let mut lines = vec![path.clone()];
            lines.extend(sides(path, *width).map(|side| side.to_vec()));
            lines
        }
    }
}

/// The two edges of every stretch of a band; none where the band is as narrow as its line.
fn sides(path: &[Point], width: f64) -> impl Iterator<Item = [Point; 2]> {
    // Narrower than three pens a band is its line.
    let wide = width > 3.0;
    path.windows(2).filter(move |w| wide && w[0].distance(w[1]) > 0.0).flat_map(move |w| {
        let off = geom::point::left_of((w[1] - w[0]).normalize()) * (width / 2.0);
        [[w[0] + off, w[1] + off], [w[0] - off, w[1] - off]]
    })
}
