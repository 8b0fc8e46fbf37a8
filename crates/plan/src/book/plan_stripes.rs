//! The plan file's `stripes`: where each stripe lies, where its edges are marked, how its tape bends.

use super::layout_curved::drawn_stripe;
use super::plan_file::{FeatureFitOut, feature_fits, mm, pair, six_digits};
use super::plan_masking::kind_word;
use super::stripe_parts::{Share, Stretch, shares, stretches};
use crate::Plan;
use crate::mask::Piece;
use crate::stripe::{EDGE_MM, Laid};
use geom::Point;
use geom::tolerance::FLATTEN_MM;
use serde::Serialize;

/// One stripe.
#[derive(Debug, Serialize)]
pub(super) struct StripeOut {
    id: String,
    surface: String,
    length_mm: f64,
    edges_flat_mm: [Vec<[f64; 2]>; 2],
    stations: Vec<StationOut>,
    tape: TapeOut,
    // Beyond the contract's first keys.
    paint: String,
    width_mm: f64,
    middle_flat_mm: Vec<[f64; 2]>,
    rings_flat_mm: Vec<Vec<[f64; 2]>>,
    ends_skin_mm: [[f64; 2]; 2],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    heights: Vec<HeightOut>,
    ticks: Vec<TickOut>,
    // Where it runs over parts that are painted apart.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    parted: Vec<Stretch>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    painted_on: Vec<Share>,
    clearance_mm: Option<f64>,
    features: Vec<FeatureFitOut>,
    // On skins that curve both ways alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    middle_xyz_mm: Option<Vec<[f64; 3]>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    edges_xyz_mm: Option<[Vec<[f64; 3]>; 2]>,
    // Its outline on the surface's own drawing, where that is not its own flat.
    #[serde(skip_serializing_if = "Option::is_none")]
    rings_drawn_mm: Option<Vec<Vec<[f64; 2]>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    edge_error_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    runs: Option<Vec<RunOut>>,
}

/// A piece of tape by the stations it lies between: on such a skin its path in flat leads nobody there.
#[derive(Debug, Serialize)]
struct RunOut {
    piece: String,
    kind: &'static str,
    tape_width_mm: f64,
    from_skin_mm: [f64; 2],
    to_skin_mm: [f64; 2],
    cut_length_mm: f64,
}

#[derive(Debug, Serialize)]
struct StationOut {
    s_mm: f64,
    lower_t_mm: f64,
    upper_t_mm: f64,
    what: &'static str,
}

/// The edges of a steep stripe at a height.
#[derive(Debug, Serialize)]
struct HeightOut {
    t_mm: f64,
    lower_s_mm: f64,
    upper_s_mm: f64,
    what: &'static str,
}

