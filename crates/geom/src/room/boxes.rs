//! Boxes of movements waiting to be looked at, and what each inherits from the box it was cut from.

use super::Room;
use crate::maximin::{Border, farthest};
use crate::point::Vec2;
use crate::tolerance::{FLOOR_MM, NOISE_MM};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::rc::Rc;

/// Farthest movement that is looked at, mm: a kilometre. Borders are expected to close a far smaller area.
const FARTHEST_MM: f64 = 1e6;

/// Paint edges against one piece of one wall: a single edge that was measured, or a node of the tree not yet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contact {
    pub(super) node: u32,
    pub(super) solid: u32,
    /// Of a measured edge: its net clearance where the list's middle is, or, if it was measured in an earlier
    /// box, one it cannot be under there.
    pub(super) value: f64,
    /// Of a measured edge: how its clearance rises with the movement.
    pub(super) slope: Vec2,
    pub(super) state: State,
    /// True if the clearance of its wall is to be made as great as possible.
    pub(super) counts: bool,
    /// Cuts made before the box in which it was measured.
    pub(super) cuts: u16,
}

/// What is known of a contact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    /// Nothing but the boxes round its edges.
    Unmeasured,
    /// The plane through its value lies below its clearance.
    Straight,
    /// Its clearance falls no faster than it moves.
    Bent,
}

impl Contact {
    pub(super) fn unmeasured(node: u32, solid: u32, counts: bool) -> Contact {
        let value = f64::NEG_INFINITY;
        Contact { node, solid, value, slope: Vec2::ZERO, state: State::Unmeasured, counts, cuts: 0 }
    }

    /// A net clearance a measured contact cannot be under at `shift` from the list's middle.
    pub(super) fn low_at(&self, shift: Vec2) -> f64 {
        match self.state {
            State::Unmeasured => f64::NEG_INFINITY,
            State::Straight => self.value + self.slope.dot(shift),
            State::Bent => self.value - shift.hypot2().sqrt(),
        }
    }

    /// A net clearance a measured contact is nowhere under in a box round the list's middle; `reach` is half
    /// the box's diagonal.
    pub(super) fn low_over(&self, half: Vec2, reach: f64) -> f64 {
        match self.state {
            State::Unmeasured => f64::NEG_INFINITY,
            State::Straight => self.value - self.slope.x.abs() * half.x - self.slope.y.abs() * half.y,
            State::Bent => self.value - reach,
        }
    }
}

/// Contacts and walls that can still matter in a box.
#[derive(Clone, Debug)]
pub(super) struct Short {
    /// Where the contacts' values are taken.
    pub(super) middle: Vec2,
    /// Cuts made before the box it belongs to.
    pub(super) cuts: u16,
    pub(super) contacts: Vec<Contact>,
    /// Walls that must not be covered and whose side of the outline may still change in the box.
    pub(super) uncovered: Vec<u32>,
}

/// A box of movements that was not looked at yet.
#[derive(Clone, Debug)]
pub(super) struct OpenBox {
    /// The most that can be hoped for in it.
    pub(super) hope: f64,
    pub(super) order: usize,
    pub(super) middle: Vec2,
    pub(super) half: Vec2,
    /// Cuts made before it.
    pub(super) cuts: u16,
    pub(super) short: Rc<Short>,
}

impl PartialEq for OpenBox {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for OpenBox {}
impl PartialOrd for OpenBox {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for OpenBox {
    /// The greatest hope first; of equal ones the older, so that a search never depends on chance.
    fn cmp(&self, other: &Self) -> Ordering {
        self.hope.total_cmp(&other.hope).then(other.order.cmp(&self.order))
    }
}

/// From which size on lids close boxes. Large boxes with long lists are hardly ever closed: of those of one size
/// only the first, second, fourth, eighth ... is tried, until one of that size or a larger one was closed.
#[derive(Debug, Default)]
pub(super) struct Tries {
    /// Boxes seen of each size, by the cuts that lead to it.
    seen: Vec<u32>,
    /// Fewest cuts after which a box was closed.
    closed: Option<usize>,
}

impl Tries {
    /// True if lids are worth their time in a box after so many cuts that inherits so many contacts.
    pub(super) fn worthwhile(&mut self, cuts: u16, contacts: usize) -> bool {
        let cuts = usize::from(cuts);
        if contacts <= FEW || self.closed.is_some_and(|least| least <= cuts) {
            return true;
        }
        if self.seen.len() <= cuts {
            self.seen.resize(cuts + 1, 0);
        }
        self.seen[cuts] += 1;
        self.seen[cuts].is_power_of_two()
    }

