//! The page's own files, as they lie in `page/`, inside the program.

use axum::http::{StatusCode, Uri, header};
use axum::response::{Html, IntoResponse, Response};
use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "page/"]
struct Page;

/// The faces of the printed book, so that paper and screen are one thing (OFL-1.1, `data/fonts`).
const FACES: [(&str, &[u8]); 3] = [
    ("faces/regular.ttf", include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-regular.ttf")),
    ("faces/bold.ttf", include_bytes!("../../../data/fonts/sofia-sans/sofia-sans-bold.ttf")),
    ("faces/signs.ttf", include_bytes!("../../../data/fonts/DejaVuSans.ttf")),
];

/// The page itself, with the token its writes must carry.
pub(crate) fn index(token: &str) -> Response {
    let Some(file) = Page::get("index.html") else { return StatusCode::NOT_FOUND.into_response() };
    let text = String::from_utf8_lossy(&file.data).replace("{{token}}", token);
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], text).into_response()
}

/// The small page on which a phone says its code; `why` the last one was wrong.
pub(crate) fn pairing(why: &str) -> Html<String> {
    let Some(file) = Page::get("pair.html") else { return Html(String::new()) };
    Html(String::from_utf8_lossy(&file.data).replace("{{why}}", why))
}

/// A file of the page.
pub(crate) async fn asset(uri: Uri) -> Response {
    let path = uri.path().trim_start_matches('/');
    if let Some((_, face)) = FACES.iter().find(|(name, _)| *name == path) {
        return ([(header::CONTENT_TYPE, "font/ttf"), (header::CACHE_CONTROL, "max-age=86400")], *face)
            .into_response();
    }
    match Page::get(uri.path().trim_start_matches('/')) {
        Some(file) => {
            let kind = file.metadata.mimetype().to_owned();
            ([(header::CONTENT_TYPE, kind)], file.data).into_response()
        }
        None => (StatusCode::NOT_FOUND, "there is nothing of that name").into_response(),
    }
}
