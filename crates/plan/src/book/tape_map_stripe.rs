//! The tape map of a stripe: where something begins, ends or turns is shown large, what only runs on between is broken
//! out, as on a drawing of a long shaft. Each stretch is drawn as it lies, turned so that the stripe runs level.

use super::tape_map::Card;
use super::tape_map_draw::{Map, Shows, Window};
use super::tape_map_pieces::{Lie, Shown, segments};
use super::tape_map_place::{Floor, clip};
use super::tape_map_sheet::{BELOW, Field, Told, drawing_scale, own_rows, sheets, tape_of};
use crate::mask::{Kind, Piece};
use crate::stripe::Laid;
use crate::stripe::way::Chords;
use crate::surface::Skin;
use geom::point::left_of;
use geom::tolerance::KEPT_MM;
use geom::{Point, Ring, Vec2};
use sheet::frame::scale_text;
use sheet::title_block::{Row as TitleRow, Table, title_block};
use sheet::tokens::PAPER;
use sheet::units::{both_words, mm_words, tape_measure};
use sheet::{Anchor, Fill, Item, Role, Room, Sheet, Text, Weight, Words, pen};

/// What is shown of a piece inward of its end and beyond it, of the height of the whole mask, and at least so much, mm.
const INWARD: (f64, f64) = (0.7, 40.0);
const BEYOND: (f64, f64) = (0.1, 8.0);
/// Room on paper for a break and its words, mm.
const BREAK: f64 = 23.0;
/// Room above and below a row for numbers, mm.
const ROUND: f64 = 15.0;
/// The same on a card of the book.
const CARD_ROUND: f64 = 11.0;
/// Room left and right of a row, mm.
const SIDES: f64 = 12.0;
/// Size of readings at breaks and stations, mm: their set fractions stay readable; and of the millimetres under them.
const WORDS: f64 = 3.6;
const UNDER: f64 = 2.6;
/// Half the width and the height of a tooth of a break line, mm.
const TOOTH: (f64, f64) = (0.9, 2.4);
/// How far beyond a stretch its pieces are drawn, mm, so that their outlines are not cut along.
const SEEN: f64 = 0.3;
/// Not drawn larger than this.
const LARGEST: f64 = 2.0;

/// How far along the place of a line next to `p` is, mm, and how far off it `p` lies; beyond both ends straight on.
fn foot(line: &Chords, p: Point) -> (f64, f64) {
    let last = line.points().len() - 2;
    let of = |i: usize| {
        let (a, b) = (line.points()[i], line.points()[i + 1]);
        let (long, way) = (a.distance(b), (b - a).normalize());
        let lo = if i == 0 { f64::NEG_INFINITY } else { 0.0 };
        let hi = if i == last { f64::INFINITY } else { long };
        let u = (p - a).dot(way).clamp(lo, hi);
        (line.knots()[i] + u, (a + way * u).distance(p))
    };
    (0..=last).map(of).min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or_default()
}

/// What is shown of a stripe in one go, mm along its middle.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
}

/// A stretch as it lies level: its middle at the origin.
struct Level {
    of: Stretch,
    middle: Point,
    angle: f64,
    /// What it covers, mm.
    extent: Room,
    /// What is left out before it, to the viewer's left, mm; `None` for the first.
    left_out: Option<f64>,
}

impl Level {
    /// Width on paper with the break before it, mm.
    fn wide(&self, scale: f64) -> f64 {
        self.extent.width() * scale + if self.left_out.is_some() { BREAK } else { 0.0 }
    }
}

/// What a map runs along: a stripe, alone or with those masked together with it; or one of those that meet, with the pieces
/// along its own edges.
pub(super) struct Along<'a> {
    pub(super) laid: &'a Laid,
    /// Its middle, in the flat of the mask.
    pub(super) middle: Vec<Point>,
    /// Which of the mask's stripes it is, if it is shown alone.
    pub(super) own: Option<usize>,
}

