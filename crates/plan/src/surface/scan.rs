//! A scan's skin: its triangles joined, smoothed to a stated length, and what was found in the file.
//!
//! Flat is the view of it from straight out, not a sheet of true lengths; marks lie in charts (see `chart`).

use super::scan_axes::Stated;
use super::scan_lying::AllLying;
use super::scan_way::way;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::job::{At, Attachments, ScanAxes, Side, Unit};
use crate::problem::Problem;
use crate::words::length;
use geom::hull::hull;
use geom::{Point, Point3, Ring, Vec2};
use skin::denoise::{Smoothed, smoothed};
use skin::ground::{Bent, bends};
use skin::mesh::Findings;
use skin::straight::Bearing;
use skin::{Mesh, Spot};
use std::sync::{Arc, OnceLock};

/// Corners nearer than this, mm, are one: below what a scanner sees, above what single precision rounds at 100 m.
const WELD_MM: f64 = 0.01;

/// Over how much skin its curvature is taken, mm: 1 in.
const BENDS_MM: f64 = 25.4;

/// How much of an open scan's faces look inwards before it is asked whether it is inside out; see `bulge`. chosen.
const HOLLOW: f64 = 0.05;

/// Share of its area that the ways out of an open skin add up to at least; less is a closed one. chosen.
const OPEN: f64 = 0.2;

/// Corners left out that are told one by one. chosen.
const STRAYS_TOLD: usize = 5;

/// Share of the way `toward` a point that must run along the skin, 10 degrees' worth: a facet of a scan leans a degree or
/// two by chance, and with less the heading would be that chance. chosen.
const HEADS: f64 = 0.17;

/// Largest and least size of a scan, mm, across its box, before its unit is doubted: 500 m is longer than any ship, and on
/// 2 in no mark is masked. chosen.
const LARGEST: f64 = 5.0e5;
const SMALLEST: f64 = 50.8;

/// A scan ready to be marked.
#[derive(Clone, Debug)]
pub struct ScanSkin {
    mesh: Arc<Mesh>,
    /// Gaussian curvature at each corner, 1/mm2, over as much skin as was smoothed.
    gauss: Arc<OnceLock<Vec<f64>>>,
    /// To the viewer's right, up, and out, as it is drawn.
    view: [Point3; 3],
    unit: Unit,
    /// Its axes, where the job states them.
    axes: Option<Arc<Stated>>,
    /// Features and parts.
    lying: Arc<AllLying>,
}

impl ScanSkin {
    /// The scan in a file.
    ///
    /// # Errors
    /// A file that is not there, or cannot be used.
    pub(super) fn read(
        id: &str,
        file: &At<String>,
        (unit, smooth_mm): (Unit, f64),
        (axes, side): (Option<&ScanAxes>, Option<Side>),
        files: &Attachments,
    ) -> Result<(ScanSkin, Vec<Finding>), Problem> {
        let complain = |what: String| Problem::at(file.span.clone(), what);
        let Some(bytes) = files.files.get(&file.value) else {
            return Err(complain(format!("the scan `{}` was not found", file.value))
                .expected("an STL, OBJ or PLY file beside the job file"));
        };
        let (soup, _) = skin::read::soup(bytes).map_err(|why| {
            let hint = why.hint.clone();
            let said = complain(format!("the scan `{}` cannot be used: {why}", file.value));
            if hint.is_empty() { said } else { said.hint(hint) }
        })?;
        let Some((mesh, found)) = Mesh::joined(&soup.scaled(unit.mm()), WELD_MM) else {
            return Err(complain(format!("the scan `{}` has no triangle with an area", file.value))
                .hint("check its unit"));
        };
        let smooth = smoothed(&mesh, smooth_mm);
        let mut findings = told(id, &file.value, &mesh, &found, &smooth, smooth_mm);
        findings.extend(sticking_out((id, &file.value), unit, &mesh, &found, &smooth));
        let axes = axes.and_then(|stated| Stated::new(stated, unit));
        let view = view(&smooth.mesh, axes.as_ref(), side);
        let mesh = Arc::new(smooth.mesh);
        let axes = axes.map(Arc::new);
        Ok((ScanSkin { mesh, gauss: Arc::default(), view, unit, axes, lying: Arc::default() }, findings))
    }

    /// The same with what a job says lies on it.
    pub(super) fn with(self, lying: AllLying) -> ScanSkin {
        ScanSkin { lying: Arc::new(lying), ..self }
    }

    /// Features and parts on it.
    pub(super) fn lying(&self) -> &AllLying {
        &self.lying
    }

    /// Its stations, waterlines and plane of symmetry, where the job states them.
    pub fn axes(&self) -> Option<&Stated> {
        self.axes.as_deref()
    }

    /// The triangles.
    pub fn mesh(&self) -> &Mesh {
        &self.mesh
    }

