//! The middle of a stripe that runs along something on a scan: a waterline, an edge, a seam, the shortest way, or the
//! mirror image of another stripe.
//!
//! The line is first found on the triangles themselves, with no smoothing of its own, and places set a constant distance
//! from it over the skin. Through those places a smooth batten is laid, so that the tape's bends are those of the line and
//! not of single triangles; between them the batten is held against the line again, and that is said.

use super::curved::{Asked, Middle, none, off_skin};
use super::laid::Laid;
use super::reference::up;
use super::say;
use super::say_scanned as told;
use super::scan_batten::{BACK, Laying, Nodes, fitted, laid};
use super::way::{BEND, Chords, Way};
use crate::finding::Finding;
use crate::job::{Along, AlongLine, Side, SkinEdge};
use crate::surface::{OFF_SCAN, ScanSkin, Stated, StripSkin};
use crate::words::length;
use geom::Point3;
use geom::tolerance::{GRID_MM, KEPT_MM};
use skin::beside::Beside;
use skin::taut::{shortest, taut};
use skin::trail::{Trail, level, near_by, rims};
use skin::{Mesh, Spot};

/// Distance between the places set along a line, mm: 3/4 in. chosen: short beside any bend a stripe takes, long beside a
/// scanner's noise.
const STEP: f64 = 19.05;
/// The places stand no nearer than so many mean sides of the triangles: nearer they would tell of single triangles. chosen.
const SIDES: f64 = 2.5;
/// Most times they are set twice as close.
const CLOSER: usize = 3;
/// What the batten may leave its line by before they are, mm.
const LEFT_MM: f64 = 0.05;
/// Distance between batten and strip, mm, from which they are not one: a join of either may leave its line by half of it.
const SETTLED: f64 = 2.0 * say::EDGE_MM;
/// Share of the foremost and of the last of a rim's stations that count as its end: a rim may end square. chosen.
const SQUARE: f64 = 0.02;
/// Share of the skin's stations that its longest rim spans at least, if it has an upper and a lower edge. chosen: of a pipe open
/// at both ends a rim spans next to nothing.
const ALONG_RIM: f64 = 0.5;
/// How square to the middle plane a skin may lie for a mirror image to keep its station and height: wholly from the one
/// share of its way out on, not at all below the other. chosen.
const FACING: [f64; 2] = [0.3, 0.6];
/// Steps beyond the stations asked for that are still laid: a batten is at rest after two.
const SPARE: f64 = 3.0;
/// Share of the line's length from which a second piece of it is told.
const PIECE_TOLD: f64 = 0.05;

/// A line on the triangles that a stripe runs along.
struct Line {
    trail: Trail,
    corners: Vec<(f64, f64)>,
    /// Where the middle lies, mm to the left of it.
    off: f64,
    /// What it is, in words.
    name: String,
    said: Vec<Finding>,
}

/// The middle of a stripe along something on a scan.
///
/// # Errors
/// In words, why there is none.
pub(super) fn middle(asked: &Asked<'_>, scan: &ScanSkin) -> Result<Middle, String> {
    let (laying, mut said) = match &asked.stripe.along {
        Some(along) => {
            let line = line(asked, scan, &along.value)?;
            let (laying, errs) = settled(asked, scan, &along.value, &line)?;
            let mut said = line.said;
            said.push(told::along(&asked.stripe.id, &line.name, line.off.abs(), errs, laying.strip.length()));
            (laying, said)
        }
        None => mirrored(asked, scan)?,
    };
    said.extend(say::unsettled(&asked.stripe.id, laying.apart, SETTLED));
    Ok(Middle { strip: laying.strip, way: Way::Chords(laying.line), said })
}

fn axes(scan: &ScanSkin) -> Result<&Stated, String> {
    scan.axes().ok_or_else(|| "the axes of the scan are not stated".to_owned())
}

