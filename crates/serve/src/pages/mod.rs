//! Pages, a module each: what it is made from, then the markup.

pub(crate) mod alike;
pub(crate) mod cohorts;
pub(crate) mod decisions;
pub(crate) mod finding;
pub(crate) mod findings;
pub(crate) mod fleet;
pub(crate) mod frame;
pub(crate) mod intake;
pub(crate) mod machine;
mod paging;
pub(crate) mod query;
pub(crate) mod question;
pub(crate) mod report;
pub(crate) mod source;

use crate::app::{App, Shared};
use crate::display::Display;
use crate::routes::blocking;
use crate::trouble::Trouble;
use crate::view::View;
use crate::work::State as WorkState;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse, Redirect, Response};
use frame::{Section, frame};
use maud::{Markup, html};
use std::sync::Arc;

/// What a page is made from.
pub(crate) struct Context {
    pub(crate) app: Shared,
    pub(crate) view: Arc<View>,
    pub(crate) display: Display,
    pub(crate) pending: bool,
    pub(crate) work: WorkState,
}

impl Context {
    fn of(app: &Arc<App>, display: Display) -> Result<Self, Trouble> {
        let view = app.view()?;
        let (pending, work) = (app.is_pending(&view), app.work.state());
        Ok(Self { app: Arc::clone(app), view, display, pending, work })
    }
}

/// A page over the newest snapshot.
pub(crate) async fn page(
    app: Shared,
    headers: &HeaderMap,
    make: impl FnOnce(&Context) -> Result<Markup, Trouble> + Send + 'static,
) -> Response {
    let display = Display::of(headers);
    let shared = Arc::clone(&app);
    let made = blocking(move || {
        let context = Context::of(&shared, display)?;
        Ok(make(&context)?.into_string())
    });
    match made.await {
        Ok(text) => Html(text).into_response(),
        Err(trouble) => troubled(&app, display, &trouble).await,
    }
}

/// To another page once something is done or found, or to one that says why not.
pub(crate) async fn gone_to(app: &Shared, headers: &HeaderMap, to: Result<String, Trouble>) -> Response {
    match to {
        Ok(address) => Redirect::to(&address).into_response(),
        Err(trouble) => troubled(app, Display::of(headers), &trouble).await,
    }
}

/// A page that says why there is no other.
pub(crate) async fn troubled(app: &Shared, display: Display, trouble: &Trouble) -> Response {
    let (status, message) = (trouble.status(), trouble.message());
    let shared = Arc::clone(app);
    let body = html! {
        h1 { (heading(status)) }
        p.message { (message) }
        p { a href="/" { "To the fleet" } }
    };
    let text = blocking(move || {
        let context = Context::of(&shared, display)?;
        Ok(frame(&context, heading(status), Section::None, &body).into_string())
    });
    match text.await {
        Ok(text) => (status, Html(text)).into_response(),
        Err(_) => (status, message).into_response(),
    }
}

const fn heading(status: StatusCode) -> &'static str {
    match status {
        StatusCode::NOT_FOUND => "Nothing there",
        StatusCode::BAD_REQUEST => "That cannot be done",
        StatusCode::CONFLICT => "Someone was quicker",
        StatusCode::UNPROCESSABLE_ENTITY => "That would cost too much",
        _ => "The fleet cannot be read",
    }
}

pub(crate) async fn no_such_page(State(app): State<Shared>, headers: HeaderMap, uri: axum::http::Uri) -> Response {
    let trouble = Trouble::no("page", uri.path());
    if uri.path().starts_with("/api/") {
        return crate::api::troubled(&trouble);
    }
    troubled(&app, Display::of(&headers), &trouble).await
}
