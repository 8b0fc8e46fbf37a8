//! Paint by the coverage law: how much of each, cup by cup, what its film is wet, what it weighs dry.

use super::area::{painted_m2, sprayed_m2};
use super::called::written;
use super::coverage::{dry_grams, litres, wet_film};
use super::figures::Figures;
use super::mix::{PartOf, on_lines, split};
use super::shots::Shot;
use crate::fit::placed::Placed;
use crate::job::Paint;
use crate::surface::Skin;

/// What there is to know about one paint.
#[derive(Clone, Debug, PartialEq)]
pub struct PaintNeed {
    /// Index of the paint in the job.
    pub paint: usize,
    /// Its id.
    pub id: String,
    /// Area of its letters, m2.
    pub area_painted_m2: f64,
    /// Area the fan reaches, m2, overlaps once.
    pub area_sprayed_m2: f64,
    /// Dry film of all coats, um.
    pub dry_film_um: f64,
    /// Wet film of each coat, um, in the order of the coats; empty if the solids are not known.
    pub wet_film_um: Vec<f64>,
    /// The bare law, ml; 0 if solids or transfer are not known.
    pub volume_ml: f64,
    /// Its parts, ml.
    pub parts: Vec<PartOf>,
    /// What is mixed, all cups, ml.
    pub mix_ml: f64,
    /// The cups.
    pub cups: Vec<Cup>,
    /// Mass of the dry film on the letters, g; 0 if the density is not known.
    pub dry_mass_g: f64,
}

/// One mixing.
#[derive(Clone, Debug, PartialEq)]
pub struct Cup {
    /// Its go from 1; 0 if no day is planned.
    pub go: usize,
    /// Ids of the marks it is for.
    pub marks: Vec<String>,
    /// The letters and stripes it is for as written, those of each mark apart.
    pub characters: String,
    /// Kinds of the coats it is for, each once.
    pub coats: Vec<String>,
    /// Sprayed area of its letters, m2.
    pub area_m2: f64,
    /// Dry film of its coats, um.
    pub film_um: f64,
    /// The bare law for it, ml.
    pub bare_ml: f64,
    /// What is mixed, ml.
    pub ml: f64,
    /// When it is mixed and until when it is good, minutes; `None` if no day is planned, or it keeps.
    pub mixed_at: Option<i64>,
    /// See `mixed_at`.
    pub use_by: Option<i64>,
}

/// Which letters and coats a cup is for.
#[derive(Clone, Debug, PartialEq)]
pub struct CupFor {
    /// Its go from 1; 0 if no day is planned.
    pub go: usize,
    /// Indices of its shots.
    pub shots: Vec<usize>,
    /// Indices of its coats, one each spraying.
    pub coats: Vec<usize>,
    /// When it is mixed.
    pub mixed_at: Option<i64>,
    /// Until when it is good.
    pub use_by: Option<i64>,
}

/// The need of one paint. `cups` says what each mixing is for, `names` what each mark is called.
#[allow(clippy::too_many_arguments, reason = "the stage's own pieces, each made once")]
pub fn need(
    paint_idx: usize,
    paint: &Paint,
    skins: &[Skin],
    shots: &[Shot],
    marks: &[Placed],
    names: &[String],
    fan: f64,
    cups: &[CupFor],
    extra: &Figures,
) -> PaintNeed {
    let own: Vec<&Shot> = shots.iter().filter(|s| s.paint == paint_idx).collect();
    let painted = painted_m2(&own);
    let sprayed = sprayed_m2(skins, &own, fan);
    let film: f64 = paint.coats.iter().map(|c| f64::from(c.count) * c.film_um).sum();
    let law = |area: f64, um: f64| match (paint.volume_solids, paint.transfer_efficiency) {
        (Some(solids), Some(landing)) => 1000.0 * litres(area, um, solids, landing),
        _ => 0.0,
    };
    let volume = law(sprayed, film);
    let cups: Vec<Cup> = cups
        .iter()
        .map(|cup| {
            let of: Vec<&Shot> = cup.shots.iter().map(|s| &shots[*s]).collect();
            let um: f64 = cup.coats.iter().map(|c| paint.coats[*c].film_um).sum();
            let area = sprayed_m2(skins, &of, fan);
            let bare = law(area, um);
            let wanted = bare * (1.0 + extra.value("waste-share")) + extra.value("waste-each");
            let mut kinds: Vec<String> = Vec::new();
            for c in &cup.coats {
                if !kinds.contains(&paint.coats[*c].kind) {
                    kinds.push(paint.coats[*c].kind.clone());
                }
            }
            let mut ids: Vec<String> = Vec::new();
            for s in &of {
                if !ids.contains(&marks[s.mark].id) {
                    ids.push(marks[s.mark].id.clone());
                }
            }
            Cup {
                go: cup.go,
                marks: ids,
                characters: written(of.iter().copied(), marks, names),
                coats: kinds,
                area_m2: area,
                film_um: um,
                bare_ml: bare,
                ml: if bare > 0.0 { on_lines(wanted, &paint.parts, extra.value("cup-line")) } else { 0.0 },
                mixed_at: cup.mixed_at,
                use_by: cup.use_by,
            }
        })
        .collect();
    PaintNeed {
        paint: paint_idx,
        id: paint.id.clone(),
        area_painted_m2: painted,
        area_sprayed_m2: sprayed,
        dry_film_um: film,
        wet_film_um: paint
            .volume_solids
            .map_or_else(Vec::new, |s| paint.coats.iter().map(|c| wet_film(c.film_um, s, 0.0)).collect()),
        volume_ml: volume,
        parts: split(volume, &paint.parts),
        mix_ml: cups.iter().map(|c| c.ml).sum(),
        cups,
        dry_mass_g: paint.dry_density.map_or(0.0, |d| dry_grams(painted, film, d)),
    }
}
