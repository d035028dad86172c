//! What was taken in: sources with what was read, held and unread, and the questions that wait.

use super::frame::{Section, frame, wide};
use super::paging::paged;
use super::source::source_page;
use super::{Context, page};
use crate::app::Shared;
use crate::params::{Params, segment};
use crate::trouble::Trouble;
use crate::view::View;
use crate::work;
use axum::extract::{RawQuery, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Decision, Question, SourceRow};
use windrow_report::trail::place;
use windrow_tasks::questions::Group;

/// Sources and questions on a page.
const AT_ONCE: usize = 100;

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, RawQuery(query): RawQuery) -> Response {
    let params = Params::read(query.unwrap_or_default().as_bytes());
    page(app, &headers, move |context| render(context, &params)).await
}

fn render(context: &Context, params: &Params) -> Result<Markup, Trouble> {
    let view = &*context.view;
    let decisions = context.app.fleet.settings()?.decisions;
    let body = html! {
        h1 { "Intake" }
        (totals(view))
        nav.within aria-label="On this page" { a href="#questions" { "Questions" } a href="#sources" { "Sources" } a href="/decisions" { "Answers given (" (decisions.len()) ")" } }
        section #questions { h2 { "Questions that wait for a person" } (questions(view, params, &decisions)) }
        section #sources { h2 { "Sources" } (sources(view, params)) }
        form method="post" action="/apply" { button { "Read the records again" } span.hint { " Looks at every file of the folders that were imported, applies the answers, and judges what was read." } }
    };
    Ok(frame(context, "Intake", Section::Intake, &body))
}

/// What became of all cells.
fn totals(view: &View) -> Markup {
    let sum = |count: fn(&SourceRow) -> i64| view.sources.iter().map(count).sum::<i64>();
    let counts = [
        ("value", sum(|source| source.cells_value)),
        ("label", sum(|source| source.cells_label)),
        ("derived", sum(|source| source.cells_derived)),
        ("repeat", sum(|source| source.cells_repeat)),
        ("decor", sum(|source| source.cells_decor)),
        ("held", sum(|source| source.cells_held)),
        ("unread", sum(|source| source.cells_unread)),
    ];
    html! {
        p { (view.sources.len()) " sources, " (sum(|source| source.cells_total)) " cells that are not empty: "
            @for (index, (name, count)) in counts.iter().enumerate() { @if index > 0 { " + " } b { (count) } " " (name) } "."
        }
    }
}

fn questions(view: &View, params: &Params, decisions: &[Decision]) -> Markup {
    let kinds: BTreeMap<&str, usize> = view.questions.iter().fold(BTreeMap::new(), |mut kinds, group| {
        *kinds.entry(kind(group)).or_default() += 1;
        kinds
    });
    let files: BTreeSet<&str> =
        view.questions.iter().filter_map(|group| Some(group.holds.first()?.source_file.as_str())).collect();
    let (asked, file) = (params.get("question"), params.exact("file"));
    let answers = |group: &&Group| {
        asked.is_none_or(|asked| kind(group) == asked)
            && file.is_none_or(|file| group.holds.first().is_some_and(|hold| hold.source_file == file))
    };
    let found: Vec<&Group> = view.questions.iter().filter(answers).collect();
    html! {
        @if view.questions.is_empty() { p { "None. What the records leave open would wait here instead of being guessed." } }
        @else {
            form.filter action="/intake" {
                label { "Question" select name="question" { option value="" { "any" } @for (code, count) in &kinds { option value=(code) selected[asked == Some(*code)] { (code.replace('_', " ")) " (" (count) ")" } } } }
                label { "Source" select name="file" { option value="" { "any" } @for name in files { option value=(name) selected[file == Some(name)] { (name) } } } }
                button { "Find" }
                span.found role="status" { (found.len()) " of " (view.questions.len()) " questions" }
            }
            (wide("Table of questions", &table(&found, decisions)))
            @if found.len() > AT_ONCE { p.hint { "The first " (AT_ONCE) ", those that concern most cells. Filter to see others." } }
        }
    }
}

fn table(groups: &[&Group], decisions: &[Decision]) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "Question" } th scope="col" { "Cells" } th scope="col" { "Where" } th scope="col" { "As written" } th scope="col" { "Could be" } } }
            tbody { @for group in groups.iter().take(AT_ONCE) { (row(group, decisions)) } }
        }
    }
}

