//! A chart: a piece of a skin that curves both ways, laid flat with the least error of length round one place.
//!
//! A mark gets a chart wide enough to search in, and each of its characters a small one of its own, its middle on a
//! straightest line (a geodesic) through the mark's middle at mid-height. Charts of one mark share its axes: flat
//! there is true lengths about the mark's middle, turned and moved so that the middle lies where the surface's own
//! flat has it. What the lengths of a chart err by is stated with it.

use super::body::BodySkin;
use super::figures::{Figures, bare, figures, stroke_error_on_triangles};
use super::net::Net;
use super::scan::ScanSkin;
use super::scan_chart::Carrier;
use crate::job::SkinPair;
use geom::boolean::intersection;
use geom::{Affine, Edge, Point, Point3, Ring, Vec2};
use skin::cut::{Cutter, Ended};
use skin::flatten::{Flat, flatten};
use skin::straight::Bearing;
use skin::surface::way::{along_and_off, between, square_off};
use skin::surface::{Heading, Surface, grid};
use skin::taut::taut;
use skin::{Mesh, Spot};
use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

/// Most corners of a chart's net: finer ones change no figure that is printed. Measured.
const MOST_CORNERS: f64 = 300.0;

/// Least spacing of the net, mm; what is smaller than a letter of half an inch has no finer bends. chosen.
const LEAST_STEP: f64 = 2.0;

/// Share of its size by which a chart reaches beyond what was asked for on each side.
const SPARE: f64 = 0.05;

/// The same of a scan, one after the other until all that was asked for lies on the pattern: where coarse triangles meet at
/// an edge, the first map by which a patch is cut may be a tenth off.
const SPARES: [f64; 4] = [SPARE, 0.1, 0.2, 0.4];

/// Places on each side of a box at which it is looked whether it lies on the pattern. chosen.
const LOOKS: usize = 8;

/// How far a chart is carried on beyond what was asked for, mm: farther off nothing is measured finely. chosen.
const FAR: f64 = 200.0;

/// Strain in the mean above which a scan laid flat is no pattern: a tip or a crumpled piece, which no paper follows. chosen.
const NO_PATTERN: f64 = 0.1;

/// How far either way along the baseline its direction is read off a scan's chart, mm. chosen: about a triangle.
const HEADED_MM: f64 = 2.0;

/// Share of the height of a chart from which a straight side of a character is measured by itself; what is shorter
/// errs by far less than the sampled strokes. chosen.
const SIDE: f64 = 0.2;

/// A piece of skin laid flat.
#[derive(Clone, Debug)]
pub struct Chart {
    ground: Ground,
    /// Where the mark's middle lies on the surface's own flat, and the turn of its baseline there.
    middle: Point,
    angle: f64,
    /// The chart's own middle from the mark's, along the baseline and up, mm.
    off: Vec2,
    /// What was asked for, mm.
    size: Vec2,
    /// What laying it flat did.
    pub figures: Figures,
    /// Where the mark is wanted, if that is not its middle: a reading.
    aim: Option<SkinPair>,
    /// Laid wide to look for a place in; what is found there is looked at again on a closer one.
    wide: bool,
    /// Charts of the mark's characters: within their boxes theirs are the readings and places in space.
    letters: Arc<Vec<Chart>>,
}

/// What a chart lies on.
#[derive(Clone, Debug)]
enum Ground {
    /// A body: how places of the first map (along, then square off) are moved.
    Body { body: BodySkin, bearing: Heading, net: Arc<Net> },
    /// A scan: the patch, its flat places and which triangles of the scan it lies on; where those are coarse, the
    /// smooth skin that its figures are of.
    Scan {
        scan: ScanSkin,
        bearing: Bearing,
        patch: Arc<Mesh>,
        flat: Arc<Flat>,
        triangles: Arc<Vec<u32>>,
        smooth: Option<Arc<Net>>,
        short: bool,
    },
}

impl Chart {
    /// A chart of `size` (along the baseline, up) on a body round a flat point, its baseline at `angle` on the flat
    /// drawing's axes; `None` where the body has no such place or the piece cannot be laid flat.
    pub fn on_body(body: &BodySkin, middle: Point, angle: f64, size: Vec2) -> Option<Chart> {
        let bearing = body.bearing(middle, angle)?;
        Chart::round_heading(body, bearing, (middle, angle), Vec2::ZERO, size)
    }

