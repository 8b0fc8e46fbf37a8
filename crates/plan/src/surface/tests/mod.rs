//! Made-up surfaces for the tests beside this file.

mod coarse;
mod curved;
mod layout;
mod ruled;
mod scanned;
mod unroll;

use super::wing::WingSkin;
use super::*;
use crate::job::*;
use crate::problem::Problem;

fn wing(right: bool, upper: bool, chord: [f64; 2], span: f64, sweep: f64) -> WingShape {
    let section = || At::assumed(SectionName::Naca("2412".to_owned()));
    WingShape {
        right,
        upper,
        span,
        chord,
        sweep,
        rise: 0.0,
        washout_deg: 0.0,
        section: [section(), section()],
        breaks: Vec::new(),
        tip_bow: At::assumed(0.0),
        girth: None,
        t_from_trailing: false,
    }
}

fn surface(shape: SurfaceShape) -> Surface {
    Surface {
        id: "panel".to_owned(),
        shape: At { value: shape, span: 7..11 },
        side: None,
        material: Material::Fabric,
        panel: None,
        ribs: None,
        parts: Vec::new(),
        features: Vec::new(),
    }
}

fn on_wing(shape: WingShape) -> Surface {
    surface(SurfaceShape::Wing(Box::new(shape)))
}

fn square() -> Surface {
    surface(SurfaceShape::Flat { corners: vec![[0.0, 0.0], [0.0, 400.0], [600.0, 400.0], [600.0, 0.0]] })
}

fn skin(shape: WingShape) -> Skin {
    develop(&on_wing(shape), &Attachments::default()).unwrap().0
}

fn inner(skin: &Skin) -> &WingSkin {
    match &skin.shape {
        SkinShape::Wing(wing) => wing,
        _ => panic!("a wing"),
    }
}

fn problems(surface: &Surface) -> Vec<Problem> {
    develop(surface, &Attachments::default()).unwrap_err()
}

fn feature(id: &str, shape: FeatureShape) -> Feature {
    Feature {
        id: id.to_owned(),
        kind: FeatureKind::Ring,
        shape,
        rivets: Rivets::default(),
        clearance: 6.35,
        removable: false,
        cross: Cross::Never,
        span: 100..120,
    }
}

const FACES: [(bool, bool); 4] = [(true, true), (true, false), (false, true), (false, false)];
