//! Readings that the source itself withdrew: "void" under "Status", "anulada: cable húmedo" as a remark.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::view::Item;
use windrow_model::Disposition;
use windrow_text::exported;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// The cell of a line that says that its value was withdrawn, itself or by what a legend says of it.
    pub(super) fn withdrawal(&self, read: &ReadTable, body: &BodyLine) -> Option<Item> {
        let may_tell = |column: &Column| {
            matches!(column.role, Role::Field(Concept::Result | Concept::Remarks | Concept::Stage | Concept::OverRange))
        };
        let columns: Vec<u32> =
            read.columns.iter().filter(|column| may_tell(column)).map(|column| column.column).collect();
        let says = |item: &&Item| {
            let told = self.view.meaning(item).unwrap_or(&self.view.cell(item).text);
            columns.contains(&item.column) && exported::is_withdrawn(told)
        };
        body.items.iter().find(says).copied()
    }

    /// Puts a withdrawn value aside. Of several readings in a line a person has to say which it was.
    pub(super) fn set_aside(&mut self, item: &Item, by: &Item, read: &ReadTable) {
        let is_reading = |column: &&Column| matches!(column.role, Role::Reading(_));
        let said = self.view.meaning(by).unwrap_or(&self.view.cell(by).text).trim();
        if read.columns.iter().filter(is_reading).count() == 1 {
            self.mark(by, Disposition::Value, None);
            self.mark(item, Disposition::Label, Some(&format!("withdrawn by the source: {said}")));
        } else {
            let context = format!("the line says \"{said}\", and not of which of its values");
            self.hold_value(item, &context, Vec::new());
        }
    }
}
