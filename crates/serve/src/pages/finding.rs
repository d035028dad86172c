//! One finding explained, down to its cells, and a person's word on it.

use super::frame::{Section, cautions, frame, wide};
use super::machine::{cell_page, day};
use super::{Context, gone_to, page};
use crate::app::Shared;
use crate::params::{Params, segment};
use crate::routes::blocking;
use crate::trouble::Trouble;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use std::sync::PoisonError;
use windrow_model::lookup::{self, Unfound};
use windrow_model::{Finding, Reading, Test, Word};
use windrow_report::findings::{badge, figure, rule};
use windrow_report::format::{self, Units};
use windrow_report::outlook;
use windrow_report::trail::place;
use windrow_tasks::acknowledge::{Said, acknowledge};
use windrow_tasks::evidence::{self, Evidence};
use windrow_tasks::findings::HEADINGS;

/// Most readings, and most tests, that are listed.
const MOST: usize = 60;

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, Path(id): Path<String>) -> Response {
    page(app, &headers, move |context| render(context, &id)).await
}

fn render(context: &Context, id: &str) -> Result<Markup, Trouble> {
    let finding = find(&context.view.findings, id)?;
    let evidence = evidence::of(&context.view.snapshot, finding)?;
    let tag = finding.asset_id.as_deref().map(|id| context.view.tag(id));
    let body = html! {
        p.path { a href="/findings" { "Findings" } @if let (Some(id), Some(tag)) = (&finding.asset_id, tag) { " › " a href={ "/machines/" (segment(id)) } { (tag) } } }
        h1 { (badge(&finding.level)) " " (finding.statement) }
        (cautions())
        div.columns {
            section.panel aria-label="Judgement" { (judged(finding)) }
            section.panel aria-label="Your word on it" { (word_form(finding)) (changes(finding)) }
        }
        section { h2 { "What it rests on" } (data(&evidence, context.display.units)) }
        section { h2 { "How it was found" } (working(finding)) }
        @if let Some(proposal) = &finding.proposal {
            section { h2 { "Could be decided" } p { "To be put into decisions.toml, after reading it:" } pre tabindex="0" { (proposal) } }
        }
    };
    Ok(frame(context, "Finding", Section::Findings, &body))
}

/// The finding whose id is, or begins with, `id`.
pub(crate) fn find<'f>(findings: &'f [Finding], id: &str) -> Result<&'f Finding, Trouble> {
    lookup::find(findings, id).map_err(|unfound| match unfound {
        Unfound::Several(..) => Trouble::Wrong(unfound.to_string()),
        _ => Trouble::no("finding", id),
    })
}

fn judged(finding: &Finding) -> Markup {
    html! {
        dl.plate.tall {
            div { dt { "state" } dd { (finding.state) } }
            div { dt { "rule" } dd { (rule(&finding.rule)) } }
            @if let Some(value) = finding.value { div { dt { "value" } dd { (figure(finding, value)) } } }
            @if let Some(limit) = finding.limit { div { dt { "limit" } dd { (figure(finding, limit)) } } }
            @if let Some(q) = finding.q_value { div { dt { "q" } dd { (format::number(q)) ": so large a share of findings like this one is expected to be false" } } }
            @if let Some(day) = finding.first_seen { div { dt { "first seen" } dd { (day) } } }
            @if let Some(day) = finding.last_seen { div { dt { "last seen" } dd { (day) } } }
            @if let Some(words) = outlook::words(finding) { div { dt { "forecast" } dd { (words) } } }
            div { dt { "basis" } dd { (finding.basis) } }
            @if let Some(next) = &finding.next_test { div { dt { "would settle it" } dd { (next) } } }
            @if !finding.cautions.is_empty() { div { dt { "cautions" } dd { (finding.cautions) } } }
        }
    }
}

/// The form for a word: closing an open finding, or opening an acknowledged one again.
fn word_form(finding: &Finding) -> Markup {
    let (word, heading, button) = match finding.state.as_str() {
        "acknowledged" => (Word::TakenBack, "Take the acknowledgement back", "Open it again"),
        "cleared" => return html! { p { "Newer data no longer shows it: it is cleared." } },
        _ => (Word::Acknowledged, "Acknowledge", "Acknowledge"),
    };
    html! {
        h2 { (heading) }
        @if word == Word::Acknowledged { p.hint { "It is closed at level " b { (finding.level) } "; at a graver level it is open again." } }
        form.stacked method="post" action={ "/findings/" (segment(&finding.finding_id)) "/word" } {
            input type="hidden" name="word" value=(word.code());
            input type="hidden" name="level" value=(finding.level);
            label { "Reason" textarea name="reason" rows="2" required {} }
            label { "Your name" input name="by" autocomplete="name"; }
            button.primary { (button) }
        }
    }
}

fn changes(finding: &Finding) -> Markup {
    html! { @if !finding.changes.is_empty() { h3 { "What became of it" } ul { @for change in &finding.changes { li { (change.step) ": " (change.detail) } } } } }
}

