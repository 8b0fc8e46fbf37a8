//! Paper: what is neither painted nor taped is covered, face and back and round the edges.
//!
//! The bare skin is the panel less the letters and all their tape. It is taken level by level along the mark: below,
//! beside, between and above the letters; what hangs together on a level is covered by strips, lengthwise or across,
//! whichever takes fewer. Each strip laps the one below as roof tiles lie, ends half-way across the tack strip (or as
//! far over the next paper), so that edge tape lies under nothing, and is folded round the panel's edge. Over an opening it is cut along the tack
//! strip. The back of a panel is covered whole: as a surface of its own if the job has it (`panel`), else as the
//! face's mirror image. Ports, drains, vents and plates are covered first, and listed so that they are uncovered. How skins
//! that curve both ways are covered is told in `paper_body` and `paper_scan`.

use super::band::parts;
use super::plan::{Mask, MaskPlan};
use super::shelf::{Measures, SHORT};
use super::{paper_body, paper_scan};
use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::types::Masking;
use crate::job::{FeatureKind, Job};
use crate::surface::{Skin, SkinShape};
use crate::words::{length, percent};
use geom::boolean::{difference, intersection};
use geom::tolerance::{FLATTEN_MM, KEPT_MM};
use geom::{Affine, Point, Ring};

/// How far one strip laps the next, mm: 1 in (common practice, no source).
pub const LAP: f64 = 25.4;
/// How far paper is folded round the edge of a panel, mm: 2 in (common practice, no source).
pub const FOLD: f64 = 50.8;

/// How much too long, share of its length, an edge of paper may be to be smoothed down without a dart (flat-back paper: up
/// to 1 %, suggested working strain). common practice, no source.
pub const GIVES: f64 = 0.01;
/// Darts of a strip, mm, from which they are told of: 1/4 in. chosen.
const TOLD: f64 = 6.35;

/// The paper of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Paper {
    /// Bare skin to cover, both faces, mm2.
    pub area: f64,
    /// The strips, in the order of laying.
    pub strips: Vec<PaperStrip>,
    /// What is covered before all else, and uncovered after: surface, id, kind.
    pub covered: Vec<(String, String, FeatureKind)>,
    /// On scans, how far it goes round each mark.
    pub rounds: Vec<Round>,
}

/// How far paper goes round a mark on a scan, of which no more than that is covered.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    /// Id of the surface.
    pub surface: String,
    /// Id of the mark or stripe.
    pub of: String,
    /// From its letters, along the baseline and square off it, mm; `None` if the skin there cannot be laid flat.
    pub reach: Option<f64>,
    /// By how much lengths there err at most, share.
    pub strain: f64,
}

/// A strip of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct PaperStrip {
    /// Id of the surface it lies on; for a back that is no surface of the job, that of the face.
    pub surface: String,
    /// True if it lies on the back of that surface.
    pub back: bool,
    /// Width of the paper, mm.
    pub width: f64,
    /// Length to cut, mm.
    pub length: f64,
    /// Where it lies, flat, corner by corner; a back is seen through the face. On a body that is the table of its
    /// readings: stations and girths, lengths by the skin. On a scan it is the flat of the mark it lies round.
    pub corners: [Point; 4],
    /// How much of its length, measured along its edges, is folded up in darts where the skin curves both ways, mm.
    pub darts: f64,
    /// On a scan, the mark it lies round.
    pub round: Option<String>,
}

impl Paper {
    /// True if it covers a back.
    pub fn back(&self) -> bool {
        self.strips.iter().any(|s| s.back)
    }
}

