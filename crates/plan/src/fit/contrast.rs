//! The colours of a mark as the job gives them, for the estimate of contrast.

use crate::finding::Finding;
use crate::job::{self, Finish, Job, Tone};
use crate::rules::contrast::reflectance;
use crate::rules::{MarkShades, Pack, Shade, check_contrast};

/// What is to be said about the contrast of every mark of a job, in its order.
pub fn findings(job: &Job, pack: Option<&Pack>) -> Vec<Finding> {
    job.marks.iter().flat_map(|mark| check_contrast(pack, &shades(job, mark))).collect()
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
