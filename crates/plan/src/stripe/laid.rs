//! The stripes of a job laid on their skins, each after the one it runs beside or mirrors.

use super::curved;
use super::edges::{Drawn, Shape, draw};
use super::fair::Fair;
use super::joint;
use super::loose::eased;
use super::meeting::{self, Cuts};
use super::reference::{along, mirrored};
use super::say;
use super::say_rim;
use super::say_scanned;
use super::say_short;
use super::stations::{By, Row, Table, Tick, steep, ticks};
use super::tape::{TapeAlong, look};
use super::way::{BEND, Chords, Way};
use crate::finding::{Bound, Finding, Severity};
use crate::fit::charts::Charts;
use crate::fit::given::judged;
use crate::fit::placed::{FitReport, Placed, PlacedGlyph};
use crate::job::{Job, Stripe, StripeEnd};
use crate::surface::Skin;
use crate::words::length;
use geom::distance::point_to_edge;
use geom::spline::Spline;
use geom::tolerance::{KEPT_MM, NOISE_MM};
use geom::winding::contains;
use geom::{Point, Ring, Vec2};

/// Stands for a stripe where a mark has its character.
pub const SIGN: char = '\u{2013}';

/// Points at least to a span of a batten that is laid where no fair line was found, and most halvings between two where it
/// bends most.
const BATTEN_STEPS: u32 = 64;
const HALVINGS: u32 = 8;

/// A stripe on its skin; points are flat, lengths mm.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Its id.
    pub id: String,
    /// Id of its surface.
    pub surface: String,
    /// Length along its middle.
    pub length: f64,
    /// Its greatest width.
    pub width: f64,
    /// Its middle, from start to end.
    pub middle: Vec<Point>,
    /// Its edges left and right of travel, from start to end, without what closes a round end or a swallowtail.
    pub edges: [Vec<Point>; 2],
    /// The same to the very ends, as if round ends were square.
    pub flanks: [Vec<Point>; 2],
    /// Its shape.
    pub shape: Shape,
    /// Where to mark its edges, station by station.
    pub stations: Vec<Row>,
    /// The same of a steep stripe by height: t, and the stations of its edges there.
    pub heights: Vec<Row>,
    /// Where to tick the edges of parts and covers it runs over.
    pub ticks: Vec<Tick>,
    /// How its tape bends.
    pub tape: TapeAlong,
    /// What is painted, as masking, spraying and drawing take a mark of one character.
    pub painted: Placed,
}

/// The stripes of a job, in its order, and what there is to say of them. `marks` are the marks in their places.
pub fn lay_stripes(job: &Job, skins: &[Skin], marks: &[Placed]) -> (Vec<Laid>, Vec<Finding>) {
    let mut laid: Vec<Option<Laid>> = vec![None; job.stripes.len()];
    let mut findings: Vec<Vec<Finding>> = vec![vec![]; job.stripes.len()];
    // Those that stand by themselves first, then those beside them; the job reader has refused rings of them.
    for _ in 0..job.stripes.len() {
        for (k, stripe) in job.stripes.iter().enumerate() {
            let Some(skin) = skins.iter().find(|s| s.id == stripe.surface) else { continue };
            let other = say::leans_on(stripe);
            let other_at = other.and_then(|id| job.stripes.iter().position(|s| s.id == id));
            let waits = other_at.is_some_and(|at| laid[at].is_none() && findings[at].is_empty());
            if laid[k].is_some() || !findings[k].is_empty() || waits {
                continue;
            }
            let other = other_at.and_then(|at| laid[at].as_ref());
            match lay(job, stripe, skin, other, (skins, &[None, None])) {
                Ok((one, said)) => (laid[k], findings[k]) = (Some(one), said),
                Err(why) => findings[k] = vec![say::no_line(stripe, &why)],
            }
        }
    }
    let asked = laid.iter().flatten().any(|l| l.shape.ends.iter().any(|e| meets(*e)));
    if asked {
        cut_ends(job, skins, &mut laid, &mut findings);
    }
    ticked_on_edges(job, &mut laid, &mut findings);
    let mut all: Vec<Finding> = findings.into_iter().flatten().collect();
    let laid: Vec<Laid> = laid.into_iter().flatten().collect();
    all.extend(say::over_each_other(job, &laid, marks, skins));
    (laid, all)
}

/// True of an end that is shaped by the stripe it meets.
fn meets(end: StripeEnd) -> bool {
    matches!(end, StripeEnd::Mitre | StripeEnd::Butt)
}

