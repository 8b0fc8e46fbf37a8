//! From a surface of the job to its skin: checks what was measured, reads the section, unrolls, lays out.

use super::features::{BELIEVED_MM, Sheet, counter_clockwise};
use super::naca::Naca;
use super::ordinates::{self, Remarks};
use super::scan_lying::Drop;
use super::section::Section;
use super::wing::{Girth, WingSkin};
use super::{BodySkin, ScanSkin, Skin, SkinShape, clip, ribs};
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::job::{
    At, Attachments, ScanAxes, SectionName, SkinPair, Station, Surface, SurfaceShape, Unit, WingShape,
};
use crate::problem::Problem;
use crate::words::{inches, length, percent};
use geom::Point;

/// Difference, mm, between a girth measured and the section's own from which to look again: a quarter of an inch,
/// as the job file's description promises. Finding the round nose by hand is no surer.
pub const GIRTH_CAUTION_MM: f64 = 6.35;

/// Least chord at one end over the chord at the other. chosen: below it the apex stands at the rib, and a mark
/// there would lie on nothing.
pub const LEAST_TAPER: f64 = 0.01;

/// The skin of a surface, unrolled, and what is worth knowing about it. `files` holds what the surface names.
///
/// # Errors
/// Every reason in the job, or in a file it names, why the surface cannot be unrolled.
pub fn develop(surface: &Surface, files: &Attachments) -> Result<(Skin, Vec<Finding>), Vec<Problem>> {
    let mut findings = Vec::new();
    let mut problems = Vec::new();
    let bare = match &surface.shape.value {
        SurfaceShape::Flat { corners } => panel(surface, corners),
        SurfaceShape::Wing(wing) => face(surface, wing, files, &mut findings),
        SurfaceShape::Body { waterline, stations } => body(surface, *waterline, stations, &mut findings),
        SurfaceShape::Mesh { file, unit, smooth, axes } => {
            scan(surface, file, (*unit, *smooth), axes.as_ref(), files, &mut findings)
        }
    };
    let mut skin = bare?;
    if let SkinShape::Scan(scan) = &mut skin.shape {
        let lying = Drop::all(scan, surface, &mut findings, &mut problems);
        let laid = scan.as_ref().clone().with(lying);
        skin.features = laid.lying().features.iter().map(|(f, _)| f.clone()).collect();
        skin.parts = laid.lying().parts.iter().map(|(p, ..)| p.clone()).collect();
        **scan = laid;
        return if problems.is_empty() { Ok((skin, findings)) } else { Err(problems) };
    }
    let flat_from_user = |p: SkinPair| skin.flat_from_user(p);
    let sheet = Sheet { id: &surface.id, outline: &skin.outline, flat_from_user: &flat_from_user };
    let features =
        surface.features.iter().flat_map(|f| sheet.feature(f, &mut findings, &mut problems)).collect();
    let parts = surface.parts.iter().map(|p| sheet.part(p)).collect();
    let ribs = laid_ribs(surface, &skin, &mut findings, &mut problems);
    (skin.features, skin.parts, skin.ribs) = (features, parts, ribs);
    if problems.is_empty() { Ok((skin, findings)) } else { Err(problems) }
}

fn body(
    surface: &Surface,
    waterline: f64,
    stations: &[Station],
    findings: &mut Vec<Finding>,
) -> Result<Skin, Vec<Problem>> {
    let side = BodySkin::new(surface.side, waterline, stations).map_err(|what| {
        vec![
            Problem::at(surface.shape.span.clone(), format!("the body `{}` {what}", surface.id))
                .expected("stations by rising s, each round its waterline"),
        ]
    })?;
    findings.extend(side.told(&surface.id));
    let outline = side.outline();
    Ok(bare(surface, SkinShape::Body(Box::new(side)), outline, None))
}

fn scan(
    surface: &Surface,
    file: &At<String>,
    (unit, smooth): (Unit, f64),
    axes: Option<&ScanAxes>,
    files: &Attachments,
    findings: &mut Vec<Finding>,
) -> Result<Skin, Vec<Problem>> {
    let (scan, said) = ScanSkin::read(&surface.id, file, (unit, smooth), (axes, surface.side), files)
        .map_err(|problem| vec![problem])?;
    findings.extend(said);
    let outline = scan.outline();
    Ok(bare(surface, SkinShape::Scan(Box::new(scan)), outline, None))
}

fn bare(surface: &Surface, shape: SkinShape, outline: geom::Ring, girths: Option<[Girth; 2]>) -> Skin {
    Skin {
        id: surface.id.clone(),
        side: surface.side,
        shape,
        outline,
        girths,
        features: Vec::new(),
        parts: Vec::new(),
        ribs: Vec::new(),
    }
}

