//! A mark in its place: its size, its outlines on the flat skin, and how it lies to every feature.

use super::charts::Charts;
use super::search::Answer;
use crate::marks::design::Design;
use crate::surface::Skin;
use geom::tolerance::KEPT_MM;
use geom::{Point, Ring};

/// A mark placed on a skin.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The mark's id.
    pub id: String,
    /// Id of its surface.
    pub surface: String,
    /// What it says.
    pub text: String,
    /// Cap height, mm.
    pub height: f64,
    /// Overall length along the baseline, mm; of slanted letters with their overhang, of several lines the longest.
    pub length: f64,
    /// Stroke thickness, mm.
    pub stroke: f64,
    /// Gap between neighbouring characters, mm.
    pub gap: f64,
    /// Centre of the mark's box, flat.
    pub centre: Point,
    /// Turn from reading along +x, radians counter-clockwise.
    pub angle: f64,
    /// Its characters.
    pub glyphs: Vec<PlacedGlyph>,
    /// Its further colours: an outline or a shadow; none for a mark of one colour.
    pub further: Vec<Further>,
    /// How it lies.
    pub fit: FitReport,
    /// On a skin that curves both ways the charts it lies in; `None` where the skin unrolls.
    pub charts: Option<Box<Charts>>,
}

impl Placed {
    /// The skin it is laid on: its surface's, on a body or scan the piece round it.
    pub fn skin<'a>(&'a self, skins: &'a [Skin]) -> Option<&'a Skin> {
        match &self.charts {
            Some(charts) => Some(&charts.sheet),
            None => skins.iter().find(|s| s.id == self.surface),
        }
    }

    /// The outlines of its characters.
    pub fn rings(&self) -> Vec<Ring> {
        self.glyphs.iter().flat_map(|g| g.rings.iter().cloned()).collect()
    }

    /// Every paint edge: the outlines of its characters and of its further colours.
    pub fn all_rings(&self) -> Vec<Ring> {
        let further = self.further.iter().flat_map(|f| f.rings.iter().cloned());
        self.rings().into_iter().chain(further).collect()
    }

    /// What it says on one line, for a sentence.
    pub fn words(&self) -> String {
        self.text.replace('\n', " / ")
    }
}

/// A further colour of a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Further {
    /// Id of its paint.
    pub paint: String,
    /// True for a shadow, false for an outline.
    pub shadow: bool,
    /// What shows of it beside the mark's own paint, flat: outer counter-clockwise, holes clockwise.
    pub rings: Vec<Ring>,
}

/// One character in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedGlyph {
    /// The character.
    pub char: char,
    /// Its width, mm.
    pub width: f64,
    /// The four corners of its box, flat: baseline left, baseline right, cap right, cap left.
    pub corners: [Point; 4],
    /// Its outlines, flat: outer counter-clockwise, holes clockwise.
    pub rings: Vec<Ring>,
}

/// How a mark lies to the features of its surface.
#[derive(Clone, Debug, PartialEq)]
pub struct FitReport {
    /// How the place came about.
    pub status: FitStatus,
    /// Where the middle was wanted, flat.
    pub aim: Point,
    /// Where a place was looked for, flat.
    pub allowed: Ring,
    /// Least net clearance over the features with walls, mm; `None` if there are none.
    pub clearance: Option<f64>,
    /// How sure that is, given the survey's error.
    pub certain: Certain,
    /// Each feature of the surface.
    pub features: Vec<FeatureFit>,
    /// Other places or sizes that would do.
    pub alternatives: Vec<Alternative>,
    /// What was proved about the place; `None` where the user gave it.
    pub certificate: Option<Certificate>,
}

impl FitReport {
    /// Of a place that was given; features are judged later.
    pub fn given(aim: Point, allowed: Ring) -> FitReport {
        FitReport {
            status: FitStatus::Given,
            aim,
            allowed,
            clearance: None,
            certain: Certain::Sure,
            features: vec![],
            alternatives: vec![],
            certificate: None,
        }
    }
}

/// What a search proved about the place it gave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Certificate {
    /// What was asked.
    pub asked: Asked,
    /// What was proved, mm: no place is nearer to the aim (nearest), none has more clearance (roomiest);
    /// `None` if there is no place, or no wall.
    pub bound: Option<f64>,
    /// What the answer has, mm: its distance to the aim, its clearance; `None` as above.
    pub answer: Option<f64>,
    /// Boxes of places that were looked at.
    pub boxes: usize,
    /// True if the proof is complete.
    pub proved: bool,
}

