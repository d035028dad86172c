//! One source as the grid that was read: each cell coloured and lettered by what became of it, and one cell looked at closely.

use super::alike::alike;
use super::frame::{Section, frame};
use super::question::form;
use super::{Context, page};
use crate::app::Shared;
use crate::params::{Params, link, segment};
use crate::trouble::Trouble;
use axum::extract::{RawQuery, State};
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::decision::within;
use windrow_model::place::{column_letters, read_a1};
use windrow_model::{CellRow, Disposition, Reading};
use windrow_report::format;

/// Rows and columns of the grid that are shown at one time.
const ROWS: u32 = 60;
const COLUMNS: u32 = 26;
/// Cells shown at one time where they have no rows and columns.
const LISTED: usize = 200;

/// Letters of the dispositions.
pub(crate) const LETTERS: [(Disposition, &str); 7] = [
    (Disposition::Value, "V"),
    (Disposition::Label, "L"),
    (Disposition::Derived, "D"),
    (Disposition::Repeat, "R"),
    (Disposition::Decor, "T"),
    (Disposition::Held, "H"),
    (Disposition::Unread, "U"),
];

/// Address of a source's page, at a sheet.
pub(crate) fn source_page(file: &str, sheet: Option<&str>) -> String {
    link("/intake/source", &[("file", file), ("sheet", sheet.unwrap_or_default())])
}

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, RawQuery(query): RawQuery) -> Response {
    let params = Params::read(query.unwrap_or_default().as_bytes());
    page(app, &headers, move |context| render(context, &params)).await
}

fn render(context: &Context, params: &Params) -> Result<Markup, Trouble> {
    let file = params.raw("file");
    let source = context.view.source(file).ok_or_else(|| Trouble::no("source", file))?;
    let cells: Vec<CellRow> = context.view.snapshot.rows_where("source_file", &[file])?;
    let sheets: BTreeSet<Option<&str>> = cells.iter().map(|cell| cell.source_sheet.as_deref()).collect();
    let wanted = params.exact("sheet").or_else(|| sheets.iter().next().copied().flatten());
    let mine: Vec<&CellRow> = cells.iter().filter(|cell| cell.source_sheet.as_deref() == wanted).collect();
    let at = params.exact("at");
    let chosen = at.and_then(|at| mine.iter().find(|cell| cell.source_cell == at).copied());
    let body = html! {
        p.path { a href="/intake" { "Intake" } " › " (source.status) }
        h1 { (source.source_file) }
        @if let Some(reason) = &source.reason { p.message { (reason) } }
        @if sheets.len() > 1 {
            nav.within aria-label="Sheets" { @for sheet in sheets.iter().flatten() { a href=(source_page(file, Some(sheet))) aria-current=[(Some(*sheet) == wanted).then_some("page")] { (sheet) } } }
        }
        (legend(&mine))
        div.beside {
            div { @if mine.is_empty() { p { "No cell of it was read." } } @else { (grid(params, &mine, at)) } }
            section.panel.pane #cell aria-label="The cell looked at" aria-live="polite" { (pane(context, params, chosen)?) }
        }
    };
    Ok(frame(context, file, Section::Intake, &body))
}

/// The letter of a disposition.
pub(crate) fn letter(disposition: &str) -> &'static str {
    LETTERS.iter().find(|(known, _)| known.code() == disposition).map_or("?", |(_, letter)| letter)
}

fn legend(cells: &[&CellRow]) -> Markup {
    let count = |code: &str| cells.iter().filter(|cell| cell.disposition == code).count();
    html! {
        ul.dispositions aria-label="What became of the cells" {
            @for (disposition, letter) in LETTERS {
                li title=(disposition.doc().trim()) { span class={ "letter d-" (disposition.code()) } { (letter) } " " (disposition.code()) " " b { (count(disposition.code())) } }
            }
        }
    }
}

