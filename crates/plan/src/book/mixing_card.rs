//! The mixing card of one paint: what to pour into each cup, to which line, and every figure it rests on, so that
//! it can be worked through again by hand.

use super::layout_notes::wrap;
use crate::job::Paint;
use crate::spray::Day;
use crate::spray::clock::{span_words, time};
use crate::spray::coverage::wet_film;
use crate::spray::mix::{lines, split};
use crate::spray::quantity::{Cup, PaintNeed};
use geom::{Point, Ring};
use sheet::advance::text_width;
use sheet::frame::{Paper, Way, frame, inside};
use sheet::pdf_font::Face;
use sheet::title_block::{Row, title_block};
use sheet::tokens::{SOFT_INK, TYPE_BODY, TYPE_FIGURE, TYPE_HEADING, TYPE_LABEL};
use sheet::{Fill, Item, Layer, Lean, Role, Sheet, Text, Weight, pen};

/// A cup as drawn: width at the rim and foot, and height, mm.
const CUP: (f64, f64, f64) = (34.0, 27.0, 62.0);
/// A bold line is this much wider than a regular one at most.
const BOLD: f64 = 1.16;
/// Most cups on one row, and most drawn.
const A_ROW: usize = 2;
const CUPS: usize = 4;

/// What a card shows.
pub struct Card<'a> {
    /// Title of the job.
    pub job_title: &'a str,
    /// The paint as the job gives it.
    pub paint: &'a Paint,
    /// What it takes.
    pub need: &'a PaintNeed,
    /// The day, if there is one.
    pub day: Option<&'a Day>,
    /// Share and ml that are mixed on top of the bare law, each cup.
    pub waste: (f64, f64),
    /// Pot life in this shop, minutes.
    pub pot_life_min: Option<f64>,
}

/// The card.
pub fn mixing_card(card: &Card<'_>) -> Sheet {
    let size = Paper::A4.size(Way::Portrait);
    let room = inside(size);
    let mut items = Vec::new();
    let left = room.lo.x + 6.0;
    let wide = room.width() - 12.0;
    let mut y = room.hi.y - 11.0;
    items.push(bold(Point::new(left, y), format!("Mix {}", card.paint.id), TYPE_HEADING));
    y -= 6.5;
    for part in wrap(&ratio(card.paint), wide, TYPE_FIGURE) {
        items.push(Item::Text(Text::new(Point::new(left, y), part, TYPE_FIGURE)));
        y -= 5.6;
    }
    y -= 2.4;
    for (n, cup) in card.need.cups.iter().take(CUPS).enumerate() {
        let at = Point::new(left + (n % A_ROW) as f64 * (wide / A_ROW as f64), y);
        items.extend(cup_drawing(card, n + 1, cup, at, wide / A_ROW as f64));
        if n % A_ROW == A_ROW - 1 || n + 1 == card.need.cups.len().min(CUPS) {
            y -= CUP.2 + 20.0;
        }
    }
    if card.need.cups.len() > CUPS {
        items.push(soft(
            Point::new(left, y + 4.0),
            format!("and {} more cups: their lines stand with their batches", card.need.cups.len() - CUPS),
        ));
    }
    for block in [films(card), figures(card)] {
        for (k, line) in block.iter().enumerate() {
            let at = Point::new(left, y);
            if k == 0 {
                items.push(bold(at, line.clone(), TYPE_FIGURE));
                y -= 6.0;
                continue;
            }
            for part in wrap(line, wide, TYPE_BODY) {
                items.push(Item::Text(Text::new(Point::new(left, y), part, TYPE_BODY)));
                y -= 4.8;
            }
        }
        y -= 3.5;
    }
    let table = title_block(
        Point::new(room.hi.x, room.lo.y),
        "Mixing card",
        &[
            Row::new("job", card.job_title),
            Row::new("paint", card.paint.id.as_str()),
            Row::new("first of all", "the paint's data sheet comes before this card"),
        ],
    );
    let warn = if card.paint.isocyanate {
        "Isocyanate: supplied air, gloves, nobody else near. See the safety data sheet."
    } else {
        "Solvent: exhaust, gloves, goggles, no flame. See the safety data sheet."
    };
    let mut warning = Vec::new();
    let mut at = table.room.hi.y - 5.0;
    for part in wrap(warn, (table.room.lo.x - left - 4.0) / BOLD, TYPE_BODY) {
        warning.push(Item::Text(Text {
            weight: Weight::Bold,
            ..Text::new(Point::new(left, at), part, TYPE_BODY)
        }));
        at -= 4.8;
    }
    Sheet {
        width_mm: size.0,
        height_mm: size.1,
        layers: vec![
            Layer { name: "border".into(), items: frame(size) },
            Layer { name: "card".into(), items },
            Layer { name: "warning".into(), items: warning },
            Layer { name: "title block".into(), items: table.items },
        ],
        title: format!("{}: mixing {}", card.job_title, card.paint.id),
        description: format!(
            "Cups of {}, with a line for each part, and the figures behind them.",
            card.paint.id
        ),
    }
}