impl Along<'_> {
    /// What it is called.
    fn text(&self, card: &Card<'_>) -> String {
        let id = &self.laid.id;
        match self.own {
            None => card.text(),
            Some(0) => format!("{id}, masked with {}", card.mask.with.join(" and ")),
            Some(_) => format!("{id}, masked with {}", card.mask.of),
        }
    }
}

/// A stripe with what its map shows of its tape.
struct Strip<'a> {
    card: &'a Card<'a>,
    shows: Shows,
    /// The middle of the stripe.
    middle: Chords,
    /// Pieces of the map, rising.
    pieces: Vec<usize>,
    /// True if it runs from the viewer's right to his left.
    backwards: bool,
}

impl<'a> Strip<'a> {
    /// `None` if there is nothing to show.
    fn new(card: &'a Card<'a>, along: &Along<'a>, shows: Shows) -> Option<Strip<'a>> {
        let own = |i: &usize| along.own.is_none_or(|k| card.mask.owners.get(*i) == Some(&k));
        let all = 0..card.mask.pieces.len();
        let pieces: Vec<usize> = all.filter(|i| shows.piece(&card.mask.pieces[*i], 0)).filter(own).collect();
        if pieces.is_empty() {
            return None;
        }
        let middle = Chords::new(along.middle.iter().copied())?;
        let ends = middle.points();
        let backwards = ends[ends.len() - 1].x < ends[0].x;
        Some(Strip { card, shows, middle, pieces, backwards })
    }

    fn corners(piece: &Piece) -> impl Iterator<Item = Point> + '_ {
        let skin = piece.footprint.iter().flat_map(|r| r.vertices.iter().map(|v| v.p));
        // A scrap too short to cover anything still has its path.
        skin.chain(piece.tab.area.iter().copied()).chain(piece.path.iter().copied())
    }

    /// What is worth showing: every end of every piece with some of it, run together where little is left between;
    /// from the viewer's left to his right.
    fn stretches(&self) -> Vec<Stretch> {
        let feet = |i: &usize| {
            Self::corners(&self.card.mask.pieces[*i])
                .map(|p| foot(&self.middle, p))
                .fold((f64::INFINITY, f64::NEG_INFINITY, 0.0_f64), |(lo, hi, off), (s, o)| {
                    (lo.min(s), hi.max(s), off.max(o))
                })
        };
        let spans: Vec<(f64, f64, f64)> = self.pieces.iter().map(feet).collect();
        let high = 2.0 * spans.iter().map(|s| s.2).fold(0.0, f64::max);
        let [inward, beyond] = [INWARD, BEYOND].map(|(share, least)| (share * high).max(least));
        let mut wanted: Vec<Stretch> = Vec::new();
        for (lo, hi, _) in spans {
            if hi - lo > 2.0 * inward {
                wanted.push(Stretch { from: lo - beyond, to: lo + inward });
                wanted.push(Stretch { from: hi - inward, to: hi + beyond });
            } else {
                wanted.push(Stretch { from: lo - beyond, to: hi + beyond });
            }
        }
        wanted.sort_by(|a, b| a.from.total_cmp(&b.from));
        let mut out: Vec<Stretch> = Vec::new();
        for next in wanted {
            match out.last_mut() {
                Some(last) if next.from - last.to < inward => last.to = last.to.max(next.to),
                _ => out.push(next),
            }
        }
        if self.backwards {
            out.reverse();
        }
        out
    }

    /// The stretches cut into parts no longer than `most`, mm, each as it lies.
    fn levels(&self, most: f64) -> Vec<Level> {
        let mut out: Vec<Level> = Vec::new();
        for whole in self.stretches() {
            let parts = ((whole.to - whole.from) / most - KEPT_MM).ceil().max(1.0);
            let each = (whole.to - whole.from) / parts;
            for k in 0..parts as usize {
                let k = if self.backwards { parts - 1.0 - k as f64 } else { k as f64 };
                let of = Stretch { from: whole.from + each * k, to: whole.from + each * (k + 1.0) };
                let before = out
                    .last()
                    .map(|l| if self.backwards { l.of.from - of.to } else { of.from - l.of.to }.max(0.0));
                out.push(self.level(of, before));
            }
        }
        out
    }