fn line(asked: &Asked<'_>, scan: &ScanSkin, along: &Along) -> Result<Line, String> {
    let mesh = scan.mesh();
    let mut line = match &along.line {
        AlongLine::Waterline(height) => waterline(asked, scan, along, *height)?,
        AlongLine::Edge(edge) => return rim(asked, scan, *edge, along.off),
        AlongLine::Feature(id) => feature(scan, id)?,
        AlongLine::ScanStraight(ends) => {
            let mut worst: f64 = 0.0;
            let mut spot = |own: &[f64; 3]| {
                let (spot, far) = Spot::nearest(mesh, scan.point(*own));
                worst = worst.max(far);
                let said = own.map(|v| v.to_string()).join(", ");
                if far > OFF_SCAN {
                    Err(format!("the point {said} lies {} off the scan", length(far)))
                } else {
                    Ok(spot)
                }
            };
            let (a, b) = (spot(&ends[0])?, spot(&ends[1])?);
            let (way, _) = shortest(mesh, a, b, usize::MAX)
                .ok_or("its two points lie on pieces of the scan that do not hang together")?;
            let trail = Trail::of_way(mesh, a, &way.points).ok_or("its two points are one")?;
            let said = say::off_scan(&asked.stripe.id, worst).into_iter().collect();
            Line { trail, corners: vec![], off: 0.0, name: "the shortest way".to_owned(), said }
        }
        AlongLine::Straight(_) | AlongLine::Stripe(..) => return Err(none()),
    };
    let seen = [0, line.trail.points().len() - 1].map(|k| scan.flat(line.trail.points()[k]));
    line.off = along.off * Chords::new(seen).map_or(1.0, |seen| up(&seen));
    Ok(line)
}

/// Level at a height: of the pieces on the side asked for the longest.
fn waterline(asked: &Asked<'_>, scan: &ScanSkin, along: &Along, height: f64) -> Result<Line, String> {
    let axes = axes(scan)?;
    let (up, at) = axes.level(height);
    let cuts = level(scan.mesh(), up, at);
    let side = match asked.skin.side {
        Some(Side::Left) => -1.0,
        Some(Side::Right) => 1.0,
        _ => 0.0,
    };
    // Offsets are cut off where they are asked to, once more when the middle is found.
    let spare = if along.off == 0.0 { 0.0 } else { along.off.abs() + STEP };
    let kept = |trails: Vec<Trail>, measure: &dyn Fn(Point3) -> f64| -> Vec<Trail> {
        trails.iter().flat_map(|t| t.kept(&|p| measure(axes.read(p)))).collect()
    };
    let mut pieces = kept(cuts, &|p| if side == 0.0 { 1.0 } else { side * p.y });
    let met = pieces.iter().flat_map(Trail::points).map(|p| axes.read(*p).x);
    let (low, high) = met.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(s), b.max(s)));
    if let Some(from) = along.from {
        pieces = kept(pieces, &|p| p.x - (from - spare));
    }
    if let Some(to) = along.to {
        pieces = kept(pieces, &|p| to + spare - p.x);
    }
    pieces.sort_by(|a, b| b.length().total_cmp(&a.length()));
    let mut pieces = pieces.into_iter();
    let trail = pieces.next().ok_or_else(|| {
        if high <= low {
            return "its waterline does not meet the scan".to_owned();
        }
        let bound = |key: &str, at: Option<f64>| at.map(|at| format!(" {key} {}", length(at)));
        let asked: String = [bound("from", along.from), bound("to", along.to)].into_iter().flatten().collect();
        format!(
            "its waterline does not meet the scan where it is asked to run,{asked}: it does from station {} to {}",
            length(low),
            length(high)
        )
    })?;
    if trail.closed() {
        return Err(
            "its waterline runs all round the scan: give the surface a `side`, or `from` and `to`".to_owned()
        );
    }
    let others: Vec<f64> = pieces.map(|t| t.length()).filter(|l| PIECE_TOLD * trail.length() < *l).collect();
    let said = told::pieces(&asked.stripe.id, trail.length(), &others).into_iter().collect();
    let trail = rising(trail, axes);
    Ok(Line { trail, corners: vec![], off: 0.0, name: format!("the waterline {}", length(height)), said })
}

/// The line walked so that stations grow along it.
fn rising(trail: Trail, axes: &Stated) -> Trail {
    let [a, b] = [0, trail.points().len() - 1].map(|k| axes.read(trail.points()[k]).x);
    if b < a { trail.reversed() } else { trail }
}

