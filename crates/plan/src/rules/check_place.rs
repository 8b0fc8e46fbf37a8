//! Is the mark where the rule wants it, the right way up, level and clear of the edges?

use super::ask::Holds;
use super::check::Check;
use super::codes;
use super::figure::Figure;
use super::pack::{Face, Hand, Location, SurfaceKind, Tops};
use super::reading::{at_least, both, trimmed};
use crate::finding::{Bound, Finding, Severity};
use geom::tolerance::RULE_NOISE_MM;

/// Angle, degrees, from which a baseline counts as vertical. Chosen: halfway between level and upright.
const VERTICAL_FROM_DEG: f64 = 45.0;

/// Angle, degrees, from which a mark counts as upside down. Chosen: halfway between upright and turned over.
const TURNED_FROM_DEG: f64 = 135.0;

/// Every finding about the place of a mark.
pub(super) fn check_place(check: Check<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let place = check.mark.location.as_deref();
    let known = place.and_then(|id| check.pack.location(id));
    match (place, known) {
        (Some(_), Some(location)) => findings.extend(known_place(check, location)),
        (Some(id), None) if !check.pack.locations.is_empty() => findings.push(unknown_place(check, id)),
        _ => findings.extend(wing_without_place(check)),
    }
    findings.extend(margins(check));
    findings
}

fn known_place(check: Check<'_>, location: &Location) -> Vec<Finding> {
    let mut findings = vec![surface(check, location)];
    if location.decoration {
        let note = "the rule asks for no mark here";
        findings.push(check.say(Severity::Note, codes::WING_MARK, note, &location.provision));
    }
    if location.horizontal {
        findings.extend(level(check, location));
    } else if let Some(wanted) = location.tops {
        findings.push(tops(check, location, wanted));
    }
    if location.centred {
        findings.extend(centred(check, location));
    }
    findings
}

/// Whether the surface is one this place can be on.
fn surface(check: Check<'_>, location: &Location) -> Finding {
    let mark = check.mark;
    let mut against = Vec::new();
    if let Some(category) = check.craft.category
        && !location.categories.is_empty()
        && !location.categories.contains(&category)
    {
        against.push("this place is not for this category of craft".to_owned());
    }
    if !location.surfaces.is_empty() && !location.surfaces.contains(&mark.surface) {
        against.push(format!("the surface is a {}", surface_words(mark.surface)));
    }
    let hand = |name: &str, wanted: Option<Hand>, found: Option<Hand>| match (wanted, found) {
        (Some(wanted), Some(found)) if wanted != found => {
            Some(format!("the surface is the {} {name}", hand_words(found)))
        }
        _ => None,
    };
    against.extend(hand("side", location.side, mark.side));
    against.extend(hand("half", location.half, mark.half));
    if let (Some(wanted), Some(found)) = (location.face, mark.face)
        && wanted != found
    {
        let face = if found == Face::Upper { "upper" } else { "lower" };
        against.push(format!("the surface is the {face} face"));
    }
    let id = &location.id;
    if against.is_empty() {
        let message = format!("the surface can be the place \"{id}\"");
        return check.say(Severity::Pass, codes::LOCATION, message, &location.provision);
    }
    let message = format!("the place is \"{id}\", but {}", against.join(" and "));
    let fail = check.say(Severity::Fail, codes::LOCATION, message, &location.provision);
    fail.hint("put the mark on the right surface, or give its true location")
}

fn unknown_place(check: Check<'_>, id: &str) -> Finding {
    let places: Vec<&str> = check.pack.locations.iter().map(|location| location.id.as_str()).collect();
    let nearest =
        places.iter().min_by_key(|place| strsim::damerau_levenshtein(place, id)).map_or("", |place| place);
    let message = format!(
        "the pack knows no place \"{id}\"; nothing about the place was checked{}",
        check.pack.label()
    );
    Finding::new(Severity::Caution, codes::LOCATION_UNKNOWN, &check.mark.id, message)
        .hint(format!("did you mean \"{nearest}\"? it knows: {}", places.join(", ")))
}

/// A wing mark without a place, where the rule asks for no wing mark.
fn wing_without_place(check: Check<'_>) -> Option<Finding> {
    let decoration = check.pack.locations.iter().find(|location| location.decoration)?;
    if check.mark.surface != SurfaceKind::Wing || check.mark.side.is_some() {
        return None;
    }
    let note = "the mark is on a wing, where the rule asks for none";
    Some(check.say(Severity::Note, codes::WING_MARK, note, &decoration.provision))
}