/// The paper round the masks; `None` without a `[masking]` table or a mark.
pub fn paper(job: &Job, skins: &[Skin], marks: &[Placed], plan: &MaskPlan) -> Option<Paper> {
    let masking = job.masking.as_ref()?;
    let mut out = Paper::default();
    let marked = |skin: &Skin| marks.iter().any(|m| m.surface == skin.id);
    if !skins.iter().any(marked) {
        return None;
    }
    let panel = |skin: &Skin| {
        let surface = job.surfaces.iter().find(|s| s.id == skin.id)?;
        surface.panel.as_deref()
    };
    for skin in skins {
        let same = |o: &Skin| panel(o).is_some() && panel(o) == panel(skin);
        let other = |o: &&Skin| o.id != skin.id && (same(o) || paper_body::two_sides(skin, o));
        if !marked(skin) && !skins.iter().filter(other).any(marked) {
            continue;
        }
        let own: Vec<&Placed> = marks.iter().filter(|m| m.surface == skin.id).collect();
        let masks: Vec<&Mask> = plan.masks.iter().filter(|m| m.surface == skin.id).collect();
        let back = marked(skin) && !skins.iter().any(|o| other(&o));
        match &skin.shape {
            SkinShape::Body(body) => {
                paper_body::cover((skin, body), masking, (&own, &masks), back, &mut out);
            }
            SkinShape::Scan(_) => paper_scan::cover(skin, masking, (&own, &masks), &mut out),
            _ => {
                let bare = bare(skin, &own, &masks);
                let angle = own.first().map_or(0.0, |m| m.angle);
                let sheet = Sheet { skin, masking, angle, back: false, round: None };
                out.area += area(&bare);
                sheet.cover(&bare, &levels(&own, &masks, sheet.angle), &mut out.strips);
                if back {
                    let whole = [flat(&skin.outline)];
                    out.area += area(&whole);
                    Sheet { back: true, ..sheet }.cover(&whole, &[], &mut out.strips);
                }
            }
        }
        out.covered.extend(
            skin.features.iter().filter(|f| first(f.kind)).map(|f| (skin.id.clone(), f.id.clone(), f.kind)),
        );
    }
    Some(out)
}

/// What is covered before all else.
fn first(kind: FeatureKind) -> bool {
    use FeatureKind::{DataPlate, Drain, Filler, Port, Vent};
    matches!(kind, Port | Drain | Vent | Filler | DataPlate)
}

/// Widths on the shelf that lap and still cover, the narrowest first, mm.
pub(super) fn widths(masking: &Masking) -> Vec<f64> {
    let mut widths = masking.paper.clone();
    widths.retain(|w| *w > 2.0 * LAP);
    widths.sort_by(f64::total_cmp);
    widths
}

/// How far paper goes on past the end of what it covers: round the panel's edge, or onto the tack strip.
pub(super) fn past(masking: &Masking, edge: &Ring, back: bool, p: Point) -> f64 {
    let near = edge.edges().map(|e| geom::distance::point_to_edge(p, &e)).fold(f64::INFINITY, f64::min);
    if near > 10.0 * KEPT_MM {
        Measures::new(masking).tack / 2.0
    } else if back {
        0.0
    } else {
        FOLD
    }
}

pub(super) fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(Ring::area).sum()
}

pub(super) fn flat(ring: &Ring) -> Ring {
    Ring::from_points(ring.flattened(FLATTEN_MM))
}

/// The skin that is neither painted nor taped. Slits up to 1/16 in wide are closed with a scrap of tape.
pub fn bare(skin: &Skin, marks: &[&Placed], masks: &[&Mask]) -> Vec<Ring> {
    open_skin(skin, marks, masks).0
}

/// The skin that is neither painted nor taped: what takes paper, and the slits up to 1/16 in wide, part by part.
pub(super) fn open_skin(skin: &Skin, marks: &[&Placed], masks: &[&Mask]) -> (Vec<Ring>, Vec<Vec<Ring>>) {
    left_open(&skin.outline, &closed(marks, masks))
}

/// What is painted and taped, flat.
pub(super) fn closed(marks: &[&Placed], masks: &[&Mask]) -> Vec<Ring> {
    let painted = marks.iter().flat_map(|m| m.all_rings().iter().map(flat).collect::<Vec<_>>());
    let taped = masks.iter().flat_map(|m| m.pieces.iter().flat_map(|p| p.footprint.iter().cloned()));
    painted.chain(taped).collect()
}

/// What of an outline lies outside `closed`: what takes paper, and the slits up to 1/16 in wide, part by part.
pub(super) fn left_open(outline: &Ring, closed: &[Ring]) -> (Vec<Ring>, Vec<Vec<Ring>>) {
    let left = difference(&[flat(outline)], closed);
    let wide = |part: &Vec<Ring>| {
        let round: f64 = part.iter().map(Ring::perimeter).sum();
        2.0 * area(part) > SHORT * round
    };
    let (wide, narrow): (Vec<_>, Vec<_>) = parts(left).into_iter().partition(wide);
    (wide.into_iter().flatten().collect(), narrow)
}

