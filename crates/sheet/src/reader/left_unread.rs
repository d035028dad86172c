//! Two lines of one machine and day that only a column of tags tells apart of which nothing was understood: whose they are is asked.

use super::Reader;
use super::twins::{Identity, identity};
use crate::column::{Column, Role};
use crate::context::Body;
use crate::hold::Hold;
use crate::view::Item;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Disposition, Question};

impl Reader<'_, '_, '_> {
    /// Takes back such readings, and asks about them.
    pub(super) fn doubt_names_left_unread(&mut self) {
        if !self.scene.tables.iter().flat_map(|read| &read.columns).any(|column| self.may_name(column)) {
            return;
        }
        let places: BTreeMap<u32, Item> = self.view.items().iter().map(|item| (item.cell, *item)).collect();
        let mut doubted: BTreeSet<u32> = BTreeSet::new();
        for group in self.groups.iter().filter(|group| !group.machine_key.is_empty()) {
            let Body::Table(table) = self.scene.blocks[group.block].body else { continue };
            let read = &self.scene.tables[table];
            let unread: Vec<&Column> = read.columns.iter().filter(|column| self.may_name(column)).collect();
            if unread.is_empty() {
                continue;
            }
            let mut alike: BTreeMap<(u32, Identity), BTreeMap<u32, u32>> = BTreeMap::new();
            for pending in group.pending.iter().filter(|pending| !pending.computed) {
                let Some(item) = places.get(&pending.cell) else { continue };
                alike.entry((item.column, identity(pending))).or_default().insert(pending.row, pending.cell);
            }
            let tells_apart = |rows: &BTreeMap<u32, u32>| unread.iter().any(|column| self.differ(column, rows));
            doubted.extend(
                alike.into_values().filter(|rows| rows.len() > 1 && tells_apart(rows)).flat_map(BTreeMap::into_values),
            );
        }
        for group in &mut self.groups {
            group.pending.retain(|pending| !doubted.contains(&pending.cell));
        }
        for item in doubted.iter().filter_map(|cell| places.get(cell)) {
            let context = "another line has the same machine and day, and only a column of names that is not understood tells them apart";
            self.mark(item, Disposition::Held, Some(context));
            self.holds.ask(format!("machine of lines alike, column {}", item.column), item.cell, || Hold {
                question: Question::Machine,
                choices: Vec::new(),
                context: context.to_owned(),
                cells: Vec::new(),
            });
        }
    }

    /// Whether nothing is known of a column but that something stands over it.
    fn may_name(&self, column: &Column) -> bool {
        column.role == Role::Unknown && column.heading.concepts.is_empty() && !column.heading.items.is_empty()
    }

    /// Whether a column holds another tag in each of the rows.
    fn differ(&self, column: &Column, rows: &BTreeMap<u32, u32>) -> bool {
        let tag = |row: &u32| {
            let item = self.view.at(*row, column.column).filter(|item| self.view.sense(item).tag >= 0.5)?;
            Some(self.view.cell(item).text.trim())
        };
        let told: Option<BTreeSet<&str>> = rows.keys().map(tag).collect();
        told.is_some_and(|told| told.len() == rows.len())
    }
}
