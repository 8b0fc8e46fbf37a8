//! Where a shape can go among walls: the nearest place to an aim, the place with the greatest clearance, or
//! the proof that there is none.
//!
//! The shape is only moved, never turned. Boxes of movements are cut in two until each is settled; over a
//! box every contact of a paint edge and a wall lies under a tilted plane (`contact::lid`), and the highest
//! point under those planes (`maximin`) tells at once how clear any place in the box can be and where to look.
//! No grid decides an answer: what comes back was proved to `SETTLED_MM`, or says that it was not.

use crate::contact::{Piece, clearance, lid};
use crate::maximin::{Border, Plane, highest_under, nearest_inside};
use crate::point::{Point, Vec2};
use crate::ring::{Edge, Ring};
use crate::tolerance::{FLOOR_MM, NOISE_MM, SETTLED_MM, TIE_MM};
use crate::winding::contains;
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::rc::Rc;

/// Most boxes one search opens; a panel with 300 features needs a few thousand. A search that reaches it
/// gives its best place with `proved` false.
pub const MOST_BOXES: usize = 400_000;

/// Lids tried in one box: those of the tightest contacts. More would close no box sooner in what was tried.
const MOST_LIDS: usize = 8;

/// Places nearer together than this, mm, are one place when equally good ones are told apart.
const ONE_PLACE_MM: f64 = 2.0;

/// Boxes smaller than this, mm, are not searched for a second place as good as the first.
const SMALLEST_MM: f64 = 0.002;

/// Something the shape must keep clear of.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// Convex pieces that together are the wall.
    pub pieces: Vec<Piece>,
    /// Least distance kept, mm.
    pub clearance: f64,
    /// A point of the wall if the painted area itself must stay off it; `None` if it may lie wholly inside
    /// the paint or in a counter.
    pub uncovered: Option<Point>,
    /// True if its clearance is to be made as great as possible; false if it only has to be kept.
    pub counts: bool,
}

/// A shape, the walls round it, and the borders of the movements that are allowed.
#[derive(Clone, Debug)]
pub struct Room {
    shape: Vec<Ring>,
    edges: Vec<Edge>,
    walls: Vec<Wall>,
    /// Straight borders of the movement: normal . t <= limit.
    borders: Vec<Border>,
}

/// A movement that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The movement.
    pub t: Vec2,
    /// Least net clearance over the walls that count, mm; infinite if none counts.
    pub clearance: f64,
    /// What was proved: no place is nearer to the aim than this (nearest), or no place has more clearance
    /// than this (roomiest), mm.
    pub bound: f64,
    /// True if the proof is complete.
    pub proved: bool,
    /// Boxes opened.
    pub boxes: usize,
}

/// One paint edge against one piece of one wall.
#[derive(Clone, Copy, Debug)]
struct Contact {
    edge: u32,
    wall: u32,
    piece: u32,
}

/// What a box inherits from the box it was cut from: contacts and walls that can still matter in it.
#[derive(Clone, Debug)]
struct Short {
    contacts: Rc<Vec<Contact>>,
    uncovered: Rc<Vec<u32>>,
}

struct OpenBox {
    key: f64,
    order: usize,
    middle: Vec2,
    half: Vec2,
    short: Short,
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
    /// The greatest key first; of equal ones the older, so that a search never depends on chance.
    fn cmp(&self, other: &Self) -> Ordering {
        self.key.total_cmp(&other.key).then(other.order.cmp(&self.order))
    }
}

/// What is asked of the walls that count.
#[derive(Clone, Copy)]
enum Want {
    /// As much clearance as possible, more than this.
    More(f64),
    /// At least this much clearance.
    AtLeast(f64),
}

/// A box looked at and not given up.
struct Seen {
    /// No place in the box has more: clearance (`More`), or clearance beyond what is asked (`AtLeast`).
    highest: f64,
    /// Where, from the box's middle.
    at: Vec2,
    /// Borders of the movement that cut the box, from its middle.
    borders: Vec<Border>,
    short: Short,
}

