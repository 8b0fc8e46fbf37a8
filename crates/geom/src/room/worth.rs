//! What a single movement is worth: its clearance, whether every wall is kept, nothing covered, no edge hidden.

use super::Room;
use super::boxes::{Contact, Short, State};
use crate::contact::{PaintEdge, clearance};
use crate::measure::edge_to_region;
use crate::point::{Point, Vec2};
use crate::ring::Edge;
use crate::tolerance::{FLOOR_MM, KEPT_MM};
use crate::winding::winding;

impl Room {
    /// Clearance over the walls that count, and whether all others are kept, nothing is covered and no edge
    /// hides along a cut.
    pub(super) fn worth(&self, t: Vec2, short: &Short) -> (f64, bool) {
        let shift = t - short.middle;
        let mut counted = f64::INFINITY;
        let mut kept = true;
        for c in &short.contacts {
            let counts = c.counts;
            // A contact that cannot be the least, or cannot be broken, need not be measured.
            self.under(c, t, shift, if counts { counted } else { 0.0 }, |net| {
                if counts {
                    counted = counted.min(net);
                    counted
                } else {
                    kept = kept && net >= -FLOOR_MM;
                    0.0
                }
            });
            if !kept {
                return (counted, false);
            }
        }
        (counted, self.is_true_at(t, short))
    }

    /// True if every wall keeps what is asked at movement `t`.
    pub(super) fn serves(&self, t: Vec2, short: &Short, at_least: f64) -> bool {
        let shift = t - short.middle;
        short.contacts.iter().all(|c| {
            let asked = self.asked(c.solid, at_least);
            let mut kept = true;
            self.under(c, t, shift, asked, |net| {
                kept = kept && net >= asked;
                if kept { asked } else { f64::NEG_INFINITY }
            });
            kept
        }) && self.is_true_at(t, short)
    }

    /// Measures what of a contact may be under `most` at movement `t`; `visit` sees each net clearance and says
    /// what counts as little from then on.
    fn under(&self, c: &Contact, t: Vec2, shift: Vec2, most: f64, mut visit: impl FnMut(f64) -> f64) {
        if c.state == State::Unmeasured {
            let bulk = &self.bulks[c.solid as usize];
            self.edges_under(c.node, bulk, t, Vec2::ZERO, most, &mut |edge| {
                visit(self.net(edge, c.solid, t).0)
            });
        } else if c.low_at(shift) < most {
            visit(self.net(self.nodes[c.node as usize].first, c.solid, t).0);
        }
    }

    /// What the pieces' clearances cannot tell: that no wall is covered, and that no edge lies inside a wall
    /// along a cut between its pieces.
    fn is_true_at(&self, t: Vec2, short: &Short) -> bool {
        let shift = t - short.middle;
        !short.uncovered.iter().any(|w| self.covered(*w, t))
            && !short.contacts.iter().any(|c| self.hides(c, t, shift))
    }

    /// True if the wall is covered by paint at movement `t`, if no edge passes over it there.
    pub(super) fn covered(&self, wall: u32, t: Vec2) -> bool {
        let Some(p) = self.walls[wall as usize].uncovered else { return false };
        let p = p - t;
        let holds = |around: &(Point, Point)| {
            let (lo, hi) = *around;
            lo.x <= p.x && p.x <= hi.x && lo.y <= p.y && p.y <= hi.y
        };
        let around = |ring: usize| {
            if self.around[ring].as_ref().is_some_and(holds) {
                winding(std::slice::from_ref(&self.shape[ring]), p)
            } else {
                0
            }
        };
        (0..self.shape.len()).map(around).sum::<i32>() != 0
    }

    fn hides(&self, c: &Contact, t: Vec2, shift: Vec2) -> bool {
        let solid = &self.solids[c.solid as usize];
        let Some(region) = &self.walls[solid.wall as usize].cut else { return false };
        if c.state != State::Unmeasured && c.low_at(shift) + solid.clearance > FLOOR_MM {
            return false;
        }
        let mut hides = false;
        let most = 2.0 * FLOOR_MM - solid.clearance;
        self.edges_under(c.node, &self.bulks[c.solid as usize], t, Vec2::ZERO, most, &mut |edge| {
            let edge = &self.edges[edge as usize];
            hides = hides
                || (clearance(edge, &solid.piece, t).0 <= FLOOR_MM
                    && edge_to_region(&moved(edge, t), region) < -KEPT_MM);
            if hides { f64::NEG_INFINITY } else { most }
        });
        hides
    }
}

fn moved(edge: &PaintEdge, t: Vec2) -> Edge {
    match edge.edge() {
        Edge::Line { a, b } => Edge::Line { a: a + t, b: b + t },
        Edge::Arc { a, b, centre, radius, turn } => {
            Edge::Arc { a: a + t, b: b + t, centre: centre + t, radius, turn }
        }
    }
}
