//! Where the edges of a stripe are to be marked: at every rib, or at even stations, and where they enter a part that is
//! painted apart.

use super::edges::{Drawn, RISE, Shape};
use crate::job::{StripeEnd, Unit};
use crate::surface::{Skin, StripSkin};
use geom::distance::crossings;
use geom::measure::segments;
use geom::tolerance::{FAIR_MM, GRID_MM};
use geom::{Point, Region, Ring};

/// Most stations of one stripe. chosen: far more than anyone marks; beyond it they are set wider.
const MOST: usize = 400;

/// Even stations nearer than this to a place of the stripe's own shape are left out, mm: 1/2 in. chosen.
const BESIDE: f64 = 12.7;
/// What a tape measure does not tell apart, mm: 1/32 in.
const READ: f64 = 25.4 / 32.0;

/// Most times a crossing with a station is looked for closer; two are usual.
const CLOSER: usize = 20;

/// What a row of the table tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Both edges.
    Edges,
    /// The corner of a leaning end that reaches farther than the other: one place.
    Corner,
    /// The tip of a point or of a round end: one place.
    Tip,
}

impl What {
    /// The plan file's word.
    pub fn word(self) -> &'static str {
        match self {
            What::Edges => "edges",
            What::Corner => "corner",
            What::Tip => "tip",
        }
    }
}

/// Where the paint lies at one station; or, of a steep stripe, at one t.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Station, mm; of a steep stripe t.
    pub s: f64,
    /// The lesser t of the paint there, mm; of a steep stripe the lesser station.
    pub lower: f64,
    /// The greater.
    pub upper: f64,
    /// What it tells.
    pub what: What,
}

/// By what the rows of a table go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// From station to station; edges by t.
    Station,
    /// From t to t; edges by station.
    Height,
}

/// Where an edge of the stripe enters or leaves a part or a cover.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// The part's or cover's id.
    pub part: String,
    /// Where on its edge, flat.
    pub flat: Point,
    /// The same on the skin: station and t, mm.
    pub skin: [f64; 2],
}

/// Even stations without ribs: 12 in, or 250 mm in a metric job. chosen.
pub fn step(unit: Unit) -> f64 {
    match unit {
        Unit::In | Unit::Ft => 304.8,
        Unit::Mm | Unit::Cm | Unit::M => 250.0,
    }
}

/// The rings of a stripe, each place with what the rows go by.
type Outline = Vec<Vec<(f64, Point)>>;

/// A stripe's paint with its readings on the skin.
pub struct Table<'a> {
    /// The skin, or the strip of a curved one.
    pub skin: &'a Skin,
    /// The stripe.
    pub drawn: &'a Drawn,
    /// Its shape.
    pub shape: &'a Shape,
    /// What the rows go by.
    pub by: By,
}

