//! Looking for the places of marks all over the side of a body: on sheets laid flat one beside the other, the nearest
//! to the aim first, until none farther off can be better. What is found on a wide sheet is looked at again close round
//! it, with what the closer sheet errs by asked on top.
//!
//! Marks that are alike on both sides are looked for on sheets that are mirror images, so that they keep one station.

use super::alike::apart;
use super::allowed::ladder;
use super::cells::{Cell, cells};
use super::find::{Found, choices, highest, refuse, unplaced};
use super::given::{Pose, lay_all};
use super::placed::{Asked, FitStatus};
use super::relation::lie;
use super::search::{Answer, Goal, nearest, roomiest};
use super::seek::Ground;
use super::sheets::{box_of, no_chart, round_size};
use super::sided::{COUNTED, Piece, Sided};
use super::wanted::{Looked, Wanted, has_place, slack};
use crate::job::{Height, Place, SkinPair};
use crate::marks::design::Design;
use crate::problem::Problem;
use crate::surface::{Chart, Skin, SkinShape};
use crate::words::{fine, length};
use geom::inset::inset;
use geom::room::NoPlace;
use geom::tolerance::{KEPT_MM, NOISE_UNIT, OVERHANG_MM};
use geom::{Point, Vec2};
use std::collections::VecDeque;

/// How far along the body and round it a place may be on one sheet, of the cap height; and at least so far, mm. chosen:
/// laid flat wider, a sheet errs more than the places in it are worth.
const LOOK: Vec2 = Vec2::new(6.0, 2.0);
const LOOK_LEAST: Vec2 = Vec2::new(600.0, 300.0);

/// Widest sheet, mm, and highest as a share of the girth of the side; a mark that is larger has a sheet all the same,
/// larger than it by this share.
const WIDEST: f64 = 4000.0;
const HIGHEST: f64 = 0.9;
const ROUND: f64 = 0.25;

/// Most sheets that are laid for one search. chosen: a body of 20 m has 200 for letters of 6 in.
const MOST_SHEETS: usize = 400;

/// Least piece that is cut smaller where the skin curves too much, of a whole one.
const LEAST_PIECE: f64 = 0.3;

/// What a way over the skin has at least, of the distance that readings tell. chosen: lengths along a body are greater
/// than the stations they span; round it girths are lengths.
const READS_LONGER: f64 = 0.85;

/// Heights are tried on sheets of one size down to this share of the greatest.
const STEP_DOWN: f64 = 0.8;

/// Most times a place that does not stand close by is looked for with more room asked.
const TRIES: usize = 4;

/// A mark on its sheet, and what was found there.
pub type Sought = (Skin, Found);

/// Smaller is better: first by the first.
type Rank = [f64; 2];

/// The best place so far.
type Best = (Rank, Skin, Found);

/// True if all marks of a unit are looked for on bodies.
pub fn is_looked_for(ground: &Ground, unit: &[usize]) -> bool {
    unit.iter().all(|&k| {
        !has_place(&ground.job.marks[k])
            && ground.skin(k).is_some_and(|s| matches!(s.shape, SkinShape::Body(_)))
    })
}

/// The marks of a unit on bodies, each on the sheet round its place.
///
/// # Errors
/// A mark round whose aim nothing can be laid flat and that has no place elsewhere.
pub fn look(ground: &Ground, unit: &[usize]) -> Result<Vec<Sought>, Vec<Problem>> {
    let marks: Vec<Sided> = unit.iter().filter_map(|&k| Sided::of(ground, k)).collect();
    let apart = |i: usize| marks[..i].iter().all(|m| m.own.id != marks[i].own.id);
    let together = marks.len() > 1 && !ground.job.alike_own_place && (0..marks.len()).all(apart);
    let mut hunt = Hunt { ground, unit: unit.to_vec(), marks, together, tally: Tally::default() };
    if together {
        hunt.one_aim();
    }
    if let Some(all) = hunt.found()? {
        return Ok(all);
    }
    let mut said = None;
    if together {
        let sheets = hunt.round_aims()?;
        let wanted = hunt.wanted(&sheets, 0.0, true)?;
        let group: Vec<usize> = (0..wanted.len()).collect();
        said = Some(apart_told(&wanted, &group, &hunt.tally));
        hunt = Hunt { together: false, tally: Tally::default(), ..hunt };
        if let Some(mut all) = hunt.found()? {
            all[0].1.said.extend(said);
            return Ok(all);
        }
    }
    let mut all = hunt.nowhere()?;
    all[0].1.said.extend(said);
    Ok(all)
}