    fn level(&self, of: Stretch, left_out: Option<f64>) -> Level {
        let [a, b] = if self.backwards { [of.to, of.from] } else { [of.from, of.to] };
        let (left, right) = (self.middle.at(a).p, self.middle.at(b).p);
        let angle = (right - left).atan2();
        let middle = left.midpoint(right);
        let unit = Lie::new(middle, Point::ZERO, 1.0, angle);
        let half = left.distance(right) / 2.0;
        let endless = Room { lo: Point::new(-half, -f64::MAX), hi: Point::new(half, f64::MAX) };
        let (mut low, mut high) = (0.0_f64, 0.0_f64);
        for i in &self.pieces {
            let piece = &self.card.mask.pieces[*i];
            let tab = Ring::from_points(piece.tab.area.iter().copied());
            for ring in piece.footprint.iter().chain([&tab]) {
                for (p, q) in segments(&unit.ring(ring)).filter_map(|s| clip(s, endless)) {
                    (low, high) = (low.min(p.y).min(q.y), high.max(p.y).max(q.y));
                }
            }
        }
        let extent = Room { lo: Point::new(-half, low), hi: Point::new(half, high) };
        Level { of, middle, angle, extent, left_out }
    }

    /// Rows of stretches at a scale.
    fn rows(&self, scale: f64, wide: f64, round: f64) -> Vec<Row> {
        let mut rows: Vec<Row> = Vec::new();
        for level in self.levels((wide - BREAK).max(1.0) / scale) {
            let (own, high) = (level.wide(scale), level.extent.height() * scale + 2.0 * round);
            match rows.last_mut() {
                Some(row) if row.wide + own <= wide => {
                    (row.wide, row.high) = (row.wide + own, row.high.max(high));
                    row.levels.push(level);
                }
                _ => rows.push(Row { levels: vec![level], wide: own, high }),
            }
        }
        rows
    }

    /// The largest scale at which the rows fit a width and a height on paper, mm, and the rows.
    fn arranged(&self, (wide, high): (f64, f64), round: f64) -> (f64, Vec<Row>) {
        let wide = wide - 2.0 * SIDES;
        let fits = |n: f64| self.rows(n, wide, round).iter().map(|r| r.high).sum::<f64>() <= high;
        let scale = drawing_scale(|n| n <= LARGEST && fits(n));
        (scale, self.rows(scale, wide, round))
    }

    /// The rows drawn in the middle of a room; `taken` is where words stand already.
    fn draw(
        &self,
        skin: Option<&Skin>,
        (scale, rows): (f64, Vec<Row>),
        room: Room,
        words: Room,
        taken: Option<Room>,
    ) -> Map {
        let mut top = room.hi.y - (room.height() - tall(&rows)).max(0.0) / 2.0;
        let mut floor = Floor::new(words, Vec::new());
        if let Some(room) = taken {
            floor.keep(room);
        }
        let (mut map, mut breaks, mut all) = (Map::default(), Vec::new(), Vec::new());
        for row in rows {
            let (mut x, y) = (room.centre().x - row.wide / 2.0, top - row.high / 2.0);
            top -= row.high;
            for level in row.levels {
                if let Some(long) = level.left_out {
                    breaks.extend(break_words(Point::new(x + BREAK / 2.0, y), long, &mut floor));
                    x += BREAK;
                }
                let half = Vec2::new(level.extent.width(), level.extent.height()) * (scale / 2.0);
                let middle = Point::new(x + half.x, y);
                x += 2.0 * half.x;
                let at = middle - Vec2::new(0.0, level.extent.centre().y) * scale;
                let lie = Lie::new(level.middle, at, scale, level.angle);
                let hole = Room { lo: middle - half, hi: middle + half };
                let window = Window { lie, room: hole.inset(-SEEN) };
                let shown = map.lay(self.card, (0, self.shows), window, &self.pieces, &mut floor);
                let ends = self.goes_on(level.of).into_iter().zip([hole.lo.x, hole.hi.x]);
                breaks.extend(ends.filter(|(on, _)| *on).map(|(_, x)| break_line(x, hole)));
                breaks.extend(self.stations(skin, level.of, hole, &mut floor));
                all.push((self.seen(&window, shown), window));
            }
        }
        for (told, window) in &all {
            map.tell(told, *window, &mut floor);
        }
        map.ends.extend(breaks);
        map
    }