fn data(evidence: &Evidence, units: Units) -> Markup {
    // The newest weigh most.
    let older = evidence.readings.len().saturating_sub(MOST);
    let older_tests = evidence.tests.len().saturating_sub(MOST);
    html! {
        @if !evidence.readings.is_empty() { (wide("Readings that it rests on", &readings(evidence.readings.iter().skip(older), units))) }
        @if older > 0 { p.hint { "and " (older) " older readings" } }
        @if !evidence.tests.is_empty() { (wide("Tests that it rests on", &tests(evidence.tests.iter().skip(older_tests), units))) }
        @if older_tests > 0 { p.hint { "and " (older_tests) " older tests" } }
        @if let Some(gone) = evidence.gone_in_words() { p.hint { (gone) "." } }
        @else if evidence.readings.is_empty() && evidence.tests.is_empty() { p { "It names no readings; what went in is told below." } }
    }
}

fn readings<'e>(readings: impl Iterator<Item = &'e (Reading, Option<Test>)>, units: Units) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "Date" } th scope="col" { "Quantity" } th scope="col" { "Circuit" } th scope="col" { "Time" } th scope="col" { "Value" } th scope="col" { "At reference" } th scope="col" { "As written" } th scope="col" { "Where" } } }
            tbody { @for (reading, test) in readings { tr {
                td.day { (test.as_ref().map(day).unwrap_or_default()) }
                td { (format::words(&reading.quantity)) }
                td { (reading.circuit.as_deref().unwrap_or_default()) }
                td { (reading.elapsed_s.map(format::elapsed).unwrap_or_default()) }
                td.n { a href={ "/readings/" (segment(&reading.reading_id)) } { (format::reading(reading)) } }
                td.n { (format::reading_at_reference(reading, units).unwrap_or_default()) }
                td { q { (reading.raw_text) } }
                td.where { a href=(cell_page(&reading.source_file, reading.source_sheet.as_deref(), &reading.source_cell)) { (place(&reading.source_file, reading.source_sheet.as_deref(), &reading.source_cell)) } }
            } } }
        }
    }
}

fn tests<'e>(tests: impl Iterator<Item = &'e Test>, units: Units) -> Markup {
    let told = |celsius: Option<f64>| celsius.map(|celsius| format::temperature(celsius, units)).unwrap_or_default();
    html! {
        table {
            thead { tr { th scope="col" { "Date" } th scope="col" { "Test" } th scope="col" { "Winding" } th scope="col" { "Ambient" } th scope="col" { "Instrument" } th scope="col" { "Where" } } }
            tbody { @for test in tests { tr {
                td.day { a href={ "/tests/" (segment(&test.test_id)) } { (day(test)) } }
                td { (format::words(&test.kind)) }
                td.n { (told(test.winding_temperature_c)) }
                td.n { (told(test.ambient_temperature_c)) }
                td { (test.instrument.as_deref().unwrap_or_default()) }
                td.where { a href=(cell_page(&test.source_file, test.source_sheet.as_deref(), &test.source_cell)) { (place(&test.source_file, test.source_sheet.as_deref(), &test.source_cell)) } }
            } } }
        }
    }
}

fn working(finding: &Finding) -> Markup {
    let of = |name: &str| finding.working.iter().filter(move |step| step.step == name).collect::<Vec<_>>();
    let known: Vec<&str> = HEADINGS.iter().map(|(name, _)| *name).collect();
    let other: Vec<_> = finding.working.iter().filter(|step| !known.contains(&step.step.as_str())).collect();
    html! {
        @for (name, heading) in HEADINGS {
            @let steps = of(name);
            @if !steps.is_empty() { h3 { (heading) } ul { @for step in steps { li { (step.detail) } } } }
        }
        @if !other.is_empty() { h3 { "More of the working" } ul { @for step in other { li { (step.step) ": " (step.detail) } } } }
        @if finding.working.is_empty() { p { "The rule keeps no working beyond its basis." } }
    }
}

pub(crate) async fn post(
    State(app): State<Shared>,
    headers: HeaderMap,
    Path(id): Path<String>,
    body: axum::body::Bytes,
) -> Response {
    let form = Params::read(&body);
    let (shared, finding_id) = (app.clone(), id.clone());
    let said = blocking(move || say(&shared, &finding_id, &form)).await;
    gone_to(&app, &headers, said.map(|()| format!("/findings/{}", segment(&id)))).await
}

/// Writes a word down, unless another person was quicker.
pub(crate) fn say(app: &Shared, id: &str, form: &Params) -> Result<(), Trouble> {
    let _changing = app.changing.lock().unwrap_or_else(PoisonError::into_inner);
    let view = app.view()?;
    let finding = find(&view.findings, id)?;
    let word = Word::from_code(form.raw("word"))
        .ok_or_else(|| Trouble::Wrong("word is \"acknowledged\" or \"taken_back\"".to_owned()))?;
    let reason = form
        .get("reason")
        .ok_or_else(|| Trouble::Wrong("A reason is needed: it is what the next person reads.".to_owned()))?;
    let is_as_seen = match word {
        Word::Acknowledged => finding.is_open() && form.get("level").is_none_or(|level| level == finding.level),
        Word::TakenBack => finding.state == "acknowledged",
    };
    if !is_as_seen {
        let last = finding
            .changes
            .last()
            .map(|change| format!(" Last on {}: {}.", change.step, change.detail))
            .unwrap_or_default();
        return Err(Trouble::Meanwhile(format!(
            "The finding is {} at level {} now; nothing was written.{last}",
            finding.state, finding.level
        )));
    }
    Ok(acknowledge(&app.fleet, finding, &Said { word, reason, by: form.get("by") })?)
}
