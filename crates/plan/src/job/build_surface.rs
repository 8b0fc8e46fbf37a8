//! Makes the surfaces of a checked file, with their ribs, parts and features.

use super::build::{UNITS, at_text};
use super::checked::{Checked, Got};
use super::types::*;

/// One surface.
pub(crate) fn surface(table: &Checked) -> Surface {
    let sides =
        [("upper", Side::Upper), ("lower", Side::Lower), ("left", Side::Left), ("right", Side::Right)];
    let materials = [
        ("fabric", Material::Fabric),
        ("metal", Material::Metal),
        ("composite", Material::Composite),
        ("wood", Material::Wood),
        ("other", Material::Other),
    ];
    let shape = shape(table);
    let scan_unit = if let SurfaceShape::Mesh { unit, .. } = &shape { Some(unit.mm()) } else { None };
    Surface {
        id: table.text_or_empty("id"),
        shape: At { value: shape, span: table.span_of("kind") },
        side: table.meaning("side", &sides),
        material: table.meaning("material", &materials).unwrap_or(Material::Other),
        panel: table.text("panel").map(str::to_owned),
        ribs: table.table("ribs").map(ribs),
        parts: table.tables("part").map(|t| part(t, scan_unit)).collect(),
        features: table.tables("feature").map(|t| feature(t, scan_unit)).collect(),
    }
}

fn shape(table: &Checked) -> SurfaceShape {
    match table.text("kind") {
        Some("wing") => SurfaceShape::Wing(Box::new(wing(table))),
        Some("body") => SurfaceShape::Body {
            waterline: table.sure_number("waterline"),
            stations: table.tables("stations").map(station).collect(),
        },
        Some("mesh") => SurfaceShape::Mesh {
            file: at_text(table, "file").unwrap_or(At::assumed(String::new())),
            unit: table.meaning("unit", UNITS).unwrap_or(Unit::Mm),
            smooth: table.sure_number("smooth"),
            axes: axes(table),
        },
        _ => SurfaceShape::Flat { corners: table.points("corners") },
    }
}

/// The axes of a scan, if they are stated.
fn axes(table: &Checked) -> Option<ScanAxes> {
    let unit_mm = super::across_spots::scan_unit(table)?;
    let stated = table.table("axes")?;
    let point = |key: &str| stated.get(key).and_then(|got| got.scan_point(unit_mm));
    Some(ScanAxes { up: point("up")?, aft: point("aft")?, datum: point("datum").unwrap_or_default() })
}

fn wing(table: &Checked) -> WingShape {
    let section = |idx: usize| match table.list("section").get(idx) {
        Some(got) => At { value: section_name(got.text().unwrap_or_default()), span: got.span.clone() },
        None => At::assumed(SectionName::File(String::new())),
    };
    WingShape {
        right: table.text("half") == Some("right"),
        upper: table.text("side") == Some("upper"),
        span: table.sure_number("span"),
        chord: table.point("chord").unwrap_or_default(),
        sweep: table.sure_number("sweep"),
        rise: table.sure_number("rise"),
        washout_deg: table.sure_number("washout_deg"),
        section: [section(0), section(1)],
        breaks: table.tables("breaks").map(wing_break).collect(),
        tip_bow: At { value: table.sure_number("tip_bow"), span: table.span_of("tip_bow") },
        girth: table.point("girth").map(|value| At { value, span: table.span_of("girth") }),
        t_from_trailing: table.text("t_from") == Some("trailing-edge"),
    }
}

fn wing_break(table: &Checked) -> WingBreak {
    let section = table
        .get("section")
        .map(|got| At { value: section_name(got.text().unwrap_or_default()), span: got.span.clone() });
    WingBreak {
        s: table.sure_number("s"),
        chord: table.number("chord"),
        sweep: table.number("sweep"),
        rise: table.number("rise"),
        washout_deg: table.number("washout_deg"),
        section,
        girth: table.number("girth"),
        span: table.span.clone(),
    }
}

fn section_name(name: &str) -> SectionName {
    match name.strip_prefix("naca") {
        Some(digits) if digits.bytes().all(|b| b.is_ascii_digit()) => SectionName::Naca(digits.to_owned()),
        _ => SectionName::File(name.to_owned()),
    }
}

