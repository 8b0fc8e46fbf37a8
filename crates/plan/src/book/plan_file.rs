//! `plan.json`: the whole plan as data, for other programs and for checking it.
//!
//! Millimetres to 0.001, angles in degrees to 6 significant digits, keys in the order written here. Rings do
//! not repeat their first point. Tables of stages that are not built yet stay empty.

use super::plan_masking::{MaskOut, PaperOut, masking_out, paper_out};
use super::plan_spray::{
    CautionOut, ConditionsOut, LabourOut, LoadOut, MaterialOut, PaintOut, TaskOut, spray_out,
};
use super::plan_stripes::{StripeOut, stripes_out};
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::fit::placed::{
    Asked, Certain, FeatureFit, FitStatus, Further, Placed, PlacedGlyph, Relation, Why,
};
use crate::job::FeatureKind;
use crate::run::Plan;
use crate::surface::{FlatFeature, Skin};
use geom::tolerance::{FLATTEN_MM, OUTPUT_MM};
use geom::{Affine, Point, Point3, Region, Ring};
use serde::Serialize;
use serde_json::{Map, Value, json};

/// The plan file.
#[derive(Debug, Serialize)]
pub struct PlanFile {
    schema: &'static str,
    verdict: &'static str,
    findings: Vec<FindingOut>,
    surfaces: Vec<SurfaceOut>,
    marks: Vec<MarkOut>,
    stripes: Vec<StripeOut>,
    masking: Vec<MaskOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    paper: Option<PaperOut>,
    paint: Vec<PaintOut>,
    parts: Vec<LoadOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    conditions: Option<ConditionsOut>,
    day: Vec<TaskOut>,
    materials: Vec<MaterialOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    labour: Option<LabourOut>,
    cautions: Vec<CautionOut>,
}

#[derive(Debug, Serialize)]
struct FindingOut {
    id: String,
    severity: &'static str,
    about: String,
    message: String,
    measured: Option<f64>,
    required: Option<f64>,
    unit: &'static str,
    bound: &'static str,
    basis: &'static str,
    cite: String,
    hint: String,
}

#[derive(Debug, Serialize)]
struct SurfaceOut {
    id: String,
    kind: &'static str,
    developable: bool,
    outline_flat_mm: Vec<[f64; 2]>,
    features: Vec<Map<String, Value>>,
}

#[derive(Debug, Serialize)]
struct MarkOut {
    id: String,
    surface: String,
    text: String,
    height_mm: f64,
    length_mm: f64,
    stroke_mm: f64,
    gap_mm: f64,
    centre_flat_mm: [f64; 2],
    centre_skin_mm: Vec<f64>,
    angle_deg: f64,
    glyphs: Vec<GlyphOut>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    further: Vec<FurtherOut>,
    fit: FitOut,
    development: DevelopmentOut,
}

#[derive(Debug, Serialize)]
struct GlyphOut {
    char: String,
    width_mm: f64,
    rings_flat_mm: Vec<Vec<[f64; 2]>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rings_xyz_mm: Option<Vec<Vec<[f64; 3]>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    chart: Option<ChartOut>,
}

/// One character's own flat pattern. `origin_chart_mm` is where its origin lies on the axes its outlines are given
/// in: x along the baseline from the mark's middle, y up.
#[derive(Debug, Serialize)]
struct ChartOut {
    origin_xyz_mm: [f64; 3],
    max_strain: f64,
    max_length_error_mm: f64,
    origin_chart_mm: [f64; 2],
    p99_strain: f64,
    rms_strain: f64,
    least_possible_strain: f64,
}

#[derive(Debug, Serialize)]
struct FurtherOut {
    paint: String,
    kind: &'static str,
    rings_flat_mm: Vec<Vec<[f64; 2]>>,
}

#[derive(Debug, Serialize)]
struct FitOut {
    status: &'static str,
    clearance_mm: Option<f64>,
    certain: &'static str,
    features: Vec<FeatureFitOut>,
    alternatives: Vec<AlternativeOut>,
    certificate: Option<CertificateOut>,
}

#[derive(Debug, Serialize)]
struct CertificateOut {
    kind: &'static str,
    bound_mm: Option<f64>,
    answer_mm: Option<f64>,
    boxes: usize,
    proved: bool,
}