/// Lays once more those whose ends meet another stripe, with these cut. What runs beside them was laid beside them as they
/// run, whatever their ends.
fn cut_ends(job: &Job, skins: &[Skin], laid: &mut [Option<Laid>], findings: &mut [Vec<Finding>]) {
    let at: Vec<usize> = (0..laid.len()).filter(|k| laid[*k].is_some()).collect();
    let square: Vec<Laid> = laid.iter().flatten().cloned().collect();
    let (cuts, said) = meeting::cuts(job, &square, skins);
    for ((k, cuts), said) in at.into_iter().zip(cuts).zip(said) {
        let stripe = &job.stripes[k];
        let other = say::leans_on(stripe).and_then(|id| square.iter().find(|l| l.id == id));
        if let Some(skin) =
            skins.iter().find(|s| s.id == stripe.surface).filter(|_| cuts.iter().any(Option::is_some))
        {
            match lay(job, stripe, skin, other, (skins, &cuts)) {
                Ok((one, more)) => (laid[k], findings[k]) = (Some(one), more),
                Err(why) => findings[k].push(say::no_line(stripe, &why)),
            }
        }
        findings[k].extend(said);
    }
}

/// In a joint no edge stays: there is nothing to tick.
fn ticked_on_edges(job: &Job, laid: &mut [Option<Laid>], findings: &mut [Vec<Finding>]) {
    let all: Vec<Laid> = laid.iter().flatten().cloned().collect();
    for (one, said) in laid.iter_mut().zip(findings) {
        let Some(one) = one.as_mut().filter(|l| !l.ticks.is_empty()) else { continue };
        let Some(outline) = joint::with_those_it_meets(job, one, &all) else { continue };
        let count = one.ticks.len();
        let seam = joint::seam(&one.painted);
        one.ticks.retain(|t| outline.iter().any(|r| to_edge(r, t.flat) <= 2.0 * seam));
        if one.ticks.len() == count {
            continue;
        }
        let at = said.iter().position(|f| f.code == say::TICKS).unwrap_or(said.len());
        said.retain(|f| f.code != say::TICKS);
        said.splice(at..at, say::ticks(&one.id, &one.ticks));
    }
}

