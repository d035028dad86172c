//! The whole fleet as the page that stands alone, to be kept or printed.

use super::troubled;
use crate::app::Shared;
use crate::display::Display;
use crate::routes::blocking;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::{Html, IntoResponse, Response};

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap) -> Response {
    let shared = app.clone();
    let made = blocking(move || {
        let view = shared.view()?;
        Ok(windrow_report::render(&windrow_tasks::report::data(&shared.fleet, &view.snapshot)?))
    });
    match made.await {
        Ok(text) => {
            let mut response = Html(text).into_response();
            // It carries its style in itself, and no script.
            let policy = HeaderValue::from_static(
                "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
            );
            response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
            response
        }
        Err(trouble) => troubled(&app, Display::of(&headers), &trouble).await,
    }
}
