//! The ground under the paint: when tape may go on it, whether it is scuffed, what it must not have done to it.

use super::clock::Clock;
use super::warmth::{at_least, minutes};
use crate::finding::{Basis, Finding, Severity};
use crate::job::{Finish, Ground, Job};

/// The minute from which tape may lie on a ground; `None` if the job does not say.
pub fn tape_from(ground: &Ground, clock: &Clock, shop_c: Option<f64>) -> Option<i64> {
    let shot = clock.minute(ground.shot?)?;
    Some(shot + at_least(minutes(ground.dry_to_tape?, shop_c)))
}

/// True if the letters on it are scuffed: unless it is bare metallic, or still young enough to take paint as it is
/// when the first coat falls on it at `coat`.
pub fn scuffed(ground: Option<&Ground>, clock: &Clock, coat: i64) -> bool {
    let Some(ground) = ground else { return true };
    ground.finish != Finish::Metallic && due(ground, clock, coat) != Some(false)
}

/// If the time after which it must be scuffed has passed at `coat`; `None` if the job does not say.
fn due(ground: &Ground, clock: &Clock, coat: i64) -> Option<bool> {
    let shot = clock.minute(ground.shot?)?;
    Some((coat - shot) as f64 > ground.scuff_after?)
}

/// What there is to say about the ground of a mark whose first coat falls at `coat`.
pub fn findings(job: &Job, mark: &str, over: &str, clock: &Clock, coat: i64) -> Vec<Finding> {
    let Some(ground) = job.grounds.iter().find(|g| g.id == over) else { return vec![] };
    let mut found = Vec::new();
    let metallic = ground.finish == Finish::Metallic;
    match (metallic, due(ground, clock, coat)) {
        (true, Some(true)) => found.push(
            Finding::new(
                Severity::Caution,
                "metallic-scuff",
                mark,
                format!("{} is bare metallic and past its time without scuffing, and scuffing would move the flake", ground.id),
            )
            .source(Basis::Practice, "common practice, no source")
            .hint("clear it first and scuff the clear, or shoot sooner"),
        ),
        (true, _) => found.push(
            Finding::new(
                Severity::Note,
                "metallic-scuff",
                mark,
                format!("{} is bare metallic: it is never scuffed, and alcohol moves its flake", ground.id),
            )
            .source(Basis::Practice, "common practice, no source")
            .hint("wipe bleed dry, or clear the base before masking"),
        ),
        (false, Some(true)) => found.push(
            Finding::new(
                Severity::Note,
                "scuff",
                mark,
                format!("{} is past the time it takes paint unscuffed: the letters are scuffed first", ground.id),
            )
            .source(Basis::Shop, "scuff_after of the ground"),
        ),
        (false, Some(false)) => found.push(
            Finding::new(
                Severity::Note,
                "scuff",
                mark,
                format!("{} still takes paint unscuffed when the first coat falls", ground.id),
            )
            .source(Basis::Shop, "scuff_after of the ground"),
        ),
        (false, None) => {}
    }
    found
}

/// Where tape has to cross a step the paint creeps under: a light coat of the base colour along the edge first.
pub fn seal(job: &Job, skins: &[crate::surface::Skin], mark: &crate::fit::placed::Placed) -> Option<Finding> {
    let skin = mark.skin(skins)?;
    let surface = job.surfaces.iter().find(|s| s.id == mark.surface)?;
    let rings = mark.rings();
    let (lo, hi) = rings.iter().filter_map(geom::Ring::bounds).reduce(|(a, b), (c, d)| {
        (geom::Point::new(a.x.min(c.x), a.y.min(c.y)), geom::Point::new(b.x.max(d.x), b.y.max(d.y)))
    })?;
    let taped = surface.ribs.as_ref().is_some_and(|r| r.tape > 0.0)
        && skin
            .ribs
            .iter()
            .any(|r| r.line.iter().any(|p| lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y));
    let rivets = mark.fit.features.iter().any(|f| {
        f.relation == crate::fit::placed::Relation::Crossed
            && skin.features.iter().any(|k| k.id == f.id && k.kind == crate::job::FeatureKind::Rivets)
    });
    let what = match (taped, rivets) {
        (true, true) => "pinked tape and rivets",
        (true, false) => "pinked tape",
        (false, true) => "rivets",
        _ => return None,
    };
    let film = job.masking.as_ref().is_some_and(|m| !m.tape);
    let edge = if film { "the edge of the film" } else { "edge tape" };
    Some(
        Finding::new(
            Severity::Note,
            "seal-coat",
            &mark.id,
            format!("{edge} crosses {what}: paint creeps under it there"),
        )
        .source(Basis::Quoted, "a paraphrase of FAA-H-8083-31 ch. 8: one light coat of the base colour along the tape edge")
        .hint("press the tape into the steps, then fog the base colour (or clear) along the edge before the first coat"),
    )
}