#[derive(Debug, Serialize)]
struct TapeOut {
    width_mm: f64,
    max_strain: f64,
    verdict: &'static str,
    working_strain: Option<f64>,
    steer_mm: Vec<[f64; 2]>,
    lifts_mm: Vec<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct TickOut {
    part: String,
    at_flat_mm: [f64; 2],
    at_skin_mm: [f64; 2],
}

pub(super) fn stripes_out(plan: &Plan) -> Vec<StripeOut> {
    plan.stripes.iter().map(|stripe| stripe_out(plan, stripe)).collect()
}

/// The tape of a stripe by stations, in the order of laying; `None` where the skin unrolls.
pub(super) fn runs(plan: &Plan, stripe: &Laid) -> Option<Vec<Run>> {
    stripe.painted.charts.as_ref()?;
    let mask = plan.masking.masks.iter().find(|m| m.serves(&stripe.id));
    // Stripes masked together lie in the flat of the first.
    let first = mask.and_then(|m| plan.stripes.iter().find(|s| s.id == m.of)).unwrap_or(stripe);
    let sheet = &first.painted.charts.as_ref()?.sheet;
    let mut pieces: Vec<_> = mask.iter().flat_map(|m| &m.pieces).collect();
    pieces.sort_by_key(|p| p.lay);
    let run = |p: &&Piece| {
        let (from, to) = (*p.path.first()?, *p.path.last()?);
        Some(Run {
            piece: p.id.clone(),
            kind: kind_word(p.kind),
            width: p.width,
            ends: [from, to].map(|q| sheet.skin_from_flat(q)),
            length: p.cut_length,
        })
    };
    Some(pieces.iter().filter_map(run).collect())
}

/// A piece of tape by its two ends on the skin, mm.
pub(super) struct Run {
    pub(super) piece: String,
    pub(super) kind: &'static str,
    pub(super) width: f64,
    pub(super) ends: [[f64; 2]; 2],
    pub(super) length: f64,
}

/// Points of a stripe's flat in space; `None` where the skin unrolls.
fn in_space(stripe: &Laid, points: &[Point]) -> Option<Vec<[f64; 3]>> {
    let sheet = &stripe.painted.charts.as_ref()?.sheet;
    points.iter().map(|p| Some(sheet.space_from_flat(*p)?.to_array().map(mm))).collect()
}

fn stripe_out(plan: &Plan, stripe: &Laid) -> StripeOut {
    let points = |list: &[Point]| list.iter().map(|p| pair(*p)).collect::<Vec<_>>();
    let skin = stripe.painted.skin(&plan.skins);
    let whole = plan.skins.iter().find(|s| s.id == stripe.surface);
    let lengths = |list: &[[f64; 2]]| list.iter().map(|[a, b]| [mm(*a), mm(*b)]).collect();
    let tape = &stripe.tape;
    StripeOut {
        id: stripe.id.clone(),
        surface: stripe.surface.clone(),
        length_mm: mm(stripe.length),
        edges_flat_mm: [points(&stripe.edges[0]), points(&stripe.edges[1])],
        stations: stripe
            .stations
            .iter()
            .map(|r| StationOut {
                s_mm: mm(r.s),
                lower_t_mm: mm(r.lower),
                upper_t_mm: mm(r.upper),
                what: r.what.word(),
            })
            .collect(),
        heights: stripe
            .heights
            .iter()
            .map(|r| HeightOut {
                t_mm: mm(r.s),
                lower_s_mm: mm(r.lower),
                upper_s_mm: mm(r.upper),
                what: r.what.word(),
            })
            .collect(),
        tape: TapeOut {
            width_mm: mm(tape.width),
            max_strain: six_digits(tape.strain),
            verdict: if tape.width > 0.0 { tape.lies.word() } else { "" },
            working_strain: tape.working.is_finite().then(|| six_digits(tape.working)),
            steer_mm: lengths(&tape.steer),
            lifts_mm: lengths(&tape.lifts),
        },
        paint: plan.job.painted_with(&stripe.id).map_or_else(String::new, |p| p.0.to_owned()),
        width_mm: mm(stripe.width),
        middle_flat_mm: points(&stripe.middle),
        rings_flat_mm: stripe.painted.rings().iter().map(|r| points(&r.flattened(FLATTEN_MM))).collect(),
        ends_skin_mm: skin.map_or([[0.0; 2]; 2], |skin| stripe.ends_on(skin)).map(|end| end.map(mm)),
        ticks: stripe
            .ticks
            .iter()
            .map(|t| TickOut { part: t.part.clone(), at_flat_mm: pair(t.flat), at_skin_mm: t.skin.map(mm) })
            .collect(),
        parted: stretches(plan, stripe),
        painted_on: shares(plan, stripe),
        clearance_mm: stripe.painted.fit.clearance.map(mm),
        features: feature_fits(&stripe.painted),
        rings_drawn_mm: stripe.painted.charts.as_ref().and(whole).map(|whole| {
            let shown = drawn_stripe(stripe, whole);
            shown.painted.rings().iter().map(|r| points(&r.flattened(FLATTEN_MM))).collect()
        }),
        middle_xyz_mm: in_space(stripe, &stripe.middle),
        edges_xyz_mm: in_space(stripe, &stripe.edges[0])
            .zip(in_space(stripe, &stripe.edges[1]))
            .map(|(a, b)| [a, b]),
        runs: runs(plan, stripe).map(|all| {
            let out = |r: Run| RunOut {
                piece: r.piece,
                kind: r.kind,
                tape_width_mm: mm(r.width),
                from_skin_mm: r.ends[0].map(mm),
                to_skin_mm: r.ends[1].map(mm),
                cut_length_mm: mm(r.length),
            };
            all.into_iter().map(out).collect()
        }),
        edge_error_mm: stripe.painted.charts.as_ref().map(|_| EDGE_MM),
    }
}
