//! Makes the job of a checked file: head, craft, grounds, marks and stripes. Nothing can go wrong here any more.

use super::build_shop;
use super::build_surface;
use super::checked::{Checked, Got, Value};
use super::types::*;
use std::collections::BTreeMap;

/// The job of a file in which no problem was found.
pub(crate) fn job(top: &Checked) -> Job {
    let surfaces: Vec<Surface> = top.tables("surface").map(build_surface::surface).collect();
    let scan_units: BTreeMap<&str, f64> = surfaces
        .iter()
        .filter_map(|surface| match &surface.shape.value {
            SurfaceShape::Mesh { unit, .. } => Some((surface.id.as_str(), unit.mm())),
            _ => None,
        })
        .collect();
    let scan_unit = |item: &Checked| item.text("surface").and_then(|id| scan_units.get(id).copied());
    let marks = top.tables("mark").map(|item| mark(item, scan_unit(item))).collect();
    let masking = top.table("masking").map(build_shop::masking);
    let shelf = masking.as_ref().map_or(&[][..], |m| &m.edge_tapes);
    let stripes = top.tables("stripe").map(|item| stripe(item, scan_unit(item), shelf)).collect();
    Job {
        title: top.text_or_empty("title"),
        units: top.meaning("units", UNITS).unwrap_or(Unit::In),
        rules: at_text(top, "rules"),
        rule_tolerance: top.sure_number("rule_tolerance"),
        alike: top.list("alike").iter().map(|group| group.list().iter().map(text_of).collect()).collect(),
        alike_own_place: top.get("alike_place").and_then(Got::text) == Some("own"),
        craft: top.table("craft").map(craft).unwrap_or_default(),
        survey_error: survey_error(top),
        grounds: top.tables("ground").map(ground).collect(),
        marks,
        stripes,
        surfaces,
        masking,
        paints: top.tables("paint").map(build_shop::paint).collect(),
        gun: top.table("gun").map(build_shop::gun),
        conditions: top.table("conditions").map(build_shop::conditions),
        shop: top.table("shop").map(build_shop::shop),
        patterns: top.table("patterns").map(build_shop::patterns).unwrap_or_default(),
    }
}

/// The units by the names of the job file.
pub(crate) const UNITS: &[(&str, Unit)] =
    &[("in", Unit::In), ("ft", Unit::Ft), ("mm", Unit::Mm), ("cm", Unit::Cm), ("m", Unit::M)];

/// The text of a key with its place.
pub(crate) fn at_text(table: &Checked, key: &str) -> Option<At<String>> {
    let got = table.get(key)?;
    Some(At { value: got.text()?.to_owned(), span: got.span.clone() })
}

fn text_of(got: &Got) -> String {
    got.text().unwrap_or_default().to_owned()
}

/// Without a `[survey]` table the error is what its key says it is without being typed.
fn survey_error(top: &Checked) -> f64 {
    match top.table("survey") {
        Some(survey) => survey.sure_number("error"),
        None => super::keys::top::SURVEY.default_length_mm("error"),
    }
}

fn craft(table: &Checked) -> Craft {
    Craft {
        category: table.meaning(
            "category",
            &[
                ("fixed-wing", Category::FixedWing),
                ("glider", Category::Glider),
                ("rotorcraft", Category::Rotorcraft),
                ("airship", Category::Airship),
                ("balloon", Category::Balloon),
                ("powered-parachute", Category::PoweredParachute),
                ("weight-shift", Category::WeightShift),
                ("boat", Category::Boat),
                ("truck", Category::Truck),
            ],
        ),
        built: table.number("built").map(|year| year as i32),
        max_cruise_kt: table.number("max_cruise_kt"),
        mass_kg: table.number("mass_kg"),
        special: table.meaning(
            "special",
            &[
                ("none", Special::None),
                ("exhibition", Special::Exhibition),
                ("amateur-built", Special::AmateurBuilt),
                ("light-sport", Special::LightSport),
                ("limited", Special::Limited),
                ("restricted", Special::Restricted),
            ],
        ),
        adiz: table.get("adiz").map(|_| table.flag("adiz")),
    }
}

