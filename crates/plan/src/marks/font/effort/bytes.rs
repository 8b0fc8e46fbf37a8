//! Numbers out of a table's bytes, the greater byte first; `None` beyond its end.

/// An unsigned number of two bytes.
pub(super) fn half(data: &[u8], at: usize) -> Option<u16> {
    data.get(at..)?.first_chunk().map(|b| u16::from_be_bytes(*b))
}

/// A signed number of two bytes.
pub(super) fn signed(data: &[u8], at: usize) -> Option<i16> {
    data.get(at..)?.first_chunk().map(|b| i16::from_be_bytes(*b))
}

/// An unsigned number of four bytes.
pub(super) fn word(data: &[u8], at: usize) -> Option<u32> {
    data.get(at..)?.first_chunk().map(|b| u32::from_be_bytes(*b))
}

/// An unsigned number of one to four bytes.
pub(super) fn of_size(data: &[u8], at: usize, size: usize) -> Option<usize> {
    let bytes = data.get(at..at.checked_add(size)?)?;
    Some(bytes.iter().fold(0, |n, b| n << 8 | usize::from(*b)))
}
