//! What there is to say of a stripe: how fair it is, where it is too tight, how tape takes it, what lies in its way.

use super::edges::Drawn;
use super::fair::{Fair, MOST_POINTS};
use super::joint;
use super::laid::Laid;
use super::stations::Tick;
use super::tape::{Lies, TapeAlong};
use super::way::Way;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::fit::charts::{ADVISE, fine, percent};
use crate::fit::placed::Placed;
use crate::job::{AlongLine, Job, Stripe};
use crate::surface::{Skin, StripSkin};
use crate::words::{inches, length};
use geom::boolean::intersection;
use geom::distance::nearest_on_segment;
use geom::hull::hull;
use geom::measure::edges_to_region;
use geom::tolerance::KEPT_MM;
use geom::{Point, Point3, Region, Ring};

/// Bare base narrower than this between two stripes is where the paints meet, mm: 1/16 in. common practice, no source.
const MEET: f64 = 25.4 / 16.0;
/// Difference in station or height, mm, from which a mirror image is looked at again: 1/32 in, what a tape reads.
const MIRROR_SEEN: f64 = 25.4 / 32.0;
/// What an edge may lie off its distance from the middle, mm: the joins of the middle and those of the edge.
pub const EDGE_MM: f64 = 0.02;
/// Distance between places at which a strip's strain is looked at, mm.
const LOOK_EVERY: f64 = 20.0;
/// Gaussian curvature, 1/mm2, below which a skin is told as unrolling: a ball of 100 m.
const FLAT: f64 = 1.0 / (1.0e5 * 1.0e5);
/// Where parts are ticked, among what is said.
pub(super) const TICKS: &str = "stripe-ticks";
/// Area, mm2, from which two stripes lie over each other. chosen: a square of 1 mm.
const OVER: f64 = 1.0;

/// The stripe that must be laid before this one.
pub(super) fn leans_on(stripe: &Stripe) -> Option<&str> {
    match (&stripe.mirror_of, &stripe.along) {
        (Some(of), _) => Some(&of.value),
        (None, Some(along)) => match &along.value.line {
            AlongLine::Stripe(id, _) => Some(id),
            _ => None,
        },
        (None, None) => None,
    }
}

pub(super) fn no_line(stripe: &Stripe, why: &str) -> Finding {
    Finding::new(Severity::Fail, "stripe-line", &stripe.id, format!("the stripe cannot be laid: {why}"))
        .hint("check what it runs along, and its stations")
}

pub(super) fn not_fair(id: &str, points: usize) -> Finding {
    let why = if points > MOST_POINTS {
        format!("{points} points are more than the {MOST_POINTS} that are faired")
    } else {
        "no line of even bend was found through its points".to_owned()
    };
    Finding::new(
        Severity::Caution,
        "stripe-not-fair",
        id,
        format!("{why}: a smooth batten is laid through them"),
    )
    .hint("take points out where they wave, or let it pass some with `loose`")
}

/// Length, tightest bend, and how far the line leaves the shape its points span.
pub(super) fn faired(id: &str, fair: &Fair, points: &[Point]) -> Option<Finding> {
    if points.len() < 3 {
        return None;
    }
    let whole = fair.length();
    let places = (0..=1000).map(|k| fair.at(whole * f64::from(k) / 1000.0));
    let (bend, out) = places
        .fold((0.0_f64, 0.0_f64), |(b, o), (p, _, bend)| (b.max(bend.abs()), o.max(outside(points, p))));
    let tightest =
        if bend > 0.0 { format!("tightest radius {}", length(1.0 / bend)) } else { "straight".to_owned() };
    let beyond = if out > KEPT_MM {
        format!("it leaves the shape its points span by at most {}", length(out))
    } else {
        "it stays within the shape its points span".to_owned()
    };
    Some(Finding::new(
        Severity::Note,
        "stripe-fair",
        id,
        format!(
            "its middle runs fairly through {} points, {}, {tightest}; {beyond}",
            points.len(),
            length(whole)
        ),
    ))
}