impl Table<'_> {
    /// What the rows go by at a place.
    fn measure(&self, p: Point) -> f64 {
        match self.by {
            By::Station => self.skin.station(p),
            By::Height => self.skin.skin_from_flat(p)[1],
        }
    }

    /// What they tell of it.
    fn value(&self, p: Point) -> f64 {
        match self.by {
            By::Station => self.skin.skin_from_flat(p)[1],
            By::Height => self.skin.station(p),
        }
    }

    /// The paint at every rib it reaches, or at even stations where there are none, where a taper begins, and at both
    /// its ends: the tip of one that has a tip, else its corners.
    pub fn rows(&self, unit: Unit) -> Vec<Row> {
        let outline: Outline = self
            .drawn
            .rings
            .iter()
            .map(|r| r.flattened(RISE).into_iter().map(|p| (self.measure(p), p)).collect())
            .collect();
        let all = || outline.iter().flatten().map(|p| p.0);
        let (lo, hi) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
        if lo.partial_cmp(&hi) != Some(std::cmp::Ordering::Less) {
            return vec![];
        }
        let mut special = self.tapers();
        let mut single = Vec::new();
        let limits = [0, 1].map(|k| self.end(k, &outline, &mut special, &mut single));
        let (first, last) = (limits[0].min(limits[1]), limits[0].max(limits[1]));
        let mut at = self.even(lo, hi, unit);
        // What is told beside a shape's own place would be marked twice.
        let ribs = self.by == By::Station && !self.skin.ribs.is_empty();
        at.retain(|s| first <= *s && *s <= last && (ribs || special.iter().all(|o| (o - s).abs() > BESIDE)));
        at.extend(special);
        at.sort_by(f64::total_cmp);
        at.dedup_by(|a, b| (*a - *b).abs() <= GRID_MM);
        at.retain(|s| single.iter().all(|row: &Row| (row.s - s).abs() > GRID_MM));
        // Just inside at the very ends, where a square end would be met along its whole length.
        let inside = |s: f64| s.clamp(lo + FAIR_MM, hi - FAIR_MM);
        let mut rows: Vec<Row> = at
            .into_iter()
            .flat_map(|s| {
                let row = move |(lower, upper)| Row { s, lower, upper, what: What::Edges };
                self.crossing(&outline, inside(s)).into_iter().map(row)
            })
            .collect();
        rows.extend(single);
        rows.sort_by(|a, b| a.s.total_cmp(&b.s).then(a.lower.total_cmp(&b.lower)));
        rows
    }

    /// The ribs, or even stations between two.
    fn even(&self, lo: f64, hi: f64, unit: Unit) -> Vec<f64> {
        if self.by == By::Station && !self.skin.ribs.is_empty() {
            return self.skin.ribs.iter().map(|r| r.station).collect();
        }
        // Scans are of small things, or nothing else says where one is; up a steep stripe even steps are long ones.
        let close = self.by == By::Height || self.skin.strip().is_some_and(|s| s.scan().is_some());
        let mut step = if close { step(unit) / 4.0 } else { step(unit) };
        while (hi - lo) / step > MOST as f64 {
            step *= 2.0;
        }
        let first = (lo / step).ceil() as i64;
        (first..=(hi / step).floor() as i64).map(|k| k as f64 * step).collect()
    }

    /// Where a point or a swallowtail begins, at both edges; one place where both are one by a tape.
    fn tapers(&self) -> Vec<f64> {
        let mut out = Vec::new();
        for k in (0..2).filter(|k| matches!(self.shape.ends[*k], StripeEnd::Point | StripeEnd::Swallowtail)) {
            let both = self.drawn.long_at[k].map(|p| self.measure(p));
            let middle = f64::midpoint(both[0], both[1]);
            if (both[0] - both[1]).abs() <= READ { out.push(middle) } else { out.extend(both) }
        }
        out
    }

    /// The rows of one end: what is told as edges goes to `special`, single places to `single`. Comes back with where
    /// both edges end.
    fn end(&self, k: usize, outline: &Outline, special: &mut Vec<f64>, single: &mut Vec<Row>) -> f64 {
        let pick = |line: &[Point]| if k == 0 { line[0] } else { line[line.len() - 1] };
        let middle = self.measure(pick(&self.drawn.middle));
        let other = self.measure(if k == 0 {
            self.drawn.middle[self.drawn.middle.len() - 1]
        } else {
            self.drawn.middle[0]
        });
        let tip = |s: f64, t: f64| Row { s, lower: t, upper: t, what: What::Tip };
        match self.shape.ends[k] {
            StripeEnd::Point => {
                single.push(tip(middle, self.value(pick(&self.drawn.middle))));
                middle
            }
            StripeEnd::Round => {
                // Its farthest place, which is not the end of the middle where the end leans.
                let low = middle < other;
                let far = outline.iter().flatten().min_by(|a, b| {
                    let (a, b) = if low { (a.0, b.0) } else { (-a.0, -b.0) };
                    a.total_cmp(&b)
                });
                single.extend(far.map(|(s, p)| tip(*s, self.value(*p))));
                far.map_or(middle, |f| f.0)
            }
            StripeEnd::Square | StripeEnd::Swallowtail | StripeEnd::Mitre | StripeEnd::Butt => {
                let [a, b] = [0, 1].map(|side| pick(&self.drawn.flanks[side]));
                let (s, t) = (self.measure(a), self.measure(b));
                let inward = if middle < other { s.max(t) } else { s.min(t) };
                special.push(inward);
                if (s - t).abs() > READ {
                    let (outer, p) = if (s - inward).abs() > (t - inward).abs() { (s, a) } else { (t, b) };
                    let value = self.value(p);
                    single.push(Row { s: outer, lower: value, upper: value, what: What::Corner });
                }
                inward
            }
        }
    }

    /// The stretches that lie inside the outline at a station.
    fn crossing(&self, outline: &Outline, s: f64) -> Vec<(f64, f64)> {
        let mut t: Vec<f64> = Vec::new();
        for ring in outline {
            for (i, a) in ring.iter().enumerate() {
                let b = &ring[(i + 1) % ring.len()];
                if (a.0 <= s) == (b.0 <= s) {
                    continue;
                }
                t.push(if self.skin.strip().is_some() {
                    self.met(*a, *b, s)
                } else {
                    let (p, q) = (self.value(a.1), self.value(b.1));
                    p + (q - p) * (s - a.0) / (b.0 - a.0)
                });
            }
        }
        t.sort_by(f64::total_cmp);
        t.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
    }

    /// What a straight stretch of flat tells where it meets a station, if stations do not run evenly along it.
    fn met(&self, mut a: (f64, Point), mut b: (f64, Point), s: f64) -> f64 {
        let rising = a.0 < b.0;
        let mut p = a.1;
        for _ in 0..CLOSER {
            p = a.1.lerp(b.1, ((s - a.0) / (b.0 - a.0)).clamp(0.0, 1.0));
            let at = self.measure(p);
            if (at - s).abs() <= GRID_MM {
                break;
            }
            if (at < s) == rising { a = (at, p) } else { b = (at, p) }
        }
        self.value(p)
    }
}

