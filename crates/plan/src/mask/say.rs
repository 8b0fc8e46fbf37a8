//! What there is to say about a mask: which rule applied where, what bends too tightly and what to buy instead.

use super::check::Found;
use super::colours::{Colour, UNDER};
use super::edge::Said;
use super::lines::SHARED_UP_TO;
use super::paint_order::PaintOrder;
use super::plan::{Kind, Mask};
use super::shelf::{Bend, Measures, NARROWEST, SHORT};
use super::tack::SCRAP;
use crate::finding::{Basis, Bound, Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::job::types::Masking;
use crate::words::{inches, length, on_flat};

/// What was decided for the whole mark.
#[derive(Debug, Default)]
pub(super) struct Tale {
    /// Counters filled by a plug: character and its widest place, mm.
    pub(super) plugs: Vec<(i32, f64)>,
    /// Shared lines by name.
    pub(super) lines: Vec<&'static str>,
    /// Scraps of tack strip left out.
    pub(super) scraps: usize,
    /// Narrowest gap filled by one piece, mm.
    pub(super) between: Option<f64>,
}

/// Everything there is to say.
pub(super) fn findings(
    mark: &Placed,
    masking: &Masking,
    mask: &Mask,
    tale: &Tale,
    said: &Said,
    found: &Found,
) -> Vec<Finding> {
    let m = Measures::new(masking);
    let id = &mark.id;
    let note = |code: &'static str, words: String| {
        Finding::new(Severity::Note, code, id, words).source(Basis::Practice, "common practice, no source")
    };
    let mut out = Vec::new();
    out.extend(bending(id, mark, said));
    if let Some((glyph, radius)) = said.film.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1)) {
        let mut chars: Vec<i32> = said.film.iter().map(|f| f.0).collect();
        chars.dedup();
        let names: Vec<String> = chars.iter().map(|g| char_words(mark, *g)).collect();
        out.push(
            Finding::new(
                Severity::Caution,
                "tape-film",
                id,
                format!(
                    "{} edges bend more tightly than any tape does, down to a radius of {} at {}: cut these strips \
                     from film along the curve, from the pattern: {}",
                    said.film.len(),
                    length(radius),
                    char_words(mark, glyph),
                    names.join(", ")
                ),
            )
            .hint("or paint the mark with a mask cut whole from film: method = \"cut-mask\""),
        );
    }
    out.extend(film_along(id, said));
    if let Some(width) = said.too_narrow {
        out.push(
            note(
                "tape-bridge",
                format!(
                    "tape {:.1} mm wide does not reach from the paint edge to the tack strip with {} to spare: \
                     every such edge has a bridge",
                    width,
                    inches(m.overlap)
                ),
            )
            .figures(width, Bound::Min, m.reach(), "mm")
            .hint(format!("buy edge tape at least {:.1} mm wide, measured, not by its label", m.reach())),
        );
    }
    if let Some((glyph, count, width)) = said.rows.iter().copied().max_by_key(|r| r.1) {
        out.push(note(
            "tape-bridge-rows",
            format!(
                "round {} bends one bridge would pucker: there it is up to {count} rows of tape {width:.1} mm wide, \
                 each lapping the one before by {}, first at {}",
                said.rows.len(),
                inches(SHORT),
                char_words(mark, glyph)
            ),
        ));
    }
    for (glyph, reached, need) in &said.bare {
        out.push(
            Finding::new(
                Severity::Fail,
                "tape-gap-open",
                id,
                format!(
                    "at {} no tape on the shelf bridges the gap: {reached:.1} mm are reached, {need:.1} mm needed",
                    char_words(mark, *glyph)
                ),
            )
            .figures(*reached, Bound::Min, *need, "mm")
            .hint("buy a wider tape for the bridges, or make the gap narrower"),
        );
    }
    if let Some(c) = said.shared {
        out.push(note(
            "tape-channel-shared",
            format!(
                "where edges face each other at under {} (down to {}) one tack strip serves both",
                length(m.two_strips()),
                length(c)
            ),
        ));
    }
    if let Some(c) = said.meeting {
        out.push(note(
            "tape-channel-meets",
            format!(
                "where edges face each other at under {} (down to {}) there is no tack strip: the tapes of both \
                 edges meet, or a bridge lies over both",
                length(m.shared()),
                length(c)
            ),
        ));
    }
    if tale.scraps > 0 {
        out.push(note(
            "tape-tack-scraps",
            format!(
                "{} of tack strip under {} long {} left out: edge tape and the strip beside cover that skin",
                if tale.scraps == 1 { "1 scrap".to_owned() } else { format!("{} scraps", tale.scraps) },
                inches(SCRAP),
                if tale.scraps == 1 { "is" } else { "are" }
            ),
        ));
    }
    if let Some(c) = tale.between {
        out.push(note(
            "tape-gap-one-piece",
            format!(
                "gaps of {} between letters are one piece each, cut to that width on the board",
                length(c)
            ),
        ));
    }
    if !tale.plugs.is_empty() {
        let names: Vec<String> = tale.plugs.iter().map(|(g, _)| char_words(mark, *g)).collect();
        out.push(note(
            "tape-plug",
            format!(
                "counters under {} wide are plugs, cut whole on the board: {}",
                length(m.plug()),
                names.join(", ")
            ),
        ));
    }
    if !tale.lines.is_empty() {
        out.push(note(
            "tape-lines",
            format!(
                "letters up to {} high that line up share one piece along caps and one along feet: {} here",
                inches(SHARED_UP_TO),
                tale.lines.len()
            ),
        ));
    }
    if !said.cut_down.is_empty() {
        let (glyph, width) =
            said.cut_down.iter().fold(said.cut_down[0], |a, b| if b.1 < a.1 { *b } else { a });
        out.push(
            Finding::new(
                Severity::Caution,
                "tape-cut-down",
                id,
                format!(
                    "{} other paint nearer than the narrowest tape is wide: tape there is cut down along its length, to \
                     {width:.1} mm at {}",
                    match said.cut_down.len() {
                        1 => "1 edge has".to_owned(),
                        n => format!("{n} edges have"),
                    },
                    char_words(mark, glyph)
                ),
            )
            .hint("film cut to the shape of the gap is easier there; or use narrower tape"),
        );
    }
    out.push(checked(id, mask, found));
    out
}

