//! An address as a square code a phone's camera reads (ISO/IEC 18004), drawn as SVG.

use qrcodegen::{QrCode, QrCodeEcc};
use std::fmt::Write;

/// White round the code, in modules; the standard asks for four.
const QUIET: i32 = 4;

/// The code, one unit a module; `None` if the text is too long for one.
pub fn svg(text: &str) -> Option<String> {
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let side = code.size() + 2 * QUIET;
    let mut path = String::new();
    for y in 0..code.size() {
        for x in (0..code.size()).filter(|x| code.get_module(*x, y)) {
            write!(path, "M{} {}h1v1h-1z", x + QUIET, y + QUIET).ok()?;
        }
    }
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" shape-rendering=\"crispEdges\">\
         <path fill=\"#fff\" d=\"M0 0h{side}v{side}H0z\"/><path fill=\"#000\" d=\"{path}\"/></svg>"
    ))
}

/// The code in half blocks, for a terminal of dark ground.
pub fn text(text: &str) -> Option<String> {
    let code = QrCode::encode_text(text, QrCodeEcc::Low).ok()?;
    let dark = |x: i32, y: i32| code.get_module(x, y);
    let mut out = String::new();
    for y in (-QUIET..code.size() + QUIET).step_by(2) {
        for x in -QUIET..code.size() + QUIET {
            out.push(match (dark(x, y), dark(x, y + 1)) {
                (false, false) => '\u{2588}',
                (false, true) => '\u{2580}',
                (true, false) => '\u{2584}',
                (true, true) => ' ',
            });
        }
        out.push('\n');
    }
    Some(out)
}