/// The upper or lower edge of the longest rim: between its foremost and its last point.
fn rim(asked: &Asked<'_>, scan: &ScanSkin, edge: SkinEdge, off: f64) -> Result<Line, String> {
    let axes = axes(scan)?;
    let rim = rims(scan.mesh()).into_iter().next().ok_or("the scan has no open rim")?;
    let half = asked.shape.widest() / 2.0;
    if off < half {
        return Err(format!(
            "its middle lies {} inside the rim of the scan, less than half its width: give `off` {} or more",
            length(off),
            length(half)
        ));
    }
    let read: Vec<Point3> = rim.points().iter().map(|p| axes.read(*p)).collect();
    let (low, high) =
        read.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.x), b.max(p.x)));
    let all = scan.mesh().points().iter().map(|p| axes.read(*p).x);
    let (fore_most, aft_most) =
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(s), b.max(s)));
    if high - low < ALONG_RIM * (aft_most - fore_most) {
        let at = if high - low <= KEPT_MM {
            format!("at station {}", length(low))
        } else {
            format!("between stations {} and {}", length(low), length(high))
        };
        return Err(format!(
            "the scan has no edge along it: its longest rim runs round it {at}, the skin from station {} to {}",
            length(fore_most),
            length(aft_most)
        ));
    }
    // Of a square end its corner on that side: as far out as it is high, for an edge that is level has no highest place.
    let climb = if edge == SkinEdge::Upper { 1.0 } else { -1.0 };
    let corner = |from: f64, to: f64, out: f64| {
        let there = (0..read.len()).filter(|k| from <= read[*k].x && read[*k].x <= to);
        let at = |k: usize| climb * read[k].z + out * read[k].x;
        there.reduce(|best, k| if at(best) < at(k) { k } else { best })
    };
    let square = SQUARE * (high - low);
    let (fore, last) =
        corner(low, low + square, -1.0).zip(corner(high - square, high, 1.0)).ok_or_else(none)?;
    let [fore, last] = [fore, last].map(|k| rim.knots()[k]);
    let arc = |a: f64, b: f64| {
        if a < b {
            return rim.part(a, b);
        }
        match (rim.part(a, rim.length()), rim.part(0.0, b)) {
            (Some(first), Some(second)) => Some(first.then(&second)),
            (first, second) => first.or(second),
        }
    };
    // The skin lies left of a rim as it is walked.
    let (there, back) = arc(fore, last).zip(arc(last, fore)).ok_or_else(none)?;
    let high = |t: &Trail| {
        let at = |k: u32| axes.read(t.at(scan.mesh(), t.length() * f64::from(k) / 64.0).point(scan.mesh())).z;
        (0..=64).map(at).sum::<f64>()
    };
    let upper = high(&back) < high(&there);
    let (trail, off) =
        if upper == (edge == SkinEdge::Upper) { (there, off) } else { (back.reversed(), -off) };
    let word = if edge == SkinEdge::Upper { "upper" } else { "lower" };
    Ok(Line { trail, corners: vec![], off, name: format!("the {word} edge of the scan"), said: vec![] })
}

/// The path of a feature, its points joined the shortest way, walked aft if that is told.
fn feature(scan: &ScanSkin, id: &str) -> Result<Line, String> {
    let mesh = scan.mesh();
    let points = scan.path_of(id).ok_or_else(|| format!("feature `{id}` has no path on the skin"))?;
    let apart = || format!("feature `{id}` lies on pieces of the scan that do not hang together");
    let mut last = Spot::nearest(mesh, points[0]).0;
    let mut trail: Option<Trail> = None;
    let mut joints = Vec::new();
    for p in &points[1..] {
        let next = near_by(mesh, last.triangle, *p);
        let next = if next.point(mesh).distance(*p) <= GRID_MM { next } else { Spot::nearest(mesh, *p).0 };
        let way = taut(mesh, last, next).ok_or_else(apart)?;
        if let Some(leg) = Trail::of_way(mesh, last, &way.points) {
            trail = Some(match trail {
                Some(before) => {
                    joints.push(before.length());
                    before.then(&leg)
                }
                None => leg,
            });
        }
        last = next;
    }
    let mut trail = trail.ok_or_else(|| format!("feature `{id}` has no path on the skin"))?;
    if let Some(axes) = scan.axes() {
        let [a, b] = [0, trail.points().len() - 1].map(|k| axes.read(trail.points()[k]));
        if (b.z - a.z).abs() < (b.x - a.x).abs() && b.x < a.x {
            let whole = trail.length();
            trail = trail.reversed();
            joints = joints.iter().rev().map(|s| whole - s).collect();
        }
    }
    let turn = |s: &f64| {
        let spot = trail.at(mesh, *s);
        let (came, goes) = (trail.way(s - KEPT_MM), trail.way(s + KEPT_MM));
        let out = mesh.cross(spot.triangle).normalize_or_zero();
        (*s, came.cross(goes).dot(out).atan2(came.dot(goes)))
    };
    let corners = joints.iter().map(turn).filter(|c| c.1.abs() > BEND).collect();
    Ok(Line { trail, corners, off: 0.0, name: format!("feature `{id}`"), said: vec![] })
}

