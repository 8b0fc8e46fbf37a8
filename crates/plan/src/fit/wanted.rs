//! All that is known of one mark before its place is: what it is, where it may go, which sizes may be tried.

use super::aim::aim;
use super::allowed::{allowed, gaps, ladder, less_margin, searched};
use super::search::{Goal, Task};
use crate::job::{self, Height, Job, Place};
use crate::marks::design::Design;
use crate::problem::Problem;
use crate::rules::Pack;
use crate::rules::pack::Location;
use crate::surface::{Chart, FlatFeature, Skin};
use crate::words::length;
use geom::{Point, Ring};

/// A mark that wants a place.
#[derive(Clone, Debug)]
pub struct Wanted<'a> {
    /// What the job says of it.
    pub mark: &'a job::Mark,
    /// The surface as the job gives it.
    pub surface: &'a job::Surface,
    /// That surface, unrolled; of a body or scan the skin round the mark.
    pub skin: &'a Skin,
    /// What lies there, as the search asks for it.
    pub features: Vec<FlatFeature>,
    /// Its characters and its height, or the least it may have.
    pub design: Design,
    /// True if the largest height that fits is asked for and not yet found.
    pub open_height: bool,
    /// Its turn, radians.
    pub angle: f64,
    /// Where it must stay, flat.
    pub allowed: Ring,
    /// Where a place is looked for, flat: the same less the rule's margin.
    pub searched: Ring,
    /// The whole skin less the rule's margin, where `within` asks for a part of it.
    pub beyond_within: Option<Ring>,
    /// Where its centre is wanted, flat.
    pub aim: Point,
    /// Heights that may be tried, mm, greatest first.
    pub ladder: Vec<f64>,
    /// Other gaps the rule lets be, of the height, the nearest first.
    pub gaps: Vec<f64>,
    /// What was looked at before.
    pub looked: Looked,
}

/// What a search on a skin that is laid flat piece by piece has looked at so far.
#[derive(Clone, Debug, Default)]
pub struct Looked {
    /// True if only the place is asked for, not what else could be had.
    pub bare: bool,
    /// Boxes of places.
    pub boxes: usize,
    /// True if some of them were given up.
    pub gave_up: bool,
    /// Where, as it ends the words of a proof; empty where one flat serves all of the skin.
    pub place: String,
}

impl<'a> Wanted<'a> {
    /// From the job.
    ///
    /// # Errors
    /// A place or tops that make no sense on the surface, at its span in the job file.
    pub fn of(
        job: &Job,
        pack: Option<&Pack>,
        mark: &'a job::Mark,
        surface: &'a job::Surface,
        skin: &'a Skin,
        design: &Design,
    ) -> Result<Wanted<'a>, Problem> {
        let allowed = allowed(mark, skin);
        let aim = aim(mark, skin, &allowed, location(mark, pack), Some(design));
        let searched = searched(job, mark, pack, &allowed);
        let within = !mark.within.is_empty() || !mark.scan_within.value.is_empty();
        Ok(Wanted {
            mark,
            surface,
            skin,
            features: Wanted::features(skin),
            design: design.clone(),
            // Of a place that is given the height is settled before.
            open_height: mark.height.value == Height::Largest && !has_place(mark),
            angle: angle(mark, skin, aim)?,
            allowed,
            searched,
            beyond_within: within.then(|| less_margin(job, mark, pack, &skin.outline)),
            aim,
            ladder: ladder(job, mark, pack, skin, aim),
            gaps: gaps(job, mark, pack, design),
            looked: Looked { place: on_sheet(skin), ..Looked::default() },
        })
    }

    /// The same with `more` clearance asked of every feature, mm.
    #[must_use]
    pub fn with_more(mut self, more: f64) -> Wanted<'a> {
        for feature in &mut self.features {
            feature.clearance += more;
        }
        self
    }

    /// The search for its place.
    pub fn task(&self) -> Task<'_> {
        Task {
            design: &self.design,
            skin: self.skin,
            features: &self.features,
            angle: self.angle,
            allowed: &self.searched,
            aim: self.aim,
        }
    }

    /// The search for its place: on a chart every clearance is asked with what the chart errs by on top.
    pub fn features(skin: &Skin) -> Vec<FlatFeature> {
        let slack = slack(skin);
        let grown = |f: &FlatFeature| FlatFeature { clearance: f.clearance + slack, ..f.clone() };
        skin.features.iter().map(grown).collect()
    }

    /// Which place the job asks for.
    pub fn goal(&self) -> Goal {
        if self.mark.place.value == Place::Roomiest { Goal::Roomiest } else { Goal::Nearest }
    }

    /// True if the job says where it goes.
    pub fn is_given(&self) -> bool {
        has_place(self.mark)
    }

    /// A gap, of the height, as the job file's `gap_ratio`, which is of the width.
    pub fn gap_ratio(&self, gap: f64) -> f64 {
        let widths = self.design.glyphs.iter().map(|g| g.glyph.width);
        let standard = self.mark.width_ratio.unwrap_or_else(|| {
            // Where neither job nor pack says, most characters are of the standard width.
            let mut all: Vec<f64> = widths.collect();
            all.sort_by(f64::total_cmp);
            all.get(all.len() / 2).copied().unwrap_or(1.0)
        });
        gap / standard
    }
}

/// True if the job says where a mark goes.
pub fn has_place(mark: &job::Mark) -> bool {
    matches!(mark.place.value, Place::At(_) | Place::OnMesh { .. })
}

/// The piece of skin that is laid flat, as it ends the words of a proof; nothing where one flat serves all of it.
fn on_sheet(skin: &Skin) -> String {
    let Some(chart) = skin.chart() else { return String::new() };
    format!(" on the skin laid flat {} by {} round it", length(chart.size().x), length(chart.size().y))
}

/// What the lengths of a chart err by where a letter lies to a feature, mm; 0 on a skin that unrolls, and on a wide
/// sheet, whose places are looked at again.
pub fn slack(skin: &Skin) -> f64 {
    skin.chart().filter(|chart| !chart.is_wide()).map_or(0.0, |chart| 2.0 * chart.figures.stroke_error)
}

/// Where a mark is wanted, before it is designed.
pub fn wanted_place(mark: &job::Mark, pack: Option<&Pack>, skin: &Skin) -> Point {
    aim(mark, skin, &allowed(mark, skin), location(mark, pack), None)
}

/// The pack's place for a mark it binds.
pub(super) fn location<'p>(mark: &job::Mark, pack: Option<&'p Pack>) -> Option<&'p Location> {
    let named = mark.location.as_ref().filter(|_| mark.legal)?;
    pack?.location(&named.value)
}

/// The turn of a mark whose tops and baseline point as asked.
fn angle(mark: &job::Mark, skin: &Skin, at: Point) -> Result<f64, Problem> {
    if matches!(mark.place.value, Place::OnMesh { .. }) && !skin.chart().is_some_and(Chart::is_scan) {
        return Err(Problem::at(mark.place.span.clone(), "only a scan takes a place of three numbers")
            .expected("place = { at = [s, t] }"));
    }
    let tops = mark.tops.as_ref().map(|t| t.value);
    skin.angle_for(tops, mark.along_span, at).map_err(|why| {
        let span = mark.tops.as_ref().map_or(mark.place.span.clone(), |t| t.span.clone());
        Problem::at(span, why)
    })
}
