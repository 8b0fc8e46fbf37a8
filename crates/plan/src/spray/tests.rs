//! Whole jobs through the stage: the sample jobs by hand calculation, thousands of random days by the checker.

use super::day_check::{Facts, check};
use super::figures::Figures;
use super::plan_day::plan_day;
use super::shots::shots;
use super::tasks::{Step, Task};
use super::{ALLOWANCES, labour};
use crate::Plan;
use crate::finding::Severity;
use crate::job::{Attachments, Coat, Job, PullEdge, TimeAt};
use crate::mask::{EndKind, Kind, TabKind};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

const ONE_HAND: &str = include_str!("../../../../hangar/21-six-letters-one-hand/job.toml");
const TWO_HANDS: &str = include_str!("../../../../hangar/22-six-letters-two-hands/job.toml");
const TIMES: &[u8] = include_bytes!("../../../../hangar/21-six-letters-one-hand/our-times.toml");
const JOINED: &str = include_str!("../../../../hangar/54-joined-stripes/job.toml");
const GOLD: &str = include_str!("../../../../hangar/23-gold-metallic/job.toml");
const RUDDER: &str = include_str!("../../../../hangar/24-balanced-rudder/job.toml");

fn files() -> Attachments {
    let mut files = Attachments::default();
    files.files.insert("our-times.toml".to_owned(), TIMES.to_vec());
    files
}

fn planned(text: &str) -> Plan {
    crate::run(&crate::job::read(text).unwrap(), &files()).unwrap()
}

fn near(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "wanted {wanted} within {within}, got {got}");
}

/// 3 min a wet coat, 6 min a pull with its swab, 20 min: by hand 3n + 6n <= 3n + 20, so n is 3 with one pair of
/// hands; with two, 5 (see `goes`).
#[test]
fn hands_decide_how_many_letters_go_at_a_time() {
    for (text, most) in [(ONE_HAND, 3), (TWO_HANDS, 5)] {
        let plan = planned(text);
        let day = plan.spray.day.as_ref().unwrap();
        let wet: Vec<i64> = day.tasks.iter().filter(|t| t.word == "wet-coat").map(|t| t.minutes).collect();
        assert_eq!(wet, [3; 6]);
        let pulls: i64 =
            day.tasks.iter().filter(|t| matches!(t.step, Step::Pull | Step::Swab)).map(|t| t.minutes).sum();
        assert_eq!(pulls, 36);
        assert_eq!(day.goes.iter().map(|g| g.characters.len()).max(), Some(most));
        assert_eq!(day.goes.len(), 2);
        assert!(!plan.fails());
    }
}

/// Stripes that meet have one mask, whose pieces go down and come off in one order through all of them.
#[test]
fn stripes_of_one_mask_are_pulled_by_the_numbers_of_its_card() {
    let plan = planned(JOINED);
    let pulls =
        plan.spray.day.iter().flat_map(|d| &d.tasks).filter(|t| t.step == Step::Pull).collect::<Vec<_>>();
    assert_eq!(pulls.len(), plan.masking.masks.len());
    for task in pulls {
        assert!(task.why.contains("one mask: by the numbers of the pull card"), "{}", task.why);
    }
    // Letters have each an order of their own.
    let alone = planned(ONE_HAND);
    let pulls: Vec<&Task> =
        alone.spray.day.iter().flat_map(|d| &d.tasks).filter(|t| t.step == Step::Pull).collect();
    assert!(!pulls.is_empty() && pulls.iter().all(|t| t.why.contains("last laid first pulled")));
}