    /// The diagonal of the box round it, mm.
    pub fn across(&self) -> f64 {
        bounds(self.mesh()).map_or(0.0, |(lo, hi)| (hi - lo).length())
    }

    /// A point given in the file's own axes and unit.
    pub fn point(&self, own: [f64; 3]) -> Point3 {
        Point3::from(own) * self.unit.mm()
    }

    /// How far off the skin a point in the file's own axes and unit is, mm.
    pub fn off(&self, own: [f64; 3]) -> f64 {
        Spot::nearest(&self.mesh, self.point(own)).1
    }

    /// Longest measure of the box round it, mm.
    pub fn outline_size(&self) -> f64 {
        let none = (Point3::splat(f64::INFINITY), Point3::splat(f64::NEG_INFINITY));
        let (lo, hi) = self.mesh.points().iter().fold(none, |(lo, hi), p| (lo.min(*p), hi.max(*p)));
        (hi - lo).max_element()
    }

    /// The same to walk on.
    pub fn ground(&self) -> Bent<'_> {
        Bent { mesh: &self.mesh, gauss: self.gauss.get_or_init(|| bends(&self.mesh, BENDS_MM)) }
    }

    /// Length of the shortest way over it between two spots, mm; `None` if they lie on separate pieces.
    pub fn shortest(&self, from: Spot, to: Spot) -> Option<f64> {
        way(&self.mesh, from, to).map(|(_, length)| length)
    }

    /// As it is drawn: the view from straight out.
    pub fn flat(&self, p: Point3) -> Point {
        Point::new(p.dot(self.view[0]), p.dot(self.view[1]))
    }

    /// The bearing at the spot nearest to `at`, headed toward a point, and how far the spot is from `at`, mm; `None`
    /// if the way there is so nearly square to the skin that it does not say which way along it.
    pub fn bearing(&self, at: Point3, toward: Point3) -> Option<(Bearing, f64)> {
        let (spot, off) = Spot::nearest(&self.mesh, at);
        let way = toward - spot.point(&self.mesh);
        let out = self.mesh.cross(spot.triangle).normalize();
        if (way - out * way.dot(out)).length() < HEADS * way.length() {
            return None;
        }
        Some((Bearing::new(&self.mesh, spot, way)?, off))
    }

    /// To the viewer's right and toward the viewer, as it is drawn.
    pub(super) fn viewer(&self) -> [Point3; 2] {
        [self.view[0], self.view[2]]
    }

    /// Turn of a direction in space as it is drawn, radians.
    pub(super) fn turn(&self, along: Point3) -> f64 {
        Vec2::new(along.dot(self.view[0]), along.dot(self.view[1])).atan2()
    }

    /// The hull of what is drawn.
    pub(super) fn outline(&self) -> Ring {
        Ring::from_points(hull(self.mesh.points().iter().map(|p| self.flat(*p)).collect()))
    }
}

/// The view from straight out: the mean way out of an open skin; a closed one is seen along its least extent. If axes
/// are stated up in it is up, and a side is seen square to the middle plane.
fn view(mesh: &Mesh, axes: Option<&Stated>, side: Option<Side>) -> [Point3; 3] {
    let sum: Point3 = (0..mesh.triangles().len() as u32).map(|t| mesh.cross(t) / 2.0).sum();
    let aside = axes.zip(side).and_then(|(axes, side)| axes.seen_from(side));
    let out = if let Some(out) = aside {
        out
    } else if OPEN * mesh.area() < sum.length() {
        sum.normalize()
    } else {
        let (mut lo, mut hi) = (Point3::splat(f64::INFINITY), Point3::splat(f64::NEG_INFINITY));
        for p in mesh.points() {
            (lo, hi) = (lo.min(*p), hi.max(*p));
        }
        let size = hi - lo;
        if size.y <= size.x && size.y <= size.z {
            -Point3::Y
        } else if size.x <= size.z {
            -Point3::X
        } else {
            Point3::Z
        }
    };
    let stated = axes.map(Stated::up).filter(|up| out.dot(*up).abs() < 0.9);
    let up = stated.unwrap_or(if out.z.abs() < 0.9 { Point3::Z } else { Point3::Y });
    let right = up.cross(out).normalize();
    [right, out.cross(right), out]
}

/// How far from -1 (all seen from inside) to 1 (all from outside) the faces look away from the middle of the skin: the
/// mean share of the way from there that goes straight out. 0 for a flat one.
fn bulge(mesh: &Mesh) -> f64 {
    let parts = || {
        (0..mesh.triangles().len() as u32).map(|t| {
            let [a, b, c] = mesh.corners(t);
            ((a + b + c) / 3.0, mesh.cross(t) / 2.0)
        })
    };
    let area: f64 = parts().map(|(_, out)| out.length()).sum();
    let middle = parts().map(|(p, out)| p * out.length()).sum::<Point3>() / area;
    let (out, far) = parts().fold((0.0, 0.0), |(o, f), (p, out)| {
        let off = p - middle;
        (o + off.dot(out), f + off.length() * out.length())
    });
    if far > 0.0 { out / far } else { 0.0 }
}

