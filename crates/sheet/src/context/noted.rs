//! Units that comments on cells name. Each comment is read once, and each number asks a few units only: a sheet may hold a comment a cell.

use crate::sense::Kind;
use crate::view::View;
use std::collections::HashMap;
use windrow_source::Cell;
use windrow_text::unit::UnitMeaning;

/// All that one word may mean as a unit.
type Units = Vec<UnitMeaning>;

/// Units that comments name, by where their cells stand in the grid.
#[derive(Debug, Default)]
pub struct NotedUnits {
    /// By the index of the cell.
    own: HashMap<u32, Vec<Units>>,
    /// Of texts and dates by their column: each unit with the first row in which a comment names it.
    above: HashMap<u32, Vec<(u32, Units)>>,
    /// Of texts and dates by their row: each unit with the first column.
    before: HashMap<u32, Vec<(u32, Units)>>,
}

impl NotedUnits {
    /// Reads all comments of a sheet.
    pub(super) fn of(view: &View<'_>) -> Self {
        let mut noted = Self::default();
        for item in view.items() {
            let cell = view.cell(item);
            let named = cell.note.as_deref().map(units).unwrap_or_default();
            if named.is_empty() {
                continue;
            }
            // A number's comment speaks of itself.
            if view.sense(item).kind != Kind::Number {
                for units in &named {
                    keep_first(noted.above.entry(cell.column).or_default(), cell.row, units);
                    keep_first(noted.before.entry(cell.row).or_default(), cell.column, units);
                }
            }
            noted.own.insert(item.cell, named);
        }
        noted
    }

    /// Units that the comment on a cell names, and those on texts and dates above it in its column and before it in its row.
    pub(crate) fn about(&self, index: u32, cell: &Cell) -> impl Iterator<Item = &Units> {
        let own = self.own.get(&index).into_iter().flatten();
        let above = before(self.above.get(&cell.column), cell.row);
        let beside = before(self.before.get(&cell.row), cell.column);
        own.chain(above).chain(beside)
    }
}

/// Those of the units that were named before `end`.
fn before(known: Option<&Vec<(u32, Units)>>, end: u32) -> impl Iterator<Item = &Units> {
    known.into_iter().flatten().filter(move |(at, _)| *at < end).map(|(_, units)| units)
}

fn keep_first(known: &mut Vec<(u32, Units)>, at: u32, units: &Units) {
    match known.iter_mut().find(|(_, same)| same == units) {
        Some((first, _)) => *first = at.min(*first),
        None => known.push((at, units.clone())),
    }
}

/// Every unit that a comment names, word by word.
fn units(note: &str) -> Vec<Units> {
    let parts = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | ':' | '=');
    let words = note.split(parts).map(|word| word.trim_end_matches('.')).filter(|word| word.len() > 1);
    let units = words.map(|word| windrow_text::unit::read(word, None));
    units.filter(|units| units.first().is_some_and(|best| !best.colloquial && best.weight >= 0.8)).collect()
}
