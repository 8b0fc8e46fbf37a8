//! The files about paint and day: the calendar, the chart of the day, a mixing card a paint.

use super::calendar::calendar;
use super::day_chart::{Chart, day_chart};
use super::mixing_card::{Card, mixing_card};
use crate::Plan;
use crate::spray::ALLOWANCES;
use crate::spray::air::shop_c;
use crate::spray::figures::Figures;
use crate::spray::warmth::minutes;

/// Path below the plan's folder and contents of each.
pub fn spray_files(plan: &Plan) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    let title = plan.job.title.as_str();
    if let Some(day) = &plan.spray.day {
        files.push(("day.ics".to_owned(), calendar(title, day, &plan.marks).into_bytes()));
        let chart = Chart {
            job_title: title,
            day,
            marks: &plan.marks,
            paints: plan.job.paints.iter().map(|p| p.id.clone()).collect(),
        };
        files.push(("layout/day.svg".to_owned(), sheet::svg::write(&day_chart(&chart)).into_bytes()));
    }
    let extra = Figures::own(ALLOWANCES);
    for need in plan.spray.paints.iter().filter(|n| n.mix_ml > 0.0) {
        let paint = &plan.job.paints[need.paint];
        let card = Card {
            job_title: title,
            paint,
            need,
            day: plan.spray.day.as_ref(),
            waste: (extra.value("waste-share"), extra.value("waste-each")),
            pot_life_min: paint.pot_life.map(|t| minutes(t, shop_c(&plan.job))),
        };
        files.push((
            format!("layout/mixing-{}.svg", need.id),
            sheet::svg::write(&mixing_card(&card)).into_bytes(),
        ));
    }
    files
}
