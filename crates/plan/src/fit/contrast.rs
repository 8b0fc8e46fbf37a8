//! The colours of a mark as the job gives them, for the estimate of contrast.

use crate::finding::Finding;
use crate::job::{self, Finish, Job, Tone};
use crate::rules::contrast::reflectance;
use crate::rules::{MarkShades, Pack, Shade, check_contrast};

/// What is to be said about the contrast of every mark and stripe of a job, in its order.
pub fn findings(job: &Job, pack: Option<&Pack>) -> Vec<Finding> {
    let stripes = job.stripes.iter().map(|stripe| {
        let (ink, over) = job.painted_with(&stripe.id).unwrap_or_default();
        let over = ground(job, over).or_else(|| paint(job, over));
        MarkShades {
            id: stripe.id.clone(),
            legal: false,
            paint: paint(job, ink),
            over,
            outline: None,
            shadow: None,
        }
    });
    let marks = job.marks.iter().map(|mark| shades(job, mark));
    marks.chain(stripes).flat_map(|shades| check_contrast(pack, &shades)).collect()
}

/// The colours of one mark.
fn shades(job: &Job, mark: &job::Mark) -> MarkShades {
    MarkShades {
        id: mark.id.clone(),
        legal: mark.legal,
        paint: paint(job, &mark.paint),
        over: ground(job, &mark.over).or_else(|| paint(job, &mark.over)),
        outline: mark.outline.as_ref().and_then(|outline| paint(job, &outline.value.1)),
        shadow: mark.shadow.as_ref().and_then(|shadow| paint(job, &shadow.value.1)),
    }
}

/// The paint of that id; `None` if no id is given.
fn paint(job: &Job, id: &str) -> Option<Shade> {
    let paint = job.paints.iter().find(|paint| paint.id == id)?;
    Some(shade(id, paint.tone, false))
}

/// The ground of that id; a paint may have the same id.
fn ground(job: &Job, id: &str) -> Option<Shade> {
    let ground = job.grounds.iter().find(|ground| ground.id == id)?;
    Some(shade(id, ground.tone, ground.finish == Finish::Metallic))
}

fn shade(id: &str, tone: Tone, metallic: bool) -> Shade {
    let (reflectance, estimated) = match tone {
        Tone::Colour(colour) => (Some(reflectance(colour)), true),
        Tone::Reflectance(share) => (Some(share), false),
        Tone::Unknown => (None, false),
    };
    Shade { name: id.to_owned(), reflectance, estimated, metallic }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Severity;

    fn said(mark: &str, paint: &str) -> Vec<Finding> {
        let text = format!(
            "title = \"a panel\"\nunits = \"in\"\n\
             [[ground]]\nid = \"cream\"\ncolour = \"#efe6cf\"\n\
             [[ground]]\nid = \"silver\"\nreflectance = 0.5\nfinish = \"metallic\"\n\
             [[surface]]\nid = \"panel\"\nkind = \"flat\"\n\
             corners = [[0, 0], [90, 0], [90, 30], [0, 30]]\n\
             [[mark]]\nid = \"reg\"\nsurface = \"panel\"\ntext = \"N28\"\nheight = 12\n{mark}\n\
             [[paint]]\nid = \"blue\"\n{paint}\n\
             [[paint]]\nid = \"gold\"\ncolour = \"#d8a527\"\n"
        );
        let job = job::read(&text).unwrap_or_else(|problems| panic!("{problems:#?}"));
        findings(&job, None)
    }

    #[test]
    fn colours_are_found_by_the_ids_of_the_mark() {
        let found = said("paint = \"blue\"\nover = \"cream\"", "colour = \"#1b2f52\"");
        assert_eq!((found.len(), found[0].severity), (1, Severity::Pass));
        // Relative luminances of #1b2f52 and #efe6cf by the W3C formula, worked out apart in Python.
        assert!((found[0].measured.unwrap() - 0.794).abs() < 0.001, "{:?}", found[0]);
        assert!(
            found[0].message.contains("blue reflects about 2.9 % of the light, cream about 79.4 %"),
            "{}",
            found[0].message
        );
    }

    #[test]
    fn a_mark_may_lie_over_another_paint_and_a_reflectance_is_taken_as_given() {
        let found = said("paint = \"blue\"\nover = \"gold\"", "reflectance = 0.4");
        assert_eq!(found[0].severity, Severity::Caution);
        assert!(
            found[0].message.contains("reflects 40 % of the light, gold about 41.7 %"),
            "{}",
            found[0].message
        );
        let found = said("paint = \"blue\"\nover = \"silver\"", "reflectance = 0.1");
        assert_eq!(found[0].severity, Severity::Pass);
        assert!(found[0].message.contains("metallic"), "{}", found[0].message);
    }

    #[test]
    fn a_ground_comes_before_a_paint_of_the_same_id() {
        let found = said(
            "paint = \"blue\"\nover = \"cream\"",
            "colour = \"#1b2f52\"\n[[paint]]\nid = \"cream\"\ncolour = \"#000000\"",
        );
        assert_eq!(found[0].severity, Severity::Pass);
    }

    #[test]
    fn unknown_colours_are_silent_without_a_rule() {
        assert!(said("", "colour = \"#1b2f52\"").is_empty());
        assert!(said("paint = \"blue\"\nover = \"cream\"", "").is_empty());
    }
}
