//! Which contacts matter in a box. A list only shrinks from a box to those cut from it. Edges are measured one by
//! one where the box round them cannot tell, and again only when the box has become much smaller than it was.

use super::Room;
use super::boxes::{Contact, OpenBox, Short, State};
use super::look::MOST_LIDS;
use super::tree::Bulk;
use crate::point::{Point, Vec2};
use crate::tolerance::{FLOOR_MM, TIE_MM};

/// Contacts are kept a little beyond what the tightest one rules out, so that a wall left without contacts is
/// one that no edge touches even in a box whose clearance is a tie under zero.
const SLACK_MM: f64 = 2.0 * (TIE_MM + FLOOR_MM);

/// Cuts after which a far contact is measured again: a plane taken as many boxes ago is still a bound, but a
/// loose one. Measured: 2 take a tenth more work, 8 gain nothing.
const STALE_CUTS: u16 = 4;

/// A contact within so many half diagonals of the tightest is near: it is measured in every box.
const NEAR: f64 = 0.5;

/// A node larger than so many half diagonals of a box is looked into, so that its parts can be told apart.
/// Measured: at 1 the letters of a font take a quarter longer, at 3 block letters do a little.
const COARSE: f64 = 2.0;

/// What is asked of the walls that count.
#[derive(Clone, Copy)]
pub(super) enum Want {
    /// More clearance than this.
    More(f64),
    /// At least this much clearance.
    AtLeast(f64),
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
    /// The contacts a box inherited that can matter in it; `None` if no place in the box can serve. Only a few are
    /// measured where no `lids` are going to be put on the box.
    pub(super) fn shortlist(&self, open: &OpenBox, want: Want, lids: bool) -> Option<Short> {
        let (m, half, reach) = (open.middle, open.half, open.half.hypot());
        let shift = m - open.short.middle;
        let mut contacts: Vec<Contact> = Vec::with_capacity(open.short.contacts.len());
        // Above this all over the box, a contact is never what decides.
        let mut most = match want {
            Want::More(_) => open.hope + SLACK_MM,
            Want::AtLeast(x) => x - FLOOR_MM,
        };
        // Under this at its middle, a contact leaves no place in the box.
        let least = match want {
            Want::More(best) => best - reach,
            Want::AtLeast(x) => x - FLOOR_MM - reach,
        };
        // A contact under this at its middle is one that may decide.
        let mut near = match want {
            Want::More(_) => f64::INFINITY,
            Want::AtLeast(_) if !lids => f64::NEG_INFINITY,
            Want::AtLeast(x) => x + NEAR * reach,
        };
        let mut tightest = f64::INFINITY;
        let mut nodes: Vec<u32> = Vec::new();
        for (i, inherited) in open.short.contacts.iter().enumerate() {
            let mut c = *inherited;
            if c.state != State::Unmeasured {
                c.value = c.low_at(shift);
                if c.low_over(half, reach) > if c.counts { most } else { -FLOOR_MM } {
                    continue;
                }
                let stale = if c.state == State::Bent { 1 } else { STALE_CUTS };
                let needless = c.value > near && (!lids || open.cuts - c.cuts < stale);
                if needless && i >= MOST_LIDS && c.counts {
                    contacts.push(c);
                    continue;
                }
            }
            let bulk = &self.bulks[c.solid as usize];
            nodes.push(c.node);
            while let Some(at) = nodes.pop() {
                let node = &self.nodes[at as usize];
                let most_here = if c.counts { most } else { -FLOOR_MM };
                if c.state == State::Unmeasured && node.above(bulk, m, half, most_here) {
                    continue;
                }
                if node.parts > 0 && node.size > COARSE * reach {
                    nodes.extend(node.first..node.first + node.parts);
                    continue;
                }
                let lazy = !lids || (node.parts == 0 && !self.edges[node.first as usize].is_straight());
                let far =
                    lazy && c.state == State::Unmeasured && c.counts && node.above(bulk, m, Vec2::ZERO, near);
                if node.parts > 0 || (far && !contacts.is_empty()) {
                    contacts.push(Contact::unmeasured(at, c.solid, c.counts));
                    continue;
                }
                let measured = self.measured(at, c.solid, m, open.cuts);
                if measured.value < if c.counts { least } else { -FLOOR_MM - reach } {
                    return None;
                }
                if measured.low_over(half, reach) > most_here {
                    continue;
                }
                contacts.push(measured);
                if c.counts && measured.value < tightest {
                    // The tightest first, so that the next box knows early what does not matter.
                    tightest = measured.value;
                    let last = contacts.len() - 1;
                    contacts.swap(0, last);
                    if let Want::More(_) = want {
                        most = most.min(tightest + reach + SLACK_MM);
                        near = tightest + NEAR * reach;
                    }
                }
            }
        }
        let mut short = Short { middle: m, cuts: open.cuts, contacts, uncovered: Vec::new() };
        if !lids && let Want::More(_) = want {
            self.drop_above(&mut short, half, tightest + reach);
        }
        // A point of a wall that no edge can pass over in this box is covered all over it or nowhere in it.
        for &w in &open.short.uncovered {
            let Some(p) = self.walls[w as usize].uncovered else { continue };
            if self.edge_within(p - m, reach) {
                short.uncovered.push(w);
            } else if self.covered(w, m) {
                return None;
            }
        }
        Some(short)
    }

