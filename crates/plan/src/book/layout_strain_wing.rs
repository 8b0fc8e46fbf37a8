//! The strain of a wing face that does not quite unroll: its one flat as a whole with the strain as tones, and below it the
//! same under each character, with its figure.

use super::layout_notes::heading;
use super::layout_strain::{
    Drawn, On, STRIP, TONES, Toned, cells_in_tones, halves, layer, side_by_side, tones_and_words,
};
use crate::fit::placed::{Placed, PlacedGlyph};
use crate::surface::{Skin, WingSkin};
use crate::words::{inches, length, percent};
use geom::{Affine, Point, Ring, Vec2};
use sheet::frame::fit_scale;
use sheet::tokens::{Colour, TYPE_LABEL};
use sheet::{Item, Role, Room, Text, pen};

/// Strain from which each tone is used on a wing, less by far than on skins that curve both ways. chosen: a tenth of a per
/// mille, from which a stroke of a yard is off by what a tape reads, begins the darkest but one.
const LEAST: [f64; 5] = [0.0, 0.000_002, 0.000_02, 0.0001, 0.001];

/// Pieces along each side of a character's box.
const PIECES: usize = 16;

/// The tones of a wing.
fn tones() -> [(f64, Colour); 5] {
    std::array::from_fn(|k| (LEAST[k], TONES[k].1))
}

/// The layers, and the scales of the face and of the characters.
pub(super) fn drawn(skin: &Skin, wing: &WingSkin, of: On<'_>, room: Room) -> Drawn {
    let [upper, lower] = halves(room);
    let whole = Room { lo: Point::new(room.lo.x, room.lo.y + STRIP), hi: room.hi }.inset(14.0);
    let (face, scale) = face(skin, wing, of, if of.marks.is_empty() { whole } else { upper });
    let mut layers = vec![layer("face", face)];
    let mut scales = [scale, scale];
    if !of.marks.is_empty() {
        let all = of.marks.iter().flat_map(|m| m.glyphs.iter().map(move |g| (*m, g)));
        let toned: Vec<Toned> = all.map(|(mark, glyph)| toned(skin, wing, mark, glyph)).collect();
        let (items, scale) = side_by_side("Strain of the flat under each character", &toned, &tones(), lower);
        layers.push(layer("strain", items));
        scales[1] = scale;
    }
    layers.push(layer("notes", tones_and_words(room, &tones(), &said(wing))));
    Drawn { layers, scales }
}

/// The whole face with its strain, ribs and kinks, and what is painted on it; and its scale.
fn face(skin: &Skin, wing: &WingSkin, of: On<'_>, room: Room) -> (Vec<Item>, f64) {
    let (lo, hi) = skin.outline.bounds().unwrap_or_default();
    let scale = fit_scale((hi.x - lo.x, hi.y - lo.y), (room.width(), room.height()));
    let on = Affine::translate(room.centre().to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-lo.midpoint(hi).to_vec2());
    let words = "The face laid flat in one piece";
    let mut items = vec![heading(Point::new(room.lo.x - 10.0, room.hi.y + 7.0), words)];
    let cells = wing.strained().into_iter();
    items.extend(cells_in_tones(cells.map(|(c, s)| (Ring::from_points(c.map(|p| on * p)), s)), &tones()));
    let stations = [0.0].into_iter().chain(wing.breaks()).chain([wing.span()]);
    for s in stations {
        let girth = skin.girth_at(s).unwrap_or_default();
        let ends = [0.0, girth].map(|t| on * skin.flat_from_skin([s, t]));
        let [low, high] = if ends[0].y < ends[1].y { ends } else { [ends[1], ends[0]] };
        items.push(Item::line([low - Vec2::new(0.0, 2.0), high + Vec2::new(0.0, 3.0)], pen(Role::Centre)));
        items.push(Item::Text(Text::centred(high + Vec2::new(0.0, 5.0), inches(s), TYPE_LABEL)));
    }
    items.push(Item::rings([&skin.outline.mapped(on)], pen(Role::Outline)));
    let painted = of.stripes.iter().flat_map(|s| s.painted.rings());
    let painted = painted.chain(of.marks.iter().flat_map(|m| m.rings()));
    let rings: Vec<Ring> = painted.map(|r| r.mapped(on)).collect();
    items.push(Item::rings(&rings, pen(Role::CutLine)));
    (items, scale)
}

