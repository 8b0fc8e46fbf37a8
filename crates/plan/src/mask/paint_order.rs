//! Which paint is shot first: what lies below before what goes over it, and of the rest the lighter before the darker, or
//! the larger area before the smaller where a tone is not known (common practice, no source).

use super::colours::{lightness, own_paint};
use crate::finding::{Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use geom::Ring;

/// The paints of a job in the order they are shot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PaintOrder {
    /// Their ids.
    pub ids: Vec<String>,
    /// True if those of which none lies below the other go by lightness, else by area.
    pub by_lightness: bool,
    /// Paints of which each is to lie over another of them: none of them can be first. Empty where there are none.
    pub circle: Vec<String>,
    /// Each paint, and one that `over` says it goes on.
    on: Vec<(String, String)>,
}

impl PaintOrder {
    /// The order for all that is painted.
    pub fn new(job: &Job, marks: &[Placed]) -> PaintOrder {
        let mut used: Vec<(String, f64)> = Vec::new();
        for mark in marks {
            let own = own_paint(job, mark).unwrap_or_default();
            let letters = (own, mark.rings().iter().map(Ring::area).sum());
            let further =
                mark.further.iter().map(|f| (f.paint.as_str(), f.rings.iter().map(Ring::area).sum()));
            for (paint, area) in std::iter::once(letters).chain(further) {
                match used.iter_mut().find(|(id, _)| id == paint) {
                    Some((_, sum)) => *sum += area,
                    None => used.push((paint.to_owned(), area)),
                }
            }
        }
        let tone = |id: &str| job.paints.iter().find(|p| p.id == id).and_then(|p| lightness(p.tone));
        let by_lightness = used.iter().all(|(id, _)| id.is_empty() || tone(id).is_some());
        if by_lightness {
            used.sort_by(|a, b| tone(&b.0).unwrap_or(-1.0).total_cmp(&tone(&a.0).unwrap_or(-1.0)));
        } else {
            used.sort_by(|a, b| b.1.total_cmp(&a.1));
        }
        let mut left: Vec<String> = used.into_iter().map(|(id, _)| id).collect();
        let mut on: Vec<(String, String)> = Vec::new();
        for mark in marks {
            let Some((own, over)) = job.painted_with(&mark.id) else { continue };
            // What goes round or behind the letters goes on the same.
            let all = std::iter::once(own).chain(mark.further.iter().map(|f| f.paint.as_str()));
            let below = all.filter(|paint| *paint != over && left.iter().any(|id| id == over));
            for pair in below.map(|paint| (paint.to_owned(), over.to_owned())) {
                if !on.contains(&pair) {
                    on.push(pair);
                }
            }
        }
        let mut out = PaintOrder { ids: Vec::new(), by_lightness, circle: Vec::new(), on };
        while !left.is_empty() {
            let waits = |id: &String| out.on.iter().any(|(own, below)| own == id && left.contains(below));
            let next = left.iter().position(|id| !waits(id)).unwrap_or_else(|| {
                if out.circle.is_empty() {
                    out.circle = round(&out.on, &left);
                }
                0
            });
            out.ids.push(left.remove(next));
        }
        out
    }

    /// True if `over` says that one paint goes on the other.
    pub fn said(&self, own: &str, below: &str) -> bool {
        self.on.iter().any(|(o, b)| o == own && b == below)
    }

    /// What is wrong with it.
    pub(super) fn told(&self, job: &Job, marks: &[Placed]) -> Option<Finding> {
        let first = self.circle.first()?;
        let round: Vec<&str> = self.circle.iter().chain([first]).map(String::as_str).collect();
        let about = marks.iter().find(|m| job.painted_with(&m.id).is_some_and(|(own, _)| own == first))?;
        Some(
            Finding::new(
                Severity::Fail,
                "paint-order",
                &about.id,
                format!("no paint can be shot first: {}", round.join(" goes over ")),
            )
            .hint("each paint is shot in one go: give what is shot last a [[paint]] of its own, with another id"),
        )
    }
}

/// Paints that wait for each other in a ring, of those `left`.
fn round(on: &[(String, String)], left: &[String]) -> Vec<String> {
    let mut way: Vec<String> = left.first().cloned().into_iter().collect();
    while let Some((_, below)) =
        way.last().and_then(|l| on.iter().find(|(own, b)| own == l && left.contains(b)))
    {
        if let Some(k) = way.iter().position(|id| id == below) {
            return way.split_off(k);
        }
        way.push(below.clone());
    }
    Vec::new()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Plan;
    use crate::stripe::trial::on_panel;

    fn two(over: [&str; 2]) -> Plan {
        let stripe = |id: &str, paint: &str, over: &str, width: u32| {
            format!(
                "[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\nwidth = {width}\npaint = \"{paint}\"\nover = \"{over}\"\n\
                 along = {{ waterline = 20, from = 10, to = 100 }}\n"
            )
        };
        let grounds = "[[ground]]\nid = \"white\"\ncolour = \"#f4f2ea\"\n";
        on_panel(
            [120, 50],
            &[grounds, &stripe("a", "red", over[0], 6), &stripe("b", "gold", over[1], 2)].concat(),
        )
    }

    fn order(plan: &Plan) -> PaintOrder {
        PaintOrder::new(&plan.job, &plan.painted())
    }

    /// Gold is the lighter; on red it goes second all the same, else red would bury it.
    #[test]
    fn what_lies_below_is_shot_first() {
        assert_eq!(order(&two(["white", "red"])).ids, ["red", "gold"]);
        assert_eq!(order(&two(["gold", "white"])).ids, ["gold", "red"]);
        assert_eq!(order(&two(["white", "white"])).ids, ["gold", "red"]);
    }

    #[test]
    fn paints_over_each_other_have_no_order() {
        let plan = two(["gold", "red"]);
        assert_eq!(order(&plan).circle, ["gold", "red"]);
        let told: Vec<_> = plan.findings.iter().filter(|f| f.code == "paint-order").collect();
        assert_eq!(told.len(), 1);
        assert!(
            told[0].severity == Severity::Fail
                && told[0].message.contains("gold goes over red goes over gold")
        );
        assert!(two(["white", "red"]).findings.iter().all(|f| f.code != "paint-order"));
    }
}