fn grid(params: &Params, cells: &[&CellRow], at: Option<&str>) -> Markup {
    let placed: BTreeMap<(u32, u32), &CellRow> =
        cells.iter().filter_map(|cell| Some((read_a1(&cell.source_cell)?, *cell))).collect();
    if placed.len() < cells.len() {
        return list(params, cells, at);
    }
    let last_row = placed.keys().map(|(row, _)| *row).max().unwrap_or(0);
    let last_column = placed.keys().map(|(_, column)| *column).max().unwrap_or(0);
    // A cell that is asked for is shown.
    let asked = at.and_then(read_a1);
    let from = |name: &str, step: u32, asked: Option<u32>, last: u32| {
        let told = params.number(name).and_then(|told| u32::try_from(told).ok());
        told.unwrap_or_else(|| asked.map_or(0, |asked| asked / step * step)).min(last)
    };
    let first_row = from("row", ROWS, asked.map(|(row, _)| row), last_row);
    let first_column = from("column", COLUMNS, asked.map(|(_, column)| column), last_column);
    let rows = first_row..=last_row.min(first_row + ROWS - 1);
    let columns = first_column..=last_column.min(first_column + COLUMNS - 1);
    html! {
        (moves(params, (first_row, last_row), (first_column, last_column)))
        div.wide.sheet tabindex="0" role="region" aria-label="Cells" {
            table {
                thead { tr { td {} @for column in columns.clone() { th scope="col" { (column_letters(column)) } } } }
                tbody { @for row in rows { tr {
                    th scope="row" { (row + 1) }
                    @for column in columns.clone() {
                        @match placed.get(&(row, column)) { Some(cell) => (shown(params, cell, at)), None => td {} }
                    }
                } } }
            }
        }
    }
}

/// The way to rows and columns that are not shown.
fn moves(params: &Params, (row, last_row): (u32, u32), (column, last_column): (u32, u32)) -> Markup {
    let to =
        |row: u32, column: u32| params.with(&[("row", &row.to_string()), ("column", &column.to_string()), ("at", "")]);
    html! {
        @if last_row >= ROWS || last_column >= COLUMNS {
            nav.turn aria-label="Parts of the sheet" {
                @if row > 0 { a href=(to(row.saturating_sub(ROWS), column)) { "rows above" } }
                @if row + ROWS <= last_row { a href=(to(row + ROWS, column)) { "rows below" } }
                @if column > 0 { a href=(to(row, column.saturating_sub(COLUMNS))) { "columns before" } }
                @if column + COLUMNS <= last_column { a href=(to(row, column + COLUMNS)) { "columns after" } }
                span { "rows " (row + 1) " to " (last_row.min(row + ROWS - 1) + 1) " of " (last_row + 1) }
            }
        }
    }
}

fn shown(params: &Params, cell: &CellRow, at: Option<&str>) -> Markup {
    let is_chosen = at == Some(cell.source_cell.as_str());
    let text: String = cell.raw_text.chars().take(32).collect();
    html! {
        td class={ "cell d-" (cell.disposition) } {
            a href={ (params.with(&[("at", &cell.source_cell)])) "#cell" } data-pane aria-current=[is_chosen.then_some("true")] {
                span.letter aria-hidden="true" { (letter(&cell.disposition)) } span.quiet { (cell.source_cell) ": " } (text) span.quiet { ", " (cell.disposition) }
            }
        }
    }
}

/// Cells in the order of the file, where they have no rows and columns.
fn list(params: &Params, cells: &[&CellRow], at: Option<&str>) -> Markup {
    let place = at.and_then(|at| cells.iter().position(|cell| cell.source_cell == at)).unwrap_or(0);
    let first = params.number("row").unwrap_or(place / LISTED * LISTED).min(cells.len().saturating_sub(1));
    let to = |row: usize| params.with(&[("row", &row.to_string()), ("at", "")]);
    html! {
        @if cells.len() > LISTED { nav.turn aria-label="Parts of the file" {
            @if first > 0 { a href=(to(first.saturating_sub(LISTED))) { "Before" } }
            span { "cells " (first + 1) " to " (cells.len().min(first + LISTED)) " of " (cells.len()) }
            @if first + LISTED < cells.len() { a href=(to(first + LISTED)) { "After" } }
        } }
        div.wide.sheet tabindex="0" role="region" aria-label="Cells" {
            table {
                thead { tr { th scope="col" { "Place" } th scope="col" { "Text" } } }
                tbody { @for cell in cells.iter().skip(first).take(LISTED) { tr { th scope="row" { (cell.source_cell) } (shown(params, cell, at)) } } }
            }
        }
    }
}

