//! Characters on a skin that curves both ways: each in a chart of its own, and what comes near them measured there.
//!
//! Letters keep their true shape in their charts; what lies in reach is carried into the chart of the letter it is
//! nearest to, and the least distance is measured again along the straightest way over the skin itself.

use super::placed::{FeatureFit, PlacedGlyph};
use super::relation::lie;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::surface::{Chart, Figures, FlatFeature, Skin, SkinShape};
use crate::words::is_nothing;
use crate::words::length;
pub use crate::words::{fine, percent};
use geom::measure::edges_to_region;
use geom::tolerance::NOISE_MM;
use geom::{Point, Point3, Region, Ring, Vec2};
use skin::Spot;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Features up to this far from a letter, mm, are measured in the letter's own chart: beyond it what a chart errs by
/// is far less than what a tape reads. chosen.
pub const REACH_MM: f64 = 60.0;

/// Strain from which smaller letters or split patterns are advised (facts of the geometry sheet, B2).
pub const ADVISE: f64 = 0.01;

/// Strain that nothing a pattern is cut from takes for more than a hundredth of it, share: there it fails. chosen: tapes
/// that bend most take 5 to 10 % (facts/geometry.md).
const NO_PATTERN: f64 = 0.1;

/// Length, mm (1/64 in), up to which two readings are one on a tape.
const READS_ALIKE_MM: f64 = 25.4 / 64.0;

/// The charts of a mark.
#[derive(Clone, Debug)]
pub struct Charts {
    /// The skin round the mark, with what lies there.
    pub sheet: Skin,
    /// One chart a character, in their order.
    pub letters: Vec<Chart>,
}

impl PartialEq for Charts {
    fn eq(&self, other: &Charts) -> bool {
        let told = |c: &Charts| c.letters.iter().map(|l| (l.centre(), l.figures)).collect::<Vec<_>>();
        self.sheet.id == other.sheet.id && told(self) == told(other)
    }
}

impl Charts {
    /// The charts of characters on a sheet; `Err` names those that cannot be laid flat. `None` on a skin that unrolls.
    pub fn of(sheet: &Skin, glyphs: &[PlacedGlyph]) -> Option<Result<Charts, String>> {
        let round = sheet.chart()?;
        let mut letters = Vec::with_capacity(glyphs.len());
        let mut lost = Vec::new();
        for (glyph, chart) in glyphs.iter().zip(own_charts(round, glyphs)) {
            match chart {
                Some(chart) => letters.push(chart),
                None => lost.push(glyph.char.to_string()),
            }
        }
        if !lost.is_empty() {
            return Some(Err(lost.join(", ")));
        }
        let sheet =
            Skin { shape: SkinShape::Chart(Box::new(round.clone().with_letters(&letters))), ..sheet.clone() };
        Some(Ok(Charts { sheet, letters }))
    }

    /// The features of the sheet, each as it lies to the mark: what is in reach of a letter measured in its chart and
    /// then on the skin.
    pub fn measured(&self, glyphs: &[PlacedGlyph], fits: &mut [FeatureFit]) {
        let Some(round) = self.sheet.chart() else { return };
        for (fit, feature) in fits.iter_mut().zip(&self.sheet.features) {
            if !fit.wall {
                continue;
            }
            let mut best: Option<FeatureFit> = None;
            for (glyph, chart) in glyphs.iter().zip(&self.letters) {
                if REACH_MM < edges_to_region(&glyph.rings, &feature.region) {
                    continue;
                }
                let mut near = if chart.is_scan() {
                    on_scan(round, chart, &glyph.rings, feature)
                } else {
                    let own = FlatFeature {
                        region: carried(round, chart, &feature.region, &glyph.rings),
                        ..feature.clone()
                    };
                    let mut near = lie(&glyph.rings, &own);
                    if let Some(d) = over_skin(chart, &near, &own) {
                        near.clearance = d - feature.clearance;
                    }
                    near
                };
                // What this letter says of a feature it does not touch must not hide what the whole mark says.
                near.relation = fit.relation;
                if best.as_ref().is_none_or(|b| near.clearance < b.clearance) {
                    best = Some(near);
                }
            }
            if let Some(best) = best {
                fit.clearance = best.clearance;
                fit.touch = best.touch;
            } else if let Some(d) = self.sheet.chart().and_then(|all| over_skin(all, fit, feature)) {
                fit.clearance = d - feature.clearance;
            }
        }
    }

