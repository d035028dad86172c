//! Texts and comments that say that something is swapped, and how far each of them reaches.

use super::ReadTable;
use crate::column::Role;
use crate::cut::BodyLine;
use crate::fit::names_machine;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet, HashMap};
use windrow_text::explained::says_swapped;
use windrow_text::vocabulary::Concept;

/// Fewest words of a text that says so.
const FEWEST: usize = 2;

/// What says that something is swapped.
#[derive(Debug, Default)]
pub struct Swaps {
    /// A text outside all tables, which speaks of the sheet.
    sheet: Option<Item>,
    /// What stands in the header of a table, by its number.
    tables: BTreeMap<usize, Item>,
    /// Remarks in the body of a table, by its number and the row of the view: each speaks of the lines of its test only.
    rows: HashMap<(usize, u32), Item>,
}

impl Swaps {
    /// Reads all texts and comments of a view.
    pub(super) fn of(view: &View<'_>, tables: &[ReadTable]) -> Self {
        let mut swaps = Self::default();
        let says = |item: &&Item| {
            let sense = view.sense(item);
            let is_text = sense.kind == Kind::Text && sense.words >= FEWEST;
            let cell = view.cell(item);
            is_text && says_swapped(&cell.text) || cell.note.as_deref().is_some_and(says_swapped)
        };
        let said: BTreeSet<u32> = view.items().iter().filter(says).map(|item| item.cell).collect();
        if said.is_empty() {
            return swaps;
        }
        let mut inside = BTreeSet::new();
        for (number, read) in tables.iter().enumerate() {
            for item in read.table.header.iter().flatten().filter(|item| said.contains(&item.cell)) {
                inside.insert(item.cell);
                swaps.tables.entry(number).or_insert(*item);
            }
            for test in tests(view, read) {
                let found = test.iter().flat_map(|line| &line.items).find(|item| said.contains(&item.cell));
                inside.extend(test.iter().flat_map(|line| &line.items).map(|item| item.cell));
                if let Some(item) = found {
                    swaps.rows.extend(test.iter().map(|line| ((number, line.row), *item)));
                }
            }
        }
        swaps.sheet =
            view.items().iter().find(|item| said.contains(&item.cell) && !inside.contains(&item.cell)).copied();
        swaps
    }

    /// What says that something is swapped in a row of the view, in a table if it stands in one.
    pub(crate) fn about(&self, table: Option<usize>, row: u32) -> Option<Item> {
        let own = || table.and_then(|table| self.rows.get(&(table, row)).or_else(|| self.tables.get(&table)));
        self.sheet.or_else(|| own().copied())
    }
}

/// The lines of a body by the tests that they are of: those of one machine and date under one another. Without columns of either all
/// are of one.
fn tests<'r>(view: &View<'_>, read: &'r ReadTable) -> Vec<&'r [BodyLine]> {
    let is_key =
        |role: Role| matches!(role, Role::Field(concept) if names_machine(concept) || concept == Concept::Date);
    let keys: Vec<u32> = read.columns.iter().filter(|column| is_key(column.role)).map(|column| column.column).collect();
    let is_same = |line: &BodyLine, next: &BodyLine| {
        keys.iter().all(|at| key(view, next, *at).is_none_or(|own| key(view, line, *at) == Some(own)))
    };
    read.table.body.chunk_by(is_same).collect()
}

/// What a line tells in a column of keys; a ditto mark tells nothing of its own.
fn key<'v>(view: &View<'v>, line: &BodyLine, column: u32) -> Option<&'v str> {
    let item = line.items.iter().find(|item| item.column == column);
    item.filter(|item| view.sense(item).kind != Kind::Ditto).map(|item| view.cell(item).text.trim())
}