    /// The pieces of those drawn that are seen through the window.
    fn seen<'b>(&self, window: &Window, mut shown: Vec<Shown<'b>>) -> Vec<Shown<'b>> {
        shown.retain(|s| s.shape.iter().flat_map(segments).any(|side| clip(side, window.room).is_some()));
        shown
    }

    /// Whether the stripe goes on left and right of a stretch.
    fn goes_on(&self, of: Stretch) -> [bool; 2] {
        let inside = [of.from > 0.0, of.to < self.middle.length()];
        if self.backwards { [inside[1], inside[0]] } else { inside }
    }

    /// Under both ends of a stretch how far along the skin they are.
    fn stations(&self, skin: Option<&Skin>, of: Stretch, hole: Room, floor: &mut Floor) -> Vec<Item> {
        let Some(skin) = skin else { return Vec::new() };
        let whole = self.middle.length();
        let [a, b] = if self.backwards { [of.to, of.from] } else { [of.from, of.to] };
        let mut items = Vec::new();
        let mut free = f64::NEG_INFINITY;
        for (s, x, anchor) in [(a, hole.lo.x, Anchor::Start), (b, hole.hi.x, Anchor::End)] {
            if !(0.0..=whole).contains(&s) {
                continue;
            }
            let at = skin.station(self.middle.at(s).p);
            let words = tape_measure(at).words();
            let wide = words.width(WORDS, Weight::Regular);
            // Where a stretch is too short for both the first tells enough.
            if anchor == Anchor::End && x - wide < free {
                continue;
            }
            free = x + wide + 1.0;
            // An arrow of a pull may have to cross it: the figure stays readable.
            let line = |down: f64, words: Words, size: f64| Text {
                anchor,
                clears: true,
                ..Text::new(Point::new(x, hole.lo.y - down), words, size)
            };
            for text in [line(5.6, words, WORDS), line(9.2, mm_words(at), UNDER)] {
                let corners = text.corners();
                floor.keep(Room { lo: corners[0], hi: corners[2] });
                items.push(Item::Text(text));
            }
            let tick = [Point::new(x, hole.lo.y - 0.8), Point::new(x, hole.lo.y - 2.4)];
            items.push(Item::line(tick, pen(Role::Dimension)));
        }
        items
    }
}

/// Stretches side by side.
struct Row {
    levels: Vec<Level>,
    /// Width and height on paper, breaks and room for numbers with it, mm.
    wide: f64,
    high: f64,
}

/// Height of rows one under the other, mm.
fn tall(rows: &[Row]) -> f64 {
    rows.iter().map(|r| r.high).sum()
}

/// The sheets of a stripe: its map, and more of its table if it does not fit.
pub(super) fn stripe_sheets(
    card: &Card<'_>,
    along: &Along<'_>,
    skin: Option<&Skin>,
    shows: Shows,
) -> Vec<Sheet> {
    let Some(strip) = Strip::new(card, along, shows) else { return Vec::new() };
    let what = if shows == Shows::Layout { ", layout tape" } else { "" };
    let told = Told {
        shows,
        heading: format!("Stripe {}{what}", along.text(card)),
        name: format!("the stripe{what}"),
        pieces: strip.pieces.clone(),
        elsewhere: Vec::new(),
        description: format!(
            "Where {} pieces of tape lie {} the stripe, and in what order.",
            strip.pieces.len(),
            if shows == Shows::Layout { "in" } else { "round" }
        ),
    };
    let draw = |field: Field| {
        let mut room = field.words;
        room.hi.y -= 6.0;
        let arranged = strip.arranged((room.width(), room.height()), ROUND);
        let scale = arranged.0;
        (strip.draw(skin, arranged, room, field.words, Some(field.taken)), scale)
    };
    sheets(card, &told, draw, |scale, corner| title(card, along, (shows, &strip.pieces), scale, corner))
}

