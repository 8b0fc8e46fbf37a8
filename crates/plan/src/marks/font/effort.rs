//! How much work the drawing of one character is, found out before it is drawn.
//!
//! A character may be put together from others, and these from others again; a few hundred bytes can ask for
//! more copies than a lifetime draws, none of them with a line in it. So the tree of copies is walked first,
//! and the walk stops when its allowance is spent. The formats are those of the OpenType tables `glyf` and
//! `loca` and of the Compact Font Format with its Type 2 charstrings (from memory).

mod bytes;
mod subroutines;

use bytes::{half, signed, word};

pub(super) use subroutines::subroutines_within;

/// Most parts one character may be put together from. chosen: accented letters have three.
const PARTS_MOST: usize = 256;
/// Deepest nesting of parts. chosen: real fonts nest two deep.
const DEPTH_MOST: usize = 16;

/// True if a character of the table `glyf` is put together from no more parts than `PARTS_MOST`, nested no
/// deeper than `DEPTH_MOST`. A part that cannot be read counts as one and has no parts.
pub(super) fn parts_within(head: &[u8], loca: &[u8], glyf: &[u8], number: u16) -> bool {
    let long = half(head, 50) == Some(1);
    let mut left = PARTS_MOST;
    walk(&Parts { long, loca, glyf }, number, 0, &mut left)
}

struct Parts<'a> {
    long: bool,
    loca: &'a [u8],
    glyf: &'a [u8],
}

fn walk(parts: &Parts<'_>, number: u16, depth: usize, left: &mut usize) -> bool {
    if *left == 0 || depth > DEPTH_MOST {
        return false;
    }
    *left -= 1;
    let Some(data) = parts.data(number) else { return true };
    if signed(data, 0).is_none_or(|contours| contours >= 0) {
        return true;
    }
    let mut at = 10;
    while let (Some(flags), Some(part)) = (half(data, at), half(data, at + 2)) {
        if !walk(parts, part, depth + 1, left) {
            return false;
        }
        let is = |bit: u16| flags & bit != 0;
        // Bit 1: the offsets are there; bit 0: they are words. The reader behind `face` skips offsets that
        // are point numbers, so the walk does.
        at += 4;
        at += if !is(0x0002) {
            0
        } else if is(0x0001) {
            4
        } else {
            2
        };
        at += if is(0x0080) {
            8
        } else if is(0x0040) {
            4
        } else if is(0x0008) {
            2
        } else {
            0
        };
        if !is(0x0020) {
            break;
        }
    }
    true
}

impl<'a> Parts<'a> {
    fn data(&self, number: u16) -> Option<&'a [u8]> {
        let k = usize::from(number);
        let at = |k: usize| {
            if self.long {
                word(self.loca, 4 * k).map(|v| v as usize)
            } else {
                half(self.loca, 2 * k).map(|v| 2 * usize::from(v))
            }
        };
        self.glyf.get(at(k)?..at(k + 1)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A table in which every character but the last is `copies` times the next one.
    fn ladder(rungs: u16, copies: u16) -> (Vec<u8>, Vec<u8>, Vec<u8>) {
        let mut head = vec![0; 54];
        head[51] = 1;
        let (mut loca, mut glyf) = (Vec::new(), Vec::new());
        for k in 0..rungs {
            loca.extend((glyf.len() as u32).to_be_bytes());
            glyf.extend((-1i16).to_be_bytes());
            glyf.extend([0; 8]);
            for c in 0..copies {
                let more = if c + 1 < copies { 0x0020u16 } else { 0 };
                glyf.extend(more.to_be_bytes());
                glyf.extend((k + 1).to_be_bytes());
            }
        }
        loca.extend([(glyf.len() as u32).to_be_bytes(); 2].concat());
        (head, loca, glyf)
    }

    #[test]
    fn a_letter_of_a_few_parts_is_drawn_and_a_ladder_of_copies_is_not() {
        let (head, loca, glyf) = ladder(3, 4);
        // 1 + 4 + 16 + 64 parts.
        assert!(parts_within(&head, &loca, &glyf, 0));
        // 1000 copies of 1000 copies, twelve deep, and nothing in the last of them.
        let (head, loca, glyf) = ladder(12, 1000);
        assert!(!parts_within(&head, &loca, &glyf, 0));
        let (head, loca, glyf) = ladder(DEPTH_MOST as u16 + 4, 1);
        assert!(!parts_within(&head, &loca, &glyf, 0));
    }
}
