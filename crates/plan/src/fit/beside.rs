//! Marks on one surface: one that is looked for keeps off those that have their places, and two that lie on each other are
//! told.

use super::find::Found;
use super::given::{Pose, lay_all};
use super::placed::{FitStatus, Placed};
use super::wanted::{Wanted, slack};
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::job::{Cross, FeatureKind, Job};
use crate::surface::{FlatFeature, Skin};
use crate::words::length;
use geom::boolean::intersection;
use geom::hull::hull;
use geom::measure::edges_to_region;
use geom::tolerance::FLATTEN_MM;
use geom::{Region, Ring};

/// Two that share no more, mm2, lie beside each other. chosen.
const SHARED: f64 = 1.0;
/// Two nearer than this leave a hair of base between, mm: 1/16 in (common practice, no source).
const HAIR: f64 = 25.4 / 16.0;

/// Room between two marks in which each has a tack strip of its own, mm: twice the gap and the overlap, and a strip.
fn room(job: &Job) -> f64 {
    let Some(masking) = &job.masking else { return 0.0 };
    2.0 * (masking.gap + masking.overlap) + masking.tack()
}

/// True if one is meant to lie on the other: its `over` names the other's paint.
fn meant(job: &Job, a: &str, b: &str) -> bool {
    let of = |id: &str| job.painted_with(id).unwrap_or_default();
    let ((paint, over), (other, below)) = (of(a), of(b));
    (!other.is_empty() && over == other) || (!paint.is_empty() && below == paint)
}

/// A mark that has its place: others that are looked for keep off it.
#[derive(Clone, Debug)]
pub struct Standing {
    /// The mark.
    id: String,
    /// The surface it is on.
    surface: String,
    /// The flat it lies in: the surface's own, or the sheet round it.
    sheet: Skin,
    /// Its outlines there.
    rings: Vec<Ring>,
}

impl Standing {
    /// Of a mark and what was found for it; `None` if it has no place.
    pub fn of(one: &Wanted<'_>, found: &Found) -> Option<Standing> {
        (one.is_given() || found.status == FitStatus::Placed).then(|| Standing {
            id: one.mark.id.clone(),
            surface: one.mark.surface.clone(),
            sheet: one.skin.clone(),
            rings: lay_all(&found.design, Pose { centre: found.centre, angle: one.angle }),
        })
    }

    /// Its outlines as they lie on another sheet of the surface; on what curves both ways those of all round it, which are
    /// quickly brought over.
    fn on(&self, skin: &Skin) -> Vec<Ring> {
        if skin.chart().is_none() && self.sheet.chart().is_none() {
            return self.rings.clone();
        }
        let corners = hull(self.rings.iter().flat_map(|r| r.flattened(FLATTEN_MM)).collect());
        let ring = Ring::from_points(corners.into_iter().map(|p| skin.place_of(&self.sheet, p)));
        vec![if ring.area() < 0.0 { ring.reversed() } else { ring }]
    }
}

/// Asks of one that is looked for to keep off another that has its place on the same surface.
pub fn keep_off(job: &Job, one: &mut Wanted<'_>, other: &Standing) {
    if one.is_given() || one.mark.surface != other.surface || meant(job, &one.mark.id, &other.id) {
        return;
    }
    one.features.push(FlatFeature {
        id: other.id.clone(),
        kind: FeatureKind::KeepOut,
        region: Region::Area { rings: other.on(one.skin) },
        clearance: room(job) + slack(one.skin),
        removable: false,
        cross: Cross::Never,
    });
}

