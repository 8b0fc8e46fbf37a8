//! The craft a mark is painted on, as far as a rule asks about it.

/// The craft; a key that is absent is taken at its strictest, with a caution.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Craft {
    /// What kind.
    pub category: Option<Category>,
    /// Year it was built.
    pub built: Option<i32>,
    /// Greatest cruising speed, knots calibrated.
    pub max_cruise_kt: Option<f64>,
    /// Greatest take-off mass, kg.
    pub mass_kg: Option<f64>,
    /// Special class.
    pub special: Option<Special>,
    /// Crosses an air defence identification zone.
    pub adiz: Option<bool>,
}

/// Kind of craft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Category {
    FixedWing,
    Glider,
    Rotorcraft,
    Airship,
    Balloon,
    PoweredParachute,
    WeightShift,
    Boat,
    Truck,
}

/// Special class of a craft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the job file's own words")]
pub enum Special {
    None,
    Exhibition,
    AmateurBuilt,
    LightSport,
    Limited,
    Restricted,
}
