//! Which address leads where, and what stands before every answer.

use crate::app::Shared;
use crate::display::{self, Colours, units_code, units_of};
use crate::guard::{COOKIE_NAME, Refusal};
use crate::params::Params;
use crate::trouble::Trouble;
use crate::{api, assets, pages};
use axum::Router;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::header::{self, HeaderName};
use axum::http::{HeaderMap, HeaderValue, StatusCode, Uri};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;

/// Largest body of a request, bytes: answers and statements, no files.
const LARGEST_BODY: usize = 1 << 20;

pub(crate) fn router(app: Shared) -> Router {
    let pages = Router::new()
        .route("/", get(pages::fleet::get))
        .route("/cohorts", get(pages::cohorts::get))
        .route("/machines/{id}", get(pages::machine::get))
        .route("/machines/{id}/report", get(pages::report::of_machine))
        .route("/readings/{id}", get(pages::machine::of_reading))
        .route("/tests/{id}", get(pages::machine::of_test))
        .route("/findings", get(pages::findings::get))
        .route("/findings/{id}", get(pages::finding::get))
        .route("/findings/{id}/word", get(back).post(pages::finding::post))
        .route("/intake", get(pages::intake::get))
        .route("/intake/source", get(pages::source::get))
        .route("/questions/{id}", get(pages::question::get).post(pages::question::post))
        .route("/decisions", get(pages::decisions::get))
        .route("/decisions/take-back", get(back).post(pages::decisions::take_back))
        .route("/apply", get(back).post(pages::intake::apply))
        .route("/query", get(pages::query::get).post(pages::query::post))
        .route("/query/file", get(back).post(pages::query::file))
        .route("/query/saved", get(back).post(pages::query::save))
        .route("/query/forgotten", get(back).post(pages::query::forget))
        .route("/report", get(pages::report::get))
        .route("/display", get(back).post(set_display))
        .route("/assets/page.css", get(assets::style))
        .route("/assets/page.js", get(assets::script))
        .route("/assets/mark.svg", get(assets::mark));
    pages
        .nest("/api/v1", api::router())
        .fallback(pages::no_such_page)
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(from_fn_with_state(app.clone(), before))
        .with_state(app)
}

/// Refuses who may not ask, takes the token from the address that was printed, and says what browsers may do with the answer.
async fn before(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let is_program = request.uri().path().starts_with("/api/");
    let admitted = app.guard.admits(request.method(), request.uri(), request.headers());
    let mut response = match admitted {
        Ok(()) => next.run(request).await,
        Err(Refusal::Token) => match shown_token(&app, request.uri()) {
            Some(token) => with_token(&token),
            None => refused(StatusCode::UNAUTHORIZED, Refusal::Token, is_program),
        },
        Err(refusal) => refused(StatusCode::FORBIDDEN, refusal, is_program),
    };
    let headers = response.headers_mut();
    for (name, value) in PROTECTION {
        headers.entry(HeaderName::from_static(name)).or_insert(HeaderValue::from_static(value));
    }
    response
}

/// Why a request is not answered, as text or for programs.
fn refused(status: StatusCode, refusal: Refusal, is_program: bool) -> Response {
    if is_program { api::told(status, "refused", refusal.words()) } else { (status, refusal.words()).into_response() }
}

/// Headers of every answer, unless it has its own: no script but ours, no other site's frame, form or eye, nothing kept.
const PROTECTION: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cache-control", "no-store"),
];

/// The right token in the address of a page.
fn shown_token(app: &Shared, uri: &Uri) -> Option<String> {
    let params = Params::read(uri.query().unwrap_or_default().as_bytes());
    params.get("token").filter(|token| app.guard.is_token(token)).map(str::to_owned)
}

/// Puts the token into a cookie and takes it out of the address.
fn with_token(token: &str) -> Response {
    let cookie = format!("{COOKIE_NAME}={token}; Path=/; HttpOnly; SameSite=Strict");
    with_cookies(Redirect::to("/").into_response(), &[cookie])
}

fn with_cookies(mut response: Response, cookies: &[String]) -> Response {
    for cookie in cookies {
        if let Ok(value) = HeaderValue::from_str(cookie) {
            response.headers_mut().append(header::SET_COOKIE, value);
        }
    }
    response
}

/// Keeps how a reader wants pages shown.
async fn set_display(headers: HeaderMap, body: axum::body::Bytes) -> Response {
    let form = Params::read(&body);
    let units = units_code(units_of(form.raw("units")));
    let colours = Colours::of(form.raw("colours")).code();
    let kept = "Path=/; Max-Age=31536000; SameSite=Strict";
    let cookies = [format!("{}={units}; {kept}", display::UNITS), format!("{}={colours}; {kept}", display::COLOURS)];
    with_cookies(Redirect::to(&came_from(&headers)).into_response(), &cookies)
}

/// From where forms are sent to, which an answer that says no leaves in the address, to the page above.
async fn back(uri: Uri) -> Redirect {
    let above = uri.path().rsplit_once('/').map_or("", |(above, _)| above);
    Redirect::to(if above.is_empty() { "/" } else { above })
}

/// The path of the page that a form was sent from; only its path, so that no other site is gone to.
pub(crate) fn came_from(headers: &HeaderMap) -> String {
    let told =
        headers.get(header::REFERER).and_then(|value| value.to_str().ok()).and_then(|told| told.parse::<Uri>().ok());
    let path = told.and_then(|uri| uri.path_and_query().map(|path| path.as_str().to_owned()));
    path.filter(|path| path.starts_with('/') && !path.starts_with("//")).unwrap_or_else(|| "/".to_owned())
}

/// Runs what reads files or computes away from the threads that answer.
pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Trouble> + Send + 'static,
) -> Result<T, Trouble> {
    match tokio::task::spawn_blocking(work).await {
        Ok(result) => result,
        Err(error) => Err(Trouble::Broken(anyhow::anyhow!(
            "a bug of ours ended the work on this request ({error}); please report it"
        ))),
    }
}
