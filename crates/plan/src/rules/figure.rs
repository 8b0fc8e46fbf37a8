//! One number of a rule, with all that a painter needs to trust it: its unit, how it binds, how well its
//! source is known, and the clause.

use super::reading::{both, trimmed};
use crate::finding::{Basis, Bound};
use crate::words::inches;

/// One number of a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The number, in `unit`.
    pub value: f64,
    /// Its unit, or what it is a share of.
    pub unit: FigureUnit,
    /// How it binds.
    pub limit: Limit,
    /// How well its source is known.
    pub basis: Basis,
    /// Clause or source.
    pub cite: String,
}

/// A demand without a number.
#[derive(Clone, Debug, PartialEq)]
pub struct Provision {
    /// What is asked, in our own words.
    pub say: String,
    /// How well its source is known.
    pub basis: Basis,
    /// Clause or source.
    pub cite: String,
}

/// Unit of a figure, or what it is a share of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureUnit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Inch.
    Inch,
    /// Foot.
    Foot,
    /// Share of the height of the mark.
    Height,
    /// Share of the width of a standard character.
    Width,
    /// Share of the chord at the mark.
    Chord,
    /// Share of the depth of the body at the mark.
    Depth,
    /// Share of the width of the body or cabin.
    Across,
    /// Degree.
    Degree,
    /// Knot, calibrated airspeed.
    Knot,
    /// Year.
    Year,
    /// Kilogram.
    Kilogram,
}

/// How a figure binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Not less than.
    Min,
    /// Not more than.
    Max,
    /// Equal to, within the shop's tolerance.
    Exact,
    /// Equality is wanted, not demanded.
    Should,
    /// A least figure is wanted, not demanded.
    ShouldMin,
    /// A permission: up to this figure.
    May,
    /// Named, but nothing is compared.
    None,
}

/// The words of a pack for units, each with its unit.
pub(super) const UNITS: &[(&str, FigureUnit)] = &[
    ("mm", FigureUnit::Mm),
    ("cm", FigureUnit::Cm),
    ("in", FigureUnit::Inch),
    ("ft", FigureUnit::Foot),
    ("height", FigureUnit::Height),
    ("width", FigureUnit::Width),
    ("chord", FigureUnit::Chord),
    ("depth", FigureUnit::Depth),
    ("across", FigureUnit::Across),
    ("deg", FigureUnit::Degree),
    ("kt", FigureUnit::Knot),
    ("year", FigureUnit::Year),
    ("kg", FigureUnit::Kilogram),
];

/// The words of a pack for how a figure binds.
pub(super) const LIMITS: &[(&str, Limit)] = &[
    ("min", Limit::Min),
    ("max", Limit::Max),
    ("exact", Limit::Exact),
    ("should", Limit::Should),
    ("should-min", Limit::ShouldMin),
    ("may", Limit::May),
    ("none", Limit::None),
];

/// The words of a pack for how well a source is known.
pub(super) const BASES: &[(&str, Basis)] = &[
    ("read", Basis::Read),
    ("quoted", Basis::Quoted),
    ("memory", Basis::Memory),
    ("practice", Basis::Practice),
];

impl Figure {
    /// The figure in mm if it is a length, else `None`.
    pub fn mm(&self) -> Option<f64> {
        let per_unit = match self.unit {
            FigureUnit::Mm => 1.0,
            FigureUnit::Cm => 10.0,
            FigureUnit::Inch => 25.4,
            FigureUnit::Foot => 304.8,
            _ => return None,
        };
        Some(self.value * per_unit)
    }

    /// The same figure as a length of `mm`, with its bound and source kept.
    pub fn with_mm(&self, mm: f64) -> Figure {
        Figure { value: mm, unit: FigureUnit::Mm, ..self.clone() }
    }

    /// The figure with its bound: `at least 12 in (304.8 mm)`, `exactly 2/3 of the height`.
    pub fn words(&self) -> String {
        let amount = self.amount();
        match self.limit {
            Limit::Min => format!("at least {amount}"),
            Limit::Max => format!("at most {amount}"),
            Limit::Exact => format!("exactly {amount}"),
            Limit::Should => format!("should be {amount}"),
            Limit::ShouldMin => format!("should be at least {amount}"),
            Limit::May => format!("up to {amount} permitted"),
            Limit::None => amount,
        }
    }