    /// By how much the gap between neighbours opens or closes at feet and tops, mm: their baselines are a true
    /// distance apart at mid-height only.
    pub fn gap_error(&self, height: f64) -> f64 {
        let apart = self.letters.windows(2).map(|w| {
            let far = (w[1].offset() - w[0].offset()).hypot();
            let bend = f64::midpoint(w[0].figures.curvature, w[1].figures.curvature).abs();
            far * bend * (height / 2.0).powi(2) / 2.0
        });
        apart.fold(0.0, f64::max)
    }

    /// True if the letters' charts may be taken for one plane when tape is planned.
    pub fn one_plane(&self, height: f64) -> bool {
        self.gap_error(height) <= READS_ALIKE_MM
    }

    /// The worst of all letters, figure by figure; the bound is that of the letter that must stretch most.
    pub fn worst(&self) -> Figures {
        let greater = |a: Figures, b: &Chart| Figures {
            max_strain: a.max_strain.max(b.figures.max_strain),
            p99_strain: a.p99_strain.max(b.figures.p99_strain),
            rms_strain: a.rms_strain.max(b.figures.rms_strain),
            stroke_error: a.stroke_error.max(b.figures.stroke_error),
            bound: a.bound.max(b.figures.bound),
            curvature: a.curvature,
        };
        self.letters.iter().fold(Figures::default(), greater)
    }

    /// A point of a character's outline in space.
    pub fn space(&self, glyph: usize, p: Point) -> Option<Point3> {
        self.letters.get(glyph)?.space(p)
    }

    /// Length over the skin between a point of one character and one of another, mm; on a scan in the sheet.
    pub fn between(&self, from: (usize, Point), to: (usize, Point)) -> Option<f64> {
        let goal = self.space(to.0, to.1)?;
        let chart = self.letters.get(from.0)?;
        match (chart.body(), chart.place(from.1)) {
            (Some(body), Some(place)) => {
                skin::surface::way::between(body.body(), place, goal).map(|(_, length)| length)
            }
            _ => Some(from.1.distance(to.1)),
        }
    }

    /// What there is to say of the charts of a mark.
    pub fn told(&self, mark: &str, glyphs: &[PlacedGlyph], height: f64) -> Vec<Finding> {
        let mut said = Vec::new();
        let row = |(glyph, chart): (&PlacedGlyph, &Chart)| {
            let f = chart.figures;
            format!(
                "{}: {} at most ({}), {} for 99 of 100, {} in the mean, a straight stroke \
                 off by {}",
                glyph.char,
                percent(f.max_strain),
                least_told(f.bound, chart.is_scan()),
                percent(f.p99_strain),
                percent(f.rms_strain),
                fine(f.stroke_error)
            )
        };
        let rows: Vec<String> = glyphs.iter().zip(&self.letters).map(row).collect();
        let Figures { max_strain: strain, p99_strain: p99, stroke_error: stroke, .. } = self.worst();
        said.push(
            Finding::new(
                Severity::Note,
                "strain",
                mark,
                format!(
                    "the skin curves both ways; each character has its own pattern. Strain of {}",
                    rows.join("; ")
                ),
            )
            .figures(strain, Bound::Max, ADVISE, "")
            .source(Basis::Practice, "least curvature times the square of the inscribed radius over 12"),
        );
        if ADVISE < strain {
            let most = |a: &(&PlacedGlyph, &Chart), b: &(&PlacedGlyph, &Chart)| {
                a.1.figures.max_strain.total_cmp(&b.1.figures.max_strain)
            };
            let worst = glyphs.iter().zip(&self.letters).max_by(most).map_or(' ', |(glyph, _)| glyph.char);
            said.push(
                Finding::new(
                    if NO_PATTERN < p99 { Severity::Fail } else { Severity::Caution },
                    "strain-high",
                    mark,
                    format!(
                        "a pattern must stretch by {} to lie on this skin, that of {worst} the most; straight strokes \
                         are off by up to {}",
                        percent(strain),
                        fine(stroke)
                    ),
                )
                .figures(strain, Bound::Should, ADVISE, "")
                .source(Basis::Practice, "common practice, no source")
                .hint(format!(
                    "make the letters smaller, under {} high if strain goes with the square of their size, or cut each \
                     pattern into pieces and lay them one by one",
                    length(height * (ADVISE / strain).sqrt())
                )),
            );
        }
        let off = self.gap_error(height);
        said.push(Finding::new(
            Severity::Note,
            "strain-gaps",
            mark,
            if self.one_plane(height) {
                format!(
                    "gaps are true at mid-height; at feet and tops they differ by {} at most, so that tape is planned \
                     over the whole mark",
                    length(off)
                )
            } else {
                format!(
                    "gaps are true at mid-height; at feet and tops they differ by up to {}: each character is taped by \
                     itself, no tape runs along several",
                    length(off)
                )
            },
        ));
        said
    }
}

