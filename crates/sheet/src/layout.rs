//! Layout files: what a person tells of sheets that look alike, before the engine's own understanding and under the rulings on
//! single cells.
//!
//! A layout is used on sheets where all of its texts stand. It says where headings are (`shape`), what columns and fields hold
//! (`laid`), and what the headings mean: unit, circuit, time, voltage. All else stays with the engine: what a cell tells itself
//! comes first, and a heading that tells another unit beyond doubt is believed, and that is noted. What came from a layout is
//! told as such (`credit`).
//!
//! Three cases, each with a test. A log in a language that the vocabulary lacks (`Kone | Pvm | Lukema`): a table whose columns are
//! `tag`, `date` and `insulation_resistance` with `unit = "MOhm"`. A form whose values stand below its labels: fields with
//! `stands = "below"`. A log whose headings never tell the unit: `unit = "MOhm"` for the one column, and "2 GΩ" in a cell stays what it is.

mod credit;
mod draft;
mod laid;
mod meaning;
mod shape;

pub use credit::credit;
pub use draft::draft;
pub use laid::Laid;
pub use meaning::check;
pub(crate) use shape::shape;

use crate::view::View;
use std::collections::BTreeSet;
use windrow_model::layout::{Column, Layout, MISFIT};
use windrow_source::Grid;
use windrow_text::fold::fold;

/// A text as it is compared.
pub(crate) fn key(text: &str) -> String {
    fold(text.trim().trim_end_matches(':').trim())
}

/// Texts that must stand on a sheet for a layout to be used, folded, with their spelling.
fn anchors(layout: &Layout) -> Vec<(String, &str)> {
    let headings = layout.tables.iter().flat_map(|table| &table.columns).flat_map(|column: &Column| &column.under);
    let labels = layout.fields.iter().map(|field| &field.label);
    let mut anchors: Vec<(String, &str)> =
        layout.anchors.iter().chain(labels).chain(headings).map(|text| (key(text), text.as_str())).collect();
    anchors.sort();
    anchors.dedup_by(|a, b| a.0 == b.0);
    anchors
}

/// The layout that fits a sheet, and notes on those that almost do. Of several that fit, the one with most anchors is taken.
pub(crate) fn choose<'l>(grid: &Grid, layouts: &'l [Layout]) -> (Option<&'l Layout>, Vec<String>) {
    if layouts.is_empty() {
        return (None, Vec::new());
    }
    let texts: BTreeSet<String> = grid.cells.iter().map(|cell| key(&cell.text)).collect();
    // A label may share its cell with its value: "Date: 14.3.87".
    let begins = |anchor: &str| texts.range(anchor.to_owned()..).next().is_some_and(|text| text.starts_with(anchor));
    let (mut best, mut notes): (Option<(usize, &Layout)>, Vec<String>) = (None, Vec::new());
    for layout in layouts {
        let anchors = anchors(layout);
        let missing: Vec<&str> = anchors.iter().filter(|(folded, _)| !begins(folded)).map(|(_, text)| *text).collect();
        if missing.is_empty() && !anchors.is_empty() {
            if best.is_none_or(|(most, _)| anchors.len() > most) {
                best = Some((anchors.len(), layout));
            }
        } else if missing.len() * 2 <= anchors.len() {
            notes.push(misfit(layout, grid, &missing));
        }
    }
    if best.is_some() {
        notes.clear();
    }
    (best.map(|(_, layout)| layout), notes)
}

fn misfit(layout: &Layout, grid: &Grid, missing: &[&str]) -> String {
    let sheet = grid.name.as_ref().map_or_else(String::new, |name| format!(" on sheet {name:?}"));
    let missing: Vec<String> = missing.iter().map(|text| format!("{text:?}")).collect();
    format!(
        "{MISFIT}{:?} was not used{sheet}, though it almost fits: no cell reads {}",
        layout.name,
        missing.join(", ")
    )
}

/// Whether the texts over a column are those that a layout tells.
fn is_under(view: &View<'_>, column: &crate::column::Column, wanted: &Column) -> bool {
    let items = &column.heading.items;
    items.len() == wanted.under.len()
        && items.iter().zip(&wanted.under).all(|(item, text)| key(&view.cell(item).text) == key(text))
}

/// The position of each column of `wanted` among `columns`; equal ones in order. `None` where one is missing.
fn place_columns(view: &View<'_>, columns: &[crate::column::Column], wanted: &[Column]) -> Option<Vec<usize>> {
    let mut taken = BTreeSet::new();
    wanted
        .iter()
        .map(|wanted| {
            let fits =
                |at: &usize| !taken.contains(at) && columns.get(*at).is_some_and(|own| is_under(view, own, wanted));
            let at = (0..columns.len()).find(fits)?;
            taken.insert(at);
            Some(at)
        })
        .collect()
}
