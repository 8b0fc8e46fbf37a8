//! A mark on a body or scan as the drawing of its surface shows it: not its true shape, but where its edges lie.

use crate::fit::placed::Placed;
use crate::surface::{Skin, SkinShape};
use geom::{Point, Ring};

/// Longest chord, mm, of an edge that is straight on its chart and bends on the drawing. chosen.
const CHORD_MM: f64 = 25.0;

/// Distance, mm, between a curve of a letter and its chords on the drawing.
const DRAWN_MM: f64 = 0.2;

/// The mark with its outlines on the flat of its surface's own drawing.
pub(crate) fn drawn(mark: &Placed, skin: &Skin) -> Placed {
    let mut shown = mark.clone();
    let Some(charts) = &mark.charts else { return shown };
    let point = |p: Point| match &skin.shape {
        SkinShape::Body(body) => body.flat(charts.sheet.skin_from_flat(p)),
        SkinShape::Scan(scan) => charts.sheet.space_from_flat(p).map_or(p, |q| scan.flat(q)),
        _ => p,
    };
    let ring = |r: &Ring| {
        let chords = Ring::from_points(r.flattened(DRAWN_MM));
        let points = chords.edges().flat_map(|e| {
            let parts = (e.length() / CHORD_MM).ceil().max(1.0);
            (0..parts as usize).map(|k| point(e.at(k as f64 / parts))).collect::<Vec<_>>()
        });
        Ring::from_points(points.collect::<Vec<_>>())
    };
    for glyph in &mut shown.glyphs {
        glyph.rings = glyph.rings.iter().map(ring).collect();
        glyph.corners = glyph.corners.map(point);
    }
    for further in &mut shown.further {
        further.rings = further.rings.iter().map(ring).collect();
    }
    for fit in &mut shown.fit.features {
        fit.touch = fit.touch.map(|feet| feet.map(point));
    }
    shown
}
