//! From a promising place to the best one near it: planes through the contacts at the place lie below their
//! clearances (straight edges), so that the best place under them is as good as it looks. For arcs each step
//! is looked at, and halved if need be.

use super::Room;
use super::boxes::{Contact, Short, State};
use crate::maximin::{Approach, Border, Ceiling, Plane};
use crate::point::Vec2;
use crate::tolerance::{FLOOR_MM, NOISE_MM};

/// Most steps of one polish; each squares the error, and a place that still moves then is left to the boxes.
const MOST_STEPS: usize = 12;

/// Most contacts a polish looks at, and halvings of the box until they are so few.
const MOST_PAIRS: usize = 200;
const MOST_PARTS: usize = 6;

/// Most halvings of one step.
const MOST_HALVINGS: usize = 6;

impl Room {
    /// Climbs from a place to one of more clearance inside a box; `from` and the answer are seen from the
    /// box's middle. The answer's worth comes with it.
    pub(super) fn climb(
        &self,
        from: Vec2,
        half: Vec2,
        borders: &[Border],
        short: &Short,
        highest: f64,
    ) -> (Vec2, (f64, bool)) {
        let m = short.middle;
        let counts = |solid: u32| self.bulks[solid as usize].counts;
        let (pairs, borders) =
            self.pairs(short, from, half, borders, |c| if c.counts { highest } else { 0.0 });
        let mut d = from;
        let mut worth = self.worth(m + d, short);
        let mut planes: Vec<(Plane, bool)> = Vec::with_capacity(pairs.len());
        // Twice the step a plane may be ahead of its contact; the first look is at all of them.
        let mut stale = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            for (k, &(edge, solid)) in pairs.iter().enumerate() {
                if let Some((plane, counts)) = planes.get(k)
                    && plane.at(d) > if *counts { worth.0.max(0.0) } else { 0.0 } + stale
                {
                    continue;
                }
                let (net, slope) = self.net(edge, solid, m + d);
                let plane = (Plane { value: net - slope.dot(d), gradient: slope }, counts(solid));
                match planes.get_mut(k) {
                    Some(old) => *old = plane,
                    None => planes.push(plane),
                }
            }
            let counting: Vec<Plane> = planes.iter().filter(|p| p.1).map(|p| p.0).collect();
            let mut around = borders.clone();
            around.extend(
                planes
                    .iter()
                    .filter(|p| !p.1 && p.0.gradient != Vec2::ZERO)
                    .map(|(plane, _)| Border { normal: -plane.gradient, limit: plane.value + FLOOR_MM }),
            );
            let Some(next) = top(&counting, half, &around) else { break };
            let better = |t: Vec2| {
                let now = self.worth(t, short);
                (now.1 && (now.0 > worth.0 || !worth.1)).then_some(now)
            };
            let Some((next, now)) = halved(m, d, next, better) else { break };
            let (gained, mended) = (now.0 - worth.0, !worth.1);
            stale = 2.0 * (next - d).hypot();
            (d, worth) = (next, now);
            if gained <= NOISE_MM && !mended {
                break;
            }
        }
        (d, worth)
    }

    /// Walks from a place in a box towards the aim as far as the walls let it; `None` if no place that serves
    /// was met. All seen from the box's middle.
    pub(super) fn walk(
        &self,
        from: Vec2,
        aim: Vec2,
        half: Vec2,
        borders: &[Border],
        short: &Short,
        at_least: f64,
    ) -> Option<Vec2> {
        let m = short.middle;
        let (pairs, borders) = self.pairs(short, from, half, borders, |c| self.asked(c.solid, at_least));
        let mut d = from;
        let mut serves = self.serves(m + d, short, at_least);
        for _ in 0..MOST_STEPS {
            let far = (aim - d).hypot();
            let mut cuts: Vec<Border> = Vec::new();
            for &(edge, solid) in &pairs {
                let (net, slope) = self.net(edge, solid, m + d);
                let spare = net - self.asked(solid, at_least);
                if slope != Vec2::ZERO && (!serves || spare < far) {
                    cuts.push(Border { normal: -slope, limit: spare + slope.dot(-d) });
                }
            }
            let Some(next) = nearest_within(aim, half, &borders, &cuts) else { break };
            let looked = |t: Vec2| self.serves(t, short, at_least).then_some(());
            let Some((next, ())) = halved(m, d, next, looked) else { break };
            let gained = (aim - d).hypot() - (aim - next).hypot();
            let mended = !serves;
            (d, serves) = (next, true);
            if gained <= NOISE_MM && !mended {
                break;
            }
        }
        serves.then_some(d)
    }

    /// The edges and solids of a list that may be under `most` somewhere in the box, and the box's borders. If
    /// they are many, only a part of the box round `from` is looked at, with borders of its own.
    fn pairs(
        &self,
        short: &Short,
        from: Vec2,
        half: Vec2,
        borders: &[Border],
        most: impl Fn(&Contact) -> f64,
    ) -> (Vec<(u32, u32)>, Vec<Border>) {
        let (mut about, mut half, mut around) = (Vec2::ZERO, half, borders.to_vec());
        for part in 0..=MOST_PARTS {
            let enough = if part == MOST_PARTS { usize::MAX } else { MOST_PAIRS };
            if let Some(pairs) = self.pairs_about(short, about, half, &most, enough) {
                return (pairs, around);
            }
            (about, half) = (from, half / 2.0);
            around = borders.to_vec();
            around.extend(Border::of_box(half).map(|b| Border { limit: b.limit + b.normal.dot(about), ..b }));
        }
        (Vec::new(), around)
    }

    /// The edges and solids that may be under `most` in a box round `about`; `None` if they are more than `enough`.
    fn pairs_about(
        &self,
        short: &Short,
        about: Vec2,
        half: Vec2,
        most: impl Fn(&Contact) -> f64,
        enough: usize,
    ) -> Option<Vec<(u32, u32)>> {
        let (m, reach) = (short.middle + about, half.hypot());
        let mut pairs = Vec::with_capacity(short.contacts.len().min(enough));
        for c in &short.contacts {
            if pairs.len() > enough {
                return None;
            }
            let most = most(c);
            if c.state == State::Unmeasured {
                self.edges_under(c.node, &self.bulks[c.solid as usize], m, half, most, &mut |edge| {
                    pairs.push((edge, c.solid));
                    if pairs.len() > enough { f64::NEG_INFINITY } else { most }
                });
            } else if (Contact { value: c.low_at(about), ..*c }).low_over(half, reach) < most {
                pairs.push((self.nodes[c.node as usize].first, c.solid));
            }
        }
        (pairs.len() <= enough).then_some(pairs)
    }
}

