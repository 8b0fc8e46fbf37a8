//! Where a mark may go and which sizes it may have: its area, the rule's margin, the heights and gaps to try.

use super::law;
use crate::job::{self, Job};
use crate::marks::design::Design;
use crate::marks::settle::year_of;
use crate::rules::figure::Limit;
use crate::rules::{self, Pack};
use crate::surface::Skin;
use geom::inset::inset;
use geom::{Point, Ring};

/// Where a mark must stay, in flat: its `within`, else the skin.
pub fn allowed(mark: &job::Mark, skin: &Skin) -> Ring {
    if mark.within.is_empty() && mark.scan_within.value.is_empty() {
        return skin.outline.clone();
    }
    let ring = match skin.chart().filter(|chart| chart.is_scan()) {
        Some(chart) => chart.ring_of_scan(&mark.scan_within.value),
        None => skin.outline_from_user(&mark.within),
    };
    if skin.chart().is_none() {
        return ring;
    }
    // A chart ends where it was cut; what is asked for beyond it cannot be searched here.
    let on_it = geom::boolean::intersection(&[ring], std::slice::from_ref(&skin.outline));
    on_it.into_iter().max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or_else(|| skin.outline.clone())
}

/// Where a place is looked for: the skin less the pack's margin, unless the job says where with `within`. A
/// panel too small for the margin is searched as it is; the rule report then says what is missing.
pub fn searched(job: &Job, mark: &job::Mark, pack: Option<&Pack>, allowed: &Ring) -> Ring {
    let whole = mark.within.is_empty() && mark.scan_within.value.is_empty();
    if whole { less_margin(job, mark, pack, allowed) } else { allowed.clone() }
}

/// An outline less the margin the pack asks round the mark.
pub fn less_margin(job: &Job, mark: &job::Mark, pack: Option<&Pack>, outline: &Ring) -> Ring {
    let margin = pack.filter(|_| mark.legal).map_or(0.0, |p| p.margin(ask(job, mark)));
    if margin > 0.0 { inset(outline, margin).unwrap_or_else(|| outline.clone()) } else { outline.clone() }
}

/// What a rule pack is asked about a mark.
pub fn ask<'a>(job: &'a Job, mark: &'a job::Mark) -> rules::Ask<'a> {
    rules::Ask {
        craft: &job.craft,
        location: mark.location.as_ref().map(|l| l.value.as_str()),
        this_year: year_of(job),
    }
}

/// The heights that may be tried, greatest first: steps of 1/8 in, or 2 mm where the job measures in metric,
/// from what the area could hold down to the least legal height.
pub fn ladder(job: &Job, mark: &job::Mark, pack: Option<&Pack>, skin: &Skin, at: Point) -> Vec<f64> {
    let step = if metric(job) { 2.0 } else { 25.4 / 8.0 };
    let least = pack
        .filter(|_| mark.legal)
        .and_then(|p| p.least_height(ask(job, mark), law::skin_size(skin, at)).height)
        .and_then(|f| f.mm())
        .unwrap_or(LEAST_HEIGHT_MM);
    let (lo, hi) = skin.outline.bounds().unwrap_or_default();
    let first = (lo.distance(hi) / step).floor() as usize;
    let last = (least / step - geom::tolerance::NOISE_UNIT).ceil().max(1.0) as usize;
    (last..=first.min(last + MOST_STEPS)).rev().map(|k| k as f64 * step).collect()
}

/// Least height, mm, that is tried where no rule asks for one. chosen: the smallest placarded words are 2 in.
const LEAST_HEIGHT_MM: f64 = 12.7;

/// Most heights on a ladder; a panel of 10 m in steps of 2 mm has 5,000.
const MOST_STEPS: usize = 5_000;

/// Other gaps between characters that the rule lets be, of the height, the nearest to the design's first:
/// steps of 1/16 in or 1 mm. A rule that asks an exact gap leaves none; a least one leaves all above it, up to
/// `WIDEST` of it. Without a rule from half the design's gap to `WIDEST` of it.
pub fn gaps(job: &Job, mark: &job::Mark, pack: Option<&Pack>, design: &Design) -> Vec<f64> {
    let asked = pack.filter(|_| mark.legal).and_then(|p| p.lettering().gap_ratio);
    let least = match &asked {
        None => design.gap / 2.0,
        // The design's own gap is the pack's unless the job gives one: then the width follows from that.
        Some(figure) if matches!(figure.limit, Limit::Min | Limit::ShouldMin) => match mark.gap_ratio {
            Some(ratio) if ratio > 0.0 => figure.value * design.gap / ratio,
            Some(_) => return Vec::new(),
            None => design.gap,
        },
        Some(_) => return Vec::new(),
    };
    let h = design.height_mm;
    let step = if metric(job) { 1.0 } else { 25.4 / 16.0 };
    let (first, last) = ((least * h / step).ceil() as usize, (WIDEST * least * h / step).floor() as usize);
    let mut gaps: Vec<f64> = (first..=last.min(first + MOST_GAPS)).map(|k| k as f64 * step / h).collect();
    gaps.sort_by(|a, b| (a - design.gap).abs().total_cmp(&(b - design.gap).abs()));
    gaps.retain(|g| (g - design.gap).abs() * h > geom::tolerance::KEPT_MM);
    gaps
}

/// Widest gap that is tried, of the least. chosen: beyond it the characters of one mark fall apart.
const WIDEST: f64 = 3.0;

/// Most gaps that are tried.
const MOST_GAPS: usize = 240;

/// The design with another gap, of the height, between the characters of a group.
pub fn with_gap(design: &Design, gap: f64) -> Design {
    let mut wider = Design { gap, ..design.clone() };
    let lines = 1 + design.glyphs.iter().map(|g| g.line).max().unwrap_or(0);
    let mut grown = vec![0.0; lines];
    for (k, set) in wider.glyphs.iter_mut().enumerate() {
        let follows = k > 0 && design.glyphs[k - 1].line == set.line;
        if follows && !set.after_space {
            grown[set.line] += gap - design.gap;
        }
        set.x += grown[set.line];
    }
    let before = design.line_lengths();
    let after: Vec<f64> = before.iter().zip(&grown).map(|(length, more)| length + more).collect();
    wider.length = after.iter().copied().fold(0.0, f64::max);
    // Lines keep the side, or the middle, they were set by: the share of the white to their left stays.
    for set in &mut wider.glyphs {
        let first = design.glyphs.iter().find(|g| g.line == set.line).map_or(0.0, |g| g.x);
        let white = design.length - before[set.line];
        let share = if white > geom::tolerance::NOISE_UNIT { first / white } else { 0.5 };
        let now = wider.length - after[set.line];
        set.x += share * now - first;
    }
    wider
}

fn metric(job: &Job) -> bool {
    matches!(job.units, job::Unit::Mm | job::Unit::Cm | job::Unit::M)
}
