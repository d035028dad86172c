//! Months and quarters in Roman numerals: "III | VI | IX | XII" under "Month", "I | II | III | IV" under each year.

use super::{Cells, Column, Role};
use crate::cut::Table;
use crate::heading::By;
use crate::line;
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

/// Whether cells are the numerals from I to IV, once under each of one year or more; a mean may stand behind each four.
pub(crate) fn are_roman_quarters(view: &View<'_>, items: &[Item], header: &[Vec<Item>]) -> bool {
    let is_year = |head: &Item| line::is_key(view, head) && view.sense(head).tag < 0.5;
    let numerals: Vec<&Item> = items.iter().filter(|item| view.sense(item).statistic().is_none()).collect();
    let is_four = |four: &[&Item]| {
        let numbers: Vec<Option<usize>> = four.iter().map(|item| month(view, item)).collect();
        let next = four.last().map_or(0, |last| last.column);
        let is_over = |head: &&Item| head.row < four[0].row && is_year(head) && head.column <= four[0].column;
        let year = header.iter().flatten().filter(is_over).max_by_key(|head| head.column);
        numbers == [Some(0), Some(1), Some(2), Some(3)]
            && year.is_some_and(|year| year.column + 1 >= four[0].column || year.right >= next)
    };
    !numerals.is_empty() && numerals.len().is_multiple_of(4) && numerals.chunks(4).all(is_four)
}

/// Heads each such column with its month or quarter, of the year that stands over it or in a title.
pub(super) fn settle(view: &View<'_>, table: &Table, columns: &mut [Column], cells: &Cells) {
    let header = &table.header;
    let is_line = |line: &&Vec<Item>| are_roman_months(view, line, header) || are_roman_quarters(view, line, header);
    let Some(line) = header.iter().find(is_line) else { return };
    let are_quarters = are_roman_quarters(view, line, header);
    for item in line {
        let (Some(number), Some(column)) =
            (month(view, item), columns.iter_mut().find(|column| column.column == item.column))
        else {
            continue;
        };
        let Some((_, name)) = MONTHS.get(number) else { continue };
        let name = if are_quarters { format!("Q{}", number + 1) } else { (*name).to_owned() };
        let heading = &mut column.heading;
        heading.period = Some(By { value: name, item: *item });
        // The year over them stays.
        heading.number = heading.number.take().filter(|by| by.item.cell != item.cell);
        heading.date = heading.date.filter(|told| told.cell != item.cell);
        heading.tag = None;
        heading.circuits.clear();
        heading.concepts.clear();
        heading.unexplained.clear();
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        if matches!(column.role, Role::Unknown | Role::Field(_) | Role::Reading(_)) {
            (column.role, column.fit) = super::role(view, &column.heading, own);
        }
    }
}