    fn round_heading(
        body: &BodySkin,
        bearing: Heading,
        (middle, angle): (Point, f64),
        off: Vec2,
        size: Vec2,
    ) -> Option<Chart> {
        let whole = size * (1.0 + 2.0 * SPARE);
        let step = (whole.x * whole.y / MOST_CORNERS).sqrt().max(LEAST_STEP);
        // Even, so that the middle is a corner.
        let count = |size: f64| 2 * ((size / step / 2.0).ceil() as usize).max(2);
        let (across, up) = (count(whole.x), count(whole.y));
        let grid = grid(body.body(), bearing, whole.x, whole.y, across, up);
        let bends: Vec<f64> = grid.places.iter().map(|p| body.body().jet(*p).curvature()).collect();
        let (net, strain, stroke_error) = Net::laid(grid, size)?;
        let figures = Figures { stroke_error, ..figures(strain, &bends, whole) };
        let ground = Ground::Body { body: body.clone(), bearing, net: Arc::new(net) };
        Some(Chart::laid(ground, (middle, angle), off, size, figures))
    }

    /// The same on a scan round a spot.
    pub fn on_scan(scan: &ScanSkin, bearing: Bearing, size: Vec2) -> Option<Chart> {
        let middle = scan.flat(bearing.spot.point(scan.mesh()));
        Chart::round_spot(scan, bearing, (middle, scan.turn(bearing.along)), Vec2::ZERO, size)
    }

    fn round_spot(
        scan: &ScanSkin,
        bearing: Bearing,
        (middle, angle): (Point, f64),
        off: Vec2,
        size: Vec2,
    ) -> Option<Chart> {
        let cutter = Cutter::new(scan.mesh());
        let mut laid = None;
        for spare in SPARES {
            let whole = size * (1.0 + 2.0 * spare);
            let Ended { patch, smooth, bend } = cutter.ended(bearing, whole)?;
            let flat =
                flatten(&patch.mesh, &patch.flat).ok()?.aligned(&patch.mesh, patch.centre, bearing.along);
            let holds = patch.short || flat.spots(&patch.mesh, &round_box(size)).iter().all(Option::is_some);
            laid = Some((patch, smooth, flat, bend, whole));
            if holds {
                break;
            }
        }
        let (cut, smooth, flat, bend, whole) = laid?;
        if flat.turned_over > 0 || NO_PATTERN < flat.strain.rms {
            return None;
        }
        let stroke = stroke_error_on_triangles(&flat, &cut.mesh, size);
        let smooth = smooth
            .and_then(|grid| Net::laid(grid, size))
            .filter(|(_, strain, _)| !bare(flat.strain, *strain, bend, whole));
        let strain = smooth.as_ref().map_or(flat.strain, |s| s.1);
        let stroke_error = smooth.as_ref().map_or(stroke, |s| s.2.max(stroke));
        let figures = Figures { stroke_error, ..figures(strain, &[bend], whole) };
        let smooth = smooth.map(|s| Arc::new(s.0));
        let ground = Ground::Scan {
            scan: scan.clone(),
            bearing,
            patch: Arc::new(cut.mesh),
            flat: Arc::new(flat),
            triangles: Arc::new(cut.triangles),
            smooth,
            short: cut.short,
        };
        Some(Chart::laid(ground, (middle, angle), off, size, figures))
    }

    fn laid(ground: Ground, (middle, angle): (Point, f64), off: Vec2, size: Vec2, figures: Figures) -> Chart {
        let (aim, wide, letters) = (None, false, Arc::default());
        Chart { ground, middle, angle, off, size, figures, aim, wide, letters }
    }