impl Room {
    /// A room. `borders` must close a bounded area of movements.
    pub fn new(shape: Vec<Ring>, walls: Vec<Wall>, borders: Vec<Border>) -> Room {
        let edges = shape.iter().flat_map(Ring::edges).filter(|e| e.length() > NOISE_MM).collect();
        Room { shape, edges, walls, borders }
    }

    /// Net clearance at movement t: the least over the walls that count (infinite without), and whether every
    /// wall and border is kept to `FLOOR_MM`.
    pub fn clearance_at(&self, t: Vec2) -> (f64, bool) {
        let all = self.everything();
        let inside = self.borders.iter().all(|b| b.normal.dot(t) <= b.limit + FLOOR_MM);
        let (counted, kept) = self.evaluate(t, &all);
        (counted, inside && kept && counted >= -FLOOR_MM)
    }

    /// The movement nearest to `aim` at which every wall keeps its clearance and those that count keep
    /// `at_least` more; of equally near ones the one with the least `ties . t`. `None`: proved that there is
    /// none, unless the count of boxes says otherwise (`Err`).
    ///
    /// # Errors
    /// The number of boxes, if the search was given up before anything was found.
    pub fn nearest(&self, aim: Vec2, at_least: f64, ties: [Vec2; 2]) -> Result<Option<Place>, usize> {
        let want = Want::AtLeast(at_least);
        let mut found: Vec<(f64, Vec2)> = Vec::new();
        let mut boxes = 0;
        let mut best = f64::INFINITY;
        let Some(mut heap) = self.start(|m, h| -distance_to_box(aim, m, h)) else { return Ok(None) };
        let mut order = 1;
        while let Some(open) = heap.pop() {
            let least = -open.key;
            if least > best + TIE_MM {
                break;
            }
            if boxes >= MOST_BOXES {
                if found.is_empty() {
                    return Err(boxes);
                }
                break;
            }
            boxes += 1;
            let reach = open.half.hypot();
            // Near what was found already only a shorter way is worth looking for; elsewhere equally near
            // places still are, down to a size.
            if least > best - SETTLED_MM
                && (reach < SMALLEST_MM
                    || found.iter().any(|f| (f.1 - open.middle).hypot() + reach < ONE_PLACE_MM))
            {
                continue;
            }
            let Some(seen) = self.look(&open, want) else { continue };
            if seen.highest < 0.0 {
                continue;
            }
            let here: Vec<Border> =
                Border::of_box(open.half).into_iter().chain(seen.borders.iter().copied()).collect();
            let mut starts = vec![seen.at];
            starts.extend(nearest_inside(aim - open.middle, &here));
            for d in starts {
                if self.slack(open.middle + d, &seen.short, at_least) >= 0.0 {
                    let d = self.walk_to_aim(open.middle, d, aim, &here, &seen.short, at_least);
                    let t = open.middle + d;
                    let far = (t - aim).hypot();
                    if far <= best + TIE_MM {
                        best = best.min(far);
                        found.push((far, t));
                    }
                }
            }
            self.split(open, &seen, &mut heap, &mut order, |m, h| -distance_to_box(aim, m, h));
        }
        let bound = heap.peek().map_or(best, |b| best.min(-b.key)).max(best - SETTLED_MM).min(best);
        found.retain(|f| f.0 <= best + TIE_MM);
        // Of places as near as each other the shop's own rule decides; then the order they were found in.
        let chosen = found.into_iter().reduce(|a, b| {
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
        });
        Ok(chosen.map(|(_, t)| Place {
            t,
            clearance: self.clearance_at(t).0,
            bound,
            proved: boxes < MOST_BOXES,
            boxes,
        }))
    }

    /// The movement with the greatest least clearance over the walls that count, every other wall and border
    /// kept; of equally clear ones (to `TIE_MM`) the one nearest to `aim`, then by `ties`.
    ///
    /// # Errors
    /// The number of boxes, if the search was given up before anything was found.
    pub fn roomiest(&self, aim: Vec2, ties: [Vec2; 2]) -> Result<Option<Place>, usize> {
        let Some((most, bound, boxes)) = self.most_clearance()? else { return Ok(None) };
        let least = if most.is_finite() { most - TIE_MM / 2.0 } else { 0.0 };
        let near = self.nearest(aim, least, ties)?;
        Ok(near.map(|p| Place { bound, proved: p.proved && boxes < MOST_BOXES, boxes: boxes + p.boxes, ..p }))
    }

