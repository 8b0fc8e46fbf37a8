//! How many arm's reaches a mark takes, and where to stand for each.

use crate::fit::placed::Placed;
use crate::stripe::SIGN;
use crate::surface::{Skin, SkinShape};
use geom::{Affine, Point};

/// What one reaches without a step, mm: 5 ft (from memory; facts: a pull longer than that would touch paint, common
/// practice, no source).
pub const REACH: f64 = 1524.0;

/// One place to stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Stand {
    /// The stretch of the mark that is worked from it, flat: foot of its left end and foot of its right end.
    pub foot: [Point; 2],
    /// Indices of the characters whose middle lies in it.
    pub glyphs: Vec<usize>,
}

/// The places to stand for a mark, from its first letter on, all alike long.
pub fn stands(mark: &Placed) -> Vec<Stand> {
    let level = Affine::rotate(-mark.angle);
    let corners = || mark.glyphs.iter().flat_map(|g| g.corners).map(|p| level * p);
    let (from, to, low) = corners().fold((f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY), |a, p| {
        (a.0.min(p.x), a.1.max(p.x), a.2.min(p.y))
    });
    if from > to {
        return vec![];
    }
    let count = count(to - from);
    let each = (to - from) / count as f64;
    let back = level.inverse();
    let place = |g: usize| {
        let c = &mark.glyphs[g].corners;
        let middle = (level * c[0].midpoint(c[2])).x;
        (((middle - from) / each).floor().max(0.0) as usize).min(count - 1)
    };
    (0..count)
        .map(|k| {
            let at = |n: usize| back * Point::new(from + each * n as f64, low);
            Stand {
                foot: [at(k), at(k + 1)],
                glyphs: (0..mark.glyphs.len()).filter(|g| place(*g) == k).collect(),
            }
        })
        .collect()
}

/// How many reaches so long a stretch takes.
pub fn count(length: f64) -> usize {
    (length / REACH).ceil().max(1.0) as usize
}

/// Which way one stands, in words.
pub fn facing(mark: &Placed, skins: &[Skin]) -> &'static str {
    let stripe = mark.glyphs.iter().all(|g| g.char == SIGN);
    match mark.skin(skins).map(|s| &s.shape) {
        Some(SkinShape::Wing(_)) if stripe => "behind the trailing edge, the leading edge away from you",
        Some(SkinShape::Wing(_)) if mark.angle.cos() < 0.0 => {
            "before the leading edge, tops of the letters away from you"
        }
        Some(SkinShape::Wing(_)) => "behind the trailing edge, tops of the letters away from you",
        Some(SkinShape::Strip(_)) => "facing the skin, up before you",
        _ if stripe => "facing the panel, up before you",
        Some(SkinShape::Chart(_)) => "facing the skin, letters upright before you",
        _ => "facing the panel, letters upright before you",
    }
}

#[cfg(test)]
mod tests {
    use crate::job::Attachments;

    /// By hand: 12 letters H 12 in high are 8 in wide with gaps of 2 in, 118 in in all: two reaches of 59 in, six
    /// letters each.
    #[test]
    fn a_mark_of_118_in_is_worked_from_two_places() {
        let job = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\n\
                   corners = [[0, 0], [140, 0], [140, 30], [0, 30]]\n[[mark]]\nid = \"m\"\nsurface = \"s\"\n\
                   text = \"HHHHHHHHHHHH\"\nlegal = false\nheight = 12\nplace = { at = [70, 15] }\n";
        let plan = crate::run(&crate::job::read(job).unwrap(), &Attachments::default()).unwrap();
        let stands = super::stands(&plan.marks[0]);
        assert_eq!(stands.len(), 2);
        for (k, stand) in stands.iter().enumerate() {
            assert_eq!(stand.glyphs, (6 * k..6 * k + 6).collect::<Vec<_>>());
            assert!((stand.foot[0].distance(stand.foot[1]) - 59.0 * 25.4).abs() < 0.001);
            assert!((stand.foot[0].x - (70.0 - 59.0 * (1.0 - k as f64)) * 25.4).abs() < 0.001);
            assert!((stand.foot[0].y - 9.0 * 25.4).abs() < 0.001);
        }
        assert_eq!([1.0, 1524.0, 1524.1, 0.0].map(super::count), [1, 1, 2, 1]);
    }
}
