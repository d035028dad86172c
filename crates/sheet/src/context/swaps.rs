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
    /// Titles of the lines right below them, by the last row that they reach.
    titles: Vec<(Item, u32)>,
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
        let loose = view.items().iter().filter(|item| said.contains(&item.cell) && !inside.contains(&item.cell));
        for item in loose {
            match reach_of_title(view, tables, item) {
                Some(last) => swaps.titles.push((*item, last)),
                None => swaps.sheet = swaps.sheet.or(Some(*item)),
            }
        }
        swaps
    }

    /// What says that something is swapped in a row of the view, in a table if it stands in one.
    pub(crate) fn about(&self, table: Option<usize>, row: u32) -> Option<Item> {
        let own = || table.and_then(|table| self.rows.get(&(table, row)).or_else(|| self.tables.get(&table)));
        let titled =
            || self.titles.iter().find(|(item, last)| (item.row..=*last).contains(&row)).map(|(item, _)| *item);
        self.sheet.or_else(|| own().copied()).or_else(titled)
    }
}

/// The last row of the lines right below a text that stands alone under a blank line and over a table: their title, which says nothing of
/// the tables above.
fn reach_of_title(view: &View<'_>, tables: &[ReadTable], item: &Item) -> Option<u32> {
    let is_empty = |row: u32| view.line(view.line_at(row)).iter().all(|other| other.row != row);
    let is_alone = view.line(view.line_at(item.row)).iter().filter(|other| other.row == item.row).count() == 1;
    let has_above = tables.iter().any(|read| read.table.top() < item.row);
    if item.row == 0 || !is_alone || !has_above || !is_empty(item.row - 1) {
        return None;
    }
    let end = view.items().iter().map(|other| other.row).max()?;
    let last = (item.row + 1..=end).take_while(|row| !is_empty(*row)).last()?;
    let is_over = tables.iter().any(|read| item.row < read.table.bottom() && read.table.bottom() <= last);
    is_over.then_some(last)
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
