//! The skin round one mark on a body or a scan: a chart with what lies there, as a skin of its own.
//!
//! Features, parts and frames are carried over from the surface's own flat point by point; what is straight in its
//! readings bends on the chart, so that long lines are carried in short steps. What lies far beyond the chart stays
//! where the surface's own flat has it.

use super::chart::Chart;
use super::scan_chart::lying_on;
use super::{FlatFeature, FlatPart, FlatRib, Skin, SkinShape, StripSkin};
use geom::distance::nearest_on_edge;
use geom::region::Region;
use geom::{Edge, Point, Ring};

/// Longest step, mm, of a line that is carried over: where it bends with a radius of 4 m the chord is off by 0.02 mm.
const STEP_MM: f64 = 25.0;

/// The same of the edge of where a mark must stay: a bend of a millimetre is less than anyone asks there.
const EDGE_STEP_MM: f64 = 150.0;

/// On a sheet that is laid wide to look for a place in, lines are carried over in steps as long as this, mm, and halved
/// where their middle lies farther than `BEND_MM` off the chord: places found there are looked at again on a close one.
const WIDE_STEP_MM: f64 = 400.0;
const BEND_MM: f64 = 0.05;

impl Skin {
    /// The skin round one mark: `chart` with this surface's features, parts and frames.
    pub fn sheet(&self, chart: Chart) -> Skin {
        let outline = chart.outline();
        if let SkinShape::Scan(_) = &self.shape {
            let (features, parts) = lying_on(&chart);
            let shape = SkinShape::Chart(Box::new(chart));
            return self.of_scan(shape, outline, features, parts);
        }
        let point = |p: Point| chart.at_reading(self.skin_from_flat(p));
        let near = |a: Point, b: Point| near(&chart, a, b);
        let wide = chart.is_wide();
        let carried = self.carried(&Carry { point: &point, near: &near, wide }, outline);
        Skin { shape: SkinShape::Chart(Box::new(chart)), ..carried }
    }

    /// The skin along one stripe: a strip with this surface's features, parts and frames. `past` is how far beyond the start
    /// and the end of the strip the stripe is run on to meet another, mm.
    pub fn along(&self, strip: StripSkin, past: [f64; 2]) -> Skin {
        if let SkinShape::Scan(scan) = &self.shape {
            let (features, parts) = scan.lying_along(&strip);
            let outline = super::features::counter_clockwise(strip.ribbon(past));
            let shape = SkinShape::Strip(Box::new(strip));
            return self.of_scan(shape, outline, features, parts);
        }
        let point = |p: Point| match &self.shape {
            SkinShape::Body(body) => strip.at_reading(body.reading(p)),
            _ => p,
        };
        let carry = Carry { point: &point, near: &|_, _| true, wide: false };
        let outline = carry.ring(&self.outline, STEP_MM);
        let carried = self.carried(&carry, outline);
        Skin { shape: SkinShape::Strip(Box::new(strip)), ..carried }
    }

    /// A piece of this scan.
    fn of_scan(
        &self,
        shape: SkinShape,
        outline: Ring,
        features: Vec<FlatFeature>,
        parts: Vec<FlatPart>,
    ) -> Skin {
        let (id, side) = (self.id.clone(), self.side);
        Skin { id, side, shape, outline, girths: None, features, parts, ribs: Vec::new() }
    }

    fn carried(&self, carry: &Carry<'_>, outline: Ring) -> Skin {
        let features =
            self.features.iter().map(|f| FlatFeature { region: carry.region(&f.region), ..f.clone() });
        let part = |p: &FlatPart| FlatPart {
            outline: carry.ring(&p.outline, STEP_MM),
            hinge: carry.path(&p.hinge, false, STEP_MM),
            ..p.clone()
        };
        let rib = |r: &FlatRib| FlatRib { line: carry.path(&r.line, false, STEP_MM), ..r.clone() };
        Skin {
            id: self.id.clone(),
            side: self.side,
            girths: None,
            features: features.collect(),
            parts: self.parts.iter().map(part).collect(),
            ribs: self.ribs.iter().map(rib).collect(),
            outline,
            shape: SkinShape::Flat,
        }
    }

    /// A flat point of another sheet of the same surface as this one has it: on a body by its reading, on a scan over the
    /// triangles; far beyond a sheet only roughly.
    pub fn place_of(&self, other: &Skin, p: Point) -> Point {
        match (self.chart(), other.chart()) {
            (Some(own), Some(theirs)) if own.is_scan() => own.flat_of(theirs, p),
            (None, None) => p,
            _ => self.flat_from_skin(other.skin_from_flat(p)),
        }
    }

