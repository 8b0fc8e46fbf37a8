//! The tape maps of a plan: one sheet a mark, one a character, each piece of tape with its number, its ends and
//! its place in the order. They show the mask; they decide nothing.

use super::tape_map_draw::Shows;
use super::tape_map_letter::{CardSizes, letter_cards, letter_sheets};
use super::tape_map_mark::{mark_card, mark_sheet};
use super::tape_map_stripe::{Along, stripe_card, stripe_sheets};
use crate::Plan;
use crate::fit::placed::Placed;
use crate::mask::colours::Part;
use crate::mask::{Kind, Mask, Piece};
use crate::stripe::Laid;
use crate::stripe::joint::Over;
use sheet::Sheet;

/// What a map speaks of.
pub(super) struct Card<'a> {
    pub(super) job_title: &'a str,
    pub(super) mark: &'a Placed,
    pub(super) mask: &'a Mask,
    /// Id of the paint.
    pub(super) paint: &'a str,
    /// How many masks of the mark come before this one.
    pub(super) before: usize,
}

impl<'a> Card<'a> {
    /// One for each mask of tape whose mark or stripe is there; with the stripe.
    fn all(plan: &'a Plan) -> Vec<(Card<'a>, Option<&'a Laid>)> {
        let masks = &plan.masking.masks;
        let card = |(k, mask): (usize, &'a Mask)| {
            let stripe = plan.stripes.iter().find(|s| s.id == mask.of);
            let mark = stripe.map(|s| &s.painted).or_else(|| plan.marks.iter().find(|m| m.id == mask.of))?;
            let before = masks[..k].iter().filter(|m| m.of == mask.of).count();
            Some((Card { job_title: &plan.job.title, mark, mask, paint: &mask.paint, before }, stripe))
        };
        masks.iter().enumerate().filter(|(_, m)| m.tape).filter_map(card).collect()
    }

    /// The mark and, where it is not for the letters, the colour it tapes.
    pub(super) fn text(&self) -> String {
        match self.mask.part {
            Part::Letters if !self.mask.with.is_empty() => {
                format!("{} with {}", self.mark.words(), self.mask.with.join(" and "))
            }
            Part::Letters => self.mark.words(),
            part => format!("{}, {}", self.mark.words(), part.word()),
        }
    }
}

/// What the maps of a stripe's mask run along: the stripe, with those beside it; or, where stripes meet, each by itself.
fn alongs<'a>(plan: &'a Plan, card: &Card<'_>, stripe: &'a Laid) -> Vec<Along<'a>> {
    let alone = || vec![Along { laid: stripe, middle: stripe.middle.clone(), own: None }];
    if !card.mask.joined() {
        return alone();
    }
    let of = |id: &String| plan.stripes.iter().find(|s| s.id == *id);
    let along = |(k, id): (usize, &String)| {
        let laid = of(id)?;
        let middle = Over::into(&stripe.painted, &laid.painted)?.line(&laid.middle)?;
        Some(Along { laid, middle, own: Some(k) })
    };
    let ids = std::iter::once(&card.mask.of).chain(&card.mask.with);
    // A middle that cannot be brought over leaves all of them on one map.
    ids.enumerate().map(along).collect::<Option<Vec<_>>>().unwrap_or_else(alone)
}

/// All tape maps with their names, mark by mark: `tape-reg` for the whole mark, then `tape-reg-1-N` for its first
/// character, `tape-reg-1-N-2` where its table goes on, `tape-reg-1-N-pocket-a` for a crowded
/// pocket of it, `tape-reg-1-N-layout` for what fills it; `tape-reg-colour-2` for its second colour;
/// `tape-red` and `tape-red-layout` for a stripe, and the same for each it meets in one mask. What is not taped has none.
pub fn tape_maps(plan: &Plan) -> Vec<(String, Sheet)> {
    let mut maps: Vec<(String, Sheet)> = Vec::new();
    for (card, stripe) in Card::all(plan) {
        let mark = card.mark;
        let stem = match card.before {
            0 => format!("tape-{}", mark.id),
            n => format!("tape-{}-colour-{}", mark.id, n + 1),
        };
        if let Some(stripe) = stripe {
            let skin = mark.skin(&plan.skins);
            for (k, along) in alongs(plan, &card, stripe).into_iter().enumerate() {
                let stem = if k == 0 { stem.clone() } else { format!("tape-{}", along.laid.id) };
                for (shows, name) in [(Shows::Layout, format!("{stem}-layout")), (Shows::Mask, stem)] {
                    for (n, sheet) in stripe_sheets(&card, &along, skin, shows).into_iter().enumerate() {
                        add(
                            &mut maps,
                            if n == 0 { name.clone() } else { format!("{name}-{}", n + 1) },
                            sheet,
                        );
                    }
                }
            }
            continue;
        }
        add(&mut maps, stem.clone(), mark_sheet(plan, &card));
        for (k, glyph) in mark.glyphs.iter().enumerate() {
            let name = format!("{stem}-{}-{}", k + 1, safe(glyph.char));
            for (shows, name) in [(Shows::Layout, format!("{name}-layout")), (Shows::Mask, name)] {
                for (end, sheet) in letter_sheets(&card, k, shows) {
                    add(&mut maps, format!("{name}{end}"), sheet);
                }
            }
        }
    }
    maps
}