fn ribs(table: &Checked) -> Ribs {
    let at = match table.number("every") {
        Some(every) => RibStations::Every(every),
        None => RibStations::At(table.list("at").iter().filter_map(Got::number).collect()),
    };
    Ribs { at, tape: table.sure_number("tape") }
}

fn station(table: &Checked) -> Station {
    let outline = match table.number("half_width") {
        Some(half_width) => StationOutline::Superellipse {
            half_width,
            top: table.sure_number("top"),
            bottom: table.sure_number("bottom"),
            power: table.sure_number("power"),
        },
        None => StationOutline::Points(table.points("points")),
    };
    Station { s: table.sure_number("s"), outline }
}

fn part(table: &Checked, scan_unit_mm: Option<f64>) -> Part {
    let on_scan = |key: &str| scan_unit_mm.map_or_else(Vec::new, |unit_mm| table.scan_points(key, unit_mm));
    Part {
        id: table.text_or_empty("id"),
        corners: table.points("corners"),
        hinge: table.points("hinge"),
        scan_corners: on_scan("corners"),
        scan_hinge: on_scan("hinge"),
        span: table.span.clone(),
        control: table.flag("control"),
        balanced: table.flag("balanced"),
    }
}

/// The kinds of feature by their names in the job file.
const KINDS: &[(&str, FeatureKind)] = &[
    ("ring", FeatureKind::Ring),
    ("plate", FeatureKind::Plate),
    ("cap", FeatureKind::Cap),
    ("step", FeatureKind::Step),
    ("patch", FeatureKind::Patch),
    ("rivets", FeatureKind::Rivets),
    ("port", FeatureKind::Port),
    ("drain", FeatureKind::Drain),
    ("vent", FeatureKind::Vent),
    ("filler", FeatureKind::Filler),
    ("placard", FeatureKind::Placard),
    ("data-plate", FeatureKind::DataPlate),
    ("window", FeatureKind::Window),
    ("keep-out", FeatureKind::KeepOut),
    ("hinge", FeatureKind::Hinge),
    ("gap", FeatureKind::Gap),
    ("seam", FeatureKind::Seam),
    ("lap", FeatureKind::Lap),
];

/// The width of a path, mm: a row of rivets is at least as wide as their heads.
fn path_width(table: &Checked) -> f64 {
    table.sure_number("width").max(table.number("head").unwrap_or(0.0))
}

fn scan_shape(table: &Checked, unit_mm: f64) -> ScanShape {
    if let Some(diameter) = table.number("diameter") {
        let at = table.get("at").and_then(|got| got.scan_point(unit_mm));
        ScanShape::Disc { at: at.unwrap_or_default(), diameter }
    } else if table.get("path").is_some() {
        ScanShape::Path { path: table.scan_points("path", unit_mm), width: path_width(table) }
    } else {
        ScanShape::Area { corners: table.scan_points("corners", unit_mm) }
    }
}

fn feature(table: &Checked, scan_unit_mm: Option<f64>) -> Feature {
    let shape = if let Some(unit_mm) = scan_unit_mm {
        FeatureShape::Scan(scan_shape(table, unit_mm))
    } else if let Some(diameter) = table.number("diameter") {
        FeatureShape::Disc { at: table.point("at").unwrap_or_default(), diameter }
    } else if table.get("path").is_some() {
        FeatureShape::Path { path: table.points("path"), width: path_width(table) }
    } else {
        FeatureShape::Area { corners: table.points("corners") }
    };
    let crossings = [("never", Cross::Never), ("square", Cross::Square), ("any", Cross::Any)];
    Feature {
        id: table.text_or_empty("id"),
        kind: table.meaning("kind", KINDS).unwrap_or(FeatureKind::KeepOut),
        shape,
        rivets: Rivets { pitch: table.number("pitch"), head: table.number("head") },
        clearance: table.sure_number("clearance"),
        removable: table.flag("removable"),
        cross: table.meaning("cross", &crossings).unwrap_or(Cross::Never),
        span: table.span.clone(),
    }
}