fn panel(surface: &Surface, corners: &[SkinPair]) -> Result<Skin, Vec<Problem>> {
    let complain = |what: String| {
        vec![
            Problem::at(surface.shape.span.clone(), format!("the panel `{}` {what}", surface.id))
                .expected("its corners in order, either way round"),
        ]
    };
    if corners.len() < 3 {
        return Err(complain(format!("has {} corners, three at least are needed", corners.len())));
    }
    if !corners.iter().flatten().all(|v| v.abs() <= BELIEVED_MM) {
        return Err(complain("has a corner more than 100 m away".to_owned()));
    }
    let points: Vec<Point> = corners.iter().map(|&[x, y]| Point::new(x, y)).collect();
    if let Some((i, j)) = clip::crossing_edges(&points) {
        return Err(complain(format!("crosses itself: its edges {} and {} meet", i + 1, j + 1)));
    }
    let ring = counter_clockwise(points);
    if ring.area() <= geom::tolerance::NOISE_MM * ring.perimeter() {
        return Err(complain("has no area".to_owned()));
    }
    Ok(bare(surface, SkinShape::Flat, ring, None))
}

fn face(
    surface: &Surface,
    shape: &WingShape,
    files: &Attachments,
    findings: &mut Vec<Finding>,
) -> Result<Skin, Vec<Problem>> {
    let mut problems = measures(surface, shape);
    let mut sections = Vec::new();
    let mut read: Vec<&SectionName> = Vec::new();
    for name in named_sections(shape) {
        // One section named twice is read once.
        let known = read.iter().position(|r| **r == name.value);
        match known.and_then(|k| sections.get(k).cloned()) {
            Some(section) => sections.push(section),
            None => match section(name, files) {
                Err(more) => problems.extend(more),
                Ok((section, remarks)) => {
                    let note = |r: String| Finding::new(Severity::Caution, "section", &surface.id, r);
                    findings.extend(remarks.into_iter().map(note));
                    sections.push(section);
                }
            },
        }
        read.push(&name.value);
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let wing = WingSkin::new(shape, &sections).map_err(|what| {
        vec![
            Problem::at(surface.shape.span.clone(), format!("the wing `{}` {what}", surface.id))
                .expected("edges, rise and twist that change gently from rib to rib"),
        ]
    })?;
    girth_findings(surface, shape, &wing, findings);
    findings.extend(strain_finding(surface, &wing));
    let (outline, girths) = (wing.outline(), Some(wing.girths()));
    Ok(bare(surface, SkinShape::Wing(Box::new(wing)), outline, girths))
}

/// The sections of root, kinks and tip; only one where all are the same.
fn named_sections(shape: &WingShape) -> Vec<&At<SectionName>> {
    let [root, tip] = &shape.section;
    let between = shape.breaks.iter().map(|b| b.section.as_ref().unwrap_or(root));
    let all: Vec<&At<SectionName>> = [root].into_iter().chain(between).chain([tip]).collect();
    if all.iter().all(|s| s.value == root.value) { vec![root] } else { all }
}

/// What one flat for a whole face that does not unroll costs.
fn strain_finding(surface: &Surface, wing: &WingSkin) -> Option<Finding> {
    let strain = wing.strain()?;
    let kinks = wing.breaks();
    let why = if kinks.is_empty() {
        "twist or different sections bend the skin two ways".to_owned()
    } else {
        format!(
            "the skin kinks at station {}",
            kinks.iter().map(|s| length(*s)).collect::<Vec<_>>().join(", ")
        )
    };
    let message = format!(
        "{why}: it is laid flat with the least error of length, {} at most, {} for 99 of 100, {} in the mean; a mark says \
         what it has under it",
        percent(strain.max),
        percent(strain.p99),
        percent(strain.rms)
    );
    Some(Finding::new(Severity::Note, "strain-panel", &surface.id, message).figures(
        strain.max,
        Bound::Max,
        strain.max,
        "",
    ))
}

/// What is wrong with the measures of a wing.
fn measures(surface: &Surface, shape: &WingShape) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut complain = |what: String, expected: &str| {
        let message = format!("the wing `{}` {what}", surface.id);
        problems.push(Problem::at(surface.shape.span.clone(), message).expected(expected));
    };
    let sound = |v: f64| 0.0 < v && v <= BELIEVED_MM;
    if !sound(shape.span) {
        complain(format!("has a span of {} mm", shape.span), "a length above 0 and up to 100 m");
    }
    if !shape.sweep.is_finite() || shape.sweep.abs() > BELIEVED_MM {
        complain(format!("has a sweep of {} mm", shape.sweep), "a length up to 100 m either way");
    }
    let mut ends = |what: &str, pair: [f64; 2]| {
        let [root, tip] = pair;
        if !(sound(root) && sound(tip)) {
            complain(format!("has {what} of {root} and {tip} mm"), "lengths above 0 and up to 100 m");
        } else if root.min(tip) < LEAST_TAPER * root.max(tip) {
            complain(
                format!("tapers from {what} of {root:.1} to {tip:.1} mm"),
                "a lesser end of at least 1 per cent of the greater one",
            );
        }
    };
    ends("chords", shape.chord);
    if let Some(girth) = &shape.girth {
        ends("girths", girth.value);
    }
    for rib in &shape.breaks {
        let [root, tip] = shape.chord;
        for (what, value) in [("chord", rib.chord), ("girth", rib.girth)] {
            let Some(value) = value else { continue };
            if !sound(value) || value < LEAST_TAPER * root.max(tip) {
                let message = format!(
                    "the wing `{}` has a {what} of {value} mm at station {}",
                    surface.id,
                    length(rib.s)
                );
                problems.push(
                    Problem::at(rib.span.clone(), message)
                        .expected("a length above 1 per cent of the longest chord and up to 100 m"),
                );
            }
        }
    }
    problems
}