    /// A small chart of `size` for one character whose middle is at a flat point of this one: reached up square off
    /// the baseline first, then straight on along it.
    pub fn of_character(&self, at: Point, size: Vec2) -> Option<Chart> {
        let off = self.local(at) + self.off;
        let way = off - self.off;
        let (turn, place) = (FRAC_PI_2, (self.middle, self.angle));
        match &self.ground {
            Ground::Body { body, bearing, .. } => {
                let skin = body.body();
                let line = if way.y == 0.0 {
                    *bearing
                } else {
                    bearing.turned(skin, turn).ahead(skin, way.y).turned(skin, -turn)
                };
                Chart::round_heading(body, line.ahead(skin, way.x), place, off, size)
            }
            Ground::Scan { scan, bearing, .. } => {
                let mesh = scan.mesh();
                let go = |from: Bearing, far: f64| {
                    let line = from.ahead(mesh, far);
                    (far.abs() <= line.length + geom::tolerance::NOISE_MM).then_some(line.end)
                };
                let line = if way.y == 0.0 {
                    *bearing
                } else {
                    go(bearing.turned(mesh, turn), way.y)?.turned(mesh, -turn)
                };
                Chart::round_spot(scan, go(line, way.x)?, place, off, size)
            }
        }
    }

    /// The same with the worst error of a straight stroke no less than that of any straight side of a character drawn on it
    /// (flat outlines): what is sampled is a little shorter than the longest, and an error of length grows with its cube.
    pub fn with_sides(mut self, rings: &[Ring]) -> Chart {
        let long = SIDE * self.size.y;
        let sides = rings.iter().flat_map(Ring::edges).filter_map(|edge| match edge {
            Edge::Line { a, b } if long <= a.distance(b) => Some([a, b]),
            _ => None,
        });
        let off = |[a, b]: [Point; 2]| self.straight(a, b).map_or(0.0, |way| (way - a.distance(b)).abs());
        let worst = sides.map(off).fold(self.figures.stroke_error, f64::max);
        self.figures.stroke_error = worst;
        self
    }

    /// Length of the straightest way over the skin between two flat points of this chart alone, mm.
    fn straight(&self, a: Point, b: Point) -> Option<f64> {
        match &self.ground {
            Ground::Body { body, .. } => {
                Some(between(body.body(), self.own_place(a)?, self.own_space(b)?)?.1)
            }
            Ground::Scan { scan, .. } => Some(taut(scan.mesh(), self.spot(a)?, self.spot(b)?)?.length),
        }
    }

    /// The same, to look for a place in.
    pub fn to_look_in(self) -> Chart {
        Chart { wide: true, ..self }
    }

    /// A flat point of another chart of the same scan as this one has it.
    pub fn flat_of(&self, other: &Chart, p: Point) -> Point {
        let to = other.own_space(p).and_then(|to| Some(Carrier::new(self)?.any(to)));
        to.unwrap_or(p)
    }

    /// The same of a scan with the mark wanted at the aim of another chart: its readings count from the middle of each.
    pub fn aimed_as(self, other: &Chart) -> Chart {
        let aim = self.reading(self.flat_of(other, other.aim()));
        self.aimed_at(aim)
    }

    /// The same with the mark wanted at a reading.
    pub fn aimed_at(self, aim: SkinPair) -> Chart {
        Chart { aim: Some(aim), ..self }
    }

    /// True if it was laid wide to look for a place in.
    pub fn is_wide(&self) -> bool {
        self.wide
    }

    /// Where the mark is wanted, flat.
    pub fn aim(&self) -> Point {
        self.aim.map_or(self.middle, |reading| self.at_reading(reading))
    }

    /// The same with the charts of the mark's characters, each for its own box.
    pub fn with_letters(self, letters: &[Chart]) -> Chart {
        Chart { letters: Arc::new(letters.to_vec()), ..self }
    }

    /// The chart in whose box a flat point lies.
    fn at(&self, p: Point) -> &Chart {
        let inside = |c: &&Chart| {
            let local = c.local(p);
            let half = c.size / 2.0 + Vec2::new(1.0, 1.0) * geom::tolerance::KEPT_MM;
            local.x.abs() <= half.x && local.y.abs() <= half.y
        };
        self.letters.iter().find(inside).unwrap_or(self)
    }

    /// Where its baseline lies on the surface's own flat: the mark's middle and the turn.
    pub fn pose(&self) -> (Point, f64) {
        (self.middle, self.angle)
    }

    /// Its own middle in flat.
    pub fn centre(&self) -> Point {
        self.flat(Vec2::ZERO)
    }

    /// Its own middle from the mark's, along the baseline and up, mm.
    pub fn offset(&self) -> Vec2 {
        self.off
    }

