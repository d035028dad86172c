//! Answers given so far, each with the way to take it back.

use super::frame::{Section, frame, wide};
use super::machine::cell_page;
use super::{Context, gone_to, page};
use crate::app::Shared;
use crate::params::Params;
use crate::routes::blocking;
use crate::trouble::Trouble;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use windrow_model::Decision;
use windrow_report::trail::place;

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap) -> Response {
    page(app, &headers, render).await
}

fn render(context: &Context) -> Result<Markup, Trouble> {
    let decisions = context.app.fleet.settings()?.decisions;
    let body = html! {
        p.path { a href="/intake" { "Intake" } }
        h1 { "Answers given" }
        p { "They stand in decisions.toml of the fleet folder, where they can be read and edited too. What is given or taken back is read into the records when the answers are applied." }
        @if decisions.is_empty() { p { "None yet." } }
        @else { (wide("Table of answers", &table(&decisions))) }
    };
    Ok(frame(context, "Answers given", Section::Intake, &body))
}

fn table(decisions: &[Decision]) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "Question" } th scope="col" { "Answer" } th scope="col" { "Where" } th scope="col" { "Who, when, why" } th scope="col" { "Undo" } } }
            tbody { @for decision in decisions.iter().rev() { tr {
                td { (decision.question.doc().trim()) }
                th scope="row" { (decision.answer) }
                td { (stands(decision)) }
                td { (decision.credit()) }
                td { form method="post" action="/decisions/take-back" { input type="hidden" name="ruling" value=(digest(decision)); button { "Take back" span.quiet { " " (decision.answer) } } } }
            } } }
        }
    }
}

fn stands(decision: &Decision) -> Markup {
    let Some(file) = &decision.file else { return html! { "the whole fleet" } };
    let cells = decision.cells.as_deref().unwrap_or("all cells");
    let first = cells.split(':').next().unwrap_or_default();
    html! { a href=(cell_page(file, decision.sheet.as_deref(), first)) { (place(file, decision.sheet.as_deref(), cells)) } }
}

/// What names a ruling: a hash of all that it says.
pub(crate) fn digest(decision: &Decision) -> String {
    let text = serde_json::to_vec(decision).unwrap_or_default();
    blake3::hash(&text).to_hex().chars().take(24).collect()
}

pub(crate) async fn take_back(State(app): State<Shared>, headers: HeaderMap, body: axum::body::Bytes) -> Response {
    let form = Params::read(&body);
    let shared = app.clone();
    let taken = blocking(move || take_out(&shared, form.raw("ruling"))).await;
    gone_to(&app, &headers, taken.map(|()| "/decisions".to_owned())).await
}

/// Takes a ruling out of the file.
pub(crate) fn take_out(app: &Shared, ruling: &str) -> Result<(), Trouble> {
    let decisions = app.fleet.settings()?.decisions;
    let found = decisions.iter().find(|decision| digest(decision) == ruling);
    let gone = || {
        Trouble::Meanwhile(
            "This answer does not stand any more: it was taken back or edited meanwhile. Nothing was changed."
                .to_owned(),
        )
    };
    if app.fleet.take_back(found.ok_or_else(gone)?)? { Ok(()) } else { Err(gone()) }
}
