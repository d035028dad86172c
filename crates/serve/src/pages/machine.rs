//! One machine: nameplate, findings, histories, curves, coverage, next tests, and every test with the way to its cells.

use super::frame::{Section, cautions, frame};
use super::next_tests::next_tests;
use super::{Context, gone_to, page};
use crate::app::Shared;
use crate::params::{link, segment};
use crate::routes::blocking;
use crate::trouble::Trouble;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use std::collections::BTreeMap;
use windrow_model::{Asset, CellRow, Finding, Reading, Test};
use windrow_report::findings::badge;
use windrow_report::{Fleet, Machine, coverage, format, machine, plot, trail};
use windrow_store::Snapshot;
use windrow_tasks::report::of_machine;

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, Path(id): Path<String>) -> Response {
    page(app, &headers, move |context| render(context, &id)).await
}

fn render(context: &Context, id: &str) -> Result<Markup, Trouble> {
    let asset = context.view.asset(id).ok_or_else(|| Trouble::no("machine", id))?;
    let data = of_machine(&context.app.fleet, &context.view.snapshot, asset)?;
    let mut fleet = Fleet::new(&data);
    fleet.units = context.display.units;
    fleet.cell_page = Some(cell_page);
    let Some(machine) = fleet.machines.first() else { return Err(Trouble::no("machine", id)) };
    let names = names(&context.view.snapshot, asset, &data.tests)?;
    let next = next_tests(context, asset, &data.summaries)?;
    let body = body(machine, &fleet, &names, &next);
    Ok(frame(context, &asset.tag, Section::Fleet, &body))
}

fn body(machine: &Machine<'_>, fleet: &Fleet<'_>, names: &[Name], next: &Markup) -> Markup {
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
        section.panel aria-label="Nameplate" { (machine::plate(asset, fleet.units)) (called(names)) }
        section #findings { h2 { "Findings" } (findings(&machine.findings)) }
        section #histories {
            h2 { "Histories" }
            (plot::histories(machine, fleet))
            div.plots { (plot::absorption(machine, fleet)) (plot::steps(machine, fleet)) }
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

/// Address of a cell's page.
pub(crate) fn cell_page(file: &str, sheet: Option<&str>, cell: &str) -> String {
    link("/intake/source", &[("file", file), ("sheet", sheet.unwrap_or_default()), ("at", cell)]) + "#cell"
}

fn findings(findings: &[&Finding]) -> Markup {
    html! {
        @if findings.is_empty() { p { "None. That says what the records show, not that the winding is good." } }
        ul.findings {
            @for finding in findings {
                li {
                    (badge(&finding.level)) @if finding.state != "open" { " " small { (finding.state) } } " "
                    a href={ "/findings/" (segment(&finding.finding_id)) } { (finding.statement) }
                    @if let Some(next) = &finding.next_test { p.hint { "Would settle it: " (next) } }
                    p.hint { "Basis: " (finding.basis) "." }
                    @if !finding.cautions.is_empty() { p.hint { "Cautions: " (finding.cautions) } }
                }
            }
        }
    }
}

/// A name of the machine as records write it, with the days of the tests that its cells lead to.
struct Name {
    text: String,
    first: Option<jiff::civil::Date>,
    last: Option<jiff::civil::Date>,
    cells: usize,
}

/// Names of the machine in the cells that name it: its history of positions, as far as records tell it. A cell that tells more than a
/// name, such as a caption with the site, is none.
fn names(snapshot: &Snapshot, asset: &Asset, tests: &[Test]) -> Result<Vec<Name>, Trouble> {
    let of_target: BTreeMap<String, &Test> =
        tests.iter().map(|test| (format!("tests/{}/asset_id", test.test_id), test)).collect();
    let targets: Vec<&str> = of_target.keys().map(String::as_str).collect();
    let mut cells: Vec<CellRow> = snapshot.rows_where("target", &targets)?;
    let is_name = |text: &str| text == asset.tag || asset.aliases.iter().any(|alias| alias == text);
    cells.retain(|cell| is_name(cell.raw_text.trim()));
    let mut names: BTreeMap<String, Name> = BTreeMap::new();
    for cell in &cells {
        let test = cell.target.as_ref().and_then(|target| of_target.get(target.as_str()));
        let day = test.and_then(|test| test.performed_on);
        let text = cell.raw_text.trim().to_owned();
        let name = names.entry(text.clone()).or_insert(Name { text, first: day, last: day, cells: 0 });
        name.cells += 1;
        name.first = [name.first, day].into_iter().flatten().min();
        name.last = name.last.max(day);
    }
    let mut names: Vec<Name> = names.into_values().collect();
    names.sort_by(|a, b| (a.first, &a.text).cmp(&(b.first, &b.text)));
    Ok(names)
}

fn called(names: &[Name]) -> Markup {
    html! {
        @if names.len() > 1 {
            details {
                summary { "Names in the records over the years: " (names.len()) }
                table { thead { tr { th scope="col" { "As written" } th scope="col" { "From" } th scope="col" { "To" } th scope="col" { "Cells" } } }
                    tbody { @for name in names { tr {
                        th scope="row" { (name.text) }
                        td { (name.first.map(|day| day.to_string()).unwrap_or_default()) }
                        td { (name.last.map(|day| day.to_string()).unwrap_or_default()) }
                        td.n { (name.cells) }
                    } } } }
                p.hint { "A cell that names the machine of several tests counts once, with the day of the first of them." }
            }
        }
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
