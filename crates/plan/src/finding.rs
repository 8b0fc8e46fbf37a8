//! What a plan says about itself: one line a thing, with the number it rests on and where that comes from.
//!
//! A stage never fails on a readable job: it gives its best and its findings.

/// How much a finding matters. The worst one of a plan is its verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Checked and in order.
    Pass,
    /// Worth knowing; nothing to do.
    Note,
    /// Look again before you paint.
    Caution,
    /// Must not be painted like this.
    Fail,
}

/// What kind of limit a required figure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// Not less than.
    Min,
    /// Not more than.
    Max,
    /// Equal to, within the shop's tolerance.
    Exact,
    /// Wanted, not demanded.
    Should,
    /// A permission.
    May,
    /// No figure is compared.
    None,
}

/// How well the source of a figure is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The provision itself was read in a copy.
    Read,
    /// It was read as quoted by a third party.
    Quoted,
    /// From memory, not read.
    Memory,
    /// Common practice, no source.
    Practice,
    /// The shop's own setting.
    Shop,
    /// No source is needed: plain geometry of this job.
    None,
}

/// One line about a mark, surface or paint.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What was checked, kebab-case, the same for the same check (`height`, `gap`, `feature-crossed`).
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Id of the mark, surface or paint it is about; empty for the whole job.
    pub about: String,
    /// What is so, with numbers and units; lower case, no full stop if one sentence.
    pub message: String,
    /// The figure found, in `unit`.
    pub measured: Option<f64>,
    /// The figure asked for, in `unit`.
    pub required: Option<f64>,
    /// Unit of both figures (`mm`, `deg`, `ratio`), empty if none.
    pub unit: &'static str,
    /// How the two are compared.
    pub bound: Bound,
    /// How well the source is known.
    pub basis: Basis,
    /// Clause or source, empty if none.
    pub cite: String,
    /// What to do, empty if nothing.
    pub hint: String,
}

impl Finding {
    /// A finding without figures or source; add them with the methods below.
    pub fn new(severity: Severity, code: &'static str, about: &str, message: impl Into<String>) -> Finding {
        Finding {
            code,
            severity,
            about: about.to_owned(),
            message: message.into(),
            measured: None,
            required: None,
            unit: "",
            bound: Bound::None,
            basis: Basis::None,
            cite: String::new(),
            hint: String::new(),
        }
    }

    /// With the figure found and the figure asked for.
    pub fn figures(mut self, measured: f64, bound: Bound, required: f64, unit: &'static str) -> Finding {
        (self.measured, self.bound, self.required, self.unit) = (Some(measured), bound, Some(required), unit);
        self
    }

    /// With its source.
    pub fn source(mut self, basis: Basis, cite: impl Into<String>) -> Finding {
        (self.basis, self.cite) = (basis, cite.into());
        self
    }

    /// With what to do about it.
    pub fn hint(mut self, hint: impl Into<String>) -> Finding {
        self.hint = hint.into();
        self
    }
}
