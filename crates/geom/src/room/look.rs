//! What can be said of a whole box at once: which contacts matter in it, how high the clearance in it can be,
//! how near to the aim a place in it can be.

use super::Room;
use super::boxes::{Contact, OpenBox, Short};
use crate::contact::lid;
use crate::maximin::{Approach, Border, Ceiling, Plane};
use crate::point::Vec2;
use crate::tolerance::{FLOOR_MM, NOISE_MM, TIE_MM};

/// Most lids put on one box. Measured: four closed boxes in less time than six or ten, though in more boxes.
const MOST_LIDS: usize = 4;

/// Contacts are kept a little beyond what the tightest one rules out, so that a wall left without contacts is
/// one that no edge touches even in a box whose clearance is a tie under zero.
const SLACK_MM: f64 = 2.0 * (TIE_MM + FLOOR_MM);

/// What is asked of the walls that count.
#[derive(Clone, Copy)]
pub(super) enum Want {
    /// More clearance than this.
    More(f64),
    /// At least this much clearance.
    AtLeast(f64),
}

/// What the lids of a box say.
pub(super) struct Ceilinged {
    /// No place in the box has more clearance.
    pub(super) highest: f64,
    /// Where to look, from the box's middle.
    pub(super) at: Vec2,
    /// Places in the list of the contacts that say so.
    pub(super) lids: Vec<usize>,
}

impl Short {
    /// Brings contacts to the front of the list.
    pub(super) fn bring_forward(&mut self, mut lids: Vec<usize>) {
        lids.sort_unstable();
        for (to, from) in lids.into_iter().enumerate() {
            self.contacts.swap(to, from);
        }
    }
}

impl Room {
    /// Measures the contacts a box inherited at its middle and keeps those that can matter in it; `None` if no
    /// place in the box can serve.
    pub(super) fn shortlist(&self, open: &OpenBox, want: Want) -> Option<Short> {
        let m = open.middle;
        let reach = open.half.hypot();
        let shift = m - open.short.middle;
        let mut contacts: Vec<Contact> = Vec::with_capacity(open.short.contacts.len());
        let mut tightest = f64::INFINITY;
        for c in &open.short.contacts {
            let counts = self.solids[c.solid as usize].counts;
            // Above this all over the box, the contact is never what decides.
            let most = match want {
                Want::More(_) if counts => (tightest + reach).min(open.hope) + SLACK_MM,
                Want::AtLeast(x) if counts => x - FLOOR_MM,
                _ => -FLOOR_MM,
            };
            if self.low_over(c, shift, open.half) > most {
                continue;
            }
            let (value, slope) = self.net(c.edge, c.solid, m);
            let least = match want {
                Want::More(best) if counts => best - reach,
                Want::AtLeast(x) if counts => x - FLOOR_MM - reach,
                _ => -FLOOR_MM - reach,
            };
            if value < least {
                return None;
            }
            let measured = Contact { value, slope, ..*c };
            if self.low_over(&measured, Vec2::ZERO, open.half) <= most {
                contacts.push(measured);
                if counts && value < tightest {
                    // The tightest first, so that the next box knows early what does not matter.
                    tightest = value;
                    let last = contacts.len() - 1;
                    contacts.swap(0, last);
                }
            }
        }
        if let Want::More(_) = want {
            self.drop_above(&mut contacts, open.half, tightest + reach);
        }
        // A point of a wall that no edge can pass over in this box is covered all over it or nowhere in it.
        let mut uncovered = Vec::new();
        for &w in &open.short.uncovered {
            let touches = self.walls[w as usize].uncovered.is_some_and(|p| {
                contacts.iter().any(|c| {
                    let solid = &self.solids[c.solid as usize];
                    solid.wall == w
                        && c.value + solid.clearance <= reach
                        && self.edges[c.edge as usize].distance(p - m) <= reach
                })
            });
            if touches {
                uncovered.push(w);
            } else if self.covered(w, m) {
                return None;
            }
        }
        Some(Short { middle: m, contacts, uncovered })
    }

    /// Drops the counting contacts that are above `most` all over a box round where they were measured.
    pub(super) fn drop_above(&self, contacts: &mut Vec<Contact>, half: Vec2, most: f64) {
        contacts.retain(|c| {
            !self.solids[c.solid as usize].counts || self.low_over(c, Vec2::ZERO, half) <= most + SLACK_MM
        });
    }

    /// A net clearance the contact is nowhere under in a box whose middle lies at `shift` from where the
    /// contact was measured.
    fn low_over(&self, c: &Contact, shift: Vec2, half: Vec2) -> f64 {
        if self.edges[c.edge as usize].is_straight() {
            c.value + c.slope.dot(shift) - c.slope.x.abs() * half.x - c.slope.y.abs() * half.y
        } else {
            c.value - shift.hypot() - half.hypot()
        }
    }