    /// From flat to the axes of the mark's charts: the mark's middle at zero, x along the baseline.
    pub fn axes(&self) -> Affine {
        Affine::rotate(-self.angle) * Affine::translate(-self.middle.to_vec2())
    }

    /// What was asked for, mm: along the baseline and up.
    pub fn size(&self) -> Vec2 {
        self.size
    }

    /// True on a scan.
    pub fn is_scan(&self) -> bool {
        matches!(self.ground, Ground::Scan { .. })
    }

    /// The side of a body it lies on.
    pub fn body(&self) -> Option<&BodySkin> {
        if let Ground::Body { body, .. } = &self.ground { Some(body) } else { None }
    }

    /// The scan it lies on.
    pub fn scan(&self) -> Option<&ScanSkin> {
        if let Ground::Scan { scan, .. } = &self.ground { Some(scan) } else { None }
    }

    /// Strain over it: each triangle about its own middle (x along the baseline, mm) with its greatest strain.
    pub fn strains(&self) -> Vec<([Vec2; 3], f64)> {
        match &self.ground {
            Ground::Body { net, .. } | Ground::Scan { smooth: Some(net), .. } => net.strained(),
            Ground::Scan { patch, flat, .. } => {
                let corners = patch.triangles().iter().map(|t| t.map(|k| flat.places[k as usize]));
                corners.zip(flat.strains(patch)).collect()
            }
        }
    }

    /// Its middle in space.
    pub fn origin(&self) -> Point3 {
        match &self.ground {
            Ground::Body { body, bearing, .. } => body.body().jet(bearing.uv).p,
            Ground::Scan { scan, bearing, .. } => bearing.spot.point(scan.mesh()),
        }
    }

    /// About its own middle, x along the baseline.
    fn local(&self, p: Point) -> Vec2 {
        (self.axes() * p).to_vec2() - self.off
    }

    fn flat(&self, local: Vec2) -> Point {
        self.axes().inverse() * (local + self.off).to_point()
    }

    /// The place on the body's own two numbers of a flat point.
    pub(crate) fn place(&self, p: Point) -> Option<Vec2> {
        let own = self.at(p);
        own.own_place(p)
    }

    fn own_place(&self, p: Point) -> Option<Vec2> {
        let Ground::Body { body, bearing, net } = &self.ground else { return None };
        if !self.reaches(p) {
            return body.place(body.reading(p));
        }
        Some(square_off(body.body(), *bearing, net.first(self.local(p))).uv)
    }

    /// True where flat is the chart's, carried on beyond its edge; farther off flat is the surface's own.
    fn reaches(&self, p: Point) -> bool {
        let local = self.local(p);
        local.x.abs() <= self.size.x / 2.0 + FAR && local.y.abs() <= self.size.y / 2.0 + FAR
    }

    /// Point in space of a flat point; `None` beyond a scan's patch.
    pub fn space(&self, p: Point) -> Option<Point3> {
        self.at(p).own_space(p)
    }

    /// The same by this chart alone, whatever its characters' have.
    pub(crate) fn own_space(&self, p: Point) -> Option<Point3> {
        match &self.ground {
            Ground::Body { body, .. } => Some(body.body().jet(self.own_place(p)?).p),
            Ground::Scan { patch, flat, .. } => {
                Some(flat.spots(patch, &[self.local(p)]).first().copied().flatten()?.point(patch))
            }
        }
    }

    /// Points in space of a ring's points; `None` if one lies beyond.
    pub fn ring_in_space(&self, ring: &[Point]) -> Option<Vec<Point3>> {
        match &self.ground {
            Ground::Body { .. } => ring.iter().map(|p| self.space(*p)).collect(),
            Ground::Scan { patch, flat, .. } => {
                let local: Vec<Vec2> = ring.iter().map(|p| self.local(*p)).collect();
                let spots = flat.spots(patch, &local);
                spots.iter().map(|s: &Option<Spot>| s.map(|s| s.point(patch))).collect()
            }
        }
    }

    /// Reading of a flat point: station and girth on a body; on a scan along the baseline and up from the mark's
    /// middle.
    pub(super) fn reading(&self, p: Point) -> SkinPair {
        let (Ground::Body { body, .. }, Some(place)) = (&self.ground, self.place(p)) else {
            let local = self.axes() * p;
            return [local.x, local.y];
        };
        match body.body().measured(body.side(), place) {
            Some((s, t)) => [s, t],
            None => body.reading(p),
        }
    }