/// Bends of a stripe too tight for the shelf: one verdict however tight, for film is cut to any.
fn film_along(id: &str, said: &Said) -> Option<Finding> {
    let (radius, best) = said.film_or.iter().copied().min_by(|a, b| a.0.total_cmp(&b.0))?;
    let count = said.film_or.len();
    let hint = if best < NARROWEST {
        "cut it on the board over the full-size pattern of the end, wide enough to lie on the tack strip"
            .to_owned()
    } else {
        format!(
            "cut it on the board over the full-size pattern of the end, wide enough to lie on the tack strip; or buy edge \
             tape at most {best:.1} mm wide that takes the same strain"
        )
    };
    Some(
        Finding::new(
            Severity::Caution,
            "tape-film",
            id,
            format!(
                "{} more tightly than any tape on the shelf does, down to a radius of {}: the strip there is cut from film \
                 along the curve",
                if count == 1 { "1 edge bends".to_owned() } else { format!("{count} edges bend") },
                length(radius)
            ),
        )
        .source(Basis::Practice, "working strain of the tape: common practice, no source; bend: plain geometry")
        .hint(hint),
    )
}

fn bending(id: &str, mark: &Placed, said: &Said) -> Option<Finding> {
    let worst = said.tight.iter().max_by(|a, b| a.0.cmp(&b.0).then(a.4.total_cmp(&b.4)))?;
    let (bend, glyph, width, radius, strain) = *worst;
    let many = said.tight.iter().filter(|t| t.0 == bend).count();
    let (severity, words) = match bend {
        Bend::TooTight => (Severity::Fail, "no tape on the shelf takes the bend"),
        Bend::Corner => (
            Severity::Caution,
            "tape is bent to between once and twice its working strain, which only a short corner takes,",
        ),
        _ => (Severity::Caution, "the tape takes the bend only with its strain spread evenly over the width"),
    };
    Some(
        Finding::new(
            severity,
            "tape-bend",
            id,
            format!(
                "{words} at {many} curved edges: {width:.1} mm wide round a radius of {} at {} strains {:.1} %",
                length(radius),
                char_words(mark, glyph),
                strain * 100.0
            ),
        )
        .figures(width, Bound::Max, said.would_bend, "mm")
        .source(Basis::Practice, "working strain of the tape: common practice, no source; bend: plain geometry")
        .hint(if bend != Bend::TooTight { "stretch it there last, press it down and look again before spraying; narrower tape is surer".to_owned() } else { format!(
            "buy edge tape at most {:.1} mm wide ({}) that takes the same strain, and lay a bridge behind it",
            said.would_bend,
            inches(said.would_bend - said.would_bend.rem_euclid(25.4 / 16.0))
        ) }),
    )
}