/// How far a point lies outside the convex shape that others span, mm (at its corners a little less than the truth).
fn outside(points: &[Point], p: Point) -> f64 {
    let hull = hull(points.to_vec());
    let n = hull.len();
    if n < 3 {
        let (a, b) = (hull[0], hull[n - 1]);
        return nearest_on_segment(p, a, b).distance(p);
    }
    let side = |i: usize| {
        let (a, b) = (hull[i], hull[(i + 1) % n]);
        (p - a).cross((b - a).normalize())
    };
    (0..n).map(side).fold(0.0, f64::max)
}

pub(super) fn drawn(id: &str, way: &Way, drawn: &Drawn, skin: &Skin) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some([s, radius, half]) = drawn.tight {
        let [station, t] = skin.skin_from_flat(way.at(s).p);
        found.push(
            Finding::new(
                Severity::Fail,
                "stripe-tight",
                id,
                format!(
                    "at station {}, {} its middle bends round a radius of {}, tighter than half its width, {}",
                    length(station),
                    length(t),
                    length(radius),
                    length(half)
                ),
            )
            .figures(radius, Bound::Min, half, "mm")
            .hint("move the points apart there, or make it narrower"),
        );
    }
    if drawn.crosses {
        found.push(
            Finding::new(Severity::Fail, "stripe-crosses", id, "its outline crosses itself")
                .hint("move its points, make it narrower, or its ends shorter"),
        );
    }
    if let Way::Chords(chords) = way {
        for (s, turn) in chords.mitres() {
            let [station, _] = skin.skin_from_flat(way.at(s).p);
            found.push(
                Finding::new(
                    Severity::Note,
                    "stripe-mitre",
                    id,
                    format!(
                        "it turns by {:.1} degrees at station {}: mitred",
                        turn.abs().to_degrees(),
                        length(station)
                    ),
                )
                .hint("lay each side of the corner as a piece of its own"),
            );
        }
    }
    found
}

/// Strain at which any tape has torn or folded: beyond it the figure is no strain. chosen.
const TORN: f64 = 0.5;

pub(super) fn tape(id: &str, tape: &TapeAlong, masked: bool, way: &Way, skin: &Skin) -> Option<Finding> {
    if !masked || tape.width <= 0.0 {
        return None;
    }
    let stations = |list: &[[f64; 2]]| {
        let one = |[a, b]: &[f64; 2]| {
            let [from, to] = [*a, *b].map(|s| skin.skin_from_flat(way.at(s).p)[0]);
            format!("{} to {}", inches(from.min(to)), inches(from.max(to)))
        };
        list.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let (severity, words, hint) = match tape.lies {
        Lies::Lifts => (
            Severity::Caution,
            format!("would lift in its bends at stations {}", stations(&tape.lifts)),
            "narrower tape, or an easier bend; else film cut along the line",
        ),
        Lies::Steered => (
            Severity::Note,
            format!("is steered by hand at stations {}", stations(&tape.steer)),
            "pull it a little longer there and let it into the bend; press it down at once",
        ),
        Lies::Flat => (Severity::Pass, "falls into every bend by itself".to_owned(), ""),
    };
    let most = if tape.strain <= TORN {
        format!(
            "at most {:.1} % strain, {:.1} % is its working strain",
            tape.strain * 100.0,
            tape.working * 100.0
        )
    } else {
        // Nothing stretches by that much: the bend is told instead.
        format!(
            "the tape cannot follow it, it bends down to a radius of {}; its working strain, {:.1} %, takes {}",
            length(tape.width / tape.strain),
            tape.working * 100.0,
            length(tape.width / tape.working)
        )
    };
    Some(
        Finding::new(
            severity,
            "stripe-tape",
            id,
            format!("edge tape {:.1} mm wide {words}: {most}", tape.width),
        )
        .figures(tape.strain, Bound::Max, tape.working, "ratio")
        .source(
            Basis::Practice,
            "working strain of the tape: common practice, no source; bend: plain geometry",
        )
        .hint(hint),
    )
}

/// Where tape runs over a kink, whose bend in one line is no bend of the skin beside it.
pub(super) fn kinks(id: &str, tape: &TapeAlong, middle: &[Point], skin: &Skin) -> Vec<Finding> {
    let stations = || middle.iter().map(|p| skin.skin_from_flat(*p)[0]);
    let (first, last) = stations().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(s), b.max(s)));
    let over = skin.kinks().into_iter().filter(|s| 0.0 < tape.width && first < *s && *s < last);
    let said = over.map(|s| {
        Finding::new(
            Severity::Note,
            "stripe-kink",
            id,
            format!(
                "its tape runs over the kink at station {}: what it stretches in that line is not in its strain",
                inches(s)
            ),
        )
        .hint("try a length of tape over the kink first; if it puckers, part the tape there")
    });
    said.collect()
}

