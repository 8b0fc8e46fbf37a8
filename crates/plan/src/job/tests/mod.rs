//! What the reader takes, what it refuses and with which words, and that nothing makes it fall over.

mod full;
mod refusals;
mod robust;

/// Every key of the job file; lengths stand between angle brackets as so many inches, a whole number or a fraction.
const EVERY_KEY: &str = include_str!("../../../tests/jobs/good/every-key.toml");

/// The least there can be.
const LEAST: &str = include_str!("../../../tests/jobs/good/least.toml");

/// How the lengths of the full example are spelt.
#[derive(Clone, Copy, Debug)]
enum Spelling {
    /// Bare, in inches.
    BareInches,
    /// Bare, in millimetres.
    BareMillimetres,
    /// Text, inches and fractions.
    Fractions,
    /// Text, feet and inches.
    FeetAndInches,
    /// Text, metres.
    Metres,
}

const SPELLINGS: [Spelling; 5] = [
    Spelling::BareInches,
    Spelling::BareMillimetres,
    Spelling::Fractions,
    Spelling::FeetAndInches,
    Spelling::Metres,
];

/// The full example with its lengths spelt that way.
fn every_key(spelling: Spelling) -> String {
    let units = match spelling {
        Spelling::BareInches | Spelling::Metres => "in",
        Spelling::BareMillimetres => "mm",
        Spelling::Fractions => "cm",
        Spelling::FeetAndInches => "m",
    };
    let mut out = String::new();
    let mut rest = EVERY_KEY.split_once("title").map(|(_, rest)| format!("title{rest}")).unwrap();
    rest = rest.replace("@units", units);
    let mut rest = rest.as_str();
    while let Some((before, after)) = rest.split_once('<') {
        let (amount, after) = after.split_once('>').unwrap();
        out.push_str(before);
        out.push_str(&spelt(amount, spelling));
        rest = after;
    }
    out + rest
}

fn spelt(amount: &str, spelling: Spelling) -> String {
    let (above, below) = amount.split_once('/').unwrap_or((amount, "1"));
    let (above, below): (i64, i64) = (above.parse().unwrap(), below.parse().unwrap());
    let minus = if above < 0 { "-" } else { "" };
    let inches = above as f64 / below as f64;
    let mixed = |above: i64| match (above / below, above % below) {
        (whole, 0) => format!("{whole}"),
        (0, part) => format!("{part}/{below}"),
        (whole, part) => format!("{whole}-{part}/{below}"),
    };
    let (feet, over) = (above.abs() / (12 * below), above.abs() % (12 * below));
    match spelling {
        Spelling::BareInches => format!("{inches}"),
        Spelling::BareMillimetres => format!("{}", inches * 25.4),
        Spelling::Fractions => format!("\"{minus}{} in\"", mixed(above.abs())),
        Spelling::FeetAndInches => format!("\"{minus}{feet} ft {} in\"", mixed(over)),
        Spelling::Metres => format!("\"{minus}{:.12} m\"", (inches * 0.0254).abs()),
    }
}