#[derive(Debug, Serialize)]
struct AlternativeOut {
    why: &'static str,
    height_mm: f64,
    gap_mm: f64,
    centre_flat_mm: [f64; 2],
    clearance_mm: Option<f64>,
}

#[derive(Debug, Serialize)]
pub(super) struct FeatureFitOut {
    id: String,
    relation: &'static str,
    clearance_mm: f64,
    wall: bool,
}

#[derive(Debug, Serialize)]
struct DevelopmentOut {
    max_strain: f64,
    max_length_error_mm: f64,
    p99_strain: f64,
    rms_strain: f64,
    least_possible_strain: f64,
}

/// The plan file of finished skins, marks and findings.
pub fn plan_file(plan: &Plan, findings: &[Finding]) -> PlanFile {
    let (skins, marks) = (&plan.skins, &plan.marks);
    let spray = spray_out(&plan.spray, &plan.painted());
    PlanFile {
        schema: "maskwright-plan/1",
        verdict: verdict(findings),
        findings: findings_out(findings),
        surfaces: skins.iter().map(surface_out).collect(),
        marks: marks.iter().filter_map(|m| m.skin(skins).map(|skin| mark_out(m, skin))).collect(),
        stripes: stripes_out(plan),
        masking: masking_out(plan, |id| {
            let skin = marks.iter().find(|m| m.id == id).and_then(|m| m.skin(skins));
            skin.map_or(Affine::IDENTITY, axes)
        }),
        paper: plan
            .masking
            .paper
            .as_ref()
            .map(|p| paper_out(p, &plan.skins, |id| plan.painted().iter().any(|m| m.surface == id))),
        paint: spray.paint,
        parts: spray.parts,
        conditions: spray.conditions,
        day: spray.day,
        materials: spray.materials,
        labour: spray.labour,
        cautions: spray.cautions,
    }
}

impl PlanFile {
    /// The file's text: JSON, lists of numbers on one line.
    pub fn to_json(&self) -> String {
        text_of(self)
    }

    /// Only the verdict and the findings.
    pub fn findings_json(&self) -> String {
        #[derive(Serialize)]
        struct Findings<'a> {
            verdict: &'static str,
            findings: &'a [FindingOut],
        }
        text_of(&Findings { verdict: self.verdict, findings: &self.findings })
    }
}

/// JSON text of plain data; keys in the order written, lists of numbers on one line.
fn text_of(data: &impl Serialize) -> String {
    let mut bytes = Vec::new();
    let mut out = serde_json::Serializer::with_formatter(&mut bytes, Lines::default());
    data.serialize(&mut out).expect("plain data of ours always has a JSON form");
    bytes.push(b'\n');
    String::from_utf8(bytes).expect("serde_json writes UTF-8")
}

/// Two spaces of indent; a list that starts with a number, or with a list of numbers, stays on one line, so
/// that a ring is one line and a change shows where it is.
#[derive(Default)]
struct Lines {
    /// For each open list or table: true once it is broken over lines.
    broken: Vec<bool>,
    /// A list was opened and nothing written in it yet.
    fresh: bool,
}

impl Lines {
    fn newline<W: std::io::Write + ?Sized>(&self, w: &mut W) -> std::io::Result<()> {
        w.write_all(b"\n")?;
        (0..self.broken.len()).try_for_each(|_| w.write_all(b"  "))
    }

    /// Something other than a number follows: the list it stands in goes over lines.
    fn break_open<W: std::io::Write + ?Sized>(&mut self, w: &mut W) -> std::io::Result<()> {
        if self.fresh {
            self.fresh = false;
            if let Some(last) = self.broken.last_mut() {
                *last = true;
            }
            self.newline(w)?;
        }
        Ok(())
    }
}

impl serde_json::ser::Formatter for Lines {
    fn begin_array<W: std::io::Write + ?Sized>(&mut self, w: &mut W) -> std::io::Result<()> {
        // A list of lists of numbers stays on one line with them.
        self.broken.push(false);
        self.fresh = true;
        w.write_all(b"[")
    }

    fn end_array<W: std::io::Write + ?Sized>(&mut self, w: &mut W) -> std::io::Result<()> {
        self.fresh = false;
        if self.broken.pop() == Some(true) {
            self.newline(w)?;
        }
        w.write_all(b"]")
    }