fn lay(
    job: &Job,
    stripe: &Stripe,
    skin: &Skin,
    other: Option<&Laid>,
    (skins, cuts): (&[Skin], &Cuts),
) -> Result<(Laid, Vec<Finding>), String> {
    let mut said = Vec::new();
    let mirror = if stripe.mirror_of.is_some() { other } else { None };
    let widths = match mirror {
        Some(of) if stripe.width.is_empty() => &of.shape.widths,
        _ => &stripe.width,
    };
    let shape = match mirror {
        Some(of) => Shape { widths: widths.clone(), ..of.shape.clone() },
        None => Shape::new(widths, stripe.ends, stripe.end_length),
    };
    let asked = shape.clone();
    let mut curved = None;
    let way = match (mirror, &stripe.along) {
        _ if !skin.unrolls() => {
            let middle = curved::Asked { stripe, skin, other, shape: &shape }.middle()?;
            said.extend(middle.said);
            let past = meeting::past(cuts, &middle.strip);
            curved = Some(skin.along(middle.strip, past));
            middle.way
        }
        (Some(of), _) => {
            let theirs = skins.iter().find(|s| s.id == of.surface).ok_or("the other side has no skin")?;
            let (line, differ) = mirrored(of, theirs, skin)?;
            said.extend(say::mirror(stripe, of, line.length(), differ));
            Way::Chords(line)
        }
        (None, Some(asked)) => {
            Way::Chords(drawn_back(along(&asked.value, skin, other, &shape)?, &shape, &skin.outline))
        }
        (None, None) => {
            let points: Vec<Point> = stripe
                .through
                .iter()
                .filter_map(|p| Some(skin.flat_from_skin([*p.first()?, *p.get(1)?])))
                .collect();
            through(stripe, &points, &mut said)?
        }
    };
    let whole_skin = skin;
    let skin = curved.as_ref().unwrap_or(skin);
    let (mut shape, more) = fitting(shape, way.length(), &stripe.id);
    if let Way::Chords(line) = &way {
        shape.taper_from_corner(line);
    }
    said.extend(more);
    let drawn = draw(&way, &shape, cuts);
    said.extend(say::drawn(&stripe.id, &way, &drawn, skin));
    said.extend(say_scanned::over_rim(&stripe.id, skin, &drawn.edges));
    said.extend(say_short::stations(stripe, skin, &way, shape.widest()));
    said.extend(say_short::off_skin(stripe, whole_skin));
    said.extend(say_rim::wedges(&stripe.id, skin, &drawn, &shape, [0, 1].map(|k| cuts[k].is_some())));
    let whole = way.length();
    let gauss = |s: f64| skin.strip().map_or_else(|| skin.gauss(way.at(s).p), |strip| strip.gauss(s));
    let half = |s: f64| shape.half_at(s / whole);
    let tape = look(&way, &half, &gauss, job.masking.as_ref());
    said.extend(say::tape(&stripe.id, &tape, job.masking.is_some(), &way, skin));
    said.extend(say::kinks(&stripe.id, &tape, &drawn.middle, skin));
    let width = shape.widest();
    let mut painted = as_mark(stripe, skin, &drawn, whole, width);
    let outline = skin.outline.clone();
    said.extend(say_short::of_stripe(judged(&mut painted, skin, &outline, job.survey_error)));
    if skin.strip().is_some() {
        said.extend(say::laid_flat(&stripe.id, skin, whole, &half));
        painted.charts = Some(Box::new(Charts { sheet: skin.clone(), letters: vec![] }));
    }
    let ticks = ticks(skin, &drawn.edges);
    said.extend(say::ticks(&stripe.id, &ticks));
    let rows = |by| Table { skin, drawn: &drawn, shape: &shape, by }.rows(job.units);
    let stations = rows(By::Station);
    let heights = if steep(skin, &drawn.middle) { rows(By::Height) } else { vec![] };
    let Drawn { middle, edges, flanks, .. } = drawn;
    let long = if cuts.iter().any(Option::is_some) {
        middle.windows(2).map(|w| w[0].distance(w[1])).sum()
    } else {
        whole
    };
    if let (Some(of), Some(strip)) = (mirror, skin.strip()) {
        said.extend(say::mirror_on_body(stripe, of, strip, whole_skin, &|share| asked.half_at(share)));
    }
    let laid = Laid {
        id: stripe.id.clone(),
        surface: stripe.surface.clone(),
        length: long,
        width,
        middle,
        edges,
        flanks,
        shape,
        stations,
        heights,
        ticks,
        tape,
        painted,
    };
    Ok((laid, said))
}

/// The fair line through points, or the smooth batten where there is none.
fn through(stripe: &Stripe, points: &[Point], said: &mut Vec<Finding>) -> Result<Way, String> {
    let points = eased(points, &stripe.loose);
    if let Some(fair) = Fair::through(&points) {
        said.extend(say::faired(&stripe.id, &fair, &points));
        return Ok(Way::Fair(fair));
    }
    said.push(say::not_fair(&stripe.id, points.len()));
    Ok(Way::Chords(batten(&points)?.0))
}

/// A line drawn back at each end until both corners of the stripe's end lie on the panel: one that runs slanting to the
/// panel's edge would stand over it with one of them.
fn drawn_back(line: Chords, shape: &Shape, panel: &Ring) -> Chords {
    let whole = line.length();
    let way = Way::Chords(line.clone());
    let on = |p: Point| contains(std::slice::from_ref(panel), p) || to_edge(panel, p) <= 10.0 * NOISE_MM;
    let fits = |s: f64| {
        let (at, half) = (way.at(s), shape.half(s, whole));
        on(at.p + at.left * half) && on(at.p - at.left * half)
    };
    let back = |end: usize| {
        let at = |back: f64| if end == 0 { back } else { whole - back };
        let most = shape.widest().min(whole / 4.0);
        // A point or a line that leaves the panel elsewhere is left as it is, and told.
        if fits(at(0.0)) || !fits(at(most)) {
            return 0.0;
        }
        let (mut out, mut inside) = (0.0, most);
        while inside - out > KEPT_MM / 10.0 {
            let middle = f64::midpoint(out, inside);
            if fits(at(middle)) { inside = middle } else { out = middle }
        }
        inside
    };
    let (from, to) = (back(0), whole - back(1));
    if from <= 0.0 && whole <= to {
        return line;
    }
    let inner = line.points().iter().zip(line.knots()).filter(|(_, s)| from < **s && **s < to);
    let ends = [from, to].map(|s| way.at(s).p);
    let points = std::iter::once(ends[0]).chain(inner.map(|(p, _)| *p)).chain([ends[1]]);
    Chords::new(points).unwrap_or(line.clone())
}

