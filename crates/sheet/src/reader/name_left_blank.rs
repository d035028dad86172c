//! Lines of an export in which the machine's name was left blank, while what it is called beside it is not that of the line above.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::vocabulary::Concept;

/// Fewest names that stand in several lines each.
const FEWEST: usize = 2;

impl Reader<'_, '_, '_> {
    /// Rows that have no name, and a description that is not that of the name above. Only where all lines of a name are described alike does
    /// a description belong to the name; "Motor" below "Pump" may be a part of what the line above names.
    pub(super) fn names_left_open(&self, read: &ReadTable) -> BTreeSet<u32> {
        let column = |concept: Concept| {
            let mut columns = read.columns.iter().filter(|column| column.role == Role::Field(concept));
            columns.next().filter(|_| columns.next().is_none())
        };
        let (Some(name), Some(description)) = (column(Concept::Tag), column(Concept::Description)) else {
            return BTreeSet::new();
        };
        let text = |line: &BodyLine, column: &Column| -> Option<&str> {
            let item = line.items.iter().find(|item| item.column == column.column)?;
            Some(self.view.cell(item).text.trim())
        };
        let mut described: BTreeMap<&str, (BTreeSet<&str>, usize)> = BTreeMap::new();
        for line in &read.table.body {
            let Some(tag) = text(line, name) else { continue };
            let entry = described.entry(tag).or_default();
            entry.0.extend(text(line, description));
            entry.1 += 1;
        }
        let is_sure = described.values().all(|(texts, _)| texts.len() == 1);
        let again = described.values().filter(|(_, lines)| *lines >= 2).count();
        if !is_sure || again < FEWEST {
            return BTreeSet::new();
        }
        let mut open = BTreeSet::new();
        let mut above: Option<&str> = None;
        for line in &read.table.body {
            let own = text(line, name);
            let is_of_above =
                |told: &str| above.and_then(|tag| described.get(tag)).is_some_and(|(texts, _)| texts.contains(told));
            if own.is_none() && text(line, description).is_some_and(|told| !is_of_above(told)) {
                open.insert(line.row);
            }
            above = own.or(above);
        }
        open
    }
}
