//! Does the paint stand out from what it lies on? Guidance only: the rules ask for contrast without a number.

use super::codes;
use super::contrast::Contrast;
use super::figure::caveat;
use super::pack::Pack;
use super::reading::trimmed;
use crate::finding::{Basis, Bound, Finding, Severity};

/// Where the figures come from. The test itself was read; that it is suggested for registration marks was
/// read as quoted from the advisory circular, and the weaker of the two is the basis.
const CITE: &str =
    "14 CFR 29.811(f)(2), a test for exit markings; AC 45-2E 7.3 suggests it for registration marks";

/// A colour of a mark, or of what it lies on.
#[derive(Clone, Debug, PartialEq)]
pub struct Shade {
    /// Id of the paint or ground.
    pub name: String,
    /// Share of light it reflects, 0 to 1; `None` if the job does not say.
    pub reflectance: Option<f64>,
    /// The reflectance was worked out from a colour on a screen, not given.
    pub estimated: bool,
    /// It glitters or flops, so that its reflectance changes with the angle.
    pub metallic: bool,
}

/// What is known of the colours of a mark; `None` where the job names none.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkShades {
    /// Id of the mark.
    pub id: String,
    /// Whether the pack binds it.
    pub legal: bool,
    /// The characters.
    pub paint: Option<Shade>,
    /// What they are painted over.
    pub over: Option<Shade>,
    /// The outline, which lies all round every character.
    pub outline: Option<Shade>,
    /// The shadow, which touches one side of every character.
    pub shadow: Option<Shade>,
}

/// Every finding about the contrast of a mark: of the characters against what surrounds them (the outline if
/// there is one, else the ground), and notes about the other pairs. A colour that is missing is a note where
/// the pack asks for contrast, else nothing.
pub fn check_contrast(pack: Option<&Pack>, mark: &MarkShades) -> Vec<Finding> {
    let pack = pack.filter(|_| mark.legal);
    let around = mark.outline.as_ref().or(mark.over.as_ref());
    let (Some((paint, of_paint)), Some((ground, of_ground))) = (known(mark.paint.as_ref()), known(around))
    else {
        return unknown(pack, mark).into_iter().collect();
    };
    let contrast = Contrast::between(of_paint, of_ground);
    let severity = match (contrast.met(), mark.legal) {
        (true, _) => Severity::Pass,
        (false, true) => Severity::Caution,
        // A mark the rule does not bind may be as faint as its owner likes.
        (false, false) => Severity::Note,
    };
    let mut finding = pair(codes::CONTRAST, severity, &mark.id, (paint, ground), contrast);
    if let Some(rule) = pack.and_then(|pack| pack.contrast.as_ref()) {
        finding.message += &format!("; {}, {}{}", rule.say, rule.cite, caveat(rule.basis));
    }
    if !contrast.met() {
        let (light, dark) = if of_paint < of_ground { (ground, paint) } else { (paint, ground) };
        finding.hint = remedy(contrast, &light.name, &dark.name);
    }
    finding.message += pack.map_or("", Pack::label);
    let mut findings = vec![finding];
    findings.extend(others(pack, mark));
    findings
}

fn known(shade: Option<&Shade>) -> Option<(&Shade, f64)> {
    shade.and_then(|shade| Some((shade, shade.reflectance?)))
}

/// The pairs that do not make the mark legible, but show.
fn others(pack: Option<&Pack>, mark: &MarkShades) -> Vec<Finding> {
    let pairs = [
        (mark.outline.as_ref(), mark.over.as_ref()),
        (mark.shadow.as_ref(), mark.over.as_ref()),
        (mark.paint.as_ref(), mark.shadow.as_ref()),
    ];
    let mut findings = Vec::new();
    for (a, b) in pairs {
        if let (Some((a, of_a)), Some((b, of_b))) = (known(a), known(b)) {
            let contrast = Contrast::between(of_a, of_b);
            let mut note = pair(codes::CONTRAST_BESIDE, Severity::Note, &mark.id, (a, b), contrast);
            note.message += pack.map_or("", Pack::label);
            findings.push(note);
        }
    }
    findings
}

