//! Points of features, parts and areas: two numbers each on what is measured by its skin, three on a scan, and what is
//! wrong with the shapes of a scan's.

use super::across::Across;
use super::build::UNITS;
use super::checked::{Checked, Got};
use super::keys::Kind;
use super::shapes::{path_fault, scan_area_fault, scan_path_fault};
use crate::problem::Problem;

/// What a mark on a scan needs to be told.
const NEEDED: &str =
    "place = { at = [x, y, z], toward = [x, y, z] }, or aim = [x, y, z] and toward = [x, y, z]";

/// The millimetres of a scan's unit; `None` on any other surface.
pub(crate) fn scan_unit(surface: &Checked) -> Option<f64> {
    let unit_mm = surface.meaning("unit", UNITS).map_or(1.0, super::types::Unit::mm);
    (surface.kind == Some("mesh")).then_some(unit_mm)
}

impl Across {
    /// The points of `key` have as many numbers as their surface's kind asks. False if one has not.
    fn counted(&mut self, table: &Checked, key: &str, kind: &str) -> bool {
        let wanted = numbers(kind);
        let points = table.list(key);
        let Some(k) = points.iter().position(|point| point.list().len() != wanted) else { return true };
        let item = if points.len() == 1 { String::new() } else { format!(", item {}", k + 1) };
        self.miscounted(&points[k], format!("`{key}` of {}{item}", table.label), kind);
        false
    }

    /// The one point of `key`.
    fn counted_one(&mut self, table: &Checked, key: &str, kind: &str) {
        if let Some(point) = table.get(key).filter(|point| point.list().len() != numbers(kind)) {
            self.miscounted(point, format!("`{key}` of {}", table.label), kind);
        }
    }

    fn miscounted(&mut self, point: &Got, name: String, kind: &str) {
        let message = format!("{name} has {} values, not {}", point.list().len(), numbers(kind));
        let (expected, hint) = if kind == "mesh" {
            (Kind::ScanPoint.words(), "on a scan a point is x, y, z as the scan's file has them")
        } else {
            (super::keys::POINT.words(), "a point on a scan has three numbers")
        };
        self.problems.push(Problem::at(point.span.clone(), message).expected(expected).hint(hint));
    }

    /// Parts and features of a surface.
    pub(super) fn lying_on(&mut self, surface: &Checked) {
        let kind = surface.kind.unwrap_or_default();
        for part in surface.tables("part") {
            self.ring(part, "corners", kind, scan_unit(surface));
            self.line(part, "hinge", kind, scan_unit(surface));
        }
        for feature in surface.tables("feature") {
            if !kind.is_empty() {
                self.counted_one(feature, "at", kind);
            }
            self.ring(feature, "corners", kind, scan_unit(surface));
            self.line(feature, "path", kind, scan_unit(surface));
        }
    }

    /// Corners joined to a ring on a surface of that kind (empty = not known).
    fn ring(&mut self, table: &Checked, key: &str, kind: &str, unit_mm: Option<f64>) {
        if !kind.is_empty() && !self.counted(table, key, kind) {
            return;
        }
        let Some(unit_mm) = unit_mm else { return self.area(table, key) };
        let corners = in_mm(table, key, unit_mm);
        if let Some(fault) = (corners.len() >= 3).then(|| scan_area_fault(&corners)).flatten() {
            self.say(table, key, format!("`{key}` of {}: {fault}", table.label));
        }
    }

    fn line(&mut self, table: &Checked, key: &str, kind: &str, unit_mm: Option<f64>) {
        if !kind.is_empty() && !self.counted(table, key, kind) {
            return;
        }
        let Some(unit_mm) = unit_mm else { return self.path(table, key) };
        if let Some(fault) = scan_path_fault(&in_mm(table, key, unit_mm)) {
            self.say(table, key, format!("`{key}` of {}: {fault}", table.label));
        }
    }

    /// Where a mark on a surface of that kind (empty = not known) must stay and is wanted.
    pub(super) fn wanted_on(&mut self, mark: &Checked, kind: &str, unit_mm: Option<f64>) {
        self.ring(mark, "within", kind, unit_mm);
        if !kind.is_empty() {
            self.counted_one(mark, "aim", kind);
        }
        if !kind.is_empty() && kind != "mesh" && mark.get("toward").is_some() {
            self.say(mark, "toward", format!("`toward` of {} is for a mark on a scan only", mark.label));
        }
    }

    /// The place or the aim of a mark on a scan.
    pub(super) fn on_scan(&mut self, mark: &Checked) {
        let given = mark.table("place");
        let (table, at) = match given {
            Some(place) => (place, "at"),
            None => (mark, "aim"),
        };
        if given.is_none() && mark.get("aim").is_none() {
            let message = format!("{} lies on a scan and has no given place", mark.label);
            self.absences.push(Problem::at(mark.span_of("surface"), message).expected(NEEDED));
            return;
        }
        if let Some(place) = given
            && place.get("at").is_some_and(|at| at.list().len() != 3)
        {
            let message = format!("`at` of {} has two numbers, but the mark lies on a scan", place.label);
            self.problems.push(Problem::at(place.span_of("at"), message).expected(NEEDED));
        }
        if table.get("toward").is_none() {
            let message = format!("{} does not say where the baseline points", table.label);
            let span = if given.is_some() { table.span.clone() } else { mark.span_of("aim") };
            self.absences.push(Problem::at(span, message).expected(NEEDED));
        } else if pair(table, at).is_some_and(|(a, b)| a.iter().zip(&b).all(|(a, b)| a.total_cmp(b).is_eq()))
        {
            self.say(table, "toward", format!("`toward` of {} is the same point as `{at}`", table.label));
        }
    }
}

