//! Numbers, lengths, times and other amounts that are refused, each with its own words and at its own place.

use super::refused::{Case, each_in_its_own_words};

/// What stands in the sound job, what is put in its place, and what is said of it where.
const CASES: &[Case] = &[
    ("span = 168", "span = nan", &[("52:8", "`span` of surface `wing` is not a number: the number nan")]),
    (
        "span = 168",
        "span = inf",
        &[("52:8", "`span` of surface `wing` is infinite or far too large: the number inf")],
    ),
    (
        "span = 168",
        "span = -inf",
        &[("52:8", "`span` of surface `wing` is infinite or far too large: the number -inf")],
    ),
    ("span = 168", "span = -168", &[("52:8", "`span` of surface `wing` is negative: -168 in")]),
    ("span = 168", "span = 0", &[("52:8", "`span` of surface `wing` is zero")]),
    (
        "span = 168",
        "span = 0.02",
        &[("52:8", "`span` of surface `wing` is too small: 0.02 in is under 1 mm")],
    ),
    (
        "span = 168",
        "span = 4000",
        &[("52:8", "`span` of surface `wing` is too large: 4000 in is over 100 m")],
    ),
    (
        "span = 168",
        r#"span = "101 m""#,
        &[("52:8", "`span` of surface `wing` is too large: 101 m is over 100 m")],
    ),
    (
        "span = 168",
        r#"span = "0.9 mm""#,
        &[("52:8", "`span` of surface `wing` is too small: 0.9 mm is under 1 mm")],
    ),
    ("span = 168", r#"span = "-3 1/2 in""#, &[("52:8", "`span` of surface `wing` is negative: -3 1/2 in")]),
    (
        "span = 168",
        "span = 1e300",
        &[("52:8", "`span` of surface `wing` is too large: 1e300 in is over 100 m")],
    ),
    (
        "span = 168",
        "span = 99999999999999999999999999999999999999999",
        &[(
            "52:8",
            "`span` of surface `wing` is infinite or far too large: the number 9999999999999999999999999999999999999999…",
        )],
    ),
    (
        "at = [10, 10]",
        "at = [10, nan]",
        &[("38:11", "`at` of feature `ring` of surface `fin` is not a number: the number nan")],
    ),
    (
        "at = [10, 10]",
        "at = [10, -99999]",
        &[("38:11", "`at` of feature `ring` of surface `fin` is too large: -99999 in is over 100 m")],
    ),
    (
        "diameter = 4.5",
        r#"diameter = "4 2/0 in""#,
        &[(
            "39:16",
            "`diameter` of feature `ring` of surface `fin` is no length: a fraction of zero parts (column 4 of `4 2/0 in`)",
        )],
    ),
    (
        "diameter = 4.5",
        r#"diameter = "nan mm""#,
        &[(
            "39:13",
            "`diameter` of feature `ring` of surface `fin` is no length: `nan` is not a number (column 1 of `nan mm`)",
        )],
    ),
    (
        "diameter = 4.5",
        r#"diameter = "4,5 in""#,
        &[(
            "39:14",
            "`diameter` of feature `ring` of surface `fin` is no length: a decimal comma: write a point (column 2 of `4,5 in`)",
        )],
    ),
    (
        "diameter = 4.5",
        r#"diameter = "24 3 in""#,
        &[(
            "39:13",
            "`diameter` of feature `ring` of surface `fin` is no length: two numbers with no fraction between them (column 1 of `24 3 in`)",
        )],
    ),
    (
        "diameter = 4.5",
        r#"diameter = "4.5 inch""#,
        &[(
            "39:17",
            "`diameter` of feature `ring` of surface `fin` is no length: unknown unit `inch` (column 5 of `4.5 inch`)",
        )],
    ),
    (
        "diameter = 4.5",
        r#"diameter = "4.5""#,
        &[(
            "39:16",
            "`diameter` of feature `ring` of surface `fin` is no length: the unit is missing (column 4 of `4.5`)",
        )],
    ),
    (
        "clearance = 0.5",
        "clearance = -0.5",
        &[("40:13", "`clearance` of feature `ring` of surface `fin` is negative: -0.5 in")],
    ),
    ("width = 0.5", "width = 0", &[("85:21", "`width` of outline of mark `reg` is zero")]),
    (
        "width = 0.5",
        r#"width = "0.05 mm""#,
        &[("85:21", "`width` of outline of mark `reg` is too small: 0.05 mm is under 0.1 mm")],
    ),
    (
        r#"roll = "36 yd""#,
        r#"roll = "2 ft""#,
        &[("104:42", "`roll` of edge_tapes of masking is too small: 2 ft is under 1000 mm")],
    ),
    (
        r#"roll = "36 yd""#,
        r#"roll = "2000 m""#,
        &[("104:42", "`roll` of edge_tapes of masking is too large: 2000 m is over 1000 m")],
    ),
    (r#"roll = "36 yd""#, "roll = 0", &[("104:42", "`roll` of edge_tapes of masking is zero")]),
    ("height = 12", "height = 0", &[("76:10", "`height` of mark `reg` is zero")]),
    ("height = 12", r#"height = "tall""#, &[("76:10", "`height` of mark `reg` cannot be `tall`")]),
    ("height = 12", r#"height = "legl""#, &[("76:10", "`height` of mark `reg` cannot be `legl`")]),
    ("height = 12", "height = true", &[("76:10", "`height` of mark `reg` is true")]),
    ("height = 12", "height = -12", &[("76:10", "`height` of mark `reg` is negative: -12 in")]),
    ("at = [10, 10]", "at = 10", &[("38:6", "`at` of feature `ring` of surface `fin` is the number 10")]),
    ("at = [10, 10]", "at = [10]", &[("38:6", "`at` of feature `ring` of surface `fin` has 1 value, not 2")]),
    (
        "at = [10, 10]",
        "at = [10, 10, 10]",
        &[("38:6", "`at` of feature `ring` of surface `fin` has 3 values, not 2")],
    ),
    ("at = [10, 10]", "at = [true, 10]", &[("38:7", "`at` of feature `ring` of surface `fin` is true")]),
    ("at = [10, 10]", "at = [[10], 10]", &[("38:7", "`at` of feature `ring` of surface `fin` is a list")]),
    ("built = 1990", "built = 1990.5", &[("8:9", "`built` of craft is the number 1990.5")]),
    ("built = 1990", "built = 1800", &[("8:9", "`built` of craft is out of range: 1800")]),
    ("built = 1990", r#"built = "1990""#, &[("8:9", "`built` of craft is the text `1990`")]),
    (r#"air = "72 F""#, "air = 72", &[("127:7", "`air` of conditions is a bare number: the number 72")]),
    (r#"air = "72 F""#, r#"air = "72""#, &[("127:7", "`air` of conditions: `72` says no unit: add F or C")]),
    (
        r#"air = "72 F""#,
        r#"air = "72 K""#,
        &[("127:7", "`air` of conditions: unknown unit of temperature `K`: F or C")],
    ),
    (
        r#"air = "72 F""#,
        r#"air = "400 F""#,
        &[("127:7", "`air` of conditions is not between -40 C and 100 C: the text `400 F`")],
    ),
    (
        r#"air = "72 F""#,
        r#"air = "warm""#,
        &[("127:7", "`air` of conditions: `warm` does not open with a number")],
    ),
    (
        r#"scuff_after = "48 h""#,
        "scuff_after = 48",
        &[("20:15", "`scuff_after` of ground `cream` is a bare number: the number 48")],
    ),
    (
        r#"scuff_after = "48 h""#,
        r#"scuff_after = "48""#,
        &[("20:15", "`scuff_after` of ground `cream`: `48` says no unit: add min, h or d")],
    ),
    (
        r#"scuff_after = "48 h""#,
        r#"scuff_after = "2 weeks""#,
        &[("20:15", "`scuff_after` of ground `cream`: unknown unit of time `weeks`: s, min, h or d")],
    ),
    (
        r#"scuff_after = "48 h""#,
        r#"scuff_after = "-2 h""#,
        &[("20:15", "`scuff_after` of ground `cream`: `-2 h` is less than no time")],
    ),
    (
        r#"scuff_after = "48 h""#,
        r#"scuff_after = "400 d""#,
        &[("20:15", "`scuff_after` of ground `cream` is longer than a year: the text `400 d`")],
    ),
    (r#"speed = "18 in/s""#, "speed = 18", &[("124:9", "`speed` of gun is a bare number: the number 18")]),
    (
        r#"speed = "18 in/s""#,
        r#"speed = "18 in""#,
        &[("124:9", "`speed` of gun: `18 in` says no unit of travel: add in/s or mm/s")],
    ),
    (
        r#"speed = "18 in/s""#,
        r#"speed = "0 in/s""#,
        &[("124:9", "`speed` of gun is zero: the text `0 in/s`")],
    ),
    (
        r#"speed = "18 in/s""#,
        r#"speed = "-1 in/s""#,
        &[("124:9", "`speed` of gun is negative: the text `-1 in/s`")],
    ),
    (
        r#"speed = "18 in/s""#,
        r#"speed = "20 m/s""#,
        &[("124:9", "`speed` of gun is faster than 10 m/s: the text `20 m/s`")],
    ),
    (
        r#"speed = "18 in/s""#,
        r#"speed = "18 in/h""#,
        &[("124:9", "`speed` of gun: unknown unit of travel, a length per `h`: per s or per min")],
    ),
    ("humidity = 45", "humidity = 120", &[("128:12", "`humidity` of conditions is out of range: 120")]),
    ("humidity = 45", "humidity = -1", &[("128:12", "`humidity` of conditions is negative: -1")]),
    (
        "humidity = 45",
        "humidity = nan",
        &[("128:12", "`humidity` of conditions is not a number: the number nan")],
    ),
    ("volume_solids = 0.42", "volume_solids = 0", &[("110:17", "`volume_solids` of paint `blue` is zero")]),
    (
        "volume_solids = 0.42",
        "volume_solids = 1.1",
        &[("110:17", "`volume_solids` of paint `blue` is out of range: 1.1")],
    ),
    (
        "volume_solids = 0.42",
        "volume_solids = -0.4",
        &[("110:17", "`volume_solids` of paint `blue` is negative: -0.4")],
    ),
    (
        "volume_solids = 0.42",
        "volume_solids = inf",
        &[("110:17", "`volume_solids` of paint `blue` is infinite or far too large: the number inf")],
    ),
    (
        "transfer_efficiency = 0.5",
        "transfer_efficiency = 0.0",
        &[("116:23", "`transfer_efficiency` of paint `blue` is zero")],
    ),
    (
        "transfer_efficiency = 0.5",
        "transfer_efficiency = 50",
        &[("116:23", "`transfer_efficiency` of paint `blue` is out of range: 50")],
    ),
    ("\noverlap = 0.5", "\noverlap = 1", &[("123:11", "`overlap` of gun is out of range: 1")]),
    ("\noverlap = 0.5", "\noverlap = -0.1", &[("123:11", "`overlap` of gun is negative: -0.1")]),
    ("strain = 0.05", "strain = 1", &[("104:60", "`strain` of edge_tapes of masking is out of range: 1")]),
    ("hands = 1", "hands = 0", &[("132:9", "`hands` of shop is zero")]),
    ("hands = 1", "hands = 1.5", &[("132:9", "`hands` of shop is the number 1.5")]),
    ("hands = 1", "hands = 50", &[("132:9", "`hands` of shop is out of range: 50")]),
    ("count = 3", "count = 0", &[("112:34", "`count` of coats of paint `blue` is zero")]),
    ("film_um = 8", "film_um = 0", &[("112:47", "`film_um` of coats of paint `blue` is zero")]),
    ("dry_density = 1.4", "dry_density = 0", &[("111:15", "`dry_density` of paint `blue` is zero")]),
    (
        "stroke_ratio = 0.1667",
        "stroke_ratio = 0.5",
        &[("77:16", "`stroke_ratio` of mark `reg` is out of range: 0.5")],
    ),
    ("gap_ratio = 0.25", "gap_ratio = -0.25", &[("78:13", "`gap_ratio` of mark `reg` is negative: -0.25")]),
    ("slant_deg = 0", "slant_deg = 60", &[("79:13", "`slant_deg` of mark `reg` is out of range: 60")]),
    (
        "power = 2.5",
        "power = 0.1",
        &[("61:61", "`power` of stations 1 of surface `left-side` is out of range: 0.1")],
    ),
    (
        "power = 2.5",
        "power = 0.99",
        &[("61:61", "`power` of stations 1 of surface `left-side` is out of range: 0.99")],
    ),
    (
        "reflectance = 0.05",
        "reflectance = 5",
        &[("108:15", "`reflectance` of paint `blue` is out of range: 5")],
    ),
    ("max_cruise_kt = 95", "max_cruise_kt = 0", &[("9:17", "`max_cruise_kt` of craft is zero")]),
];

#[test]
fn numbers_and_amounts_are_refused_in_their_own_words_and_place() {
    each_in_its_own_words(CASES);
}
