//! "Motor | C-02 | Boiler fan" over "| before | after": words right behind the code of a machine in a line of a card describe that machine.

use super::Reader;
use crate::sense::Kind;
use crate::view::{Item, Orientation};
use windrow_source::Cell;
use windrow_text::header;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

/// From this likeness on a text is made as codes of machines are.
const CODE: f32 = 0.85;
/// Lines of the sheet below such a line in which its columns are dated.
const LINES: u32 = 6;

impl Reader<'_, '_, '_> {
    /// The code that the words in a cell describe, in a view turned over that has both for names of columns.
    pub(super) fn code_described(&self, item: &Item) -> Option<Item> {
        if self.view.orientation != Orientation::Turned {
            return None;
        }
        let cells = &self.view.grid.cells;
        let at = item.cell as usize;
        let (own, code, label) = (cells.get(at)?, cells.get(at.checked_sub(1)?)?, cells.get(at.checked_sub(2)?)?);
        let is_row = |cell: &Cell, column: u32| cell.row == own.row && cell.column == column;
        let stands_so = is_row(code, own.column.checked_sub(1)?) && is_row(label, own.column.checked_sub(2)?);
        let is_last = cells.get(at + 1).is_none_or(|next| next.row != own.row || next.column > own.column + 1);
        let is_named = header::read(label.text.trim_end_matches(':')).concept() == Some(Concept::Tag);
        let in_words = !own.text.contains(|c: char| c.is_ascii_digit()) && tag::likeness(&own.text) < 0.5;
        let is_code = tag::likeness(&code.text) >= CODE;
        let are_dated = || {
            let dated = |column: u32| {
                let mut items = self.view.items().iter();
                items.any(|other| {
                    let cell = self.view.cell(other);
                    let is_below = own.row < cell.row && cell.row <= own.row + LINES && cell.column == column;
                    is_below && self.view.sense(other).kind == Kind::Date
                })
            };
            dated(own.column) && dated(code.column)
        };
        if !(stands_so && is_last && is_named && in_words && is_code && are_dated()) {
            return None;
        }
        self.view.items().iter().find(|other| other.cell as usize + 1 == at).copied()
    }
}
