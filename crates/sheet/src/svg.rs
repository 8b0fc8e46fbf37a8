//! A sheet as SVG text: true size in millimetres, the same bytes for the same sheet every time.
//!
//! Whatever words a job contains, they come out as words: no text can turn into markup here. The writer
//! rounds to 0.001 mm and draws nothing that was not on the sheet, with one exception: if a number of an
//! item is not finite, the item is left out and a line at the foot of the sheet says so.

use crate::advance::{CAP_HEIGHT, FRACTION_AIR, FRACTION_SIZE};
use crate::model::{Anchor, Fill, Item, Layer, Lean, Outline, Path, Sheet, Text};
use crate::pens::{NARROW, Stroke};
use crate::tokens::{Colour, FAIL, FONT_STACK, MARGIN, PAPER, TYPE_LABEL};
use crate::words::{FRACTION_SLASH_CHAR, GAP, Run, Weight};
use geom::tolerance::NOISE_UNIT;
use geom::tolerance::OUTPUT_MM;
use geom::{Edge, Point, Ring};
use std::collections::BTreeSet;
use std::f64::consts::FRAC_PI_2;
use std::fmt::Write;

/// The sheet as an SVG document.
///
/// Width and height are in millimetres and the view box has millimetres as its unit, y turned downwards as
/// SVG wants it. Layers are groups whose ids come from their names.
pub fn write(sheet: &Sheet) -> String {
    written(sheet, true)
}

/// The same without the paper behind it: for a cutter, which would cut the paper's edge too.
pub fn write_bare(sheet: &Sheet) -> String {
    written(sheet, false)
}

