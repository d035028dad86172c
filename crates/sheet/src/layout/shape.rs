//! Tables where a layout says that they are, and the engine saw none.

use super::{key, place_columns};
use crate::column;
use crate::cut::{BodyLine, Cut, Table};
use crate::view::{Item, Orientation, View};
use std::collections::BTreeSet;
use windrow_model::layout::{self, Layout};

/// Most blank rows inside a body.
const GAP: u32 = 2;

/// The cut with the tables of the layout that were not found. A table whose headings are not together on any line stays out.
pub(crate) fn shape(view: &View<'_>, mut cut: Cut, layout: &Layout) -> Cut {
    let turned = view.orientation == Orientation::Turned;
    for wanted in layout.tables.iter().filter(|table| table.turned == turned && !table.columns.is_empty()) {
        let is_there = cut.tables.iter().any(|table| {
            let columns = column::columns(view, table);
            place_columns(view, &columns, &wanted.columns).is_some()
        });
        if let Some(table) = (!is_there).then(|| find(view, wanted)).flatten() {
            cut = with(view, cut, table);
        }
    }
    cut
}

/// The table under the first line on which the lowest texts of all columns stand.
fn find(view: &View<'_>, wanted: &layout::Table) -> Option<Table> {
    let leaves: Vec<String> =
        wanted.columns.iter().filter_map(|column| column.under.last()).map(|text| key(text)).collect();
    let height = wanted.columns.iter().map(|column| column.under.len()).max()?;
    let has_all = |line: &usize| {
        let texts: Vec<String> = view.line(*line).iter().map(|item| key(&view.cell(item).text)).collect();
        leaves.iter().all(|leaf| texts.contains(leaf))
    };
    let at = (0..view.line_count()).find(has_all)?;
    let first = at.checked_sub(height - 1)?;
    let header: Vec<Vec<Item>> = (first..=at).map(|line| view.line(line).to_vec()).collect();
    let heads = header.last()?.iter().filter(|item| leaves.contains(&key(&view.cell(item).text)));
    let (left, right) = heads.fold((u32::MAX, 0), |(left, right), item| (left.min(item.column), right.max(item.right)));
    let within = |items: &[Item]| -> Vec<Item> {
        items.iter().filter(|item| (left..=right).contains(&item.column)).copied().collect()
    };
    let mut body = Vec::new();
    let mut last = view.row(at);
    for line in at + 1..view.line_count() {
        let (row, items) = (view.row(line), within(view.line(line)));
        if row > last + 1 + GAP || has_all(&line) {
            break;
        }
        if items.is_empty() {
            continue;
        }
        last = row;
        let is_statistic = items.first().is_some_and(|item| view.sense(item).statistic().is_some());
        body.push(BodyLine { row, items, is_statistic, is_across: false });
    }
    let header = header.iter().map(|line| within(line)).collect();
    (!body.is_empty()).then_some(Table { header, columns: (left, right), body, repeats: Vec::new(), continues: false })
}

/// The cut with one table more; what it covers is taken from the others.
fn with(view: &View<'_>, cut: Cut, table: Table) -> Cut {
    let own = cells(&table);
    let (clashing, mut tables): (Vec<Table>, Vec<Table>) =
        cut.tables.into_iter().partition(|other| !own.is_disjoint(&cells(other)));
    let freed = clashing.iter().flat_map(cells);
    let loose: BTreeSet<u32> =
        cut.loose.iter().map(|item| item.cell).chain(freed).filter(|cell| !own.contains(cell)).collect();
    tables.push(table);
    tables.sort_by_key(|table| (table.top(), table.columns.0));
    let loose = view.items().iter().filter(|item| loose.contains(&item.cell)).copied().collect();
    Cut { tables, loose }
}

fn cells(table: &Table) -> BTreeSet<u32> {
    let body = table.body.iter().flat_map(|line| &line.items);
    table.header.iter().flatten().chain(body).chain(&table.repeats).map(|item| item.cell).collect()
}