    /// Tells that a box was closed.
    pub(super) fn closed(&mut self, cuts: u16) {
        let cuts = usize::from(cuts);
        self.closed = Some(self.closed.map_or(cuts, |least| least.min(cuts)));
    }
}

/// Contacts so few that lids over them cost little.
const FEW: usize = 24;

/// The boxes that wait, the most hopeful first.
#[derive(Debug, Default)]
pub(super) struct Queue {
    heap: BinaryHeap<OpenBox>,
    order: usize,
}

impl Queue {
    pub(super) fn pop(&mut self) -> Option<OpenBox> {
        self.heap.pop()
    }

    pub(super) fn push(&mut self, mut open: OpenBox) {
        self.order += 1;
        open.order = self.order;
        self.heap.push(open);
    }

    /// Cuts a box in two across its longer side.
    pub(super) fn push_halves(
        &mut self,
        middle: Vec2,
        half: Vec2,
        hope: impl Fn(Vec2, Vec2) -> f64,
        short: Short,
    ) {
        let (half, step) = if half.x >= half.y {
            (Vec2::new(half.x / 2.0, half.y), Vec2::new(half.x / 2.0, 0.0))
        } else {
            (Vec2::new(half.x, half.y / 2.0), Vec2::new(0.0, half.y / 2.0))
        };
        let cuts = short.cuts + 1;
        let short = Rc::new(short);
        for middle in [middle - step, middle + step] {
            let hope = hope(middle, half);
            self.push(OpenBox { hope, order: 0, middle, half, cuts, short: Rc::clone(&short) });
        }
    }

    /// What is left, in no order that means anything but always the same.
    pub(super) fn into_rest(self) -> Vec<OpenBox> {
        self.heap.into_sorted_vec()
    }
}

impl Room {
    /// The box round all movements inside the borders; `None` if there are none.
    pub(super) fn whole(&self, hope: f64) -> Option<OpenBox> {
        let loose: Vec<Border> =
            self.borders.iter().map(|b| Border { limit: b.limit + FLOOR_MM, ..*b }).collect();
        let mut lo = Vec2::new(f64::INFINITY, f64::INFINITY);
        let mut hi = -lo;
        let reach = Vec2::new(FARTHEST_MM, FARTHEST_MM);
        for way in [Vec2::new(1.0, 0.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(0.0, -1.0)] {
            let end = farthest(way, reach, &loose)?;
            (lo.x, lo.y) = (lo.x.min(end.x), lo.y.min(end.y));
            (hi.x, hi.y) = (hi.x.max(end.x), hi.y.max(end.y));
        }
        let half = (hi - lo) / 2.0;
        // A box without width still has its rounding noise.
        let half = Vec2::new(half.x.max(NOISE_MM), half.y.max(NOISE_MM));
        let middle = (lo + hi) / 2.0;
        Some(OpenBox { hope, order: 0, middle, half, cuts: 0, short: Rc::new(self.everything()) })
    }

    /// The borders that cut a box, seen from its middle; `None` if the box lies wholly beyond one.
    pub(super) fn borders_across(&self, middle: Vec2, half: Vec2) -> Option<Vec<Border>> {
        let mut across = Vec::new();
        for b in &self.borders {
            let limit = b.limit + FLOOR_MM - b.normal.dot(middle);
            let reach = b.normal.x.abs() * half.x + b.normal.y.abs() * half.y;
            if limit < -reach - NOISE_MM {
                return None;
            }
            if limit < reach {
                across.push(Border { normal: b.normal, limit });
            }
        }
        Some(across)
    }
}