/// The highest point under planes, taking in the lowest there until none is lower.
fn top(planes: &[Plane], half: Vec2, borders: &[Border]) -> Option<Vec2> {
    let mut ceiling = Ceiling::over(half, borders)?;
    for _ in 0..planes.len() {
        let at = ceiling.at();
        let Some(low) = planes.iter().min_by(|a, b| a.at(at).total_cmp(&b.at(at))) else { break };
        if !ceiling.lower(*low) {
            break;
        }
    }
    Some(ceiling.at())
}

/// The point nearest to the aim inside borders and cuts, taking in the cut that is broken most until none is.
fn nearest_within(aim: Vec2, half: Vec2, borders: &[Border], cuts: &[Border]) -> Option<Vec2> {
    let mut approach = Approach::to(aim, half);
    if !borders.iter().all(|b| approach.narrow(*b)) {
        return None;
    }
    for _ in 0..cuts.len() {
        let at = approach.at();
        let beyond = |b: &Border| b.normal.dot(at) - b.limit;
        let Some(worst) = cuts.iter().max_by(|a, b| beyond(a).total_cmp(&beyond(b))) else { break };
        if worst.allows(at) {
            break;
        }
        if !approach.narrow(*worst) {
            return None;
        }
    }
    Some(approach.at())
}

/// The whole step from `d` to `next`, or a half, a quarter ... of it that serves.
fn halved<T>(m: Vec2, d: Vec2, next: Vec2, serves: impl Fn(Vec2) -> Option<T>) -> Option<(Vec2, T)> {
    let mut share = 1.0;
    for _ in 0..MOST_HALVINGS {
        let there = d + (next - d) * share;
        if let Some(what) = serves(m + there) {
            return Some((there, what));
        }
        share /= 2.0;
    }
    None
}