    /// Drops the counting contacts that are above `most` all over a box round the list's middle.
    pub(super) fn drop_above(&self, short: &mut Short, half: Vec2, most: f64) {
        let (m, reach) = (short.middle, half.hypot());
        let most = most + SLACK_MM;
        short.contacts.retain(|c| {
            let above = match c.state {
                State::Unmeasured => {
                    self.nodes[c.node as usize].above(&self.bulks[c.solid as usize], m, half, most)
                }
                _ => c.low_over(half, reach) > most,
            };
            !c.counts || !above
        });
    }

    /// The contacts that closed the box this one was cut from, measured at its own middle: they mostly close it
    /// too, for a fraction of the work. `None` if the list is short anyway.
    pub(super) fn front(&self, open: &OpenBox) -> Option<Short> {
        (open.short.contacts.len() > 2 * MOST_LIDS).then(|| {
            let contacts = open.short.contacts[..MOST_LIDS]
                .iter()
                .filter(|c| c.state != State::Unmeasured)
                .map(|c| self.measured(c.node, c.solid, open.middle, open.cuts))
                .collect();
            Short { middle: open.middle, cuts: open.cuts, contacts, uncovered: Vec::new() }
        })
    }

    /// Learns more of a contact of a list: measures an edge of it where the list's middle is and leaves the rest of
    /// a node in smaller parts. False if nothing more is to be learned.
    pub(super) fn refine(&self, short: &mut Short, i: usize) -> bool {
        let c = short.contacts[i];
        if c.state != State::Unmeasured && c.cuts == short.cuts {
            return false;
        }
        // Down to a single edge, along the parts that may be tightest.
        let bulk = &self.bulks[c.solid as usize];
        let mut at = c.node;
        loop {
            let node = &self.nodes[at as usize];
            let low = |n: &u32| self.nodes[*n as usize].low(bulk, short.middle, Vec2::ZERO);
            let parts = node.first..node.first + node.parts;
            let Some(next) = parts.clone().min_by(|a, b| low(a).total_cmp(&low(b))) else { break };
            short
                .contacts
                .extend(parts.filter(|n| *n != next).map(|n| Contact::unmeasured(n, c.solid, c.counts)));
            at = next;
        }
        short.contacts[i] = self.measured(at, c.solid, short.middle, short.cuts);
        true
    }

    /// A net clearance the contact is not under at `at` from the list's middle.
    pub(super) fn low_at(&self, c: &Contact, middle: Vec2, at: Vec2) -> f64 {
        match c.state {
            State::Unmeasured => {
                self.nodes[c.node as usize].low(&self.bulks[c.solid as usize], middle + at, Vec2::ZERO)
            }
            _ => c.low_at(at),
        }
    }

    /// The edges of a node whose clearance may be under `most` somewhere in a box. `visit` sees each and says
    /// what counts as little from then on; so does the answer.
    pub(super) fn edges_under(
        &self,
        node: u32,
        bulk: &Bulk,
        m: Vec2,
        half: Vec2,
        most: f64,
        visit: &mut impl FnMut(u32) -> f64,
    ) -> f64 {
        let node = &self.nodes[node as usize];
        if node.above(bulk, m, half, most) {
            return most;
        }
        if node.parts == 0 {
            return visit(node.first);
        }
        let parts = (node.first..node.first + node.parts).rev();
        parts.fold(most, |most, part| self.edges_under(part, bulk, m, half, most, visit))
    }

    /// The single edge of a node against a solid, measured.
    fn measured(&self, node: u32, solid: u32, m: Vec2, cuts: u16) -> Contact {
        let edge = self.nodes[node as usize].first;
        let (value, slope) = self.net(edge, solid, m);
        let state = if self.edges[edge as usize].is_straight() { State::Straight } else { State::Bent };
        let counts = self.bulks[solid as usize].counts;
        Contact { node, solid, value, slope, state, counts, cuts }
    }

    /// True if an edge passes within `reach` of `p` (the mark not moved).
    fn edge_within(&self, p: Point, reach: f64) -> bool {
        let mut open = vec![0];
        while let Some(at) = open.pop() {
            let Some(node) = self.nodes.get(at as usize) else { continue };
            if node.beyond(p, reach) {
                continue;
            }
            if node.parts > 0 {
                open.extend(node.first..node.first + node.parts);
            } else if self.edges[node.first as usize].distance(p) <= reach {
                return true;
            }
        }
        false
    }
}
