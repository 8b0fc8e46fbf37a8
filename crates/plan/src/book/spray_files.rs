//! The files about paint and day: the calendar, the chart of the day, a mixing card a paint.

use super::calendar::calendar;
use super::day_chart::{Chart, day_chart, day_pages};
use super::mixing_card::{Card, mixing_card};
use super::patterns_files::moved;
use crate::Plan;
use crate::spray::ALLOWANCES;
use crate::spray::air::shop_c;
use crate::spray::figures::Figures;
use crate::spray::warmth::minutes;
use geom::{Point, Vec2};
use sheet::{Item, Room, Sheet};

/// Room for a drawing on the book's large page, mm: what both papers have.
pub const LARGE_ROOM: (f64, f64) = (384.0, 205.0);

/// Path below the plan's folder and contents of each.
pub fn spray_files(plan: &Plan) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    if let (Some(day), Some(chart)) = (&plan.spray.day, chart(plan)) {
        files.push((
            "day.ics".to_owned(),
            calendar(&plan.job.title, day, &plan.painted(), &plan.names()).into_bytes(),
        ));
        files.push(("layout/day.svg".to_owned(), sheet::svg::write(&day_chart(&chart)).into_bytes()));
    }
    for (paint, sheet) in mixing_cards(plan) {
        files.push((format!("layout/mixing-{paint}.svg"), sheet::svg::write(&sheet).into_bytes()));
    }
    files
}

/// The drawings of day and mixing for the book, without frame and title block: `day/1`, `day/2` and so on,
/// `mixing/PAINT`.
pub fn book_drawings(plan: &Plan) -> Vec<(String, Vec<u8>)> {
    let mut drawings = Vec::new();
    let days = chart(plan).map(|c| day_pages(&c, LARGE_ROOM)).unwrap_or_default();
    for (k, sheet) in days.iter().enumerate() {
        drawings.push((format!("day/{}", k + 1), sheet::svg::write(sheet).into_bytes()));
    }
    for (paint, sheet) in mixing_cards(plan) {
        drawings.push((format!("mixing/{paint}"), sheet::svg::write(&unframed(sheet)).into_bytes()));
    }
    drawings
}

/// The chart of the day, if one is planned.
fn chart(plan: &Plan) -> Option<Chart<'_>> {
    Some(Chart {
        job_title: &plan.job.title,
        day: plan.spray.day.as_ref()?,
        marks: plan.names(),
        paints: plan.job.paints.iter().map(|p| p.id.clone()).collect(),
    })
}

/// A card for each paint that is mixed, by its id.
fn mixing_cards(plan: &Plan) -> Vec<(String, Sheet)> {
    let extra = Figures::own(ALLOWANCES);
    let cards = plan.spray.paints.iter().filter(|n| n.mix_ml > 0.0).map(|need| {
        let paint = &plan.job.paints[need.paint];
        let card = Card {
            job_title: &plan.job.title,
            paint,
            need,
            day: plan.spray.day.as_ref(),
            waste: (extra.value("waste-share"), extra.value("waste-each")),
            pot_life_min: paint.pot_life.map(|t| minutes(t, shop_c(&plan.job))),
        };
        (need.id.clone(), mixing_card(&card))
    });
    cards.collect()
}

/// A drawing without its frame and title block, cut to what is left.
fn unframed(mut sheet: Sheet) -> Sheet {
    // The warning stands at the foot of the sheet; the book's page says it itself.
    sheet.layers.retain(|l| !["border", "warning", "title block"].contains(&l.name.as_str()));
    let items = || sheet.layers.iter().flat_map(|l| &l.items);
    let points = items().flat_map(|item| match item {
        Item::Path(path) => path.outlines.iter().flat_map(|o| &o.vertices).map(|v| v.p).collect(),
        Item::Circle { centre, radius, .. } => {
            vec![*centre - Vec2::new(*radius, *radius), *centre + Vec2::new(*radius, *radius)]
        }
        Item::Text(text) => text.corners().to_vec(),
    });
    let around = points.fold(None, |b: Option<Room>, p| {
        let (lo, hi) = b.map_or((p, p), |b| (b.lo, b.hi));
        Some(Room {
            lo: Point::new(lo.x.min(p.x), lo.y.min(p.y)),
            hi: Point::new(hi.x.max(p.x), hi.y.max(p.y)),
        })
    });
    let Some(room) = around.map(|r| r.inset(-1.0)) else { return sheet };
    for layer in &mut sheet.layers {
        let items = std::mem::take(&mut layer.items);
        layer.items = items.into_iter().map(|i| moved(i, -room.lo.to_vec2())).collect();
    }
    (sheet.width_mm, sheet.height_mm) = (room.width(), room.height());
    sheet
}