impl Across {
    /// How a scan lies in its craft: two directions square to each other.
    pub(super) fn scan_axes(&mut self, surface: &Checked) {
        let (Some(axes), Some((up, aft))) = (surface.table("axes"), directions(surface)) else { return };
        for (key, way) in [("up", up), ("aft", aft)] {
            if way.length_squared() <= 0.0 {
                self.say(axes, key, format!("`{key}` of {} points nowhere", axes.label));
                return;
            }
        }
        let apart = up.angle_between(aft).to_degrees();
        if HAIR < (apart - 90.0).abs() {
            let message = format!(
                "`up` and `aft` of {} are {apart:.1} degrees apart, not 90: one of them is wrong",
                axes.label
            );
            self.problems.push(
                Problem::at(axes.span_of("aft"), message).expected("two directions square to each other").hint(
                    "waterlines go by `up`, stations by `aft`: a degree between them is 2 in of height over 10 ft; take \
                     both from the scan's own level and middle plane",
                ),
            );
        }
    }

    /// The line a stripe runs along, by the numbers its points have and by what its surface has. False if it is on a scan
    /// that has no such line.
    pub(super) fn along_on(&mut self, along: &Checked, surface: &Checked) -> bool {
        let kind = surface.kind.unwrap_or_default();
        let straight = along.list("straight");
        if let Some(point) = straight.iter().find(|p| !kind.is_empty() && p.list().len() != numbers(kind)) {
            let message = if kind == "mesh" {
                format!(
                    "`straight` of {} has a point of 2 numbers and is on a scan, which has no stations",
                    along.label
                )
            } else {
                format!("`straight` of {} has a point of {} numbers", along.label, point.list().len())
            };
            let problem = Problem::at(along.span_of("straight"), message);
            let more = if kind == "mesh" {
                "three numbers each, as the scan's file has them"
            } else {
                "two lengths each"
            };
            self.problems.push(problem.expected(more));
            return false;
        }
        let same = match (scan_unit(surface), &along.points("straight")[..]) {
            (Some(unit_mm), _) => scan_path_fault(&in_mm(along, "straight", unit_mm)).is_some(),
            (None, [a, b]) => path_fault(&[*a, *b]).is_some(),
            _ => false,
        };
        if same {
            self.say(along, "straight", format!("`straight` of {} has the same point twice", along.label));
        }
        if kind == "mesh"
            && directions(surface).is_none()
            && let Some(key) = ["waterline", "edge"].into_iter().find(|k| along.get(k).is_some())
        {
            let message = format!(
                "`{key}` of {} is on a scan, which has no stations until its axes are stated",
                along.label
            );
            let problem = Problem::at(along.span_of(key), message);
            self.problems.push(
                problem
                    .expected("`axes` on the surface, such as axes = { up = [0, 0, 1], aft = [1, 0, 0] }")
                    .hint("without them a stripe runs `through` points, along a `feature`, `straight`, or beside a `stripe`"),
            );
            return false;
        }
        true
    }

    /// Why a stripe cannot mirror another, if both are on scans.
    pub(super) fn mirror_on_scan(
        &mut self,
        stripe: &Checked,
        other: &Checked,
        own: Option<&Checked>,
        theirs: Option<&Checked>,
    ) -> Option<String> {
        let (own, theirs) = own.zip(theirs)?;
        scan_unit(own).and(scan_unit(theirs))?;
        let bare = [own, theirs].into_iter().find(|s| directions(s).is_none())?;
        Some(format!(
            "`mirror_of` of {} names {}, and {} is a scan, which has no other side until its axes are stated: give it \
             `axes`",
            stripe.label, other.label, bare.label
        ))
    }
}

/// By how much a scan's `up` and `aft` may miss being square, degrees: what three figures behind the point leave. Which of
/// them is right nobody can tell. chosen.
const HAIR: f64 = 0.1;

/// Up and aft of a scan, as stated.
fn directions(surface: &Checked) -> Option<(geom::Point3, geom::Point3)> {
    let axes = surface.table("axes")?;
    let way = |key: &str| axes.get(key).and_then(|got| got.scan_point(1.0)).map(geom::Point3::from);
    way("up").zip(way("aft"))
}

/// How many numbers a point has on a surface of that kind.
fn numbers(kind: &str) -> usize {
    if kind == "mesh" { 3 } else { 2 }
}

fn in_mm(table: &Checked, key: &str, unit_mm: f64) -> Vec<[f64; 3]> {
    table.scan_points(key, unit_mm).into_iter().map(|p| p.map(|x| x * unit_mm)).collect()
}

fn pair(table: &Checked, at: &str) -> Option<([f64; 3], [f64; 3])> {
    let point = |key: &str| table.get(key).and_then(|got: &Got| got.scan_point(1.0));
    Some((point(at)?, point("toward")?))
}
