//! The place with the greatest clearance, and whether there is any place at all.

use super::boxes::{OpenBox, Queue, Short, Tries};
use super::look::Ceilinged;
use super::nearest::SMALLEST_MM;
use super::shortlist::Want;
use super::{MOST_BOXES, NoPlace, Place, Room};
use crate::point::Vec2;
use crate::tolerance::{FLOOR_MM, SETTLED_MM, TIE_MM};

/// Most contacts of a box in which a place that does not serve is mended; larger boxes are cut first.
const MOST_TO_MEND: usize = 300;

/// The greatest clearance and what is left to tell equally clear places apart.
struct Most {
    t: Vec2,
    clearance: f64,
    bound: f64,
    boxes: usize,
    /// Boxes that may hold a place as clear, to `TIE_MM`.
    rest: Vec<OpenBox>,
}

impl Room {
    /// The movement with the greatest least clearance over the walls that count, every other wall and border
    /// kept; of equally clear ones (to `TIE_MM`) the one nearest to `aim`, then the one with the least
    /// `ties[0] . t`, then the least `ties[1] . t`.
    ///
    /// # Errors
    /// If there is no place, or the search was given up before one was found.
    pub fn roomiest(&self, aim: Vec2, ties: [Vec2; 2]) -> Result<Place, NoPlace> {
        let most = self.most_clearance(false)?;
        let proved = most.boxes < MOST_BOXES;
        if most.clearance == f64::INFINITY {
            let near = self.nearest(aim, 0.0, ties)?;
            return Ok(Place { bound: most.bound, boxes: near.boxes + most.boxes, ..near });
        }
        let least = (most.clearance - TIE_MM / 2.0).max(0.0);
        let near = self.nearest_of(most.rest, Some(most.t), aim, least, ties)?;
        Ok(Place {
            bound: most.bound.max(near.clearance),
            proved: near.proved && proved,
            boxes: most.boxes + near.boxes,
            ..near
        })
    }

    /// Any movement at which every wall and border is kept.
    ///
    /// # Errors
    /// If there is none, or the search was given up before one was found.
    pub fn exists(&self) -> Result<Vec2, NoPlace> {
        self.most_clearance(true).map(|most| most.t)
    }

    /// True if a place that does not serve may become one by a step: some walls have only to be kept, and they
    /// are few enough to be worth it.
    fn mendable(&self, short: &Short) -> bool {
        short.contacts.len() <= MOST_TO_MEND && short.contacts.iter().any(|c| !c.counts)
    }

    fn most_clearance(&self, any: bool) -> Result<Most, NoPlace> {
        let mut queue = Queue::default();
        let mut tries = Tries::default();
        let mut boxes = 0;
        let none = |boxes| NoPlace { proved: true, boxes };
        queue.push(self.whole(f64::INFINITY).ok_or(none(boxes))?);
        let mut found: Option<(f64, Vec2)> = None;
        let mut bound = f64::NEG_INFINITY;
        let mut rest = Vec::new();
        while let Some(open) = queue.pop() {
            let best = found.map_or(-FLOOR_MM, |f| f.0);
            // The queue's head is the greatest hope left.
            if found.is_some() && open.hope <= best + SETTLED_MM {
                bound = f64::max(bound, open.hope);
                rest.push(open);
                break;
            }
            if boxes >= MOST_BOXES {
                bound = f64::max(bound, open.hope);
                rest.push(open);
                break;
            }
            boxes += 1;
            let Some(borders) = self.borders_across(open.middle, open.half) else { continue };
            // Boxes whose best is only a little below still tell equally clear places apart.
            let enough = if found.is_some() { best - TIE_MM } else { best };
            let closed = |mut short: Short| {
                self.highest(open.half, &borders, &mut short, enough).is_none_or(|c| c.highest < enough)
            };
            if self.front(&open).is_some_and(closed) {
                tries.closed(open.cuts);
                continue;
            }
            let lids = tries.worthwhile(open.cuts, open.short.contacts.len());
            let Some(mut short) = self.shortlist(&open, Want::More(best - TIE_MM), lids) else { continue };
            if !lids {
                queue.push_halves(open.middle, open.half, |_, _| open.hope, short);
                continue;
            }
            let Some(Ceilinged { highest, at, lids }) = self.highest(open.half, &borders, &mut short, enough)
            else {
                tries.closed(open.cuts);
                continue;
            };
            if highest < enough {
                tries.closed(open.cuts);
                continue;
            }
            short.bring_forward(lids);
            let mut worth = self.worth(open.middle + at, &short);
            let mut d = at;
            let small = open.half.hypot() < SMALLEST_MM;
            if (worth.1 && worth.0 > best) || (!worth.1 && found.is_none() && self.mendable(&short)) {
                (d, worth) = self.climb(at, open.half, &borders, &short, highest);
            }
            if worth.1 && (worth.0 > best || (found.is_none() && worth.0 >= best)) {
                found = Some((worth.0, open.middle + d));
                if any || worth.0 == f64::INFINITY {
                    bound = f64::INFINITY;
                    break;
                }
            }
            let hope = highest.min(open.hope);
            if small || found.is_some_and(|f| hope <= f.0 + SETTLED_MM) {
                if worth.1 {
                    bound = bound.max(hope);
                }
                if !small || worth.1 {
                    rest.push(OpenBox { hope, ..open });
                }
                continue;
            }
            self.drop_above(&mut short, open.half, hope);
            queue.push_halves(open.middle, open.half, |_, _| hope, short);
        }
        let Some((clearance, t)) = found else {
            return Err(NoPlace { proved: boxes < MOST_BOXES, boxes });
        };
        rest.extend(queue.into_rest());
        rest.retain(|b| b.hope >= clearance - TIE_MM);
        Ok(Most { t, clearance, bound: bound.max(clearance), boxes, rest })
    }
}