/// Each mask is one task of every kind, with all its stripes named, as long as its own tape says and no longer: the edge
/// tape laid once, off once, within the windows of all its stripes. Read again from the masks, the job and the tasks.
#[test]
fn stripes_of_one_mask_are_one_task_of_each_kind() {
    let plan = planned(JOINED);
    let day = plan.spray.day.as_ref().unwrap();
    let rates = labour::rates(&plan.job, &files()).unwrap();
    let shop = plan.job.shop.as_ref().unwrap();
    let hands = i64::from(shop.hands);
    let up = |minutes: f64| minutes.ceil() as i64;
    let shared = |minutes: i64| (minutes + hands - 1) / hands;
    let painted = plan.painted();
    assert_eq!(plan.masking.masks.len(), 3);
    for mask in &plan.masking.masks {
        let names = std::iter::once(&mask.of).chain(&mask.with).cloned().collect::<Vec<_>>().join(", ");
        let of = |step: Step| -> Vec<&Task> {
            let own = |t: &&Task| t.step == step && t.mark.is_some_and(|m| painted[m].id == mask.of);
            day.tasks.iter().filter(own).collect()
        };
        let paint = plan.job.paints.iter().find(|p| p.id == mask.paint).unwrap();
        let rounds: u32 = paint.coats.iter().map(|c| c.count).sum();
        let steps = [Step::Edge, Step::Wipe, Step::Pull, Step::Swab, Step::Unmask, Step::Inspect];
        for step in steps.into_iter().chain((0..rounds as usize).map(Step::Coat)) {
            let [one] = of(step)[..] else { panic!("{step:?} of {names}: {}", of(step).len()) };
            assert_eq!(one.part, names, "{step:?}");
            assert_eq!(one.letters.len(), 1 + mask.with.len());
        }
        // Scuffing of a minute that is over within those of the tape is told with it.
        let scuff = of(Step::Scuff);
        assert!(scuff.iter().all(|t| t.part == names) && scuff.len() < 2);
        let told = of(Step::Edge)[0].why.ends_with("layout tape out, the open stripes scuffed");
        assert_eq!(scuff.is_empty(), told, "{names}");
        // By hand from the mask's own pieces: tape at so many feet an hour, ends and tabs by the piece.
        let on_edge = || mask.pieces.iter().filter(|p| !matches!(p.kind, Kind::Layout | Kind::Tack));
        let feet = on_edge().map(|p| p.cut_length).sum::<f64>() / 304.8;
        let ends = on_edge().flat_map(|p| [p.start, p.finish]);
        let cuts = ends.filter(|e| e.kind == EndKind::PreCut && e.cut > 0.0).count();
        let tabs = on_edge().filter(|p| p.tab.kind != TabKind::None).count();
        let tape = feet / rates.value("edge-tape") * 60.0
            + cuts as f64 * rates.value("pre-cut")
            + tabs as f64 * rates.value("tab");
        let (edge, pull, swab) = (of(Step::Edge)[0], of(Step::Pull)[0], of(Step::Swab)[0]);
        // Shares of a go are whole minutes of a sum: off by one at most.
        assert!((edge.minutes - shared(up(tape))).abs() <= 1, "{names}: {} {tape}", edge.minutes);
        assert_eq!(pull.minutes, shared(up(feet / rates.value("pull") * 60.0)), "{names}");
        assert_eq!(swab.minutes, shared(one_each(mask) * up(rates.value("swab"))), "{names}");
        assert_eq!((pull.hands, swab.start), (hands, pull.end()));
        // The one pull keeps the window of every stripe, each from its own last coat.
        let window = paint.pull_edge.as_ref().unwrap();
        let wet = of(Step::Coat(rounds as usize - 1))[0];
        let mut at = wet.start;
        for minutes in &wet.each {
            at += minutes;
            assert!(pull.start - at >= window.from as i64 && swab.end() - at <= window.by as i64, "{names}");
        }
        assert_eq!(at, wet.end());
        assert!(pull.not_before.unwrap() >= at + window.from as i64);
        assert_eq!(pull.not_after.unwrap(), wet.start + wet.each[0] + window.by as i64);
    }
    // No task of the taping days names one stripe of a mask without the others but the wash.
    for t in day.tasks.iter().filter(|t| t.step == Step::Mask && !t.why.starts_with("wash")) {
        assert!(t.part.contains(", "), "{} {}", t.id, t.why);
    }
    assert!(plan.findings.iter().any(|f| f.code == "day-checked" && f.severity == Severity::Pass));
}

fn one_each(mask: &crate::mask::Mask) -> i64 {
    1 + mask.with.len() as i64
}