    /// The greatest least clearance over the walls that count, what was proved of it, and the boxes opened.
    fn most_clearance(&self) -> Result<Option<(f64, f64, usize)>, usize> {
        let mut best = -FLOOR_MM;
        let mut found = false;
        let mut boxes = 0;
        let mut order = 1;
        let Some(mut heap) = self.start(|_, _| f64::INFINITY) else { return Ok(None) };
        let mut bound = f64::NEG_INFINITY;
        while let Some(open) = heap.pop() {
            if found && open.key <= best + SETTLED_MM {
                bound = bound.max(open.key);
                break;
            }
            if boxes >= MOST_BOXES {
                if found {
                    bound = bound.max(open.key);
                    break;
                }
                return Err(boxes);
            }
            boxes += 1;
            let Some(seen) = self.look(&open, Want::More(best)) else { continue };
            if found && seen.highest <= best + SETTLED_MM {
                bound = bound.max(seen.highest);
                continue;
            }
            let here: Vec<Border> =
                Border::of_box(open.half).into_iter().chain(seen.borders.iter().copied()).collect();
            let d = self.climb(open.middle, seen.at, &here, &seen.short);
            let (value, kept) = self.evaluate(open.middle + d, &seen.short);
            if kept && value >= best {
                (best, found) = (value, true);
                if best == f64::INFINITY {
                    return Ok(Some((best, best, boxes)));
                }
            }
            let highest = seen.highest;
            self.split(open, &seen, &mut heap, &mut order, |_, _| highest);
        }
        Ok(found.then_some((best, bound.max(best), boxes)))
    }

