//! What is shot, letter by letter and in which order: the paints, and the letters of each.
//!
//! Which paint goes first, and how far it reaches under the next, is the mask's (`mask::paint_order`, `mask::colours`).
//! Within a paint the marks come in the job's order, each along its baseline; if the air is known to come from one side,
//! from that side on, so that overspray drifts onto what is not shot yet.

use crate::fit::placed::Placed;
use crate::job::{AirFrom, Job};
use crate::mask::colours::{Part, colours};
use crate::mask::paint_order::PaintOrder;
use crate::mask::shelf::Measures;
use crate::stripe::joint::{is_stripe, left_of};
use crate::surface::Skin;
use geom::{Point, Ring};

/// A letter, or the piece of a further colour that goes with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shot {
    /// Index of its paint in the job.
    pub paint: usize,
    /// Index of its mark.
    pub mark: usize,
    /// Index of the character.
    pub glyph: usize,
    /// The character.
    pub char: char,
    /// Index of its skin.
    pub skin: usize,
    /// What it is painted over: the id of a ground or a paint; empty if not said.
    pub over: String,
    /// True for an outline or a shadow.
    pub further: bool,
    /// Its outlines, flat.
    pub rings: Vec<Ring>,
    /// Its size along the baseline and across it, mm.
    pub size: [f64; 2],
}

impl Shot {
    /// Its painted area, mm2.
    pub fn area(&self) -> f64 {
        self.rings.iter().map(Ring::area).sum()
    }

    /// Corners of the box round it.
    pub fn bounds(&self) -> Option<(Point, Point)> {
        bounds(&self.rings)
    }

    /// Distance between the boxes round two letters of one skin, mm; infinite on two skins.
    pub fn apart(&self, other: &Shot) -> f64 {
        let (Some((a, b)), Some((c, d)), true) = (self.bounds(), other.bounds(), self.skin == other.skin)
        else {
            return f64::INFINITY;
        };
        let gap = |lo: f64, hi: f64, lo2: f64, hi2: f64| (lo2 - hi).max(lo - hi2).max(0.0);
        gap(a.x, b.x, c.x, d.x).hypot(gap(a.y, b.y, c.y, d.y))
    }
}

fn bounds(rings: &[Ring]) -> Option<(Point, Point)> {
    let all = rings.iter().filter_map(Ring::bounds);
    all.reduce(|(a, b), (c, d)| {
        (Point::new(a.x.min(c.x), a.y.min(c.y)), Point::new(b.x.max(d.x), b.y.max(d.y)))
    })
}

