//! Where a mark on a scan is: both ends of its baseline, by tapes swung from what one can lay a finger on. A scan has no stations
//! on the skin to read from.

use crate::Plan;
use crate::fit::placed::Placed;
use crate::surface::ScanSkin;
use crate::words::length;
use skin::Spot;

/// Most things a tape is swung from for one mark: two find a place, the third proves it, the fourth is for who cannot reach one.
const MOST: usize = 4;

/// A swing: what the tape is held on, and the ways over the skin to the left and right end of the baseline, mm.
type Swing = (String, [f64; 2]);

/// The steps that find the marks, one for each.
pub(super) fn found(plan: &Plan, scan: &ScanSkin, marks: &[&Placed]) -> Vec<String> {
    let step = |mark: &&Placed| {
        let swings = swings(plan, scan, mark);
        let of = if marks.len() == 1 { String::new() } else { format!(" of {}", mark.words()) };
        let chars: Vec<char> = mark.glyphs.iter().map(|g| g.char).collect();
        let (Some(first), Some(last)) = (chars.first(), chars.last()) else { return String::new() };
        if swings.len() < 2 {
            return format!(
                "Mark the middle{of} of the mark and a line along its baseline through it. The job names fewer than two things on \
                 this skin to hold a tape on: name two plates, screws or seam ends, and the distances from them stand here. \
                 Both stay until the paint is on."
            );
        }
        let row = |(from, [left, right]): &Swing| format!("{from}, {} and {}", length(*left), length(*right));
        format!(
            "Find both ends of the baseline{of} with a tape held taut on the skin, its distances to the foot of {first} at the \
             left and to the foot of {last} at the right: from {}. Two swings cross at each end, {}. Strike the baseline through \
             both ends and mark its middle; all stay until the paint is on.",
            swings.iter().map(row).collect::<Vec<_>>().join("; from "),
            if swings.len() > 2 { "another proves it" } else { "the picture shows on which side" }
        )
    };
    marks.iter().map(step).collect()
}

/// The nearest things to swing from.
fn swings(plan: &Plan, scan: &ScanSkin, mark: &Placed) -> Vec<Swing> {
    let ends = || {
        let sheet = mark.skin(&plan.skins)?;
        let (first, last) = (mark.glyphs.first()?, mark.glyphs.last()?);
        let spot = |p| Some(Spot::nearest(scan.mesh(), sheet.space_from_flat(p)?).0);
        Some([spot(first.corners[0])?, spot(last.corners[1])?])
    };
    let Some([left, right]) = ends() else { return Vec::new() };
    let way = |(name, from): (String, Spot)| {
        Some((name, [scan.shortest(from, left)?, scan.shortest(from, right)?]))
    };
    let mut all: Vec<Swing> = scan.holds().into_iter().filter_map(way).collect();
    all.sort_by(|a, b| (a.1[0] + a.1[1]).total_cmp(&(b.1[0] + b.1[1])));
    all.truncate(MOST);
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Attachments, read};
    use crate::surface::SkinShape;

    /// A plain sheet as a scan, 600 by 300 mm, with what lies on it.
    fn planned(features: &str) -> Plan {
        let corner = |x: f64, y: f64| format!("vertex {x} {y} 0");
        let facet = |c: [(f64, f64); 3]| {
            let all: Vec<String> = c.iter().map(|(x, y)| corner(*x, *y)).collect();
            format!("facet normal 0 0 1\nouter loop\n{}\nendloop\nendfacet\n", all.join("\n"))
        };
        let mut scan = String::from("solid sheet\n");
        for (i, j) in (0..12).flat_map(|i| (0..6).map(move |j| (i, j))) {
            let at = |a: i32, b: i32| (50.0 * f64::from(i + a), 50.0 * f64::from(j + b));
            scan += &facet([at(0, 0), at(1, 0), at(1, 1)]);
            scan += &facet([at(0, 0), at(1, 1), at(0, 1)]);
        }
        scan += "endsolid sheet\n";
        let job = format!(
            "title = \"t\"\nunits = \"mm\"\n[[surface]]\nid = \"sheet\"\nkind = \"mesh\"\nfile = \"sheet.stl\"\nunit = \"mm\"\n\
             {features}[[mark]]\nid = \"n\"\nsurface = \"sheet\"\ntext = \"28\"\nlegal = false\nheight = 60\nplace = {{ at = \
             [300, 150, 0], toward = [500, 150, 0] }}\n"
        );
        let files = Attachments { files: [("sheet.stl".to_owned(), scan.into_bytes())].into() };
        crate::run(&read(&job).unwrap(), &files).unwrap()
    }

    fn all(plan: &Plan) -> (Vec<Swing>, Vec<String>) {
        let SkinShape::Scan(scan) = &plan.skins[0].shape else { panic!("a scan") };
        (swings(plan, scan, &plan.marks[0]), found(plan, scan, &[&plan.marks[0]]))
    }

    /// On a plain sheet the ways are those of Pythagoras, from the plate and both ends of the seam to the feet of the letters.
    #[test]
    fn swings_are_the_ways_over_the_skin() {
        let plan = planned(
            "[[surface.feature]]\nid = \"plate\"\nkind = \"plate\"\nat = [120, 210, 0]\ndiameter = 20\nclearance = \
             5\n[[surface.feature]]\nid = \"seam\"\nkind = \"seam\"\npath = [[500, 60, 0], [100, 70, 0]]\n",
        );
        let (swings, said) = all(&plan);
        let half = plan.marks[0].length / 2.0;
        let feet = [(300.0 - half, 120.0), (300.0 + half, 120.0)];
        let want = [
            ("the middle of plate", (120.0, 210.0)),
            ("the right end of seam", (500.0, 60.0)),
            ("the left end of seam", (100.0, 70.0)),
        ];
        assert_eq!(swings.len(), 3);
        for (name, (x, y)) in want {
            let own = swings.iter().find(|s| s.0 == name).unwrap();
            for (got, (fx, fy)) in own.1.iter().zip(feet) {
                let by_hand = f64::hypot(fx - x, fy - y);
                assert!((got - by_hand).abs() < 0.02, "{name}: {got}, by hand {by_hand}");
            }
        }
        assert!(said[0].contains("another proves it") && said[0].contains("from the middle of plate"));
    }

    #[test]
    fn with_nothing_to_swing_from_that_is_said() {
        let (swings, said) = all(&planned(""));
        assert!(swings.is_empty() && said[0].contains("fewer than two things"), "{said:?}");
    }
}