    fn begin_array_value<W: std::io::Write + ?Sized>(
        &mut self,
        w: &mut W,
        first: bool,
    ) -> std::io::Result<()> {
        if first {
            return Ok(());
        }
        w.write_all(b",")?;
        if self.broken.last() == Some(&true) { self.newline(w) } else { w.write_all(b" ") }
    }

    fn begin_object<W: std::io::Write + ?Sized>(&mut self, w: &mut W) -> std::io::Result<()> {
        self.break_open(w)?;
        self.broken.push(true);
        w.write_all(b"{")
    }

    fn end_object<W: std::io::Write + ?Sized>(&mut self, w: &mut W) -> std::io::Result<()> {
        self.broken.pop();
        self.newline(w)?;
        w.write_all(b"}")
    }

    fn begin_object_key<W: std::io::Write + ?Sized>(
        &mut self,
        w: &mut W,
        first: bool,
    ) -> std::io::Result<()> {
        if !first {
            w.write_all(b",")?;
        }
        self.newline(w)
    }

    fn begin_object_value<W: std::io::Write + ?Sized>(&mut self, w: &mut W) -> std::io::Result<()> {
        self.fresh = false;
        w.write_all(b": ")
    }
}

/// The worst severity, as the plan file words it.
pub fn verdict(findings: &[Finding]) -> &'static str {
    match findings.iter().map(|f| f.severity).max() {
        Some(Severity::Fail) => "fail",
        Some(Severity::Caution) => "caution",
        _ => "pass",
    }
}

fn findings_out(findings: &[Finding]) -> Vec<FindingOut> {
    let mut ids: Vec<String> = Vec::new();
    findings
        .iter()
        .map(|f| {
            // The same check may speak twice about one thing: number what follows the first.
            let stem = if f.about.is_empty() { f.code.to_owned() } else { format!("{}-{}", f.code, f.about) };
            let again = ids.iter().filter(|id| **id == stem).count();
            ids.push(stem.clone());
            FindingOut {
                id: if again == 0 { stem } else { format!("{stem}-{}", again + 1) },
                severity: severity_word(f.severity),
                about: f.about.clone(),
                message: f.message.clone(),
                measured: f.measured.map(six_digits),
                required: f.required.map(six_digits),
                unit: f.unit,
                bound: bound_word(f.bound),
                basis: basis_word(f.basis),
                cite: f.cite.clone(),
                hint: f.hint.clone(),
            }
        })
        .collect()
}

/// `pass`, `note`, `caution` or `fail`.
pub fn severity_word(s: Severity) -> &'static str {
    match s {
        Severity::Pass => "pass",
        Severity::Note => "note",
        Severity::Caution => "caution",
        Severity::Fail => "fail",
    }
}

fn bound_word(b: Bound) -> &'static str {
    match b {
        Bound::Min => "min",
        Bound::Max => "max",
        Bound::Exact => "exact",
        Bound::Should => "should",
        Bound::May => "may",
        Bound::None => "",
    }
}

fn basis_word(b: Basis) -> &'static str {
    match b {
        Basis::Read => "read",
        Basis::Quoted => "quoted",
        Basis::Memory => "memory",
        Basis::Practice => "practice",
        Basis::Shop => "shop",
        Basis::None => "",
    }
}

fn surface_out(skin: &Skin) -> SurfaceOut {
    SurfaceOut {
        id: skin.id.clone(),
        kind: skin.kind_word(),
        developable: skin.unrolls_exactly(),
        outline_flat_mm: ring_out(&skin.outline),
        features: skin.features.iter().map(feature_out).collect(),
    }
}

fn feature_out(f: &FlatFeature) -> Map<String, Value> {
    let mut out = Map::new();
    out.insert("id".into(), json!(f.id));
    out.insert("kind".into(), json!(file_word(f.kind)));
    match &f.region {
        Region::Disc { centre, radius } => {
            out.insert("centre_flat_mm".into(), json!(pair(*centre)));
            out.insert("radius_mm".into(), json!(mm(*radius)));
        }
        Region::Area { rings } => {
            out.insert("rings_flat_mm".into(), json!(rings.iter().map(ring_out).collect::<Vec<_>>()));
        }
        Region::Band { path, width } => {
            out.insert("path_flat_mm".into(), json!(path.iter().map(|p| pair(*p)).collect::<Vec<_>>()));
            out.insert("width_mm".into(), json!(mm(*width)));
        }
    }
    out.insert("clearance_mm".into(), json!(mm(f.clearance)));
    out
}