    /// The first box: all movements inside the borders. `None` if there are none.
    fn start(&self, key: impl Fn(Vec2, Vec2) -> f64) -> Option<BinaryHeap<OpenBox>> {
        let loose: Vec<Border> =
            self.borders.iter().map(|b| Border { limit: b.limit + FLOOR_MM, ..*b }).collect();
        let mut lo = Vec2::new(f64::INFINITY, f64::INFINITY);
        let mut hi = -lo;
        for way in [Vec2::new(1.0, 0.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(0.0, -1.0)] {
            let (_, d) = highest_under(&[Plane { value: 0.0, gradient: way }], &loose)?;
            (lo.x, lo.y) = (lo.x.min(d.x), lo.y.min(d.y));
            (hi.x, hi.y) = (hi.x.max(d.x), hi.y.max(d.y));
        }
        // A slot exactly as wide as the mark leaves a box without width: give it its noise.
        let middle = (lo + hi) / 2.0;
        let half = Vec2::new(((hi.x - lo.x) / 2.0).max(FLOOR_MM), ((hi.y - lo.y) / 2.0).max(FLOOR_MM));
        Some(BinaryHeap::from([OpenBox {
            key: key(middle, half),
            order: 0,
            middle,
            half,
            short: self.everything(),
        }]))
    }

    fn everything(&self) -> Short {
        let mut contacts = Vec::new();
        for (w, wall) in self.walls.iter().enumerate() {
            for p in 0..wall.pieces.len() {
                contacts.extend((0..self.edges.len()).map(|e| Contact {
                    edge: e as u32,
                    wall: w as u32,
                    piece: p as u32,
                }));
            }
        }
        let uncovered =
            (0..self.walls.len() as u32).filter(|w| self.walls[*w as usize].uncovered.is_some()).collect();
        Short { contacts: Rc::new(contacts), uncovered: Rc::new(uncovered) }
    }

    fn net(&self, c: Contact, t: Vec2) -> (f64, Vec2) {
        let wall = &self.walls[c.wall as usize];
        let (d, slope) = clearance(&self.edges[c.edge as usize], &wall.pieces[c.piece as usize], t);
        (d - wall.clearance, slope)
    }

    /// Clearance over the walls that count, and whether all others are kept and nothing is covered.
    fn evaluate(&self, t: Vec2, short: &Short) -> (f64, bool) {
        let mut counted = f64::INFINITY;
        for c in short.contacts.iter() {
            let (v, _) = self.net(*c, t);
            if self.walls[c.wall as usize].counts {
                counted = counted.min(v);
            } else if v < -FLOOR_MM {
                return (counted, false);
            }
        }
        (counted, !short.uncovered.iter().any(|w| self.covered(*w, t)))
    }

    fn covered(&self, wall: u32, t: Vec2) -> bool {
        self.walls[wall as usize].uncovered.is_some_and(|p| contains(&self.shape, p - t))
    }

    /// The least of what every wall has to spare over what is asked; negative infinity if paint covers one.
    fn slack(&self, t: Vec2, short: &Short, at_least: f64) -> f64 {
        let least = short
            .contacts
            .iter()
            .map(|c| {
                self.net(*c, t).0 + FLOOR_MM - if self.walls[c.wall as usize].counts { at_least } else { 0.0 }
            })
            .fold(f64::INFINITY, f64::min);
        if short.uncovered.iter().any(|w| self.covered(*w, t)) { f64::NEG_INFINITY } else { least }
    }

    /// Looks at a box: `None` if no place in it can serve.
    fn look(&self, open: &OpenBox, want: Want) -> Option<Seen> {
        let (m, half) = (open.middle, open.half);
        let reach = half.hypot();
        let mut borders: Vec<Border> = Vec::new();
        for b in &self.borders {
            let limit = b.limit + FLOOR_MM - b.normal.dot(m);
            let across = b.normal.x.abs() * half.x + b.normal.y.abs() * half.y;
            if limit < -across {
                return None;
            }
            if limit < across {
                borders.push(Border { normal: b.normal, limit });
            }
        }
        let offset = match want {
            Want::More(_) => 0.0,
            Want::AtLeast(x) => x - FLOOR_MM,
        };
        // Value at the middle of every contact that can still matter here.
        let mut near: Vec<(f64, Vec2, Contact)> = Vec::with_capacity(open.short.contacts.len());
        let mut tightest = f64::INFINITY;
        let mut touched =
            vec![f64::INFINITY; if open.short.uncovered.is_empty() { 0 } else { self.walls.len() }];
        for c in open.short.contacts.iter() {
            let (net, slope) = self.net(*c, m);
            let wall = &self.walls[c.wall as usize];
            if let Some(t) = touched.get_mut(c.wall as usize) {
                *t = t.min(net + wall.clearance);
            }
            let value = if wall.counts { net - offset } else { net + FLOOR_MM };
            if wall.counts {
                tightest = tightest.min(value);
            }
            let matters = match want {
                Want::AtLeast(_) => value <= reach,
                Want::More(_) if wall.counts => value <= tightest + 2.0 * reach,
                Want::More(_) => value <= reach,
            };
            if value < -reach && (!wall.counts || matches!(want, Want::AtLeast(_))) {
                return None;
            }
            if matters {
                near.push((value, slope, *c));
            }
        }
        if let Want::More(best) = want {
            if tightest + reach < best {
                return None;
            }
            near.retain(|n| !self.walls[n.2.wall as usize].counts || n.0 <= tightest + 2.0 * reach);
        }
        // A wall no edge can touch in this box is either covered all over the box or nowhere.
        let mut uncovered = Vec::new();
        for w in open.short.uncovered.iter() {
            if touched[*w as usize] > reach {
                if self.covered(*w, m) {
                    return None;
                }
            } else {
                uncovered.push(*w);
            }
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut planes: Vec<Plane> = Vec::with_capacity(MOST_LIDS);
        let mut kept: Vec<Border> = Vec::new();
        for (value, slope, c) in near.iter().take(MOST_LIDS) {
            let wall = &self.walls[c.wall as usize];
            let (edge, piece) = (&self.edges[c.edge as usize], &wall.pieces[c.piece as usize]);
            let raw = clearance(edge, piece, m).0;
            let over = lid(edge, piece, m, half, (raw, *slope));
            let plane = Plane { value: over.value - raw + value, gradient: over.gradient };
            if matches!(want, Want::More(_)) && !wall.counts {
                // It has only to be kept: the plane must not be under zero.
                kept.push(Border { normal: -plane.gradient, limit: plane.value });
                if plane.gradient == Vec2::ZERO && plane.value < 0.0 {
                    return None;
                }
            } else {
                planes.push(plane);
            }
        }
        let around: Vec<Border> =
            Border::of_box(half).into_iter().chain(borders.iter().copied()).chain(kept).collect();
        let (highest, at) = highest_under(&planes, &around)?;
        let contacts = near.into_iter().map(|n| n.2).collect();
        let short = Short { contacts: Rc::new(contacts), uncovered: Rc::new(uncovered) };
        Some(Seen { highest, at, borders, short })
    }

    /// Cuts a box in two across its longer side.
    fn split(
        &self,
        open: OpenBox,
        seen: &Seen,
        heap: &mut BinaryHeap<OpenBox>,
        order: &mut usize,
        key: impl Fn(Vec2, Vec2) -> f64,
    ) {
        let (half, step) = if open.half.x >= open.half.y {
            (Vec2::new(open.half.x / 2.0, open.half.y), Vec2::new(open.half.x / 2.0, 0.0))
        } else {
            (Vec2::new(open.half.x, open.half.y / 2.0), Vec2::new(0.0, open.half.y / 2.0))
        };
        for middle in [open.middle - step, open.middle + step] {
            *order += 1;
            heap.push(OpenBox {
                key: key(middle, half),
                order: *order,
                middle,
                half,
                short: seen.short.clone(),
            });
        }
    }

    /// Walks from a place that serves towards the aim, inside the box, as far as the walls let it. Under a
    /// tilted plane that lies below a contact's clearance the contact is kept, so that no step can fail for
    /// straight edges; for arcs each step is looked at and halved if need be.
    fn walk_to_aim(
        &self,
        m: Vec2,
        from: Vec2,
        aim: Vec2,
        here: &[Border],
        short: &Short,
        at_least: f64,
    ) -> Vec2 {
        let mut d = from;
        for _ in 0..40 {
            let mut borders = here.to_vec();
            for c in short.contacts.iter() {
                let (net, slope) = self.net(*c, m + d);
                let slack = net + FLOOR_MM - if self.walls[c.wall as usize].counts { at_least } else { 0.0 };
                if slope != Vec2::ZERO && slack < (aim - m - d).hypot() {
                    borders.push(Border { normal: -slope, limit: slack - slope.dot(d) });
                }
            }
            let Some(next) = nearest_inside(aim - m, &borders) else { break };
            let Some(next) = self.step_that_serves(m, d, next, |t| self.slack(t, short, at_least) >= 0.0)
            else {
                break;
            };
            let gained = (aim - m - d).hypot() - (aim - m - next).hypot();
            if gained <= NOISE_MM {
                break;
            }
            d = next;
        }
        d
    }

    /// Climbs from a place to one of more clearance inside the box, under planes that lie below the contacts.
    fn climb(&self, m: Vec2, from: Vec2, here: &[Border], short: &Short) -> Vec2 {
        let mut d = from;
        let mut value = self.evaluate(m + d, short);
        for _ in 0..40 {
            let (mut planes, mut borders) = (Vec::new(), here.to_vec());
            for c in short.contacts.iter() {
                let (net, slope) = self.net(*c, m + d);
                if self.walls[c.wall as usize].counts {
                    planes.push(Plane { value: net - slope.dot(d), gradient: slope });
                } else if slope != Vec2::ZERO {
                    borders.push(Border { normal: -slope, limit: net + FLOOR_MM - slope.dot(d) });
                }
            }
            let Some((_, next)) = highest_under(&planes, &borders) else { break };
            let better = |t: Vec2| {
                let v = self.evaluate(t, short);
                v.1 && (v.0 > value.0 || !value.1)
            };
            let Some(next) = self.step_that_serves(m, d, next, better) else { break };
            let now = self.evaluate(m + next, short);
            let gained = now.0 - value.0;
            let mended = !value.1;
            (d, value) = (next, now);
            if gained <= NOISE_MM && !mended {
                break;
            }
        }
        d
    }

    /// The whole step from `d` to `next`, or a half, a quarter ... of it that serves.
    fn step_that_serves(&self, m: Vec2, d: Vec2, next: Vec2, serves: impl Fn(Vec2) -> bool) -> Option<Vec2> {
        let mut share = 1.0;
        for _ in 0..8 {
            let there = d + (next - d) * share;
            if serves(m + there) {
                return Some(there);
            }
            share /= 2.0;
        }
        None
    }
}

fn distance_to_box(p: Vec2, middle: Vec2, half: Vec2) -> f64 {
    let d = p - middle;
    Vec2::new((d.x.abs() - half.x).max(0.0), (d.y.abs() - half.y).max(0.0)).hypot()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{edges_to_region, shape_to_region};
    use crate::point::Affine;
    use crate::region::Region;

    /// A small generator of repeatable numbers (Knuth's MMIX constants, TAOCP 2, 3.3.4, from memory).
    struct Numbers(u64);
    impl Numbers {
        fn next(&mut self, lo: f64, hi: f64) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            lo + (hi - lo) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
        }
    }

    fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
        Ring::from_points([(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from))
    }

    /// Two characters: a frame and an L beside it, 100 high, round their middle.
    fn shape() -> Vec<Ring> {
        let ell = [(80.0, 0.0), (147.0, 0.0), (147.0, 17.0), (97.0, 17.0), (97.0, 100.0), (80.0, 100.0)];
        [
            rect(0.0, 0.0, 67.0, 100.0),
            rect(17.0, 17.0, 50.0, 83.0).reversed(),
            Ring::from_points(ell.map(Point::from)),
        ]
        .iter()
        .map(|r| r.mapped(Affine::translate(Vec2::new(-73.5, -50.0))))
        .collect()
    }

    fn rectangle_of_movement(w: f64, h: f64) -> Vec<Border> {
        Border::of_box(Vec2::new(w / 2.0, h / 2.0)).to_vec()
    }

    fn random_walls(seed: u64, count: usize) -> (Vec<Wall>, Vec<Region>) {
        let mut n = Numbers(seed);
        let mut walls = Vec::new();
        let mut regions = Vec::new();
        for k in 0..count {
            let c = Point::new(n.next(-170.0, 170.0), n.next(-110.0, 110.0));
            let clearance = n.next(0.0, 4.0);
            let (piece, region) = match k % 3 {
                0 => {
                    let radius = n.next(0.5, 7.0);
                    (Piece::Disc { centre: c, radius }, Region::Disc { centre: c, radius })
                }
                1 => {
                    let b = c + Vec2::new(n.next(-20.0, 20.0), n.next(-20.0, 20.0));
                    let w = n.next(0.5, 3.0);
                    (Piece::Bar { a: c, b, half_width: w / 2.0 }, Region::Band { path: vec![c, b], width: w })
                }
                _ => {
                    let ring = rect(c.x, c.y, c.x + n.next(1.0, 15.0), c.y + n.next(1.0, 15.0));
                    let corners = ring.vertices.iter().map(|v| v.p).collect();
                    (Piece::Polygon { corners }, Region::Area { rings: vec![ring] })
                }
            };
            let uncovered = (k % 2 == 1).then(|| crate::measure::point_of(&region));
            walls.push(Wall { pieces: vec![piece], clearance, uncovered, counts: true });
            regions.push(region);
        }
        (walls, regions)
    }

    /// The clearance by `measure`, which shares no code with the search.
    fn measured(walls: &[Wall], regions: &[Region], t: Vec2) -> f64 {
        let rings: Vec<Ring> = shape().iter().map(|r| r.mapped(Affine::translate(t))).collect();
        walls
            .iter()
            .zip(regions)
            .map(|(w, r)| {
                let d = if w.uncovered.is_some() {
                    shape_to_region(&rings, r)
                } else {
                    edges_to_region(&rings, r)
                };
                d - w.clearance
            })
            .fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn no_place_of_a_grid_beats_the_search_and_none_is_claimed_where_one_is() {
        let ties = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];
        let (mut some, mut none) = (0, 0);
        for seed in 0..24 {
            let (walls, regions) = random_walls(seed, 6 + (seed as usize % 5) * 4);
            let room = Room::new(shape(), walls.clone(), rectangle_of_movement(150.0, 90.0));
            let aim = Vec2::new(20.0, -10.0);
            let near = room.nearest(aim, 0.0, ties).unwrap();
            let most = room.roomiest(aim, ties).unwrap();
            let mut grid_most = f64::NEG_INFINITY;
            let mut grid_near = f64::INFINITY;
            for i in -50..=50 {
                for j in -30..=30 {
                    let t = Vec2::new(f64::from(i) * 1.5, f64::from(j) * 1.5);
                    let c = measured(&walls, &regions, t);
                    grid_most = grid_most.max(c);
                    if c >= 0.0 {
                        grid_near = grid_near.min((t - aim).hypot());
                    }
                }
            }
            match (near, most) {
                (Some(near), Some(most)) => {
                    some += 1;
                    assert!(near.proved && most.proved);
                    assert!((near.t - aim).hypot() <= grid_near + 1e-6, "seed {seed}: nearest");
                    assert!(
                        most.clearance >= grid_most - TIE_MM,
                        "seed {seed}: {} < {grid_most}",
                        most.clearance
                    );
                    assert!(
                        (measured(&walls, &regions, most.t) - most.clearance).abs() < 2e-3,
                        "seed {seed}"
                    );
                    assert!(measured(&walls, &regions, near.t) >= -0.001, "seed {seed}");
                    assert!(
                        most.bound + 1e-9 >= most.clearance
                            && most.bound <= most.clearance + TIE_MM + SETTLED_MM
                    );
                }
                (None, None) => {
                    none += 1;
                    assert!(grid_most < 0.0, "seed {seed}: a place exists with {grid_most}");
                }
                other => panic!("seed {seed}: {other:?}"),
            }
        }
        assert!(some >= 5 && none >= 2, "both kinds must be tried: {some} with, {none} without");
    }

    #[test]
    fn a_slot_exactly_as_wide_as_the_mark_is_found() {
        let bar = |x: f64| Wall {
            pieces: vec![Piece::Bar { a: Point::new(x, -300.0), b: Point::new(x, 300.0), half_width: 1.0 }],
            clearance: 2.0,
            uncovered: Some(Point::new(x, 0.0)),
            counts: true,
        };
        // The shape is 147 wide: from 3 mm right of the left bar's middle to 3 mm left of the right one's.
        let room = Room::new(shape(), vec![bar(-60.0), bar(93.0)], rectangle_of_movement(120.0, 60.0));
        let found = room.nearest(Vec2::new(40.0, 7.0), 0.0, [Vec2::ZERO; 2]).unwrap().unwrap();
        assert!((found.t - Vec2::new(16.5, 7.0)).hypot() < 0.001, "{found:?}");
        let room = Room::new(shape(), vec![bar(-60.0), bar(92.99)], rectangle_of_movement(120.0, 60.0));
        assert_eq!(room.nearest(Vec2::new(40.0, 7.0), 0.0, [Vec2::ZERO; 2]), Ok(None));
    }

    #[test]
    fn of_two_places_as_near_the_shops_rule_decides() {
        // A disc at the aim's counter edge: the frame may go left or right of it by the same distance.
        let disc = Wall {
            pieces: vec![Piece::Disc { centre: Point::new(-65.0, 0.0), radius: 4.0 }],
            clearance: 1.0,
            uncovered: None,
            counts: true,
        };
        let room = Room::new(shape(), vec![disc], rectangle_of_movement(80.0, 60.0));
        let right = room.nearest(Vec2::ZERO, 0.0, [Vec2::new(-1.0, 0.0), Vec2::ZERO]).unwrap().unwrap();
        let left = room.nearest(Vec2::ZERO, 0.0, [Vec2::new(1.0, 0.0), Vec2::ZERO]).unwrap().unwrap();
        assert!(left.t.x < 0.0 && right.t.x > 0.0, "{left:?} {right:?}");
        assert!((left.t.hypot() - right.t.hypot()).abs() < 0.002);
    }
}