fn row(group: &Group, decisions: &[Decision]) -> Markup {
    let Some(first) = group.holds.first() else { return html! {} };
    let standing = super::question::standing(decisions, group);
    html! {
        tr {
            th scope="row" {
                a href={ "/questions/" (segment(&first.hold_id)) } { (meaning(group)) }
                @if let Some(ruling) = standing.last() { p.hint { "answered: " b { (ruling.answer) } "; waits to be applied" } }
            }
            td.n { (group.cells()) }
            td.where { (place(&first.source_file, first.source_sheet.as_deref(), first.source_cell.as_deref().unwrap_or("the whole sheet"))) @if group.holds.len() > 1 { " and " (group.holds.len() - 1) " more" } }
            td { @if !first.raw_text.is_empty() { q { (short(&first.raw_text)) } } }
            td.where { (first.choices.join(" · ")) }
        }
    }
}

/// Code of a group's question.
fn kind(group: &Group) -> &str {
    group.holds.first().map(|hold| hold.question.as_str()).unwrap_or_default()
}

/// The question in words.
pub(crate) fn meaning(group: &Group) -> String {
    Question::from_code(kind(group)).map_or_else(|| kind(group).to_owned(), |question| question.doc().trim().to_owned())
}

/// The beginning of a text.
pub(crate) fn short(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut short: String = text.chars().take(LONGEST).collect();
    if text.chars().count() > LONGEST {
        short.push('…');
    }
    short
}

/// Which sources to choose from, with their words.
const KINDS: [(&str, &str); 5] = [
    ("", "all"),
    ("held", "with held cells"),
    ("unread", "with unread cells"),
    ("refused", "not read"),
    ("read", "read"),
];

fn sources(view: &View, params: &Params) -> Markup {
    let words: Vec<String> = params.raw("source").split_whitespace().map(str::to_lowercase).collect();
    let kind = params.get("kind").unwrap_or_default();
    let answers = |source: &&SourceRow| {
        let name = source.source_file.to_lowercase();
        let is_of_kind = match kind {
            "held" => source.cells_held > 0,
            "unread" => source.cells_unread > 0,
            "" => true,
            status => source.status == status,
        };
        is_of_kind && words.iter().all(|word| name.contains(word.as_str()))
    };
    let mut found: Vec<&SourceRow> = view.sources.iter().filter(answers).collect();
    // What needs a look first.
    found.sort_by_key(|source| (source.status == "read", std::cmp::Reverse(source.cells_held + source.cells_unread)));
    let paged = paged(&found, params);
    html! {
        form.filter role="search" action="/intake#sources" {
            label { "Search" input type="search" name="source" value=(params.raw("source")) placeholder="words of the name"; }
            label { "Show" select name="kind" { @for (code, words) in KINDS { option value=(code) selected[kind == code] { (words) } } } }
            button { "Find" }
            span.found role="status" { (found.len()) " of " (view.sources.len()) " sources" }
        }
        @if view.sources.is_empty() { p { "None yet. Import records: " code { "windrow run PATH --fleet DIR" } "; this page follows." } }
        @else if found.is_empty() { p { "No source answers to that." } }
        @else { (wide("Table of sources", &table_of_sources(&paged.shown))) (paged.turn(params)) }
    }
}

fn table_of_sources(sources: &[&SourceRow]) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "Source" } th scope="col" { "Status" } th scope="col" { "Read by" } th scope="col" { "Cells" } th scope="col" { "Read" } th scope="col" { "Held" } th scope="col" { "Unread" } } }
            tbody { @for source in sources { tr {
                th.where scope="row" {
                    a href=(source_page(&source.source_file, None)) { (source.source_file) }
                    @if let Some(reason) = &source.reason { p.hint { (reason) } }
                }
                td { (source.status) }
                td { (source.importer.as_deref().or(source.reader.as_deref()).unwrap_or("nobody")) }
                td.n { (source.cells_total) }
                td.n { (source.cells_total - source.cells_held - source.cells_unread) }
                td.n { (source.cells_held) }
                td.n { (source.cells_unread) }
            } } }
        }
    }
}

/// Begins to apply the answers, and goes to where one can see it.
pub(crate) async fn apply(State(app): State<Shared>, headers: HeaderMap) -> Response {
    work::apply(&app);
    let from = crate::routes::came_from(&headers);
    // A question is gone once its answer is applied.
    Redirect::to(if from.starts_with("/questions/") { "/intake" } else { &from }).into_response()
}
