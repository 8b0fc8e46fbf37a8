//! How many steps a character drawn with cubic curves takes, subroutines followed.
//!
//! Such a character is a little programme, and its subroutines may call one another. The walk keeps the stack
//! of numbers, for it says which subroutine is called and how many bytes of hints to pass over; it draws
//! nothing. Where a programme is broken the walk ends: so does the drawing.

use super::bytes::{half, of_size, signed, word};

/// Most steps (numbers and commands) of one character. chosen: real ones take a few hundred.
const STEPS_MOST: usize = 100_000;
/// Deepest nesting of subroutines (Type 2 charstrings, from memory).
const DEPTH_MOST: usize = 10;
/// Most numbers on the stack (Type 2 charstrings, from memory).
const STACK_MOST: usize = 48;
/// Most sets of local subroutines tried, in a font that has many.
const SETS_MOST: usize = 256;

/// True if the character takes at most `STEPS_MOST` steps and is not an accented pair in the old manner, which
/// draws others again. What cannot be read takes none.
pub(in super::super) fn subroutines_within(cff: &[u8], number: u16) -> bool {
    let Some(table) = Table::read(cff) else { return true };
    let Some(programme) = table.characters.get(usize::from(number)) else { return true };
    // Which set of local subroutines belongs to the character is not looked up: every set has to be harmless.
    table.locals.iter().all(|local| {
        let mut walk = Walk { table: &table, local, stack: Vec::new(), stems: 0, left: STEPS_MOST };
        walk.run(programme, 0) != End::Refused
    })
}

/// A list of byte strings.
#[derive(Clone, Copy, Default)]
struct Index<'a> {
    count: usize,
    size: usize,
    offsets: &'a [u8],
    data: &'a [u8],
}

impl<'a> Index<'a> {
    /// The list at `at`, and where it ends.
    fn read(data: &'a [u8], at: usize) -> Option<(Index<'a>, usize)> {
        let count = usize::from(half(data, at)?);
        if count == 0 {
            return Some((Index::default(), at + 2));
        }
        let size = usize::from(*data.get(at + 2)?);
        if !(1..=4).contains(&size) {
            return None;
        }
        let start = at + 3;
        let offsets = data.get(start..start + (count + 1) * size)?;
        let body = data.get(start + offsets.len()..)?;
        let length = of_size(offsets, count * size, size)?.checked_sub(1)?;
        let list = Index { count, size, offsets, data: body.get(..length)? };
        Some((list, start + offsets.len() + length))
    }

    fn get(&self, k: usize) -> Option<&'a [u8]> {
        let at = |k: usize| of_size(self.offsets, k * self.size, self.size)?.checked_sub(1);
        if k < self.count { self.data.get(at(k)?..at(k + 1)?) } else { None }
    }

    /// What is added to the number of a subroutine.
    fn bias(&self) -> i64 {
        match self.count {
            0..1240 => 107,
            1240..33900 => 1131,
            _ => 32768,
        }
    }
}

struct Table<'a> {
    characters: Index<'a>,
    global: Index<'a>,
    /// One set, or one for each group of characters.
    locals: Vec<Index<'a>>,
}

impl<'a> Table<'a> {
    fn read(cff: &'a [u8]) -> Option<Table<'a>> {
        let (_names, at) = Index::read(cff, usize::from(*cff.get(2)?).max(4))?;
        let (tops, at) = Index::read(cff, at)?;
        let (_strings, at) = Index::read(cff, at)?;
        let (global, _) = Index::read(cff, at)?;
        let top = entries(tops.get(0)?);
        let (characters, _) = Index::read(cff, one(&top, 17)?)?;
        let mut locals = vec![local(cff, &top).unwrap_or_default()];
        if let Some(at) = one(&top, 12 << 8 | 36) {
            let (groups, _) = Index::read(cff, at)?;
            let sets = (0..groups.count.min(SETS_MOST)).filter_map(|k| local(cff, &entries(groups.get(k)?)));
            locals.extend(sets);
        }
        Some(Table { characters, global, locals })
    }
}

/// The local subroutines an entry list points to by way of its private list.
fn local<'a>(cff: &'a [u8], list: &[(u16, Vec<i64>)]) -> Option<Index<'a>> {
    let private = list.iter().rev().find(|e| e.0 == 18 && e.1.len() == 2)?;
    let [size, start] = [0, 1].map(|k| usize::try_from(private.1[k]).ok());
    let (size, start) = (size?, start?);
    let inner = entries(cff.get(start..start.checked_add(size)?)?);
    Index::read(cff, start.checked_add(one(&inner, 19)?)?).map(|found| found.0)
}

/// The last single whole number said for a key.
fn one(list: &[(u16, Vec<i64>)], key: u16) -> Option<usize> {
    let found = list.iter().rev().find(|e| e.0 == key && e.1.len() == 1)?;
    usize::try_from(found.1[0]).ok()
}

