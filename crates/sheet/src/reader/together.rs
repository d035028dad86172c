//! What the lines of a table tell together. It is looked up once a table: an export may have a hundred thousand lines.

use super::Reader;
use crate::context::ReadTable;
use crate::view::View;
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::circuit::{CircuitMeaning, Named};

/// What holds for all lines of the present table.
#[derive(Debug, Default)]
pub(crate) struct Together {
    /// Rows that have no name, and a description that is not that of the name above.
    pub(super) nameless: BTreeSet<u32>,
    /// The column of numbers that a list on another sheet gives to machines, and which list that is.
    pub(super) numbers: Option<(u32, usize)>,
    /// The column of remarks that name the terminals of the readings.
    pub(super) terminals: Option<u32>,
    /// How many cells of each column name a winding of its own.
    pub(super) windings: BTreeMap<u32, usize>,
}

impl Reader<'_, '_, '_> {
    /// Looks it up.
    pub(super) fn together(&self, read: &ReadTable) -> Together {
        Together {
            nameless: self.names_left_open(read),
            numbers: self.column_of_numbers(read),
            terminals: self.column_of_terminals(read),
            windings: windings(self.view, read),
        }
    }
}

fn windings(view: &View<'_>, read: &ReadTable) -> BTreeMap<u32, usize> {
    let mut named = BTreeMap::new();
    for item in read.table.body.iter().flat_map(|line| &line.items) {
        let sense = view.sense(item);
        if sense.circuits.iter().chain(&sense.label.circuits).any(names_winding) {
            *named.entry(item.column).or_default() += 1;
        }
    }
    named
}

/// "Armature", "Interpoles": a winding other than the three phases of a stator.
pub(super) fn names_winding(meaning: &CircuitMeaning) -> bool {
    meaning.weight >= 0.5 && matches!(meaning.named, Named::Special(_) | Named::OtherWinding)
}