    /// Flat point of a reading. Far beyond the chart, where no way leads straight there, what the surface's own flat
    /// has.
    pub(super) fn at_reading(&self, reading: SkinPair) -> Point {
        let Ground::Body { body, bearing, net } = &self.ground else {
            return self.axes().inverse() * Point::new(reading[0], reading[1]);
        };
        let rough = body.flat(reading);
        if !self.reaches(rough) {
            return rough;
        }
        let found = body.space(reading).and_then(|to| {
            let guess = net.nearest(to)?;
            along_and_off(body.body(), *bearing, to, guess)
        });
        found.map_or(rough, |first| self.flat(first + net.shift(first)))
    }

    /// Flat point of a point in space on the skin, on a body found from a guess near it; `None` beyond a scan's patch.
    pub(crate) fn at_space(&self, to: Point3, guess: Point) -> Option<Point> {
        let Ground::Body { body, bearing, net } = &self.ground else {
            return Carrier::new(self)?.on_patch(to);
        };
        let first = along_and_off(body.body(), *bearing, to, net.first(self.local(guess)))?;
        Some(self.flat(first + net.shift(first)))
    }

    /// The chart of a mark moved to a flat point of this one, its baseline carried along; `None` beyond a scan's patch.
    pub fn moved(&self, to: Point, size: Vec2) -> Option<Chart> {
        let (body, bearing, net) = match &self.ground {
            Ground::Body { body, bearing, net } => (body, bearing, net),
            Ground::Scan { scan, .. } => return Chart::on_scan(scan, self.heading(to)?, size),
        };
        let skin = body.body();
        let way = net.first(self.local(to));
        let up = bearing.turned(skin, FRAC_PI_2).ahead(skin, way.y).turned(skin, -FRAC_PI_2);
        let heading = up.ahead(skin, way.x);
        let (s, t) = skin.measured(body.side(), heading.uv)?;
        let middle = body.flat([s, t]);
        let level = body.bearing(middle, 0.0)?;
        let jet = skin.jet(heading.uv);
        let (now, zero) = (jet.direction(heading.way), skin.jet(level.uv).direction(level.way));
        let angle = jet.normal().cross(zero).dot(now).atan2(zero.dot(now));
        Chart::round_heading(body, heading, (middle, angle), Vec2::ZERO, size)
    }

    /// The patch of a scan and its flat places.
    pub(super) fn patch(&self) -> Option<(&Mesh, &Flat)> {
        if let Ground::Scan { patch, flat, .. } = &self.ground { Some((patch, flat)) } else { None }
    }

    /// The triangle of the scan its middle lies in.
    pub(super) fn middle_triangle(&self) -> Option<u32> {
        if let Ground::Scan { bearing, .. } = &self.ground { Some(bearing.spot.triangle) } else { None }
    }

    /// The spot of the whole scan under a flat point of this chart alone; `None` beyond its patch, and on a body.
    pub(crate) fn spot(&self, p: Point) -> Option<Spot> {
        let Ground::Scan { scan, patch, flat, triangles, .. } = &self.ground else { return None };
        let spot = flat.spots(patch, &[self.local(p)]).first().copied().flatten()?;
        let own = *triangles.get(spot.triangle as usize)?;
        Some(Spot::nearest_of(scan.mesh(), [own], spot.point(patch)).0)
    }

    /// The bearing of the baseline carried to a flat point, on a scan.
    fn heading(&self, to: Point) -> Option<Bearing> {
        let scan = self.scan()?;
        let (mesh, spot) = (scan.mesh(), self.spot(to)?);
        let beside = |d: f64| self.own_space(to + Vec2::from_angle(self.angle) * d);
        let along = match (beside(-HEADED_MM), beside(HEADED_MM)) {
            (Some(behind), Some(ahead)) => ahead - behind,
            (None, Some(ahead)) => ahead - spot.point(mesh),
            (Some(behind), None) => spot.point(mesh) - behind,
            (None, None) => return None,
        };
        Bearing::new(mesh, spot, along)
    }