/// The batten along a line between the stations asked for, its places set as close as it needs and the triangles allow,
/// and what it leaves the line by between them, mm.
fn settled(asked: &Asked<'_>, scan: &ScanSkin, along: &Along, line: &Line) -> Result<(Laying, f64), String> {
    let mesh = scan.mesh();
    let least = SIDES * mean_side(mesh);
    let mut step = STEP.max(least).min(line.trail.length() / 2.0);
    let mut best: Option<(Laying, f64)> = None;
    for _ in 0..=CLOSER {
        let beside = Beside { mesh, line: &line.trail, corners: &line.corners, off: line.off, step };
        let mut places = beside.places();
        if let Some(axes) = scan.axes() {
            // A corner of the line far beyond the stations asked for has no say in it.
            let (from, to) = (along.from.unwrap_or(f64::NEG_INFINITY), along.to.unwrap_or(f64::INFINITY));
            let spare = SPARE * step;
            places.retain(|p| {
                let s = axes.read(p.spot.point(mesh)).x;
                from - spare <= s && s <= to + spare
            });
        }
        if places.len() < 2 {
            break;
        }
        let laying = laid(scan, &Nodes::of(mesh, &places), asked.shape.widest())?;
        let laying = fitted(asked, scan, [along.from, along.to], laying, step)?;
        let errs = errs(scan, &beside, &laying)?;
        if best.as_ref().is_none_or(|b| errs < b.1) {
            best = Some((laying, errs));
        }
        if errs <= LEFT_MM || step / 2.0 < least {
            break;
        }
        step /= 2.0;
    }
    best.ok_or_else(|| "there is no room for it beside its line".to_owned())
}

/// Into how many parts a stretch between corners is cut: a short one is straight.
fn parts_of(long: f64, step: f64) -> f64 {
    match long / step {
        few if few <= 0.5 => 1.0,
        few if few <= 1.0 => 2.0,
        more => more.ceil().max(3.0),
    }
}

fn mean_side(mesh: &Mesh) -> f64 {
    let sides = 3 * mesh.triangles().len() as u32;
    (0..sides).map(|s| mesh.length(s)).sum::<f64>() / f64::from(sides.max(1))
}

/// How far the batten is from where its line has it half way between places, mm at most; next to corners it is not asked.
fn errs(scan: &ScanSkin, beside: &Beside<'_>, laying: &Laying) -> Result<f64, String> {
    let at_corner = |k: usize| beside.off != 0.0 && laying.corners.contains(&k);
    let between = (1..laying.knots.len()).filter(|k| !at_corner(*k) && !at_corner(k - 1));
    let mut spots = Vec::new();
    let mut last: Option<Spot> = None;
    for k in between {
        let s = f64::midpoint(laying.knots[k - 1], laying.knots[k]);
        let p = laying.strip.space(laying.line.at(s).p).ok_or_else(off_skin)?;
        let near = last.map(|l| near_by(scan.mesh(), l.triangle, p));
        let near = near.filter(|n| n.point(scan.mesh()).distance(p) <= GRID_MM);
        let spot = near.unwrap_or_else(|| Spot::nearest(scan.mesh(), p).0);
        last = Some(spot);
        spots.push(spot);
    }
    beside.errs(&spots).ok_or_else(off_skin)
}

