//! Masks of letters held against stripes and other letters: on a panel, on a body, on both alike.

use crate::Plan;
use crate::finding::Severity;
use crate::job::{Attachments, read};
use crate::mask::colours::Part;

/// A panel, and a side of a body that is nearly one: an upright ellipse of 26 by 60 in, the same all along.
const PANEL: &str = "kind = \"flat\"\ncorners = [[0, -20], [200, -20], [200, 20], [0, 20]]";
const BODY: &str = "kind = \"body\"\nside = \"left\"\nstations = [{ s = 0, half_width = 13, top = 30, bottom = -30 }, { s = \
                    200, half_width = 13, top = 30, bottom = -30 }]";

/// Letters in blue and what else is said of them, a stripe 4 in wide whose middle is at `low`.
fn planned(surface: &str, letters: &str, low: f64, paint: &str) -> Plan {
    let coats = "coats = [{ kind = \"wet\", film_um = 40 }]\npull_edge = { state = \"wet\", from = \"0 min\", by = \"30 \
                 min\" }\nunmask = { from = \"6 h\", by = \"12 h\" }\ndry_to_tape = { time = \"12 h\", at = \"21 C\" }";
    let job = format!(
        "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"side\"\n{surface}\n[[mark]]\nid = \"name\"\nsurface = \"side\"\n\
         text = \"N28Q\"\nlegal = false\nheight = 6\nplace = {{ at = [100, 5] }}\npaint = \"blue\"\n{letters}\n[[stripe]]\nid \
         = \"band\"\nsurface = \"side\"\nalong = {{ waterline = {low}, from = 20, to = 180 }}\nwidth = 4\npaint = \"{paint}\"\n\
         [masking]\nedge_tapes = [{{ width = \"1/2 in\", roll = \"36 yd\", strain = 0.05 }}]\ntack_tape = {{ width = \"3/4 \
         in\", roll = \"36 yd\" }}\n[[paint]]\nid = \"blue\"\ncolour = \"#1f3a6e\"\n{coats}\n[[paint]]\nid = \"red\"\ncolour = \
         \"#9c1f1f\"\n{coats}\n[[paint]]\nid = \"gold\"\ncolour = \"#b8860b\"\n{coats}\n"
    );
    crate::run(&read(&job).unwrap(), &Attachments::default()).unwrap()
}

fn said(plan: &Plan, code: &str) -> Vec<(String, String)> {
    let own = plan.findings.iter().filter(|f| f.code == code);
    own.map(|f| (f.about.clone(), f.message.clone())).collect()
}

/// By hand: the letters' feet are at 2 in, a mask reaches a gap of 3/8 in and an 18 mm strip from them: it lies on a band up to
/// 1 1/2 in, not on one up to 1/2 in. A body says the same as a panel.
#[test]
fn letters_and_a_band_beside_them() {
    for surface in [PANEL, BODY] {
        let near = planned(surface, "", -0.5, "red");
        assert_eq!(near.masking.masks.iter().find(|m| m.of == "name").unwrap().upon, ["band"], "{surface}");
        assert_eq!(said(&near, "mask-after").len(), 1, "{surface}");
        let clear = planned(surface, "", -1.5, "red");
        assert!(clear.masking.masks.iter().all(|m| m.upon.is_empty()), "{surface}");
        assert!(said(&clear, "mask-after").is_empty(), "{surface}");
        // In one paint it is shot in the same go.
        let same = planned(surface, "", -0.5, "blue");
        let told = said(&same, "tape-on-other");
        assert!(told.iter().any(|(about, _)| about == "name"), "{surface}: {told:?}");
        assert!(same.findings.iter().any(|f| f.code == "tape-on-other" && f.severity == Severity::Fail));
    }
}

/// A band below the letters, 1 1/2 in under their feet: the letters' own mask is clear of it, that of a shadow cast 1 in down is not.
#[test]
fn the_mask_of_a_shadow_is_asked_too() {
    let shadow = "shadow = { by = [0.5, -1], paint = \"gold\" }";
    for surface in [PANEL, BODY] {
        let plan = planned(surface, shadow, -1.5, "red");
        let of =
            |part: Part| &plan.masking.masks.iter().find(|m| m.of == "name" && m.part == part).unwrap().upon;
        assert_eq!((of(Part::Shadow).len(), of(Part::Letters).len()), (1, 0), "{surface}");
        let told = said(&plan, "mask-after");
        assert!(
            told.iter().any(|(about, words)| about == "band" && words.contains("when gold is dry")),
            "{told:?}"
        );
    }
}