/// Where the edges of parts and covers are ticked, part by part.
pub(super) fn ticks(id: &str, ticks: &[Tick]) -> Vec<Finding> {
    let mut parts: Vec<&str> = Vec::new();
    for tick in ticks {
        if !parts.contains(&tick.part.as_str()) {
            parts.push(&tick.part);
        }
    }
    parts
        .into_iter()
        .map(|part| {
            let own = ticks.iter().filter(|t| t.part == part);
            let at: Vec<String> =
                own.map(|t| format!("{} / {}", inches(t.skin[0]), inches(t.skin[1]))).collect();
            Finding::new(
                Severity::Note,
                TICKS,
                id,
                format!(
                    "it runs over {part}: tick both sides of its edge at (station / t) {}",
                    at.join(", ")
                ),
            )
            .hint("tick before it comes off; line the ticks up again before the tape goes on")
        })
        .collect()
}

/// How true a mirror image is.
pub(super) fn mirror(stripe: &Stripe, of: &Laid, long: f64, differ: [f64; 2]) -> Option<Finding> {
    let worst = differ[0].abs().max(differ[1].abs());
    let off = (long - of.length).abs();
    let severity = if worst > KEPT_MM { Severity::Caution } else { Severity::Note };
    let panels = if worst > KEPT_MM {
        format!(
            "the two panels differ by {} along and {} across",
            length(differ[0].abs()),
            length(differ[1].abs())
        )
    } else {
        "the two panels are of one size".to_owned()
    };
    let finding = Finding::new(
        severity,
        "stripe-mirror",
        &stripe.id,
        format!("it mirrors {} by station and height, its length within {off:.3} mm; {panels}", of.id),
    );
    Some(if worst > KEPT_MM {
        finding.figures(worst, Bound::Max, 0.0, "mm").hint(
            "stations are counted from the forward end, heights from the lower edge: check both on the craft",
        )
    } else {
        finding
    })
}

/// How true a mirror image on a body is: both edges of both read by station and height, half way and every hundredth.
pub(super) fn mirror_on_body(
    stripe: &Stripe,
    of: &Laid,
    own: &StripSkin,
    skin: &Skin,
    half: &dyn Fn(f64) -> f64,
) -> Option<Finding> {
    let theirs = of.painted.charts.as_ref()?.sheet.strip()?;
    // Walked the same way, left of the one is right of the other where they lie on two sides.
    let sides = |s: &StripSkin| s.body().map(|b| b.side());
    let turned = if own.body().is_some() && sides(theirs) == sides(own) { 1.0 } else { -1.0 };
    // At equal stations, not at equal lengths: the two sides need not be walked at one pace.
    let read =
        |strip: &StripSkin, p: Point3| strip.scan().and_then(|s| s.axes()).map_or(p, |axes| axes.read(p));
    let mut worst: f64 = 0.0;
    for way in [-1.0, 1.0] {
        let edge = |strip: &StripSkin, way: f64, parts: u32| -> Option<Vec<Point>> {
            let at = |k: u32| {
                let share = f64::from(k) / f64::from(parts);
                let p = read(strip, strip.space(strip.flat_at(share * strip.length(), way * half(share)))?);
                Some(Point::new(p.x, p.z))
            };
            let line: Vec<Point> = (0..=parts).filter_map(at).collect();
            (1 < line.len()).then_some(line)
        };
        let (ours, others) = (edge(own, way, 100)?, edge(theirs, way * turned, 800)?);
        for p in ours {
            let off = others.windows(2).map(|w| nearest_on_segment(p, w[0], w[1]).distance(p));
            worst = worst.max(off.fold(f64::INFINITY, f64::min));
        }
    }
    let severity = if worst > MIRROR_SEEN { Severity::Caution } else { Severity::Note };
    Some(
        Finding::new(
            severity,
            "stripe-mirror",
            &stripe.id,
            format!(
                "it mirrors {} by station and waterline: its edges on {} lie within {worst:.3} mm of the other's stations \
                 and heights",
                of.id, skin.id
            ),
        )
        .figures(worst, Bound::Should, MIRROR_SEEN, "mm")
        .hint(if worst > MIRROR_SEEN {
            "the two sides were measured as two shapes: give both the same stations, or measure both edges on the craft"
        } else {
            ""
        }),
    )
}