/// What is said of paper on skins that curve both ways: where it is folded, how far it goes, and where it is not planned.
pub fn told(paper: Option<&Paper>) -> Vec<Finding> {
    let Some(paper) = paper else { return Vec::new() };
    let mut out = Vec::new();
    let mut sides: Vec<&str> = paper.strips.iter().map(|s| s.surface.as_str()).collect();
    sides.dedup();
    for id in sides {
        let folded = paper.strips.iter().filter(|s| s.surface == id && TOLD <= s.darts);
        let sum: f64 = folded.clone().map(|s| s.darts).sum();
        if let Some(most) = folded.max_by(|a, b| a.darts.total_cmp(&b.darts)) {
            out.push(
                Finding::new(
                    Severity::Note,
                    "paper-darts",
                    id,
                    format!(
                        "the skin curves both ways and paper does not stretch: {} of paper strips is folded up in small \
                         darts along their edges, up to {} in one of {}",
                        length(sum),
                        length(most.darts),
                        length(most.length),
                    ),
                )
                .source(
                    Basis::Practice,
                    format!(
                        "common practice, no source: an edge up to {} too long is smoothed down; where more than 1/4 in \
                         a yard would be folded the next narrower paper of the shelf is taken",
                        percent(GIVES)
                    ),
                )
                .hint("press the middle of a strip down first, fold each dart flat toward the bottom, tape it shut"),
            );
        }
    }
    for round in &paper.rounds {
        out.push(match round.reach {
            Some(reach) => Finding::new(
                Severity::Note,
                "paper-reach",
                &round.of,
                format!(
                    "paper is planned {} round it, or to the rim of the scan if that is nearer; the rest of this \
                     surface is in no length, roll or hour. Lengths there err by {} at most",
                    length(reach),
                    percent(round.strain)
                ),
            )
            .source(Basis::Practice, "common practice, no source")
            .hint("bag the rest by hand; cover ports, drains and vents first and count them"),
            None => Finding::new(
                Severity::Note,
                "no-paper",
                &round.of,
                "the skin round it cannot be laid flat: its paper is not planned, and is in no length, roll or hour",
            )
            .hint("cut paper on the spot; cover ports, drains, vents and plates first and count them"),
        });
    }
    out
}

/// Heights over the first mark's baseline, mm, at which its tape and that of the others begin and end.
pub(super) fn levels(marks: &[&Placed], masks: &[&Mask], angle: f64) -> Vec<f64> {
    let level = Affine::rotate(-angle);
    let mut out = Vec::new();
    for mark in marks {
        let tape =
            masks.iter().filter(|m| m.of == mark.id).flat_map(|m| m.pieces.iter().flat_map(|p| &p.footprint));
        let painted = mark.all_rings();
        let reach = painted
            .iter()
            .chain(tape)
            .map(|r| r.mapped(level))
            .filter_map(|r| r.bounds())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |a, (lo, hi)| (a.0.min(lo.y), a.1.max(hi.y)));
        if reach.0 < reach.1 {
            out.extend([reach.0, reach.1]);
        }
    }
    out.sort_by(f64::total_cmp);
    out.dedup_by(|a, b| (*a - *b).abs() < LAP);
    out
}

/// One face to cover.
pub(super) struct Sheet<'a> {
    pub(super) skin: &'a Skin,
    pub(super) masking: &'a Masking,
    /// The way the strips run, radians.
    pub(super) angle: f64,
    pub(super) back: bool,
    /// On a scan, the mark it lies round.
    pub(super) round: Option<&'a str>,
}

/// A strip before it is turned back onto the skin: from where to where along and across.
struct Laid {
    lo: Point,
    hi: Point,
    width: f64,
    lengthwise: bool,
}