fn section(name: &At<SectionName>, files: &Attachments) -> Result<(Section, Remarks), Vec<Problem>> {
    match &name.value {
        SectionName::Naca(digits) => match Naca::new(digits) {
            Ok(naca) => Ok((Section::Naca(naca), Remarks::new())),
            Err(what) => Err(vec![
                Problem::at(name.span.clone(), format!("`naca{digits}` names no section: {what}"))
                    .expected("a 4-digit section such as `naca2412`, or a 5-digit one such as `naca23012`"),
            ]),
        },
        SectionName::File(path) => match files.files.get(path) {
            Some(bytes) => ordinates::read(path, bytes),
            None => Err(vec![
                Problem::at(name.span.clone(), format!("the ordinate file `{path}` was not found"))
                    .expected("a two-column ordinate file beside the job file"),
            ]),
        },
    }
}

/// Girth, chord and difference at both ends, the leading edge's length if swept, and a caution where the girth
/// measured is not the section's.
fn girth_findings(surface: &Surface, shape: &WingShape, wing: &WingSkin, findings: &mut Vec<Finding>) {
    let side = if shape.upper { "upper" } else { "lower" };
    let tell = |g: &Girth| {
        let [used, chord] = [g.used(), g.chord].map(|mm| format!("{mm:.1} mm ({})", inches(mm)));
        format!("{used} over a chord of {chord}, {:+.1} mm", g.used() - g.chord)
    };
    let [root, tip] = wing.girths();
    let message = format!("{side} girth at the root {}, at the tip {}", tell(&root), tell(&tip));
    findings.push(Finding::new(Severity::Note, "girth", &surface.id, message));
    if wing.leading_edge() > wing.span() {
        let message = format!(
            "a tape along the {} leading edge reads {} where the span is {}",
            if wing.breaks().is_empty() { "swept" } else { "kinked" },
            length(wing.leading_edge()),
            length(wing.span())
        );
        findings.push(Finding::new(Severity::Note, "leading-edge", &surface.id, message));
    }
    let between = wing.girths_between().iter().map(|g| (format!("rib at {}", length(g.station)), *g));
    for (end, girth) in
        [("root".to_owned(), root)].into_iter().chain(between).chain([("tip".to_owned(), tip)])
    {
        let Some(measured) = girth.measured else { continue };
        if (measured - girth.computed).abs() > GIRTH_CAUTION_MM {
            let message = format!(
                "{side} girth at the {end} measured {}, by its section {}; the measured one is used",
                length(measured),
                length(girth.computed)
            );
            findings.push(
                Finding::new(Severity::Caution, "girth-measured", &surface.id, message)
                    .figures(measured, Bound::Should, girth.computed, "mm")
                    .source(Basis::Shop, "more than 1/4 in apart")
                    .hint("measure again from the section's own leading edge, and check section and chord"),
            );
        }
    }
}

fn laid_ribs(
    surface: &Surface,
    skin: &Skin,
    findings: &mut Vec<Finding>,
    problems: &mut Vec<Problem>,
) -> Vec<super::FlatRib> {
    let Some(wanted) = &surface.ribs else { return Vec::new() };
    let (from, to) = match (&skin.shape, skin.outline.bounds()) {
        (SkinShape::Wing(wing), _) => (0.0, wing.span()),
        (SkinShape::Body(body), _) => body.range(),
        (_, Some((low, high))) => (low.x, high.x),
        (_, None) => return Vec::new(),
    };
    match ribs::stations(&surface.id, wanted, from, to) {
        Err(what) => {
            let message = format!("the surface `{}` has {what}", surface.id);
            problems
                .push(Problem::at(surface.shape.span.clone(), message).expected("a distance such as 12 in"));
            Vec::new()
        }
        Ok((stations, caution)) => {
            findings.extend(caution);
            match &skin.shape {
                SkinShape::Wing(wing) => ribs::on_wing(wing, &stations, wanted.tape),
                SkinShape::Body(body) => ribs::on_body(body, &stations, wanted.tape),
                _ => ribs::on_panel(&skin.outline, &stations, wanted.tape),
            }
        }
    }
}
