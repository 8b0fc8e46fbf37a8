//! Which way a mark reads: the angle of its baseline and of its tops, on the flat sheet.
//!
//! Angles are radians, counter-clockwise as seen facing the skin; 0 reads along +x with the tops up.

use super::{Skin, SkinShape};
use crate::job::{Side, Tops};
use geom::Point;
use std::f64::consts::{FRAC_PI_2, PI};

impl Skin {
    /// Angle of a baseline through the flat point `at`, tops towards the leading edge (on a flat panel: up).
    ///
    /// Along the developed leading edge 0 (on a wing that kinks, along that of its panel). Along the span: the span axis laid onto the tangent plane at that point;
    /// on a skin without taper or sweep the same. A flat panel has no span: 0.
    pub fn baseline_angle(&self, at: Point, along_span: bool) -> f64 {
        match &self.shape {
            SkinShape::Wing(wing) if along_span => wing.span_direction(at).atan2(),
            SkinShape::Wing(wing) => wing.edge_direction(at).atan2(),
            _ => 0.0,
        }
    }

    /// Angle of a mark at the flat point `at` whose tops point as asked; `None` is the surface's own default
    /// (leading edge on a wing, up on a flat panel).
    ///
    /// # Errors
    /// In words, why the tops or the baseline asked for make no sense on this surface.
    pub fn angle_for(&self, tops: Option<Tops>, along_span: bool, at: Point) -> Result<f64, String> {
        let baseline = self.baseline_angle(at, along_span);
        match &self.shape {
            SkinShape::Wing(_) => match tops {
                None | Some(Tops::LeadingEdge) => Ok(baseline),
                Some(Tops::TrailingEdge) => Ok(baseline + PI),
                Some(Tops::Up | Tops::Forward | Tops::Aft) => Err(
                    "on a wing the tops of a mark point to the `leading-edge` or the `trailing-edge`".to_owned(),
                ),
            },
            // A chart lies as its mark reads already.
            SkinShape::Chart(chart) => Ok(chart.pose().1),
            SkinShape::Strip(_) => Ok(0.0),
            SkinShape::Scan(_) => match tops {
                None => Ok(0.0),
                Some(_) => Err("on a scan the baseline points `toward` a point and the tops follow".to_owned()),
            },
            SkinShape::Flat | SkinShape::Body(_) if along_span => {
                Err("a flat panel or a body has no span; its baseline is square to its tops".to_owned())
            }
            SkinShape::Flat | SkinShape::Body(_) => match (tops, self.side) {
                (None | Some(Tops::Up), _) => Ok(0.0),
                // Facing the left side, the nose is at the viewer's left: a quarter turn counter-clockwise.
                (Some(Tops::Forward), Some(Side::Left)) | (Some(Tops::Aft), Some(Side::Right)) => Ok(FRAC_PI_2),
                (Some(Tops::Forward), Some(Side::Right)) | (Some(Tops::Aft), Some(Side::Left)) => Ok(-FRAC_PI_2),
                (Some(Tops::Forward | Tops::Aft), _) => Err(
                    "which way is forward on this panel is not known; give it `side = \"left\"` or `\"right\"`"
                        .to_owned(),
                ),
                (Some(Tops::LeadingEdge | Tops::TrailingEdge), _) => Err(
                    "a flat panel or a body has no leading edge; the tops of a mark point `up`, `forward` or `aft`".to_owned(),
                ),
            },
        }
    }
}
