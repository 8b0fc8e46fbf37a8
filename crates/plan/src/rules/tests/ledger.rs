//! Each ledger of `docs/conformance/` names the checks by the names they have, and no check is left out.

use super::*;
use crate::rules::codes::ALL;

#[test]
fn the_ledger_and_the_checks_name_the_same_things() {
    let ledger = include_str!("../../../../../docs/conformance/us-14cfr45.md");
    let named: Vec<&str> = ledger.split('`').skip(1).step_by(2).collect();
    for code in &named {
        assert!(ALL.iter().any(|(known, _)| known == code), "the ledger names `{code}`, no check does");
    }
    for (code, what) in ALL {
        assert!(named.contains(code), "the ledger leaves out `{code}`: {what}");
    }
}

#[test]
fn no_check_makes_up_a_name() {
    let sources = [
        include_str!("../check.rs"),
        include_str!("../check_job.rs"),
        include_str!("../check_letters.rs"),
        include_str!("../check_place.rs"),
        include_str!("../check_size.rs"),
        include_str!("../check_text.rs"),
        include_str!("../height.rs"),
    ];
    let all = sources.join("\n");
    for call in all.split("Finding::new(").skip(1) {
        let arguments = call.split(')').next().unwrap();
        assert!(arguments.contains("code"), "a finding without a code from the list: {arguments}");
    }
    let constants = include_str!("../codes.rs");
    for (code, _) in ALL {
        let name = constants.split(&format!(" = \"{code}\"")).next().unwrap().rsplit(' ').next().unwrap();
        assert!(all.contains(&format!("codes::{name}")), "{code} is never said");
    }
}