/// The least strain any way has, in words. A rough scan tells the mean of its curvature, not the least that the bound
/// asks for.
fn least_told(bound: f64, scan: bool) -> String {
    if is_nothing(bound) {
        "how little would do is not known".to_owned()
    } else if scan {
        format!("a smooth skin of its mean curvature has at least {}", percent(bound))
    } else {
        format!("no way has less than {} there", percent(bound))
    }
}

/// Most other hands called to lay characters flat. chosen: past a few the calling takes longer.
const MOST_HANDS: usize = 3;

/// The chart of each character on which all of it lies. One asks nothing of the others, so several hands share them out;
/// which hand lays which does not show.
fn own_charts(round: &Chart, glyphs: &[PlacedGlyph]) -> Vec<Option<Chart>> {
    let lay = |glyph: &PlacedGlyph| {
        let chart = own_chart(round, glyph).filter(|chart| {
            let points = |r: &Ring| chart.ring_in_space(&r.flattened(geom::tolerance::FLATTEN_MM));
            !chart.is_scan() || glyph.rings.iter().all(|r| points(r).is_some())
        });
        chart.map(|chart| chart.with_sides(&glyph.rings))
    };
    let done: Vec<OnceLock<Option<Chart>>> = glyphs.iter().map(|_| OnceLock::new()).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        loop {
            let k = next.fetch_add(1, Ordering::Relaxed);
            let (Some(glyph), Some(done)) = (glyphs.get(k), done.get(k)) else { break };
            done.get_or_init(|| lay(glyph));
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|hands| {
        for _ in 1..glyphs.len().min(cores).min(MOST_HANDS + 1) {
            hands.spawn(work);
        }
        work();
    });
    done.into_iter().map(|chart| chart.into_inner().flatten()).collect()
}

/// The chart round a character: its box and whatever of it reaches beyond.
fn own_chart(round: &Chart, glyph: &PlacedGlyph) -> Option<Chart> {
    let axes = round.axes();
    let level: Vec<Point> = glyph
        .corners
        .iter()
        .copied()
        .chain(
            glyph
                .rings
                .iter()
                .flat_map(|r| r.mapped(axes).bounds())
                .flat_map(|(lo, hi)| [axes.inverse() * lo, axes.inverse() * hi]),
        )
        .map(|p| axes * p)
        .collect();
    let corners = glyph.corners.map(|p| axes * p);
    let middle = corners[0].midpoint(corners[2]);
    let half = level.iter().fold(Vec2::ZERO, |h: Vec2, p| {
        let d = *p - middle;
        Vec2::new(h.x.max(d.x.abs()), h.y.max(d.y.abs()))
    });
    round.of_character(axes.inverse() * middle, half * 2.0)
}

