//! Work on a large patch shared between two hands.
//!
//! Where the lists are parted depends on their length alone, never on the machine: one core or two, the same pattern.

use std::thread;

/// Corners from which a second hand is worth calling. chosen: calling it takes what 500 corners of one sweep do.
const SHARED: usize = 20_000;

/// Where a list of one thing a corner is parted: small lists are left whole.
pub(super) fn half(corners: usize) -> usize {
    if corners < SHARED { corners } else { corners / 2 }
}

/// Both done, at once where the patch is large and there are two cores.
pub(super) fn both<A: Send, B: Send>(
    corners: usize,
    one: impl FnOnce() -> A + Send,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    let alone = corners < SHARED || thread::available_parallelism().map_or(1, usize::from) < 2;
    if alone {
        return (one(), other());
    }
    thread::scope(|hands| {
        let lent = hands.spawn(other);
        let done = one();
        match lent.join() {
            Ok(back) => (done, back),
            Err(fault) => std::panic::resume_unwind(fault),
        }
    })
}
