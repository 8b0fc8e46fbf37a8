//! The page's own files, as they lie in `page/`, inside the program.

use axum::http::{StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "page/"]
struct Page;

/// The page itself, with the token its writes must carry.
pub(crate) fn index(token: &str) -> Response {
    let Some(file) = Page::get("index.html") else { return StatusCode::NOT_FOUND.into_response() };
    let text = String::from_utf8_lossy(&file.data).replace("{{token}}", token);
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], text).into_response()
}

/// A file of the page.
pub(crate) async fn asset(uri: Uri) -> Response {
    match Page::get(uri.path().trim_start_matches('/')) {
        Some(file) => {
            let kind = file.metadata.mimetype().to_owned();
            ([(header::CONTENT_TYPE, kind)], file.data).into_response()
        }
        None => (StatusCode::NOT_FOUND, "there is nothing of that name").into_response(),
    }
}