/// The keys of a list, each with its whole numbers; a number with a fraction stands as 0.
fn entries(data: &[u8]) -> Vec<(u16, Vec<i64>)> {
    let (mut list, mut numbers) = (Vec::new(), Vec::new());
    let mut at = 0;
    while let Some(&b) = data.get(at) {
        at += 1;
        let more = |k: usize| data.get(at + k).map_or(0, |b| i64::from(*b));
        match b {
            12 => {
                list.push((12 << 8 | more(0) as u16, std::mem::take(&mut numbers)));
                at += 1;
            }
            0..=27 | 31 | 255 => list.push((u16::from(b), std::mem::take(&mut numbers))),
            28 => {
                numbers.push(signed(data, at).map_or(0, i64::from));
                at += 2;
            }
            29 => {
                numbers.push(word(data, at).map_or(0, |v| i64::from(v.cast_signed())));
                at += 4;
            }
            30 => {
                while data.get(at).is_some_and(|b| b >> 4 != 15 && b & 15 != 15) {
                    at += 1;
                }
                at += 1;
                numbers.push(0);
            }
            32..=246 => numbers.push(i64::from(b) - 139),
            247..=250 => {
                numbers.push((i64::from(b) - 247) * 256 + more(0) + 108);
                at += 1;
            }
            251..=254 => {
                numbers.push(-(i64::from(b) - 251) * 256 - more(0) - 108);
                at += 1;
            }
        }
    }
    list
}

/// How a programme ended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    /// It gives back to whoever called it.
    Back,
    /// The character is done, or broken.
    Over,
    /// Too long, or an accented pair.
    Refused,
}

struct Walk<'a> {
    table: &'a Table<'a>,
    local: &'a Index<'a>,
    stack: Vec<f64>,
    stems: usize,
    left: usize,
}

impl Walk<'_> {
    fn run(&mut self, programme: &[u8], depth: usize) -> End {
        let mut at = 0;
        while let Some(&b) = programme.get(at) {
            if self.left == 0 {
                return End::Refused;
            }
            self.left -= 1;
            at += 1;
            let next = || programme.get(at).map_or(0.0, |b| f64::from(*b));
            match b {
                0 | 2 | 9 | 13 | 15..=17 => return End::Over,
                10 | 29 => {
                    let list = if b == 10 { *self.local } else { self.table.global };
                    let Some(number) = self.stack.pop() else { return End::Over };
                    if depth == DEPTH_MOST {
                        return End::Over;
                    }
                    let index = usize::try_from(number as i64 + list.bias()).ok();
                    let Some(called) = index.and_then(|k| list.get(k)) else { return End::Over };
                    match self.run(called, depth + 1) {
                        End::Back => {}
                        end => return end,
                    }
                }
                11 => return End::Back,
                14 => return if self.stack.len() >= 4 { End::Refused } else { End::Over },
                // Stem hints, two numbers each.
                1 | 3 | 18 | 23 => self.count_stems(),
                // Hint masks: a bit for each stem follows.
                19 | 20 => {
                    self.count_stems();
                    at += self.stems.div_ceil(8);
                }
                12 => {
                    at += 1;
                    self.stack.clear();
                }
                28 => {
                    let Some(v) = signed(programme, at) else { return End::Over };
                    at += 2;
                    self.stack.push(f64::from(v));
                }
                32..=246 => self.stack.push(f64::from(b) - 139.0),
                247..=250 => {
                    self.stack.push((f64::from(b) - 247.0) * 256.0 + next() + 108.0);
                    at += 1;
                }
                251..=254 => {
                    self.stack.push(-(f64::from(b) - 251.0) * 256.0 - next() - 108.0);
                    at += 1;
                }
                255 => {
                    let Some(v) = word(programme, at) else { return End::Over };
                    at += 4;
                    self.stack.push(f64::from(v.cast_signed()) / 65536.0);
                }
                // What is left moves and draws, and uses up the stack.
                _ => self.stack.clear(),
            }
            if self.stack.len() > STACK_MOST {
                return End::Over;
            }
        }
        End::Back
    }

    fn count_stems(&mut self) {
        self.stems += self.stack.len() / 2;
        self.stack.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn index(items: &[Vec<u8>]) -> Vec<u8> {
        let mut out = (items.len() as u16).to_be_bytes().to_vec();
        if items.is_empty() {
            return out;
        }
        out.push(4);
        let mut at = 1u32;
        out.extend(at.to_be_bytes());
        for item in items {
            at += item.len() as u32;
            out.extend(at.to_be_bytes());
        }
        out.extend(items.iter().flatten());
        out
    }

    /// A table with one character that calls the first global subroutine; each calls the next `calls` times.
    fn ladder(rungs: usize, calls: usize) -> Vec<u8> {
        let call = |k: usize| vec![(k as i32 - 107 + 139) as u8, 29];
        let mut subs: Vec<Vec<u8>> = (0..rungs).map(|k| call(k + 1).repeat(calls)).collect();
        subs.push(vec![11]);
        let globals = index(&subs);
        let strings = index(&[]);
        let names = index(&[b"T".to_vec()]);
        // The top list is 29, four bytes, 17: six bytes, so that its own length is known before.
        let top_len = index(&[vec![0; 6]]).len();
        let at = (4 + names.len() + top_len + strings.len() + globals.len()) as u32;
        let top = index(&[[&[29], &at.to_be_bytes()[..], &[17]].concat()]);
        let mut programme = call(0);
        programme.push(14);
        [vec![1, 0, 4, 4], names, top, strings, globals, index(&[programme])].concat()
    }

    #[test]
    fn a_few_calls_are_followed_and_a_ladder_of_calls_is_refused() {
        assert!(subroutines_within(&ladder(3, 5), 0));
        // A thousand calls, nine deep, that draw nothing.
        assert!(!subroutines_within(&ladder(9, 1000), 0));
    }

    #[test]
    fn a_bare_stop_of_bytes_takes_no_steps() {
        let whole = ladder(3, 5);
        for n in 0..whole.len() {
            assert!(subroutines_within(&whole[..n], 0));
        }
    }
}