/// Along a line drawn in the flat of another stripe's strip, as far as both corners of its ends lie on the scan.
pub(super) fn beside(
    asked: &Asked<'_>,
    scan: &ScanSkin,
    strip: &StripSkin,
    line: &Chords,
) -> Result<Middle, String> {
    // The longest stretch of it that lies on the scan.
    let parts = (line.length() / BACK).ceil().max(2.0) as usize;
    let place = |k: usize| line.length() * k as f64 / parts as f64;
    let (mut best, mut start) = ([0, 0], None);
    for k in 0..=parts + 1 {
        let there = k <= parts && strip.space(line.at(place(k)).p).is_some();
        match (there, start) {
            (true, None) => start = Some(k),
            (false, Some(a)) => {
                if best[1] - best[0] < k - 1 - a {
                    best = [a, k - 1];
                }
                start = None;
            }
            _ => {}
        }
    }
    let (from, to) = (place(best[0]), place(best[1]));
    let step = STEP.max(SIDES * mean_side(scan.mesh()));
    let mut stops = vec![from];
    stops
        .extend(line.mitres().iter().map(|m| m.0).filter(|s| from + step / 4.0 < *s && *s < to - step / 4.0));
    stops.push(to);
    let (mut points, mut corners) = (Vec::new(), Vec::new());
    for (i, w) in stops.windows(2).enumerate() {
        let count = parts_of(w[1] - w[0], step);
        for k in usize::from(0 < i)..=count as usize {
            points
                .push(strip.space(line.at(w[0] + (w[1] - w[0]) * k as f64 / count).p).ok_or_else(off_skin)?);
        }
        corners.push(points.len() - 1);
    }
    corners.pop();
    let laying = laid(scan, &Nodes { points, corners }, asked.shape.widest())?;
    let laying = fitted(asked, scan, [None; 2], laying, step)?;
    let said = say::unsettled(&asked.stripe.id, laying.apart, SETTLED).into_iter().collect();
    Ok(Middle { strip: laying.strip, way: Way::Chords(laying.line), said })
}

/// The mirror image in the plane of symmetry, each place brought onto the skin the nearest way.
fn mirrored(asked: &Asked<'_>, scan: &ScanSkin) -> Result<(Laying, Vec<Finding>), String> {
    let other: &Laid = asked.other.ok_or_else(none)?;
    let theirs = other.painted.charts.as_ref().and_then(|c| c.sheet.strip()).ok_or_else(none)?;
    let their_axes = axes(theirs.scan().ok_or("a stripe on a scan mirrors one on a scan")?)?;
    let own = axes(scan)?;
    let middle = Chords::new(other.middle.iter().copied()).ok_or_else(none)?;
    let mut stops = vec![0.0];
    stops.extend(middle.mitres().iter().map(|m| m.0));
    stops.push(middle.length());
    let step = STEP.max(SIDES * mean_side(scan.mesh()));
    let (mut points, mut corners, mut moved) = (Vec::new(), Vec::new(), 0.0_f64);
    for (i, w) in stops.windows(2).enumerate() {
        let parts = parts_of(w[1] - w[0], step);
        for k in usize::from(0 < i)..=parts as usize {
            let p =
                theirs.space(middle.at(w[0] + (w[1] - w[0]) * k as f64 / parts).p).ok_or_else(off_skin)?;
            let read = their_axes.read(p);
            let (on, far) = brought(scan, own, Point3::new(read.x, -read.y, read.z));
            if far > OFF_SCAN {
                return Err(format!(
                    "the mirror image of {} at station {} lies {} off the scan",
                    other.id,
                    length(read.x),
                    length(far)
                ));
            }
            moved = moved.max(far);
            points.push(on);
        }
        corners.push(points.len() - 1);
    }
    corners.pop();
    let laying = laid(scan, &Nodes { points, corners }, asked.shape.widest())?;
    let laying = fitted(asked, scan, [None; 2], laying, step)?;
    Ok((laying, vec![told::moved(&asked.stripe.id, &other.id, moved)]))
}

/// The place of the skin that a station, a distance from the middle plane and a height are brought to, and how far: at the
/// same station and height where the skin faces the side, else the nearest.
fn brought(scan: &ScanSkin, axes: &Stated, read: Point3) -> (Point3, f64) {
    let mesh = scan.mesh();
    let (to, across) =
        (axes.place(read), (axes.place(read + Point3::Y) - axes.place(read)).normalize_or_zero());
    let (near, far) = StripSkin::spot_near(scan, to);
    let Some((spot, _)) = Spot::pierced(mesh, to, across).filter(|p| p.1.abs() <= OFF_SCAN) else {
        return (near, far);
    };
    let facing = mesh.cross(spot.triangle).normalize_or_zero().dot(across).abs();
    let share = ((facing - FACING[0]) / (FACING[1] - FACING[0])).clamp(0.0, 1.0);
    let on = match share {
        0.0 => near,
        1.0 => spot.point(mesh),
        _ => StripSkin::spot_near(scan, near.lerp(spot.point(mesh), share)).0,
    };
    (on, on.distance(to))
}
