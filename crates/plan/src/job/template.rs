//! A job file to start from, with a comment on every key: what `maskwright new` writes.

/// What kind of surface the file starts with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TemplateKind {
    /// A flat panel.
    Flat,
    /// One face of a half wing.
    Wing,
    /// A body lofted through stations.
    Body,
    /// A scan.
    Mesh,
}

impl TemplateKind {
    /// All of them.
    pub const ALL: [TemplateKind; 4] =
        [TemplateKind::Flat, TemplateKind::Wing, TemplateKind::Body, TemplateKind::Mesh];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            TemplateKind::Flat => "flat",
            TemplateKind::Wing => "wing",
            TemplateKind::Body => "body",
            TemplateKind::Mesh => "mesh",
        }
    }
}

const HEAD: &str = include_str!("template/head.toml");
const FLAT: &str = include_str!("template/flat.toml");
const WING: &str = include_str!("template/wing.toml");
const BODY: &str = include_str!("template/body.toml");
const MESH: &str = include_str!("template/mesh.toml");
const MARK: &str = include_str!("template/mark.toml");
const REST: &str = include_str!("template/rest.toml");

/// How a mark is placed on a skin that was measured.
const PLACED: &str = "\
place = \"nearest\"                     # nearest (to the aim), roomiest, or { at = [x, y] } = centre of the mark's box
# aim = [x, y]                        # where its centre should be if nothing is in the way
# within = [[x, y], [x, y], [x, y]]   # where it must stay";

/// What a wing asks besides.
const ON_WING: &str = "\
along = \"leading-edge\"                # the baseline: leading-edge, or span (square to the root rib)
tops = \"leading-edge\"                 # which way the tops point: leading-edge, trailing-edge, up, forward, aft";

/// What a panel or body asks besides.
const UPRIGHT: &str = "tops = \"up\"                           # which way the tops point: up, forward, aft";

/// How a mark is placed on a scan.
const ON_SCAN: &str = "\
place = { at = [120, 40, 85], toward = [200, 40, 85] }   # in the scan's own axes and unit: centre, and where the baseline points";

/// The text of a commented job file with one surface of that kind and one invented mark; it reads as it stands.
///
/// The scan's file and its place are stand-ins: the first thing to replace.
pub fn template(kind: TemplateKind) -> String {
    let (surface, id, height, place) = match kind {
        TemplateKind::Flat => (FLAT, "panel", "4", format!("{UPRIGHT}\n{PLACED}")),
        TemplateKind::Wing => (WING, "wing", "20", format!("{ON_WING}\n{PLACED}")),
        TemplateKind::Body => (BODY, "side", "12", format!("{UPRIGHT}\n{PLACED}")),
        TemplateKind::Mesh => (MESH, "scan", "2", ON_SCAN.to_owned()),
    };
    let mark = MARK.replace("@surface", id).replace("@height", height).replace("@place", &place);
    format!("{HEAD}{surface}{mark}{}", REST.replace("@surface", id))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{SurfaceShape, keys, read};

    #[test]
    fn every_template_reads_as_it_stands_and_shows_its_kind() {
        for kind in TemplateKind::ALL {
            let job = read(&template(kind)).unwrap_or_else(|problems| panic!("{kind:?}: {problems:#?}"));
            let shape = match job.surfaces[0].shape.value {
                SurfaceShape::Flat { .. } => TemplateKind::Flat,
                SurfaceShape::Wing(_) => TemplateKind::Wing,
                SurfaceShape::Body { .. } => TemplateKind::Body,
                SurfaceShape::Mesh { .. } => TemplateKind::Mesh,
            };
            assert_eq!(shape, kind);
            assert_eq!(job.marks.len(), 1);
        }
    }

    /// The commented tables at the end are sound too: with their marks of comment taken away they read.
    #[test]
    fn the_commented_tables_read_once_they_are_used() {
        for kind in [TemplateKind::Flat, TemplateKind::Wing, TemplateKind::Body] {
            let text = template(kind);
            let (used, rest) = text.split_once("# What follows").unwrap();
            let rest: Vec<&str> =
                rest.lines().skip(1).map(|line| line.strip_prefix("# ").unwrap_or(line)).collect();
            let text = format!("{used}{}", rest.join("\n"));
            let job = read(&text).unwrap_or_else(|problems| panic!("{kind:?}: {problems:#?}"));
            assert!(
                job.shop.is_some() && job.gun.is_some() && job.stripes.len() == 1 && job.paints.len() == 1
            );
        }
    }

    #[test]
    fn every_key_is_shown_in_a_template() {
        let all: String = TemplateKind::ALL.map(template).concat();
        for table in keys::top::JOB.all() {
            for key in table.keys {
                let shown = [format!("{} =", key.name), format!("[{}]", key.name), format!(".{}]", key.name)];
                // A reflectance stands for a colour, rivets have keys of their own; the reference page tells them.
                let told_elsewhere = ["pitch", "head", "after", "path", "width"].contains(&key.name);
                assert!(
                    told_elsewhere || shown.iter().any(|s| all.contains(s)),
                    "{} {}",
                    table.written,
                    key.name
                );
            }
        }
    }
}
