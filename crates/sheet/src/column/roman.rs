//! Months in Roman numerals: "III | VI | IX | XII" under "Month".

use super::{Cells, Column, Role};
use crate::cut::Table;
use crate::heading::By;
use crate::view::{Item, View};

/// The months as they are written in a calendar that every reader of dates knows.
const MONTHS: [(&str, &str); 12] = [
    ("I", "Jan"),
    ("II", "Feb"),
    ("III", "Mar"),
    ("IV", "Apr"),
    ("V", "May"),
    ("VI", "Jun"),
    ("VII", "Jul"),
    ("VIII", "Aug"),
    ("IX", "Sep"),
    ("X", "Oct"),
    ("XI", "Nov"),
    ("XII", "Dec"),
];

/// The number of the month that a cell tells so, from 0.
fn month(view: &View<'_>, item: &Item) -> Option<usize> {
    let text = view.cell(item).text.trim().trim_end_matches('.');
    MONTHS.iter().position(|(numeral, _)| *numeral == text)
}

/// Whether two cells or more are Roman numerals of months that rise under a word for months: phases and steps are numbered so as well.
pub(crate) fn are_roman_months(view: &View<'_>, items: &[Item], header: &[Vec<Item>]) -> bool {
    let numbers: Option<Vec<usize>> = items.iter().map(|item| month(view, item)).collect();
    let rise = numbers.is_some_and(|numbers| numbers.len() >= 2 && numbers.windows(2).all(|two| two[0] < two[1]));
    let (Some(first), Some(last)) = (items.first(), items.last()) else { return false };
    let is_word = |head: &Item| {
        windrow_text::marks::names_months(&view.cell(head).text)
            && head.row < first.row
            && head.column <= first.column
            && (head.right >= last.column || head.column == first.column)
    };
    rise && header.iter().flatten().any(is_word)
}

/// Heads each such column with its month, of the year that stands over it or in a title.
pub(super) fn settle(view: &View<'_>, table: &Table, columns: &mut [Column], cells: &Cells) {
    let Some(line) = table.header.iter().find(|line| are_roman_months(view, line, &table.header)) else { return };
    for item in line {
        let (Some(number), Some(column)) =
            (month(view, item), columns.iter_mut().find(|column| column.column == item.column))
        else {
            continue;
        };
        let Some((_, name)) = MONTHS.get(number) else { continue };
        let heading = &mut column.heading;
        heading.period = Some(By { value: (*name).to_owned(), item: *item });
        (heading.number, heading.date, heading.tag) = (None, None, None);
        heading.circuits.clear();
        heading.concepts.clear();
        heading.unexplained.clear();
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        if matches!(column.role, Role::Unknown | Role::Field(_) | Role::Reading(_)) {
            (column.role, column.fit) = super::role(view, &column.heading, own);
        }
    }
}
