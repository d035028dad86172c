//! Words for earth that mean other things alone ("Masa", "frame"): beside phases they head what was measured against it.

use super::{Cells, Column, Role};
use crate::heading::By;
use crate::view::{Item, View};
use windrow_model::Question;
use windrow_text::circuit::{self, CircuitMeaning, Named};
use windrow_text::fold::fold;

/// Fewest phases beside which such a word means earth.
const FEWEST: usize = 2;

/// A column headed by such a word alone, beside columns headed by single phases. "Masa", "Masse" and "Frame" head masses and sizes as
/// well: where no other text uses the word for earth and the
/// lines are not named by phases as well, a person is asked.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_phase = |column: &&Column| {
        let mut meanings = column.heading.circuits.iter().flat_map(|by| &by.value);
        column.heading.items.len() == 1 && meanings.any(|meaning| matches!(meaning.named, Named::Phase(_)))
    };
    if columns.iter().filter(is_phase).count() < FEWEST {
        return;
    }
    // Phases against phases and earth.
    let is_matrix = cells.values().any(|own| {
        let names_phase = |item: &Item| {
            let mut meanings = view.sense(item).circuits.iter();
            meanings.any(|meaning| matches!(meaning.named, Named::Phase(_)))
        };
        own.len() >= FEWEST && own.iter().all(names_phase)
    });
    for column in columns.iter_mut().filter(|column| column.role == Role::Unknown && column.fit >= 0.5) {
        let [item] = column.heading.items.as_slice() else { continue };
        let word = fold(view.cell(item).text.trim());
        if !column.heading.concepts.is_empty() || !circuit::is_earth_word(&word) {
            continue;
        }
        if circuit::is_earth_alone(&word) || is_matrix || is_used_for_earth(view, &word) {
            let earth = CircuitMeaning { named: Named::ToEarth, naming: None, weight: 0.8 };
            column.heading.circuits = vec![By { value: vec![earth], item: *item }];
            column.heading.unexplained.clear();
            column.role = Role::Reading(None);
        } else {
            column.role = Role::Asked(Question::Circuit);
        }
    }
}

/// Whether a text of the sheet names the word with another word before it as what was measured against: "entre fases y a masa".
fn is_used_for_earth(view: &View<'_>, word: &str) -> bool {
    view.items().iter().any(|item| {
        let sense = view.sense(item);
        let folded = if sense.words >= 2 { fold(&view.cell(item).text) } else { String::new() };
        let mut words = folded.split(' ').rev().skip_while(|other| *other != word).skip(1);
        // "à la masse"
        words.find(|before| *before != "la").is_some_and(circuit::leads_to_earth)
    })
}
