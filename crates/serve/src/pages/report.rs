//! The fleet, or one machine, as the page that stands alone: to be kept, or printed.

use super::troubled;
use crate::app::Shared;
use crate::display::Display;
use crate::routes::blocking;
use crate::trouble::Trouble;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::{Html, IntoResponse, Response};
use windrow_tasks::report;

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap) -> Response {
    let (shared, units) = (app.clone(), Display::of(&headers).units);
    let made = blocking(move || {
        let view = shared.view()?;
        Ok(windrow_report::render_in(&report::data(&shared.fleet, &view.snapshot)?, units))
    });
    standing_alone(&app, &headers, made.await).await
}

pub(crate) async fn of_machine(State(app): State<Shared>, headers: HeaderMap, Path(id): Path<String>) -> Response {
    let (shared, units) = (app.clone(), Display::of(&headers).units);
    let made = blocking(move || {
        let view = shared.view()?;
        let asset = view.asset(&id).ok_or_else(|| Trouble::no("machine", &id))?;
        let beside = view.names.beside(asset, &view.assets);
        let own = view.own(asset, &beside)?;
        Ok(windrow_report::render_in(&report::of_machine(&shared.fleet, &view.snapshot, (asset, own), &beside)?, units))
    });
    standing_alone(&app, &headers, made.await).await
}

async fn standing_alone(app: &Shared, headers: &HeaderMap, made: Result<String, Trouble>) -> Response {
    match made {
        Ok(text) => {
            let mut response = Html(text).into_response();
            // It carries its style in itself, and no script.
            let policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
            response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy));
            response
        }
        Err(trouble) => troubled(app, Display::of(headers), &trouble).await,
    }
}
