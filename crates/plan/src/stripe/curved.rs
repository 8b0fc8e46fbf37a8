//! The middle of a stripe on a body or scan: walked over the skin itself, then laid flat as a strip.
//!
//! What it runs along is first walked as it stands (a waterline, a seam, the straightest way); what lies off that line,
//! or beside another stripe, is a line in the flat of the strip walked, and so a true distance over the skin from it.
//! A line through points is laid fairly in the flat of a strip near it and walked anew, until both are one.

use super::Laid;
use super::edges::Shape;
use super::fair::Fair;
use super::loose::eased;
use super::reference::{beside, off_and_cut};
use super::say;
use super::scanned;
use super::seam::Seam;
use super::way::{Chords, Way};
use crate::finding::Finding;
use crate::job::{Along, AlongLine, SkinEdge, SkinPair, Stripe};
use crate::surface::strip::Course;
use crate::surface::{BodySkin, ScanSkin, Skin, SkinShape, StripSkin};
use geom::tolerance::KEPT_MM;
use geom::{Point, Point3, Region, Vec2};
use skin::body::Body;
use skin::surface::way::{STRIDE, straightest, walked};
use skin::surface::{Heading, Surface};

/// Most rounds of laying a line fairly and walking it anew; three are usual.
pub(super) const ROUNDS: usize = 12;
/// Distance between the line walked and the fair one, mm, at which they are one.
const ONE_MM: f64 = 0.004;
/// Places at which a line is looked at.
const LOOKS: usize = 240;
/// How far inside the end of a body a stripe ends that would end on it, mm.
const BACK_MM: f64 = 0.1;
/// Most times a stripe is drawn back from the end of the skin.
const DRAWN_BACK: usize = 4;

/// What a stripe on a curved skin asks for.
pub struct Asked<'a> {
    /// The stripe.
    pub stripe: &'a Stripe,
    /// The whole skin of its surface.
    pub skin: &'a Skin,
    /// The stripe it runs beside or mirrors.
    pub other: Option<&'a Laid>,
    /// Its shape.
    pub shape: &'a Shape,
}

/// The middle of a stripe on a curved skin.
pub struct Middle {
    /// The strip along it.
    pub strip: StripSkin,
    /// It as a way in the strip's flat.
    pub way: Way,
    /// What there is to say of it.
    pub said: Vec<Finding>,
}

pub(super) fn none() -> String {
    "nothing is left of its line".to_owned()
}

pub(super) fn off_skin() -> String {
    "its line leaves the skin".to_owned()
}

/// Of a line drawn from point to point.
fn off_between() -> String {
    "its line leaves the skin between two of its points: give one more between them".to_owned()
}

