//! Lines of an export in which the machine's name was left blank, while what it is called beside it is not that of the line above.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Text;
use windrow_text::vocabulary::Concept;

/// Fewest names that stand in several lines each.
const FEWEST: usize = 2;

impl Reader<'_, '_, '_> {
    /// Whether the line has no name, and a description that is not that of the name above. Only where all lines of a name are described
    /// alike does a description belong to the name; "Motor" below "Pump" may be a part of what the line above names.
    pub(super) fn leaves_name_open(&self, read: &ReadTable, line: &BodyLine) -> bool {
        let column = |concept: Concept| {
            let mut columns = read.columns.iter().filter(|column| column.role == Role::Field(concept));
            columns.next().filter(|_| columns.next().is_none())
        };
        let (Some(name), Some(description)) = (column(Concept::Tag), column(Concept::Description)) else {
            return false;
        };
        let text = |line: &BodyLine, column: &Column| -> Option<Text> {
            let item = line.items.iter().find(|item| item.column == column.column)?;
            Some(self.view.cell(item).text.trim().into())
        };
        let Some(own) = text(line, description).filter(|_| text(line, name).is_none()) else { return false };
        let mut described: BTreeMap<Text, (BTreeSet<Text>, usize)> = BTreeMap::new();
        let mut above: Option<Text> = None;
        for other in &read.table.body {
            let Some(tag) = text(other, name) else { continue };
            let entry = described.entry(tag.clone()).or_default();
            entry.0.extend(text(other, description));
            entry.1 += 1;
            if other.row < line.row {
                above = Some(tag);
            }
        }
        let is_sure = described.values().all(|(texts, _)| texts.len() == 1);
        let again = described.values().filter(|(_, lines)| *lines >= 2).count();
        let is_of_above = above.and_then(|tag| described.get(&tag)).is_some_and(|(texts, _)| texts.contains(&own));
        is_sure && again >= FEWEST && !is_of_above
    }
}