/// One character about the middle of its box.
fn toned(skin: &Skin, wing: &WingSkin, mark: &Placed, glyph: &PlacedGlyph) -> Toned {
    let [left, right, _, top] = glyph.corners;
    let (along, up) = (right - left, top - left);
    let middle = left + (along + up) / 2.0;
    let level = Affine::rotate(-mark.angle) * Affine::translate(-middle.to_vec2());
    let at = |i: usize, j: usize| left + along * (i as f64 / PIECES as f64) + up * (j as f64 / PIECES as f64);
    let cells = (0..PIECES * PIECES).map(|k| {
        let (i, j) = (k / PIECES, k % PIECES);
        let corners = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
        let strain = wing.strain_at(corners[0].midpoint(corners[2]));
        (Ring::from_points(corners.map(|p| level * p)), strain)
    });
    let cells: Vec<(Ring, f64)> = cells.collect();
    // A slanted letter's box leans.
    let corners = glyph.corners.map(|p| level * p);
    let wider = |half: Vec2, c: &Point| Vec2::new(half.x.max(c.x.abs()), half.y.max(c.y.abs()));
    Toned {
        half: corners.iter().fold(Vec2::ZERO, wider),
        cells,
        rings: glyph.rings.iter().map(|r| r.mapped(level)).collect(),
        char: glyph.char,
        most: skin.figures_under(mark.angle, glyph.corners).map_or(0.0, |f| f.max_strain),
    }
}

fn said(wing: &WingSkin) -> Vec<String> {
    let mut words = vec![
        "Strain is how much a length on the flat differs from the skin below it.".to_owned(),
        "All marks and stripes lie in this one flat; the figures are those of each character's box."
            .to_owned(),
    ];
    if let Some(strain) = wing.strain() {
        let [most, nearly, mean] = [strain.max, strain.p99, strain.rms].map(percent);
        words.push(format!("The whole face: {most} at most, {nearly} for 99 of 100."));
        words.push(format!("In the mean it is {mean}."));
    }
    let kinks: Vec<String> = wing.breaks().into_iter().map(length).collect();
    if !kinks.is_empty() {
        words.push(format!("It gives most beside the kink at station {}.", kinks.join(", ")));
    }
    words
}

#[cfg(test)]
mod tests {
    use super::super::layout_strain::strain_page;
    use super::*;
    use crate::job::Attachments;
    use sheet::Run;

    /// Words on the page of strain of a wing with this much washout, the plan it is of, and the figure of each character.
    fn page(washout: u32) -> Option<(Vec<String>, Vec<String>)> {
        let job = format!(
            "title = 'x'\nunits = 'in'\n[[surface]]\nid = 'face'\nkind = 'wing'\nhalf = 'right'\nside = 'upper'\nspan = 180\n\
             chord = [60, 30]\nsection = ['naca2412', 'naca2412']\nwashout_deg = {washout}\n\
             [[mark]]\nid = 'name'\nsurface = 'face'\ntext = 'N2'\nheight = 20\nplace = {{ at = [90, 24] }}\n"
        );
        let plan = crate::run(&crate::job::read(&job).unwrap(), &Attachments::default()).unwrap();
        let (skin, mark) = (&plan.skins[0], &plan.marks[0]);
        let on = On { marks: &[mark], stripes: &[] };
        let sheet = strain_page(&plan.job, skin, on, (395.0, 250.0))?;
        let room = Room { lo: Point::ZERO, hi: Point::new(395.0, 250.0) };
        let texts = sheet.layers.iter().flat_map(|l| &l.items);
        let texts = texts.filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None });
        let texts: Vec<&Text> = texts.collect();
        assert!(texts.iter().flat_map(|t| t.corners()).all(|c| room.holds(c)), "all within the page");
        let plain = |run: &Run| if let Run::Plain(words) = run { words.clone() } else { " ".to_owned() };
        let words = texts.iter().map(|t| t.words.0.iter().map(plain).collect()).collect();
        let figure = |g: &PlacedGlyph| {
            let most = skin.figures_under(mark.angle, g.corners).unwrap().max_strain;
            format!("{}: {}", g.char, percent(most).replace(" per cent", " %"))
        };
        Some((words, mark.glyphs.iter().map(figure).collect()))
    }

    #[test]
    fn a_twisted_wing_has_a_page_of_strain_with_the_figure_of_each_character_and_one_that_unrolls_has_none() {
        let (words, figures) = page(6).unwrap();
        assert_eq!(figures.len(), 2);
        for figure in &figures {
            assert!(words.contains(figure), "{figure} {words:?}");
            assert!(!figure.ends_with(": 0 %"));
        }
        // Root and tip stand above the face.
        assert!(["0 in", "180 in"].iter().all(|s| words.iter().any(|w| w == s)), "{words:?}");
        assert!(page(0).is_none());
    }
}
