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
    ("/pages/cutting.typ", include_str!("pages/cutting.typ")),
    ("/pages/tape.typ", include_str!("pages/tape.typ")),
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
    let files: [&'static [u8]; 4] = [
        include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-regular.ttf"),
        include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-bold.ttf"),
        include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-condensed-bold.ttf"),
        include_bytes!("../../../data/fonts/dejavu/DejaVuSans.ttf"),
    ];
    files.into_iter().flat_map(|bytes| Font::iter(Bytes::new(bytes))).collect()
});
static BOOK: LazyLock<LazyHash<FontBook>> = LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// Where a page finds the drawing of that number.
pub(crate) fn drawing_path(number: usize) -> String {
    format!("/drawings/{number}.svg")
}

/// The book, or why a page failed.
pub(crate) fn typeset(data: &str, look: &str, drawings: Vec<Vec<u8>>) -> Result<Vec<u8>, String> {
    let mut files = vec![
        (DATA.to_owned(), Bytes::from_string(data.to_owned())),
        (LOOK.to_owned(), Bytes::from_string(look.to_owned())),
    ];
    files.extend(drawings.into_iter().enumerate().map(|(k, svg)| (drawing_path(k), Bytes::new(svg))));
    let desk = Desk { files };
    let set = typst::compile::<PagedDocument>(&desk).output.and_then(|document| {
        // No date and an identity made of the contents: the same job gives the same bytes.
        let options = PdfOptions { ident: Smart::Auto, timestamp: None, ..PdfOptions::default() };
        typst_pdf::pdf(&document, &options)
    });
    let result = set.map_err(|faults| faults.iter().map(|f| in_words(f, &desk)).collect::<Vec<_>>().join("; "));
    typst::comemo::evict(0);
    result
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

/// A fault with its template and line.
fn in_words(fault: &SourceDiagnostic, desk: &Desk) -> String {
    let at = match fault.span.get() {
        DiagSpanKind::Number { id, num, sub_range } => desk.source(id).ok().and_then(|source| {
            let range = source.range(num, sub_range)?;
            let line = source.text()[..range.start].matches('\n').count() + 1;
            Some(format!(" ({} line {line})", id.vpath().get_with_slash()))
        }),
        _ => None,
    };
    format!("{}{}", fault.message, at.unwrap_or_default())
}