/// One cell: what it says, what became of it and why, the way to its reading, and the question about it.
fn pane(context: &Context, params: &Params, cell: Option<&CellRow>) -> Result<Markup, Trouble> {
    let Some(cell) = cell else {
        let text = if params.exact("at").is_some() {
            "There is no such cell here that is not empty."
        } else {
            "Choose a cell to see what became of it."
        };
        return Ok(html! { h2 { "Cell" } p { (text) } });
    };
    let group = context.view.questions.iter().find(|group| {
        group.holds.iter().any(|hold| {
            hold.source_file == cell.source_file
                && hold.source_sheet == cell.source_sheet
                && hold.source_cell.as_deref().is_some_and(|cells| within(cells, &cell.source_cell))
        })
    });
    let decisions = context.app.fleet.settings()?.decisions;
    Ok(html! {
        h2 { "Cell " (cell.source_cell) }
        p.written { q { (cell.raw_text) } }
        p { span class={ "letter d-" (cell.disposition) } aria-hidden="true" { (letter(&cell.disposition)) } " " b { (cell.disposition) } @if let Some(reason) = &cell.reason { ": " (reason) } }
        (became(context, cell)?)
        @if let Some(group) = group { (form(group, &alike(&context.view, group, &decisions), &decisions)) }
    })
}

/// The row that a cell became a part of.
fn became(context: &Context, cell: &CellRow) -> Result<Markup, Trouble> {
    let Some(target) = cell.target.as_deref() else {
        // A name, a date or a unit that many readings take from here.
        let is_shared = cell.disposition == Disposition::Value.code() && cell.reason.is_none();
        return Ok(
            html! { @if is_shared { p.hint { "Readings of this sheet take something from it: choose one of them to see the whole way from the cells to the value." } } },
        );
    };
    let mut parts = target.split('/');
    let (table, id, column) = (parts.next(), parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
    Ok(match table {
        Some("readings") => {
            let readings: Vec<Reading> =
                context.view.snapshot.rows_where_in("reading_id", &[id], &[cell.source_file.as_str()])?;
            html! { @for reading in &readings { (derived(reading)) } }
        }
        Some("tests") if column == "asset_id" => {
            html! { p { "It tells of which machine a " a href={ "/tests/" (segment(id)) } { "test" } " is." } }
        }
        Some("tests") => {
            html! { p { "It became the " (format::words(column)) " of a " a href={ "/tests/" (segment(id)) } { "test" } "." } }
        }
        Some("assets") => {
            html! { p { "It became the " (format::words(column)) " of " a href={ "/machines/" (segment(id)) } { (context.view.tag(id)) } "." } }
        }
        _ => html! { p { "It became " code { (target) } "." } },
    })
}

fn derived(reading: &Reading) -> Markup {
    html! {
        h3 { "The reading" }
        p { a href={ "/readings/" (segment(&reading.reading_id)) } { (format::words(&reading.quantity)) " " (reading.circuit.as_deref().unwrap_or_default()) ": " (format::reading(reading)) } }
        h3 { "From the cell to the value" }
        ol { @for step in &reading.derivation { li { b { (step.step) } " " (step.detail) } } }
        @if !reading.flags.is_empty() { p.hint { "To know: " (reading.flags.iter().map(|flag| format::words(flag)).collect::<Vec<_>>().join(", ")) } }
    }
}