fn ratio(paint: &Paint) -> String {
    if paint.parts.is_empty() {
        return "ready mixed: strain it".to_owned();
    }
    let parts: Vec<String> = paint.parts.iter().map(|(name, n)| format!("{} {name}", plain(*n))).collect();
    format!("by volume: {}", parts.join(" : "))
}

/// A number without noughts it does not need.
fn plain(x: f64) -> String {
    format!("{x:.2}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn cup_drawing(card: &Card<'_>, n: usize, cup: &Cup, at: Point, room: f64) -> Vec<Item> {
    let mut items = Vec::new();
    let go =
        if cup.go > 0 { format!("Cup {n}, go {}: {}", cup.go, cup.characters) } else { format!("Cup {n}") };
    items.push(bold(at, go, TYPE_FIGURE));
    let good = match (cup.mixed_at, cup.use_by) {
        (Some(mixed), Some(by)) => {
            let day = card.day.map(|d| format!("{}, ", d.clock.day_words(mixed))).unwrap_or_default();
            format!("{day}mix at {}, use by {}", time(mixed), time(by))
        }
        (Some(mixed), None) => format!("mix at {}", time(mixed)),
        _ => String::new(),
    };
    items.push(soft(Point::new(at.x, at.y - 4.6), good));
    items.push(soft(Point::new(at.x, at.y - 8.6), format!("for the {} coats", cup.coats.join(" and "))));

    let (rim, foot, tall) = CUP;
    let base = Point::new(at.x + 2.0 + (rim - foot) / 2.0, at.y - 14.0 - tall);
    let half = |h: f64| (foot + (rim - foot) * h / tall) / 2.0;
    let mid = base.x + foot / 2.0;
    let edge = |h: f64| [Point::new(mid - half(h), base.y + h), Point::new(mid + half(h), base.y + h)];
    // The cup is drawn four fifths full; its lines stand as on a straight-sided cup.
    let up = |ml: f64| 0.82 * tall * ml / cup.ml.max(1.0);
    let parts = split(cup.ml, &card.paint.parts);
    let mut from = 0.0;
    let fills = lines(&parts);
    for (k, full) in fills.iter().enumerate() {
        let ([a, b], [d, c]) = (edge(up(from)), edge(up(*full)));
        let lean = if k % 2 == 0 { Lean::Rising } else { Lean::Falling };
        let fill = Fill::Hatch { colour: SOFT_INK, spacing: [2.2, 3.0, 4.2][k % 3], lean };
        items.push(Item::filled([&Ring::from_points([a, b, c, d])], fill));
        from = *full;
    }
    let [a, b] = edge(0.0);
    let [d, c] = edge(tall);
    items.push(Item::line([d, a, b, c], pen(Role::CutLine)));
    let words_x = mid + half(tall) + 4.0;
    let mut below = f64::NEG_INFINITY;
    for (part, full) in parts.iter().zip(&fills) {
        let [l, r] = edge(up(*full));
        items.push(Item::line([l, r], pen(Role::CutLine)));
        // Two lines of words a part; thin parts push theirs up.
        let y = (base.y + up(*full)).max(below + 9.0);
        below = y;
        items.push(Item::line([r, Point::new(words_x - 1.0, y)], pen(Role::Leader)));
        items.push(bold(
            Point::new(words_x, y - 1.2),
            named(&part.name, &format!(" to {} ml", plain(*full)), at.x + room - words_x - 2.0),
            TYPE_BODY,
        ));
        items.push(soft(Point::new(words_x, y - 4.8), format!("{} ml of it", plain(part.ml))));
    }
    if parts.is_empty() {
        let [l, r] = edge(up(cup.ml));
        items.push(Item::line([l, r], pen(Role::CutLine)));
        items.push(bold(
            Point::new(words_x, base.y + up(cup.ml) - 1.2),
            format!("{} ml", plain(cup.ml)),
            TYPE_BODY,
        ));
    }
    items
}

/// A part's name and what follows it on `wide` mm: the name is cut where it leaves no room. It is measured as the
/// book prints it, where a sign its faces lack stands by its number.
fn named(name: &str, after: &str, wide: f64) -> String {
    let face = Face::new(Weight::Bold);
    let fits = |words: &str| text_width(&face.spelled(words), Weight::Bold) * TYPE_BODY <= wide;
    let whole = format!("{name}{after}");
    if fits(&whole) {
        return whole;
    }
    let mut kept: Vec<char> = name.chars().collect();
    loop {
        kept.pop();
        let cut = format!("{}\u{2026}{after}", kept.iter().collect::<String>().trim_end());
        if kept.is_empty() || fits(&cut) {
            return cut;
        }
    }
}

/// Wet film of each coat, for the film comb.
fn films(card: &Card<'_>) -> Vec<String> {
    let mut lines = vec!["On the film comb".to_owned()];
    let Some(solids) = card.paint.volume_solids else {
        lines.push("no solids are given: take the wet film from the data sheet".to_owned());
        return lines;
    };
    for (coat, wet) in card.paint.coats.iter().zip(&card.need.wet_film_um) {
        lines.push(format!(
            "{} coat, {} time{}: {:.0} µm wet each ({} µm dry / {})",
            coat.kind,
            coat.count,
            if coat.count == 1 { "" } else { "s" },
            wet,
            plain(coat.film_um),
            plain(solids)
        ));
    }
    if let Some(wet) = card.paint.coats.iter().find(|c| c.kind == "wet") {
        lines.push(format!(
            "each further tenth of reducer in the cup, if the data sheet allows it: the wet coat is {:.0} µm wet",
            wet_film(wet.film_um, solids, 0.1)
        ));
    }
    lines
}

/// Every step of the sum.
fn figures(card: &Card<'_>) -> Vec<String> {
    let need = card.need;
    let mut lines = vec!["Where it comes from".to_owned()];
    lines.push(format!(
        "painted {:.3} m²; with half a fan round it, on the skin, overlaps once: {:.3} m² sprayed",
        need.area_painted_m2, need.area_sprayed_m2
    ));
    if let (Some(solids), Some(landing)) = (card.paint.volume_solids, card.paint.transfer_efficiency) {
        lines.push(format!(
            "bare law, all at once: {:.3} m² × {} µm / (1000 × {} solids × {} landing) = {:.0} ml",
            need.area_sprayed_m2,
            plain(need.dry_film_um),
            plain(solids),
            plain(landing),
            need.volume_ml
        ));
        for (n, cup) in need.cups.iter().take(CUPS).enumerate() {
            lines.push(format!(
                "cup {}: {:.3} m² × {} µm / (1000 × {} × {}) = {:.0} ml; × {} + {} ml in gun and strainer, up to the next line: {} ml",
                n + 1,
                cup.area_m2,
                plain(cup.film_um),
                plain(solids),
                plain(landing),
                cup.bare_ml,
                plain(1.0 + card.waste.0),
                plain(card.waste.1),
                plain(cup.ml)
            ));
        }
    }
    if let Some(pot) = card.pot_life_min {
        lines.push(format!(
            "pot life in this shop {}, from the start of mixing",
            span_words(pot.floor() as i64)
        ));
    }
    if need.dry_mass_g > 0.0 {
        lines.push(format!(
            "dry on the skin: {:.3} m² × {} µm × {} kg/L = {:.0} g",
            need.area_painted_m2,
            plain(need.dry_film_um),
            plain(card.paint.dry_density.unwrap_or_default()),
            need.dry_mass_g
        ));
    }
    lines
}

fn bold(at: Point, words: String, size: f64) -> Item {
    Item::Text(Text { weight: Weight::Bold, ..Text::new(at, words, size) })
}

fn soft(at: Point, words: String) -> Item {
    Item::Text(Text { colour: SOFT_INK, ..Text::new(at, words, TYPE_LABEL + 0.5) })
}
