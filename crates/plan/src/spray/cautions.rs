//! Cautions by what is in the job. Each states what is published and defers to safety data sheets, licensed people
//! and local rules; none of them is complete.

use crate::job::{FeatureKind, Job, Material, PaintSystem};

/// A caution.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Its id.
    pub id: &'static str,
    /// What it says.
    pub text: &'static str,
}

const DATA_SHEET: Caution = Caution {
    id: "data-sheet",
    text: "The paint's technical and safety data sheets and the maker's manual of what is painted come before every figure here.",
};

const ISOCYANATE: Caution = Caution {
    id: "isocyanate",
    text: "Take it that the hardener holds isocyanate, unless its data sheet says otherwise: it sensitises lungs and skin, \
        bystanders too. Published limits for HDI: NIOSH 0.005 ppm (0.035 mg/m3) over a shift, 0.020 ppm for 10 min; ACGIH and Cal/OSHA 0.005 ppm; OSHA has none. \
        NIOSH names supplied air only. Follow the safety data sheet and a respirator programme; keep others out until \
        the air is clear.",
};

const SOLVENT: Caution = Caution {
    id: "solvent",
    text: "Solvent vapour burns and makes ill: exhaust it, no flame, spark or unprotected electrics within 20 ft of \
        spraying (29 CFR 1910.107(c), as quoted), gloves and goggles on, rags in a closed metal bin.",
};

const STATIC: Caution = Caution {
    id: "static",
    text: "Fabric and composite skins do not drain static: rubbing, blowing off, pulling tape and paper charge them, and \
        earthing one point does not help. No open fuel, drain or vent near; pull slowly; no air nozzle close up.",
};

const NITRATE: Caution = Caution {
    id: "dope",
    text: "Nitrate dope, also old dope under the finish, burns fiercely: no heat, no sparks, no dry sanding dust left.",
};

const ALCOHOL: Caution = Caution {
    id: "alcohol-windows",
    text: "Alcohol and paint solvents craze acrylic windows (AC 43.13-1B para 3-25: no alcohol, acetone or lacquer thinner): \
        cover them before solvent is opened, keep the swab off them; soap and water only there.",
};

const BALANCE: Caution = Caution {
    id: "control-balance",
    text: "Paint changes the balance of a control surface. The maker's manual decides whether it is balanced again, and \
        balanced surfaces are not owner's work (14 CFR 43 App. A (c)(9), as quoted).",
};

const PORTS: Caution = Caution {
    id: "ports",
    text: "Cover ports with a disc of paper, bright tape and a streamer; count them when covered and when uncovered, with \
        initials. Drains are taped over for the paint only, counted too; after it each must be open: clear it with a stick.",
};

const KNIFE: Caution =
    Caution { id: "knife", text: "Tape is cut on a board, never with a blade on fabric, paint or acrylic." };

const ELECTRICS: Caution = Caution {
    id: "electrics",
    text: "Phone, lamps and other electrics stay out of the spray area unless made for it; the wall card works alone.",
};

/// The cautions of a job; none if it has no paint.
pub fn cautions(job: &Job) -> Vec<Caution> {
    if job.paints.is_empty() {
        return vec![];
    }
    let surfaces = || job.surfaces.iter();
    let has = |kinds: &[FeatureKind]| surfaces().flat_map(|s| &s.features).any(|f| kinds.contains(&f.kind));
    let craft = !matches!(job.craft.category, Some(crate::job::Category::Boat | crate::job::Category::Truck));
    let mut list = vec![DATA_SHEET];
    if job.paints.iter().any(|p| p.isocyanate || p.system == PaintSystem::TwoPack) {
        list.push(ISOCYANATE);
    }
    list.push(SOLVENT);
    if surfaces().any(|s| matches!(s.material, Material::Fabric | Material::Composite)) {
        list.push(STATIC);
    }
    if job.paints.iter().any(|p| p.system == PaintSystem::Dope) {
        list.push(NITRATE);
    }
    if craft || has(&[FeatureKind::Window]) {
        list.push(ALCOHOL);
    }
    if surfaces().flat_map(|s| &s.parts).any(|p| p.control) {
        list.push(BALANCE);
    }
    if has(&FeatureKind::OPENINGS) {
        list.push(PORTS);
    }
    list.extend([KNIFE, ELECTRICS]);
    list
}
