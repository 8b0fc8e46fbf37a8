//! The features' numbers on the layout drawing: a small tag beside each feature, its shape telling how the
//! feature lies, and the measure where paint and feature come nearest.
//!
//! A tag stands where nothing else does: off the letters' edges, off other features and off every word that is
//! on the sheet already. Only where no such place is near does its line cross a letter; where none is left at
//! all the feature goes unnumbered, and the table says so.

use super::layout::View;
use super::layout_skin::OnSheet;
use crate::fit::placed::{FeatureFit, Relation};
use crate::words::inches;
use geom::distance::{edge_to_edge, point_to_edge};
use geom::measure::point_to_region;
use geom::tolerance::NOISE_MM;
use geom::{Edge, Point, Region, Ring, Vec2};
use sheet::symbols::tick;
use sheet::tokens::{INK, PAPER, TYPE_LABEL};
use sheet::{Fill, Item, Role, Room, Text, Weight, pen};
use std::f64::consts::TAU;

/// Radius of a tag, mm: two figures of label type.
const TAG: f64 = 2.3;
/// White kept round a tag, mm.
const WHITE: f64 = 0.5;
/// How far from the feature's rim a tag's middle is tried, mm, nearest first.
const STEPS: [f64; 9] = [3.2, 4.2, 5.5, 7.0, 9.0, 12.0, 16.0, 21.0, 28.0];
/// Directions tried at each distance.
const WAYS: usize = 24;
/// Clearances nearer to the least than this, mm, are active too: what is proved is proved to 0.05 mm.
const ACTIVE_MM: f64 = 0.05;

/// Tags and readings as drawn.
pub(super) struct Numbers {
    /// The items.
    pub(super) items: Vec<Item>,
    /// For each feature whether it got its number.
    pub(super) numbered: Vec<bool>,
}

/// What stands on the sheet already, and where tags may stand.
struct Board {
    room: Room,
    letters: Vec<Edge>,
    features: Vec<Region>,
    words: Vec<Ring>,
    tags: Vec<(Point, f64)>,
    lines: Vec<Edge>,
}

/// A tag a feature, and a measure at every active contact. `words` are on the sheet already.
pub(super) fn numbers(view: &View<'_>, on: &OnSheet, room: Room, words: &[Text]) -> Numbers {
    let features: Vec<Region> = view.skin.features.iter().map(|f| on.region(&f.region)).collect();
    let stripes = view.stripes.iter().flat_map(|s| s.painted.rings());
    let rings = view.marks.iter().flat_map(|m| m.rings()).chain(stripes);
    let mut board = Board {
        room,
        letters: rings.flat_map(|r| on.ring(&r).edges().collect::<Vec<_>>()).collect(),
        features,
        words: words.iter().map(|t| Ring::from_points(t.corners())).collect(),
        tags: Vec::new(),
        lines: Vec::new(),
    };
    let mut items = contacts(view, on, &mut board);
    let mut numbered = Vec::new();
    for (k, feature) in view.skin.features.iter().enumerate() {
        let fit = super::layout_notes::worst(view, &feature.id);
        let placed = (0..2).find_map(|strict| board.place(&board.features[k], k, TAG, strict == 0));
        numbered.push(placed.is_some());
        let Some((foot, at)) = placed else { continue };
        board.take(foot, at, TAG);
        items.extend(tag(foot, at, k + 1, fit.map(|f| f.relation)));
    }
    Numbers { items, numbered }
}

impl Board {
    /// A place for a disc of radius `tag` beside a region, and the foot of its line on the region's rim. If
    /// `strict`, its line crosses no letter.
    fn place(&self, region: &Region, own: usize, tag: f64, strict: bool) -> Option<(Point, Point)> {
        let (anchors, out) = anchors(region);
        STEPS.iter().find_map(|step| {
            anchors.iter().find_map(|anchor| {
                (0..WAYS).find_map(|w| {
                    let way = Vec2::from_angle(TAU * (w as f64 / WAYS as f64) + TAU / 8.0);
                    let (foot, at) = (*anchor + way * out, *anchor + way * (out + step + tag - TAG));
                    self.is_free(foot, at, own, tag, strict).then_some((foot, at))
                })
            })
        })
    }

    fn is_free(&self, foot: Point, at: Point, own: usize, tag: f64, strict: bool) -> bool {
        let room = self.room.inset(tag + WHITE);
        let inside = room.lo.x <= at.x && at.x <= room.hi.x && room.lo.y <= at.y && at.y <= room.hi.y;
        let off = |e: &Edge| point_to_edge(at, e) > tag + WHITE;
        let line = Edge::Line { a: foot, b: at };
        let apart = |e: &Edge| !strict || edge_to_edge(&line, e) > NOISE_MM;
        inside
            && self.letters.iter().all(|e| off(e) && apart(e))
            && self.features.iter().enumerate().all(|(k, f)| {
                // A long thin line may be stood on; everything else would be hidden.
                let slim = matches!(f, Region::Band { .. });
                (k == own && slim) || point_to_region(at, f) > tag + if slim { 0.0 } else { WHITE }
            })
            && self.words.iter().all(|w| {
                w.edges().all(|e| off(&e) && edge_to_edge(&line, &e) > NOISE_MM)
                    && !geom::winding::contains(std::slice::from_ref(w), at)
            })
            && self.tags.iter().all(|(other, r)| {
                other.distance(at) > tag + r + WHITE && point_to_edge(*other, &line) > r + WHITE / 2.0
            })
            && self.lines.iter().all(|e| off(e) && edge_to_edge(&line, e) > NOISE_MM)
    }