/// The sheet round the aim of a mark on a body that is sought together with marks on other skins.
///
/// # Errors
/// Nothing can be laid flat there.
pub fn at_aim(ground: &Ground, k: usize) -> Result<Option<Skin>, Vec<Problem>> {
    let Some(hunt) = Hunt::alone(ground, k) else { return Ok(None) };
    Ok(hunt.round_aims()?.pop())
}

/// The sheet close round what was found on another.
pub fn close_round(ground: &Ground, k: usize, wide: &Skin, found: &Found) -> Option<Skin> {
    let hunt = Hunt::alone(ground, k)?;
    if found.status != FitStatus::Placed {
        return None;
    }
    hunt.marks[0].lay_close(wide.skin_from_flat(found.centre), wide, found)
}

fn apart_told(wanted: &[Wanted], group: &[usize], tally: &Tally) -> crate::finding::Finding {
    let mut wanted = wanted.to_vec();
    for one in &mut wanted {
        one.looked.place = tally.place();
    }
    apart(&wanted, group, tally.none())
}

/// Heights that are tried on sheets of one size, mm: the greatest and the least, and none above `most`.
#[derive(Clone, Copy, Debug)]
struct Rung {
    high: f64,
    low: f64,
    most: f64,
}

/// What one cell comes to.
enum Seen {
    /// No place is there.
    Off,
    /// It must be looked at in smaller pieces.
    Smaller,
    /// What was found on the sheets of it, and whether some of it cannot be laid flat; no sheets where marks sought together
    /// have not one each.
    Sought { bent: bool, sheets: Vec<Option<Skin>>, found: Vec<Found> },
}

/// What was looked at.
#[derive(Clone, Debug, Default)]
struct Tally {
    boxes: usize,
    sheets: usize,
    /// Pieces that cannot be laid flat.
    bent: usize,
    gave_up: bool,
    /// True if what is left can hold nothing better.
    enough: bool,
    /// Most a sheet errs by, mm.
    off: f64,
}

impl Tally {
    fn none(&self) -> NoPlace {
        NoPlace { proved: !self.gave_up, boxes: self.boxes }
    }

    /// Where was looked, as it ends the words of a proof.
    fn place(&self) -> String {
        let off = if self.off < OVERHANG_MM { fine(self.off) } else { length(self.off) };
        let whole = match (self.enough, self.gave_up, self.bent) {
            (true, ..) => "farther off none is nearer".to_owned(),
            (_, true, _) => "not all of where it may go".to_owned(),
            (_, _, 0) => "all of where it may go".to_owned(),
            (_, _, n) => format!(
                "all of where it may go but {n} piece{} that curve{} too much to be laid flat within 1 in",
                if n == 1 { "" } else { "s" },
                if n == 1 { "s" } else { "" }
            ),
        };
        let sheets = if self.sheets == 1 { "1 sheet".to_owned() } else { format!("{} sheets", self.sheets) };
        format!(" on {sheets} of skin laid flat, off by up to {off}: {whole}")
    }
}

/// A search all over.
struct Hunt<'a> {
    ground: &'a Ground<'a>,
    unit: Vec<usize>,
    marks: Vec<Sided<'a>>,
    together: bool,
    tally: Tally,
}

