//! Whether a row of a pack applies to a craft, and which missing key would decide it.

use super::craft::Craft;
use super::figure::Figure;
use super::pack::When;
use geom::tolerance::NOISE_UNIT;

/// Of what a pack is asked.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// The craft.
    pub craft: &'a Craft,
    /// The mark's place, if it is given.
    pub location: Option<&'a str>,
    /// The year of the work; no clock is read.
    pub this_year: Option<i32>,
}

/// Whether a row applies.
#[derive(Clone, Debug, PartialEq)]
pub enum Holds {
    /// It surely applies.
    Yes,
    /// It surely does not.
    No,
    /// These keys of the job file would decide.
    Unknown(Vec<&'static str>),
}

impl When {
    /// Whether this applies: one condition that surely fails settles it, whatever is missing elsewhere.
    pub fn holds(&self, ask: Ask<'_>) -> Holds {
        let craft = ask.craft;
        let mut missing = Vec::new();
        let mut fails = false;
        let mut check = |key: &'static str, answer: Option<bool>| match answer {
            Some(holds) => fails |= !holds,
            None => missing.push(key),
        };
        if !self.categories.is_empty() {
            check("category", craft.category.map(|category| self.categories.contains(&category)));
        }
        if !self.specials.is_empty() {
            check("special", craft.special.map(|special| self.specials.contains(&special)));
        }
        if !self.locations.is_empty() {
            check("location", ask.location.map(|place| self.locations.iter().any(|known| known == place)));
        }
        if let Some(figure) = &self.max_cruise {
            check("max_cruise_kt", craft.max_cruise_kt.map(|speed| keeps(figure, speed)));
        }
        if let Some(figure) = &self.age {
            match (craft.built, ask.this_year) {
                (None, _) => check("built", None),
                (_, None) => check("date", None),
                (Some(built), Some(year)) => {
                    check("built", Some(keeps(figure, f64::from(year.saturating_sub(built)))));
                }
            }
        }
        if let Some(figure) = &self.mass {
            check("mass_kg", craft.mass_kg.map(|mass| keeps(figure, mass)));
        }
        if self.adiz {
            check("adiz", craft.adiz);
        }
        match (fails, missing.is_empty()) {
            (true, _) => Holds::No,
            (false, true) => Holds::Yes,
            (false, false) => Holds::Unknown(missing),
        }
    }
}

/// Whether what is known of the craft keeps a figure of a condition.
fn keeps(figure: &Figure, known: f64) -> bool {
    figure.limit.met(known, figure.value, NOISE_UNIT, NOISE_UNIT)
}

/// Missing keys as a person finds them in the job file.
pub(super) fn key_names(keys: &[&'static str]) -> String {
    let name = |key: &&'static str| match *key {
        "location" => "the mark's location".to_owned(),
        "date" => "[shop] date".to_owned(),
        key => format!("[craft] {key}"),
    };
    keys.iter().map(name).collect::<Vec<_>>().join(" and ")
}
