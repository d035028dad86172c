//! SQL over the tables: an answer as table and picture, taken away as a file, kept under a name.

use super::frame::{Section, frame, wide};
use super::{Context, gone_to, page, troubled};
use crate::app::Shared;
use crate::display::Display;
use crate::params::{Params, link};
use crate::routes::blocking;
use crate::sql::Form;
use crate::trouble::Trouble;
use axum::extract::{RawQuery, State};
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use windrow_model::table::TABLES;

/// What stands in the field at first.
const FIRST: &str = "SELECT tag, performed_on, ir_1min_40c_ohm, ir_bound\nFROM test_summary\nWHERE ir_1min_40c_ohm IS NOT NULL\nORDER BY ir_1min_40c_ohm";

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, RawQuery(query): RawQuery) -> Response {
    let params = Params::read(query.unwrap_or_default().as_bytes());
    page(app, &headers, move |context| {
        let saved = context.app.fleet.queries()?;
        let name = params.get("saved").unwrap_or_default().to_owned();
        let text = saved.iter().find(|(own, _)| *own == name).map(|(_, text)| text.clone());
        let text = text.unwrap_or_else(|| match params.get("sql") {
            Some(sql) => sql.to_owned(),
            None => FIRST.to_owned(),
        });
        render(context, (&text, &name), &html! {})
    })
    .await
}

fn render(context: &Context, (sql, name): (&str, &str), answer: &Markup) -> Result<Markup, Trouble> {
    let saved = context.app.fleet.queries()?;
    let limits = context.app.sql.limits;
    let body = html! {
        h1 { "Query" }
        form.sql method="post" action="/query" data-cancels {
            label for="sql" { "One SQL statement over the tables" }
            textarea #sql name="sql" rows="7" spellcheck="false" { (sql) }
            div.actions {
                button.primary { "Ask" }
                button type="button" data-cancel hidden { "Cancel" }
                @for (form, words) in [(Form::Csv, "CSV"), (Form::Parquet, "Parquet"), (Form::Json, "JSON")] {
                    button name="form" value=(form.code()) formaction="/query/file" data-file { "Save as " (words) }
                }
                label.name { "Name" input name="name" value=(name) maxlength="60" placeholder="open findings"; }
                button formaction="/query/saved" { "Keep under this name" }
            }
            p.hint { "It reads only: " (limits.shown_rows) " rows are shown, " (limits.file_rows) " saved; it ends after " (limits.seconds) " s or " (limits.memory_mib) " MiB. Values are in SI units (Ohm, A, V)." }
        }
        (answer)
        @if !saved.is_empty() { section { h2 { "Kept queries" } ul.saved { @for (name, text) in &saved { (kept(name, text)) } } } }
        (tables())
    };
    Ok(frame(context, "Query", Section::Query, &body))
}

fn kept(name: &str, text: &str) -> Markup {
    html! {
        li {
            a href=(link("/query", &[("saved", name)])) { (name) } " " code { (super::intake::short(text)) }
            form.inline method="post" action="/query/forgotten" { input type="hidden" name="name" value=(name); button { "Delete" span.quiet { " " (name) } } }
        }
    }
}

/// Tables with their columns, for whoever writes SQL.
fn tables() -> Markup {
    html! {
        section { h2 { "Tables" }
            @for table in TABLES { details { summary { (table.name) } dl.plate.tall { @for column in table.columns { div { dt { code { (column.name) } } dd { (column.doc.trim()) } } } } } }
        }
    }
}

pub(crate) async fn post(State(app): State<Shared>, headers: HeaderMap, body: axum::body::Bytes) -> Response {
    let form = Params::read(&body);
    let (sql, name) = (form.raw("sql").to_owned(), form.raw("name").to_owned());
    let most = app.sql.limits.shown_rows;
    // One more than is shown, to know whether there are more.
    let answered = app.sql.answer(app.fleet.dir(), &sql, (Form::Csv, most.saturating_add(1))).await;
    page(app, &headers, move |context| {
        let answer = match &answered {
            Ok(bytes) => shown(bytes, most as usize)?,
            Err(trouble) => html! { p.message role="alert" { (trouble.message()) } },
        };
        render(context, (&sql, &name), &answer)
    })
    .await
}

/// The answer as picture and table.
fn shown(bytes: &[u8], most: usize) -> Result<Markup, Trouble> {
    let broken = |error: csv::Error| Trouble::Broken(error.into());
    let mut reader = csv::Reader::from_reader(bytes);
    let header: Vec<String> = reader.headers().map_err(broken)?.iter().map(str::to_owned).collect();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for record in reader.records() {
        rows.push(record.map_err(broken)?.iter().map(str::to_owned).collect());
    }
    let has_more = rows.len() > most;
    rows.truncate(most);
    let table = html! {
        table {
            thead { tr { @for name in &header { th scope="col" { (name) } } } }
            tbody { @for row in &rows { tr { @for value in row { td class=[value.parse::<f64>().is_ok().then_some("n")] { (super::intake::short(value)) } } } } }
        }
    };
    Ok(html! {
        section #answer {
            h2 { "Answer" }
            p role="status" { (rows.len()) @if rows.len() == 1 { " row" } @else { " rows" } @if has_more { " shown; there are more" } "." }
            (windrow_report::plot::answer(&header, &rows))
            (wide("Answer", &table))
        }
    })
}

/// The answer as a file.
pub(crate) async fn file(State(app): State<Shared>, headers: HeaderMap, body: axum::body::Bytes) -> Response {
    let asked = Params::read(&body);
    let Some(form) = Form::of(asked.raw("form")) else {
        let trouble = Trouble::Wrong("The form of a file is csv, json or parquet.".to_owned());
        return troubled(&app, Display::of(&headers), &trouble).await;
    };
    match app.sql.answer(app.fleet.dir(), asked.raw("sql"), (form, app.sql.limits.file_rows)).await {
        Ok(bytes) => taken_away(bytes, form),
        Err(trouble) => troubled(&app, Display::of(&headers), &trouble).await,
    }
}

fn taken_away(bytes: Vec<u8>, form: Form) -> Response {
    let mut response = bytes.into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(form.media_type()));
    if let Ok(name) = HeaderValue::from_str(&format!("attachment; filename=\"answer.{}\"", form.code())) {
        headers.insert(header::CONTENT_DISPOSITION, name);
    }
    response
}

pub(crate) async fn save(State(app): State<Shared>, headers: HeaderMap, body: axum::body::Bytes) -> Response {
    let form = Params::read(&body);
    let name = form.get("name").unwrap_or_default().to_owned();
    let shared = app.clone();
    let to = link("/query", &[("saved", &name)]);
    let saved = blocking(move || Ok(shared.fleet.save_query(&name, form.raw("sql"))?));
    gone_to(&app, &headers, saved.await.map(|()| to)).await
}

pub(crate) async fn forget(State(app): State<Shared>, headers: HeaderMap, body: axum::body::Bytes) -> Response {
    let form = Params::read(&body);
    let shared = app.clone();
    let forgotten = blocking(move || Ok(shared.fleet.forget_query(form.raw("name")).map(drop)?));
    gone_to(&app, &headers, forgotten.await.map(|()| "/query".to_owned())).await
}