/// The map alone, for a card of the book, as high as it needs up to `size`.
pub(super) fn stripe_card(
    card: &Card<'_>,
    along: &Along<'_>,
    skin: Option<&Skin>,
    size: (f64, f64),
) -> Option<Sheet> {
    let strip = Strip::new(card, along, Shows::Mask)?;
    let arranged = strip.arranged((size.0 - 1.0, size.1 - BELOW - 0.5), CARD_ROUND);
    let size = (size.0, size.1.min(tall(&arranged.1) + BELOW + 1.0));
    let room = Room { lo: Point::new(0.5, BELOW), hi: Point::new(size.0 - 0.5, size.1 - 0.5) };
    let map = strip.draw(skin, arranged, room, room, None);
    Some(Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: map.layers(),
        title: format!("tape of stripe {}", along.text(card)),
        description: "Every piece of tape with its place in the laying order.".to_owned(),
    })
}

/// What was left out, on paper between two break lines.
fn break_words(at: Point, long: f64, floor: &mut Floor) -> Vec<Item> {
    if long <= KEPT_MM {
        return Vec::new();
    }
    let lines = [(2.2, tape_measure(long).words(), WORDS), (-2.2, mm_words(long), UNDER)];
    let mut items = Vec::new();
    for (up, words, size) in lines {
        let text = Text::centred(at + Vec2::new(0.0, up), words, size);
        let corners = text.corners();
        let room = Room { lo: corners[0], hi: corners[2] };
        floor.keep(room);
        items.push(Item::filled([&room.ring()], Fill::Plain(PAPER)));
        items.push(Item::Text(text));
    }
    items
}

/// A break line across a row: straight with a tooth in the middle.
fn break_line(x: f64, hole: Room) -> Item {
    let (up, y) = (Vec2::new(0.0, 1.0), hole.centre().y);
    let out = -left_of(up) * TOOTH.0;
    let at = Point::new(x, y);
    Item::line(
        [
            Point::new(x, hole.lo.y - 1.5),
            at - up * TOOTH.1,
            at - up * (TOOTH.1 / 2.0) + out * 2.0,
            at + up * (TOOTH.1 / 2.0) - out * 2.0,
            at + up * TOOTH.1,
            Point::new(x, hole.hi.y + 1.5),
        ],
        pen(Role::Dimension),
    )
}

