//! One value in a line of three: "Insulation (MΩ) | 1100 | | " below resistances of U-V, V-W and W-U is not U-V's.

use super::Reader;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::Body;
use crate::cut::BodyLine;
use windrow_text::circuit::Named;

/// Columns of phases or pairs that such a line leaves empty but for one.
const GROUP: usize = 3;

impl Reader<'_, '_, '_> {
    /// Whether a labelled line has its only value under the first of three columns of phases or pairs, and other lines fill them all: what
    /// was measured between, the column does not tell.
    pub(super) fn stands_alone_in_line(&self, column: &Column, line: &Line) -> bool {
        if line.label.is_none() || column.heading.items.is_empty() {
            return false;
        }
        let Some(Body::Table(table)) = self.scene.blocks.get(self.block).map(|block| &block.body) else { return false };
        let Some(read) = self.scene.tables.get(*table) else { return false };
        let is_named = |other: &&Column| {
            let mut told = other.heading.circuits.iter().flat_map(|by| &by.value);
            matches!(other.role, Role::Reading(_))
                && told.any(|meaning| matches!(meaning.named, Named::Phase(_) | Named::Pair(..)))
        };
        let group: Vec<u32> = read.columns.iter().filter(is_named).map(|other| other.column).collect();
        let filled = |line: &BodyLine| line.items.iter().filter(|item| group.contains(&item.column)).count();
        let own = read.table.body.iter().find(|body| body.row == line.row);
        group.len() >= GROUP
            && group.first() == Some(&column.column)
            && own.is_some_and(|own| filled(own) == 1)
            && read.table.body.iter().any(|other| filled(other) == group.len())
    }
}