/// A gold stripe of 2 in on a red one of 6 in, and one 1/2 in above a red one: the later mask, which would lie where the
/// earlier paint goes, is laid when that is dry to tape (12 h after its last coat at 21 C, the shop at 70 F) and its mask off;
/// the checker sees one laid sooner. Far apart, both are masked before the first go.
#[test]
fn a_mask_on_the_place_of_another_paint_waits_for_it() {
    let stripe = |id: &str, paint: &str, over: &str, width: f64, at: f64| {
        format!(
            "[[stripe]]\nid = \"{id}\"\nsurface = \"side\"\nwidth = {width}\npaint = \"{paint}\"\nover = \"{over}\"\n\
             along = {{ waterline = {at}, from = 10, to = 110 }}\n"
        )
    };
    let paint = |id: &str, colour: &str| {
        format!(
            "[[paint]]\nid = \"{id}\"\ncolour = \"{colour}\"\nvolume_solids = 0.42\npot_life = {{ time = \"2 h\", at = \"21 C\" }}\n\
             coats = [{{ kind = \"wet\", film_um = 40 }}]\npull_edge = {{ state = \"wet\", from = \"0 min\", by = \"30 min\" }}\n\
             unmask = {{ from = \"6 h\", by = \"12 h\" }}\ndry_to_tape = {{ time = \"12 h\", at = \"21 C\" }}\ntransfer_efficiency = 0.5\n"
        )
    };
    let job = |stripes: &[String]| {
        [
            "title = \"t\"\nunits = \"in\"\n[[ground]]\nid = \"white\"\ncolour = \"#f4f2ea\"\n[[surface]]\nid = \"side\"\nkind = \"flat\"\n\
             corners = [[0, 0], [120, 0], [120, 50], [0, 50]]\n",
            &stripes.concat(),
            "[masking]\nedge_tapes = [{ width = \"1/2 in\", strain = 0.05 }]\ntack_tape = { width = \"3/4 in\" }\n",
            &paint("red", "#9c1f1f"),
            &paint("gold", "#b8860b"),
            "[gun]\nfan = \"8 in\"\noverlap = 0.5\nspeed = \"18 in/s\"\n[conditions]\nair = \"70 F\"\nsurface = \"70 F\"\nhumidity = 45\n\
             [shop]\nhands = 1\ndate = 2026-06-06\n",
        ]
        .concat()
    };
    let red = stripe("a", "red", "white", 6.0, 20.0);
    for (gold, first) in [
        (stripe("b", "gold", "red", 2.0, 20.0), "a"),
        (stripe("b", "gold", "white", 1.0, 24.0), "b"),
        (stripe("b", "gold", "white", 1.0, 40.0), ""),
    ] {
        let plan = planned(&job(&[red.clone(), gold]));
        let day = plan.spray.day.as_ref().expect("a day");
        let lays = |t: &&Task| t.step == Step::Mask && !t.why.starts_with("wash");
        let id = |t: &Task| plan.painted()[t.mark.unwrap()].id.clone();
        let waiting: Vec<&Task> = day.tasks.iter().filter(lays).filter(|t| t.go == 2).collect();
        let told: Vec<_> = plan.findings.iter().filter(|f| f.code == "mask-after").collect();
        assert!(plan.findings.iter().any(|f| f.code == "day-checked" && f.severity == Severity::Pass));
        if first.is_empty() {
            assert!(waiting.is_empty() && told.is_empty());
            continue;
        }
        assert_eq!(told.len(), 1);
        let second = if first == "a" { "b" } else { "a" };
        assert_eq!(told[0].about, second);
        assert_eq!(waiting.len(), 2);
        let end = |step: Step, go: usize| {
            day.tasks.iter().filter(|t| t.step == step && t.go == go).map(Task::end).max().unwrap()
        };
        let dry = end(Step::Coat(0), 1) as f64 + 720.0 * 2.0_f64.powf((21.0 - 190.0 / 9.0) / 10.0);
        let edge = day.tasks.iter().find(|t| t.step == Step::Edge && t.go == 2).unwrap();
        for t in &waiting {
            assert!(
                id(t) == second
                    && t.start as f64 >= dry
                    && t.start >= end(Step::Unmask, 1)
                    && t.end() <= edge.start
            );
        }
        assert!(day.tasks.iter().filter(lays).filter(|t| t.go == 0).all(|t| id(t) == first));
        let marks = plan.painted();
        let shots = &shots(&plan.job, &plan.skins, &marks);
        let extra = Figures::own(ALLOWANCES);
        let letters: Vec<usize> = (0..shots.len()).collect();
        let upon = |s: &super::shots::Shot| labour::MaskWork {
            upon: (0..2).filter(|m| *m != s.mark).collect(),
            ..labour::estimate(s, 9.5, 25.4, 0.1)
        };
        assert_eq!(marks.len(), 2);
        let work: Vec<labour::MaskWork> = shots.iter().map(upon).collect();
        let facts = Facts {
            job: &plan.job,
            shop: plan.job.shop.as_ref().unwrap(),
            clock: &day.clock,
            shop_c: plan.job.conditions.as_ref().unwrap().air_c,
            shots,
            letters: &letters,
            work: &work,
            near: extra.value("goes-apart"),
            dry_to_tape: extra.value("dry-to-tape"),
        };
        assert!(check(&day.tasks, &facts).is_empty());
        let mut soon = day.tasks.clone();
        let at = soon.iter().position(|t| t.id == waiting[0].id).unwrap();
        soon[at].start = end(Step::Unmask, 1);
        soon[at].not_before = None;
        assert!(check(&soon, &facts).iter().any(|w| w.contains("too soon")), "{:?}", check(&soon, &facts));
    }
}