    /// How high the clearance over the walls that count can be in a box, and where to look for it; `None` if
    /// the other walls leave no place. Stops early once nothing above `enough` is left.
    pub(super) fn highest(
        &self,
        half: Vec2,
        borders: &[Border],
        short: &Short,
        enough: f64,
    ) -> Option<Ceilinged> {
        let mut around = borders.to_vec();
        around.extend(self.only_kept(half, short));
        let mut ceiling = Ceiling::over(half, &around)?;
        let mut lids: Vec<usize> = Vec::with_capacity(MOST_LIDS);
        while lids.len() < MOST_LIDS {
            let at = ceiling.at();
            let counted = |c: &Contact| self.solids[c.solid as usize].counts;
            let Some((i, low)) = lowest(short, at, &lids, counted) else { break };
            if low >= ceiling.height() - NOISE_MM {
                break;
            }
            lids.push(i);
            ceiling.lower(self.lid(&short.contacts[i], short.middle, half));
            if ceiling.height() <= enough {
                break;
            }
        }
        Some(Ceilinged { highest: ceiling.height(), at: ceiling.at(), lids })
    }

    /// The contacts that closed the box this one was cut from, measured at its own middle: they mostly close it
    /// too, for a fraction of the work. `None` if the list is short anyway.
    pub(super) fn front(&self, open: &OpenBox) -> Option<Short> {
        (open.short.contacts.len() > 2 * MOST_LIDS).then(|| {
            let contacts = open.short.contacts[..MOST_LIDS]
                .iter()
                .map(|c| {
                    let (value, slope) = self.net(c.edge, c.solid, open.middle);
                    Contact { value, slope, ..*c }
                })
                .collect();
            Short { middle: open.middle, contacts, uncovered: Vec::new() }
        })
    }

    /// Borders that stand for the walls which only have to be kept.
    fn only_kept(&self, half: Vec2, short: &Short) -> Vec<Border> {
        let mut tight: Vec<&Contact> =
            short.contacts.iter().filter(|c| !self.solids[c.solid as usize].counts).collect();
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
        short: &Short,
        at_least: f64,
    ) -> Option<(Vec2, Vec<usize>)> {
        let mut approach = Approach::to(aim, half);
        if !borders.iter().all(|b| approach.narrow(*b)) {
            return None;
        }
        let mut lids: Vec<usize> = Vec::with_capacity(MOST_LIDS);
        while lids.len() < MOST_LIDS {
            let asked = |c: &Contact| self.asked(c, at_least);
            let Some((i, spare)) = scarcest(short, approach.at(), &lids, asked) else { break };
            if spare >= 0.0 {
                break;
            }
            lids.push(i);
            let c = &short.contacts[i];
            let lid = self.lid(c, short.middle, half);
            if !approach.narrow(Border { normal: -lid.gradient, limit: lid.value - asked(c) }) {
                return None;
            }
        }
        Some((approach.at(), lids))
    }

    /// The least net clearance that serves at a contact.
    pub(super) fn asked(&self, c: &Contact, at_least: f64) -> f64 {
        if self.solids[c.solid as usize].counts { at_least - FLOOR_MM } else { -FLOOR_MM }
    }

    fn lid(&self, c: &Contact, middle: Vec2, half: Vec2) -> Plane {
        let solid = &self.solids[c.solid as usize];
        let edge = &self.edges[c.edge as usize];
        let over = lid(edge, &solid.piece, middle, half);
        Plane { value: over.value - solid.clearance, gradient: over.gradient }
    }
}

/// The contact whose plane is lowest at `at` (from the middle), of those not yet taken.
fn lowest(
    short: &Short,
    at: Vec2,
    taken: &[usize],
    counts: impl Fn(&Contact) -> bool,
) -> Option<(usize, f64)> {
    let mut best: Option<(usize, f64)> = None;
    for (i, c) in short.contacts.iter().enumerate() {
        let low = c.value + c.slope.dot(at);
        if best.is_none_or(|b| low < b.1) && counts(c) && !taken.contains(&i) {
            best = Some((i, low));
        }
    }
    best
}

/// The contact with the least to spare over what is asked.
fn scarcest(
    short: &Short,
    at: Vec2,
    taken: &[usize],
    asked: impl Fn(&Contact) -> f64,
) -> Option<(usize, f64)> {
    let mut best: Option<(usize, f64)> = None;
    for (i, c) in short.contacts.iter().enumerate() {
        let spare = c.value + c.slope.dot(at) - asked(c);
        if best.is_none_or(|b| spare < b.1) && !taken.contains(&i) {
            best = Some((i, spare));
        }
    }
    best
}
