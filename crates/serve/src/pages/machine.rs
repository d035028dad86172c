//! One machine: nameplate, findings, histories, curves, coverage, next tests, and every test with the way to its cells.

use super::fleet::in_cohort;
use super::frame::{Section, cautions, frame};
use super::{Context, gone_to, page};
use crate::app::Shared;
use crate::params::{link, segment};
use crate::routes::blocking;
use crate::trouble::Trouble;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use windrow_model::{Asset, Finding, Reading, Test};
use windrow_report::distributions::{self, Beside};
use windrow_report::findings::{badge, beside_its_machine};
use windrow_report::{Fleet, Machine, coverage, format, machine, next_tests, plot, positions, trail};
use windrow_store::Snapshot;
use windrow_tasks::clock;
use windrow_tasks::next_tests::plan;
use windrow_tasks::report::of_machine;

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, Path(id): Path<String>) -> Response {
    page(app, &headers, move |context| render(context, &id)).await
}

fn render(context: &Context, id: &str) -> Result<Markup, Trouble> {
    let asset = context.view.asset(id).ok_or_else(|| Trouble::no("machine", id))?;
    let beside = context.view.names.beside(asset, &context.view.assets);
    let own = context.view.own(asset, &beside)?;
    let data = of_machine(&context.app.fleet, &context.view.snapshot, (asset, own), &beside)?;
    let mut fleet = Fleet::new(&data);
    fleet.units = context.display.units;
    fleet.cell_page = Some(cell_page);
    fleet.machine_page = Some(machine_page);
    let Some(machine) = fleet.machines.first() else { return Err(Trouble::no("machine", id)) };
    let (settings, today) = (context.app.fleet.settings()?, clock::today());
    let plan = plan(std::slice::from_ref(asset), &data.summaries, &settings, today)
        .map_err(|error| Trouble::Wrong(format!("{error:#}")))?;
    let next = next_tests::block(&plan.tests, today, asset.in_service);
    let body = body(machine, &fleet, (&kin(context, asset), &next));
    Ok(frame(context, &asset.tag, Section::Fleet, &body))
}

fn body(machine: &Machine<'_>, fleet: &Fleet<'_>, (kin, next): (&Markup, &Markup)) -> Markup {
    let asset = machine.asset;
    html! {
        p.path { a href="/" { "Fleet" } " › " (asset.site.as_deref().unwrap_or("no site told")) }
        h1 { (asset.tag) @if let Some(text) = &asset.description { " " small { (text) } } }
        nav.within aria-label="On this page" {
            a href="#findings" { "Findings" } a href="#histories" { "Histories" } a href="#coverage" { "Voltage tests" }
            a href="#next" { "Next tests" } a href="#tests" { "Tests" }
            a href={ "/machines/" (segment(&asset.asset_id)) "/report" } { "As a page to keep or print" }
        }
        (cautions())
        section.panel aria-label="Nameplate" { (machine::plate(asset, fleet.units)) (positions::block(&asset.asset_id, fleet)) }
        section #findings { h2 { "Findings" } (findings(&machine.findings, &asset.tag)) }
        section #histories {
            h2 { "Histories" }
            (plot::histories(machine, fleet))
            (kin)
        }
        section #coverage {
            h2 { "Voltage tests" }
            @if fleet.coverage_of(&asset.asset_id).is_empty() { p { "Nothing is told of voltage tests of this machine." } }
            (coverage::block(machine, fleet))
        }
        section #next { h2 { "Next tests" } (next) }
        section #tests { h2 { "Tests" } (trail::tests(&machine.tests, fleet)) }
    }
}

/// Where the newest figures of the machine lie among those of its cohort.
fn kin(context: &Context, asset: &Asset) -> Markup {
    let index = context.view.assets.iter().position(|other| other.asset_id == asset.asset_id);
    let Some(line) = index.and_then(|index| context.view.lines.get(index)) else { return html! {} };
    let Some(kin) = context.view.cohorts.get(line.cohort).filter(|kin| kin.figures.machines > 1) else {
        return html! {};
    };
    let beside =
        |told: &Option<(f64, String)>| Beside { list: Some(in_cohort), here: told.as_ref().map(|(value, _)| *value) };
    html! {
        h3 { "Beside machines of its kind" }
        div.plots {
            (distributions::resistance([&kin.kind], context.display.units, beside(&line.resistance)))
            (distributions::index([&kin.kind], beside(&line.index)))
        }
    }
}

/// Address of a machine's page.
pub(crate) fn machine_page(id: &str) -> String {
    format!("/machines/{}", segment(id))
}

/// Address of a cell's page.
pub(crate) fn cell_page(file: &str, sheet: Option<&str>, cell: &str) -> String {
    link("/intake/source", &[("file", file), ("sheet", sheet.unwrap_or_default()), ("at", cell)]) + "#cell"
}

fn findings(findings: &[&Finding], tag: &str) -> Markup {
    html! {
        @if findings.is_empty() { p { "None. That says what the records show, not that the winding is good." } }
        @else { ul.findings {
            @for finding in findings {
                li {
                    (badge(&finding.level)) @if finding.state != "open" { " " small { (finding.state) } } " "
                    a href={ "/findings/" (segment(&finding.finding_id)) } { (beside_its_machine(finding, tag)) }
                    @if let Some(next) = &finding.next_test { p.hint { "Would settle it: " (next) } }
                    p.hint { "Basis: " (finding.basis) "." }
                    @if !finding.cautions.is_empty() { p.hint { "Cautions: " (finding.cautions) } }
                }
            }
        } }
    }
}

/// From a reading to the page of its machine.
pub(crate) async fn of_reading(State(app): State<Shared>, headers: HeaderMap, Path(id): Path<String>) -> Response {
    let shared = app.clone();
    let found = blocking(move || {
        let view = shared.view()?;
        let readings: Vec<Reading> = view.snapshot.rows_where("reading_id", &[&id])?;
        let reading = readings.first().ok_or_else(|| Trouble::no("reading", &id))?;
        place_of_test(&view.snapshot, &reading.test_id, &format!("r-{}", reading.reading_id))
    });
    gone_to(&app, &headers, found.await).await
}

/// From a test to the page of its machine.
pub(crate) async fn of_test(State(app): State<Shared>, headers: HeaderMap, Path(id): Path<String>) -> Response {
    let shared = app.clone();
    let found = blocking(move || place_of_test(&shared.view()?.snapshot, &id, &format!("t-{id}")));
    gone_to(&app, &headers, found.await).await
}

fn place_of_test(snapshot: &Snapshot, test_id: &str, anchor: &str) -> Result<String, Trouble> {
    let tests: Vec<Test> = snapshot.rows_where("test_id", &[test_id])?;
    let test = tests.first().ok_or_else(|| Trouble::no("test", test_id))?;
    Ok(match &test.asset_id {
        Some(asset) => format!("/machines/{}#{anchor}", segment(asset)),
        // A test that names no machine is seen where it is written.
        None => cell_page(&test.source_file, test.source_sheet.as_deref(), &test.source_cell),
    })
}

/// A date with the precision that the record tells, for lists.
pub(crate) fn day(test: &Test) -> String {
    format::date(test)
}