/// Two stripes of one mask that one pair of hands cannot pull in their window: the mask is named, not one of them.
#[test]
fn a_mask_too_long_for_its_window_is_named_with_all_its_stripes() {
    let text = JOINED.replace("hands = 2", "hands = 1").replace("by = \"60 min\"", "by = \"20 min\"");
    let plan = planned(&text);
    let fail = plan.findings.iter().find(|f| f.code == "no-day").expect("ten minutes are too few");
    assert!(
        fail.message.contains("pulling stripes dive, belt, riser, sash, all of one mask, takes"),
        "{fail:?}"
    );
    assert!(
        fail.message.contains("is shot 9 min after the first, which leaves 1 min of their window of 10 min")
    );
}

/// 24 h at 21 C are 24 x 2^0.3 = 29.55 h at 18 C: Friday 16:00 and 29 h 33 min is Saturday 21:33, so Sunday 08:00.
#[test]
fn the_first_tape_waits_for_the_ground_and_the_opening() {
    let plan = planned(GOLD);
    let day = plan.spray.day.as_ref().unwrap();
    assert_eq!(day.clock.text(day.tasks[0].start), "2026-06-07T08:00");
    assert_eq!(day.tasks[0].not_before.map(|t| day.clock.text(t)).unwrap(), "2026-06-06T21:33");
    // Bare metallic is never scuffed.
    assert!(day.tasks.iter().all(|t| t.step != Step::Scuff));
    // A day sooner there is no time to tape: refused with the reason.
    let plan = planned(&GOLD.replace("date = 2026-06-08", "date = 2026-06-06"));
    assert!(plan.spray.day.is_none());
    let fail = plan.findings.iter().find(|f| f.code == "no-day").unwrap();
    assert!(fail.severity == Severity::Fail && fail.message.contains("dry to tape too late"), "{fail:?}");
}

/// Worked by hand in the job's own head: 2 x 144 in2, 64 um, 1.4 kg/L, 16 in from the hinge.
#[test]
fn a_letter_on_both_sides_of_a_rudder_weighs_and_turns_as_by_hand() {
    let plan = planned(RUDDER);
    let [part] = &plan.spray.parts[..] else { panic!("one part") };
    let area = 288.0 * 0.025_4 * 0.025_4;
    // Strokes of 0.1667 and widths of 0.6667 are a hair over a sixth and two thirds.
    near(part.dry_mass_g, area * 64.0 * 1.4, 0.01);
    near(part.arm_mm, 16.0 * 25.4, 0.1);
    near(part.moment_g_m, area * 64.0 * 1.4 * 0.4064, 0.005);
    let said = plan.findings.iter().find(|f| f.code == "balance").unwrap();
    assert_eq!(said.severity, Severity::Caution);
}

