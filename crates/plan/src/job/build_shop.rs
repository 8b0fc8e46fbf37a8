//! Makes the shop's side of a checked file: masking, paints, gun, weather, hours.

use super::build::tone;
use super::checked::{Checked, Got, Value};
use super::types::*;

/// How it is masked.
pub(crate) fn masking(table: &Checked) -> Masking {
    Masking {
        tape: table.text("method") != Some("cut-mask"),
        gap: table.sure_number("gap"),
        overlap: table.sure_number("overlap"),
        longest_piece: table.sure_number("longest_piece"),
        tab: table.sure_number("tab"),
        edge_tapes: table.tables("edge_tapes").map(tape).collect(),
        tack_tape: table.table("tack_tape").map(tape),
        layout_tapes: table.tables("layout_tapes").map(tape).collect(),
        paper: table.tables("paper").map(|roll| roll.sure_number("width")).collect(),
        edge_dwell: table.sure_number("edge_dwell"),
        film: table.tables("film").map(roll).collect(),
        application_tape: table.table("application_tape").map(roll),
    }
}

fn roll(table: &Checked) -> Roll {
    Roll { width: table.sure_number("width"), length: table.sure_number("roll") }
}

fn tape(table: &Checked) -> Tape {
    let width = table.sure_number("width");
    Tape {
        width,
        real: table.number("real").unwrap_or(width),
        roll: table.sure_number("roll"),
        strain: table.sure_number("strain"),
    }
}

/// A paint.
pub(crate) fn paint(table: &Checked) -> Paint {
    let systems = [
        ("two-pack", PaintSystem::TwoPack),
        ("enamel", PaintSystem::Enamel),
        ("basecoat", PaintSystem::Basecoat),
        ("lacquer", PaintSystem::Lacquer),
        ("dope", PaintSystem::Dope),
    ];
    Paint {
        id: table.text_or_empty("id"),
        tone: tone(table),
        system: table.meaning("system", &systems).unwrap_or(PaintSystem::TwoPack),
        parts: table
            .tables("parts")
            .map(|part| (part.text_or_empty("name"), part.sure_number("parts")))
            .collect(),
        volume_solids: table.number("volume_solids"),
        dry_density: table.number("dry_density"),
        pot_life: table.time_at("pot_life"),
        coats: table.tables("coats").map(coat).collect(),
        pull_edge: table.table("pull_edge").map(|pull| PullEdge {
            state: pull.text_or_empty("state"),
            from: pull.sure_number("from"),
            by: pull.sure_number("by"),
            at_c: pull.number("at"),
        }),
        unmask: table.table("unmask").map(|unmask| [unmask.sure_number("from"), unmask.sure_number("by")]),
        unmask_at_c: table.table("unmask").and_then(|unmask| unmask.number("at")),
        dry_to_tape: table.time_at("dry_to_tape"),
        polish_after: table.time_at("polish_after"),
        transfer_efficiency: table.number("transfer_efficiency"),
        isocyanate: table.flag("isocyanate"),
    }
}

fn coat(table: &Checked) -> Coat {
    Coat {
        kind: table.text_or_empty("kind"),
        count: table.sure_number("count") as u32,
        film_um: table.sure_number("film_um"),
        flash: table.table("flash").map(|flash| [flash.sure_number("least"), flash.sure_number("most")]),
        flash_at_c: table.table("flash").and_then(|flash| flash.number("at")),
        after: table.number("after"),
    }
}

/// The gun.
pub(crate) fn gun(table: &Checked) -> Gun {
    Gun {
        fan: table.sure_number("fan"),
        overlap: table.sure_number("overlap"),
        speed: table.sure_number("speed"),
    }
}

/// Air and surface.
pub(crate) fn conditions(table: &Checked) -> Conditions {
    let line = |line: &Checked| {
        let figure = |key: &str| line.sure_number(key);
        (figure("at") as u16, figure("air"), figure("surface"), figure("humidity"))
    };
    Conditions {
        air_c: table.number("air"),
        surface_c: table.number("surface"),
        humidity: table.number("humidity"),
        air_from: table.meaning("air_from", &[("left", AirFrom::Left), ("right", AirFrom::Right)]),
        forecast: table.tables("forecast").map(line).collect(),
    }
}

/// Hours and hands.
pub(crate) fn shop(table: &Checked) -> Shop {
    Shop {
        hands: table.sure_number("hands") as u32,
        opens: table.sure_number("opens") as u16,
        closes: table.sure_number("closes") as u16,
        date: match table.get("date") {
            Some(Got { value: Value::Date(date), .. }) => Some(*date),
            _ => None,
        },
        labour: super::build::at_text(table, "labour"),
    }
}

/// How patterns are printed.
pub(crate) fn patterns(table: &Checked) -> Patterns {
    let sheets = [
        ("a4", PatternPaper::A4),
        ("a3", PatternPaper::A3),
        ("letter", PatternPaper::Letter),
        ("tabloid", PatternPaper::Tabloid),
    ];
    let roll = || table.number("paper").map(PatternPaper::Roll);
    Patterns {
        paper: table.meaning("paper", &sheets).or_else(roll),
        pounce: table.flag("pounce"),
        whole: table.flag("whole"),
        mirror: table.flag("mirror"),
    }
}
