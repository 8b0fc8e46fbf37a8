//! The files one starts from: they read, they can be planned, and every line switched off reads once it is on.

use crate::finding::Severity;
use crate::job::{Attachments, SurfaceShape, TemplateKind, read, template, template_bare};

#[test]
fn every_template_reads_as_it_stands() {
    for kind in TemplateKind::ALL {
        let text = template(kind);
        let job = read(&text).unwrap_or_else(|problems| panic!("{kind:?}: {problems:#?}\n{text}"));
        assert_eq!((job.surfaces.len(), job.marks.len()), (1, 1), "{kind:?}");
        let of_its_kind = match &job.surfaces[0].shape.value {
            SurfaceShape::Flat { .. } => TemplateKind::Flat,
            SurfaceShape::Wing(_) => TemplateKind::Wing,
            SurfaceShape::Body { .. } => TemplateKind::Body,
            SurfaceShape::Mesh { .. } => TemplateKind::Mesh,
        };
        assert_eq!(of_its_kind, kind);
    }
}

#[test]
fn flat_and_wing_templates_can_be_planned_and_nothing_fails() {
    for kind in [TemplateKind::Flat, TemplateKind::Wing] {
        let job = read(&template(kind)).unwrap();
        let plan = crate::run(&job, &Attachments::default()).unwrap_or_else(|p| panic!("{kind:?}: {p:#?}"));
        let fails: Vec<_> = plan.findings.iter().filter(|f| f.severity == Severity::Fail).collect();
        assert!(fails.is_empty(), "{kind:?}: {fails:#?}");
        assert_eq!(plan.marks.len(), 1);
    }
}

/// A line that is switched off opens with a `#` and no space.
fn switched_off(line: &str) -> Option<&str> {
    line.strip_prefix('#').filter(|rest| rest.starts_with(|c: char| c.is_ascii_lowercase()))
}

#[test]
fn every_line_that_is_switched_off_reads_once_it_is_switched_on() {
    for kind in TemplateKind::ALL {
        let text = template(kind);
        let lines: Vec<&str> = text.lines().collect();
        let mut tried = 0;
        for (idx, line) in lines.iter().enumerate() {
            let Some(on) = switched_off(line) else { continue };
            let mut changed = lines.clone();
            changed[idx] = on;
            if on.contains("# Or ") {
                let before = (0..idx).rev().find(|i| lines[*i].starts_with(|c: char| c.is_ascii_lowercase()));
                changed[before.unwrap()] = "";
            }
            if let Err(problems) = read(&changed.join("\n")) {
                panic!("{kind:?}, {on}: {problems:#?}");
            }
            tried += 1;
        }
        assert!(20 < tried, "{kind:?}: {tried}");
    }
}

#[test]
fn a_template_offers_every_key_of_the_tables_it_shows() {
    use crate::job::keys::{mark, shop, surface, top};
    for kind in TemplateKind::ALL {
        let text = template(kind);
        let tables = [
            ("[craft]", &top::CRAFT, None),
            ("[survey]", &top::SURVEY, None),
            ("[[ground]]", &top::GROUND, None),
            ("[[surface]]", &surface::SURFACE, Some(kind.name())),
            ("[[paint]]", &shop::PAINT, None),
            ("[masking]", &shop::MASKING, None),
            ("[gun]", &shop::GUN, None),
            ("[conditions]", &shop::CONDITIONS, None),
            ("[shop]", &shop::SHOP, None),
            ("[patterns]", &shop::PATTERNS, None),
            ("[[mark]]", &mark::MARK, None),
        ];
        for (header, table, of) in tables {
            let start = text.find(&format!("\n{header}")).unwrap_or_else(|| panic!("{kind:?}: no {header}"));
            let body = &text[start + 1..];
            let body = &body[..body.find("\n[").unwrap_or(body.len())];
            for key in table.keys.iter().filter(|key| key.belongs(of)) {
                let shown = body.lines().any(|line| {
                    line.trim_start_matches('#')
                        .strip_prefix(key.name)
                        .is_some_and(|rest| rest.starts_with(" = "))
                });
                let own_table = matches!(key.kind, crate::job::keys::Kind::Tables(_));
                // `along` is asked of a wing, `toward` of a scan, which has no tops of its own.
                let elsewhere = header == "[[mark]]"
                    && match kind {
                        TemplateKind::Wing => key.name == "toward",
                        TemplateKind::Flat | TemplateKind::Body => ["along", "toward"].contains(&key.name),
                        TemplateKind::Mesh => ["along", "tops"].contains(&key.name),
                    };
                assert_eq!(shown, !own_table && !elsewhere, "{kind:?}: `{}` of {header}\n{body}", key.name);
            }
        }
    }
}

#[test]
fn no_line_is_wider_than_a_page() {
    for kind in TemplateKind::ALL {
        for line in template(kind).lines() {
            assert!(line.chars().count() <= 110, "{line}");
        }
    }
}

#[test]
fn a_bare_template_invents_nothing_of_surface_and_craft() {
    for kind in TemplateKind::ALL {
        let text = template_bare(kind);
        let job = read(&text).unwrap_or_else(|problems| panic!("{kind:?}: {problems:#?}\n{text}"));
        let surface = &job.surfaces[0];
        assert!(
            surface.features.is_empty() && surface.parts.is_empty() && surface.ribs.is_none(),
            "{kind:?}"
        );
        for key in ["built", "max_cruise_kt", "mass_kg", "special", "adiz"] {
            assert!(text.contains(&format!("\n#{key} = ")), "{kind:?}: {key}");
        }
        // No remark is left of what is not there.
        for line in text.lines().filter(|l| !l.starts_with(' ') && l.starts_with('#') && !l.starts_with("# "))
        {
            assert!(line.contains(" = "), "{kind:?}: {line}");
        }
    }
}