/// What laying the strip flat does: lengths along the edges only.
pub(super) fn laid_flat(id: &str, skin: &Skin, whole: f64, half: &dyn Fn(f64) -> f64) -> Option<Finding> {
    let strip = skin.strip()?;
    let parts = (whole / LOOK_EVERY).ceil().clamp(8.0, 2000.0);
    let places = (0..=parts as usize).map(|k| whole * k as f64 / parts);
    let (most, sum, gauss) = places.fold((0.0_f64, 0.0, 0.0_f64), |(most, sum, gauss), s| {
        let bend = strip.gauss(s);
        let strain = bend * half(s) * half(s) / 2.0;
        (most.max(strain.abs()), sum + strain / (parts + 1.0), gauss.max(bend.abs()))
    });
    let sharpest = if gauss > FLAT {
        format!("as on a ball of {}", length(1.0 / gauss.sqrt()))
    } else {
        "not at all".to_owned()
    };
    Some(
        Finding::new(
            Severity::Note,
            "stripe-strip",
            id,
            format!(
                "the skin curves both ways ({sharpest} at most): both edges lie half the width off the middle over the skin, \
                 within {EDGE_MM:.2} mm; laid flat, lengths along the edges are off by {} at most, {} over the whole",
                percent(most),
                fine((sum * whole).abs())
            ),
        )
        .figures(most, Bound::Max, ADVISE, "")
        .source(Basis::Practice, "half the Gaussian curvature times the square of half the width"),
    )
}

/// Points given beside a scan.
pub(super) fn off_scan(id: &str, far: f64) -> Option<Finding> {
    (far > KEPT_MM).then(|| {
        Finding::new(
            Severity::Note,
            "stripe-off-scan",
            id,
            format!("its points lie up to {} off the scan as smoothed: it runs through the places nearest to them", length(far)),
        )
    })
}

/// A fair line that was not settled.
pub(super) fn unsettled(id: &str, apart: f64, limit: f64) -> Option<Finding> {
    (apart > limit).then(|| {
        Finding::new(
            Severity::Caution,
            "stripe-not-settled",
            id,
            format!("walked over the skin its middle leaves the fair line by up to {}", fine(apart)),
        )
        .figures(apart, Bound::Should, limit, "mm")
        .hint("give more points where the skin bends most")
    })
}

/// Stripes that lie over each other or over a mark, and stripes so near that their paints meet; of one paint where they
/// are joined.
pub(super) fn over_each_other(job: &Job, laid: &[Laid], marks: &[Placed], skins: &[Skin]) -> Vec<Finding> {
    let mut found = Vec::new();
    for (k, one) in laid.iter().enumerate() {
        let before = laid[..k].iter().map(|l| (&l.painted, l.painted.rings(), Some(l)));
        let marks = marks.iter().map(|m| (m, m.all_rings(), None));
        for (other, rings, stripe) in before.chain(marks).filter(|o| o.0.surface == one.surface) {
            let joined = stripe.map_or_else(Vec::new, |first| joint::notes(job, first, one, skins));
            if joined.is_empty() {
                let rings = beside(one, other, rings);
                found.extend(pair(job, one, &other.id, &rings));
            }
            found.extend(joined);
        }
    }
    found
}

