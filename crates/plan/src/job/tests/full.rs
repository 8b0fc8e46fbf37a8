//! One job with every key of the job file in it: it reads, each key is typed and used, each value arrives.

use super::full_text::full;
use super::near;
use crate::job::checked::TAKEN;
use crate::job::keys::{Kind, Table, top::JOB};
use crate::job::tree::{Grown, Node, Raw, grow};
use crate::job::*;
use std::collections::BTreeSet;

fn full_job() -> Job {
    read(&full()).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// The keys that are typed in a table of the file and in the tables below it.
fn typed(node: &Node, table: &'static Table, found: &mut BTreeSet<(&'static str, &'static str)>) {
    for entry in node.entries() {
        let key = table.key(&entry.key, None).unwrap();
        found.insert((table.written, key.name));
        below(&entry.node, &key.kind, found);
    }
}

fn below(node: &Node, kind: &Kind, found: &mut BTreeSet<(&'static str, &'static str)>) {
    match (&node.raw, kind.tables()) {
        (Raw::Table(_), Some(table)) => typed(node, table, found),
        (Raw::List(items), Some(_)) => items.iter().for_each(|item| below(item, kind, found)),
        _ => {}
    }
}

#[test]
fn every_key_there_is_is_typed_in_the_full_job_and_taken_out_of_it() {
    let Grown { root, problems, .. } = grow(&full());
    assert!(problems.is_empty());
    let mut written = BTreeSet::new();
    typed(&root, &JOB, &mut written);
    TAKEN.with_borrow_mut(BTreeSet::clear);
    full_job();
    let taken = TAKEN.with_borrow(Clone::clone);
    for table in JOB.all() {
        for key in table.keys {
            let name = (table.written, key.name);
            assert!(written.contains(&name), "{name:?} is not in the full job");
            assert!(taken.contains(&name), "{name:?} is listed, but nothing reads it");
        }
    }
}

#[test]
fn the_head_of_the_full_job_arrives() {
    let job = full_job();
    assert_eq!(job.title, "Floatplane, right wing panel");
    assert_eq!(job.rules.unwrap().value, "us-14cfr45");
    near(job.rule_tolerance, 25.4 / 16.0);
    near(job.survey_error, 25.4 / 16.0);
    assert_eq!(job.alike, [["reg-upper", "reg-fin"]]);
    assert!(job.alike_own_place);
    assert_eq!(
        job.craft,
        Craft {
            category: Some(Category::FixedWing),
            built: Some(1941),
            max_cruise_kt: Some(95.0),
            mass_kg: Some(900.0),
            special: Some(Special::None),
            adiz: Some(false),
        }
    );
    let [cream, silver] = &job.grounds[..] else { panic!("two grounds") };
    assert_eq!(cream.tone, Tone::Colour([0xef, 0xe6, 0xcf]));
    assert_eq!(cream.shot, Some(DateTime { date: [2026, 6, 4], minute: 900 }));
    assert_eq!(cream.dry_to_tape, Some(TimeAt { minutes: 1440.0, at_c: Some(21.0) }));
    assert_eq!(cream.scuff_after, Some(2880.0));
    assert_eq!((silver.tone, silver.finish), (Tone::Reflectance(0.55), Finish::Metallic));
    assert_eq!(silver.dry_to_tape, Some(TimeAt { minutes: 90.0, at_c: None }));
}

#[test]
fn the_surfaces_of_the_full_job_arrive() {
    let job = full_job();
    let SurfaceShape::Wing(wing) = &job.surfaces[0].shape.value else { panic!("a wing") };
    assert!(wing.right && wing.upper && !wing.t_from_trailing);
    near(wing.span, 4267.2);
    near(wing.chord[1], 1371.6);
    near(wing.sweep, -76.2);
    near(wing.rise, 50.8);
    near(wing.washout_deg, 2.5);
    near(wing.tip_bow.value, 152.4);
    let rib = &wing.breaks[0];
    near(rib.s, 2438.4);
    near(rib.chord.unwrap(), 1473.2);
    near(rib.sweep.unwrap(), -25.4);
    near(rib.rise.unwrap(), 12.7);
    near(rib.washout_deg.unwrap(), 1.0);
    near(rib.girth.unwrap(), 1511.3);
    assert_eq!(rib.section.as_ref().unwrap().value, SectionName::File("mid.dat".to_owned()));
    assert_eq!(wing.section[0].value, SectionName::Naca("2412".to_owned()));
    assert_eq!(wing.section[1].value, SectionName::File("tip.dat".to_owned()));
    near(wing.girth.as_ref().unwrap().value[0], 1565.275);
    let wing = &job.surfaces[0];
    assert_eq!(wing.panel.as_deref(), Some("right-wing"));
    assert!(matches!(wing.ribs.as_ref().unwrap().at, RibStations::Every(mm) if (mm - 304.8).abs() < 1e-9));
    let part = &wing.parts[0];
    assert!(part.control && part.balanced && part.hinge.len() == 2 && part.corners.len() == 4);
    let [ring, hatch, rivets] = &wing.features[..] else { panic!("three features") };
    assert!(matches!(ring.shape, FeatureShape::Disc { diameter, .. } if (diameter - 114.3).abs() < 1e-9));
    near(ring.clearance, 12.7);
    assert!(matches!(&hatch.shape, FeatureShape::Area { corners } if corners.len() == 3));
    assert!(hatch.removable && hatch.cross == Cross::Square && hatch.kind == FeatureKind::Plate);
    near(hatch.clearance, 6.35);
    assert!(matches!(&rivets.shape, FeatureShape::Path { width, .. } if (width - 19.05).abs() < 1e-9));
    near(rivets.rivets.pitch.unwrap(), 25.4);
    near(rivets.rivets.head.unwrap(), 6.35);

    assert!(matches!(&job.surfaces[1].shape.value, SurfaceShape::Flat { corners } if corners.len() == 4));
    assert!(matches!(&job.surfaces[1].ribs.as_ref().unwrap().at, RibStations::At(at) if at.len() == 3));
    assert_eq!(job.surfaces[1].side, Some(Side::Left));
    let SurfaceShape::Body { waterline, stations } = &job.surfaces[2].shape.value else { panic!("a body") };
    near(*waterline, -50.8);
    let StationOutline::Superellipse { half_width, power, .. } = stations[0].outline else { panic!() };
    near(half_width, 406.4);
    near(power, 2.5);
    assert!(matches!(&stations[1].outline, StationOutline::Points(points) if points.len() == 5));
    assert!(
        matches!(stations[2].outline, StationOutline::Superellipse { power, .. } if (power - 2.0).abs() < 1e-9)
    );
    let SurfaceShape::Mesh { file, unit, smooth, axes } = &job.surfaces[3].shape.value else {
        panic!("a scan")
    };
    assert_eq!((file.value.as_str(), *unit), ("fairing.stl", Unit::Cm));
    near(*smooth, 12.7);
    let axes = axes.as_ref().unwrap();
    assert_eq!((axes.up, axes.aft, axes.datum), ([0.0, 0.0, 1.0], [1.0, 0.1, 0.0], [2.0, 0.0, 9.0]));
    let scan = &job.surfaces[3];
    assert_eq!(scan.parts[0].scan_corners, [[10.0, 20.0, 3.0], [20.0, 20.0, 3.0], [20.0, 20.0, 9.0]]);
    assert_eq!(scan.parts[0].scan_hinge.len(), 2);
    assert!(scan.parts[0].corners.is_empty());
    let shapes: Vec<&ScanShape> = scan
        .features
        .iter()
        .map(|f| if let FeatureShape::Scan(shape) = &f.shape { shape } else { panic!("of a scan") })
        .collect();
    let [ScanShape::Disc { at, diameter }, ScanShape::Path { path, width }, ScanShape::Area { corners }] =
        shapes[..]
    else {
        panic!("a disc, a path and an area")
    };
    assert_eq!((*at, path.len(), corners.len()), ([12.0, 20.0, 5.0], 2, 3));
    near(*diameter, 19.05);
    near(*width, 1.0);
}

#[test]
fn the_marks_and_stripes_of_the_full_job_arrive() {
    let job = full_job();
    let [upper, fin, name] = &job.marks[..] else { panic!("three marks") };
    assert_eq!((upper.surface.as_str(), upper.text.value.as_str()), ("upper-right", "N417RW"));
    assert_eq!((upper.letters.value.clone(), upper.place.value.clone()), (Letters::Clipped, Place::Nearest));
    assert!(upper.along_span && upper.legal && upper.within.len() == 4);
    assert!(matches!(upper.height.value, Height::Given(mm) if (mm - 762.0).abs() < 1e-9));
    assert_eq!(upper.tops.as_ref().unwrap().value, Tops::TrailingEdge);
    near(upper.aim.unwrap()[0], 2133.6);
    let (width, paint) = &upper.outline.as_ref().unwrap().value;
    near(*width, 12.7);
    assert_eq!((paint.as_str(), upper.paint.as_str(), upper.over.as_str()), ("gold", "blue", "cream"));
    assert_eq!(upper.width_ratio, Some(0.6667));
    assert_eq!(fin.letters.value, Letters::Font("own.ttf".to_owned()));
    assert_eq!(fin.height.value, Height::Largest);
    assert!(
        matches!(fin.place.value, Place::At([x, y]) if (x - 381.0).abs() < 1e-9 && (y - 457.2).abs() < 1e-9)
    );
    near(fin.shadow.as_ref().unwrap().value.0[1], -25.4);
    // On a scan bare numbers stay in the scan's own unit, and a length with a unit is turned into it.
    assert_eq!(name.place.value, Place::OnMesh { at: [10.0, 20.0, 3.0], toward: [12.0, 20.0, 3.0] });
    assert_eq!(name.scan_aim.as_ref().unwrap().value, [[11.0, 20.0, 3.0], [12.0, 20.0, 3.0]]);
    assert_eq!(name.scan_within.value, [[5.0, 20.0, 0.0], [30.0, 20.0, 0.0], [30.0, 20.0, 10.0]]);
    assert!(name.aim.is_none() && name.within.is_empty() && upper.scan_within.value.is_empty());
    assert!(!name.legal);
    let stripe = &job.stripes[0];
    assert_eq!((stripe.width.len(), stripe.through.len()), (3, 3));
    assert_eq!(stripe.ends, [StripeEnd::Square, StripeEnd::Point]);
    near(stripe.through[1][1], 368.3);
    let [_, pin, right, level, rim, by_seam, short_cut, beside, taped] = &job.stripes[..] else {
        panic!("nine stripes")
    };
    assert!(pin.by_waterline && !stripe.by_waterline);
    near(pin.loose[1], 6.35);
    near(pin.end_length.unwrap()[0], 76.2);
    assert_eq!(right.mirror_of.as_ref().unwrap().value, "pin");
    assert_eq!(job.painted_with("cheat"), Some(("blue", "silver")));
    let line = |stripe: &Stripe| stripe.along.as_ref().unwrap().value.clone();
    let whole = |line, off| Along { line, off, from: None, to: None };
    let from_to = (Some(2.0 * 25.4), Some(20.0 * 25.4));
    assert!(matches!(line(level), Along { line: AlongLine::Waterline(mm), from, to, .. }
        if (mm - 101.6).abs() < 1e-9 && (from, to) == from_to));
    assert_eq!(line(rim), whole(AlongLine::Edge(SkinEdge::Lower), 25.4));
    assert_eq!(line(by_seam), whole(AlongLine::Feature("skin-seam".to_owned()), -25.4));
    assert!(matches!(line(short_cut).line, AlongLine::Straight([[s, _], _]) if (s - 101.6).abs() < 1e-9));
    let gap = |taped| Apart::Gap { gap: 12.7, below: true, taped };
    assert_eq!(line(beside), whole(AlongLine::Stripe("level".to_owned(), gap(false)), 0.0));
    // The tape of the gap by its label, its width by what it really is.
    assert_eq!(line(taped), whole(AlongLine::Stripe("beside".to_owned(), gap(true)), 0.0));

    let named: Vec<String> = files_named(&job).into_iter().map(|file| file.value).collect();
    assert_eq!(named, ["our-rates.toml", "tip.dat", "mid.dat", "fairing.stl", "own.ttf"]);
}

#[test]
fn the_shop_of_the_full_job_arrives() {
    let job = full_job();
    let masking = job.masking.unwrap();
    assert!(!masking.tape);
    near(masking.gap, 9.525);
    near(masking.edge_tapes[0].real, 12.7);
    near(masking.edge_tapes[0].roll, 32_918.4);
    // What is not typed: the real width is the label's, a roll is 60 yd, the strain 0.05.
    near(masking.edge_tapes[1].real, 3.175);
    near(masking.edge_tapes[1].roll, 54_864.0);
    near(masking.edge_tapes[1].strain, 0.05);
    near(masking.tack_tape.unwrap().real, 18.0);
    assert_eq!((masking.layout_tapes.len(), masking.paper.len()), (2, 2));
    near(masking.film[0].width, 609.6);
    near(masking.film[0].length, 22_860.0);
    near(masking.film[1].length, 45_720.0);
    let carrier = masking.application_tape.unwrap();
    near(carrier.width, 304.8);
    near(carrier.length, 91_440.0);
    let blue = &job.paints[0];
    assert_eq!(blue.parts[0], ("base".to_owned(), 4.0));
    assert_eq!(
        (blue.volume_solids, blue.dry_density, blue.transfer_efficiency),
        (Some(0.42), Some(1.4), Some(0.5))
    );
    assert_eq!(blue.coats[0].flash, Some([5.0, 10.0]));
    assert_eq!((blue.coats[0].count, blue.coats[1].after), (3, Some(45.0)));
    assert_eq!(
        blue.pull_edge,
        Some(PullEdge { state: "tacky".to_owned(), from: 5.0, by: 20.0, at_c: Some(21.0) })
    );
    assert_eq!(
        (blue.unmask, blue.polish_after),
        (Some([360.0, 720.0]), Some(TimeAt { minutes: 7200.0, at_c: None }))
    );
    assert!(blue.isocyanate && !job.paints[1].isocyanate);
    assert_eq!(job.paints[1].system, PaintSystem::Enamel);
    let gun = job.gun.unwrap();
    near(gun.fan, 203.2);
    near(gun.speed, 457.2);
    let patterns = &job.patterns;
    assert!(matches!(patterns.paper, Some(PatternPaper::Roll(width)) if (width - 609.6).abs() < 1e-9));
    assert_eq!((patterns.pounce, patterns.whole, patterns.mirror), (true, true, false));
    let conditions = job.conditions.unwrap();
    near(conditions.air_c.unwrap(), 25.0);
    let (minute, air, surface, humidity) = conditions.forecast[0];
    assert_eq!(minute, 510);
    near(air, 15.0);
    near(surface, 14.0);
    near(humidity, 70.0);
    let shop = job.shop.unwrap();
    assert_eq!((shop.hands, shop.opens, shop.closes, shop.date), (2, 450, 1080, Some([2026, 6, 6])));
}

#[test]
fn what_is_left_out_has_the_value_its_key_says() {
    let text = "title = 'Panel'\n[[surface]]\nid = 'fin'\nkind = 'flat'\ncorners = [[0, 0], [30, 0], [24, 40]]\n\
                [[mark]]\nid = 'reg'\nsurface = 'fin'\ntext = 'AB'\nheight = 12\n[masking]\n[gun]\n[shop]\n";
    let job = read(text).unwrap_or_else(|problems| panic!("{problems:#?}"));
    assert_eq!(job.units, Unit::In);
    near(job.rule_tolerance, 1.5875);
    near(job.survey_error, 1.5875);
    let mark = &job.marks[0];
    assert!(mark.legal && !mark.along_span && mark.within.is_empty() && mark.aim.is_none());
    assert_eq!((mark.letters.value.clone(), mark.place.value.clone()), (Letters::Square, Place::Nearest));
    let masking = job.masking.unwrap();
    assert!(masking.tape && masking.edge_tapes.is_empty());
    near(masking.gap, 9.525);
    near(masking.overlap, 3.175);
    near(masking.longest_piece, 1524.0);
    near(masking.tab, 12.7);
    near(masking.edge_dwell, 1440.0);
    let gun = job.gun.unwrap();
    near(gun.fan, 203.2);
    near(gun.overlap, 0.5);
    let shop = job.shop.unwrap();
    assert_eq!((shop.hands, shop.opens, shop.closes, shop.date), (1, 480, 1080, None));
    assert_eq!((job.conditions, job.stripes.len(), job.paints.len()), (None, 0, 0));
}
