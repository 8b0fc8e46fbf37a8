//! The place nearest to the aim.

use super::boxes::{OpenBox, Queue, Short, Tries};
use super::shortlist::Want;
use super::{MOST_BOXES, NoPlace, Place, Room};
use crate::point::Vec2;
use crate::tolerance::{FLOOR_MM, SETTLED_MM, TIE_MM};

/// Places nearer together than this, mm, are one place when equally good ones are told apart.
const ONE_PLACE_MM: f64 = 2.0;

/// A box with a smaller half diagonal, mm, is not cut again. Were there a place in it that keeps every wall,
/// the place tried in it would keep every wall to half of `FLOOR_MM`, and so have served.
pub(super) const SMALLEST_MM: f64 = FLOOR_MM / 4.0;

impl Room {
    /// The movement nearest to `aim` at which every wall keeps its clearance and those that count keep
    /// `at_least` more; of equally near ones (to `TIE_MM`) the one with the least `ties[0] . t`, then the least
    /// `ties[1] . t`.
    ///
    /// # Errors
    /// If there is no place, or the search was given up before one was found.
    pub fn nearest(&self, aim: Vec2, at_least: f64, ties: [Vec2; 2]) -> Result<Place, NoPlace> {
        let whole = self.whole(0.0).ok_or(NoPlace { proved: true, boxes: 0 })?;
        self.nearest_of(vec![whole], None, aim, at_least, ties)
    }

    /// The same among some boxes; `known` is a place that serves.
    pub(super) fn nearest_of(
        &self,
        among: Vec<OpenBox>,
        known: Option<Vec2>,
        aim: Vec2,
        at_least: f64,
        ties: [Vec2; 2],
    ) -> Result<Place, NoPlace> {
        let mut queue = Queue::default();
        for open in among {
            queue.push(OpenBox { hope: -distance_to_box(aim, open.middle, open.half), ..open });
        }
        let mut found: Vec<(f64, Vec2)> = known.iter().map(|t| ((*t - aim).hypot(), *t)).collect();
        let mut best = found.first().map_or(f64::INFINITY, |f| f.0);
        let mut bound = f64::INFINITY;
        let mut tries = Tries::default();
        let mut boxes = 0;
        while let Some(open) = queue.pop() {
            if -open.hope > best + TIE_MM {
                break;
            }
            if boxes >= MOST_BOXES {
                bound = -open.hope;
                break;
            }
            if nothing_new(&open, &found, best, -open.hope) {
                bound = bound.min(-open.hope);
                continue;
            }
            boxes += 1;
            let Some(borders) = self.borders_across(open.middle, open.half) else { continue };
            let seen_aim = aim - open.middle;
            let closed = |mut short: Short| {
                let near = self.nearest_under_lids(seen_aim, open.half, &borders, &mut short, at_least);
                near.is_none_or(|(at, _)| (at - seen_aim).hypot() > best + TIE_MM)
            };
            if self.front(&open).is_some_and(closed) {
                tries.closed(open.cuts);
                continue;
            }
            let hope = |least: f64| move |middle, half| -least.max(distance_to_box(aim, middle, half));
            let lids = tries.worthwhile(open.cuts, open.short.contacts.len());
            let Some(mut short) = self.shortlist(&open, Want::AtLeast(at_least), lids) else { continue };
            if !lids {
                queue.push_halves(open.middle, open.half, hope(-open.hope), short);
                continue;
            }
            let Some((at, lids)) =
                self.nearest_under_lids(seen_aim, open.half, &borders, &mut short, at_least)
            else {
                tries.closed(open.cuts);
                continue;
            };
            short.bring_forward(lids);
            let least = (at - seen_aim).hypot().max(-open.hope);
            if least > best + TIE_MM {
                tries.closed(open.cuts);
                continue;
            }
            let small = open.half.hypot() < SMALLEST_MM;
            let d = if self.serves(open.middle + at, &short, at_least) {
                Some(at)
            } else if small {
                None
            } else {
                self.walk(at, seen_aim, open.half, &borders, &short, at_least)
            };
            if let Some(d) = d {
                let far = (d - seen_aim).hypot();
                if far <= best + TIE_MM {
                    best = best.min(far);
                    found.push((far, open.middle + d));
                }
            }
            if small || nothing_new(&open, &found, best, least) {
                if d.is_some() {
                    bound = bound.min(least);
                }
                continue;
            }
            queue.push_halves(open.middle, open.half, hope(least), short);
        }
        found.retain(|f| f.0 <= best + TIE_MM);
        let proved = boxes < MOST_BOXES;
        let Some((far, t)) = found.into_iter().reduce(|a, b| better(a, b, ties)) else {
            return Err(NoPlace { proved, boxes });
        };
        Ok(Place { t, clearance: self.clearance_at(t).0, bound: bound.min(best).min(far), proved, boxes })
    }
}

/// True if a box can hold neither a nearer place (by more than `SETTLED_MM`) nor a second one as near that is
/// not next to one already found.
fn nothing_new(open: &OpenBox, found: &[(f64, Vec2)], best: f64, least: f64) -> bool {
    let reach = open.half.hypot();
    least > best - SETTLED_MM
        && found.iter().any(|f| f.0 <= best + TIE_MM && (f.1 - open.middle).hypot() + reach < ONE_PLACE_MM)
}

/// Of two places as near, the shop's rule decides; of two next to each other, the nearer.
fn better(a: (f64, Vec2), b: (f64, Vec2), ties: [Vec2; 2]) -> (f64, Vec2) {
    if (a.1 - b.1).hypot() < ONE_PLACE_MM {
        return if b.0 < a.0 { b } else { a };
    }
    for tie in ties {
        let (x, y) = (tie.dot(a.1), tie.dot(b.1));
        if (x - y).abs() > TIE_MM {
            return if x <= y { a } else { b };
        }
    }
    a
}

fn distance_to_box(p: Vec2, middle: Vec2, half: Vec2) -> f64 {
    let d = p - middle;
    Vec2::new((d.x.abs() - half.x).max(0.0), (d.y.abs() - half.y).max(0.0)).hypot()
}