fn written(sheet: &Sheet, paper: bool) -> String {
    let mut out = String::new();
    let (w, h) = (number(sheet.width_mm), number(sheet.height_mm));
    put(&mut out, &format!(r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm""#));
    put(&mut out, &format!(r#" viewBox="0 0 {w} {h}" role="img" font-family="{}""#, escaped(FONT_STACK)));
    put(&mut out, " style=\"font-variant-numeric: tabular-nums\">\n");
    put(&mut out, &format!("<title>{}</title>\n", escaped(&sheet.title)));
    put(&mut out, &format!("<desc>{}</desc>\n", escaped(&sheet.description)));
    put(&mut out, &hatch_patterns(sheet));
    if paper {
        put(
            &mut out,
            &format!("<rect id=\"paper\" width=\"{w}\" height=\"{h}\" fill=\"{}\"/>\n", PAPER.hex()),
        );
    }

    let mut left_out = 0;
    let mut ids = BTreeSet::from(["paper".to_owned()]);
    for layer in &sheet.layers {
        let id = layer_id(&layer.name, &mut ids);
        put(&mut out, &format!("<g id=\"{id}\" aria-label=\"{}\">\n", escaped(&layer.name)));
        for item in &layer.items {
            match item_text(item, sheet.height_mm) {
                Some(text) => put(&mut out, &text),
                None => left_out += 1,
            }
        }
        put(&mut out, "</g>\n");
    }
    if left_out > 0 {
        let words = format!("{left_out} not drawn: a place or size is not a number");
        let note = Text {
            colour: FAIL,
            ..Text::new(Point::new(MARGIN, MARGIN - 2.0 * TYPE_LABEL), words, TYPE_LABEL)
        };
        let note = item_text(&Item::Text(note), sheet.height_mm).unwrap_or_default();
        put(&mut out, &format!("<g id=\"left-out\">\n{note}</g>\n"));
    }
    put(&mut out, "</svg>\n");
    out
}

/// Appends; the one place where text grows.
fn put(out: &mut String, text: &str) {
    out.push_str(text);
}

/// A number rounded to the output step, without needless noughts and without a negative nought.
fn number(value: f64) -> String {
    let steps = (value / OUTPUT_MM).round();
    let text = format!("{:.3}", steps * OUTPUT_MM);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text that stays text inside an element or a quoted attribute.
///
/// White space becomes one kind of blank. Control characters, the invisible characters that reorder a line
/// (they could make a figure read backwards) and code points XML 1.0 forbids are dropped.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() => {}
            '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {}
            '\u{feff}' | '\u{fffe}' | '\u{ffff}' => {}
            c => out.push(c),
        }
    }
    out
}

/// An id of small letters, figures and hyphens made from a layer's name; a number is added if it is taken.
fn layer_id(name: &str, taken: &mut BTreeSet<String>) -> String {
    let mut slug = String::new();
    for c in name.chars() {
        if c.is_ascii_alphanumeric() {
            slug.push(c.to_ascii_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    let base = if slug.starts_with(|c: char| c.is_ascii_alphabetic()) {
        slug.to_owned()
    } else {
        format!("layer-{slug}").trim_end_matches('-').to_owned()
    };
    let mut id = base.clone();
    let mut next = 2;
    while !taken.insert(id.clone()) {
        id = format!("{base}-{next}");
        next += 1;
    }
    id
}

/// An item as an element; `None` if one of its numbers is not finite.
fn item_text(item: &Item, height: f64) -> Option<String> {
    match item {
        Item::Path(path) => path_text(path, height),
        Item::Circle { centre, radius, stroke, fill } => {
            let looks = looks(*stroke, *fill)?;
            let (x, y) = place(*centre, height)?;
            let r = finite(*radius)?;
            Some(format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{looks}/>\n"))
        }
        Item::Text(text) => text_text(text, height),
    }
}

fn finite(value: f64) -> Option<String> {
    value.is_finite().then(|| number(value))
}

/// A point of the sheet as SVG writes it, y downwards.
fn place(p: Point, height: f64) -> Option<(String, String)> {
    Some((finite(p.x)?, finite(height - p.y)?))
}

fn path_text(path: &Path, height: f64) -> Option<String> {
    let mut d = String::new();
    for outline in &path.outlines {
        d.push_str(&outline_text(outline, height)?);
    }
    let looks = looks(path.stroke, path.fill)?;
    Some(format!("<path d=\"{d}\"{looks}/>\n"))
}

fn outline_text(outline: &Outline, height: f64) -> Option<String> {
    let Some(first) = outline.vertices.first() else {
        return Some(String::new());
    };
    let (x, y) = place(first.p, height)?;
    let mut d = format!("M{x} {y}");
    for edge in outline.edges() {
        match edge {
            Edge::Line { b, .. } => {
                let (x, y) = place(b, height)?;
                write!(d, "L{x} {y}").ok()?;
            }
            Edge::Arc { radius, turn, b, .. } => {
                let r = finite(radius)?;
                // A radius rounded by half a step moves the middle of an arc by r - sqrt(r^2 - h^2), which
                // runs away as the chord 2 h nears the diameter. On a quarter turn the middle moves by less
                // than the rounding itself, so no arc is written longer than that; none needs the long-way
                // flag either. Turning left with y up is sweep 0 with y down.
                let sweep = u8::from(turn < 0.0);
                let parts = (turn.abs() / FRAC_PI_2 - NOISE_UNIT).ceil().clamp(1.0, 8.0) as u32;
                for k in 1..=parts {
                    let end = if k == parts { b } else { edge.at(f64::from(k) / f64::from(parts)) };
                    let (x, y) = place(end, height)?;
                    write!(d, "A{r} {r} 0 0 {sweep} {x} {y}").ok()?;
                }
            }
        }
    }
    if outline.closed {
        d.push('Z');
    }
    Some(d)
}

/// Attributes for line and filling.
fn looks(stroke: Option<Stroke>, fill: Option<Fill>) -> Option<String> {
    let mut text = match fill {
        None => r#" fill="none""#.to_owned(),
        Some(Fill::Plain(colour)) => format!(r#" fill="{}""#, colour.hex()),
        Some(Fill::Hatch { colour, spacing, lean }) => {
            format!(r#" fill="url(#{})""#, hatch_id(colour, finite(spacing)?.as_str(), lean))
        }
    };
    if let Some(stroke) = stroke {
        // A steady line is measured on the screen, where a bare number would mean pixels.
        let unit = if stroke.steady { "mm" } else { "" };
        write!(text, r#" stroke="{}" stroke-width="{}{unit}""#, stroke.colour.hex(), finite(stroke.width)?)
            .ok()?;
        let dashes: Vec<String> = stroke
            .dash
            .pattern()
            .iter()
            .map(|widths| format!("{}{unit}", number(widths * stroke.width)))
            .collect();
        if !dashes.is_empty() {
            write!(text, r#" stroke-dasharray="{}""#, dashes.join(" ")).ok()?;
        }
        if stroke.steady {
            text += r#" vector-effect="non-scaling-stroke""#;
        }
    }
    Some(text)
}

/// The id of a hatch says all there is to know of it, so that two drawings on one page that share an id
/// share the looks too.
fn hatch_id(colour: Colour, spacing: &str, lean: Lean) -> String {
    let lean = match lean {
        Lean::Rising => "rising",
        Lean::Falling => "falling",
    };
    format!("hatch-{lean}-{}-{}", spacing.replace('.', "p"), &colour.hex()[1..])
}

/// The definitions of all hatches on the sheet, each once, in a fixed order.
fn hatch_patterns(sheet: &Sheet) -> String {
    let mut patterns = BTreeSet::new();
    for item in sheet.layers.iter().flat_map(|layer: &Layer| &layer.items) {
        let (Item::Path(Path { fill, .. }) | Item::Circle { fill, .. }) = item else { continue };
        let Some(Fill::Hatch { colour, spacing, lean }) = *fill else { continue };
        let Some(s) = finite(spacing) else { continue };
        let id = hatch_id(colour, &s, lean);
        // An upright line in a square tile, turned; SVG turns clockwise.
        let angle = if lean == Lean::Rising { 45 } else { -45 };
        let middle = number(spacing / 2.0);
        patterns.insert(format!(
            "<pattern id=\"{id}\" patternUnits=\"userSpaceOnUse\" width=\"{s}\" height=\"{s}\" \
             patternTransform=\"rotate({angle})\"><path d=\"M{middle} 0V{s}\" fill=\"none\" stroke=\"{}\" \
             stroke-width=\"{}\"/></pattern>\n",
            colour.hex(),
            number(NARROW / 2.0),
        ));
    }
    if patterns.is_empty() {
        return String::new();
    }
    format!("<defs>\n{}</defs>\n", patterns.into_iter().collect::<String>())
}

fn text_text(text: &Text, height: f64) -> Option<String> {
    let (x, y) = place(text.at, height)?;
    let mut attributes = format!("x=\"{x}\" y=\"{y}\" font-size=\"{}\"", finite(text.size)?);
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => attributes += " text-anchor=\"middle\"",
        Anchor::End => attributes += " text-anchor=\"end\"",
    }
    if text.weight == Weight::Bold {
        attributes += " font-weight=\"bold\"";
    }
    let degrees = finite(-text.turn.to_degrees())?;
    if degrees != "0" {
        write!(attributes, " transform=\"rotate({degrees} {x} {y})\"").ok()?;
    }
    let mut inside = String::new();
    for run in &text.words.0 {
        match run {
            Run::Plain(letters) => inside += &escaped(letters),
            Run::Gap => inside.push(GAP),
            Run::Fraction { above, below } => {
                // Raised so that the tops of the small figures stand level with the tops of the large ones.
                let small = number(text.size * FRACTION_SIZE);
                let air = number(text.size * FRACTION_AIR);
                let rise = number(text.size * CAP_HEIGHT * (1.0 - FRACTION_SIZE));
                write!(
                    inside,
                    "<tspan font-size=\"{small}\" dy=\"-{rise}\">{above}</tspan>\
                     <tspan dx=\"{air}\" dy=\"{rise}\">{FRACTION_SLASH_CHAR}</tspan>\
                     <tspan dx=\"{air}\" font-size=\"{small}\">{below}</tspan>"
                )
                .ok()?;
            }
        }
    }
    // A rim drawn round the letters themselves would be shorter, but each small figure's rim would eat into
    // the figure before it.
    let under = if text.clears {
        item_text(&Item::filled([&Ring::from_points(text.corners())], Fill::Plain(PAPER)), height)?
    } else {
        String::new()
    };
    Some(format!("{under}<text {attributes} fill=\"{}\">{inside}</text>\n", text.colour.hex()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pens::{Role, pen};
    use crate::tokens::INK;
    use crate::words::Words;
    use proptest::prelude::*;

    fn sheet_with(items: Vec<Item>) -> Sheet {
        let layers = vec![Layer { name: "cut lines".into(), items }];
        Sheet { width_mm: 100.0, height_mm: 50.0, layers, title: "t".into(), description: "d".into() }
    }

    #[test]
    fn numbers_are_short_and_never_minus_nought() {
        for (value, wanted) in [
            (-0.0001, "0"),
            (1.0, "1"),
            (0.1 + 0.2, "0.3"),
            (-2.500_4, "-2.5"),
            (100.0, "100"),
            (1e6, "1000000"),
        ] {
            assert_eq!(number(value), wanted);
        }
    }

    #[test]
    fn a_circle_stays_round_and_is_cut_into_quarters() {
        let svg = write(&sheet_with(vec![Item::rings(
            [&Ring::circle(Point::new(20.0, 10.0), 5.0)],
            pen(Role::CutLine),
        )]));
        // Counter-clockwise from the left, bottom first: y 45 is the lowest point with y downwards.
        assert!(
            svg.contains("M15 40A5 5 0 0 0 20 45A5 5 0 0 0 25 40A5 5 0 0 0 20 35A5 5 0 0 0 15 40Z"),
            "{svg}"
        );
    }

    #[test]
    fn only_a_steady_line_is_told_not_to_scale() {
        let line =
            |steady| Item::line([Point::ZERO, Point::new(9.0, 9.0)], Stroke { steady, ..pen(Role::Hidden) });
        let plain = write(&sheet_with(vec![line(false)]));
        let steady = write(&sheet_with(vec![line(true)]));
        assert!(!plain.contains("vector-effect") && plain.contains(r#"stroke-width="0.35""#));
        assert!(steady.contains("non-scaling-stroke") && steady.contains(r#"stroke-width="0.35mm""#));
    }

    #[test]
    fn layers_with_one_name_get_two_ids() {
        let mut sheet = sheet_with(vec![]);
        for name in ["Cut  lines!", "paper", "4 rings", "\"><script>"] {
            sheet.layers.push(Layer { name: name.into(), items: vec![] });
        }
        let svg = write(&sheet);
        for id in ["cut-lines", "cut-lines-2", "paper-2", "layer-4-rings", "script"] {
            assert_eq!(svg.matches(&format!("<g id=\"{id}\"")).count(), 1, "{id} in {svg}");
        }
    }

    #[test]
    fn what_cannot_be_drawn_is_said_on_the_sheet() {
        let svg = write(&sheet_with(vec![Item::circle(Point::new(f64::NAN, 0.0), 2.0, pen(Role::CutLine))]));
        assert!(svg.contains("1 not drawn") && !svg.contains("NaN"), "{svg}");
    }

    #[test]
    fn a_hatch_is_defined_once_however_often_it_is_used() {
        let fill = Fill::Hatch { colour: INK, spacing: 2.5, lean: Lean::Rising };
        let ring = Ring::circle(Point::new(20.0, 10.0), 5.0);
        let svg = write(&sheet_with(vec![Item::filled([&ring], fill), Item::filled([&ring], fill)]));
        assert_eq!(svg.matches("<pattern ").count(), 1);
        assert_eq!(svg.matches("url(#hatch-rising-2p5-1f1c18)").count(), 2, "{svg}");
    }

    #[test]
    fn a_fraction_returns_to_the_baseline() {
        let words = Words(vec![Run::Fraction { above: 3, below: 8 }, Run::Plain(" in".into())]);
        let svg = write(&sheet_with(vec![Item::Text(Text::new(Point::ZERO, words, 4.0))]));
        let wanted = "<tspan font-size=\"2.8\" dy=\"-0.876\">3</tspan><tspan dx=\"0.28\" dy=\"0.876\">\u{2044}</tspan>\
                      <tspan dx=\"0.28\" font-size=\"2.8\">8</tspan> in";
        assert!(svg.contains(wanted), "{svg}");
    }

    #[test]
    fn only_words_that_ask_for_it_clear_what_lies_under_them() {
        let text = Text::new(Point::ZERO, "14 in", 4.0);
        let plain = write(&sheet_with(vec![Item::Text(text.clone())]));
        let clearing = write(&sheet_with(vec![Item::Text(Text { clears: true, ..text })]));
        let ground = format!("fill=\"{}\"", PAPER.hex());
        assert_eq!(plain.matches(&ground).count(), 1, "the paper itself: {plain}");
        assert_eq!(clearing.matches(&ground).count(), 2, "{clearing}");
        assert!(clearing.rfind(&ground) < clearing.find("<text"), "the ground comes first: {clearing}");
    }

    proptest! {
        /// Hostile words: every bracket in the output is one the writer itself put there, so the count of
        /// each does not depend on what the words say.
        #[test]
        fn words_never_become_markup(text in "(\\PC|[<>&\"'\\x00-\\x1f]|</text>|<script>|]]>|<!--|\u{202e}){0,12}") {
            let with = |text: &str| {
                let mut sheet = sheet_with(vec![Item::Text(Text::new(Point::ZERO, text, 4.0))]);
                sheet.title = text.into();
                sheet.description = text.into();
                sheet.layers[0].name = format!("cut {text}");
                write(&sheet)
            };
            let (svg, tame) = (with(&text), with("x"));
            for mark in ['<', '>', '"'] {
                prop_assert_eq!(svg.matches(mark).count(), tame.matches(mark).count(), "{}", svg);
            }
            prop_assert!(!svg.chars().any(|c| c.is_control() && c != '\n'));
            prop_assert_eq!(svg.lines().count(), tame.lines().count());
            for after in svg.split('&').skip(1) {
                prop_assert!(["amp;", "lt;", "gt;", "quot;", "#39;"].iter().any(|e| after.starts_with(e)));
            }
        }

        /// Arcs written with rounded numbers still pass within a few output steps of where they were.
        #[test]
        fn a_rounded_arc_stays_where_it_was(
            x in -50.0..50.0_f64, y in -50.0..50.0_f64, len in 0.5..200.0_f64, bulge in -3.0..3.0_f64,
        ) {
            let a = Point::new(x, y);
            let vertices = vec![
                geom::Vertex { p: a, bulge },
                geom::Vertex { p: a + geom::Vec2::new(len, 0.3 * len), bulge: 0.0 },
            ];
            let outline = Outline { vertices, closed: false };
            let Edge::Arc { centre, radius, .. } = outline.edges()[0] else { return Ok(()) };
            // Two written points and the written radius give back a centre; compare the middle of the arc.
            let d = outline_text(&outline, 0.0).unwrap();
            let arcs: Vec<Vec<f64>> = d[1..].split('A').map(|part| {
                part.split([' ', 'L']).map(|n| n.parse().unwrap()).collect()
            }).collect();
            for pair in arcs.windows(2) {
                let p = Point::new(pair[0][pair[0].len() - 2], -pair[0][pair[0].len() - 1]);
                let (r, sweep) = (pair[1][0], pair[1][4]);
                let q = Point::new(pair[1][5], -pair[1][6]);
                let half = (q - p) / 2.0;
                let rise = r - (r * r - half.hypot2()).max(0.0).sqrt();
                // Sweep 0 turns left with y up, so the middle lies to the right of the chord.
                let side = if sweep > 0.5 { 1.0 } else { -1.0 };
                let middle = p + half + geom::point::left_of(half.normalize()) * side * rise;
                let off = ((middle - centre).hypot() - radius).abs();
                prop_assert!(off <= 2.0 * OUTPUT_MM, "off {off}, {d}");
            }
        }
    }
}