/// Every letter in shooting order, those of one paint together. Marks whose paint the job does not have are left out.
pub fn shots(job: &Job, skins: &[Skin], marks: &[Placed]) -> Vec<Shot> {
    let mut all = Vec::new();
    let paints = PaintOrder::new(job, marks).ids;
    let narrow = job.masking.as_ref().map_or(0.0, |m| Measures::new(m).plug());
    for (m, mark) in marks.iter().enumerate() {
        let Some((_, own_over)) = job.painted_with(&mark.id) else { continue };
        let Some(skin) = skins.iter().position(|s| s.id == mark.surface) else { continue };
        let paint = |id: &str| job.paints.iter().position(|p| p.id == id);
        let mut order: Vec<usize> = (0..mark.glyphs.len()).collect();
        if let Some(from) = job.conditions.as_ref().and_then(|c| c.air_from) {
            let x = |g: &usize| mark.glyphs[*g].corners[0].midpoint(mark.glyphs[*g].corners[2]).x;
            order.sort_by(|a, b| x(a).total_cmp(&x(b)));
            if from == AirFrom::Right {
                order.reverse();
            }
        }
        let own = |glyph: usize, paint: usize, further: bool, over: &str, rings: Vec<Ring>| Shot {
            paint,
            mark: m,
            glyph,
            char: mark.glyphs[glyph].char,
            skin,
            over: over.to_owned(),
            further,
            rings,
            size: [
                mark.glyphs[glyph].corners[0].distance(mark.glyphs[glyph].corners[1]),
                mark.glyphs[glyph].corners[0].distance(mark.glyphs[glyph].corners[3]),
            ],
        };
        for colour in colours(job, mark, &paints, narrow) {
            let Some(p) = paint(&colour.paint) else { continue };
            let further = colour.part != Part::Letters;
            for g in &order {
                let rings = colour.glyphs[*g].clone();
                let rings =
                    if is_stripe(mark) { left_of(job, marks[..m].iter(), mark, rings) } else { rings };
                // A stripe wholly within another is painted with that.
                if !rings.is_empty() || !(further || is_stripe(mark)) {
                    all.push(own(*g, p, further, own_over, rings));
                }
            }
        }
    }
    let rank = |s: &Shot| paints.iter().position(|p| *p == job.paints[s.paint].id);
    all.sort_by_key(rank);
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Attachments;

    const NAME: &str = include_str!("../../../../hangar/21-six-letters-one-hand/job.toml");
    const TIMES: &[u8] = include_bytes!("../../../../hangar/21-six-letters-one-hand/our-times.toml");

    fn shot(text: &str) -> Vec<Shot> {
        let mut files = Attachments::default();
        files.files.insert("our-times.toml".to_owned(), TIMES.to_vec());
        let plan = crate::run(&crate::job::read(text).unwrap(), &files).unwrap();
        shots(&plan.job, &plan.skins, &plan.marks)
    }

    fn letters(shots: &[Shot]) -> String {
        shots.iter().map(|s| s.char).collect()
    }

    /// Downwind: the letter the air reaches first is shot first, so that overspray drifts onto bare skin.
    #[test]
    fn letters_are_shot_from_where_the_air_comes() {
        let from =
            |side: &str| NAME.replace("humidity = 50", &format!("humidity = 50\nair_from = \"{side}\""));
        assert_eq!(letters(&shot(NAME)), "HERONS");
        assert_eq!(letters(&shot(&from("left"))), "HERONS");
        assert_eq!(letters(&shot(&from("right"))), "SNOREH");
        let tall = from("left").replace("height = 30", "height = 30\ntops = \"forward\"");
        let tall = tall.replace("[170, 0], [170, 40], [0, 40]", "[60, 0], [60, 190], [0, 190]");
        // Standing one above the other no letter is nearer to the air: the order of reading stays.
        assert_eq!(letters(&shot(&tall)), "HERONS");
    }

    /// Closed form: two stripes of one paint that cross at a right angle are painted as one; of two paints each whole.
    #[test]
    fn stripes_of_one_paint_count_what_they_share_once() {
        let second = NAME.split("[[paint]]").nth(1).unwrap().split("[masking]").next().unwrap();
        for (paint, shared) in [("blue", 3.0 * 2.0), ("gold", 0.0)] {
            let gold = second.replace("id = \"blue\"", "id = \"gold\"").replace("#1b2f52", "#f2d16b");
            let stripes = format!(
                "[[stripe]]\nid = \"one\"\nsurface = \"left\"\nalong = {{ waterline = 2, from = 5, to = 105 }}\nwidth = 3\npaint = \
                 \"blue\"\n[[stripe]]\nid = \"two\"\nsurface = \"left\"\nthrough = [[50, 0.1], [50, 8.1]]\nwidth = 2\npaint = \
                 \"{paint}\"\n[[paint]]{gold}[masking]"
            );
            let surface = NAME.split("[[surface]]").nth(1).unwrap();
            let id = surface.split("id = \"").nth(1).unwrap().split('"').next().unwrap();
            let text = NAME.replace("[masking]", &stripes.replace("\"left\"", &format!("\"{id}\"")));
            let mut files = Attachments::default();
            files.files.insert("our-times.toml".to_owned(), TIMES.to_vec());
            let plan = crate::run(&crate::job::read(&text).unwrap(), &files).unwrap();
            let all = shots(&plan.job, &plan.skins, &plan.painted());
            let stripes: f64 = all.iter().filter(|s| s.char == crate::stripe::SIGN).map(Shot::area).sum();
            let wanted = 25.4 * 25.4 * (300.0 + 2.0 * 8.0 - shared);
            assert!((stripes / wanted - 1.0).abs() < 1e-5, "{paint}: {stripes} {wanted}");
        }
    }

    /// The lighter paint goes first wherever it stands in the job; each letter's outline goes with its letter.
    #[test]
    fn of_two_paints_the_lighter_is_shot_first() {
        let second = NAME.split("[[paint]]").nth(1).unwrap().split("[masking]").next().unwrap();
        for (colour, first) in [("#f2d16b", "gold"), ("#101010", "blue")] {
            let gold = second.replace("id = \"blue\"", "id = \"gold\"").replace("#1b2f52", colour);
            let text = NAME
                .replace("over = \"white\"", "over = \"white\"\noutline = { width = 0.5, paint = \"gold\" }")
                .replace("[masking]", &format!("[[paint]]{gold}[masking]"));
            let all = shot(&text);
            assert_eq!(letters(&all), "HERONSHERONS");
            let ids: Vec<bool> = all.iter().map(|s| s.further).collect();
            assert_eq!(
                ids,
                if first == "gold" { [[true; 6], [false; 6]] } else { [[false; 6], [true; 6]] }.concat()
            );
            for (own, line) in all[..6].iter().zip(&all[6..]) {
                // Half an inch wider on every side; a letter shot first reaches 1/16 in under its outline.
                let wider = if own.further { 12.7 } else { 12.7 - 25.4 / 16.0 };
                let (a, b) = if own.further { (own, line) } else { (line, own) };
                let (Some((lo, hi)), Some((lo2, hi2))) = (a.bounds(), b.bounds()) else { panic!("empty") };
                assert!(
                    (lo2.x - lo.x - wider).abs() < 0.02 && (hi.y - hi2.y - wider).abs() < 0.02,
                    "{}",
                    own.char
                );
            }
        }
    }
}
