//! The tape between two stripes of two paints: where a tape of real width makes the gap, that very tape masks the edge of
//! either, laid against the other once that is painted.

use super::plan::{Kind, Mask, Piece};
use super::together::{Together, half_way};
use crate::finding::{Basis, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::job::types::{Masking, Tape};
use crate::job::{AlongLine, Apart};
use crate::stripe::joint::{Over, flat};
use crate::words::length;
use geom::distance::point_to_edge;
use geom::tolerance::KEPT_MM;
use geom::{Point, Ring};

/// How far from its real width the gap may be where the tape lies in it, mm: what tape takes up on a skin that bends. chosen.
const OFF: f64 = 0.25;

/// A tape in the gap to a stripe that has a mask of its own.
#[derive(Debug)]
pub(super) struct GapTape {
    /// The tape.
    pub(super) tape: Tape,
    /// Id of the other stripe.
    other: String,
    /// The other stripe, flat.
    beyond: Vec<Ring>,
}

impl GapTape {
    /// True if it lies along an edge with all its length: the other stripe is as far off as it is wide, at every corner of
    /// the line and half-way.
    pub(super) fn lies_along(&self, line: &[Point]) -> bool {
        line.iter().copied().chain([half_way(line)]).all(|p| {
            let far = self.beyond.iter().flat_map(Ring::edges).map(|e| point_to_edge(p, &e));
            (far.fold(f64::INFINITY, f64::min) - self.tape.real).abs() <= OFF
        })
    }
}

/// Which tape lies in which gap, and what it is laid against.
pub(super) fn told(gaps: &[GapTape], mask: &Mask) -> Vec<Finding> {
    let laid = |gap: &&GapTape| {
        let own = |p: &Piece| p.kind == Kind::Edge && (p.width - gap.tape.real).abs() <= KEPT_MM;
        mask.pieces.iter().any(|p| own(p) && gap.lies_along(&p.path))
    };
    let told = gaps.iter().filter(laid).map(|gap| {
        Finding::new(
            Severity::Note,
            "gap-tape",
            &mask.of,
            format!(
                "the tape in the gap to {} is {} wide: laid to the marks before either is shot, against the painted edge of \
                 {} after that",
                gap.other,
                length(gap.tape.real),
                gap.other
            ),
        )
        .source(Basis::Practice, "common practice, no source")
    });
    told.collect()
}

/// The tapes in the gaps between what is masked in one and stripes that are not.
pub(super) fn gap_tapes(job: &Job, masking: &Masking, one: &Together, placed: &[Placed]) -> Vec<GapTape> {
    let pairs = job.stripes.iter().filter_map(|s| match s.along.as_ref().map(|a| &a.value.line) {
        Some(AlongLine::Stripe(of, Apart::Gap { gap, taped: true, .. })) => Some((&s.id, of, *gap)),
        _ => None,
    });
    let beyond = pairs.filter_map(|(a, b, gap)| {
        let other = match (one.serves(a), one.serves(b)) {
            (true, false) => b,
            (false, true) => a,
            _ => return None,
        };
        let other = placed.iter().find(|p| p.id == *other && p.surface == one.mark.surface)?;
        let tape = *masking.edge_tapes.iter().find(|t| (t.real - gap).abs() <= KEPT_MM)?;
        let beyond = flat(&Over::into(&one.mark, other)?.rings(&other.rings())?);
        Some(GapTape { tape, other: other.id.clone(), beyond })
    });
    beyond.collect()
}

#[cfg(test)]
mod tests {
    use crate::Plan;
    use crate::finding::Severity;
    use crate::mask::{Kind, Piece};
    use crate::stripe::trial::on_panel;

    fn two(paint: &str) -> Plan {
        let stripes = format!(
            "[[stripe]]\nid = \"a\"\nsurface = \"side\"\nwidth = 4\npaint = \"red\"\nalong = {{ waterline = 20, from = 10, to = 100 }}\n\
             [[stripe]]\nid = \"b\"\nsurface = \"side\"\nwidth = 1\npaint = \"{paint}\"\nalong = {{ stripe = \"a\", gap_tape = \"1/4 in\", side \
             = \"above\" }}\n"
        );
        on_panel([120, 50], &stripes)
    }

    /// By hand: of two paints either mask has the 6 mm tape all along the edge in the gap, from 10 to 100 in and from one edge
    /// to the other (558.8 to 564.8 mm high), and no other edge tape of that width; what reaches beyond lies on it.
    #[test]
    fn the_tape_that_makes_the_gap_lies_in_it() {
        let plan = two("gold");
        assert_eq!(plan.masking.masks.len(), 2);
        for mask in &plan.masking.masks {
            let narrow: Vec<&Piece> =
                mask.pieces.iter().filter(|p| p.kind == Kind::Edge && (p.width - 6.0).abs() < 1e-9).collect();
            let [tape] = narrow[..] else { panic!("{} {}", mask.of, narrow.len()) };
            let high: Vec<f64> =
                tape.footprint.iter().flat_map(|r| r.vertices.iter().map(|v| v.p.y)).collect();
            let (lo, hi) = high.iter().fold((f64::MAX, f64::MIN), |(l, h), y| (l.min(*y), h.max(*y)));
            assert!((lo - 558.8).abs() < 0.01 && (hi - 564.8).abs() < 0.01, "{lo} {hi}");
            assert!((tape.path_length() - 90.0 * 25.4).abs() < 0.01);
            let at = mask.pieces.iter().position(|p| p.id == tape.id).unwrap();
            assert!(mask.pieces.iter().any(|p| p.kind == Kind::Bridge && p.over.contains(&at)));
            let told =
                |code: &str| plan.findings.iter().filter(|f| f.code == code && f.about == mask.of).count();
            assert_eq!(told("gap-tape"), 1);
            assert!(plan.findings.iter().all(|f| f.about != mask.of || f.severity < Severity::Caution));
        }
        // Of one paint they share a mask, and one tape serves both edges.
        assert_eq!(two("red").masking.masks.len(), 1);
        assert!(two("red").findings.iter().all(|f| f.code != "gap-tape"));
    }
}
