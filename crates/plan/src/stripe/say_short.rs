//! A stripe that ends short of the stations asked for: its line is at its end there, or both corners of its end do not fit;
//! and one whose straight line is asked for from or to a point that is not on the skin.

use super::way::Way;
use crate::finding::{Bound, Finding, Severity};
use crate::job::{AlongLine, Apart, Stripe};
use crate::surface::{Skin, SkinShape};
use crate::words::length;
use geom::distance::point_to_edge;
use geom::winding::contains;

/// What is said of every mark, in words that fit a stripe.
pub(super) fn of_stripe(mut said: Vec<Finding>) -> Vec<Finding> {
    for finding in &mut said {
        match finding.code {
            "outside" => {
                "set `from` and `to`, move its line, or make it narrower".clone_into(&mut finding.hint)
            }
            "strain" => {
                finding.message = finding.message.replace("the skin under the mark", "the skin under it")
            }
            "strain-high" => "keep it clear of the kink, or make it narrower".clone_into(&mut finding.hint),
            _ => {}
        }
    }
    said
}

/// What an end may lie short of its station unsaid, mm: 1/32 in, what a tape reads.
const SHORT_SEEN: f64 = 25.4 / 32.0;
/// Places at which the stations of a line are read: one that turns back is farthest between its ends.
const LOOKS: u32 = 16;

/// Where it is asked to begin and to end by station, and does not.
pub(super) fn stations(stripe: &Stripe, skin: &Skin, way: &Way, widest: f64) -> Vec<Finding> {
    let Some(along) = stripe.along.as_ref().map(|a| &a.value) else { return vec![] };
    if along.from.is_none() && along.to.is_none() {
        return vec![];
    }
    let places = (0..=LOOKS).map(|k| way.length() * f64::from(k) / f64::from(LOOKS));
    let (low, high) = places
        .map(|s| skin.station(way.at(s).p))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(s), b.max(s)));
    // With a gap beside another its end stands square off the place where the other's edge is at the station: of a slanting
    // one by no more than this from it.
    let aside = match &along.line {
        AlongLine::Stripe(_, Apart::Gap { gap, .. }) => gap + widest / 2.0,
        _ => 0.0,
    };
    let short = |key: &str, asked: Option<f64>, got: f64, by: f64| {
        asked.filter(|_| by > SHORT_SEEN + aside).map(|asked| {
            Finding::new(
                Severity::Caution,
                "stripe-short",
                &stripe.id,
                format!(
                    "it is asked to run {key} station {}, but runs only {key} {}: {} short",
                    length(asked),
                    length(got),
                    length(by)
                ),
            )
            .figures(got, if key == "from" { Bound::Max } else { Bound::Min }, asked, "mm")
            .hint(format!(
                "its line is at its end there, or the corners of its end would not lie on the skin: set `{key}` to what it \
                 can reach, or leave it out"
            ))
        })
    };
    let by = [along.from.map_or(0.0, |from| low - from), along.to.map_or(0.0, |to| to - high)];
    short("from", along.from, low, by[0]).into_iter().chain(short("to", along.to, high, by[1])).collect()
}

/// Points a straight line is asked to run between that lie off the skin: it would be drawn back onto it, or on a body run
/// to another place.
pub(super) fn off_skin(stripe: &Stripe, skin: &Skin) -> Vec<Finding> {
    let Some(along) = stripe.along.as_ref().map(|a| &a.value) else { return vec![] };
    let AlongLine::Straight(points) = &along.line else { return vec![] };
    // On a panel the line is the same however far its points lie off: what counts is where it is cut.
    let cut = along.from.is_some() || along.to.is_some();
    if cut && !matches!(skin.shape, SkinShape::Body(_)) {
        return vec![];
    }
    let off = |reading: &[f64; 2]| {
        let p = skin.flat_from_user(*reading);
        let on = contains(std::slice::from_ref(&skin.outline), p);
        let far = || skin.outline.edges().map(|e| point_to_edge(p, &e)).fold(f64::INFINITY, f64::min);
        if on { 0.0 } else { far() }
    };
    let told = points.iter().map(|p| (p, off(p))).filter(|(_, far)| SHORT_SEEN < *far);
    let one = |([s, t], far): (&[f64; 2], f64)| {
        let words = format!("its point at {}, {} lies {} off the skin", length(*s), length(*t), length(far));
        Finding::new(Severity::Fail, "stripe-off-skin", &stripe.id, words)
            .figures(far, Bound::Max, 0.0, "mm")
            .hint("its end was moved onto the skin: give a point on it, or more stations of the surface")
    };
    told.map(one).collect()
}

#[cfg(test)]
mod tests {
    use crate::job::{Attachments, read};

    /// A stripe off the skin has no `within` to widen and no letters to make smaller.
    #[test]
    fn a_stripe_is_told_of_itself_in_its_own_words() {
        let job = "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\ncorners = [[0, 0], [120, 0], [120, \
                   30], [0, 30]]\n[[stripe]]\nid = \"bar\"\nsurface = \"s\"\nthrough = [[5, 5], [60, 29], [115, 5]]\nwidth = 4\n";
        let plan = crate::run(&read(job).unwrap(), &Attachments::default()).unwrap();
        let said = plan.findings.iter().find(|f| f.code == "outside").expect("it reaches beyond the panel");
        assert_eq!(said.hint, "set `from` and `to`, move its line, or make it narrower");
    }
}