/// The paint of that rudder, by hand: each L is 24 by 16 of 4 in strokes; half a fan of 4 in round it; all on the skin.
#[test]
fn sprayed_area_and_volume_are_those_of_the_law() {
    let plan = planned(RUDDER);
    let need = &plan.spray.paints[0];
    // Box 24 x 32 less the notch of 12 x 20, less five outer corners rounded with 4 in.
    let side = 24.0 * 32.0 - 12.0 * 20.0 - 5.0 * (4.0 - std::f64::consts::PI) * 4.0;
    let m2 = 2.0 * side * 0.025_4 * 0.025_4;
    near(need.area_sprayed_m2, m2, 0.002 * m2);
    near(need.volume_ml, 1000.0 * m2 * 64.0 / (1000.0 * 0.42 * 0.5), 0.002 * 110.0);
    let sum: f64 = need.parts.iter().map(|p| p.ml).sum();
    near(sum, need.volume_ml, 0.000_001);
    for cup in &need.cups {
        assert!(cup.ml >= cup.bare_ml * 1.1 + 30.0 - 0.001 && cup.ml <= cup.bare_ml * 1.1 + 30.0 + 30.0);
        near(cup.ml % 30.0, 0.0, 0.000_001);
    }
    near(need.wet_film_um[1], 40.0 / 0.42, 0.001);
}

/// Common practice, no source: a full set of very large wing letters, near 30 h.
#[test]
fn seven_letters_of_thirty_inches_take_near_thirty_hours() {
    let text = ONE_HAND
        .replace("\"HERONS\"", "\"N417RWK\"")
        .replace("[170, 0], [170, 40], [0, 40]", "[190, 0], [190, 60], [0, 60]")
        .replace("at = [85, 20]", "at = [95, 30]")
        .replace("labour = \"our-times.toml\"", "");
    let hours = planned(&text).spray.labour.unwrap().total() / 60.0;
    assert!((27.0..33.0).contains(&hours), "{hours}");
}

#[test]
fn a_job_without_paint_and_shop_stays_silent() {
    let at = ONE_HAND.find("[[paint]]").unwrap();
    let text = ONE_HAND[..at].replace("paint = \"blue\"\n", "");
    let plan = planned(&text);
    assert_eq!(plan.spray, super::SprayPlan::default());
}

#[test]
fn a_window_too_short_for_one_letter_is_named_with_what_helps() {
    let plan = planned(&ONE_HAND.replace("by = \"20 min\"", "by = \"5 min\""));
    let fail = plan.findings.iter().find(|f| f.code == "no-day").unwrap();
    assert!(
        fail.message.contains("pulling H of name takes 6 min, longer than its window of 5 min"),
        "{fail:?}"
    );
    assert!(fail.hint.contains("slower reducer"), "{fail:?}");
    // Opening at noon: paper off after 18:00, when the shop is closed.
    let plan = planned(&ONE_HAND.replace("opens = \"08:00\"", "opens = \"11:00\""));
    let fail = plan.findings.iter().find(|f| f.code == "no-day").unwrap();
    assert!(fail.message.contains("paper off falls when the shop is closed"), "{fail:?}");
    assert!(fail.hint.contains("a start by "), "{fail:?}");
}

/// What a random day is made of.
#[derive(Clone, Debug)]
struct Dice {
    hands: u32,
    hours: (u16, u16),
    fog: u32,
    least: f64,
    most: f64,
    after: f64,
    pull: Option<(f64, f64)>,
    unmask: Option<(f64, f64)>,
    pot: Option<f64>,
    dry: f64,
    dwell: f64,
    air: f64,
    letters: usize,
    mask: bool,
}

fn dice() -> impl Strategy<Value = Dice> {
    let shop = (1..4_u32, 300..660_u16, 420..720_u16);
    let coats = (1..4_u32, 0.0..8.0_f64, 1.0..15.0_f64, 0.0..60.0_f64);
    let windows = (
        prop::option::of((0.0..10.0_f64, 8.0..60.0_f64)),
        prop::option::of((60.0..500.0_f64, 30.0..500.0_f64)),
        prop::option::of(40.0..300.0_f64),
        30.0..1500.0_f64,
        300.0..2000.0_f64,
    );
    (shop, coats, windows, 12.0..33.0_f64, 1..7_usize, any::<bool>()).prop_map(
        |(
            (hands, opens, open),
            (fog, least, more, after),
            (pull, unmask, pot, dry, dwell),
            air,
            letters,
            mask,
        )| Dice {
            hands,
            hours: (opens, opens + open),
            fog,
            least,
            most: least + more,
            after,
            pull: pull.map(|(from, wide)| (from, from + wide)),
            unmask: unmask.map(|(from, wide)| (from, from + wide)),
            pot,
            dry,
            dwell,
            air,
            letters,
            mask,
        },
    )
}