fn checked(id: &str, mask: &Mask, found: &Found) -> Finding {
    let edges = mask.pieces.iter().filter(|p| p.kind != Kind::Tack && p.kind != Kind::Layout).count();
    let wrong = [&found.bare, &found.open, &found.unbound];
    if found.on_paint.is_empty() && wrong.iter().all(|places| places.is_empty()) {
        return Finding::new(
            Severity::Pass,
            "tape-covers",
            id,
            format!(
                "{edges} pieces leave no paint edge bare and lie on no paint, asked at {} places by another road",
                found.asked
            ),
        );
    }
    let mut words = Vec::new();
    let place = |p: &geom::Point| on_flat(*p);
    if let Some(p) = found.bare.first() {
        words.push(format!("the paint edge is bare at {} places, first {}", found.bare.len(), place(p)));
    }
    if let Some(i) = found.on_paint.first() {
        let first = &mask.pieces[*i].id;
        words.push(match found.on_paint.len() {
            1 => format!("1 piece lies on paint, {first}"),
            count => format!("{count} pieces lie on paint, first {first}"),
        });
    }
    if let Some(p) = found.unbound.first() {
        words.push(format!(
            "nothing lies where the tack strip should at {} places, first {}",
            found.unbound.len(),
            place(p)
        ));
    }
    let severity = if words.is_empty() { Severity::Caution } else { Severity::Fail };
    if let Some(p) = found.open.first() {
        words.push(format!(
            "skin between edge tape and tack strip is open at {} places, first {}",
            found.open.len(),
            place(p)
        ));
    }
    Finding::new(severity, "tape-covers", id, words.join("; "))
        .hint("cover these places with a scrap of tape, or mask the character with film")
}

/// The finding with the colour it is about before its words, where a mark has several.
pub(super) fn of_colour(mut finding: Finding, colour: &Colour, count: usize) -> Finding {
    if count > 1 {
        finding.message = format!("{}, {}: {}", colour.part.word(), colour.paint, finding.message);
    }
    finding
}

/// In which order the colours of a mark go on, how far each reaches under the next, and when the next is masked.
pub(super) fn colours_told(job: &Job, mark: &Placed, colours: &[Colour], order: &PaintOrder) -> Vec<Finding> {
    if colours.len() < 2 {
        return Vec::new();
    }
    let mut out = Vec::new();
    let note = |code: &'static str, words: String| {
        Finding::new(Severity::Note, code, &mark.id, words)
            .source(Basis::Practice, "common practice, no source")
    };
    let named = |c: &Colour| format!("{} ({})", c.paint, c.part.word());
    let names: Vec<String> = colours.iter().map(named).collect();
    let why = if colours.windows(2).any(|w| order.said(&w[1].paint, &w[0].paint)) {
        "what the other goes over"
    } else if order.by_lightness {
        "the lighter colour"
    } else {
        "the larger colour"
    };
    out.push(
        note(
            "colour-order",
            format!(
                "{}: {why} first; each reaches {} under the next, so that no ground shows between two",
                names.join(", then "),
                inches(UNDER)
            ),
        )
        .hint("each colour has a mask of its own: all of one comes off before the next is taped"),
    );
    for pair in colours.windows(2) {
        let dry = job.paints.iter().find(|p| p.id == pair[0].paint).and_then(|p| p.dry_to_tape);
        let finding = match dry {
            Some(dry) => note(
                "colour-dry",
                format!(
                    "the tape for {} lies on {}: not before that is dry to tape, {:.0} h after its last coat{}",
                    pair[1].paint,
                    pair[0].paint,
                    (dry.minutes / 60.0).ceil(),
                    dry.at_c.map_or_else(String::new, |c| format!(" at {c:.0} \u{b0}C, longer when colder")),
                ),
            )
            .source(Basis::Shop, "dry_to_tape of the paint"),
            None => Finding::new(
                Severity::Caution,
                "colour-dry",
                &mark.id,
                format!(
                    "the tape for {} lies on {}, and the job does not say when that is dry to tape",
                    pair[1].paint, pair[0].paint
                ),
            )
            .source(Basis::Practice, "common practice, no source")
            .hint("take dry_to_tape from the paint's data sheet; try tape on a hidden spot first"),
        };
        out.push(finding);
    }
    for c in colours.iter().filter(|c| c.through) {
        out.push(note(
            "colour-through",
            format!(
                "{} is sprayed right through below the colour over it where that is narrow: no tape there",
                named(c)
            ),
        ));
    }
    out
}

/// `4 (2nd character)`.
pub(super) fn char_words(mark: &Placed, glyph: i32) -> String {
    match usize::try_from(glyph).ok().and_then(|i| mark.glyphs.get(i).map(|g| (i, g))) {
        Some((_, g)) if g.char == crate::stripe::SIGN => "the stripe".to_owned(),
        Some((i, g)) => format!("{} (character {})", g.char, i + 1),
        None => "the shared lines".to_owned(),
    }
}