/// What there is to say of marks that lie on each other or all but touch.
pub fn told(job: &Job, marks: &[Placed], skins: &[Skin]) -> Vec<Finding> {
    let mut out = Vec::new();
    for (k, mark) in marks.iter().enumerate() {
        for other in marks[..k].iter().filter(|o| o.surface == mark.surface && !meant(job, &o.id, &mark.id)) {
            let (Some(own), Some(theirs)) = (mark.skin(skins), other.skin(skins)) else { continue };
            let flat = |rings: &[Ring]| -> Vec<Ring> {
                rings.iter().map(|r| Ring::from_points(r.flattened(FLATTEN_MM))).collect()
            };
            let (rings, mut there) = (flat(&mark.all_rings()), flat(&other.all_rings()));
            for ring in &mut there {
                *ring = Ring::from_points(ring.vertices.iter().map(|v| own.place_of(theirs, v.p)));
            }
            out.extend(pair(mark, other, &rings, &there));
        }
    }
    out
}

fn pair(mark: &Placed, other: &Placed, rings: &[Ring], there: &[Ring]) -> Option<Finding> {
    let shared: f64 = intersection(rings, there).iter().map(Ring::area).sum();
    if shared > SHARED {
        return Some(
            Finding::new(
                Severity::Fail,
                "mark-over",
                &mark.id,
                format!("it lies over {} on {:.1} cm2", other.id, shared / 100.0),
            )
            .figures(shared, Bound::Max, 0.0, "mm2")
            .source(Basis::Practice, "common practice, no source")
            .hint("move one of them, or say with `over` which paint it goes on"),
        );
    }
    let apart = edges_to_region(rings, &Region::Area { rings: there.to_vec() });
    (apart < HAIR).then(|| {
        Finding::new(
            Severity::Caution,
            "mark-meets",
            &mark.id,
            format!("only {} of base is left between it and {}", length(apart.max(0.0)), other.id),
        )
        .figures(apart, Bound::Should, HAIR, "mm")
        .source(Basis::Practice, "common practice, no source")
        .hint("two paints never butt: leave a gap, or let the second lap the first by 1/16 to 1/8 in")
    })
}

#[cfg(test)]
mod tests {
    use crate::Plan;
    use crate::job::{Attachments, read};
    use geom::Ring;
    use geom::boolean::intersection;

    /// Two marks of 6 in on a panel or on a body so slender that it is nearly one.
    fn planned(surface: &str, first: &str, second: &str) -> Plan {
        let job = format!(
            "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"side\"\n{surface}\n[[mark]]\nid = \"m1\"\nsurface = \
             \"side\"\ntext = \"N28Q\"\nlegal = false\nheight = 6\npaint = \"blue\"\nover = \"white\"\n{first}\n[[mark]]\nid = \
             \"m2\"\nsurface = \"side\"\ntext = \"TUG\"\nlegal = false\nheight = 6\npaint = \"gold\"\n{second}\n[masking]\n\
             edge_tapes = [{{ width = \"1/2 in\", roll = \"36 yd\", strain = 0.05 }}]\ntack_tape = {{ width = \"3/4 in\", \
             real = \"18 mm\", roll = \"36 yd\" }}\n[[ground]]\nid = \"white\"\n[[paint]]\nid = \"blue\"\ncolour = \
             \"#1f3a6e\"\n[[paint]]\nid = \"gold\"\ncolour = \"#b8860b\"\n"
        );
        crate::run(&read(&job).unwrap(), &Attachments::default()).unwrap()
    }

    const PANEL: &str = "kind = \"flat\"\ncorners = [[0, -20], [200, -20], [200, 20], [0, 20]]";
    const BODY: &str = "kind = \"body\"\nside = \"left\"\nstations = [{ s = 0, half_width = 13, top = 30, bottom = -30 }, { s \
                        = 200, half_width = 13, top = 30, bottom = -30 }]";

    fn shared(plan: &Plan) -> f64 {
        let [a, b] = [0, 1].map(|k| plan.marks[k].rings());
        intersection(&a, &b).iter().map(Ring::area).sum()
    }

