//! What the ground and the skin under a mask ask for when tape or film goes on and comes off: fabric, bare metallic,
//! base whose age is not told, waxed gelcoat. None of it has a published source but what says so.

use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::{Category, Finish, Ground, Job, Material};

/// What there is to say of one mark; nothing where the job masks nothing.
pub fn findings(job: &Job, mark: &Placed, over: &str) -> Vec<Finding> {
    let Some(masking) = &job.masking else { return vec![] };
    let Some(surface) = job.surfaces.iter().find(|s| s.id == mark.surface) else { return vec![] };
    let ground = job.grounds.iter().find(|g| g.id == over);
    let with = if masking.tape { "tape" } else { "film" };
    let mut found = Vec::new();
    let practice = |severity, code: &'static str, words: String| {
        Finding::new(severity, code, &mark.id, words).source(Basis::Practice, "common practice, no source")
    };
    if surface.material == Material::Fabric {
        found.push(
            practice(
                Severity::Caution,
                "fabric-handling",
                format!(
                    "this skin is fabric: press {with} down with the thumb, not with a squeegee between the ribs; no blade \
                     on it, no air nozzle close up; pull low and slowly, one hand holding the skin"
                ),
            )
            .hint("no heat gun: polyester fabric tightens again above about 250 F and slackens above 350 F (from memory); \
                   a hand-warm cloth softens the glue enough"),
        );
    }
    if let Some(ground) = ground {
        found.extend(on_ground(job, ground, mark, with));
    }
    let boat = job.craft.category == Some(Category::Boat);
    if surface.material == Material::Composite && (boat || ground.is_none()) {
        // Only a boat's skin is known to be gelcoat.
        found.push(
            practice(
                if boat { Severity::Caution } else { Severity::Note },
                "gelcoat-wax",
                format!("gelcoat, new or polished, carries wax: {with} lifts from it at the edge, and paint comes off with the {with}"),
            )
            .hint("wash with what the laminate's maker allows until water no longer beads, scuff, wipe, and pull a trial \
                   strip; no stripper and no strong solvent on fibreglass (TO 1-1-8 2.3g, read)"),
        );
    }
    found
}

fn on_ground(job: &Job, ground: &Ground, mark: &Placed, with: &str) -> Vec<Finding> {
    let practice = |severity, code: &'static str, words: String| {
        Finding::new(severity, code, &mark.id, words).source(Basis::Practice, "common practice, no source")
    };
    let mut found = Vec::new();
    if ground.finish == Finish::Metallic {
        found.push(
            practice(
                Severity::Caution,
                "metallic-mask",
                format!("{} is bare metallic: {with} takes flake with it and leaves its print", ground.id),
            )
            .hint("clear the base before it is masked; the letters then go on scuffed clear"),
        );
    }
    // A day is planned round the ground's own times; without them nobody knows.
    if ground.shot.is_some() && ground.dry_to_tape.is_none() {
        found.push(
            practice(
                Severity::Caution,
                "fresh-base",
                format!("the job says when {} was shot, not when it is dry to tape: {with} on young base marks or lifts it", ground.id),
            )
            .hint("take dry_to_tape from its data sheet; a strip on a hidden spot first, pulled after as long as the mask will lie"),
        );
    } else if ground.shot.is_none() && !job.paints.is_empty() {
        found.push(
            practice(
                Severity::Note,
                "fresh-base",
                format!(
                    "the job does not say how old {} is: {with} on young base marks or lifts it",
                    ground.id
                ),
            )
            .hint("if it was shot lately, give shot and dry_to_tape of the ground, and wait for it"),
        );
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::job::Attachments;

    /// Codes, with `+` for a caution and `-` for a note, about the one mark of a job.
    fn said(craft: &str, material: &str, ground: &str, masking: &str) -> Vec<String> {
        let job = format!(
            "title = \"trial\"\nunits = \"in\"\n{craft}\n[[surface]]\nid = \"side\"\nkind = \"flat\"\n\
             corners = [[0, 0], [90, 0], [90, 30], [0, 30]]\nmaterial = \"{material}\"\n[[mark]]\nid = \"m\"\n\
             surface = \"side\"\ntext = \"HE\"\nlegal = false\nheight = 6\npaint = \"blue\"\nover = \"cream\"\n\
             place = {{ at = [45, 15] }}\n[[ground]]\nid = \"cream\"\n{ground}\n[[paint]]\nid = \"blue\"\n{masking}"
        );
        let plan = crate::run(&crate::job::read(&job).unwrap(), &Attachments::default()).unwrap();
        let ours = ["fabric-handling", "gelcoat-wax", "metallic-mask", "fresh-base"];
        let mut out: Vec<String> = plan
            .findings
            .iter()
            .filter(|f| ours.contains(&f.code))
            .map(|f| {
                assert!(!f.cite.is_empty() && !f.hint.is_empty(), "{}", f.code);
                let sign = if f.severity == crate::finding::Severity::Caution { '+' } else { '-' };
                format!("{sign}{}", f.code)
            })
            .collect();
        out.sort();
        out
    }

    #[test]
    fn each_ground_and_skin_has_its_own_caution_and_says_how_well_it_is_known() {
        let film = "[masking]\nmethod = \"cut-mask\"\n";
        let solid = "finish = \"solid\"";
        assert_eq!(said("", "metal", solid, ""), Vec::<String>::new());
        assert_eq!(said("", "metal", solid, film), ["-fresh-base"]);
        let known = "shot = 2026-06-04T15:00:00\ndry_to_tape = { time = \"24 h\", at = \"21 C\" }";
        assert_eq!(said("", "metal", known, film), Vec::<String>::new());
        assert_eq!(said("", "metal", "shot = 2026-06-04T15:00:00", film), ["+fresh-base"]);
        assert_eq!(said("", "metal", "finish = \"metallic\"", film), ["+metallic-mask", "-fresh-base"]);
        assert_eq!(said("", "fabric", known, film), ["+fabric-handling"]);
        assert_eq!(said("", "composite", known, film), Vec::<String>::new());
        assert_eq!(said("[craft]\ncategory = \"boat\"", "composite", known, film), ["+gelcoat-wax"]);
    }
}
