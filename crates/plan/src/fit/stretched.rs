//! Marks on a wing that does not quite unroll: what its flat costs under the mark.

use super::charts::ADVISE;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::surface::Figures;
use crate::words::{fine, is_nothing, percent};

/// What there is to say of a mark with these figures under it.
pub fn told(mark: &str, figures: &Figures) -> Vec<Finding> {
    let least = if figures.bound <= 0.0 {
        "across a kink no least is known".to_owned()
    } else if is_nothing(figures.bound) {
        "how little would do is not known".to_owned()
    } else {
        format!("no way has less than {} there", percent(figures.bound))
    };
    let message = format!(
        "the skin under the mark does not quite unroll: strain of {} at most ({least}), {} for 99 of 100, {} in the mean, \
         a straight stroke off by {}",
        percent(figures.max_strain),
        percent(figures.p99_strain),
        percent(figures.rms_strain),
        fine(figures.stroke_error)
    );
    let source = "least curvature times the square of the inscribed radius over 12";
    let mut said = vec![
        Finding::new(Severity::Note, "strain", mark, message)
            .figures(figures.max_strain, Bound::Max, ADVISE, "")
            .source(Basis::Practice, source),
    ];
    if ADVISE < figures.max_strain {
        let message = format!(
            "a pattern must stretch by {} to lie on this skin, straight strokes are off by up to {}",
            percent(figures.max_strain),
            fine(figures.stroke_error)
        );
        said.push(
            Finding::new(Severity::Caution, "strain-high", mark, message)
                .figures(figures.max_strain, Bound::Should, ADVISE, "")
                .source(Basis::Practice, "common practice, no source")
                .hint("move the mark clear of the kink, or make the letters smaller"),
        );
    }
    said
}
