//! A mark on a body or scan as the drawing of its surface shows it: not its true shape, but where its edges lie.

use crate::fit::placed::Placed;
use crate::stripe::Laid;
use crate::surface::{Skin, SkinShape};
use geom::{Point, Ring};

/// Longest chord, mm, of an edge that is straight on its chart and bends on the drawing. chosen.
const CHORD_MM: f64 = 25.0;

/// Distance, mm, between a curve of a letter and its chords on the drawing.
const DRAWN_MM: f64 = 0.2;

/// The stripe with its outlines on the flat of its surface's own drawing.
pub(crate) fn drawn_stripe(stripe: &Laid, skin: &Skin) -> Laid {
    let mut shown = stripe.clone();
    let Some(charts) = &stripe.painted.charts else { return shown };
    shown.painted = drawn(&stripe.painted, skin);
    for list in [&mut shown.middle].into_iter().chain(&mut shown.edges).chain(&mut shown.flanks) {
        for p in list.iter_mut() {
            *p = on_drawing(&charts.sheet, skin, *p);
        }
    }
    for tick in &mut shown.ticks {
        tick.flat = on_drawing(&charts.sheet, skin, tick.flat);
    }
    shown
}

/// Where a reading of a stripe's own (station and t) stands on the drawing of its surface.
pub(crate) fn read_on_drawing(stripe: &Laid, skin: &Skin, reading: [f64; 2]) -> Point {
    match &stripe.painted.charts {
        Some(charts) if matches!(skin.shape, SkinShape::Scan(_)) => {
            on_drawing(&charts.sheet, skin, charts.sheet.flat_from_skin(reading))
        }
        _ => skin.flat_from_skin(reading),
    }
}

/// A flat point of a piece of skin on the drawing of the whole.
fn on_drawing(sheet: &Skin, skin: &Skin, p: Point) -> Point {
    match &skin.shape {
        SkinShape::Body(body) => body.flat(sheet.skin_from_flat(p)),
        SkinShape::Scan(scan) => sheet.space_from_flat(p).map_or(p, |q| scan.flat(q)),
        _ => p,
    }
}

/// Points round an outline, close enough together that each may be put where it lies.
pub(super) fn in_steps(ring: &Ring) -> Vec<Point> {
    let chords = Ring::from_points(ring.flattened(DRAWN_MM));
    let steps = chords.edges().flat_map(|e| {
        let parts = (e.length() / CHORD_MM).ceil().max(1.0);
        (0..parts as usize).map(|k| e.at(k as f64 / parts)).collect::<Vec<_>>()
    });
    steps.collect()
}

/// The mark with its outlines on the flat of its surface's own drawing.
pub(crate) fn drawn(mark: &Placed, skin: &Skin) -> Placed {
    let mut shown = mark.clone();
    let Some(charts) = &mark.charts else { return shown };
    let point = |p: Point| on_drawing(&charts.sheet, skin, p);
    let ring = |r: &Ring| Ring::from_points(in_steps(r).into_iter().map(point));
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