pub(super) fn file_word(kind: FeatureKind) -> &'static str {
    match kind {
        FeatureKind::DataPlate => "data-plate",
        other => crate::fit::given::kind_word(other),
    }
}

fn mark_out(m: &Placed, skin: &Skin) -> MarkOut {
    let scanned = skin.chart().filter(|c| c.is_scan());
    let centre_skin = match scanned {
        Some(chart) => chart.origin().to_array().map(mm).to_vec(),
        None => skin.skin_from_flat(m.centre).map(mm).to_vec(),
    };
    let figures = match &m.charts {
        Some(charts) => charts.worst(),
        None => skin.figures_under(m.angle, m.glyphs.iter().flat_map(|g| g.corners)).unwrap_or_default(),
    };
    MarkOut {
        id: m.id.clone(),
        surface: m.surface.clone(),
        text: m.text.clone(),
        height_mm: mm(m.height),
        length_mm: mm(m.length),
        stroke_mm: mm(m.stroke),
        gap_mm: mm(m.gap),
        centre_flat_mm: pair(m.centre),
        centre_skin_mm: centre_skin,
        angle_deg: six_digits(m.angle.to_degrees()),
        glyphs: m.glyphs.iter().enumerate().map(|(k, g)| glyph_out(m, k, g, skin)).collect(),
        further: m.further.iter().map(|f| further_out(f, skin)).collect(),
        fit: FitOut {
            status: match m.fit.status {
                FitStatus::Placed => "placed",
                FitStatus::Given => "given",
                FitStatus::None => "none",
            },
            clearance_mm: m.fit.clearance.map(mm),
            certain: match m.fit.certain {
                Certain::Sure => "sure",
                Certain::ReMeasure => "re-measure",
                Certain::No => "no",
            },
            features: feature_fits(m),
            alternatives: m
                .fit
                .alternatives
                .iter()
                .map(|a| AlternativeOut {
                    why: match a.why {
                        Why::Nearest => "nearest",
                        Why::Roomiest => "roomiest",
                        Why::Largest => "largest",
                        Why::Easiest => "easiest",
                        Why::Crossing => "crossing",
                        Why::Gap => "gap",
                    },
                    height_mm: mm(a.height),
                    gap_mm: mm(a.gap),
                    centre_flat_mm: pair(a.centre),
                    clearance_mm: a.clearance.map(mm),
                })
                .collect(),
            certificate: m.fit.certificate.map(|c| CertificateOut {
                kind: match c.asked {
                    Asked::Nearest => "nearest",
                    Asked::Roomiest => "roomiest",
                },
                bound_mm: c.bound.map(mm),
                answer_mm: c.answer.map(mm),
                boxes: c.boxes,
                proved: c.proved,
            }),
        },
        // Flat panels, cylinders and cones unroll without stretch: this is a fact of their shape. On other wings what
        // lies under the mark; elsewhere the worst of all characters.
        development: DevelopmentOut {
            max_strain: six_digits(figures.max_strain),
            max_length_error_mm: mm(figures.stroke_error),
            p99_strain: six_digits(figures.p99_strain),
            rms_strain: six_digits(figures.rms_strain),
            least_possible_strain: six_digits(figures.bound),
        },
    }
}

/// How a mark or stripe lies to each feature.
pub(super) fn feature_fits(m: &Placed) -> Vec<FeatureFitOut> {
    let out = |f: &FeatureFit| FeatureFitOut {
        id: f.id.clone(),
        relation: relation_word(f.relation),
        clearance_mm: mm(f.clearance),
        wall: f.wall,
    };
    m.fit.features.iter().map(out).collect()
}