    /// An outline of readings as it lies on this skin: on a chart in short steps.
    pub fn outline_from_user(&self, corners: &[crate::job::SkinPair]) -> Ring {
        let ring = match &self.shape {
            SkinShape::Chart(chart) if let Some(body) = chart.body() => {
                let corners: Vec<Point> = corners.iter().map(|c| body.flat(*c)).collect();
                let all =
                    path(&corners, true, EDGE_STEP_MM, &|p| chart.at_reading(body.reading(p)), &|a, b| {
                        near(chart, a, b)
                    });
                Ring::from_points(all)
            }
            _ => Ring::from_points(corners.iter().map(|c| self.flat_from_user(*c)).collect::<Vec<_>>()),
        };
        if ring.area() < 0.0 { ring.reversed() } else { ring }
    }
}

/// From a surface's own flat to a piece of it.
struct Carry<'a> {
    point: &'a dyn Fn(Point) -> Point,
    /// True if a stretch of the surface's own flat may touch the piece.
    near: &'a dyn Fn(Point, Point) -> bool,
    /// True if the piece is one to look for a place in.
    wide: bool,
}

impl Carry<'_> {
    fn path(&self, points: &[Point], closed: bool, step: f64) -> Vec<Point> {
        if !self.wide {
            return path(points, closed, step, self.point, self.near);
        }
        let n = points.len();
        let mut all = Vec::new();
        for k in 0..if closed { n } else { n.saturating_sub(1) } {
            let (a, b) = (points[k], points[(k + 1) % n]);
            let parts = (a.distance(b) / WIDE_STEP_MM).ceil().max(1.0);
            let mut from = (a, (self.point)(a));
            all.push(from.1);
            for i in 1..=parts as usize {
                let at = a.lerp(b, i as f64 / parts);
                let to = (at, (self.point)(at));
                self.bend(from, to, step, &mut all);
                all.push(to.1);
                from = to;
            }
            // The next stretch begins there.
            if closed || k + 2 < n {
                all.pop();
            }
        }
        all
    }

    /// What lies between two points of a line, each with where it is carried to, where the line bends between them.
    fn bend(&self, a: (Point, Point), b: (Point, Point), step: f64, all: &mut Vec<Point>) {
        if a.0.distance(b.0) <= step || !(self.near)(a.0, b.0) {
            return;
        }
        let at = a.0.midpoint(b.0);
        let middle = (at, (self.point)(at));
        if nearest_on_edge(middle.1, &Edge::Line { a: a.1, b: b.1 }).distance(middle.1) <= BEND_MM {
            return;
        }
        self.bend(a, middle, step, all);
        all.push(middle.1);
        self.bend(middle, b, step, all);
    }

    fn ring(&self, ring: &Ring, step: f64) -> Ring {
        super::features::counter_clockwise(self.path(
            &ring.flattened(geom::tolerance::FLATTEN_MM),
            true,
            step,
        ))
    }

    fn region(&self, region: &Region) -> Region {
        match region {
            Region::Disc { centre, radius } => {
                Region::Disc { centre: (self.point)(*centre), radius: *radius }
            }
            Region::Area { rings } => {
                let carried = rings.iter().map(|r| {
                    let ring = self.ring(r, STEP_MM);
                    if r.area() < 0.0 { ring.reversed() } else { ring }
                });
                Region::Area { rings: carried.collect() }
            }
            Region::Band { path, width } => {
                Region::Band { path: self.path(path, false, STEP_MM), width: *width }
            }
        }
    }
}

/// True if a stretch of the surface's own flat may touch the chart.
fn near(chart: &Chart, a: Point, b: Point) -> bool {
    let reach = chart.size().hypot();
    let middle = chart.centre();
    let nearest = nearest_on_edge(middle, &Edge::Line { a, b });
    nearest.distance(middle) <= reach
}

/// Points carried over, stretches that are near in short steps.
fn path(
    points: &[Point],
    closed: bool,
    step: f64,
    carry: &dyn Fn(Point) -> Point,
    near: &dyn Fn(Point, Point) -> bool,
) -> Vec<Point> {
    let n = points.len();
    let mut all = Vec::new();
    for k in 0..if closed { n } else { n.saturating_sub(1) } {
        let (a, b) = (points[k], points[(k + 1) % n]);
        all.push(carry(a));
        let parts = (a.distance(b) / step).ceil().max(1.0) as usize;
        for i in 1..parts {
            let (from, to) =
                (a.lerp(b, (i - 1) as f64 / parts as f64), a.lerp(b, (i + 1) as f64 / parts as f64));
            if near(from, to) {
                all.push(carry(a.lerp(b, i as f64 / parts as f64)));
            }
        }
    }
    if !closed {
        all.extend(points.last().map(|p| carry(*p)));
    }
    all
}