/// Corners of the file that are hardly skin: those left out, and one that smoothing moved farther than it smooths.
fn sticking_out(
    (id, file): (&str, &str),
    unit: Unit,
    mesh: &Mesh,
    found: &Findings,
    smooth: &Smoothed,
) -> Vec<Finding> {
    let caution = |code: &'static str, words: String| Finding::new(Severity::Caution, code, id, words);
    let own = |p: Point3| {
        let [x, y, z] = (p / unit.mm()).to_array().map(|v| format!("{v:.3}"));
        format!("({x}, {y}, {z}) in the file")
    };
    let mut said: Vec<Finding> = Vec::new();
    for stray in found.strays.iter().take(STRAYS_TOLD) {
        let words = format!(
            "{file} has a corner at {} that lies {} from the middle of the scan, when all the rest lies within {}: it \
             and the {} triangles that reach to it were left out",
            own(stray.at),
            length(stray.far),
            length(stray.kept),
            stray.triangles
        );
        said.push(caution("scan-stray", words).figures(stray.far, Bound::Max, stray.kept, "mm").hint(
            "one wrong figure in the file; the skin has a hole there: put it right where the scan was made",
        ));
    }
    if STRAYS_TOLD < found.strays.len() {
        let more = found.strays.len() - STRAYS_TOLD;
        said.push(caution("scan-stray", format!("{file} has {more} more such corners, left out")));
    }
    if smooth.length_mm < smooth.most_mm {
        let words = format!(
            "smoothing moved the corner of {file} at {} by {}, more than the {} it smooths to: it sticks out, or the \
             triangles are far longer than that",
            own(mesh.points()[smooth.most_at]),
            length(smooth.most_mm),
            length(smooth.length_mm)
        );
        said.push(
            caution("scan-sticks-out", words)
                .figures(smooth.most_mm, Bound::Max, smooth.length_mm, "mm")
                .hint("if the corner is wrong put it right in the file; if the skin was drawn, not scanned, give `smooth = 0`"),
        );
    }
    said
}

/// Opposite corners of the box round a scan.
fn bounds(mesh: &Mesh) -> Option<(Point3, Point3)> {
    let [first, rest @ ..] = mesh.points() else { return None };
    Some(rest.iter().fold((*first, *first), |(lo, hi), p| (lo.min(*p), hi.max(*p))))
}

/// How large a scan is, in words, if its unit is likely not the one given.
fn odd_size(mesh: &Mesh) -> Option<String> {
    let (lo, hi) = bounds(mesh)?;
    let across = (hi - lo).length();
    if across > LARGEST {
        return Some(format!("{:.0} m ({:.0} ft)", across / 1000.0, across / 304.8));
    }
    (across < SMALLEST).then(|| length(across))
}

/// Its sides, the longest first, in words: what tells at a glance that its unit is another.
fn size(mesh: &Mesh) -> String {
    let mut sides = bounds(mesh).map_or([0.0; 3], |(lo, hi)| (hi - lo).to_array());
    sides.sort_by(|a, b| b.total_cmp(a));
    sides.map(length).join(" by ")
}