fn to_edge(ring: &Ring, p: Point) -> f64 {
    ring.edges().map(|e| point_to_edge(p, &e)).fold(f64::INFINITY, f64::min)
}

/// The smooth batten through points, and where along it they are, mm.
pub(super) fn batten(points: &[Point]) -> Result<(Chords, Vec<f64>), String> {
    let one = || "two of its points are one".to_owned();
    let batten = Spline::by_arc_length(points, 3).ok_or_else(one)?;
    let mut joins = vec![points[0]];
    let mut at = vec![0];
    for w in batten.knots().windows(2) {
        let step = |k: u32| w[0] + (w[1] - w[0]) * f64::from(k) / f64::from(BATTEN_STEPS);
        for k in 0..BATTEN_STEPS {
            bent(&batten, [step(k), step(k + 1)], HALVINGS, &mut joins);
        }
        at.push(joins.len() - 1);
    }
    let line = Chords::new(joins).ok_or_else(one)?;
    let last = line.knots().len() - 1;
    let at = at.into_iter().map(|k| line.knots()[k.min(last)]).collect();
    Ok((line, at))
}

/// The joins of a stretch of a batten, its start left out: none turns by as much as a mitre from the one before.
fn bent(batten: &Spline, [a, b]: [f64; 2], halvings: u32, joins: &mut Vec<Point>) {
    let (from, to) = (batten.derivative(a), batten.derivative(b));
    if 0 < halvings && from.cross(to).atan2(from.dot(to)).abs() > BEND / 2.0 {
        let middle = f64::midpoint(a, b);
        bent(batten, [a, middle], halvings - 1, joins);
        bent(batten, [middle, b], halvings - 1, joins);
    } else {
        joins.push(batten.at(b));
    }
}

/// The shape with ends that fit on its length.
fn fitting(mut shape: Shape, whole: f64, id: &str) -> (Shape, Option<Finding>) {
    let asked = shape.long[0] + shape.long[1];
    if asked <= whole {
        return (shape, None);
    }
    shape.long = shape.long.map(|long| long * whole / asked);
    let said = Finding::new(
        Severity::Caution,
        "stripe-ends",
        id,
        format!(
            "its two ends ask for {}, it is {} long: both are made shorter",
            length(asked),
            length(whole)
        ),
    )
    .figures(asked, Bound::Max, whole, "mm")
    .hint("make `end_length` less, or the stripe longer");
    (shape, Some(said))
}

fn as_mark(stripe: &Stripe, skin: &Skin, drawn: &Drawn, whole: f64, width: f64) -> Placed {
    let bounds = drawn.rings.iter().filter_map(Ring::bounds).reduce(|(a, b), (c, d)| {
        (Point::new(a.x.min(c.x), a.y.min(c.y)), Point::new(b.x.max(d.x), b.y.max(d.y)))
    });
    let (lo, hi) = bounds.unwrap_or_default();
    let centre = lo.midpoint(hi);
    let ends = [drawn.middle[0], drawn.middle[drawn.middle.len() - 1]];
    let along = ends[1] - ends[0];
    // Read from the viewer's left to his right.
    let along = if along.x < 0.0 { -along } else { along };
    let angle = along.atan2();
    let (u, v) = (
        Vec2::from_angle(angle) * (whole / 2.0),
        geom::point::left_of(Vec2::from_angle(angle)) * (width / 2.0),
    );
    let corners = [centre - u - v, centre + u - v, centre + u + v, centre - u + v];
    Placed {
        id: stripe.id.clone(),
        surface: stripe.surface.clone(),
        text: stripe.id.clone(),
        height: width,
        length: whole,
        stroke: width,
        gap: 0.0,
        centre,
        angle,
        glyphs: vec![PlacedGlyph { char: SIGN, width: whole, corners, rings: drawn.rings.clone() }],
        further: vec![],
        fit: FitReport::given(centre, skin.outline.clone()),
        charts: None,
    }
}

impl Laid {
    /// Station and t of its start and its end, mm.
    pub fn ends_on(&self, skin: &Skin) -> [[f64; 2]; 2] {
        [self.middle[0], self.middle[self.middle.len() - 1]].map(|p| skin.skin_from_flat(p))
    }
}
