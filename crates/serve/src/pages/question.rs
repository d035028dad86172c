//! One question: the cells that it concerns among their neighbours, and the answer, for all of them or some.

use super::alike::{added, alike, ticks, with_alike};
use super::frame::{Section, frame};
use super::intake::{meaning, short};
use super::machine::cell_page;
use super::source::{LETTERS, letter};
use super::{Context, gone_to, page};
use crate::app::Shared;
use crate::params::{Params, segment};
use crate::routes::blocking;
use crate::trouble::Trouble;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::decision::within;
use windrow_model::place::{column_letters, read_a1};
use windrow_model::{CellRow, Decision, Hold, Quantity, Question};
use windrow_report::trail::place;
use windrow_tasks::decide::{self, Answer, Meant, WhichMachines, offered, rulings};
use windrow_tasks::questions::Group;

/// Rows above and below, and columns on each side, that are shown.
const REACH: (u32, u32) = (5, 5);
/// Most rows of a range that are shown.
const MOST_ROWS: u32 = 30;

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
            section { h2 { "The cells among their neighbours" } (neighbours(group, first, &cells)) }
            section.panel.pane { (form(group, &alike(&context.view, group, &decisions), &decisions)) }
        }
    };
    Ok(frame(context, "Question", Section::Intake, &body))
}

fn page_of(hold: &Hold) -> String {
    let cell = hold.source_cell.as_deref().unwrap_or_default();
    cell_page(&hold.source_file, hold.source_sheet.as_deref(), cell.split(':').next().unwrap_or_default())
}

