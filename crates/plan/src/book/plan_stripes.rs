//! The plan file's `stripes`: where each stripe lies, where its edges are marked, how its tape bends.

use super::plan_file::{FeatureFitOut, feature_fits, mm, pair, six_digits};
use crate::Plan;
use crate::stripe::Laid;
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
    ticks: Vec<TickOut>,
    clearance_mm: Option<f64>,
    features: Vec<FeatureFitOut>,
}

#[derive(Debug, Serialize)]
struct StationOut {
    s_mm: f64,
    lower_t_mm: f64,
    upper_t_mm: f64,
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

fn stripe_out(plan: &Plan, stripe: &Laid) -> StripeOut {
    let points = |list: &[Point]| list.iter().map(|p| pair(*p)).collect::<Vec<_>>();
    let skin = plan.skins.iter().find(|s| s.id == stripe.surface);
    let stretches = |list: &[[f64; 2]]| list.iter().map(|[a, b]| [mm(*a), mm(*b)]).collect();
    let tape = &stripe.tape;
    StripeOut {
        id: stripe.id.clone(),
        surface: stripe.surface.clone(),
        length_mm: mm(stripe.length),
        edges_flat_mm: [points(&stripe.edges[0]), points(&stripe.edges[1])],
        stations: stripe
            .stations
            .iter()
            .map(|r| StationOut { s_mm: mm(r.s), lower_t_mm: mm(r.lower), upper_t_mm: mm(r.upper) })
            .collect(),
        tape: TapeOut {
            width_mm: mm(tape.width),
            max_strain: six_digits(tape.strain),
            verdict: if tape.width > 0.0 { tape.lies.word() } else { "" },
            working_strain: tape.working.is_finite().then(|| six_digits(tape.working)),
            steer_mm: stretches(&tape.steer),
            lifts_mm: stretches(&tape.lifts),
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
        clearance_mm: stripe.painted.fit.clearance.map(mm),
        features: feature_fits(&stripe.painted),
    }
}