/// What was found in the file, and what was done to it.
fn told(
    id: &str,
    file: &str,
    mesh: &Mesh,
    found: &Findings,
    smooth: &Smoothed,
    asked_mm: f64,
) -> Vec<Finding> {
    let note = |code: &'static str, words: String| Finding::new(Severity::Note, code, id, words);
    let caution = |code: &'static str, words: String| Finding::new(Severity::Caution, code, id, words);
    let mut said = vec![note(
        "scan",
        format!(
            "{file}: {}, {} triangles, {} corners, {:.3} m2{}",
            size(mesh),
            mesh.triangles().len(),
            mesh.points().len(),
            mesh.area() / 1.0e6,
            if found.welded > 0 { format!("; {} corners joined", found.welded) } else { String::new() }
        ),
    )];
    said.extend(odd_size(mesh).map(|across| {
        caution(
            "scan-size",
            format!("{file} is {across} across as its `unit` is given: no craft that is masked by hand is so large or so small"),
        )
        .hint("give the unit it was saved in: \"mm\", \"cm\", \"m\", \"in\" or \"ft\"")
    }));
    if found.components.len() > 1 {
        said.push(
            caution(
                "scan-pieces",
                format!("{file} is in {} pieces; a mark lies on one of them", found.components.len()),
            )
            .hint("look whether loose bits of the scan lie under the mark"),
        );
    }
    let open = found.holes.iter().map(|h| length(h.length_mm)).take(5).collect::<Vec<_>>();
    if !open.is_empty() {
        said.push(note(
            "scan-rims",
            match found.holes.len() {
                1 => format!("{file} has 1 open rim, {} round", open.join(", ")),
                rims => format!("{file} has {rims} open rims, the longest {} round", open.join(", ")),
            },
        ));
    }
    let faults = [
        (found.empty, "triangles without an area left out"),
        (found.repeated, "triangles said twice left out"),
        (found.crowded_sides, "sides with more than two triangles, left open"),
        (found.pinched_corners, "corners where separate pieces of skin touch"),
        (found.turned, "triangles that faced the wrong way, turned"),
        (found.inside_out, "pieces that were inside out, turned"),
    ];
    let words: Vec<String> =
        faults.iter().filter(|f| f.0 > 0).map(|(n, what)| format!("{n} {what}")).collect();
    if !words.is_empty() {
        said.push(
            caution("scan-faults", format!("{file}: {}", words.join("; ")))
                .hint("fine where no mark lies; else scan that part again"),
        );
    }
    if found.one_sided > 0 {
        said.push(caution(
            "scan-one-sided",
            format!("{file} has a band whose two faces cannot be told apart; it was cut"),
        ));
    }
    let open = found.components.iter().any(|c| !c.closed);
    if open && bulge(mesh) < -HOLLOW {
        said.push(
            caution(
                "scan-hollow",
                format!("{file} is open, and its faces look into its hollow: is it inside out? Marks would be mirrored"),
            )
            .hint(
                "if you paint the other face, turn the scan's faces over where it was made; if you paint a hollow, this is right",
            ),
        );
    } else if open {
        said.push(
            note(
                "scan-out",
                format!("{file} is open: which face is the outer one goes by the order of its corners"),
            )
            .hint(
                "if letters come out mirrored in the drawing, turn the scan's faces over where it was made",
            ),
        );
    }
    if smooth.pairs == 0 {
        said.push(note("scan-rough", format!("{file} was taken as it is, not smoothed")));
        return said;
    }
    said.push(
        note(
            "scan-smoothed",
            format!(
                "{file} was smoothed to {}: corners moved {:.2} mm at most, {:.3} mm in the mean, the area became \
                 {:.3} per cent less",
                length(smooth.length_mm),
                smooth.most_mm,
                smooth.rms_mm,
                100.0 * smooth.area_less
            ),
        )
        .source(Basis::Practice, "lengths on a rough scan read too long by the square of noise over spacing"),
    );
    if smooth.length_mm < asked_mm - geom::tolerance::KEPT_MM {
        said.push(
            caution(
                "scan-smoothed-less",
                format!(
                    "{file} was smoothed to {}, not to the {} asked for: its triangles are so small beside that \
                     length that smoothing would take too long",
                    length(smooth.length_mm),
                    length(asked_mm)
                ),
            )
            .figures(smooth.length_mm, Bound::Min, asked_mm, "mm")
            .hint("save the scan coarser, or give a shorter `smooth`; what is rougher than that is still in it"),
        );
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cap of a ball as a fan of strips; inside out with `turned`.
    fn cap(turned: bool) -> Mesh {
        let mut triangles = Vec::new();
        let at = |i: u32, k: u32| {
            let (lat, lon) = (f64::from(i) * 0.1, f64::from(k) * std::f64::consts::TAU / 24.0);
            Point3::new(lat.sin() * lon.cos(), lat.sin() * lon.sin(), lat.cos()) * 100.0
        };
        for i in 0..8 {
            for k in 0..24 {
                triangles.push([at(i, k), at(i + 1, k), at(i + 1, k + 1)]);
                triangles.push([at(i, k), at(i + 1, k + 1), at(i, k + 1)]);
            }
        }
        if turned {
            triangles.iter_mut().for_each(|t| t.swap(0, 1));
        }
        let text: String = triangles
            .iter()
            .map(|t| {
                let corners: String = t.iter().map(|p| format!("vertex {} {} {}\n", p.x, p.y, p.z)).collect();
                format!("facet normal 0 0 0\nouter loop\n{corners}endloop\nendfacet\n")
            })
            .collect();
        let file = format!("solid cap\n{text}endsolid cap\n");
        let (soup, _) = skin::read::soup(file.as_bytes()).unwrap();
        Mesh::joined(&soup, WELD_MM).unwrap().0
    }

    /// A cap seen from outside looks away from its middle, turned over it looks in by as much.
    #[test]
    fn a_cap_turned_over_looks_into_its_hollow() {
        let (out, turned) = (bulge(&cap(false)), bulge(&cap(true)));
        assert!(out > 2.0 * HOLLOW && (out + turned).abs() < 1e-9, "{out} {turned}");
    }
}