/// What a search was asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// The place nearest to the aim.
    Nearest,
    /// The place with the greatest clearance.
    Roomiest,
}

/// Another place or size that would do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alternative {
    /// What it is the best of.
    pub why: Why,
    /// Cap height, mm.
    pub height: f64,
    /// Gap between neighbouring characters, mm.
    pub gap: f64,
    /// Centre of the mark's box, flat.
    pub centre: Point,
    /// Least net clearance over the features with walls, mm; `None` if there are none.
    pub clearance: Option<f64>,
}

impl Alternative {
    /// From a design and the place found for it.
    pub fn new(why: Why, design: &Design, answer: &Answer) -> Alternative {
        Alternative {
            why,
            height: design.height_mm,
            gap: design.gap * design.height_mm,
            centre: answer.centre,
            clearance: answer.clearance,
        }
    }
}

/// What an alternative is the best of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The place nearest to the aim.
    Nearest,
    /// The place with the greatest clearance.
    Roomiest,
    /// The largest height that fits.
    Largest,
    /// The place that meets most wishes: whole covers, ribs, seams, even margins.
    Easiest,
    /// The place with the cleanest crossing of features that allow it.
    Crossing,
    /// Another gap between characters.
    Gap,
}

/// How a place came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FitStatus {
    /// It was searched for and found.
    Placed,
    /// It was searched for and there is none: the mark lies at the aim.
    None,
    /// The user gave it.
    Given,
}

/// How sure a clearance is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certain {
    /// At least the survey's error to spare.
    Sure,
    /// Within the survey's error: measure again.
    ReMeasure,
    /// Not kept even if every measurement erred in our favour.
    No,
}

/// How a mark lies to one feature.
#[derive(Clone, Debug, PartialEq)]
pub struct FeatureFit {
    /// The feature's id.
    pub id: String,
    /// By the true shapes, whatever the clearance.
    pub relation: Relation,
    /// Net clearance, mm: least signed distance less the clearance asked.
    pub clearance: f64,
    /// True if it counts as a wall at this place.
    pub wall: bool,
    /// Where paint edge and feature are nearest to each other, flat: on the edge, on the feature's rim. `None`
    /// where an edge runs through an area.
    pub touch: Option<[Point; 2]>,
}

impl FeatureFit {
    /// How much is lacking, mm, where it is a wall that is not kept.
    pub fn short(&self) -> Option<f64> {
        (self.wall && self.clearance < -KEPT_MM).then_some(-self.clearance)
    }

    /// What stands in the place of a clearance, where nothing is asked that could be kept.
    pub fn asks_none(&self) -> Option<&'static str> {
        match (self.wall, self.relation) {
            (true, _) => None,
            (false, Relation::Split) => Some("painted with it"),
            (false, Relation::Crossed) => Some("as allowed"),
            (false, _) => Some("asks nothing"),
        }
    }
}

/// Of several marks and stripes the one that lies worst to a feature, and how: a wall that is not kept before a feature
/// that paint touches, that before one it passes, the least clearance first.
pub fn worst<'a>(
    painted: impl Iterator<Item = &'a Placed>,
    id: &str,
) -> Option<(&'a Placed, &'a FeatureFit)> {
    let rank = |f: &FeatureFit| match (f.short(), f.relation) {
        (Some(_), _) => 0,
        (None, Relation::Clear) => 2,
        _ => 1,
    };
    painted
        .flat_map(|m| m.fit.features.iter().map(move |f| (m, f)))
        .filter(|(_, f)| f.id == id)
        .min_by(|(_, a), (_, b)| rank(a).cmp(&rank(b)).then(a.clearance.total_cmp(&b.clearance)))
}

/// How a feature and the paint lie to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// Apart.
    Clear,
    /// The feature lies wholly under paint.
    InsidePaint,
    /// The feature lies wholly in the counter of a character.
    InsideCounter,
    /// A paint edge enters the feature.
    Crossed,
    /// A paint edge crosses a cover that comes off: it is painted with the mark, off the aircraft.
    Split,
}
