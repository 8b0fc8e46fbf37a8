//! Where a mark is wanted before anything is in the way: where the job says, else what the rule asks for, else
//! the middle of where it may be.

use crate::job::{self, Place, Side};
use crate::marks::design::Design;
use crate::rules::pack::Location;
use crate::surface::Skin;
use geom::{Affine, Point, Ring, Vec2};

/// Halvings of the search for even distances to both edges of a wing: a metre comes down to a nanometre.
const HALVINGS: usize = 30;

/// Where the mark's centre is wanted, flat. `location` is the pack's, if the pack binds the mark; without a
/// `design` the mark counts as a point.
pub fn aim(
    mark: &job::Mark,
    skin: &Skin,
    allowed: &Ring,
    location: Option<&Location>,
    design: Option<&Design>,
) -> Point {
    if let Some(chart) = skin.chart() {
        return chart.aim();
    }
    match (&mark.place.value, mark.aim) {
        (Place::At(at), _) => return skin.flat_from_skin(*at),
        (_, Some(aim)) => return skin.flat_from_skin(aim),
        _ => {}
    }
    let (lo, hi) = allowed.bounds().unwrap_or_default();
    let middle = lo.midpoint(hi);
    match location {
        Some(place) if place.forward_half => forward(skin, lo, hi),
        Some(place) if place.centred && skin.girths.is_some() => {
            between_edges(mark, skin, middle, lo, hi, design)
        }
        _ => middle,
    }
}

/// The middle of what the mark may use of the half that is nearer the bow. Facing a left side the bow is at the
/// viewer's left.
fn forward(skin: &Skin, lo: Point, hi: Point) -> Point {
    let (skin_lo, skin_hi) = skin.outline.bounds().unwrap_or_default();
    let amidships = f64::midpoint(skin_lo.x, skin_hi.x);
    let (from, to) = match skin.side {
        Some(Side::Left) => (lo.x, hi.x.min(amidships)),
        Some(Side::Right) => (lo.x.max(amidships), hi.x),
        _ => (lo.x, hi.x),
    };
    // An area wholly in the after half has no such part.
    let x = if from < to { f64::midpoint(from, to) } else { f64::midpoint(lo.x, hi.x) };
    Point::new(x, f64::midpoint(lo.y, hi.y))
}

/// Straight across from the middle, where the mark's box is as far from the leading as from the trailing edge.
fn between_edges(
    mark: &job::Mark,
    skin: &Skin,
    middle: Point,
    lo: Point,
    hi: Point,
    design: Option<&Design>,
) -> Point {
    let tops = mark.tops.as_ref().map(|t| t.value);
    let half = design.map_or(Vec2::ZERO, |d| Vec2::new(d.length, 1.0) * (d.height_mm / 2.0));
    // Toward the leading edge y grows: how much nearer the mark is to the leading edge than to the trailing.
    let nearer = |y: f64| {
        let at = Point::new(middle.x, y);
        let turn = Affine::rotate(skin.angle_for(tops, mark.along_span, at).unwrap_or(0.0));
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| at + (turn * Point::new(x * half.x, y * half.y)).to_vec2());
        let (lead, trail) = corners.iter().fold((f64::INFINITY, f64::INFINITY), |(lead, trail), p| {
            let [s, t] = skin.skin_from_flat(*p);
            (lead.min(t), trail.min(skin.girth_at(s).unwrap_or(t) - t))
        });
        trail - lead
    };
    let (mut low, mut high) = (lo.y, hi.y);
    for _ in 0..HALVINGS {
        let y = f64::midpoint(low, high);
        if nearer(y) > 0.0 { high = y } else { low = y }
    }
    Point::new(middle.x, f64::midpoint(low, high))
}
