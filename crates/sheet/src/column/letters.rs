//! Letters that are phases in one column and units in another.

use super::stack::stack;
use super::{Cells, Column, role};
use crate::cut::Table;
use crate::heading::{Heading, Letters};
use crate::view::{Item, View};

/// Of two columns headed by the same letter the one among its fellow phases is a phase, the other ("V" after "W") a unit.
pub(super) fn settle(view: &View<'_>, table: &Table, columns: &mut [Column], cells: &Cells) {
    let letter = |column: &Column| {
        // The letter of a phase may stand over the unit.
        let is_short = |item: &&Item| view.cell(item).text.trim().chars().count() <= 2;
        let item = match column.heading.items.as_slice() {
            [.., over, last] if is_short(&over) && view.sense(last).is_unit_only() => over,
            [.., last] => last,
            [] => return None,
        };
        let text = view.cell(item).text.trim();
        let is_letter = text.chars().count() <= 2 && !view.sense(item).circuits.is_empty();
        (is_letter && !column.heading.circuits.is_empty()).then(|| text.to_owned())
    };
    let letters: Vec<Option<String>> = columns.iter().map(letter).collect();
    for index in 0..columns.len() {
        let Some(text) = &letters[index] else { continue };
        let is_group = |other: usize| {
            columns[other].heading.items.len() == columns[index].heading.items.len()
                && columns[other].heading.items.first().map(|item| item.cell)
                    == columns[index].heading.items.first().map(|item| item.cell)
                || columns[index].heading.items.len() == 1
        };
        let twin =
            (0..columns.len()).any(|other| other != index && letters[other].as_ref() == Some(text) && is_group(other));
        let fellow = |other: Option<usize>| {
            other
                .and_then(|other| letters.get(other))
                .is_some_and(|other| other.as_ref().is_some_and(|other| other != text))
        };
        let among_fellows = fellow(index.checked_sub(1)) || fellow(Some(index + 1));
        if twin && !among_fellows {
            let heading = Heading::sum_as(view, &stack(view, table, columns[index].column), Letters::Words);
            let cells = cells.get(&columns[index].column).map(Vec::as_slice).unwrap_or_default();
            let (role, fit) = role(view, &heading, cells);
            columns[index] = Column { column: columns[index].column, heading, role, fit };
        }
    }
}
