//! The interface for programs: what the pages show and do, as JSON, under `/api/v1`. [`operations::OPERATIONS`] lists every operation once:
//! the router is built from it and so is its description, [`openapi`].

mod check;
mod operations;
mod outcomes;
mod read;
mod schema;
mod write;

use crate::app::Shared;
use crate::params::Params;
use crate::routes::blocking;
use crate::sql::Form;
use crate::trouble::Trouble;
use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, PathRejection};
use axum::extract::{Path, RawQuery, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get, post};
use axum::{Json, Router};
use operations::{Method, OPERATIONS, Operation, Work};
use serde_json::{Value, json};
use std::collections::BTreeMap;

pub use schema::openapi;

/// What an operation is asked with.
#[derive(Debug, Default)]
pub(crate) struct Asked {
    /// The id in the path; empty without one.
    pub(crate) id: String,
    pub(crate) params: Params,
    /// The body; null without one.
    pub(crate) body: Value,
}

impl Asked {
    /// A text of the body; `None` where it is missing, null or blank.
    ///
    /// # Errors
    /// When it is something else than a text.
    pub(crate) fn text(&self, name: &str) -> Result<Option<&str>, Trouble> {
        match self.body.get(name) {
            None | Some(Value::Null) => Ok(None),
            Some(Value::String(text)) => Ok(Some(text.trim()).filter(|text| !text.is_empty())),
            Some(_) => Err(Trouble::Wrong(format!("{name} must be a text"))),
        }
    }

    /// A text of the body that must be there.
    pub(crate) fn needed(&self, name: &str) -> Result<&str, Trouble> {
        self.text(name)?.ok_or_else(|| Trouble::Wrong(format!("{name} is missing: give it as a text in the JSON body")))
    }
}

pub(crate) fn router() -> Router<Shared> {
    let mut paths: BTreeMap<&str, MethodRouter<Shared>> = BTreeMap::new();
    for operation in OPERATIONS {
        let own = match operation.method {
            Method::Get => {
                get(move |State(app), path, RawQuery(query)| answer(app, operation, path, (query, Ok(Bytes::new()))))
            }
            Method::Post => {
                post(move |State(app), path, RawQuery(query), body| answer(app, operation, path, (query, body)))
            }
        };
        let merged = match paths.remove(operation.path) {
            Some(known) => known.merge(own),
            None => own,
        };
        paths.insert(operation.path, merged);
    }
    paths.into_iter().fold(Router::new(), |router, (path, methods)| router.route(path, methods)).fallback(no_such)
}

type Told = (Option<String>, Result<Bytes, BytesRejection>);

async fn answer(
    app: Shared,
    operation: &'static Operation,
    path: Result<Path<BTreeMap<String, String>>, PathRejection>,
    told: Told,
) -> Response {
    match asked(operation, path, told) {
        Ok(asked) => match operation.work {
            Work::Rows(work) => match blocking(move || work(&app, &asked)).await {
                Ok(value) => Json(value).into_response(),
                Err(trouble) => troubled(&trouble),
            },
            Work::Description => Json(openapi()).into_response(),
            Work::Sql => queried(&app, &asked).await.unwrap_or_else(|trouble| troubled(&trouble)),
        },
        Err(trouble) => troubled(&trouble),
    }
}

fn asked(
    operation: &Operation,
    path: Result<Path<BTreeMap<String, String>>, PathRejection>,
    (query, body): Told,
) -> Result<Asked, Trouble> {
    let Path(mut path) = path.map_err(|_| Trouble::Wrong("the address is no UTF-8 text".to_owned()))?;
    let body = body.map_err(|error| Trouble::Wrong(error.body_text()))?;
    let body = match operation.method {
        Method::Get => Value::Null,
        Method::Post if body.is_empty() => json!({}),
        Method::Post => {
            serde_json::from_slice(&body).map_err(|error| Trouble::Wrong(format!("the body is no JSON: {error}")))?
        }
    };
    if operation.method == Method::Post && !body.is_object() {
        return Err(Trouble::Wrong("the body must be a JSON object".to_owned()));
    }
    let params = Params::read(query.unwrap_or_default().as_bytes());
    match operation.method {
        Method::Get => check::query(operation.takes, &params)?,
        Method::Post => {
            check::query(&[], &params)?;
            check::fields(operation.takes, &body)?;
        }
    }
    Ok(Asked { id: path.remove("id").unwrap_or_default(), params, body })
}

/// The answer to SQL, in the form that was asked for.
async fn queried(app: &Shared, asked: &Asked) -> Result<Response, Trouble> {
    let form = asked.text("form")?.unwrap_or("json");
    let form = Form::of(form).ok_or_else(|| Trouble::Wrong("form is \"json\", \"csv\" or \"parquet\"".to_owned()))?;
    let most = app.sql.limits.file_rows;
    let rows = match asked.body.get("rows") {
        None | Some(Value::Null) => most,
        Some(told) => {
            let told = told.as_u64().ok_or_else(|| Trouble::Wrong("rows must be a whole number from 0".to_owned()))?;
            u32::try_from(told).unwrap_or(most).min(most)
        }
    };
    let bytes = app.sql.answer(app.fleet.dir(), asked.needed("sql")?, (form, rows)).await?;
    let mut response = bytes.into_response();
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static(form.media_type()));
    Ok(response)
}

/// An answer that says why there is no other.
pub(crate) fn troubled(trouble: &Trouble) -> Response {
    told(trouble.status(), trouble.code(), &trouble.message())
}

/// A code and words instead of an answer.
pub(crate) fn told(status: StatusCode, code: &str, message: &str) -> Response {
    (status, Json(json!({ "error": { "code": code, "message": message } }))).into_response()
}

async fn no_such() -> Response {
    told(StatusCode::NOT_FOUND, "not_found", "there is no such operation; /api/v1/openapi.json describes all")
}