fn title(
    card: &Card<'_>,
    along: &Along<'_>,
    (shows, pieces): (Shows, &[usize]),
    scale: f64,
    corner: Point,
) -> Table {
    let mut rows = vec![
        TitleRow::new("job", card.job_title),
        TitleRow::new("stripe", along.text(card)),
        TitleRow::new("length", both_words(along.laid.length)),
        TitleRow::new("width", both_words(along.laid.width)),
    ];
    if shows == Shows::Layout {
        rows.push(TitleRow::new("strips", pieces.len().to_string()));
        rows.push(TitleRow::new("layout tape", both_words(tape_of(card, pieces, Kind::Layout))));
        rows.push(TitleRow::new("scale", scale_text(scale)));
        rows.push(TitleRow::new("next", "out when the edge tape lies"));
        return title_block(corner, "Layout tape", &rows);
    }
    rows.push(TitleRow::new("pieces", pieces.len().to_string()));
    rows.extend(own_rows(card, pieces, scale));
    title_block(corner, "Tape map", &rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Plan;
    use crate::job::{Attachments, read};

    fn plan(stripe: &str) -> Plan {
        let job = format!(
            "title = \"t\"\nunits = \"mm\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[-500, -500], [5000, \
             -500], [5000, 3000], [-500, 3000]]\n[[stripe]]\nid = \"red\"\nsurface = \"s\"\n{stripe}\n[masking]\nedge_tapes \
             = [{{ width = \"1/2 in\", roll = \"36 yd\", strain = 0.05 }}]\ntack_tape = {{ width = \"3/4 in\", roll = \
             \"36 yd\" }}\n"
        );
        crate::run(&read(&job).unwrap(), &Attachments::default()).unwrap()
    }

    fn with(plan: &Plan, look: impl Fn(&Strip<'_>, &Laid)) {
        let stripe = &plan.stripes[0];
        let mask = plan.masking.masks.iter().find(|m| m.of == stripe.id).unwrap();
        let card = Card { job_title: "t", mark: &stripe.painted, mask, paint: "", before: 0 };
        let along = Along { laid: stripe, middle: stripe.middle.clone(), own: None };
        look(&Strip::new(&card, &along, Shows::Mask).unwrap(), stripe);
    }

    /// Both ends of every piece and its tab lie in a stretch; stretches and what is left out between them add up.
    #[test]
    fn stretches_hold_every_end_and_nothing_is_lost_between() {
        for line in [
            "through = [[0, 0], [4000, 0]]\nwidth = 100\nends = [\"square\", \"point\"]\nend_length = 300",
            "through = [[4000, 900], [2000, 300], [0, 500]]\nwidth = [60, 30]\nends = [\"round\", \"swallowtail\"]",
            "through = [[0, 0], [100, 20]]\nwidth = 20",
        ] {
            let plan = plan(line);
            with(&plan, |strip, _| {
                let stretches = strip.stretches();
                for i in &strip.pieces {
                    let piece = &strip.card.mask.pieces[*i];
                    for p in [piece.path[0], piece.path[piece.path.len() - 1]] {
                        let s = foot(&strip.middle, p).0;
                        assert!(
                            stretches.iter().any(|r| r.from <= s && s <= r.to),
                            "{line}: {} at {s}",
                            piece.id
                        );
                    }
                }
                let levels = strip.levels(150.0);
                let shown: f64 = levels.iter().map(|l| l.of.to - l.of.from).sum();
                let out: f64 = levels.iter().filter_map(|l| l.left_out).sum();
                let ends = levels.iter().flat_map(|l| [l.of.from, l.of.to]);
                let (lo, hi) = ends.fold((f64::MAX, f64::MIN), |(a, b), s| (a.min(s), b.max(s)));
                assert!((shown + out - (hi - lo)).abs() < 1e-9, "{line}: {shown} and {out} of {}", hi - lo);
                assert!(levels.iter().all(|l| l.of.to - l.of.from <= 150.0 + KEPT_MM));
            });
        }
    }

    /// A long straight stripe of one width: nothing happens but at its two ends.
    #[test]
    fn what_only_runs_on_is_broken_out() {
        let plan = plan("through = [[0, 0], [4000, 0]]\nwidth = 100");
        with(&plan, |strip, stripe| {
            let levels = strip.levels(f64::MAX);
            assert_eq!(levels.len(), 2);
            assert!(levels[1].left_out.unwrap() > 0.8 * stripe.length);
        });
    }

    /// Walked from the viewer's right to his left it is drawn as he sees it.
    #[test]
    fn a_stripe_walked_backwards_is_not_turned_over() {
        let plan = plan("through = [[4000, 0], [0, 40]]\nwidth = 100");
        with(&plan, |strip, _| {
            let levels = strip.levels(f64::MAX);
            assert!(levels.windows(2).all(|w| w[0].middle.x < w[1].middle.x));
            assert!(levels.iter().all(|l| l.angle.abs() < 0.1));
        });
    }

    /// The foot of a point on a bent line, by hand; beyond an end it is straight on.
    #[test]
    fn a_foot_is_the_nearest_place_of_the_line() {
        let points = [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0)].map(Point::from);
        let line = Chords::new(points).unwrap();
        for (p, s, off) in [((30.0, 7.0), 30.0, 7.0), ((-20.0, 3.0), -20.0, 3.0), ((106.0, 80.0), 180.0, 6.0)]
        {
            let (found, far) = foot(&line, Point::from(p));
            assert!((found - s).abs() < 1e-12 && (far - off).abs() < 1e-12, "{p:?}: {found} {far}");
            assert!((line.at(found).p.distance(Point::from(p)) - off).abs() < 1e-12);
        }
    }
}
