//! Full-size cut files of the film, one a panel: SVG, DXF and HP-GL, its length along the roll level, a layer (in
//! HP-GL a tool) for each kind of cut. Mirrored only where the job asks for it.

use super::patterns::PAINT_EDGE;
use super::patterns_files::{Kind, PatternFile, Source, Wishes, mirrored_words};
use crate::mask::FilmPanel;
use crate::mask::film::SPARE;
use geom::{Affine, Point, Ring};
use sheet::hpgl::Tool;
use sheet::tokens::TYPE_BODY;
use sheet::{Item, Layer, Role, Sheet, Text, pen};

/// Cuts through the waste.
pub const WEEDING: &str = "weeding";
/// Cuts through the film that stays.
pub const RELIEF: &str = "relief";
/// The box round a panel.
pub const BOX: &str = "box";
/// Ticks by which it is laid.
pub const REGISTER: &str = "register";
/// Where it is hinged; not cut.
pub const HINGE: &str = "hinge";
/// What it is; not cut.
pub const WORDS: &str = "words";

/// The cut files of a mark; none without film.
pub fn film_files(source: &Source<'_>, wishes: &Wishes) -> Vec<PatternFile> {
    let sides: &[bool] = if wishes.mirror { &[false, true] } else { &[false] };
    let panels = source.masks.iter().filter_map(|m| m.film.as_ref()).flat_map(|f| &f.panels);
    panels
        .flat_map(|p| sides.iter().flat_map(|mirrored| files(source, p, *mirrored)).collect::<Vec<_>>())
        .collect()
}

/// From flat to the film as it lies in the plotter: along the roll to the right, its lower edge at 0.
fn film_from_flat(panel: &FilmPanel, mirrored: bool) -> Affine {
    let level = Affine::rotate(-panel.along.angle());
    let outline = Ring::from_points(panel.outline.iter().copied()).mapped(level);
    let (lo, hi) = outline.bounds().unwrap_or((Point::ZERO, Point::ZERO));
    let beside = (panel.film.width - (hi.y - lo.y)) / 2.0;
    let map = Affine::translate((SPARE - lo.x, beside - lo.y)) * level;
    if !mirrored {
        return map;
    }
    Affine::translate((panel.taken, 0.0)) * Affine::scale_non_uniform(-1.0, 1.0) * map
}

fn files(source: &Source<'_>, panel: &FilmPanel, mirrored: bool) -> Vec<PatternFile> {
    let map = film_from_flat(panel, mirrored);
    let turn = |r: &Ring| if mirrored { r.mapped(map).reversed() } else { r.mapped(map) };
    let paint: Vec<Ring> = panel.paint.iter().map(turn).collect();
    let boxed = [turn(&Ring::from_points(panel.outline.iter().copied()))];
    let lines = |all: &mut dyn Iterator<Item = [Point; 2]>| -> Vec<[Point; 2]> {
        all.map(|l| l.map(|p| map * p)).collect()
    };
    let weeding = lines(&mut panel.weeding.iter().copied());
    let relief = lines(&mut panel.relief.iter().map(|r| r.line));
    let register = lines(&mut panel.register.iter().copied());
    let hinge = lines(&mut [panel.hinge].into_iter());
    let items = |lines: &[[Point; 2]], role: Role| lines.iter().map(|l| Item::line(*l, pen(role))).collect();
    let words = format!(
        "{}; {}: {}, full size, {} mm of the roll{}",
        source.job,
        panel.id,
        source.mark.words(),
        (panel.taken * 10.0).round() / 10.0,
        mirrored_words(mirrored)
    );
    let layer = |name: &str, items: Vec<Item>| Layer { name: name.to_owned(), items };
    let layers = vec![
        layer(PAINT_EDGE, vec![Item::rings(&paint, pen(Role::CutLine))]),
        layer(WEEDING, items(&weeding, Role::Outline)),
        layer(RELIEF, items(&relief, Role::Outline)),
        layer(REGISTER, items(&register, Role::Outline)),
        layer(BOX, vec![Item::rings(&boxed, pen(Role::CutLine))]),
        layer(HINGE, items(&hinge, Role::Centre)),
        layer(WORDS, vec![Item::Text(Text::new(Point::new(SPARE, 3.0), words.as_str(), TYPE_BODY))]),
    ];
    // Inner cuts first, so that the film lies still; the box last.
    let tools = [
        Tool { rings: &paint, lines: &[] },
        Tool { rings: &[], lines: &weeding },
        Tool { rings: &[], lines: &relief },
        Tool { rings: &[], lines: &register },
        Tool { rings: &boxed, lines: &[] },
    ];
    let hpgl = sheet::hpgl::write_tools(&tools);
    let dxf = sheet::dxf::write(&layers);
    let svg = sheet::svg::write_bare(&Sheet {
        width_mm: panel.taken,
        height_mm: panel.film.width,
        layers,
        title: format!("{}: {}{}", source.job, panel.id, mirrored_words(mirrored)),
        description: "Film to be cut, full size, one unit a millimetre; hinge and words are not cut."
            .to_owned(),
    });
    let name = format!("patterns/{}{}", panel.id, if mirrored { "-mirrored" } else { "" });
    let file = |ending: &str, bytes: String, kind: Kind| PatternFile {
        path: format!("{name}.{ending}"),
        bytes: bytes.into_bytes(),
        kind,
        rings: vec![paint.clone()],
    };
    vec![file("svg", svg, Kind::Svg), file("dxf", dxf, Kind::Dxf), file("hpgl", hpgl, Kind::Cut)]
}

#[cfg(test)]
mod tests {
    use crate::book::wanted::{Part, Wanted};
    use crate::job::Attachments;

    /// Letters are mirrored in their cut files only where the job asks for it, in files of their own that say so.
    #[test]
    fn cut_files_are_mirrored_only_on_request() {
        let files = |more: &str| {
            let job = format!(
                "title = \"t\"\nunits = \"in\"\n[[surface]]\nid = \"s\"\nkind = \"flat\"\n\
                 corners = [[0, 0], [30, 0], [30, 30], [0, 30]]\n[[mark]]\nid = \"m\"\nsurface = \"s\"\n\
                 text = \"F\"\nlegal = false\nheight = 6\nplace = {{ at = [15, 15] }}\n[masking]\n\
                 method = \"cut-mask\"\nfilm = [{{ width = \"12 in\" }}]\n{more}"
            );
            let plan = crate::run(&crate::job::read(&job).unwrap(), &Attachments::default()).unwrap();
            let wanted = Wanted { only: vec![Part::Patterns], ..Wanted::default() };
            let made = plan.files(&wanted, &mut |_| ());
            assert!(made.findings.is_empty(), "{:?}", made.findings);
            made.files.into_iter().filter(|(p, _)| p.contains("m-film-1")).collect::<Vec<_>>()
        };
        let plain = files("");
        let names: Vec<&str> = plain.iter().map(|f| f.0.as_str()).collect();
        assert_eq!(names, ["patterns/m-film-1.svg", "patterns/m-film-1.dxf", "patterns/m-film-1.hpgl"]);
        let both = files("[patterns]\nmirror = true");
        assert_eq!(both.len(), 6);
        assert_eq!(both[..3], plain[..]);
        let said = String::from_utf8_lossy(&both[3].1).into_owned();
        assert!(both[3].0.ends_with("m-film-1-mirrored.svg") && said.contains("MIRRORED"), "{}", both[3].0);
    }
}