impl Sheet<'_> {
    /// Adds the strips that cover `bare`.
    pub(super) fn cover(&self, bare: &[Ring], levels: &[f64], strips: &mut Vec<PaperStrip>) {
        let widths = widths(self.masking);
        if widths.is_empty() {
            return;
        }
        let (to, from) = (Affine::rotate(-self.angle), Affine::rotate(self.angle));
        let level: Vec<Ring> = bare.iter().map(|r| r.mapped(to)).collect();
        let edge = flat(&self.skin.outline.mapped(to));
        let Some((lo, hi)) = edge.bounds() else { return };
        let mut cuts = vec![lo.y - 1.0];
        cuts.extend(levels.iter().copied().filter(|y| lo.y + KEPT_MM < *y && *y < hi.y - KEPT_MM));
        cuts.push(hi.y + 1.0);
        for slab in cuts.windows(2) {
            let frame = rectangle(Point::new(lo.x - 1.0, slab[0]), Point::new(hi.x + 1.0, slab[1]));
            for part in parts(intersection(&level, &[frame])) {
                let along = self.strips(&part, &edge, &widths, true);
                let across = self.strips(&part, &edge, &widths, false);
                let paper = |all: &[Laid]| all.iter().map(|s| s.width * s.length()).sum::<f64>();
                let better = (across.len(), paper(&across)) < (along.len(), paper(&along));
                strips.extend(
                    if better { across } else { along }.into_iter().map(|s| PaperStrip {
                        surface: self.skin.id.clone(),
                        back: self.back,
                        width: s.width,
                        length: s.length(),
                        corners: [s.lo, Point::new(s.hi.x, s.lo.y), s.hi, Point::new(s.lo.x, s.hi.y)]
                            .map(|p| from * p),
                        darts: 0.0,
                        round: self.round.map(str::to_owned),
                    }),
                );
            }
        }
    }

    fn past(&self, edge: &Ring, p: Point) -> f64 {
        past(self.masking, edge, self.back, p)
    }

    /// The strips over one part that hangs together, along the mark or across it, the lowest first.
    fn strips(&self, part: &[Ring], edge: &Ring, widths: &[f64], lengthwise: bool) -> Vec<Laid> {
        // Worked out lengthwise; across is the same with x and y swapped.
        let swap = |p: Point| if lengthwise { p } else { Point::new(p.y, p.x) };
        let points = || part.iter().flat_map(|r| r.vertices.iter().map(|v| v.p));
        let far = |of: fn(Point) -> f64, most: bool| {
            let sign = if most { 1.0 } else { -1.0 };
            let p = points().max_by(|a, b| (sign * of(swap(*a))).total_cmp(&(sign * of(swap(*b)))));
            p.map_or(0.0, |p| of(swap(p)) + sign * self.past(edge, p))
        };
        let (bottom, top) = (far(|p| p.y, false), far(|p| p.y, true));
        let widest = widths[widths.len() - 1];
        let tall = top - bottom;
        let count = ((tall - LAP) / (widest - LAP) - KEPT_MM).ceil().max(1.0) as usize;
        let mut out = Vec::new();
        let mut at = bottom;
        for k in 0..count {
            let left = top - at;
            let width = if k + 1 < count {
                widest
            } else {
                widths.iter().copied().find(|w| *w + KEPT_MM >= left).unwrap_or(widest)
            };
            // What of the part lies under this strip, and how far it reaches.
            let frame = |a: Point, b: Point| rectangle(swap(a), swap(b));
            let under = intersection(part, &[frame(Point::new(-1e6, at), Point::new(1e6, at + width))]);
            let ends = |sign: f64| {
                let all = under.iter().flat_map(|r| r.vertices.iter().map(|v| v.p));
                let p = all.max_by(|a, b| (sign * swap(*a).x).total_cmp(&(sign * swap(*b).x)));
                p.map(|p| swap(p).x + sign * self.past(edge, p))
            };
            if let (Some(from), Some(to)) = (ends(-1.0), ends(1.0)) {
                let (a, b) = (swap(Point::new(from, at)), swap(Point::new(to, at + width)));
                out.push(Laid { lo: a, hi: b, width, lengthwise });
            }
            at += width - LAP;
        }
        out
    }
}

impl Laid {
    fn length(&self) -> f64 {
        if self.lengthwise { self.hi.x - self.lo.x } else { self.hi.y - self.lo.y }
    }
}

pub(super) fn rectangle(a: Point, b: Point) -> Ring {
    let (lo, hi) = (Point::new(a.x.min(b.x), a.y.min(b.y)), Point::new(a.x.max(b.x), a.y.max(b.y)));
    Ring::from_points([lo, Point::new(hi.x, lo.y), hi, Point::new(lo.x, hi.y)])
}
