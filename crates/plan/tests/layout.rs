//! The layout drawings of the sample jobs, and of a crowded panel: nothing overlaps, nothing leaves the
//! frame, and what is printed is where the letters are.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use geom::Point;
use plan::job::{Attachments, read};
use plan::words::inches;
use sheet::Item;
use sheet::frame::inside;
use sheet::{Sheet, Text};

fn drawings(job: &str) -> Vec<Sheet> {
    let mut files = Attachments::default();
    let section = include_bytes!("../../../hangar/01-parasol-wing/naca-4412.dat");
    files.files.insert("naca-4412.dat".to_owned(), section.to_vec());
    plan::run(&read(job).unwrap(), &files).unwrap().layouts(false)
}

/// Sixty small features, a long title full of markup, two marks of which one is turned.
fn crowded() -> String {
    let mut job = String::from(
        "title = 'Crowded <b>panel</b> & more, with a title that is a good deal longer than any title should be'\n\
         units = 'in'\n[[surface]]\nid = 'panel'\nkind = 'flat'\nside = 'left'\n\
         corners = [[0, 0], [96, 0], [96, 30], [0, 30]]\n",
    );
    for k in 0..60 {
        let (x, y) = (3.0 + f64::from(k % 20) * 4.7, 2.0 + f64::from(k / 20) * 13.0);
        job += &format!(
            "[[surface.feature]]\nid = 'a-feature-with-a-long-name-{k}'\nkind = 'ring'\nat = [{x}, {y}]\ndiameter = 0.5\n"
        );
    }
    job +=
        "[[mark]]\nid = 'one'\nsurface = 'panel'\ntext = 'TERN 7'\nheight = 8\nplace = { at = [40, 8.5] }\n";
    job += "[[mark]]\nid = 'two'\nsurface = 'panel'\ntext = 'K2'\nheight = 6\ntops = 'forward'\nplace = { at = [85, 15] }\n";
    job
}

fn all() -> Vec<(String, Sheet)> {
    let jobs = [
        ("01", include_str!("../../../hangar/01-parasol-wing/job.toml").to_owned()),
        ("02", include_str!("../../../hangar/02-flat-rudder/job.toml").to_owned()),
        ("03", include_str!("../../../hangar/03-tapered-swept-wing/job.toml").to_owned()),
        ("04", include_str!("../../../hangar/04-lower-left-wing/job.toml").to_owned()),
        ("05", include_str!("../../../hangar/05-fails-its-rule/job.toml").to_owned()),
        ("65", include_str!("../../../hangar/65-twisted-wing/job.toml").to_owned()),
        ("crowded", crowded()),
    ];
    jobs.into_iter()
        .flat_map(|(name, job)| drawings(&job).into_iter().map(move |s| (name.to_owned(), s)))
        .collect()
}

fn texts(sheet: &Sheet) -> Vec<&Text> {
    sheet
        .layers
        .iter()
        .flat_map(|l| &l.items)
        .filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None })
        .collect()
}

fn words(text: &Text) -> String {
    sheet::units::plain(&text.words)
}

/// The separating axis of two boxes, if there is one: then they do not overlap.
fn overlap(a: &[Point; 4], b: &[Point; 4]) -> bool {
    let apart = |p: &[Point; 4], q: &[Point; 4]| {
        (0..4).any(|i| {
            let side = p[(i + 1) % 4] - p[i];
            let out = geom::Vec2::new(side.y, -side.x);
            q.iter().all(|c| (*c - p[i]).dot(out) > -0.01 * side.hypot())
        })
    };
    !apart(a, b) && !apart(b, a)
}

#[test]
fn no_two_words_overlap_and_none_leaves_the_frame() {
    for (name, sheet) in all() {
        let room = inside((sheet.width_mm, sheet.height_mm));
        let texts = texts(&sheet);
        assert!(texts.len() > 15, "{name}");
        for (k, a) in texts.iter().enumerate() {
            for c in a.corners() {
                let within = room.lo.x <= c.x && c.x <= room.hi.x && room.lo.y <= c.y && c.y <= room.hi.y;
                assert!(within, "{name}: {:?} leaves the frame at {c:?}", words(a));
            }
            for b in &texts[k + 1..] {
                assert!(!overlap(&a.corners(), &b.corners()), "{name}: {:?} over {:?}", words(a), words(b));
            }
        }
    }
}

#[test]
fn every_box_line_is_printed_from_the_one_zero() {
    let plan = {
        let mut files = Attachments::default();
        let section = include_bytes!("../../../hangar/01-parasol-wing/naca-4412.dat");
        files.files.insert("naca-4412.dat".to_owned(), section.to_vec());
        let job = read(include_str!("../../../hangar/01-parasol-wing/job.toml")).unwrap();
        plan::run(&job, &files).unwrap()
    };
    let sheets = plan.layouts(false);
    let printed: Vec<String> = texts(&sheets[0]).into_iter().map(words).collect();
    // N417RW, 30 in high, centre at 80 in: 140 in long by 14 CFR 45.29, so from 10 in to 150 in.
    for at in [10, 30, 35, 55, 60, 65, 70, 90, 95, 115, 120, 150] {
        let reading = inches(f64::from(at) * 25.4);
        assert!(printed.iter().any(|w| w.starts_with(&reading)), "{reading} is not printed: {printed:?}");
    }
    // Centre at 28 in from the leading edge: caps at 13 in, baseline at 43 in.
    for reading in ["13 in", "43 in"] {
        assert!(printed.iter().any(|w| w.as_str() == reading), "{reading}: {printed:?}");
    }
}