    /// The figure without its bound: `12 in (304.8 mm)`, `2/3 of the height`.
    pub fn amount(&self) -> String {
        let value = trimmed(self.value, 3);
        let mm = self.mm().unwrap_or_default();
        match self.unit {
            // The rule's own unit comes first, the other one in brackets.
            FigureUnit::Inch => both(mm),
            FigureUnit::Mm => format!("{value} mm ({})", inches(mm)),
            FigureUnit::Cm => format!("{value} cm ({})", inches(mm)),
            FigureUnit::Foot => format!("{value} ft ({} m)", trimmed(mm / 1000.0, 2)),
            FigureUnit::Height => format!("{}the height", share(self.value)),
            FigureUnit::Width => format!("{}the standard character width", share(self.value)),
            FigureUnit::Chord => format!("{}the chord", share(self.value)),
            FigureUnit::Depth => format!("{}the depth of the body", share(self.value)),
            FigureUnit::Across => format!("{}the width of the body", share(self.value)),
            FigureUnit::Degree => format!("{value} degrees"),
            FigureUnit::Knot => format!("{value} kt"),
            FigureUnit::Year => format!("{value} years"),
            FigureUnit::Kilogram => format!("{value} kg"),
        }
    }
}

impl Limit {
    /// How a finding says it.
    pub fn bound(self) -> Bound {
        match self {
            Limit::Min => Bound::Min,
            Limit::Max => Bound::Max,
            Limit::Exact => Bound::Exact,
            Limit::Should | Limit::ShouldMin => Bound::Should,
            Limit::May => Bound::May,
            Limit::None => Bound::None,
        }
    }

    /// Whether a measured figure meets `required`: equality within `tolerance`, and everything within `noise`
    /// beyond that (both in the figures' unit). A permission and a figure that is only named are always met.
    pub fn met(self, measured: f64, required: f64, tolerance: f64, noise: f64) -> bool {
        match self {
            Limit::Min | Limit::ShouldMin => required - noise <= measured,
            Limit::Max => measured <= required + noise,
            Limit::Exact | Limit::Should => (measured - required).abs() <= tolerance + noise,
            Limit::May | Limit::None => true,
        }
    }
}

/// How well a source is known, as a bracket after a message; empty if it was read.
pub fn caveat(basis: Basis) -> &'static str {
    match basis {
        Basis::Quoted => " (as quoted, not read in the rule)",
        Basis::Memory => " (from memory, not verified)",
        Basis::Practice => " (common practice, no source)",
        Basis::Read | Basis::Shop | Basis::None => "",
    }
}

/// How well a source is known, in a column of a table.
pub fn basis_words(basis: Basis) -> &'static str {
    match basis {
        Basis::Read => "read in the rule",
        Basis::Quoted => "as quoted",
        Basis::Memory => "from memory",
        Basis::Practice => "common practice",
        Basis::Shop => "the shop's",
        Basis::None => "",
    }
}

/// A share in words a painter uses: `2/3 of`, `1/6 of`; decimals if it is no simple fraction, empty for 1.
fn share(value: f64) -> String {
    for below in 1..=12_i32 {
        let above = (value * f64::from(below)).round();
        if (above / f64::from(below) - value).abs() < geom::tolerance::NOISE_UNIT {
            return if below == 1 && (above - 1.0).abs() < 0.5 {
                String::new()
            } else if below == 1 {
                format!("{above} times ")
            } else {
                format!("{above}/{below} of ")
            };
        }
    }
    format!("{} of ", trimmed(value, 4))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_says_its_bound_in_words() {
        let mut figure = Figure {
            value: 2.0 / 3.0,
            unit: FigureUnit::Height,
            limit: Limit::Exact,
            basis: Basis::Quoted,
            cite: "an invented clause".to_owned(),
        };
        assert_eq!(figure.words(), "exactly 2/3 of the height");
        (figure.value, figure.unit, figure.limit) = (50.0, FigureUnit::Cm, Limit::Min);
        assert_eq!(figure.words(), "at least 50 cm (19 11/16 in)");
        assert_eq!(figure.mm(), Some(500.0));
    }

    #[test]
    fn equality_asks_the_shop_and_a_least_figure_does_not() {
        assert!(Limit::Exact.met(10.9, 10.0, 1.0, 0.001));
        assert!(!Limit::Exact.met(11.1, 10.0, 1.0, 0.001));
        assert!(!Limit::Min.met(9.9, 10.0, 1.0, 0.001), "a tolerance never eases a least figure");
        assert!(Limit::Min.met(9.9995, 10.0, 1.0, 0.001));
    }
}
