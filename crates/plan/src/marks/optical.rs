//! The white between two characters, as the eye weighs it.

use super::letters::Glyph;
use geom::Ring;

/// Rows a character is looked at in. chosen: eleven in a stroke of a sixth.
const ROWS: usize = 64;

/// Largest distance, in cap heights, between a curve and the chords its rows are cut with. chosen: a hundredth of a
/// stroke; it moves a gap by less than that.
const FLAT: f64 = 0.001;

/// Open area, at height 1, that `left` leaves on its right and `right` on its left within their boxes, between
/// baseline and caps, no deeper than `deepest`. The gap between the boxes is not counted.
pub(super) fn open_area(left: &Glyph, right: &Glyph, deepest: f64) -> f64 {
    let (of_left, of_right) = (edges(left), edges(right));
    let rows = (0..ROWS).map(|k| {
        let after = of_left[k].map_or(deepest, |e| (left.width - e.1).clamp(0.0, deepest));
        let before = of_right[k].map_or(deepest, |e| e.0.clamp(0.0, deepest));
        after + before
    });
    rows.sum::<f64>() / ROWS as f64
}

/// Leftmost and rightmost paint in each row; `None` in a row without paint.
fn edges(glyph: &Glyph) -> [Option<(f64, f64)>; ROWS] {
    let mut rows = [None; ROWS];
    for points in glyph.rings.iter().map(|r: &Ring| r.flattened(FLAT)) {
        for i in 0..points.len() {
            let (a, b) = (points[i], points[(i + 1) % points.len()]);
            let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
            // Rows are cut in their middles, (k + 1/2) / ROWS; an edge has those over its low end, up to its high end.
            let row = |y: f64| (y * ROWS as f64 - 0.5).ceil().clamp(0.0, ROWS as f64) as usize;
            for (k, edges) in rows.iter_mut().enumerate().take(row(high.y)).skip(row(low.y)) {
                let y = (k as f64 + 0.5) / ROWS as f64;
                let x = low.x + (high.x - low.x) * (y - low.y) / (high.y - low.y);
                let (lo, hi) = edges.unwrap_or((x, x));
                *edges = Some((x.min(lo), x.max(hi)));
            }
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::marks::letters::{Alphabet, Proportions, glyph};

    #[test]
    fn an_ell_opens_its_corner_and_an_aitch_nothing() {
        // Closed form: beside its stem an L is open over 1 - t of its height, here deeper than is counted.
        let t = 0.125;
        let p = Proportions { width: 0.75, wide: 1.0, stroke: t };
        let of = |c: char| glyph(Alphabet::Square, c, &p).unwrap();
        let got = open_area(&of('L'), &of('H'), 0.2);
        assert!((got - 0.2 * (1.0 - t)).abs() < 1e-12, "{got}");
        // Nothing is deeper than the arm of the L is long.
        let got = open_area(&of('L'), &of('H'), 9.0);
        assert!((got - (0.75 - t) * (1.0 - t)).abs() < 1e-12, "{got}");
        assert!(open_area(&of('H'), &of('I'), 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_slash_opens_two_triangles() {
        // Closed form: sides from (s, 0) to (w, 1): the area right of it is (w - s) / 2, to the last row.
        let p = Proportions { width: 0.8, wide: 1.0, stroke: 0.1 };
        let slash = glyph(Alphabet::Square, '/', &p).unwrap();
        let bar = glyph(Alphabet::Square, 'I', &p).unwrap();
        let lean = slash.rings[0].vertices[2].p.x - slash.rings[0].vertices[1].p.x;
        let got = open_area(&slash, &bar, 9.0);
        assert!((got - lean / 2.0).abs() < 1e-9, "{got} {lean}");
        assert!((open_area(&bar, &slash, 9.0) - lean / 2.0).abs() < 1e-9);
    }
}
