//! Long exports: a reading in each line, with its machine, its day, its unit and what it is beside it.

use super::{ReadTable, Scene};
use crate::column::{Column, Role};
use windrow_text::vocabulary::Concept;

/// Fewest lines of a long export.
const FEWEST: usize = 12;

impl Scene<'_, '_> {
    /// Whether a table is such an export: turned over it would be one of as many columns, each under another heading, which nobody writes.
    #[must_use]
    pub fn has_long_list(&self) -> bool {
        let is_long = |read: &ReadTable| {
            let has = |role: Role| read.columns.iter().any(|column| column.role == role);
            let is_reading = |column: &&Column| matches!(column.role, Role::Reading(_));
            read.table.body.len() >= FEWEST
                && read.columns.iter().filter(is_reading).count() == 1
                && has(Role::LineLabel)
                && [Concept::Tag, Concept::Date, Concept::UnitColumn]
                    .into_iter()
                    .all(|concept| has(Role::Field(concept)))
        };
        self.tables.iter().any(is_long)
    }
}