/// The colours of a mark that must contrast are not all known.
fn unknown(pack: Option<&Pack>, mark: &MarkShades) -> Option<Finding> {
    let rule = pack.and_then(|pack| pack.contrast.as_ref())?;
    let around = mark.outline.as_ref().or(mark.over.as_ref());
    let missing = |shade: Option<&Shade>, key: &str| match shade {
        None => Some(format!("`{key}` is not given")),
        Some(shade) if shade.reflectance.is_none() => Some(format!("{} has no colour", shade.name)),
        Some(_) => None,
    };
    let what: Vec<String> =
        [missing(mark.paint.as_ref(), "paint"), missing(around, "over")].into_iter().flatten().collect();
    let message = format!(
        "contrast is not estimated, {}: {}{}{}",
        what.join(" and "),
        rule.say,
        caveat(rule.basis),
        pack.map_or("", Pack::label)
    );
    Some(
        Finding::new(Severity::Note, codes::CONTRAST_UNKNOWN, &mark.id, message)
            .source(rule.basis, rule.cite.clone())
            .hint("give the mark `paint` and `over`, and both of them a `colour` or `reflectance`; or judge it by eye"),
    )
}

/// One pair in figures: reflectances, what the guidance wants, the ratio beside.
fn pair(
    code: &'static str,
    severity: Severity,
    about: &str,
    (a, b): (&Shade, &Shade),
    contrast: Contrast,
) -> Finding {
    let says = |shade: &Shade| {
        let about = if shade.estimated { "about " } else { "" };
        format!("{about}{}", percent(shade.reflectance.unwrap_or_default()))
    };
    let wanted = if contrast.needs_darker() {
        format!("the darker should reflect at most {}", percent(contrast.darker_wanted()))
    } else {
        format!("the lighter should reflect at least {}", percent(contrast.lighter_wanted()))
    };
    let against = if contrast.met() { "stands out from" } else { "is too near to" };
    let mut message = format!(
        "{} {against} {}: {} reflects {} of the light, {} {}; {wanted} by guidance and not by the rule; \
         WCAG ratio {} to 1",
        a.name,
        b.name,
        a.name,
        says(a),
        b.name,
        says(b),
        trimmed(contrast.ratio(), 1)
    );
    if a.estimated || b.estimated {
        message += "; estimated from colours as on a screen";
    }
    if a.metallic || b.metallic {
        message += "; metallic, so it changes with the angle: look from all round";
    }
    let (found, bound, asked) = if contrast.needs_darker() {
        (contrast.darker, Bound::Should, contrast.darker_wanted())
    } else {
        (contrast.lighter, Bound::Should, contrast.lighter_wanted())
    };
    Finding::new(severity, code, about, message)
        .figures(found, bound, asked, "ratio")
        .source(Basis::Quoted, CITE)
}

/// What to do, and what other yardsticks say before anyone buys other paint.
fn remedy(contrast: Contrast, light: &str, dark: &str) -> String {
    let lighter = contrast.lighter_wanted();
    let darker = contrast.darker_wanted();
    let mut ways = Vec::new();
    if lighter <= 1.0 {
        ways.push(format!("a colour of {} or more for {light}", percent(lighter)));
    }
    if 0.0 <= darker {
        ways.push(format!("a colour of {} or less for {dark}", percent(darker)));
    }
    format!(
        "take {}; other yardsticks: Michelson {} (0.4 wanted), Bowman-Sapolinski {} (30 % wanted), Weber {}",
        ways.join(", or "),
        trimmed(contrast.michelson(), 2),
        percent(contrast.bowman_sapolinski()),
        percent(contrast.weber())
    )
}

/// A share as whole per cent; a tenth where whole ones would hide the verdict is never needed by an eye.
fn percent(share: f64) -> String {
    format!("{} %", trimmed(100.0 * share, 1))
}