impl Asked<'_> {
    /// The middle asked for.
    ///
    /// # Errors
    /// In words, why there is none.
    pub fn middle(&self) -> Result<Middle, String> {
        if let SkinShape::Scan(scan) = &self.skin.shape
            && self.stripe.through.is_empty()
        {
            return match self.beside()? {
                Some((strip, line)) => scanned::beside(self, scan, strip, &line),
                None => scanned::middle(self, scan),
            };
        }
        if self.stripe.mirror_of.is_some() {
            return self.chords(self.mirrored()?);
        }
        match &self.stripe.along {
            Some(along) => {
                let strip = self.along(&along.value)?;
                let strip = self.drawn_back(strip)?;
                self.chords(strip)
            }
            None => self.through(),
        }
    }

    fn chords(&self, strip: StripSkin) -> Result<Middle, String> {
        let way = Way::Chords(Chords::new(strip.middle()).ok_or_else(none)?);
        Ok(Middle { strip, way, said: vec![] })
    }

    fn body(&self) -> Option<&BodySkin> {
        if let SkinShape::Body(body) = &self.skin.shape { Some(body) } else { None }
    }

    /// The line beside another stripe, in the flat of its strip; `None` if it runs along something else.
    fn beside(&self) -> Result<Option<(&StripSkin, Chords)>, String> {
        let Some(asked) = self.stripe.along.as_ref().map(|a| &a.value) else { return Ok(None) };
        let AlongLine::Stripe(id, apart) = &asked.line else { return Ok(None) };
        let other = self.other.ok_or_else(|| format!("there is no stripe `{id}` to run beside"))?;
        let sheet = other.painted.charts.as_ref().map(|c| &c.sheet).ok_or_else(none)?;
        let line = beside(asked, sheet, other, *apart, self.shape)?;
        Ok(Some((sheet.strip().ok_or_else(none)?, line)))
    }

    fn along(&self, asked: &Along) -> Result<StripSkin, String> {
        if let Some((strip, line)) = self.beside()? {
            return self.redrawn(strip, line);
        }
        let body = self.body().ok_or_else(none)?;
        let base = self.base(body, &asked.line)?;
        let inwards =
            if matches!(asked.line, AlongLine::Edge(SkinEdge::Upper)) { -asked.off } else { asked.off };
        if inwards == 0.0 && asked.from.is_none() && asked.to.is_none() {
            return Ok(base);
        }
        let sheet = Skin { shape: SkinShape::Strip(Box::new(base.clone())), ..self.skin.clone() };
        let line = Chords::new(base.middle()).ok_or_else(none)?;
        let line = off_and_cut(line, asked, &sheet, inwards)?;
        self.redrawn(&base, line)
    }

    /// A line drawn in the flat of a strip, walked on the skin.
    fn redrawn(&self, strip: &StripSkin, line: Chords) -> Result<StripSkin, String> {
        let mut stops = vec![0.0];
        stops.extend(line.mitres().iter().map(|m| m.0));
        stops.push(line.length());
        let way = Way::Chords(line);
        strip.redrawn(&|t| way.at(t).p, &stops, self.shape.widest()).ok_or_else(off_skin)
    }

    /// The line a stripe runs along itself.
    fn base(&self, body: &BodySkin, line: &AlongLine) -> Result<StripSkin, String> {
        let skin = body.body();
        let (from, to) = body.range();
        let walk = |at: &dyn Fn(f64) -> Option<Vec2>, stops: &[f64]| {
            StripSkin::on_body(body, Course { at, stops, legs: false }, self.shape.widest())
                .ok_or_else(off_skin)
        };
        match line {
            AlongLine::Waterline(height) => {
                let at = |s: f64| skin.level(body.side(), s, *height);
                let ends = stretch(&at, from, to)
                    .ok_or_else(|| "its waterline does not meet the body".to_owned())?;
                walk(&at, &ends)
            }
            AlongLine::Edge(edge) => {
                let (low, high) = Body::shares(body.side());
                let top_first = body.side() == skin::body::Side::Right;
                let top = if top_first { low } else { high };
                let share = if *edge == SkinEdge::Upper { top } else { low + high - top };
                walk(&|s| Some(Vec2::new(s, share)), &[from, to])
            }
            AlongLine::Feature(id) => {
                let mut path = self.path(id)?;
                let ends = [path[0], path[path.len() - 1]].map(|p| body.reading(p));
                let level = (ends[1][0] - ends[0][0]).abs() > (ends[1][1] - ends[0][1]).abs();
                if level && ends[1][0] < ends[0][0] {
                    path.reverse();
                }
                let seam = Seam::through(body, path);
                let stops: Vec<f64> = (0..=seam.last()).map(|k| k as f64).collect();
                let at = |t: f64| body.place(body.reading(seam.at(t)));
                walk(&at, &stops)
            }
            AlongLine::Straight([a, b]) => {
                let way = Straightest::new(body, *a, *b)?;
                let at = |t: f64| way.at(skin, t);
                let course = Course { at: &at, stops: &[0.0, way.length], legs: true };
                StripSkin::on_body(body, course, self.shape.widest()).ok_or_else(off_between)
            }
            AlongLine::ScanStraight(_) | AlongLine::Stripe(..) => Err(none()),
        }
    }

    /// The path of a feature in the surface's own flat; of several pieces the longest.
    fn path(&self, id: &str) -> Result<Vec<Point>, String> {
        let paths = self.skin.features.iter().filter(|f| f.id == id).filter_map(|f| match &f.region {
            Region::Band { path, .. } if path.len() > 1 => Some(path.clone()),
            _ => None,
        });
        let long = |p: &Vec<Point>| p.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>();
        paths
            .max_by(|a, b| long(a).total_cmp(&long(b)))
            .ok_or_else(|| format!("feature `{id}` has no path on the skin"))
    }

    /// Drawn back from the end of a body, so that both corners of its end lie on it.
    fn drawn_back(&self, mut strip: StripSkin) -> Result<StripSkin, String> {
        let Some(body) = strip.body().cloned() else { return Ok(strip) };
        let (low, high) = body.range();
        for _ in 0..DRAWN_BACK {
            let whole = strip.length();
            let out = |s: f64, half: f64| {
                let over = |off: f64| {
                    let station = strip.station(strip.flat_at(s, off));
                    (low - station).max(station - high)
                };
                over(half).max(over(-half)).max(0.0)
            };
            let back = [out(0.0, self.shape.half_at(0.0)), out(whole, self.shape.half_at(1.0))];
            if back.iter().all(|b| *b <= KEPT_MM / 2.0) {
                break;
            }
            let less = |back: f64| if back > 0.0 { back + BACK_MM } else { 0.0 };
            let ends = [less(back[0]), whole - less(back[1])];
            if ends[1] <= ends[0] {
                return Err(none());
            }
            let at = |s: f64| strip.flat_at(s, 0.0);
            // Its corners stay corners.
            let corners = Chords::new(strip.middle()).ok_or_else(none)?.mitres();
            let inner =
                corners.iter().map(|c| c.0).filter(|s| ends[0] + KEPT_MM < *s && *s < ends[1] - KEPT_MM);
            let stops: Vec<f64> = [ends[0]].into_iter().chain(inner).chain([ends[1]]).collect();
            strip = strip.redrawn(&at, &stops, self.shape.widest()).ok_or_else(off_skin)?;
        }
        Ok(strip)
    }

    fn through(&self) -> Result<Middle, String> {
        let mut off_scan = None;
        let strip = match &self.skin.shape {
            SkinShape::Body(body) => self.legs(body)?,
            SkinShape::Scan(scan) => {
                let (strip, far) = self.hops(scan)?;
                off_scan = say::off_scan(&self.stripe.id, far);
                strip
            }
            _ => return Err(none()),
        };
        let count = self.stripe.through.len();
        let stops: Vec<f64> = (0..count).map(|k| k as f64).collect();
        let points = eased(&strip.flat_of_stops(&stops), &self.stripe.loose);
        let Some((mut way, mut knots)) = fairest(&points) else {
            return Err("two of its points are one".to_owned());
        };
        let (mut strip, mut apart) = (strip, f64::INFINITY);
        for _ in 0..ROUNDS {
            let next =
                strip.redrawn(&|s| way.at(s).p, &knots, self.shape.widest()).ok_or_else(off_between)?;
            let points = next.flat_of_stops(&knots);
            let Some((again, places)) = fairest(&points) else { break };
            // A fair line that is lost on the way is not taken up again.
            if matches!((&way, &again), (Way::Fair(_), Way::Chords(_))) {
                break;
            }
            apart = farthest(&next, &again);
            (strip, way, knots) = (next, again, places);
            if apart <= ONE_MM {
                break;
            }
        }
        let points = strip.flat_of_stops(&knots);
        let mut said: Vec<Finding> = match &way {
            Way::Fair(fair) => say::faired(&self.stripe.id, fair, &points).into_iter().collect(),
            Way::Chords(_) => vec![say::not_fair(&self.stripe.id, count)],
        };
        said.extend(off_scan);
        said.extend(say::unsettled(&self.stripe.id, apart, say::EDGE_MM));
        Ok(Middle { strip, way, said })
    }

    /// Straightest ways from point to point of a body.
    fn legs(&self, body: &BodySkin) -> Result<StripSkin, String> {
        let readings = self.stripe.through.iter().filter_map(|p| Some([*p.first()?, *p.get(1)?]));
        let readings: Vec<SkinPair> = if self.stripe.by_waterline {
            let reading = |[s, height]: SkinPair| {
                let place = body.body().level(body.side(), s, height);
                let measured = place.and_then(|place| body.body().measured(body.side(), place));
                measured.map(|(s, t)| [s, t]).ok_or_else(|| {
                    format!(
                        "the body at station {} does not reach the waterline {}",
                        crate::words::length(s),
                        crate::words::length(height)
                    )
                })
            };
            readings.map(reading).collect::<Result<_, _>>()?
        } else {
            readings.collect()
        };
        let legs =
            readings.windows(2).map(|w| Straightest::new(body, w[0], w[1])).collect::<Result<Vec<_>, _>>()?;
        let stops: Vec<f64> = (0..readings.len()).map(|k| k as f64).collect();
        let at = |t: f64| {
            let k = (t.floor() as usize).min(legs.len() - 1);
            legs[k].at(body.body(), (t - k as f64) * legs[k].length)
        };
        StripSkin::on_body(body, Course { at: &at, stops: &stops, legs: true }, self.shape.widest())
            .ok_or_else(off_between)
    }

    /// From point to point of a scan: what lies under the straight line through space. Only where the fair line begins to
    /// be looked for. With it how far the points lie off the scan at most, mm.
    fn hops(&self, scan: &ScanSkin) -> Result<(StripSkin, f64), String> {
        let points: Vec<Point3> = self
            .stripe
            .through
            .iter()
            .filter_map(|p| Some(scan.point([*p.first()?, *p.get(1)?, *p.get(2)?])))
            .collect();
        let (mut on, mut worst) = (Vec::with_capacity(points.len()), 0.0_f64);
        for (p, own) in points.iter().zip(&self.stripe.through) {
            let (spot, far) = StripSkin::spot_near(scan, *p);
            if far > super::OFF_SCAN {
                let said: Vec<String> = own.iter().map(f64::to_string).collect();
                return Err(format!(
                    "the point {} lies {} off the scan",
                    said.join(", "),
                    crate::words::length(far)
                ));
            }
            on.push(spot);
            worst = worst.max(far);
        }
        let stops: Vec<f64> = (0..on.len()).map(|k| k as f64).collect();
        let at = |t: f64| {
            let k = (t.floor() as usize).min(on.len() - 2);
            let share = t - k as f64;
            // The points themselves are met, not looked for again.
            Some(if share == 0.0 {
                on[k]
            } else {
                StripSkin::spot_near(scan, on[k].lerp(on[k + 1], share)).0
            })
        };
        let course = Course { at: &at, stops: &stops, legs: false };
        Ok((StripSkin::on_scan(scan, course, self.shape.widest()).ok_or_else(off_skin)?, worst))
    }

    /// The mirror image by station and height.
    fn mirrored(&self) -> Result<StripSkin, String> {
        let own = self.body().ok_or("a stripe on a body mirrors one on a body")?;
        let other = self.other.ok_or_else(none)?;
        let theirs = other.painted.charts.as_ref().and_then(|c| c.sheet.strip()).ok_or_else(none)?;
        let their_body = theirs.body().ok_or("a stripe on a body mirrors one on a body")?;
        let turned = own.side() != their_body.side();
        let alike = turned && own.body() == their_body.body();
        let at = |s: f64| {
            let place = theirs.place(theirs.flat_at(s, 0.0))?;
            if alike {
                return Some(Body::across(place));
            }
            let p = their_body.body().jet(place).p;
            own.body().level(own.side(), p.x, p.z)
        };
        let corners = Chords::new(theirs.middle()).ok_or_else(none)?.mitres();
        let mut stops = vec![0.0];
        stops.extend(corners.iter().map(|m| m.0));
        stops.push(theirs.length());
        let course = Course { at: &at, stops: &stops, legs: false };
        StripSkin::on_body(own, course, self.shape.widest()).ok_or_else(off_skin)
    }
}

