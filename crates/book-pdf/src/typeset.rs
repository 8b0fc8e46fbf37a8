//! The typesetter: our page templates, the fonts and one job's data go in, PDF bytes come out.
//!
//! The only file that knows typst. It is given no clock, no network and no file system: what is not on the list
//! below does not exist for a page. Its caches are emptied after each book, or a long-running program would grow
//! by some megabytes a book.

use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{DiagSpanKind, FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

/// The page templates by path.
const PAGES: &[(&str, &str)] = &[
    ("/pages/main.typ", include_str!("pages/main.typ")),
    ("/pages/face.typ", include_str!("pages/face.typ")),
    ("/pages/cover.typ", include_str!("pages/cover.typ")),
    ("/pages/go.typ", include_str!("pages/go.typ")),
    ("/pages/wing.typ", include_str!("pages/wing.typ")),
    ("/pages/stripes.typ", include_str!("pages/stripes.typ")),
    ("/pages/masking.typ", include_str!("pages/masking.typ")),
    ("/pages/cutting.typ", include_str!("pages/cutting.typ")),
    ("/pages/tape.typ", include_str!("pages/tape.typ")),
    ("/pages/film.typ", include_str!("pages/film.typ")),
    ("/pages/pull.typ", include_str!("pages/pull.typ")),
    ("/pages/covers.typ", include_str!("pages/covers.typ")),
    ("/pages/paper.typ", include_str!("pages/paper.typ")),
    ("/pages/shopping.typ", include_str!("pages/shopping.typ")),
    ("/pages/mixing.typ", include_str!("pages/mixing.typ")),
    ("/pages/day.typ", include_str!("pages/day.typ")),
    ("/pages/rescue.typ", include_str!("pages/rescue.typ")),
    ("/pages/inspection.typ", include_str!("pages/inspection.typ")),
    ("/pages/rules.typ", include_str!("pages/rules.typ")),
    ("/pages/fit.typ", include_str!("pages/fit.typ")),
    ("/pages/record.typ", include_str!("pages/record.typ")),
];
const DATA: &str = "/book.json";
const LOOK: &str = "/look.json";

static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let files: [&'static [u8]; 5] = [
        include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-regular.ttf"),
        include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-bold.ttf"),
        include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-condensed-bold.ttf"),
        include_bytes!("../../../data/fonts/DejaVuSans.ttf"),
        include_bytes!("../../../data/fonts/DejaVuSans-Bold.ttf"),
    ];
    files.into_iter().flat_map(|bytes| Font::iter(Bytes::new(bytes))).collect()
});
static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// True if one of the book's faces has a drawing for a character.
pub(crate) fn has_sign(c: char) -> bool {
    FONTS.iter().any(|font| font.info().coverage.contains(u32::from(c)))
}

/// Where a page finds the drawing of that number.
pub(crate) fn drawing_path(number: usize) -> String {
    format!("/drawings/{number}.svg")
}

/// What a book is set from: data and look as JSON, drawings as SVG in the order of their numbers.
pub(crate) struct Manuscript {
    pub(crate) data: String,
    pub(crate) look: String,
    pub(crate) drawings: Vec<Vec<u8>>,
}

/// The book, or why a page failed.
pub(crate) fn typeset(manuscript: Manuscript) -> Result<Vec<u8>, String> {
    let result = lay_out(manuscript).and_then(|(document, desk)| {
        // No date and an identity made of the contents: the same job gives the same bytes.
        let options = PdfOptions { ident: Smart::Auto, timestamp: None, ..PdfOptions::default() };
        typst_pdf::pdf(&document, &options).map_err(|faults| in_words(&faults, &desk))
    });
    typst::comemo::evict(0);
    result
}