/// A region of the mark's sheet as it lies in a letter's chart. What is out of reach stays where the sheet has it.
fn carried(round: &Chart, own: &Chart, region: &Region, rings: &[Ring]) -> Region {
    let bounds = rings.iter().filter_map(Ring::bounds).reduce(|(a, b), (lo, hi)| {
        (Point::new(a.x.min(lo.x), a.y.min(lo.y)), Point::new(b.x.max(hi.x), b.y.max(hi.y)))
    });
    let (lo, hi) = bounds.unwrap_or_default();
    let near = |p: Point| {
        let far = 2.0 * REACH_MM;
        lo.x - far < p.x && p.x < hi.x + far && lo.y - far < p.y && p.y < hi.y + far
    };
    let point = |p: Point| {
        if !near(p) {
            return p;
        }
        round.own_space(p).and_then(|q| own.at_space(q, p)).unwrap_or(p)
    };
    match region {
        Region::Disc { centre, radius } => Region::Disc { centre: point(*centre), radius: *radius },
        Region::Band { path, width } => {
            Region::Band { path: path.iter().map(|p| point(*p)).collect(), width: *width }
        }
        Region::Area { rings } => Region::Area {
            rings: rings
                .iter()
                .map(|r| Ring::from_points(r.flattened(geom::tolerance::FLATTEN_MM).into_iter().map(point)))
                .collect(),
        },
    }
}

/// How a letter lies to a feature on a scan. The sheet finds where they are nearest, or, nearer than the sheet errs, the
/// letter's own chart; how far that is is measured the shortest way over the scan. Where they meet the letter's own chart
/// says how deep.
fn on_scan(round: &Chart, own: &Chart, rings: &[Ring], feature: &FlatFeature) -> FeatureFit {
    let far = lie(rings, feature);
    if 2.0 * round.figures.stroke_error < far.clearance + feature.clearance {
        return over_scan(own, &far, feature, &|p| round.spot(p));
    }
    let close = FlatFeature { region: carried(round, own, &feature.region, rings), ..feature.clone() };
    over_scan(own, &lie(rings, &close), &close, &|p| own.spot(p).or_else(|| round.spot(p)))
}

/// The same with its clearance measured the shortest way over the scan between where they are nearest; `spot` tells where
/// the feature's side of that lies.
fn over_scan(
    own: &Chart,
    fit: &FeatureFit,
    feature: &FlatFeature,
    spot: &dyn Fn(Point) -> Option<Spot>,
) -> FeatureFit {
    let apart = fit.clearance + feature.clearance;
    let measured = || {
        let [edge, rim] = fit.touch.filter(|_| NOISE_MM < apart)?;
        let (to, less) = middle_of(&feature.region, edge, rim, apart);
        let (goal, less) = spot(to).map(|goal| (goal, less)).or_else(|| Some((spot(rim)?, 0.0)))?;
        Some(own.scan()?.shortest(own.spot(edge)?, goal)? - less)
    };
    FeatureFit { clearance: measured().map_or(fit.clearance, |d| d - feature.clearance), ..fit.clone() }
}

/// Where a way to a feature ends, and how much of it lies within: the middle of a disc or path less its half width, as the
/// rim itself is drawn on the chart.
fn middle_of(region: &Region, edge: Point, rim: Point, apart: f64) -> (Point, f64) {
    match region {
        Region::Disc { centre, radius } => (*centre, *radius),
        Region::Band { width, .. } => (edge + (rim - edge) * ((apart + width / 2.0) / apart), width / 2.0),
        Region::Area { .. } => (rim, 0.0),
    }
}

/// Distance over the skin between a letter's edge and a feature where they are nearest; `None` where they meet or
/// no straightest way is found.
fn over_skin(chart: &Chart, fit: &FeatureFit, feature: &FlatFeature) -> Option<f64> {
    // Far off the nearest points of the sheet do; their way is measured all the same.
    let apart = fit.clearance + feature.clearance;
    if apart <= NOISE_MM {
        return None;
    }
    let [edge, rim] = fit.touch?;
    let (to, less) = middle_of(&feature.region, edge, rim, apart);
    let body = chart.body()?;
    let goal = chart.space(to)?;
    let (_, far) = skin::surface::way::between(body.body(), chart.place(edge)?, goal)?;
    Some(far - less)
}
