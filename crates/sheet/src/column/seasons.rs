//! Columns headed by seasons of two years ("88/89 | 89/90", "Camp. 95/96 | Camp. 96/97").

use super::{Cells, Column, Role, role};
use crate::heading::By;
use crate::view::{Item, View};
use windrow_model::{Precision, Question};
use windrow_text::date::years_of_season;

/// The two years of a cell that names a season.
pub(crate) fn years(view: &View<'_>, item: &Item) -> Option<(i16, i16)> {
    years_of_season(&view.cell(item).text)
}

/// Whether cells are two or more seasons, each later than the one before: one alone may be a fraction, a part of a date or a name.
pub(crate) fn are_seasons(view: &View<'_>, items: &[&Item]) -> bool {
    let years: Option<Vec<(i16, i16)>> = items.iter().map(|item| years(view, item)).collect();
    years.is_some_and(|years| years.len() >= 2 && years.windows(2).all(|two| two[0] < two[1]))
}

/// Heads each such column with its season; which of the two years is meant the sheet explains, or a person.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let heads: Vec<Item> = columns
        .iter()
        .filter_map(|column| column.heading.items.last().copied())
        .filter(|item| years(view, item).is_some())
        .collect();
    if !are_seasons(view, &heads.iter().collect::<Vec<_>>()) {
        return;
    }
    for column in columns {
        let Some(item) = column.heading.items.last().copied().filter(|item| years(view, item).is_some()) else {
            continue;
        };
        let heading = &mut column.heading;
        heading.period = Some(By { value: view.cell(&item).text.clone().into(), item });
        (heading.number, heading.date, heading.tag) = (None, None, None);
        heading.circuits.retain(|by| by.item.cell != item.cell);
        heading.concepts.retain(|(_, _, told)| told.cell != item.cell);
        heading.unexplained.clear();
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        if matches!(column.role, Role::Unknown | Role::Field(_) | Role::Reading(_)) {
            (column.role, column.fit) = role(view, &column.heading, own);
        }
    }
}

/// "T1 2010 | T2 2010 | T3 2010" are three quarters of a year, or three terminals: without a fourth a person is asked.
pub(super) fn settle_trimesters(view: &View<'_>, columns: &mut [Column]) {
    let quarter = |column: &Column| {
        let item = column.heading.date.filter(|item| {
            let text = view.cell(item).text.trim();
            text.starts_with(['T', 't']) && text.chars().nth(1).is_some_and(|c| c.is_ascii_digit())
        })?;
        let read = view.sense(&item).dates.first().filter(|read| read.date.precision == Precision::Quarter)?;
        Some((read.date.first.year(), (read.date.first.month() - 1) / 3))
    };
    let told: Vec<(i16, i8)> = columns.iter().filter_map(quarter).collect();
    let are_three = |year: i16| {
        let mut own: Vec<i8> = told.iter().filter(|(other, _)| *other == year).map(|(_, quarter)| *quarter).collect();
        own.sort_unstable();
        own.dedup();
        own == [0, 1, 2]
    };
    if told.is_empty() || !told.iter().all(|(year, _)| are_three(*year)) {
        return;
    }
    for column in columns.iter_mut().filter(|column| quarter(column).is_some()) {
        column.role = Role::Asked(Question::Date);
    }
}