/// The pages laid out, not yet written.
fn lay_out(manuscript: Manuscript) -> Result<(PagedDocument, Desk), String> {
    let mut files = vec![
        (DATA.to_owned(), Bytes::from_string(manuscript.data)),
        (LOOK.to_owned(), Bytes::from_string(manuscript.look)),
    ];
    let drawings = manuscript.drawings.into_iter().enumerate();
    files.extend(drawings.map(|(k, svg)| (drawing_path(k), Bytes::new(svg))));
    let desk = Desk { files };
    match typst::compile::<PagedDocument>(&desk).output {
        Ok(document) => Ok((document, desk)),
        Err(faults) => Err(in_words(&faults, &desk)),
    }
}

/// What lies before the typesetter, and nothing else.
struct Desk {
    files: Vec<(String, Bytes)>,
}

fn file_id(path: &str) -> Option<FileId> {
    VirtualPath::new(path).ok().map(|p| FileId::new(RootedPath::new(VirtualRoot::Project, p)))
}

fn template(id: FileId) -> Option<&'static str> {
    let path = id.vpath().get_with_slash();
    PAGES.iter().find(|(name, _)| *name == path).map(|(_, text)| *text)
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        file_id(PAGES[0].0).expect("the path of the first template is plain")
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        template(id)
            .map(|text| Source::new(id, text.to_owned()))
            .ok_or_else(|| FileError::Other(Some("no such template".into())))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = id.vpath().get_with_slash();
        self.files
            .iter()
            .find(|(name, _)| name == path)
            .map(|(_, bytes)| bytes.clone())
            .or_else(|| template(id).map(Bytes::from_string))
            .ok_or_else(|| FileError::Other(Some("no such file".into())))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// All faults, each with its template and line.
fn in_words(faults: &[SourceDiagnostic], desk: &Desk) -> String {
    let line_of = |fault: &SourceDiagnostic| match fault.span.get() {
        DiagSpanKind::Number { id, num, sub_range } => desk.source(id).ok().and_then(|source| {
            let range = source.range(num, sub_range)?;
            let line = source.text()[..range.start].matches('\n').count() + 1;
            Some(format!(" ({} line {line})", id.vpath().get_with_slash()))
        }),
        _ => None,
    };
    let told: Vec<String> =
        faults.iter().map(|f| format!("{}{}", f.message, line_of(f).unwrap_or_default())).collect();
    told.join("; ")
}

/// A page as a test looks at it: its size and every run of words on it, in millimetres and points.
#[cfg(test)]
pub(crate) struct SetPage {
    pub(crate) size: (f64, f64),
    pub(crate) runs: Vec<SetRun>,
}

/// A run of words: its box from the tallest capital to the deepest letter, and its size.
#[cfg(test)]
#[derive(Clone, Debug)]
pub(crate) struct SetRun {
    pub(crate) words: String,
    pub(crate) lo: (f64, f64),
    pub(crate) hi: (f64, f64),
    pub(crate) points: f64,
}

/// Where every run of words of the book stands; words inside drawings are not among them.
#[cfg(test)]
pub(crate) fn set_pages(manuscript: Manuscript) -> Result<Vec<SetPage>, String> {
    use typst::layout::{Frame, FrameItem, Point};
    fn walk(frame: &Frame, origin: Point, runs: &mut Vec<SetRun>) {
        for (at, item) in frame.items() {
            let at = origin + *at;
            match item {
                // Our pages move groups but never turn or stretch them.
                FrameItem::Group(group) => {
                    walk(&group.frame, at + Point::new(group.transform.tx, group.transform.ty), runs);
                }
                FrameItem::Text(text) => runs.push(SetRun {
                    words: text.text.to_string(),
                    lo: (at.x.to_mm(), (at.y - text.size * 0.7).to_mm()),
                    hi: ((at.x + text.width()).to_mm(), (at.y + text.size * 0.15).to_mm()),
                    points: text.size.to_pt(),
                }),
                _ => {}
            }
        }
    }
    let pages = lay_out(manuscript).map(|(document, _)| {
        let page = |page: &typst_layout::Page| {
            let mut runs = Vec::new();
            walk(&page.frame, Point::zero(), &mut runs);
            SetPage { size: (page.frame.width().to_mm(), page.frame.height().to_mm()), runs }
        };
        document.pages().iter().map(page).collect()
    });
    typst::comemo::evict(0);
    pages
}
