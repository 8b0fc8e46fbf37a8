//! Checks that need more than one value: shapes, windows, opening hours, stations, sections, places on a scan.

use super::across_spots::scan_unit;
use super::checked::{Checked, Got};
use super::shapes::{area_fault, path_fault};
use crate::problem::Problem;
use std::collections::BTreeMap;

/// What is wrong across the values of a job.
#[derive(Default)]
pub(crate) struct Across {
    /// What is wrong.
    pub(crate) problems: Vec<Problem>,
    /// What is not there: only to be believed if the whole file could be made out.
    pub(crate) absences: Vec<Problem>,
}

/// Checks the whole job.
pub(crate) fn check(job: &Checked) -> Across {
    let mut across = Across::default();
    let (mut kinds, mut units) = (BTreeMap::new(), BTreeMap::new());
    for surface in job.tables("surface") {
        across.surface(surface);
        if let (Some(id), Some(kind)) = (surface.text("id"), surface.kind) {
            kinds.insert(id, kind);
            units.extend(scan_unit(surface).map(|unit_mm| (id, unit_mm)));
        }
    }
    for mark in job.tables("mark") {
        let on = mark.text("surface");
        let unit_mm = on.and_then(|id| units.get(id).copied());
        across.mark(mark, on.and_then(|id| kinds.get(id).copied()), unit_mm);
    }
    for stripe in job.tables("stripe") {
        across.stripe(stripe, stripe.text("surface").and_then(|id| kinds.get(id).copied()));
    }
    across.beside(job);
    for paint in job.tables("paint") {
        across.paint(paint);
    }
    across.day(job);
    if let Some(patterns) = job.table("patterns") {
        across.roll(patterns);
    }
    across
}

impl Across {
    pub(super) fn say(&mut self, table: &Checked, key: &str, message: String) {
        self.problems.push(Problem::at(table.span_of(key), message));
    }

    /// A roll must hold the check square and the words beside it.
    fn roll(&mut self, patterns: &Checked) {
        let (least, most) = (sheet::tiles::LEAST_ROLL, sheet::tiles::MOST_ROLL);
        if let Some(width) = patterns.number("paper").filter(|w| sheet::tiles::Stock::roll(*w).is_none()) {
            let message =
                format!("a roll of {width:.1} mm cannot be used: it is {least:.0} mm to {most:.0} mm wide");
            self.say(patterns, "paper", message);
        }
    }

    pub(super) fn area(&mut self, table: &Checked, key: &str) {
        let corners = table.points(key);
        if let Some(fault) = (corners.len() >= 3).then(|| area_fault(&corners)).flatten() {
            self.say(table, key, format!("`{key}` of {}: {fault}", table.label));
        }
    }

    pub(super) fn path(&mut self, table: &Checked, key: &str) {
        if let Some(fault) = path_fault(&table.points(key)) {
            self.say(table, key, format!("`{key}` of {}: {fault}", table.label));
        }
    }

    fn surface(&mut self, surface: &Checked) {
        self.area(surface, "corners");
        if let Some(ribs) = surface.table("ribs") {
            let stations: Vec<[f64; 2]> =
                ribs.list("at").iter().filter_map(|got| Some([got.number()?, 0.0])).collect();
            if let Some(fault) = path_fault(&stations) {
                self.say(ribs, "at", format!("`at` of {}: {}", ribs.label, fault.replace("points", "ribs")));
            }
        }
        self.lying_on(surface);
        self.scan_axes(surface);
        let mut last = None;
        for got in surface.list("section") {
            // One section typed for both ends is judged once.
            if last.replace(&got.span) != Some(&got.span) {
                self.section(surface, got);
            }
        }
        self.breaks(surface);
        self.stations(surface);
        if let Some(file) = surface.text("file") {
            let lower = file.to_lowercase();
            if ![".stl", ".obj", ".ply"].iter().any(|ending| lower.ends_with(ending)) {
                let message =
                    format!("`file` of {} is `{file}`, which is no scan by its name", surface.label);
                let problem = Problem::at(surface.span_of("file"), message);
                self.problems.push(problem.expected("a file ending in .stl, .obj or .ply"));
            }
        }
    }

