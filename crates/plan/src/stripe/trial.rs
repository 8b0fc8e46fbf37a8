//! Small jobs of stripes for tests: a flat panel, the side of a body, and the shop that tapes and paints them.

use crate::Plan;
use crate::job::{Attachments, read};

/// The side of a body, in inches.
pub(crate) const BODY: &str = r#"title = "trial"
units = "in"
[[surface]]
id = "left"
kind = "body"
side = "left"
stations = [
  { s = 0, half_width = 20, top = 20, bottom = -24, power = 2.2 },
  { s = 60, half_width = 21, top = 24, bottom = -24, power = 2.4 },
  { s = 120, half_width = 18, top = 21, bottom = -20, power = 2.3 },
  { s = 180, half_width = 13, top = 17, bottom = -13, power = 2.1 },
]
"#;

/// Its tapes and its paint.
pub(crate) const SHOP: &str = r##"[masking]
edge_tapes = [
  { width = "3/4 in", real = "18 mm", strain = 0.05 },
  { width = "1/4 in", strain = 0.05 },
  { width = "1/8 in", strain = 0.05 },
]
tack_tape = { width = "3/4 in", real = "18 mm" }
[[paint]]
id = "red"
colour = "#9c1f1f"
"##;

/// A job of these parts, planned.
pub(crate) fn planned(parts: &[&str]) -> Plan {
    let job = read(&parts.concat()).unwrap_or_else(|p| panic!("{p:#?}"));
    crate::run(&job, &Attachments::default()).unwrap()
}

/// Stripes on a flat panel `side`, so many inches long and high, in red and gold.
pub(crate) fn on_panel([long, high]: [u32; 2], stripes: &str) -> Plan {
    let panel = format!(
        "title = \"trial\"\nunits = \"in\"\n[[surface]]\nid = \"side\"\nkind = \"flat\"\nside = \"left\"\n\
         corners = [[0, 0], [{long}, 0], [{long}, {high}], [0, {high}]]\n"
    );
    planned(&[
        &panel,
        stripes,
        r##"[masking]
edge_tapes = [
  { width = "1/2 in", real = "12.7 mm", strain = 0.05 },
  { width = "1/4 in", real = "6 mm", strain = 0.05 },
  { width = "1/8 in", strain = 0.05 },
]
tack_tape = { width = "3/4 in", real = "18 mm" }
[[paint]]
id = "red"
colour = "#9c1f1f"
[[paint]]
id = "gold"
colour = "#b8860b"
"##,
    ])
}