/// The rings of another as they lie in the flat of a stripe: on a curved skin each has its own.
fn beside(one: &Laid, other: &Placed, rings: Vec<Ring>) -> Vec<Ring> {
    let own = one.painted.charts.as_ref().and_then(|c| c.sheet.strip());
    let (Some(own), Some(theirs)) = (own, &other.charts) else { return rings };
    let point = |p: Point| theirs.sheet.space_from_flat(p).map_or(p, |q| own.at_space(q));
    let ring = |r: &Ring| Ring::from_points(r.flattened(geom::tolerance::FLATTEN_MM).into_iter().map(point));
    rings.iter().map(ring).collect()
}

fn pair(job: &Job, one: &Laid, other: &str, rings: &[Ring]) -> Option<Finding> {
    let own = one.painted.rings();
    let shared: f64 = intersection(&own, rings).iter().map(Ring::area).sum();
    let (paint, over) = job.painted_with(&one.id).unwrap_or_default();
    let (their_paint, their_over) = job.painted_with(other).unwrap_or_default();
    if shared > OVER {
        let meant =
            (!their_paint.is_empty() && over == their_paint) || (!paint.is_empty() && their_over == paint);
        let shares = format!("it and {other} lie on each other on {:.1} cm2", shared / 100.0);
        // Of two paints the one that is shot last would be on top, whichever that is: the job has to say so.
        let (severity, words) = if paint == their_paint {
            (Severity::Caution, shares)
        } else {
            (
                Severity::Fail,
                format!("{shares}, in two paints, and neither says which of them goes on the other"),
            )
        };
        return (!meant).then(|| {
            Finding::new(severity, "stripe-over", &one.id, words)
                .figures(shared, Bound::Max, 0.0, "mm2")
                .source(Basis::Practice, "common practice, no source")
                .hint("move one of them, or say with `over` which paint it goes on")
        });
    }
    let area = Region::Area { rings: rings.to_vec() };
    let apart = edges_to_region(&own, &area);
    let hint = "two paints never butt: leave a gap, or let the second lap the first by 1/16 to 1/8 in";
    (apart < MEET).then(|| {
        let left = format!("only {} of base is left between it and {other}", length(apart.max(0.0)));
        let (words, hint) = match (paint == their_paint && !paint.is_empty(), apart <= joint::seam(&one.painted)) {
            (false, _) => (left, hint.to_owned()),
            // A letter is never joined with a stripe.
            (true, _) if job.marks.iter().any(|m| m.id == other) => {
                (left, format!("leave {}, or shoot the two in two goes", narrowest(job)))
            }
            (true, false) => (
                format!("{left}, of one paint: a line of base so narrow is hardly taped true"),
                format!(
                    "let the two meet (`ends` with \"butt\" or \"mitre\", or one on the other), or leave {}",
                    narrowest(job)
                ),
            ),
            (true, true) => {
                let why = match one.painted.charts {
                    Some(_) => "the skin bends too much between them for one flat to serve both",
                    None => "their outlines could not be made one",
                };
                (
                    format!("it meets {other}, of one paint, but {why}: each has a mask of its own"),
                    "shoot the two in two goes: give one of them a second [[paint]], a copy of the first under another id; \
                     the edge between them is taped on the first when that is dry to tape"
                        .to_owned(),
                )
            }
        };
        Finding::new(Severity::Caution, "stripe-meets", &one.id, words)
            .figures(apart, Bound::Should, MEET, "mm")
            .source(Basis::Practice, "common practice, no source")
            .hint(hint)
    })
}

/// The gap that the narrowest edge tape of the shelf fills.
fn narrowest(job: &Job) -> String {
    let shelf = job.masking.iter().flat_map(|m| &m.edge_tapes).map(|t| t.real);
    match shelf.reduce(f64::min) {
        Some(real) => format!("a gap as wide as your narrowest edge tape, {}", length(real)),
        None => format!("a gap of {} or more", length(2.0 * MEET)),
    }
}