    /// A name that opens with `naca` and goes on in digits only is a section by number; all else is a file.
    fn section(&mut self, surface: &Checked, got: &Got) {
        let Some(digits) = got.text().and_then(|name| name.strip_prefix("naca")) else { return };
        if digits.contains(['.', '/']) || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return;
        }
        let message = if !matches!(digits.len(), 4 | 5) {
            format!("`section` of {} has {} digits: naca{digits}", surface.label, digits.len())
        } else if digits.ends_with("00") {
            format!("`section` of {} has no thickness: naca{digits}", surface.label)
        } else {
            return;
        };
        let expected = "naca and four or five digits, the last two the thickness, such as \"naca2412\"";
        self.problems.push(Problem::at(got.span.clone(), message).expected(expected));
    }

    /// Ribs at which a wing kinks lie between root and tip, each outboard of the one before it, and say their section
    /// where those of root and tip differ.
    fn breaks(&mut self, surface: &Checked) {
        let ends = surface.list("section");
        let differ = ends.first().map(Got::text) != ends.last().map(Got::text);
        let mut last = 0.0;
        for rib in surface.tables("breaks") {
            let s = rib.number("s").unwrap_or(last);
            let span = surface.number("span");
            if rib.get("s").is_some() && s <= last {
                self.say(
                    rib,
                    "s",
                    format!("`s` of {} does not lie outboard of the rib before it", rib.label),
                );
            } else if span.is_some_and(|span| span <= s) {
                self.say(rib, "s", format!("`s` of {} does not lie inboard of the tip", rib.label));
            }
            last = s;
            match rib.get("section") {
                Some(got) => self.section(rib, got),
                None if differ => {
                    let message = format!("{} has no `section`, and those of root and tip differ", rib.label);
                    self.problems
                        .push(Problem::at(rib.span.clone(), message).expected("the section of that rib"));
                }
                None => {}
            }
        }
        if surface.number("tip_bow").zip(surface.number("span")).is_some_and(|(bow, span)| span <= bow) {
            self.say(surface, "tip_bow", format!("`tip_bow` of {} takes the whole span", surface.label));
        }
    }

    fn stations(&mut self, surface: &Checked) {
        let mut last: Option<f64> = None;
        for station in surface.tables("stations") {
            let s = station.sure_number("s");
            if last.is_some_and(|last| s <= last) {
                self.say(
                    station,
                    "s",
                    format!("`s` of {} does not lie aft of the station before it", station.label),
                );
            }
            last = Some(s);
            if let (Some(top), Some(bottom)) = (station.number("top"), station.number("bottom"))
                && top <= bottom
            {
                self.say(station, "top", format!("`top` of {} is not above its `bottom`", station.label));
            }
            let points = station.points("points");
            if let Some(fault) = path_fault(&points) {
                self.say(station, "points", format!("`points` of {}: {fault}", station.label));
            } else if points.iter().any(|[half_width, _]| *half_width < 0.0) {
                self.say(
                    station,
                    "points",
                    format!("`points` of {} has a negative half width", station.label),
                );
            } else if points.windows(2).any(|pair| pair[1][1] > pair[0][1]) {
                self.say(
                    station,
                    "points",
                    format!("`points` of {} do not run from top to bottom", station.label),
                );
            } else if !points.is_empty() && points.iter().all(|[half_width, _]| *half_width < 1.0) {
                self.say(station, "points", format!("`points` of {} has no width", station.label));
            }
        }
    }

    fn mark(&mut self, mark: &Checked, kind: Option<&str>, unit_mm: Option<f64>) {
        self.wanted_on(mark, kind.unwrap_or_default(), unit_mm);
        let place = mark.table("place");
        if kind == Some("mesh") {
            self.on_scan(mark);
        } else if let (Some(place), Some(kind)) = (place, kind) {
            if place.get("at").is_some_and(|at| at.list().len() == 3) {
                let message =
                    format!("`at` of {} has three numbers, but the surface is no scan ({kind})", place.label);
                self.problems.push(Problem::at(place.span_of("at"), message).expected("two positions"));
            }
            if place.get("toward").is_some() {
                self.say(
                    place,
                    "toward",
                    format!("`toward` of {} is for a mark on a scan only", place.label),
                );
            }
        }
        if let Some(shadow) = mark.table("shadow")
            && shadow.point("by").is_some_and(|by| by[0].hypot(by[1]) < 0.1)
        {
            self.say(shadow, "by", format!("`by` of {} does not move it", shadow.label));
        }
    }

    fn stripe(&mut self, stripe: &Checked, kind: Option<&str>) {
        let through = stripe.list("through");
        let Some(kind) = kind else { return };
        if stripe.text("heights") == Some("waterline") && kind != "body" {
            let message = format!("`heights` of {} is for a stripe on a body only", stripe.label);
            self.say(stripe, "heights", message);
        }
        let wanted = if kind == "mesh" { 3 } else { 2 };
        if let Some(point) = through.iter().find(|point| point.list().len() != wanted) {
            let message = format!(
                "`through` of {} has a point of {} numbers on a surface of kind `{kind}`",
                stripe.label,
                point.list().len()
            );
            self.problems
                .push(Problem::at(point.span.clone(), message).expected(format!("{wanted} numbers")));
            return;
        }
        let points: Vec<Vec<f64>> =
            through.iter().map(|point| point.list().iter().filter_map(Got::number).collect()).collect();
        if points.windows(2).any(|pair| pair[0].iter().zip(&pair[1]).all(|(a, b)| (a - b).abs() <= 0.01)) {
            self.say(
                stripe,
                "through",
                format!("`through` of {} has the same point twice running", stripe.label),
            );
        }
    }

    /// What a stripe runs along, beside or opposite of.
    fn beside(&mut self, job: &Checked) {
        let stripes: BTreeMap<&str, &Checked> =
            job.tables("stripe").filter_map(|s| Some((s.text("id")?, s))).collect();
        let surfaces: BTreeMap<&str, &Checked> =
            job.tables("surface").filter_map(|s| Some((s.text("id")?, s))).collect();
        for stripe in job.tables("stripe") {
            let points = stripe.list("through").len();
            let loose = stripe.list("loose").len();
            if loose != 0 && loose != points {
                let message =
                    format!("`loose` of {} is for {loose} points, `through` has {points}", stripe.label);
                self.problems
                    .push(Problem::at(stripe.span_of("loose"), message).expected("one for each point"));
            }
            let surface = stripe.text("surface").and_then(|id| surfaces.get(id).copied());
            if let Some(other) = stripe.text("mirror_of").and_then(|id| stripes.get(id)) {
                self.mirror(stripe, other, surface, &surfaces);
            }
            if let Some(along) = stripe.table("along") {
                self.along(along, surface, job);
                self.neighbour(stripe, along, &stripes);
            }
            self.ends(stripe, &stripes);
        }
    }

    /// An end that meets another stripe: there must be one on its surface that it can meet.
    fn ends(&mut self, stripe: &Checked, stripes: &BTreeMap<&str, &Checked>) {
        // A mirror image has the ends of what it mirrors.
        let of = |s: &Checked| -> Vec<String> {
            let shaped = s.text("mirror_of").and_then(|id| stripes.get(id).copied());
            let ends = shaped.unwrap_or(s).list("ends");
            ends.iter().filter_map(|e| e.text().map(str::to_owned)).collect()
        };
        let others = || {
            let own = stripe.text("surface");
            stripes.values().filter(move |s| s.text("id") != stripe.text("id") && s.text("surface") == own)
        };
        if stripe.get("ends").is_none() || stripe.get("mirror_of").is_some() {
            return;
        }
        for end in of(stripe) {
            let (meets, expected) = match end.as_str() {
                "mitre" => (
                    others().any(|s| of(s).iter().any(|e| e == "mitre")),
                    "another stripe of its surface with an end that is \"mitre\" too",
                ),
                "butt" => (others().next().is_some(), "another stripe of its surface to run up to"),
                _ => continue,
            };
            if !meets {
                let message = format!("`ends` of {} has \"{end}\", but it meets nothing there", stripe.label);
                self.problems.push(
                    Problem::at(stripe.span_of("ends"), message).expected(expected).hint("else \"square\""),
                );
                return;
            }
        }
    }

    fn mirror(
        &mut self,
        stripe: &Checked,
        other: &Checked,
        own: Option<&Checked>,
        surfaces: &BTreeMap<&str, &Checked>,
    ) {
        let theirs = other.text("surface").and_then(|id| surfaces.get(id).copied());
        let message = if stripe.text("id") == other.text("id") {
            format!("`mirror_of` of {} names itself", stripe.label)
        } else if other.get("mirror_of").is_some() {
            format!("`mirror_of` of {} names {}, which is a mirror image itself", stripe.label, other.label)
        } else if let Some(message) = self.mirror_on_scan(stripe, other, own, theirs) {
            message
        } else if stripe.text("surface") == other.text("surface") && own.and_then(scan_unit).is_none() {
            format!("`mirror_of` of {} names {}, which is on the same surface", stripe.label, other.label)
        } else if let (Some(own), Some(theirs)) = (own.and_then(|s| s.kind), theirs.and_then(|s| s.kind))
            && own != theirs
        {
            format!(
                "`mirror_of` of {} names {} on a surface of kind `{theirs}`, its own is of kind `{own}`",
                stripe.label, other.label
            )
        } else {
            return;
        };
        self.say(stripe, "mirror_of", message);
    }

    /// The line itself: it must be there, on a surface that has such a line.
    fn along(&mut self, along: &Checked, surface: Option<&Checked>, job: &Checked) {
        for key in ["gap", "gap_tape"] {
            if along.get(key).is_some() && along.get("stripe").is_none() {
                let message = format!("`{key}` of {} is for a stripe beside another only", along.label);
                self.problems.push(
                    Problem::at(along.span_of(key), message).expected("`off`, the distance from the line"),
                );
            }
        }
        if let (Some(from), Some(to)) = (along.number("from"), along.number("to"))
            && to <= from
        {
            self.say(
                along,
                "to",
                format!("{} ends before it starts: `to` is not beyond `from`", along.label),
            );
        }
        if let Some(label) = along.number("gap_tape") {
            let masking = job.table("masking");
            let mut shelf = masking.into_iter().flat_map(|m| m.tables("edge_tapes"));
            if !shelf.any(|t| t.number("width").is_some_and(|w| super::build::same_label(w, label))) {
                let message = format!("`gap_tape` of {} is no edge tape of the job", along.label);
                let problem = Problem::at(along.span_of("gap_tape"), message);
                self.problems.push(problem.expected("the `width` of one of `edge_tapes` of `[masking]`"));
            }
        }
        let Some(surface) = surface else { return };
        let kind = surface.kind.unwrap_or_default();
        if along.get("waterline").is_some() && kind == "wing" {
            let message = format!("`waterline` of {} is on a wing, which has none", along.label);
            let problem = Problem::at(along.span_of("waterline"), message);
            self.problems.push(problem.expected("`edge = \"leading-edge\"` with `off`"));
        }
        if !self.along_on(along, surface) {
            return;
        }
        if let Some(edge) = along.text("edge") {
            let of_wing = edge.ends_with("-edge");
            if of_wing != (kind == "wing") {
                let message =
                    format!("`edge` of {} is \"{edge}\" on a surface of kind `{kind}`", along.label);
                self.problems.push(Problem::at(along.span_of("edge"), message).expected(
                    "\"leading-edge\" or \"trailing-edge\" on a wing, \"upper\" or \"lower\" on a panel, body or scan",
                ));
            }
        }
        if let Some(id) = along.text("feature")
            && let Some(feature) = surface.tables("feature").find(|f| f.text("id") == Some(id))
            && feature.list("path").len() < 2
        {
            let message = format!("`feature` of {} names {}, which has no path", along.label, feature.label);
            let problem = Problem::at(along.span_of("feature"), message);
            self.problems.push(problem.expected("a seam or other feature with a path"));
        }
    }

    /// The stripe beside which another runs: on the same surface, and in the end one that stands by itself.
    fn neighbour(&mut self, stripe: &Checked, along: &Checked, stripes: &BTreeMap<&str, &Checked>) {
        let Some(mut other) = along.text("stripe").and_then(|id| stripes.get(id).copied()) else { return };
        if let (Some(own), Some(theirs)) = (stripe.text("surface"), other.text("surface"))
            && own != theirs
        {
            let message =
                format!("`stripe` of {} names {}, which is on surface `{theirs}`", along.label, other.label);
            self.problems.push(
                Problem::at(along.span_of("stripe"), message)
                    .expected(format!("a stripe of its own surface, `{own}`"))
                    .hint("a stripe of the other side is copied with `mirror_of`"),
            );
            return;
        }
        for _ in 0..=stripes.len() {
            if other.text("id") == stripe.text("id") {
                let message = format!("{} runs along itself, if one follows `stripe`", stripe.label);
                self.problems.push(Problem::at(along.span_of("stripe"), message));
                return;
            }
            match other.table("along").and_then(|a| stripes.get(a.text("stripe")?)) {
                Some(next) => other = next,
                None => return,
            }
        }
    }

    fn paint(&mut self, paint: &Checked) {
        for (key, from, by) in [("pull_edge", "from", "by"), ("unmask", "from", "by")] {
            if let Some(window) = paint.table(key) {
                self.window(window, from, by);
            }
        }
        for coat in paint.tables("coats") {
            if let Some(flash) = coat.table("flash") {
                self.window(flash, "least", "most");
            }
        }
    }

    fn window(&mut self, window: &Checked, from: &str, by: &str) {
        if window.sure_number(by) < window.sure_number(from) {
            let message = format!("{} ends before it starts: `{by}` is less than `{from}`", window.label);
            self.say(window, by, message);
        }
    }

    fn day(&mut self, job: &Checked) {
        if let Some(shop) = job.table("shop")
            && let (Some(opens), Some(closes)) = (shop.number("opens"), shop.number("closes"))
            && closes <= opens
        {
            let message = "the shop closes before it opens: `closes` is not later than `opens`".to_owned();
            self.say(shop, "closes", message);
        }
        if let Some(conditions) = job.table("conditions") {
            let mut seen = Vec::new();
            for line in conditions.tables("forecast") {
                let at = line.sure_number("at");
                if seen.iter().any(|other: &f64| (other - at).abs() < 0.5) {
                    self.say(line, "at", format!("`at` of {} is in the forecast twice", line.label));
                }
                seen.push(at);
            }
        }
    }
}