/// Colour or reflectance of a ground or paint.
pub(crate) fn tone(table: &Checked) -> Tone {
    match (table.get("colour"), table.number("reflectance")) {
        (Some(Got { value: Value::Colour(colour), .. }), _) => Tone::Colour(*colour),
        (_, Some(share)) => Tone::Reflectance(share),
        _ => Tone::Unknown,
    }
}

fn ground(table: &Checked) -> Ground {
    let finishes =
        [("solid", Finish::Solid), ("metallic", Finish::Metallic), ("clear-coated", Finish::ClearCoated)];
    Ground {
        id: table.text_or_empty("id"),
        tone: tone(table),
        finish: table.meaning("finish", &finishes).unwrap_or(Finish::Solid),
        shot: match table.get("shot") {
            Some(Got { value: Value::DateTime(moment), .. }) => Some(*moment),
            _ => None,
        },
        dry_to_tape: table.time_at("dry_to_tape"),
        scuff_after: table.number("scuff_after"),
    }
}

fn mark(table: &Checked, scan_unit_mm: Option<f64>) -> Mark {
    let at = |key: &str| table.get(key).map_or(0..0, |got| got.span.clone());
    let tops = [
        ("leading-edge", Tops::LeadingEdge),
        ("trailing-edge", Tops::TrailingEdge),
        ("up", Tops::Up),
        ("forward", Tops::Forward),
        ("aft", Tops::Aft),
    ];
    Mark {
        id: table.text_or_empty("id"),
        surface: table.text_or_empty("surface"),
        text: At { value: table.text_or_empty("text"), span: at("text") },
        location: at_text(table, "location"),
        legal: table.flag("legal"),
        letters: At { value: letters(table), span: at("letters") },
        height: At { value: height(table), span: at("height") },
        width_ratio: table.number("width_ratio"),
        wide_ratio: table.number("wide_ratio"),
        stroke_ratio: table.number("stroke_ratio"),
        gap_ratio: table.number("gap_ratio"),
        optical: At { value: table.text("spacing") == Some("optical"), span: at("spacing") },
        pairs: At { value: table.pairs("pairs"), span: at("pairs") },
        line_gap_ratio: table.sure_number("line_gap_ratio"),
        line_align: match table.text("line_align") {
            Some("left") => LineAlign::Left,
            Some("right") => LineAlign::Right,
            _ => LineAlign::Centre,
        },
        along_span: table.text("along") == Some("span"),
        slant_deg: At { value: table.sure_number("slant_deg"), span: at("slant_deg") },
        tops: table.meaning("tops", &tops).map(|value| At { value, span: at("tops") }),
        place: At { value: place(table, scan_unit_mm), span: at("place") },
        aim: table.point("aim"),
        scan_aim: scan_unit_mm.and_then(|unit_mm| {
            let point = |key: &str| table.get(key).and_then(|got| got.scan_point(unit_mm));
            Some(At { value: [point("aim")?, point("toward")?], span: at("aim") })
        }),
        within: table.points("within"),
        scan_within: At {
            value: scan_unit_mm.map_or_else(Vec::new, |unit_mm| table.scan_points("within", unit_mm)),
            span: at("within"),
        },
        paint: table.text_or_empty("paint"),
        over: table.text_or_empty("over"),
        outline: table.table("outline").map(|outline| At {
            value: (outline.sure_number("width"), outline.text_or_empty("paint")),
            span: outline.span.clone(),
        }),
        shadow: table.table("shadow").map(|shadow| At {
            value: (shadow.point("by").unwrap_or_default(), shadow.text_or_empty("paint")),
            span: shadow.span.clone(),
        }),
    }
}

fn letters(mark: &Checked) -> Letters {
    if let Some(font) = mark.table("letters") {
        return Letters::Font(font.text_or_empty("font"));
    }
    match mark.text("letters") {
        Some("clipped") => Letters::Clipped,
        Some("rounded") => Letters::Rounded,
        _ => Letters::Square,
    }
}

fn height(mark: &Checked) -> Height {
    match mark.text("height") {
        Some("largest") => Height::Largest,
        Some("legal") => Height::Legal,
        _ => Height::Given(mark.sure_number("height")),
    }
}

