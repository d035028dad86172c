//! Numbers that count the lines of an inspection: "Pos." over 10, 20, 30 beside what was measured in each.

use super::{Cells, Column, Role};
use crate::view::{Item, View};
use std::collections::BTreeSet;
use windrow_text::vocabulary::Concept;

/// Fewest lines that show how a column counts.
const FEWEST: usize = 3;

/// A column that is not understood, before one of labels each of which stands in one line only, counts those lines where its numbers rise by
/// the first of them. "Pos. 1, 2, 3" beside the same label again and again are positions of machines.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let own = |column: &Column| cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
    let is_of_labels = |column: &Column| matches!(column.role, Role::LineLabel | Role::Field(Concept::TestKind));
    let Some(labels) = columns.iter().position(is_of_labels) else { return };
    let names_machines = |column: &Column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial));
    let texts = own(&columns[labels]);
    let different: BTreeSet<&str> = texts.iter().map(|item| view.cell(item).text.trim()).collect();
    if different.len() < texts.len() || columns.iter().any(names_machines) {
        return;
    }
    for column in columns.iter_mut().take(labels).filter(|column| column.role == Role::Unknown) {
        if counts(view, cells.get(&column.column).map(Vec::as_slice).unwrap_or_default()) {
            (column.role, column.fit) = (Role::Field(Concept::RowNumber), 0.9);
        }
    }
}

/// Whether numbers rise by the first of them, which is one or ten.
fn counts(view: &View<'_>, cells: &[Item]) -> bool {
    let numbers: Option<Vec<i64>> = cells.iter().map(|item| view.cell(item).text.trim().parse().ok()).collect();
    let Some(numbers) = numbers.filter(|numbers| numbers.len() >= FEWEST) else { return false };
    let step = numbers[0];
    matches!(step, 1 | 10) && numbers.windows(2).all(|two| two[1].checked_sub(two[0]) == Some(step))
}