impl<'a> Hunt<'a> {
    /// Of one mark on a body.
    fn alone(ground: &'a Ground<'a>, k: usize) -> Option<Hunt<'a>> {
        let marks = vec![Sided::of(ground, k)?];
        Some(Hunt { ground, unit: vec![k], marks, together: false, tally: Tally::default() })
    }

    /// One aim for all: the mean of theirs.
    fn one_aim(&mut self) {
        let n = self.marks.len() as f64;
        let mean = [0, 1].map(|i| self.marks.iter().map(|m| m.aim[i]).sum::<f64>() / n);
        for mark in &mut self.marks {
            mark.aim = mean;
        }
    }

    fn open(&self) -> bool {
        self.unit.iter().all(|&k| self.ground.job.marks[k].height.value == Height::Largest)
    }

    fn goal(&self) -> Goal {
        let roomiest = |k: &usize| self.ground.job.marks[*k].place.value == Place::Roomiest;
        if self.unit.iter().any(roomiest) { Goal::Roomiest } else { Goal::Nearest }
    }

    /// The height of those that have one.
    fn height(&self) -> f64 {
        let given = self.marks.iter().filter(|m| self.ground.job.marks[m.k].height.value != Height::Largest);
        given.map(|m| m.design.height_mm).fold(0.0, f64::max)
    }

    /// The heights that are tried on sheets of one size, the greatest first; each with the least of it.
    fn rungs(&self) -> Vec<(f64, f64)> {
        if !self.open() {
            return vec![(self.height(), self.height())];
        }
        let Some(first) = self.marks.first() else { return Vec::new() };
        let (mark, at) = (&self.ground.job.marks[first.k], first.own.flat_from_skin(first.aim));
        let all = ladder(self.ground.job, mark, self.ground.pack, first.own, at);
        let girth = |m: &Sided| m.own.outline.bounds().map_or(0.0, |(lo, hi)| hi.y - lo.y);
        let fits =
            |h: f64| self.marks.iter().all(|m| m.turned(box_at(m.design, h)).y <= girth(m) + OVERHANG_MM);
        let (Some(mut high), Some(least)) = (all.iter().copied().find(|h| fits(*h)), all.last().copied())
        else {
            return Vec::new();
        };
        let mut rungs = Vec::new();
        while least <= high + KEPT_MM {
            rungs.push((high, (high * STEP_DOWN).max(least)));
            let Some(next) = all.iter().copied().find(|h| *h < high * STEP_DOWN - KEPT_MM) else { break };
            high = next;
        }
        rungs
    }

    /// How far along and round the body places are looked for on one sheet.
    fn reach(&self, height: f64) -> Vec2 {
        let mut reach = Vec2::new((LOOK.x * height).max(LOOK_LEAST.x), (LOOK.y * height).max(LOOK_LEAST.y));
        for m in &self.marks {
            let size = m.turned(box_at(m.design, height));
            let (lo, hi) = m.own.outline.bounds().unwrap_or_default();
            reach.x = reach.x.min((WIDEST - size.x).max(ROUND * size.x));
            reach.y = reach.y.min((HIGHEST * (hi.y - lo.y) - size.y).max(ROUND * size.y));
        }
        reach
    }

    /// Everywhere a middle may be at a height, off the aims.
    fn area(&self, height: f64) -> Cell {
        let mut area = Cell { lo: [f64::INFINITY; 2], hi: [f64::NEG_INFINITY; 2] };
        for m in &self.marks {
            let edge = m.to_edge(box_at(m.design, height));
            for (k, edge) in [edge.x, edge.y].into_iter().enumerate() {
                area.lo[k] = area.lo[k].min(m.area.lo[k] + edge - m.aim[k]);
                area.hi[k] = area.hi[k].max(m.area.hi[k] - edge - m.aim[k]);
            }
        }
        area
    }

    /// The best places on all sheets, each mark's or those of all together; `more` clearance asked, mm. Of an open height
    /// only what is above `above` and not above `most`.
    fn over(&mut self, more: f64, above: f64, most: f64) -> Result<Vec<Option<Best>>, Vec<Problem>> {
        let mut best: Vec<Option<Best>> = self.marks.iter().map(|_| None).collect();
        self.tally.enough = false;
        for (high, low) in self.rungs() {
            if self.open() && most + KEPT_MM < low {
                continue;
            }
            if high <= above {
                break;
            }
            self.on_rung(Rung { high, low, most }, more, &mut best)?;
            if best.iter().all(Option::is_some) {
                break;
            }
        }
        Ok(best)
    }

    fn on_rung(&mut self, rung: Rung, more: f64, best: &mut [Option<Best>]) -> Result<(), Vec<Problem>> {
        let cell_size = self.reach(rung.high) * COUNTED;
        let (all, whole) = cells(self.area(rung.high), [0.0, 0.0], cell_size, MOST_SHEETS);
        let mut queue: VecDeque<Cell> = all.into();
        let mut laid = 0;
        let nearest_only = !self.open() && self.goal() == Goal::Nearest;
        while let Some(first) = queue.pop_front() {
            let far = first.far([0.0, 0.0]) * READS_LONGER;
            let good = |b: &Option<Best>| b.as_ref().is_some_and(|b| b.0[0] <= far);
            if nearest_only && best.iter().all(good) {
                self.tally.enough = true;
                return Ok(());
            }
            // The nearest alone, as most marks have their place there; then two at a time, one for each hand.
            let other = if laid == 0 { None } else { queue.pop_front() };
            let held: Vec<Option<f64>> =
                best.iter().map(|b| b.as_ref().map(|b| b.2.design.height_mm)).collect();
            let seen = |cell: &Cell| self.on_cell(cell, cell_size, rung, more, &held);
            let (one, two) = std::thread::scope(|hands| {
                let two = other.as_ref().map(|cell| hands.spawn(move || seen(cell)));
                (seen(&first), two.map(|hand| hand.join()))
            });
            let two = two.map(|two| two.unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
            for (cell, seen) in [Some((first, one)), other.zip(two)].into_iter().flatten() {
                match seen? {
                    Seen::Off => {}
                    Seen::Smaller => {
                        for quarter in cell.quarters() {
                            let far = quarter.far([0.0, 0.0]);
                            let at = queue.partition_point(|c| c.far([0.0, 0.0]) <= far);
                            queue.insert(at, quarter);
                        }
                    }
                    Seen::Sought { bent, sheets, found } => {
                        laid += 1;
                        if MOST_SHEETS < laid {
                            self.tally.gave_up = true;
                            return Ok(());
                        }
                        self.tally.bent += usize::from(bent);
                        self.take(sheets, found, best);
                    }
                }
            }
        }
        self.tally.gave_up |= !whole;
        Ok(())
    }

    /// What one cell comes to; `held`: the heights that are had already.
    fn on_cell(
        &self,
        cell: &Cell,
        whole: Vec2,
        rung: Rung,
        more: f64,
        held: &[Option<f64>],
    ) -> Result<Seen, Vec<Problem>> {
        let pieces: Vec<Piece> =
            self.marks.iter().map(|m| m.lay(cell, box_at(m.design, rung.high))).collect();
        let none = |p: &Piece| matches!(p, Piece::Off);
        if pieces.iter().all(none) || (self.together && pieces.iter().any(none)) {
            return Ok(Seen::Off);
        }
        let bent = pieces.iter().any(|p| matches!(p, Piece::Bent | Piece::Laid(_, false)));
        if bent {
            let size = cell.size();
            let hopeless = self.marks.iter().all(|m| m.too_bent(cell, box_at(m.design, rung.high)));
            if !hopeless && (LEAST_PIECE * whole.x < size.x || LEAST_PIECE * whole.y < size.y) {
                return Ok(Seen::Smaller);
            }
        }
        let sheets: Vec<Option<Skin>> = pieces
            .into_iter()
            .map(|p| if let Piece::Laid(sheet, _) = p { Some(*sheet) } else { None })
            .collect();
        if self.together && sheets.iter().any(Option::is_none) {
            return Ok(Seen::Sought { bent, sheets: vec![], found: vec![] });
        }
        let here: Vec<usize> = (0..sheets.len()).filter(|i| sheets[*i].is_some()).collect();
        let unit: Vec<usize> = here.iter().map(|i| self.unit[*i]).collect();
        let refs: Vec<Option<&Skin>> = here.iter().map(|i| sheets[*i].as_ref()).collect();
        let mut wanted = self.ground.wanted(&unit, &refs)?;
        for (one, i) in wanted.iter_mut().zip(&here) {
            one.looked.bare = true;
            // Whoever has a height already asks for nothing lower.
            let least = held[*i].filter(|_| one.open_height).unwrap_or(0.0).max(rung.low);
            one.ladder.retain(|h| least - KEPT_MM <= *h && *h <= rung.high.min(rung.most) + KEPT_MM);
        }
        let mut wanted: Vec<Wanted> = wanted.into_iter().map(|w| w.with_more(more)).collect();
        let found = self.ground.seek(&mut wanted, !self.together);
        Ok(Seen::Sought { bent, sheets, found })
    }

    /// What was found on the sheets of a cell, if it is better.
    fn take(&mut self, sheets: Vec<Option<Skin>>, found: Vec<Found>, best: &mut [Option<Best>]) {
        if sheets.is_empty() {
            return;
        }
        for sheet in sheets.iter().flatten() {
            let errs = sheet.chart().map_or(0.0, |c| c.figures.stroke_error);
            self.tally.off = self.tally.off.max(errs);
        }
        self.tally.sheets += 1;
        for one in &found {
            let boxes = one.certificate.map(|c| (c.boxes, c.proved));
            let (boxes, proved) = boxes.or(one.apart.map(|n| (n.boxes, n.proved))).unwrap_or((0, true));
            self.tally.boxes += boxes;
            self.tally.gave_up |= !proved;
            if self.together {
                // All of them were sought as one.
                break;
            }
        }
        let placed = |f: &Found| f.status == FitStatus::Placed;
        if self.together && !found.iter().all(placed) {
            return;
        }
        let here = sheets.into_iter().enumerate().filter_map(|(i, sheet)| Some((i, sheet?)));
        let mut leads: Option<Rank> = None;
        for ((i, sheet), found) in here.zip(found) {
            let far = sheet.chart().map_or(0.0, |c| c.aim().distance(found.centre));
            let own = self.rank(&found, far);
            let rank = if self.together { *leads.get_or_insert(own) } else { own };
            let better = best[i].as_ref().is_none_or(|b| rank < b.0);
            if placed(&found) && better {
                best[i] = Some((rank, sheet, found));
            }
        }
    }

    fn rank(&self, found: &Found, far: f64) -> Rank {
        let room = -found.certificate.and_then(|c| c.answer).unwrap_or(f64::INFINITY);
        let wish = if self.goal() == Goal::Nearest { far } else { room };
        if self.open() { [-found.design.height_mm, wish] } else { [wish, far] }
    }

    /// The places, if all marks have one (of marks apart, if one has).
    fn found(&mut self) -> Result<Option<Vec<Sought>>, Vec<Problem>> {
        let (mut more, mut kept): (f64, Option<Vec<Sought>>) = (0.0, None);
        let mut most = f64::INFINITY;
        for _ in 0..TRIES {
            let above = kept.as_ref().filter(|_| self.open()).map_or(0.0, |all| all[0].1.design.height_mm);
            let best = self.over(more, above, most)?;
            // A height that had no place has none with more asked.
            most = best.iter().flatten().map(|b| b.2.design.height_mm).fold(0.0, f64::max);
            let all = if self.together || self.marks.len() == 1 {
                best.iter().all(Option::is_some)
            } else {
                best.iter().any(Option::is_some)
            };
            if !all {
                break;
            }
            let wide: Vec<Option<Sought>> = best.into_iter().map(|b| b.map(|b| (b.1, b.2))).collect();
            let (close, err) = self.close(&wide)?;
            if let Some(close) = close {
                let now = close[0].1.design.height_mm;
                let had = kept.as_ref().map_or(0.0, |all| all[0].1.design.height_mm);
                let sought = wide[0].as_ref().map_or(now, |w| w.1.design.height_mm);
                if had < now {
                    kept = Some(close);
                }
                if !self.open() || sought <= now.max(had) + KEPT_MM {
                    break;
                }
            }
            more = (2.0 * more).max(err);
        }
        Ok(kept)
    }

    /// The marks sought again on sheets close round what was found; `None` if it does not stand there. And what those
    /// sheets err by.
    fn close(&mut self, wide: &[Option<Sought>]) -> Result<(Option<Vec<Sought>>, f64), Vec<Problem>> {
        let mut there: Vec<Option<SkinPair>> = wide
            .iter()
            .map(|w| w.as_ref().map(|(sheet, found)| sheet.skin_from_flat(found.centre)))
            .collect();
        if self.together {
            let all: Vec<SkinPair> = there.iter().flatten().copied().collect();
            let n = all.len() as f64;
            let mean = [0, 1].map(|i| all.iter().map(|p| p[i]).sum::<f64>() / n);
            there = there.iter().map(|_| Some(mean)).collect();
        }
        let mut sheets: Vec<Option<Skin>> = Vec::new();
        for ((mark, at), wide) in self.marks.iter().zip(&there).zip(wide) {
            let (Some(at), Some((sheet, found))) = (at, wide) else {
                sheets.push(None);
                continue;
            };
            sheets.push(mark.lay_close(*at, sheet, found));
        }
        let err = sheets.iter().flatten().map(slack).fold(OVERHANG_MM, f64::max);
        let placed: Vec<usize> = (0..sheets.len()).filter(|i| sheets[*i].is_some()).collect();
        if placed.is_empty() || (self.together && placed.len() < sheets.len()) {
            return Ok((None, err));
        }
        let mut found: Vec<Option<Found>> = self.marks.iter().map(|_| None).collect();
        {
            let unit: Vec<usize> = placed.iter().map(|i| self.unit[*i]).collect();
            let refs: Vec<Option<&Skin>> = placed.iter().map(|i| sheets[*i].as_ref()).collect();
            let mut wanted = self.ground.wanted(&unit, &refs)?;
            for (one, i) in wanted.iter_mut().zip(&placed) {
                let most = wide[*i].as_ref().map_or(f64::INFINITY, |w| w.1.design.height_mm);
                one.ladder.retain(|h| *h <= most + KEPT_MM);
                one.looked = self.looked(true);
            }
            let sought = self.ground.seek(&mut wanted, !self.together);
            if sought.iter().any(|f| f.status != FitStatus::Placed) {
                return Ok((None, err));
            }
            for ((i, one), mut f) in placed.iter().zip(&wanted).zip(sought) {
                if let Some((sheet, _)) = &wide[*i] {
                    self.offer(&mut f, one, sheet, *i)?;
                }
                found[*i] = Some(f);
            }
        }
        let mut all = Vec::new();
        for (i, (sheet, found)) in sheets.into_iter().zip(found).enumerate() {
            all.push(match (sheet, found) {
                (Some(sheet), Some(found)) => (sheet, found),
                _ => self.refused(i)?,
            });
        }
        Ok((Some(all), err))
    }

    fn looked(&self, bare: bool) -> Looked {
        let Tally { boxes, gave_up, .. } = self.tally;
        Looked { bare, boxes, gave_up, place: self.tally.place() }
    }

    /// What else could be had on the wide sheet a place was found on, with what that errs by asked on top.
    fn offer(&self, found: &mut Found, close: &Wanted, sheet: &Skin, i: usize) -> Result<(), Vec<Problem>> {
        let own = self.marks[i].own;
        let wanted = self.ground.wanted(&[self.unit[i]], &[Some(sheet)])?;
        let Some(wanted) = wanted.into_iter().next() else { return Ok(()) };
        let mut wide = wary(wanted, sheet);
        wide.design = found.design.clone();
        wide.open_height = self.open();
        let there = sheet.flat_from_skin(close.skin.skin_from_flat(found.centre));
        let mut offered = Found { centre: there, alternatives: vec![], said: vec![], ..found.clone() };
        let has = found.certificate.and_then(|c| (c.asked == Asked::Nearest).then_some(c));
        let same = has.map(|c| Answer {
            centre: there,
            clearance: clearance(
                &found.design,
                Pose { centre: found.centre, angle: close.angle },
                close.skin,
            ),
            bound: c.bound.unwrap_or(0.0),
            boxes: c.boxes,
            proved: c.proved,
        });
        // A mark by itself has its nearest place; of a group each could have one of its own.
        let near = if self.together || same.is_none() {
            let own_best = nearest(wide.task()).ok();
            let farther = |a: &Answer| there.distance(wide.aim) < a.centre.distance(wide.aim);
            if own_best.as_ref().is_none_or(farther) { same.or(own_best) } else { own_best }
        } else {
            same
        };
        let wider = (!wide.open_height).then(|| self.higher(&wide, i, there)).flatten();
        let measured = |design: &Design, answer: Answer| self.measured(i, &wide, design, answer);
        let roomy = roomiest(wide.task()).ok().map(|a| measured(&wide.design, a));
        let least = |a: &Answer| a.clearance.unwrap_or(f64::INFINITY);
        let roomy =
            [roomy, same].into_iter().flatten().reduce(|a, b| if least(&a) < least(&b) { b } else { a });
        choices(&mut offered, &wide, (near, roomy, wider), &measured);
        for other in &mut offered.alternatives {
            other.centre = own.flat_from_skin(sheet.skin_from_flat(other.centre));
        }
        found.alternatives = offered.alternatives;
        found.said.extend(offered.said);
        Ok(())
    }

    /// An answer of a wide sheet with its clearance as a sheet close round it tells it.
    fn measured(&self, i: usize, wide: &Wanted, design: &Design, answer: Answer) -> Answer {
        let mark = &self.marks[i];
        if answer.clearance.is_none() {
            return answer;
        }
        let at = mark.own.flat_from_skin(wide.skin.skin_from_flat(answer.centre));
        let Some(chart) = Chart::on_body(mark.body, at, mark.turn, round_size(design)) else { return answer };
        let (centre, angle) = chart.pose();
        let close = mark.own.sheet(chart);
        Answer { clearance: clearance(design, Pose { centre, angle }, &close), ..answer }
    }

    /// A height that only a wider sheet round the place holds, with its place on the wide sheet.
    fn higher(&self, wide: &Wanted, i: usize, there: Point) -> Option<(f64, Answer)> {
        let mark = &self.marks[i];
        let (lo, hi) = mark.own.outline.bounds()?;
        let sheet = wide.skin;
        let one = mark.turned(box_at(&wide.design, 1.0));
        let most = (HIGHEST * (hi.y - lo.y) / one.y).min(WIDEST / one.x);
        let size = mark.turned(Vec2::new((one.x * most + LOOK_LEAST.x).min(WIDEST), HIGHEST * (hi.y - lo.y)));
        let held = sheet.chart()?.size();
        if most <= wide.design.height_mm || (size.x <= held.x && size.y <= held.y) {
            return None;
        }
        let at = mark.own.flat_from_skin(sheet.skin_from_flat(there));
        let chart = mark.flat_enough(at, size)?.aimed_at(mark.aim);
        let larger = mark.own.sheet(chart);
        let wanted = self.ground.wanted(&[self.unit[i]], &[Some(&larger)]).ok()?;
        let wanted = wary(wanted.into_iter().next()?, &larger);
        let (height, answer) = highest(&wanted, &wide.design)?;
        let centre = sheet.flat_from_skin(larger.skin_from_flat(answer.centre));
        Some((height, Answer { centre, ..answer }))
    }

    /// The sheets round the aims.
    fn round_aims(&self) -> Result<Vec<Skin>, Vec<Problem>> {
        let height = self.rungs().last().map_or(0.0, |r| r.0);
        let half = self.reach(height.max(self.height())) * (COUNTED / 2.0);
        (0..self.marks.len()).map(|i| self.round_aim(i, half)).collect()
    }

    fn round_aim(&self, i: usize, half: Vec2) -> Result<Skin, Vec<Problem>> {
        let mark = &self.marks[i];
        let size = box_of(mark.design);
        for share in [1.0, 0.5, 0.0] {
            let whole = size + mark.turned(half * (2.0 * share)) + Vec2::new(1.0, 1.0) * OVERHANG_MM;
            let at = mark.own.flat_from_skin(mark.aim);
            if let Some(chart) = Chart::on_body(mark.body, at, mark.turn, whole) {
                return Ok(mark.own.sheet(chart.to_look_in()));
            }
        }
        Err(vec![no_chart(&self.ground.job.marks[mark.k])])
    }

    fn wanted<'b>(
        &'b self,
        sheets: &'b [Skin],
        more: f64,
        bare: bool,
    ) -> Result<Vec<Wanted<'b>>, Vec<Problem>> {
        let refs: Vec<Option<&Skin>> = sheets.iter().map(Some).collect();
        let wanted = self.ground.wanted(&self.unit, &refs)?;
        let looked = |w: Wanted<'b>| Wanted { looked: self.looked(bare), ..w.with_more(more) };
        Ok(wanted.into_iter().map(looked).collect())
    }

    /// That no mark has a place: what would give, near their aims.
    fn nowhere(&self) -> Result<Vec<Sought>, Vec<Problem>> {
        (0..self.marks.len()).map(|i| self.refused(i)).collect()
    }

    fn refused(&self, i: usize) -> Result<Sought, Vec<Problem>> {
        let half = self.reach(self.height()) * (COUNTED / 2.0);
        let sheet = self.round_aim(i, half)?;
        let found = {
            let wanted = self.ground.wanted(&[self.unit[i]], &[Some(&sheet)])?;
            let Some(mut one) = wanted.into_iter().next() else { return Err(vec![]) };
            let place = Tally { enough: false, ..self.tally.clone() }.place();
            one.looked = Looked { boxes: 0, gave_up: false, bare: false, place };
            if !one.open_height {
                one.design.height_mm = one.design.height_mm.max(self.height());
            }
            let mut found = unplaced(&one);
            let when = if self.open() { "at any height of the ladder" } else { "at this height" };
            refuse(&mut found, &one, self.tally.none(), when);
            let own = self.marks[i].own;
            for other in &mut found.alternatives {
                other.centre = own.flat_from_skin(sheet.skin_from_flat(other.centre));
            }
            found
        };
        Ok((sheet, found))
    }
}

/// A mark wanted on a sheet with twice what that errs by kept clear of everything, so that a place there stands.
fn wary<'a>(wanted: Wanted<'a>, sheet: &Skin) -> Wanted<'a> {
    let more = 2.0 * sheet.chart().map_or(0.0, |c| c.figures.stroke_error) - slack(sheet);
    let mut wary = wanted.with_more(more);
    if let Some(less) = inset(&wary.searched, more + slack(sheet)) {
        wary.searched = less;
    }
    wary
}

/// Least net clearance of a mark to the walls of a sheet.
fn clearance(design: &Design, pose: Pose, sheet: &Skin) -> Option<f64> {
    let rings = lay_all(design, pose);
    let fits = sheet.features.iter().map(|f| lie(&rings, f)).filter(|f| f.wall);
    fits.map(|f| f.clearance).reduce(f64::min)
}

/// Length and height of a mark at a cap height.
fn box_at(design: &Design, height: f64) -> Vec2 {
    box_of(design) * (height / design.height_mm.max(NOISE_UNIT))
}