/// The cells of the first place, with some around it; what is asked about stands out, here and wherever else it is in sight.
fn neighbours(group: &Group, hold: &Hold, cells: &[CellRow]) -> Markup {
    let whole = hold.source_cell.as_deref().unwrap_or_default();
    let (first, last) = whole.split_once(':').unwrap_or((whole, whole));
    let mine = || cells.iter().filter(|cell| cell.source_sheet == hold.source_sheet);
    let (Some((row, column)), Some(end)) = (read_a1(first), read_a1(last)) else {
        return in_order(first, &mine().collect::<Vec<_>>());
    };
    let placed: BTreeMap<(u32, u32), &CellRow> =
        mine().filter_map(|cell| Some((read_a1(&cell.source_cell)?, cell))).collect();
    let here: Vec<&str> = group
        .holds
        .iter()
        .filter(|other| other.source_file == hold.source_file && other.source_sheet == hold.source_sheet)
        .filter_map(|other| other.source_cell.as_deref())
        .collect();
    let is_asked = |cell: &str| here.iter().any(|cells| within(cells, cell));
    let rows = row.saturating_sub(REACH.0)..=end.0.clamp(row, row.saturating_add(MOST_ROWS)).saturating_add(REACH.0);
    let columns = column.saturating_sub(REACH.1)..=column.saturating_add(REACH.1);
    html! {
        div.wide.sheet tabindex="0" role="region" aria-label="Cells around the question" {
            table {
                thead { tr { td {} @for column in columns.clone() { th scope="col" { (column_letters(column)) } } } }
                tbody { @for r in rows { tr {
                    th scope="row" { (r + 1) }
                    @for c in columns.clone() {
                        @match placed.get(&(r, c)) {
                            Some(cell) => td class={ "cell d-" (cell.disposition) @if is_asked(&cell.source_cell) { " asked" } } { span.letter title=(cell.disposition) { (letter(&cell.disposition)) } (short(&cell.raw_text)) },
                            None => td class=[((r, c) == (row, column)).then_some("asked")] {},
                        }
                    }
                } } }
            }
        }
        p.hint { "Framed: what is asked about. Letters: " @for (index, (disposition, letter)) in LETTERS.iter().enumerate() { @if index > 0 { ", " } (letter) " " (disposition.code()) } "." }
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
pub(crate) fn form(group: &Group, alike: &[&Hold], decisions: &[Decision]) -> Markup {
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
            @if group.holds.len() == 1 { input type="hidden" name="hold" value=(first.hold_id); }
            @else {
                @let are_apart = group.is_about_several_machines();
                fieldset {
                    legend { "Its " (group.holds.len()) " cells" }
                    @if are_apart { p.hint { "Nothing says that these records are of one machine: tick those that the answer is about." } }
                    div.ticks { @for hold in &group.holds { label.choice {
                        input type="checkbox" name="hold" value=(hold.hold_id) checked[!are_apart];
                        " " (hold.source_sheet.as_deref().unwrap_or_default()) " " (hold.source_cell.as_deref().unwrap_or("the whole sheet")) " " q { (short(&hold.raw_text)) }
                    } } }
                }
            }
            (ticks(alike))
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
            && decision.fits(&hold.raw_text)
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
    let answered = blocking(move || answer(&shared, &hold_id, &Given::of(&form)?)).await;
    gone_to(&app, &headers, answered.map(|_| format!("/questions/{}", segment(&id)))).await
}

/// An answer as it was sent.
pub(crate) struct Given<'a> {
    pub(crate) answer: &'a str,
    /// What its author saw standing, as [`seen`] tells it.
    pub(crate) seen: &'a str,
    pub(crate) by: Option<&'a str>,
    pub(crate) why: Option<&'a str>,
    /// hold_ids of the cells that are meant; `None` where none was told.
    pub(crate) holds: Option<Vec<&'a str>>,
}

impl<'a> Given<'a> {
    /// As the form sends it, which always names the cells.
    fn of(form: &'a Params) -> Result<Self, Trouble> {
        let answer = form.get("answer").or_else(|| form.get("choice"));
        Ok(Self {
            answer: answer.ok_or_else(|| Trouble::Wrong("Choose an answer, or write one.".to_owned()))?,
            seen: form.raw("seen"),
            by: form.get("by"),
            why: form.get("why"),
            holds: Some(form.all("hold").collect()),
        })
    }
}

/// Writes an answer down, unless another was given since the question was seen. Returns the number of rulings.
pub(crate) fn answer(app: &Shared, id: &str, given: &Given<'_>) -> Result<usize, Trouble> {
    let view = app.view()?;
    let group = view.question(id).ok_or_else(|| {
        Trouble::Meanwhile("The question is not open any more: it was answered and applied meanwhile, or its cell is read otherwise now. Nothing was written; see the answers given.".to_owned())
    })?;
    let answer = Answer { answer: given.answer, by: given.by, why: given.why };
    let others = alike(&view, group, &app.fleet.settings()?.decisions);
    let meant = with_alike(group, &others, given.holds.as_deref().unwrap_or_default());
    let new = match &given.holds {
        Some(ids) => {
            let places = places(&meant, ids)?;
            let is_meant = |ruling: &Decision| places.contains(&(ruling.sheet.as_deref(), ruling.cells.as_deref()));
            rulings(&meant, answer, Meant::Told(&is_meant))
        }
        None => rulings(group, answer, Meant::All),
    };
    let new = new.map_err(|error| match error.downcast_ref::<WhichMachines>() {
        Some(open) => Trouble::Wrong(format!(
            "{}: tell which of them are {:?} (in `holds`, their hold_ids). Nothing was written.",
            open.told, given.answer
        )),
        None => Trouble::Wrong(format!("{error:#}")),
    })?;
    let count = new.len();
    app.fleet.decide_after(|decisions| {
        let standing = standing(decisions, group);
        if seen(&standing) != given.seen {
            return Err(Trouble::Meanwhile(meanwhile(&standing)));
        }
        // Questions like it were offered because nobody had answered them.
        let elsewhere = self::standing(decisions, &added(&meant, group));
        if elsewhere.is_empty() { Ok(new) } else { Err(Trouble::Meanwhile(meanwhile(&elsewhere))) }
    })?;
    Ok(count)
}

/// Sheet and cells of a hold, as its ruling names them.
type Place<'a> = (Option<&'a str>, Option<&'a str>);

/// Where the cells of these hold_ids stand.
fn places<'g>(group: &'g Group, ids: &[&str]) -> Result<BTreeSet<Place<'g>>, Trouble> {
    if ids.is_empty() {
        return Err(Trouble::Wrong("Tick the cells that the answer is about. Nothing was written.".to_owned()));
    }
    let place = |id: &&str| {
        let hold = group.holds.iter().find(|hold| hold.hold_id == *id);
        let hold = hold.ok_or_else(|| {
            let id: String = id.chars().take(80).collect();
            Trouble::Wrong(format!(
                "The question is not about {id:?}: none of its {} cells has this hold_id. Nothing was written; look at the question again.",
                group.holds.len()
            ))
        })?;
        Ok((hold.source_sheet.as_deref(), hold.source_cell.as_deref()))
    };
    ids.iter().map(place).collect()
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
