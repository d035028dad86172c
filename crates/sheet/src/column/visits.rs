//! Tests told side by side, each with its date and its value: "last test" over "date | value".

use super::{Cells, Column, Role};
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_text::vocabulary::Concept;

/// Under a name over several columns one that is headed as a date and holds dates is when the values beside it were read, whatever the
/// name over both would mean over a date alone; a word that says no more than "value" heads readings.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let group = |column: &Column| match column.heading.items.as_slice() {
        [over, _] => Some(over.cell),
        _ => None,
    };
    let share = |column: &Column, test: &dyn Fn(Kind) -> bool| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let fitting = own.iter().filter(|item| test(view.sense(item).kind)).count();
        !own.is_empty() && fitting * 10 >= own.len() * 6
    };
    let leaf = |column: &Column| column.heading.items.last().copied();
    let is_date = |column: &Column| {
        let names_date = leaf(column).is_some_and(|item| view.sense(&item).concept() == Some(Concept::Date));
        names_date && share(column, &|kind| matches!(kind, Kind::Date | Kind::Void))
    };
    let is_value = |column: &Column| {
        let is_word = leaf(column).is_some_and(|item| says_nothing(view, &item));
        is_word && share(column, &|kind| matches!(kind, Kind::Number | Kind::Over | Kind::Void))
    };
    for index in 0..columns.len() {
        let Some(own) = group(&columns[index]).filter(|_| is_date(&columns[index])) else { continue };
        let values: Vec<usize> =
            (0..columns.len()).filter(|at| group(&columns[*at]) == Some(own) && is_value(&columns[*at])).collect();
        if values.is_empty() {
            continue;
        }
        (columns[index].role, columns[index].fit) = (Role::Field(Concept::Date), 0.9);
        for at in values {
            (columns[at].role, columns[at].fit) = (Role::Reading(None), 0.9);
            columns[at].heading.concepts.clear();
            columns[at].heading.unexplained.clear();
        }
    }
}

/// Whether a heading is a word such as "value" or "reading" and no more.
fn says_nothing(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    sense.kind == Kind::Text
        && sense.words <= 2
        && sense.label.concepts.is_empty()
        && sense.label.units.is_empty()
        && sense.label.unexplained.is_empty()
        && sense.label.statistic.is_none()
        && sense.label.circuits.is_empty()
}
