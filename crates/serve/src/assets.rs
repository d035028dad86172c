//! Style and script of the pages, built into the program.

use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};

const STYLE: &str = concat!(include_str!("assets/page.css"), include_str!("assets/plot.css"));
const MARK: &str = include_str!("assets/mark.svg");
const SCRIPT: &str = include_str!("assets/page.js");

/// Address of the style, with the version of the program so that browsers keep it.
pub(crate) const STYLE_AT: &str = concat!("/assets/page.css?", env!("CARGO_PKG_VERSION"));
/// Address of the script.
pub(crate) const SCRIPT_AT: &str = concat!("/assets/page.js?", env!("CARGO_PKG_VERSION"));

pub(crate) async fn style(headers: HeaderMap) -> Response {
    file(STYLE, "text/css; charset=utf-8", &headers)
}

pub(crate) async fn script(headers: HeaderMap) -> Response {
    file(SCRIPT, "text/javascript; charset=utf-8", &headers)
}

pub(crate) async fn mark(headers: HeaderMap) -> Response {
    file(MARK, "image/svg+xml", &headers)
}

/// An asset, or the word that the browser's copy is the same.
fn file(text: &'static str, media_type: &'static str, headers: &HeaderMap) -> Response {
    let tag = format!("\"{}\"", &blake3::hash(text.as_bytes()).to_hex()[..16]);
    let is_same = headers.get(header::IF_NONE_MATCH).is_some_and(|told| told.as_bytes() == tag.as_bytes());
    let mut response = if is_same { StatusCode::NOT_MODIFIED.into_response() } else { text.into_response() };
    let told = response.headers_mut();
    told.insert(header::CONTENT_TYPE, HeaderValue::from_static(media_type));
    told.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        told.insert(header::ETAG, tag);
    }
    response
}
