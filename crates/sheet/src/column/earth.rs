//! Words for earth that mean other things alone ("Masa", "frame"): beside phases they head what was measured against it.

use super::{Column, Role};
use crate::heading::By;
use crate::view::View;
use windrow_text::circuit::{self, CircuitMeaning, Named};
use windrow_text::fold::fold;

/// Fewest phases beside which such a word means earth.
const FEWEST: usize = 2;

/// A column headed by such a word alone, beside columns headed by single phases.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let is_phase = |column: &&Column| {
        let mut meanings = column.heading.circuits.iter().flat_map(|by| &by.value);
        column.heading.items.len() == 1 && meanings.any(|meaning| matches!(meaning.named, Named::Phase(_)))
    };
    if columns.iter().filter(is_phase).count() < FEWEST {
        return;
    }
    for column in columns.iter_mut().filter(|column| column.role == Role::Unknown && column.fit >= 0.5) {
        let [item] = column.heading.items.as_slice() else { continue };
        if column.heading.concepts.is_empty() && circuit::is_earth_word(&fold(view.cell(item).text.trim())) {
            let earth = CircuitMeaning { named: Named::ToEarth, naming: None, weight: 0.8 };
            column.heading.circuits = vec![By { value: vec![earth], item: *item }];
            column.heading.unexplained.clear();
            column.role = Role::Reading(None);
        }
    }
}
