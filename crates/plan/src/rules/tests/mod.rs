//! Tests of the rule packs as a whole; the marks in them are invented.

mod bounds;
mod contrast;
mod every_row;
mod height;
mod ledger;
mod others;
mod packs;
mod place;
mod text;
mod words;
mod worked;

use super::craft::{Category, Craft, Special};
use super::pack::{Hand, SurfaceKind, Tops};
use super::{CharacterFacts, MarkFacts, Pack, SkinSize, StrokeFacts, builtin};
use crate::finding::{Finding, Severity};

const INCH: f64 = 25.4;

/// The shop's tolerance in these tests, 1/16 in.
const SHOP_MM: f64 = INCH / 16.0;

const YEAR: Option<i32> = Some(2026);

fn pack(id: &str) -> Pack {
    let (_, text) = builtin().iter().find(|(known, _)| *known == id).unwrap();
    Pack::read(id, text).unwrap()
}

fn us() -> Pack {
    pack("us-14cfr45")
}

/// A craft of which every key is known and nothing is special.
fn craft(category: Category) -> Craft {
    Craft {
        category: Some(category),
        built: Some(2020),
        max_cruise_kt: Some(120.0),
        mass_kg: Some(900.0),
        special: Some(Special::None),
        adiz: Some(false),
    }
}

/// A mark laid out at exactly a pack's proportions, M and W at `wide` of the height.
fn laid(pack: &Pack, text: &str, height_mm: f64, wide: f64) -> MarkFacts {
    let lettering = pack.lettering();
    let standard = lettering.width_ratio.as_ref().map_or(0.6, |width| width.value);
    let stroke = lettering.stroke_ratio.as_ref().map_or(0.15, |stroke| stroke.value) * height_mm;
    let gap = lettering.gap_ratio.as_ref().map_or(0.25, |gap| gap.value) * standard * height_mm;
    let group = standard * height_mm;
    let character = |c: char| {
        let (least, most, _) =
            lettering.width_of(c).map_or((standard, standard, None), |(a, b, f)| (a, b, Some(f)));
        CharacterFacts {
            character: c,
            width_mm: wide.clamp(least, most) * height_mm,
            height_mm: (c != '-').then_some(height_mm),
            stroke: Some(StrokeFacts { min_mm: stroke, max_mm: stroke, median_mm: stroke }),
        }
    };
    let groups: Vec<&str> = text.split(' ').collect();
    let gaps: usize = groups.iter().map(|group| group.chars().count().saturating_sub(1)).sum();
    let characters: Vec<CharacterFacts> = text.chars().filter(|c| *c != ' ').map(character).collect();
    let widths: f64 = characters.iter().map(|character| character.width_mm).sum();
    MarkFacts {
        id: "reg".to_owned(),
        text: text.to_owned(),
        legal: true,
        location: None,
        surface: SurfaceKind::Body,
        half: None,
        face: None,
        side: Some(Hand::Left),
        height_mm,
        characters,
        gaps_mm: vec![gap; gaps],
        group_gaps_mm: vec![group; groups.len() - 1],
        lines_mm: vec![widths + gaps as f64 * gap + (groups.len() - 1) as f64 * group],
        slant_deg: 0.0,
        tops: Some(Tops::Up),
        baseline_deg: Some(0.0),
        to_leading_edge_mm: None,
        to_trailing_edge_mm: None,
        margin_mm: None,
        skin: SkinSize::default(),
        outlined: false,
        colours: 1,
    }
}

/// The worst finding of a code, if there is one.
fn worst(findings: &[Finding], code: &str) -> Option<Severity> {
    findings.iter().filter(|finding| finding.code == code).map(|finding| finding.severity).max()
}

/// The message of the first finding of a code.
fn message(findings: &[Finding], code: &str) -> String {
    findings
        .iter()
        .find(|finding| finding.code == code)
        .map(|finding| finding.message.clone())
        .unwrap_or_default()
}