/// Size of a map on a card of the book, mm: the width of the narrower paper, and what the rows of its list leave.
const CARD_WIDTH: f64 = 175.0;
const CARD_ROOM: f64 = 203.0;
const CARD_ROW: f64 = 5.3;
const CARD_ROW_BEFORE: f64 = 4.4;
/// Heads of the two lists of a card, mm.
const CARD_HEADS: f64 = 22.0;
/// Head of a second list of what was laid days before, mm.
const CARD_SECOND: f64 = 12.0;
/// Below this height a map gets a page of its own, mm.
const LEAST_CARD: f64 = 105.0;
/// Size of the drawing of a pocket on a card, mm: two stand on a page.
const POCKET_CARD: (f64, f64) = (CARD_WIDTH, 106.0);
/// Room for the drawing of each of the stripes of one mask on a card, mm: two stand on a page. One alone has at least as
/// much, at most what its lists leave and two thirds of a page.
const STRIPE_CARD: (f64, f64) = (CARD_WIDTH, 110.0);
const STRIPE_ALONE: f64 = 140.0;
/// Columns of the list of what was laid days before.
const COLUMNS: usize = 3;

/// The maps of the book's tape cards, named `tape/MARK-CHARACTER` (-1 for the pieces along several),
/// `tape/MARK-CHARACTER/1` for its first crowded pocket, or the first stripe that a stripe meets in one mask, and `tape/MARK/2-CHARACTER` for the mark's second colour.
pub fn tape_cards(plan: &Plan) -> Vec<(String, Sheet)> {
    let mut maps = Vec::new();
    for (card, stripe) in Card::all(plan) {
        let (mask, mark) = (card.mask, card.mark);
        let stem = match card.before {
            0 => format!("tape/{}", mask.of),
            n => format!("tape/{}/{}", mask.of, n + 1),
        };
        if let Some(stripe) = stripe {
            let along = alongs(plan, &card, stripe);
            let alone = left_by_lists(mask, |_| true).clamp(STRIPE_CARD.1, STRIPE_ALONE);
            let size = if along.len() == 1 { (CARD_WIDTH, alone) } else { STRIPE_CARD };
            for (k, along) in along.iter().enumerate() {
                let sheet = stripe_card(&card, along, mark.skin(&plan.skins), size);
                let name = if k == 0 { format!("{stem}-0") } else { format!("{stem}-0/{k}") };
                maps.extend(sheet.map(|sheet| (name, sheet)));
            }
            continue;
        }
        let glyphs = 0..i32::try_from(mark.glyphs.len()).unwrap_or(0);
        for glyph in glyphs.chain([-1]) {
            let left = left_by_lists(mask, |p| p.glyph == glyph);
            let alone = (CARD_WIDTH, CARD_ROOM);
            let listed = if left < LEAST_CARD { alone } else { (CARD_WIDTH, left) };
            let sizes = CardSizes { listed, alone, pocket: POCKET_CARD };
            let name = format!("{stem}-{glyph}");
            match usize::try_from(glyph) {
                Ok(k) => {
                    for (n, sheet) in letter_cards(&card, k, &sizes).into_iter().enumerate() {
                        maps.push((if n == 0 { name.clone() } else { format!("{name}/{n}") }, sheet));
                    }
                }
                Err(_) => maps.extend(mark_card(&card, listed).map(|sheet| (name, sheet))),
            }
        }
    }
    maps
}

/// What the lists of some pieces of a mask leave of a card's height, mm.
fn left_by_lists(mask: &Mask, of: impl Fn(&Piece) -> bool) -> f64 {
    let own = |k: Kind| mask.pieces.iter().filter(|p| of(p) && p.kind == k).count();
    let lists = [own(Kind::Layout), own(Kind::Tack)];
    let before = lists.iter().map(|n| n.div_ceil(COLUMNS)).sum::<usize>() as f64;
    let day = [Kind::Edge, Kind::Bridge, Kind::Plug].map(own).iter().sum::<usize>() as f64;
    let second = if lists.contains(&0) { 0.0 } else { CARD_SECOND };
    CARD_ROOM - CARD_HEADS - second - CARD_ROW * day - CARD_ROW_BEFORE * before
}

/// The files of the tape maps: path below the plan's folder, and contents.
pub fn tape_map_files(plan: &Plan) -> Vec<(String, Vec<u8>)> {
    tape_maps(plan)
        .into_iter()
        .map(|(name, sheet)| (format!("layout/{name}.svg"), sheet::svg::write(&sheet).into_bytes()))
        .collect()
}

/// Adds a map; a mark may be called what another mark's letter is.
fn add(maps: &mut Vec<(String, Sheet)>, name: String, sheet: Sheet) {
    // File systems that do not tell N from n must keep both.
    let taken = |n: &str| maps.iter().any(|(other, _)| other.eq_ignore_ascii_case(n));
    let free = if taken(&name) {
        (2..).map(|n| format!("{name}-{n}")).find(|n| !taken(n)).unwrap_or(name)
    } else {
        name
    };
    maps.push((free, sheet));
}

/// A character as part of a file name: itself if every file system takes it, else its number.
fn safe(c: char) -> String {
    if c.is_ascii_alphanumeric() { c.to_string() } else { format!("u{:04x}", c as u32) }
}
