//! What can be said of a whole box at once: how high the clearance in it can be, how near to the aim a place in
//! it can be.

use super::Room;
use super::boxes::{Contact, Short, State};
use crate::contact::lid;
use crate::maximin::{Approach, Border, Ceiling, Plane};
use crate::point::Vec2;
use crate::tolerance::{FLOOR_MM, NOISE_MM};

/// Most lids put on one box. Measured: four closed boxes in less time than six or ten, though in more boxes.
pub(super) const MOST_LIDS: usize = 4;

/// Most contacts looked at for the lids of one box.
const MOST_LOOKS: usize = 8;

/// What the lids of a box say.
pub(super) struct Ceilinged {
    /// No place in the box has more clearance.
    pub(super) highest: f64,
    /// Where to look, from the box's middle.
    pub(super) at: Vec2,
    /// Places in the list of the contacts that say so.
    pub(super) lids: Vec<usize>,
}

impl Room {
    /// How high the clearance over the walls that count can be in a box, and where to look for it; `None` if
    /// the other walls leave no place. Stops early once nothing above `enough` is left.
    pub(super) fn highest(
        &self,
        half: Vec2,
        borders: &[Border],
        short: &mut Short,
        enough: f64,
    ) -> Option<Ceilinged> {
        let mut around = borders.to_vec();
        around.extend(self.only_kept(half, short));
        let mut ceiling = Ceiling::over(half, &around)?;
        let mut lids: Vec<usize> = Vec::with_capacity(MOST_LIDS);
        let mut looks = MOST_LOOKS;
        while lids.len() < MOST_LIDS && looks > 0 {
            looks -= 1;
            let at = ceiling.at();
            let Some((i, low)) = self.lowest(short, at, &lids) else { break };
            if low >= ceiling.height() - NOISE_MM {
                break;
            }
            if self.refine(short, i) {
                continue;
            }
            lids.push(i);
            ceiling.lower(self.lid(&short.contacts[i], short.middle, half));
            if ceiling.height() <= enough {
                break;
            }
        }
        Some(Ceilinged { highest: ceiling.height(), at: ceiling.at(), lids })
    }

    /// Borders that stand for the walls which only have to be kept.
    fn only_kept(&self, half: Vec2, short: &Short) -> Vec<Border> {
        let mut tight: Vec<&Contact> =
            short.contacts.iter().filter(|c| !c.counts && c.state != State::Unmeasured).collect();
        tight.sort_by(|a, b| a.value.total_cmp(&b.value));
        tight.truncate(MOST_LIDS);
        tight
            .into_iter()
            .map(|c| {
                let lid = self.lid(c, short.middle, half);
                Border { normal: -lid.gradient, limit: lid.value + FLOOR_MM }
            })
            .collect()
    }

    /// The point of a box nearest to the aim (all from the box's middle) that its lids allow; `None` if they
    /// allow none.
    pub(super) fn nearest_under_lids(
        &self,
        aim: Vec2,
        half: Vec2,
        borders: &[Border],
        short: &mut Short,
        at_least: f64,
    ) -> Option<(Vec2, Vec<usize>)> {
        let mut approach = Approach::to(aim, half);
        if !borders.iter().all(|b| approach.narrow(*b)) {
            return None;
        }
        let mut lids: Vec<usize> = Vec::with_capacity(MOST_LIDS);
        let mut looks = MOST_LOOKS;
        while lids.len() < MOST_LIDS && looks > 0 {
            looks -= 1;
            let Some((i, spare)) = self.scarcest(short, approach.at(), &lids, at_least) else { break };
            if spare >= 0.0 {
                break;
            }
            if self.refine(short, i) {
                continue;
            }
            lids.push(i);
            let c = &short.contacts[i];
            let lid = self.lid(c, short.middle, half);
            if !approach
                .narrow(Border { normal: -lid.gradient, limit: lid.value - self.asked(c.solid, at_least) })
            {
                return None;
            }
        }
        Some((approach.at(), lids))
    }

    /// The least net clearance that serves at a contact.
    pub(super) fn asked(&self, solid: u32, at_least: f64) -> f64 {
        if self.bulks[solid as usize].counts { at_least - FLOOR_MM } else { -FLOOR_MM }
    }

    fn lid(&self, c: &Contact, middle: Vec2, half: Vec2) -> Plane {
        let solid = &self.solids[c.solid as usize];
        let edge = &self.edges[self.nodes[c.node as usize].first as usize];
        let over = lid(edge, &solid.piece, middle, half);
        Plane { value: over.value - solid.clearance, gradient: over.gradient }
    }

    /// The counting contact that may be lowest at `at` (from the middle), of those not yet taken, and how low.
    fn lowest(&self, short: &Short, at: Vec2, taken: &[usize]) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        for (i, c) in short.contacts.iter().enumerate() {
            let low = self.low_at(c, short.middle, at);
            if best.is_none_or(|b| low < b.1) && c.counts && !taken.contains(&i) {
                best = Some((i, low));
            }
        }
        best
    }

    /// The contact that may have the least to spare at `at` over what is asked.
    fn scarcest(&self, short: &Short, at: Vec2, taken: &[usize], at_least: f64) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        for (i, c) in short.contacts.iter().enumerate() {
            let spare = self.low_at(c, short.middle, at) - self.asked(c.solid, at_least);
            if best.is_none_or(|b| spare < b.1) && !taken.contains(&i) {
                best = Some((i, spare));
            }
        }
        best
    }
}