    /// What is shared is the area of both outlines together, cut once more here on the panel; a body that is nearly flat there
    /// says the same within a twentieth.
    #[test]
    fn marks_that_lie_on_each_other_fail_unless_one_is_said_to() {
        let (at, on) = ("place = { at = [100, 8] }", "place = { at = [102, 5] }\nover = \"white\"");
        let flat = planned(PANEL, at, on);
        let area = |plan: &Plan| {
            let told: Vec<_> = plan.findings.iter().filter(|f| f.code == "mark-over").collect();
            assert_eq!(told.len(), 1);
            told[0].measured.unwrap()
        };
        assert!((area(&flat) - shared(&flat)).abs() < 1.0 && 100.0 < shared(&flat));
        assert!((area(&planned(BODY, at, on)) / area(&flat) - 1.0).abs() < 0.05);
        for surface in [PANEL, BODY] {
            let meant = planned(surface, at, "place = { at = [102, 5] }\nover = \"blue\"");
            assert!(meant.findings.iter().all(|f| f.code != "mark-over"));
            let beside = planned(surface, at, "place = { at = [150, 5] }\nover = \"white\"");
            assert!(beside.findings.iter().all(|f| f.code != "mark-over" && f.code != "mark-meets"));
        }
    }

    /// How far the second mark lies from the first over the skin, as the sheet of the first tells.
    fn over_skin(plan: &Plan) -> f64 {
        let [a, b] = [0, 1].map(|k| &plan.marks[k]);
        let (own, theirs) = (a.skin(&plan.skins).unwrap(), b.skin(&plan.skins).unwrap());
        let over =
            |r: &Ring| Ring::from_points(r.flattened(0.05).into_iter().map(|p| own.place_of(theirs, p)));
        let there = geom::Region::Area { rings: b.rings().iter().map(over).collect() };
        geom::measure::edges_to_region(&a.rings(), &there)
    }

    /// The same on a body that is nearly flat there: at least the 43.4 mm, and no more than the straight line round the letters
    /// takes off.
    #[test]
    fn on_a_body_too() {
        for (first, second) in [
            ("place = { at = [100, 5] }", "aim = [102, 5]\nover = \"white\""),
            ("aim = [100, 5]", "place = { at = [102, 5] }\nover = \"white\""),
            ("aim = [100, 5]", "aim = [102, 5]\nover = \"white\""),
        ] {
            let plan = planned(BODY, first, second);
            let clear = over_skin(&plan);
            assert!((43.3..60.0).contains(&clear), "{first} {second}: {clear}");
            assert!(plan.findings.iter().all(|f| f.code != "mark-over" && f.code != "mask-after"));
        }
        // One that is said to lie on it does.
        let meant = planned(BODY, "place = { at = [100, 5] }", "aim = [102, 5]\nover = \"blue\"");
        assert!(over_skin(&meant) < 0.0, "{}", over_skin(&meant));
    }

    /// By hand: twice 3/8 in of gap and 1/8 in of overlap and an 18 mm strip: 43.4 mm from one that stands, whichever is first
    /// in the job.
    #[test]
    fn one_that_is_looked_for_keeps_off_one_that_stands() {
        let clear = |plan: &Plan| {
            let [a, b] = [0, 1].map(|k| plan.marks[k].rings());
            let area = geom::Region::Area { rings: b };
            geom::measure::edges_to_region(&a, &area)
        };
        let looked = planned(PANEL, "place = { at = [100, 5] }", "aim = [102, 5]\nover = \"white\"");
        assert!((clear(&looked) - 43.4).abs() < 0.2, "{}", clear(&looked));
        let turned = planned(PANEL, "aim = [100, 5]", "place = { at = [102, 5] }\nover = \"white\"");
        assert!((clear(&turned) - 43.4).abs() < 0.2, "{}", clear(&turned));
        let both = planned(PANEL, "place = \"roomiest\"", "place = \"roomiest\"\nover = \"white\"");
        assert!(clear(&both) > 43.3, "{}", clear(&both));
        // One that is said to lie on it does.
        let meant = planned(PANEL, "place = { at = [100, 5] }", "aim = [102, 5]\nover = \"blue\"");
        assert!(shared(&meant) > 100.0);
    }
}
