//! One question: the cells that it concerns among their neighbours, and the answer, for all of them or some.

use super::frame::{Section, frame};
use super::intake::{meaning, short};
use super::machine::cell_page;
use super::{Context, page, troubled};
use crate::app::Shared;
use crate::display::Display;
use crate::params::{Params, segment};
use crate::routes::blocking;
use crate::trouble::Trouble;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::place::{column_letters, read_a1};
use windrow_model::{CellRow, Decision, Hold, Quantity, Question};
use windrow_report::trail::place;
use windrow_tasks::decide::{self, Answer, Meant, offered, rulings};
use windrow_tasks::questions::Group;

/// Rows above and below, and columns on each side, that are shown.
const REACH: (u32, u32) = (5, 5);

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, Path(id): Path<String>) -> Response {
    page(app, &headers, move |context| render(context, &id)).await
}

fn render(context: &Context, id: &str) -> Result<Markup, Trouble> {
    let group = context.view.question(id).ok_or_else(|| Trouble::no("open question", id))?;
    let Some(first) = group.holds.first() else { return Err(Trouble::no("open question", id)) };
    let decisions = context.app.fleet.settings()?.decisions;
    let cells: Vec<CellRow> = context.view.snapshot.rows_where("source_file", &[first.source_file.as_str()])?;
    let body = html! {
        p.path { a href="/intake" { "Intake" } " › " a href=(page_of(first)) { (first.source_file) } }
        h1 { (meaning(group)) }
        p { (first.context) }
        div.beside {
            section { h2 { "The cell among its neighbours" } (neighbours(first, &cells)) }
            section.panel.pane { (form(group, &decisions)) }
        }
    };
    Ok(frame(context, "Question", Section::Intake, &body))
}

fn page_of(hold: &Hold) -> String {
    let cell = hold.source_cell.as_deref().unwrap_or_default();
    cell_page(&hold.source_file, hold.source_sheet.as_deref(), cell.split(':').next().unwrap_or_default())
}

fn neighbours(hold: &Hold, cells: &[CellRow]) -> Markup {
    let asked = hold.source_cell.as_deref().unwrap_or_default().split(':').next().unwrap_or_default();
    let mine = || cells.iter().filter(|cell| cell.source_sheet == hold.source_sheet);
    let Some((row, column)) = read_a1(asked) else { return in_order(asked, &mine().collect::<Vec<_>>()) };
    let placed: BTreeMap<(u32, u32), &CellRow> =
        mine().filter_map(|cell| Some((read_a1(&cell.source_cell)?, cell))).collect();
    let rows = row.saturating_sub(REACH.0)..=row.saturating_add(REACH.0);
    let columns = column.saturating_sub(REACH.1)..=column.saturating_add(REACH.1);
    html! {
        div.wide.sheet tabindex="0" role="region" aria-label="Cells around the question" {
            table {
                thead { tr { td {} @for column in columns.clone() { th scope="col" { (column_letters(column)) } } } }
                tbody { @for r in rows { tr {
                    th scope="row" { (r + 1) }
                    @for c in columns.clone() {
                        @match placed.get(&(r, c)) {
                            Some(cell) => td class={ "cell d-" (cell.disposition) @if (r, c) == (row, column) { " asked" } } { (short(&cell.raw_text)) },
                            None => td class=[((r, c) == (row, column)).then_some("asked")] {},
                        }
                    }
                } } }
            }
        }
    }
}

/// Neighbours in the order of the file, where cells have no rows and columns.
fn in_order(asked: &str, cells: &[&CellRow]) -> Markup {
    let at = cells.iter().position(|cell| cell.source_cell == asked).unwrap_or(0);
    html! {
        table { tbody { @for cell in cells.iter().skip(at.saturating_sub(6)).take(13) {
            tr { th scope="row" { (cell.source_cell) } td class={ "cell d-" (cell.disposition) @if cell.source_cell == asked { " asked" } } { (short(&cell.raw_text)) } }
        } } }
    }
}

/// The form that answers a question, for all its cells or those that are ticked.
pub(crate) fn form(group: &Group, decisions: &[Decision]) -> Markup {
    let Some(first) = group.holds.first() else { return html! {} };
    let standing = standing(decisions, group);
    html! {
        form.stacked.answer method="post" action={ "/questions/" (segment(&first.hold_id)) } {
            h2 { (meaning(group)) }
            @if !standing.is_empty() {
                p.message { "Answered: " @for ruling in &standing { b { (ruling.answer) } " (" (ruling.credit()) ") " } ". It waits to be applied. " a href="/decisions" { "Take it back" } " or answer anew." }
            }
            input type="hidden" name="seen" value=(seen(&standing));
            fieldset {
                legend { "Answer" }
                (answers(first))
            }
            @if group.holds.len() > 1 {
                fieldset {
                    legend { "Its " (group.holds.len()) " cells" }
                    div.ticks { @for hold in &group.holds { label.choice {
                        input type="checkbox" name="hold" value=(hold.hold_id) checked;
                        " " (hold.source_sheet.as_deref().unwrap_or_default()) " " (hold.source_cell.as_deref().unwrap_or("the whole sheet")) " " q { (short(&hold.raw_text)) }
                    } } }
                }
            }
            label { "Why" input name="why" autocomplete="off"; }
            label { "Your name" input name="by" autocomplete="name"; }
            button.primary { "Answer" }
            p.hint { "It is written to decisions.toml and read into the records when the answers are applied. Where: " (place(&first.source_file, first.source_sheet.as_deref(), first.source_cell.as_deref().unwrap_or("the whole sheet"))) }
        }
    }
}

