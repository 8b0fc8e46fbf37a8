//! The server's clock, which every phone and laptop of a job goes by. No plan reads it.

use std::time::{SystemTime, UNIX_EPOCH};

/// Milliseconds since 1970.
#[allow(clippy::disallowed_methods, reason = "timers and records go by the clock; plans do not")]
pub(crate) fn now_ms() -> u64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    u64::try_from(since.as_millis()).unwrap_or(u64::MAX)
}