fn glyph_out(m: &Placed, k: usize, g: &PlacedGlyph, skin: &Skin) -> GlyphOut {
    let rings: Vec<Vec<Point>> = g.rings.iter().map(|r| r.flattened(FLATTEN_MM)).collect();
    let chart = m.charts.as_ref().and_then(|c| c.letters.get(k));
    let in_space = |r: &Vec<Point>| match chart {
        Some(chart) => chart.ring_in_space(r),
        None => r.iter().map(|p| skin.space_from_flat(*p)).collect(),
    };
    let xyz = |q: &Point3| [mm(q.x), mm(q.y), mm(q.z)];
    let in_space = rings
        .iter()
        .map(|r| in_space(r).map(|points: Vec<Point3>| points.iter().map(xyz).collect::<Vec<_>>()))
        .collect::<Option<Vec<_>>>();
    let axes = axes(skin);
    GlyphOut {
        char: g.char.to_string(),
        width_mm: mm(g.width),
        rings_flat_mm: rings.iter().map(|r| r.iter().map(|p| pair(axes * *p)).collect()).collect(),
        rings_xyz_mm: in_space,
        chart: chart.map(|c| ChartOut {
            origin_xyz_mm: xyz(&c.origin()),
            max_strain: six_digits(c.figures.max_strain),
            max_length_error_mm: mm(c.figures.stroke_error),
            origin_chart_mm: pair(c.offset().to_point()),
            p99_strain: six_digits(c.figures.p99_strain),
            rms_strain: six_digits(c.figures.rms_strain),
            least_possible_strain: six_digits(c.figures.bound),
        }),
    }
}

/// From flat to what a plan file gives outlines in: on a chart the mark's own axes, else flat itself.
fn axes(skin: &Skin) -> Affine {
    skin.chart().map_or(Affine::IDENTITY, crate::surface::Chart::axes)
}

/// How a mark would lie at a place that is only tried: its features as in the plan, with `wall`, the least
/// net clearance over the walls, and the place on the skin.
pub fn tried_json(lie: &[FeatureFit], centre_skin: [f64; 2], beyond: f64) -> Value {
    let walls = lie.iter().filter(|f| f.wall).map(|f| f.clearance);
    let least = walls.fold(f64::INFINITY, f64::min);
    json!({
        "centre_skin_mm": centre_skin.map(mm),
        "beyond_mm": mm(beyond),
        "clearance_mm": if least.is_finite() { json!(mm(least)) } else { json!(null) },
        "features": lie.iter().map(|f| json!({
            "id": f.id, "relation": relation_word(f.relation), "clearance_mm": mm(f.clearance), "wall": f.wall,
        })).collect::<Vec<_>>(),
    })
}

fn further_out(f: &Further, skin: &Skin) -> FurtherOut {
    let axes = axes(skin);
    FurtherOut {
        paint: f.paint.clone(),
        kind: if f.shadow { "shadow" } else { "outline" },
        rings_flat_mm: f.rings.iter().map(|r| ring_out(&r.mapped(axes))).collect(),
    }
}

/// The relation as the plan file words it.
pub fn relation_word(r: Relation) -> &'static str {
    match r {
        Relation::Clear => "clear",
        Relation::InsidePaint => "inside-paint",
        Relation::InsideCounter => "inside-counter",
        Relation::Crossed => "crossed",
        Relation::Split => "split",
    }
}

fn ring_out(r: &Ring) -> Vec<[f64; 2]> {
    r.flattened(FLATTEN_MM).into_iter().map(pair).collect()
}

pub(super) fn pair(p: Point) -> [f64; 2] {
    [mm(p.x), mm(p.y)]
}

/// A length as it leaves the program: to 0.001 mm, never a negative zero.
pub fn mm(x: f64) -> f64 {
    (x / OUTPUT_MM).round() / (1.0 / OUTPUT_MM).round() + 0.0
}

/// A figure to six significant digits.
pub fn six_digits(x: f64) -> f64 {
    if x == 0.0 || !x.is_finite() {
        return 0.0;
    }
    let scale = 10_f64.powf(5.0 - x.abs().log10().floor());
    (x * scale).round() / scale
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_leaves_is_rounded_and_zero_has_no_sign() {
        assert_eq!(serde_json::to_string(&mm(-0.000_01)).unwrap(), "0.0");
        assert_eq!(serde_json::to_string(&mm(304.799_999_999)).unwrap(), "304.8");
        assert_eq!(serde_json::to_string(&mm(0.1 + 0.2)).unwrap(), "0.3");
        assert_eq!(serde_json::to_string(&six_digits(1.0 / 6.0)).unwrap(), "0.166667");
        assert_eq!(serde_json::to_string(&six_digits(-180.000_000_1)).unwrap(), "-180.0");
    }

    #[test]
    fn the_same_check_about_the_same_mark_gets_a_number() {
        let f = Finding::new(Severity::Note, "feature", "reg", "x");
        let ids: Vec<String> = findings_out(&[f.clone(), f]).into_iter().map(|f| f.id).collect();
        assert_eq!(ids, ["feature-reg", "feature-reg-2"]);
    }
}