    /// From its own middle and baseline to flat.
    pub(super) fn flat_of_local(&self, local: Vec2) -> Point {
        self.flat(local)
    }

    /// How far a flat point lies outside what was asked for, mm.
    pub(super) fn off_size(&self, p: Point) -> f64 {
        let local = self.local(p);
        let off = |x: f64, size: f64| (x.abs() - size / 2.0).max(0.0);
        off(local.x, self.size.x).hypot(off(local.y, self.size.y))
    }

    /// The box of what was asked for, wider by so many mm on every side, counter-clockwise.
    pub(super) fn border(&self, by: f64) -> Ring {
        let (w, h) = (self.size.x / 2.0 + by, self.size.y / 2.0 + by);
        let corners = [(-w, -h), (w, -h), (w, h), (-w, h)];
        Ring::from_points(corners.map(|c| self.flat(Vec2::from(c))))
    }

    /// Its edge in flat, counter-clockwise, cut off where the skin ends.
    pub(super) fn outline(&self) -> Ring {
        let (w, h) = (self.size.x / 2.0, self.size.y / 2.0);
        let corners = [(-w, -h), (w, -h), (w, h), (-w, h)];
        let ring = match &self.ground {
            Ground::Body { body, net, .. } => {
                let edges = net.edges(body);
                if edges.iter().flatten().all(|inside| 0.0 <= *inside) {
                    return Ring::from_points(corners.map(|c| self.flat(Vec2::from(c))));
                }
                let mut border: Vec<Vec2> = Vec::new();
                for k in 0..4 {
                    let (a, b) = (Vec2::from(corners[k]), Vec2::from(corners[(k + 1) % 4]));
                    let n = if k % 2 == 0 { net.grid.across } else { net.grid.up };
                    border.extend((0..n).map(|i| a + (b - a) * (i as f64 / n as f64)));
                }
                for edge in edges {
                    border = net.cut_off(&border, &edge);
                }
                border.into_iter().map(|p| self.flat(p)).collect::<Vec<_>>()
            }
            Ground::Scan { patch, flat, short, .. } => {
                let square = Ring::from_points(corners.map(|c| self.flat(Vec2::from(c))));
                if !short {
                    return square;
                }
                let rim =
                    Ring::from_points(rim(patch).into_iter().map(|k| self.flat(flat.places[k as usize])));
                let whole = intersection(&[square], &[rim]);
                let largest = whole.into_iter().max_by(|a, b| a.area().total_cmp(&b.area()));
                return largest.unwrap_or_default();
            }
        };
        super::features::counter_clockwise(ring)
    }
}

impl Chart {
    /// The same laid anew, reaching `by` mm farther on every side; `None` where the piece cannot be laid flat.
    pub fn wider(&self, by: f64) -> Option<Chart> {
        let (pose, size) = ((self.middle, self.angle), self.size + Vec2::new(2.0, 2.0) * by);
        match &self.ground {
            Ground::Body { body, bearing, .. } => Chart::round_heading(body, *bearing, pose, self.off, size),
            Ground::Scan { scan, bearing, .. } => Chart::round_spot(scan, *bearing, pose, self.off, size),
        }
    }
}

/// Places round a box of this size about the origin.
fn round_box(size: Vec2) -> Vec<Vec2> {
    let corners =
        [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(x, y)| Vec2::new(size.x * x, size.y * y));
    let side =
        |k: usize| (0..LOOKS).map(move |i| corners[k].lerp(corners[(k + 1) % 4], i as f64 / LOOKS as f64));
    (0..4).flat_map(side).collect()
}

/// Corners round the longest open rim of a patch, in order.
fn rim(mesh: &Mesh) -> Vec<u32> {
    let sides = 3 * mesh.triangles().len() as u32;
    let mut after = std::collections::BTreeMap::new();
    for side in (0..sides).filter(|s| mesh.across(*s).is_none()) {
        after.insert(mesh.from(side), mesh.to(side));
    }
    let mut longest = Vec::new();
    while let Some((&start, _)) = after.iter().next() {
        let mut loop_of = Vec::new();
        let mut at = start;
        while let Some(next) = after.remove(&at) {
            loop_of.push(at);
            at = next;
        }
        if longest.len() < loop_of.len() {
            longest = loop_of;
        }
    }
    longest
}
