//! The machine of a line that bears no more than its number in a list on another sheet.

use super::Reader;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use windrow_model::Disposition;
use windrow_model::raw::Via;
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// The column of a table that bears the numbers of a list, and nothing but them, where no other names machines; and which list that is.
    pub(super) fn column_of_numbers(&self, read: &ReadTable) -> Option<(u32, usize)> {
        let names = |column: &Column| {
            matches!(column.role, Role::Field(Concept::Tag | Concept::Serial)) || column.heading.tag.is_some()
        };
        if self.around.book.numbered.is_empty() || read.columns.iter().any(names) {
            return None;
        }
        read.columns.iter().find_map(|column| Some((column.column, self.list_of(column, read)?)))
    }

    fn list_of(&self, column: &Column, read: &ReadTable) -> Option<usize> {
        let head = fold(self.view.cell(column.heading.items.last()?).text.trim());
        let lists = &self.around.book.numbered;
        let at = lists.iter().position(|list| list.head == head && list.sheet != self.view.grid.name)?;
        let lines = read.table.body.iter().filter(|line| !line.is_statistic);
        let own = lines.flat_map(|line| &line.items).filter(|item| item.column == column.column);
        let numbers: Vec<&str> = own.map(|item| self.view.cell(item).text.trim()).collect();
        lists.get(at)?.names_lines(&numbers).then_some(at)
    }

    /// Names the machine of a line by its number, where nothing else does.
    pub(super) fn name_by_number(&mut self, line: &BodyLine, told: &mut Line) {
        let is_open = told.machine.tag.is_none() && told.machine.serial.is_none();
        let Some((column, list)) = self.together.numbers.filter(|_| is_open) else { return };
        let Some(item) = line.items.iter().find(|item| item.column == column).copied() else { return };
        let names = self.around.book.numbered.get(list).map(|list| &list.names);
        let Some(name) = names.and_then(|names| names.get(self.view.cell(&item).text.trim())).cloned() else { return };
        told.machine.tag = Some(self.told(name, Via::Row, &item));
        told.machine_conflict = false;
        told.origin.0 = Some(item.cell);
        told.fields.push((Concept::Tag, item));
        self.mark(&item, Disposition::Value, None);
    }
}