fn thrown(base: &Job, dice: &Dice) -> Job {
    let mut job = base.clone();
    let at = |minutes: f64| TimeAt { minutes, at_c: Some(21.0) };
    let paint = &mut job.paints[0];
    let fog = Coat {
        count: dice.fog,
        flash: Some([dice.least, dice.most]),
        flash_at_c: Some(21.0),
        ..paint.coats[0].clone()
    };
    paint.coats = vec![fog, Coat { after: Some(dice.after), ..paint.coats[1].clone() }];
    paint.pull_edge =
        dice.pull.map(|(from, by)| PullEdge { state: "wet".to_owned(), from, by, at_c: Some(20.0) });
    paint.unmask = dice.unmask.map(|(from, by)| [from, by]);
    paint.pot_life = dice.pot.map(at);
    paint.dry_to_tape = Some(at(dice.dry));
    if let Some(masking) = &mut job.masking {
        masking.edge_dwell = dice.dwell;
    }
    if !dice.mask {
        job.masking = None;
    }
    let shop = job.shop.as_mut().unwrap();
    (shop.hands, shop.opens, shop.closes) = (dice.hands, dice.hours.0, dice.hours.1);
    job.conditions.as_mut().unwrap().air_c = Some(dice.air);
    job
}

/// P10: every task of a day lies in its windows; no resource is used twice. The checker reads the tasks and the job
/// alone. That it can fail is shown by moving single tasks of the same days.
#[test]
fn p10_every_day_of_ten_thousand_random_jobs_keeps_its_windows() {
    let base = planned(ONE_HAND);
    let rates = labour::rates(&base.job, &files()).unwrap();
    let extra = Figures::own(ALLOWANCES);
    let seen = std::cell::Cell::new((0, 0, 0, 0));
    let mut runner =
        TestRunner::new(Config { cases: 10_000, failure_persistence: None, ..Config::default() });
    runner
        .run(&dice(), |dice| {
            let job = thrown(&base.job, &dice);
            let mut marks = base.marks.clone();
            marks[0].glyphs.truncate(dice.letters);
            let shots = shots(&job, &base.skins, &marks);
            let work = vec![labour::estimate(&shots[0], 9.5, 50.8, 0.3); shots.len()];
            let gun = job.gun.unwrap();
            let (day, said) = plan_day(&job, &base.skins, &marks, &shots, &work, &gun, &rates, &extra);
            let (mut none, mut one, mut more, mut caught) = seen.get();
            let Some(day) = day else {
                prop_assert!(said.iter().any(|f| f.code == "no-day"));
                seen.set((none + 1, one, more, caught));
                return Ok(());
            };
            let fails: Vec<_> = said.iter().filter(|f| f.severity == Severity::Fail).collect();
            prop_assert!(fails.is_empty(), "{fails:#?}");
            let letters: Vec<usize> = (0..shots.len()).collect();
            let facts = Facts {
                job: &job,
                shop: job.shop.as_ref().unwrap(),
                clock: &day.clock,
                shop_c: job.conditions.as_ref().unwrap().air_c,
                shots: &shots,
                letters: &letters,
                work: &work,
                near: extra.value("goes-apart"),
                dry_to_tape: extra.value("dry-to-tape"),
            };
            prop_assert!(check(&day.tasks, &facts).is_empty());
            let moved = |step: Step, by: i64| -> bool {
                let mut tasks: Vec<Task> = day.tasks.clone();
                let Some(t) = tasks.iter_mut().find(|t| t.step == step) else { return true };
                t.start += by;
                !check(&tasks, &facts).is_empty()
            };
            // A coat moved into the mixing, a pull moved into the wet coats: always wrong.
            prop_assert!(moved(Step::Coat(0), -1));
            prop_assert!(moved(Step::Pull, -1));
            caught += 2;
            if day.goes.len() == 1 {
                one += 1
            } else {
                more += 1
            }
            none += 0;
            seen.set((none, one, more, caught));
            Ok(())
        })
        .unwrap();
    let (none, one, more, caught) = seen.get();
    assert!(
        none > 300 && one > 300 && more > 300 && caught > 1000,
        "{none} none, {one} of one go, {more} of more"
    );
}