/// A horizontal baseline with the tops up; vertical only where the rule permits it.
fn level(check: Check<'_>, location: &Location) -> Vec<Finding> {
    let mark = check.mark;
    let angle = mark.baseline_deg.unwrap_or(0.0);
    let on_end =
        matches!(mark.tops, Some(Tops::Forward | Tops::Aft | Tops::LeadingEdge | Tops::TrailingEdge));
    let provision = &location.provision;
    if TURNED_FROM_DEG <= angle.abs() {
        let message =
            format!("the baseline is turned by {} degrees, the mark is upside down", trimmed(angle, 2));
        let fail = check.say(Severity::Fail, codes::TOPS, message, provision);
        return vec![fail.hint("turn it so that the tops are up")];
    }
    if on_end || VERTICAL_FROM_DEG <= angle.abs() {
        let least = check.pack.least_height(check.ask(), mark.skin).height.map(|figure| figure.value);
        let permitted = location.vertical_below.as_ref().and_then(Figure::mm);
        let may = matches!((least, permitted), (Some(least), Some(most)) if least <= most + RULE_NOISE_MM);
        let severity = if may { Severity::Pass } else { Severity::Fail };
        let reason = match (&location.vertical_below, may) {
            (Some(figure), true) => {
                format!(
                    "the mark stands vertical, permitted because no more than {} is asked",
                    figure.amount()
                )
            }
            (Some(figure), false) => format!(
                "the mark stands vertical, permitted only where no more than {} is asked ({})",
                figure.amount(),
                figure.cite
            ),
            (None, _) => "the mark stands vertical".to_owned(),
        };
        let hint = if may { "" } else { "lay the baseline horizontal" };
        return vec![check.say(severity, codes::ORIENTATION, reason, provision).hint(hint)];
    }
    let rise = mark.length_mm() * angle.to_radians().sin().abs();
    let within = rise <= check.tolerance_mm + RULE_NOISE_MM;
    let severity = if within { Severity::Pass } else { Severity::Caution };
    let message = format!(
        "the baseline rises {} over the mark ({} degrees); the rule gives no tolerance, the shop's is {}",
        both(rise),
        trimmed(angle, 2),
        both(check.tolerance_mm)
    );
    // Marks on panels and bodies are laid level; on a scan the job says which way the baseline points.
    let hint = if within {
        ""
    } else {
        "on a scan set `toward` level with `at`; else ask the authority whether it will do"
    };
    let finding = check.say(severity, codes::ORIENTATION, message, provision);
    let mut findings = vec![finding.figures(rise, Bound::Exact, 0.0, "mm").hint(hint)];
    if mark.tops == Some(Tops::Up) {
        findings.push(check.say(Severity::Pass, codes::TOPS, "the tops point up", provision));
    }
    findings
}

fn tops(check: Check<'_>, location: &Location, wanted: Tops) -> Finding {
    let provision = &location.provision;
    match check.mark.tops {
        Some(found) if found == wanted => {
            let message = format!("the tops point to {}", found.words());
            check.say(Severity::Pass, codes::TOPS, message, provision)
        }
        Some(found) => {
            let message = format!("the tops point to {}, not to {}", found.words(), wanted.words());
            let fail = check.say(Severity::Fail, codes::TOPS, message, provision);
            fail.hint(format!("turn the mark so that its tops point to {}", wanted.words()))
        }
        None => {
            let message = format!("where the tops point is not known; they must point to {}", wanted.words());
            check.say(Severity::Caution, codes::TOPS, message, provision)
        }
    }
}

/// As far from the leading edge as from the trailing edge; rules say `as far as possible`, so a caution.
fn centred(check: Check<'_>, location: &Location) -> Option<Finding> {
    let (leading, trailing) = (check.mark.to_leading_edge_mm?, check.mark.to_trailing_edge_mm?);
    let off = (leading - trailing).abs() / 2.0;
    let within = off <= check.tolerance_mm + RULE_NOISE_MM;
    let message = format!(
        "the mark is {} from the leading edge and {} from the trailing edge",
        both(leading),
        both(trailing)
    );
    let severity = if within { Severity::Pass } else { Severity::Caution };
    let toward = if leading < trailing { "aft" } else { "forward" };
    let hint = if within { String::new() } else { format!("move it {} {toward}", both(off)) };
    let finding = check.say(severity, codes::CENTRED, message, &location.provision).hint(hint);
    Some(finding.figures(off, Bound::Should, 0.0, "mm"))
}

fn margins(check: Check<'_>) -> Vec<Finding> {
    let Some(found) = check.mark.margin_mm else { return Vec::new() };
    let mut findings = Vec::new();
    for margin in check.pack.margins.iter().filter(|margin| margin.when.holds(check.ask()) != Holds::No) {
        if let Some(required) = margin.figure.mm() {
            let what = "the least distance to an edge of the surface is";
            let mut finding = check.length(codes::MARGIN, what, found, &margin.figure, required);
            if finding.severity != Severity::Pass {
                finding.hint = format!("move it {} inward, or make it smaller", at_least(required - found));
            }
            findings.push(finding);
        }
    }
    findings
}

fn surface_words(surface: SurfaceKind) -> &'static str {
    match surface {
        SurfaceKind::Flat => "flat panel",
        SurfaceKind::Wing => "wing",
        SurfaceKind::Body => "body",
        SurfaceKind::Mesh => "scan",
    }
}

fn hand_words(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}