#[test]
fn words_of_a_job_stay_words() {
    let svg = sheet::svg::write(&drawings(&crowded())[0]);
    assert!(!svg.contains("<b>") && svg.contains("&lt;b&gt;"));
}

/// On a tapered skin a box line that is square on the sheet lies at one station at the baseline and at another
/// at the caps. A painter who carries the one up to the other paints leaning letters.
#[test]
fn stations_that_differ_at_the_caps_are_printed_too() {
    let job = include_str!("../../../hangar/03-tapered-swept-wing/job.toml");
    let plan = plan::run(&read(job).unwrap(), &Attachments::default()).unwrap();
    let printed: String = texts(&plan.layouts(false)[0]).into_iter().map(|t| words(t) + " ").collect();
    let (skin, mark) = (&plan.skins[0], &plan.marks[0]);
    for glyph in &mark.glyphs {
        let [low, _, _, high] = glyph.corners.map(|p| skin.skin_from_flat(p)[0]);
        assert!((high - low).abs() > 25.0, "the job no longer tells the two apart: {low} {high}");
        for caps in [glyph.corners[3], glyph.corners[2]] {
            let reading = plan::words::length(skin.skin_from_flat(caps)[0]);
            assert!(printed.contains(&reading), "{}: {reading} is not printed in {printed}", glyph.char);
        }
    }
    assert!(printed.contains("at the baseline"), "the chain does not say where it holds: {printed}");
}

#[test]
fn a_skin_without_taper_prints_no_second_stations() {
    let sheets = drawings(include_str!("../../../hangar/01-parasol-wing/job.toml"));
    assert!(texts(&sheets[0]).into_iter().all(|t| !words(t).contains("at the caps")));
}

/// The room of a mark is drawn on request: a letter I, 12 in high, on a panel of 40 by 20 in with nothing on it
/// may have its middle anywhere but half its own size from the edges.
#[test]
fn the_room_of_a_mark_is_drawn_on_request() {
    let job = "title = 'A bare panel'\nunits = 'in'\n[[surface]]\nid = 'panel'\nkind = 'flat'\n\
               corners = [[0, 0], [40, 0], [40, 20], [0, 20]]\n[[mark]]\nid = 'one'\nsurface = 'panel'\n\
               text = 'I'\nheight = 12\nplace = 'roomiest'\n";
    let plan = plan::run(&read(job).unwrap(), &Attachments::default()).unwrap();
    let layer =
        |sheet: &Sheet| sheet.layers.iter().find(|l| l.name == "room").map(|l| l.items.clone()).unwrap();
    assert!(layer(&plan.layouts(false)[0]).is_empty());
    let sheet = &plan.layouts(true)[0];
    let items = layer(sheet);
    let Item::Path(room) = &items[0] else { panic!("an outline first: {items:?}") };
    assert_eq!((room.outlines.len(), items.len()), (1, 3), "one outline and the two arms of the cross");
    let glyph = &plan.marks[0].glyphs[0];
    let (wide, high) = (glyph.corners[0].distance(glyph.corners[1]), 12.0 * 25.4);
    let said =
        format!("it is {} wide and {} high over all", inches(40.0 * 25.4 - wide), inches(20.0 * 25.4 - high));
    assert!(texts(sheet).iter().any(|t| words(t).contains(&said)), "{said}: {:?}", texts(sheet));
}

/// Where a stripe runs over a part it is ticked with a sign of its own: the ring is zero's, and there is one.
#[test]
fn ticks_are_no_rings_and_every_small_sign_is_told() {
    let job = "title = 't'\nunits = 'in'\n[[surface]]\nid = 's'\nkind = 'flat'\ncorners = [[0, 0], [120, 0], [120, 30], [0, 30]]\n\
               [[surface.part]]\nid = 'lid'\ncorners = [[60, 5], [80, 5], [80, 29], [60, 29]]\n\
               [[mark]]\nid = 'm'\nsurface = 's'\ntext = 'TI'\nheight = 6\naim = [20, 5]\nplace = 'nearest'\n\
               [[stripe]]\nid = 'bar'\nsurface = 's'\nalong = { waterline = 15, from = 5, to = 115 }\nwidth = 4\n\
               [[surface.feature]]\nid = 'ring'\nkind = 'ring'\nat = [20, 5]\ndiameter = 3\n";
    let (head, feature) = job.split_once("[[surface.feature]]").unwrap();
    let job = head.replacen("[[surface.part]]", &format!("[[surface.feature]]{feature}[[surface.part]]"), 1);
    let sheets = drawings(&job);
    let of_radius = |wanted: f64| {
        let items = sheets[0].layers.iter().flat_map(|l| &l.items);
        items.filter(|i| matches!(i, Item::Circle { radius, .. } if (radius - wanted).abs() < 0.01)).count()
    };
    assert_eq!((of_radius(1.8), of_radius(0.9)), (1, 0), "zero's ring and no other");
    let said: Vec<String> = texts(&sheets[0]).into_iter().map(words).collect();
    assert!(said.iter().any(|w| w.starts_with("ring: zero")));
    let told = said.iter().find(|w| w.starts_with("Dark diamond")).unwrap();
    for sign in ["Dark diamond: tick the part", "Cross: where the middle of the mark was wanted; small ring"]
    {
        assert!(told.contains(sign), "{told}");
    }
}