/// True of a steep stripe, of which stations tell little: its rows had better go by height.
pub fn steep(skin: &Skin, middle: &[Point]) -> bool {
    let [a, b] = [middle[0], middle[middle.len() - 1]].map(|p| skin.skin_from_flat(p));
    let along_scan = skin.strip().is_some_and(StripSkin::reads_along);
    !along_scan && (b[1] - a[1]).abs() > (b[0] - a[0]).abs()
}

/// What of a skin is painted apart, with its outline: parts, and covers that come off.
pub fn painted_apart(skin: &Skin) -> Vec<(&str, Ring)> {
    let covers = skin.features.iter().filter(|f| f.removable).filter_map(|f| match &f.region {
        Region::Disc { centre, radius } => Some((f.id.as_str(), Ring::circle(*centre, *radius))),
        Region::Area { rings } => Some((f.id.as_str(), rings.first()?.clone())),
        Region::Band { .. } => None,
    });
    skin.parts.iter().map(|p| (p.id.as_str(), p.outline.clone())).chain(covers).collect()
}

/// Where the `edges` of a stripe cross the edge of a part, or of a cover that comes off.
pub fn ticks(skin: &Skin, edges: &[Vec<Point>; 2]) -> Vec<Tick> {
    let mut found: Vec<Tick> = Vec::new();
    for (id, outline) in painted_apart(skin) {
        let mut own: Vec<Tick> = Vec::new();
        for bit in edges.iter().flat_map(|edge| segments(edge)) {
            for flat in outline.edges().flat_map(|side| crossings(&bit, &side)) {
                if own.iter().all(|t| t.flat.distance(flat) > GRID_MM) {
                    own.push(Tick { part: id.to_owned(), flat, skin: skin.skin_from_flat(flat) });
                }
            }
        }
        own.sort_by(|a, b| a.skin[0].total_cmp(&b.skin[0]).then(a.skin[1].total_cmp(&b.skin[1])));
        found.extend(own);
    }
    found
}