fn place(mark: &Checked, scan_unit_mm: Option<f64>) -> Place {
    if let Some(place) = mark.table("place") {
        if let Some(unit_mm) = scan_unit_mm {
            let point =
                |key: &str| place.get(key).and_then(|got| got.scan_point(unit_mm)).unwrap_or_default();
            return Place::OnMesh { at: point("at"), toward: point("toward") };
        }
        return Place::At(place.point("at").unwrap_or_default());
    }
    match mark.text("place") {
        Some("roomiest") => Place::Roomiest,
        _ => Place::Nearest,
    }
}

fn stripe(table: &Checked, scan_unit_mm: Option<f64>, shelf: &[Tape]) -> Stripe {
    let ends = [
        ("square", StripeEnd::Square),
        ("round", StripeEnd::Round),
        ("point", StripeEnd::Point),
        ("swallowtail", StripeEnd::Swallowtail),
        ("mitre", StripeEnd::Mitre),
        ("butt", StripeEnd::Butt),
    ];
    let end = |idx: usize| {
        let word = table.list("ends").get(idx).and_then(Got::text);
        ends.iter().find(|(name, _)| Some(*name) == word).map_or(StripeEnd::Square, |(_, end)| *end)
    };
    let through = table.list("through").iter().map(|point| match scan_unit_mm {
        Some(unit_mm) => point.scan_point(unit_mm).unwrap_or_default().to_vec(),
        None => point.point().unwrap_or_default().to_vec(),
    });
    Stripe {
        id: table.text_or_empty("id"),
        surface: table.text_or_empty("surface"),
        through: through.collect(),
        by_waterline: table.text("heights") == Some("waterline"),
        loose: table.list("loose").iter().filter_map(Got::number).collect(),
        along: table.table("along").and_then(|line| {
            Some(At { value: along(line, scan_unit_mm, shelf)?, span: table.span_of("along") })
        }),
        mirror_of: at_text(table, "mirror_of"),
        width: table.list("width").iter().filter_map(Got::number).collect(),
        ends: [end(0), end(1)],
        end_length: table.point("end_length"),
        paint: table.text_or_empty("paint"),
        over: table.text_or_empty("over"),
    }
}

/// What a stripe runs along; `None` if no line was made out. A tape of the `shelf` that makes a gap does so by its real
/// width.
fn along(table: &Checked, scan_unit_mm: Option<f64>, shelf: &[Tape]) -> Option<Along> {
    let edges = [
        ("leading-edge", SkinEdge::Leading),
        ("trailing-edge", SkinEdge::Trailing),
        ("upper", SkinEdge::Upper),
        ("lower", SkinEdge::Lower),
    ];
    let off = table.number("off").unwrap_or(0.0);
    let line = if let Some(height) = table.number("waterline") {
        AlongLine::Waterline(height)
    } else if let Some(edge) = table.meaning("edge", &edges) {
        AlongLine::Edge(edge)
    } else if let Some(id) = table.text("feature") {
        AlongLine::Feature(id.to_owned())
    } else if let Some(unit_mm) = scan_unit_mm
        && let [a, b] = table.scan_points("straight", unit_mm)[..]
    {
        AlongLine::ScanStraight([a, b])
    } else if let [a, b] = table.points("straight")[..] {
        AlongLine::Straight([a, b])
    } else {
        let below = table.text("side") == Some("below");
        let real = |label: f64| shelf.iter().find(|t| same_label(t.width, label)).map_or(label, |t| t.real);
        let gap = table.number("gap").or_else(|| table.number("gap_tape").map(real));
        let taped = table.number("gap").is_none();
        let apart = gap.map_or(Apart::Middles(off), |gap| Apart::Gap { gap, below, taped });
        AlongLine::Stripe(table.text("stripe")?.to_owned(), apart)
    };
    Some(Along { line, off, from: table.number("from"), to: table.number("to") })
}

/// True if two widths stand on one label.
pub(crate) fn same_label(a: f64, b: f64) -> bool {
    (a - b).abs() < geom::tolerance::OUTPUT_MM
}