/// The straightest way between two readings, its places kept.
struct Straightest {
    stands: Vec<Heading>,
    length: f64,
}

impl Straightest {
    fn new(body: &BodySkin, a: SkinPair, b: SkinPair) -> Result<Straightest, String> {
        let skin = body.body();
        let place = |[s, t]: SkinPair| {
            body.place([s, t]).ok_or_else(|| {
                format!(
                    "the body has no place at station {}, {}",
                    crate::words::length(s),
                    crate::words::length(t)
                )
            })
        };
        let (from, to) = (place(a)?, place(b)?);
        let (start, length) = straightest(skin, from, to).ok_or_else(|| {
            "no straightest way was found between two of its points: give one between them".to_owned()
        })?;
        if length <= KEPT_MM {
            return Err("two of its points are one".to_owned());
        }
        let (stands, _) = walked(skin, start, length);
        Ok(Straightest { stands, length })
    }

    fn at(&self, skin: &Body, along: f64) -> Option<Vec2> {
        let k = ((along / STRIDE) as usize).min(self.stands.len() - 1);
        let end = self.stands[k].ahead(skin, along - k as f64 * STRIDE);
        end.uv.is_finite().then_some(end.uv)
    }
}

/// The longest stretch of stations at which there is a line, its ends found by halving.
fn stretch(at: &dyn Fn(f64) -> Option<Vec2>, from: f64, to: f64) -> Option<[f64; 2]> {
    let station = |k: usize| from + (to - from) * k as f64 / LOOKS as f64;
    let there: Vec<bool> = (0..=LOOKS).map(|k| at(station(k)).is_some()).collect();
    let mut best: Option<[usize; 2]> = None;
    let mut start = None;
    for k in 0..=LOOKS + 1 {
        match (there.get(k).copied().unwrap_or(false), start) {
            (true, None) => start = Some(k),
            (false, Some(a)) => {
                if best.is_none_or(|b| b[1] - b[0] < k - 1 - a) {
                    best = Some([a, k - 1]);
                }
                start = None;
            }
            _ => {}
        }
    }
    let [a, b] = best.filter(|b| b[0] < b[1])?;
    let edge = |inside: usize, outside: Option<usize>| {
        let Some(outside) = outside else { return station(inside) };
        let (mut inside, mut outside) = (station(inside), station(outside));
        for _ in 0..50 {
            let middle = inside.midpoint(outside);
            if at(middle).is_some() { inside = middle } else { outside = middle }
        }
        inside
    };
    Some([edge(a, a.checked_sub(1)), edge(b, (b < LOOKS).then_some(b + 1))])
}

/// The fair line through points, or the smooth batten where there is none; and where along it the points are, mm.
fn fairest(points: &[Point]) -> Option<(Way, Vec<f64>)> {
    if let Some(fair) = Fair::through(points) {
        let knots = fair.knots().to_vec();
        return Some((Way::Fair(fair), knots));
    }
    let (batten, knots) = super::laid::batten(points).ok()?;
    Some((Way::Chords(batten), knots))
}

/// The greatest distance between the middle of a strip and a line in its flat, mm.
pub(super) fn farthest(strip: &StripSkin, way: &Way) -> f64 {
    let whole = way.length();
    let at = |k: usize| way.at(whole * k as f64 / LOOKS as f64).p;
    (0..=LOOKS).map(|k| strip.along_and_off(at(k))[1].abs()).fold(0.0, f64::max)
}