/// What can be chosen, and room for another answer with the form that it must have.
fn answers(hold: &Hold) -> Markup {
    let question = Question::from_code(&hold.question);
    let offered = question.map(|question| offered(question, &hold.choices)).unwrap_or_default();
    let others: Vec<&str> =
        hold.choices.iter().filter(|choice| !offered.contains(choice)).map(String::as_str).collect();
    let codes: &[Quantity] = if question == Some(Question::Quantity) { Quantity::ALL } else { &[] };
    html! {
        @if !others.is_empty() { p.hint { "It could be: " (others.join(" · ")) } }
        @for answer in &offered { label.choice { input type="radio" name="choice" value=(answer); " " (answer) } }
        label { "or in your words" input name="answer" autocomplete="off" list=[(!codes.is_empty()).then_some("codes")]; }
        @if !codes.is_empty() { datalist #codes { @for code in codes { option value=(code.code()) {} } } }
        @if let Some(question) = question { p.hint { (decide::form(question)) } }
    }
}

/// Rulings that stand on the cells of a question.
pub(crate) fn standing<'d>(decisions: &'d [Decision], group: &Group) -> Vec<&'d Decision> {
    let is_on = |decision: &Decision, hold: &Hold| {
        decision.question.code() == hold.question
            && decision.concerns(&hold.source_file, hold.source_sheet.as_deref())
            && hold
                .source_cell
                .as_deref()
                .is_none_or(|cell| decision.cells.as_deref() == Some(cell) || decision.covers(cell))
    };
    decisions.iter().filter(|decision| group.holds.iter().any(|hold| is_on(decision, hold))).collect()
}

/// What tells one set of rulings from another, so that an answer is compared with what its author saw.
pub(crate) fn seen(standing: &[&Decision]) -> String {
    let text = serde_json::to_vec(standing).unwrap_or_default();
    blake3::hash(&text).to_hex().chars().take(16).collect()
}

pub(crate) async fn post(
    State(app): State<Shared>,
    headers: HeaderMap,
    Path(id): Path<String>,
    body: axum::body::Bytes,
) -> Response {
    let form = Params::read(&body);
    let (shared, hold_id) = (app.clone(), id.clone());
    match blocking(move || answer(&shared, &hold_id, &form)).await {
        Ok(_) => Redirect::to(&format!("/questions/{}", segment(&id))).into_response(),
        Err(trouble) => troubled(&app, Display::of(&headers), &trouble).await,
    }
}

/// Writes an answer down, unless another was given since the form was shown. Returns the number of rulings.
pub(crate) fn answer(app: &Shared, id: &str, form: &Params) -> Result<usize, Trouble> {
    let view = app.view()?;
    let group = view.question(id).ok_or_else(|| {
        Trouble::Meanwhile("The question is not open any more: it was answered and applied meanwhile, or its cell is read otherwise now. Nothing was written; see the answers given.".to_owned())
    })?;
    let told = form
        .get("answer")
        .or_else(|| form.get("choice"))
        .ok_or_else(|| Trouble::Wrong("Choose an answer, or write one.".to_owned()))?;
    let ticked: BTreeSet<&str> = form.all("hold").collect();
    let places: BTreeSet<(Option<&str>, Option<&str>)> = group
        .holds
        .iter()
        .filter(|hold| ticked.contains(hold.hold_id.as_str()))
        .map(|hold| (hold.source_sheet.as_deref(), hold.source_cell.as_deref()))
        .collect();
    let is_ticked = |ruling: &Decision| places.contains(&(ruling.sheet.as_deref(), ruling.cells.as_deref()));
    if group.holds.len() > 1 && places.is_empty() {
        return Err(Trouble::Wrong("Tick the cells that the answer is about.".to_owned()));
    }
    let meant = if group.holds.len() > 1 { Meant::Told(&is_ticked) } else { Meant::All };
    let answer = Answer { answer: told, by: form.get("by"), why: form.get("why") };
    let new = rulings(group, answer, meant).map_err(|error| Trouble::Wrong(format!("{error:#}")))?;
    let count = new.len();
    app.fleet.decide_after(|decisions| {
        let standing = standing(decisions, group);
        if seen(&standing) == form.raw("seen") { Ok(new) } else { Err(Trouble::Meanwhile(meanwhile(&standing))) }
    })?;
    Ok(count)
}

/// What was decided since the form was shown.
fn meanwhile(standing: &[&Decision]) -> String {
    let told: Vec<String> =
        standing.iter().map(|ruling| format!("{:?} ({})", ruling.answer, ruling.credit())).collect();
    match told.as_slice() {
        [] => "The answer that stood here was taken back meanwhile. Nothing was written; look at the question again."
            .to_owned(),
        _ => format!(
            "This question was answered meanwhile: {}. Your answer was not written. Look at the question again; there the answer can be taken back or given anew.",
            told.join("; ")
        ),
    }
}