    fn take(&mut self, foot: Point, at: Point, tag: f64) {
        self.tags.push((at, tag));
        self.lines.push(Edge::Line { a: foot, b: at });
    }
}

/// Points of a region that a line may start from, and how far its rim is from them.
fn anchors(region: &Region) -> (Vec<Point>, f64) {
    match region {
        Region::Disc { centre, radius } => (vec![*centre], *radius),
        Region::Area { rings } => {
            let corners: Vec<Point> =
                rings.iter().flat_map(Ring::edges).flat_map(|e| [e.at(0.5), e.start()]).collect();
            (corners, 0.0)
        }
        Region::Band { path, .. } => {
            let pieces: Vec<(Point, Point)> = path.windows(2).map(|w| (w[0], w[1])).collect();
            let some = [0.04, 0.96, 0.15, 0.85, 0.3, 0.7, 0.5];
            (some.iter().flat_map(|f| pieces.iter().map(|(a, b)| a.lerp(*b, *f))).collect(), 0.0)
        }
    }
}

/// A number in its tag. The tag's shape says how the feature lies, so that it is read without colour: one ring
/// is clear, two rings in a counter, dark inside paint, a square crossed, a square cut in two split.
fn tag(foot: Point, at: Point, number: usize, relation: Option<Relation>) -> Vec<Item> {
    let stroke = pen(Role::Leader);
    let mut items = Vec::new();
    if foot.distance(at) > TAG {
        let way = (at - foot).normalize();
        items.push(Item::line([foot, at - way * TAG], stroke));
    }
    items.extend(sign(at, relation));
    let mut text = Text::centred(at, number.to_string(), TYPE_LABEL);
    if relation == Some(Relation::InsidePaint) {
        text.colour = PAPER;
        text.weight = Weight::Bold;
    }
    items.push(Item::Text(text));
    items
}

/// The shape of a tag.
pub(super) fn sign(at: Point, relation: Option<Relation>) -> Vec<Item> {
    let stroke = pen(Role::Leader);
    let disc = |radius: f64, colour| Item::Circle {
        centre: at,
        radius,
        stroke: Some(stroke),
        fill: Some(Fill::Plain(colour)),
    };
    let square = || {
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| at + Vec2::new(x, y) * (TAG * 0.92));
        Ring::from_points(corners)
    };
    let filled = |ring: &Ring| [Item::filled([ring], Fill::Plain(PAPER)), Item::rings([ring], stroke)];
    match relation {
        Some(Relation::InsidePaint) => vec![disc(TAG, INK)],
        Some(Relation::InsideCounter) => {
            vec![disc(TAG, PAPER), Item::circle(at, TAG - 0.6, pen(Role::Hatch))]
        }
        Some(Relation::Crossed) => filled(&square()).to_vec(),
        Some(Relation::Split) => {
            let mut items = filled(&square()).to_vec();
            let half = Vec2::new(0.0, TAG * 0.92);
            let far = Vec2::new(0.0, TAG * 1.7);
            items.push(Item::line([at + half, at + far], stroke));
            items.push(Item::line([at - half, at - far], stroke));
            items
        }
        Some(Relation::Clear) | None => vec![disc(TAG, PAPER)],
    }
}

/// Where paint and features come nearest: from foot to foot, with the distance.
fn contacts(view: &View<'_>, on: &OnSheet, board: &mut Board) -> Vec<Item> {
    let mut items = Vec::new();
    for mark in &view.marks {
        let Some(least) = mark.fit.clearance else { continue };
        let active = |f: &&FeatureFit| f.wall && f.clearance <= least + ACTIVE_MM;
        for fit in mark.fit.features.iter().filter(active) {
            let Some(feet) = fit.touch else { continue };
            let [p, q] = feet.map(|p| on.point(p));
            let inside = fit.relation == Relation::Crossed;
            // Over the skin, as its table says: on a body the drawing is not to scale.
            let asked = view.skin.features.iter().find(|f| f.id == fit.id).map_or(0.0, |f| f.clearance);
            let apart = fit.clearance + asked;
            let apart = if apart > 0.0 { apart } else { feet[0].distance(feet[1]) };
            let words = if inside { "crossed".to_owned() } else { inches(apart) };
            let along = if p.distance(q) > NOISE_MM { (q - p).normalize() } else { Vec2::new(0.0, 1.0) };
            items.push(Item::line([p, q], pen(Role::Dimension)));
            items.extend([tick(p, along), tick(q, along)]);
            let middle = p.midpoint(q);
            let text = Text::centred(middle, words, TYPE_LABEL);
            let reach = text.width() / 2.0 + WHITE;
            let spot = Region::Disc { centre: middle, radius: 1.0 };
            let none = board.features.len();
            let Some((_, at)) = (0..2).find_map(|s| board.place(&spot, none, reach, s == 0)) else {
                continue;
            };
            board.take(middle, at, reach);
            let way = (at - middle).normalize();
            items.push(Item::line([middle, at - way * reach], pen(Role::Leader)));
            items.push(Item::Text(Text { at: text.at + (at - middle), clears: true, ..text }));
        }
    }
    items
}

impl OnSheet {
    /// A region on paper.
    pub(super) fn region(&self, region: &Region) -> Region {
        match region {
            Region::Disc { centre, radius } => {
                Region::Disc { centre: self.point(*centre), radius: radius * self.scale }
            }
            Region::Area { rings } => Region::Area { rings: rings.iter().map(|r| self.ring(r)).collect() },
            Region::Band { path, width } => Region::Band {
                path: path.iter().map(|p| self.point(*p)).collect(),
                width: width * self.scale,
            },
        }
    }
}
