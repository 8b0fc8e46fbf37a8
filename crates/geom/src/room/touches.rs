//! What holds the mark where it is: which walls it is nearest to there, and from where to where that is measured.

use super::Room;
use crate::contact::touch;
use crate::point::{Point, Vec2};
use crate::tolerance::GRID_MM;

/// The nearest points of the mark's edges and a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch {
    /// The wall's place among those the room was made from.
    pub wall: usize,
    /// The point of the moved mark's edge that is nearest to the wall or deepest in it.
    pub at_mark: Point,
    /// The point of the wall's rim that it is measured to; the clearance asked is not part of the wall.
    pub at_wall: Point,
    /// Their signed distance less the clearance asked, mm.
    pub net: f64,
}

impl Room {
    /// For each wall the nearest contact at movement `t`, and every other contact within `within` mm of the least;
    /// the tightest first. Where two edges meet, their common corner is told once.
    ///
    /// Only edges are measured: a wall covered whole by paint tells how far the paint's edges are from it.
    pub fn contacts_at(&self, t: Vec2, within: f64) -> Vec<Touch> {
        let mut all: Vec<Touch> = Vec::new();
        let mut nearest = vec![f64::INFINITY; self.walls.len()];
        let mut least = f64::INFINITY;
        if !self.nodes.is_empty() {
            for (solid, bulk) in self.solids.iter().zip(&self.bulks) {
                let wall = solid.wall as usize;
                // Above both the wall's nearest and what is as tight as the least, an edge is not told.
                let most = nearest[wall].max(least + within);
                self.edges_under(0, bulk, t, Vec2::ZERO, most, &mut |edge| {
                    let (at_mark, at_wall, d) = touch(&self.edges[edge as usize], &solid.piece, t);
                    let net = d - solid.clearance;
                    nearest[wall] = nearest[wall].min(net);
                    least = least.min(net);
                    all.push(Touch { wall, at_mark, at_wall, net });
                    nearest[wall].max(least + within)
                });
            }
        }
        all.sort_by(|a, b| a.net.total_cmp(&b.net).then(a.wall.cmp(&b.wall)));
        let mut told: Vec<Touch> = Vec::new();
        for touch in all {
            let same = |o: &Touch| {
                o.wall == touch.wall
                    && o.at_mark.distance(touch.at_mark) <= GRID_MM
                    && o.at_wall.distance(touch.at_wall) <= GRID_MM
            };
            let tight = touch.net <= least + within || touch.net <= nearest[touch.wall];
            if tight && !told.iter().any(same) {
                told.push(touch);
            }
        }
        told
    }
}
