//! Numbers of machines that a print of fixed columns sets apart from their names: "PUMPE" and "1" under one heading.

use super::{Cells, Column, Role};
use crate::view::{Item, View};
use windrow_text::vocabulary::Concept;

/// A column without a heading right behind one of names, whose few cells are small numbers or letters, goes on with the names.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for index in 1..columns.len() {
        let (names, part) = (&columns[index - 1], &columns[index]);
        let is_behind = matches!(names.role, Role::Field(Concept::Tag | Concept::Description));
        let is_bare = part.heading.items.is_empty() && part.role == Role::Unknown;
        let count = |column: &Column| cells.get(&column.column).map_or(0, Vec::len);
        let own = cells.get(&part.column).map(Vec::as_slice).unwrap_or_default();
        let is_beside = part.column == names.column + 1;
        let are_parts = !own.is_empty() && own.iter().all(|item| is_part(view, item)) && count(part) < count(names);
        if is_behind && is_bare && is_beside && are_parts {
            (columns[index].role, columns[index].fit) = (Role::NamePart, 0.8);
        }
    }
}

fn is_part(view: &View<'_>, item: &Item) -> bool {
    let text = view.cell(item).text.trim();
    let is_number = text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit());
    let is_letter = text.len() == 1 && text.bytes().all(|b| b.is_ascii_uppercase());
    is_number || is_letter
}
