//! "Cement mill 1 (MΩ) | Cement mill 2 (MΩ)": headings that differ in nothing but a number and are words beside their unit name machines.

use super::{Column, Role};
use crate::heading::By;
use crate::view::{Item, View};
use std::collections::BTreeSet;
use windrow_text::vocabulary::Concept;

/// Fewest letters of a name's word.
const LETTERS: usize = 4;

/// In a table whose lines name no machines: columns of readings whose headings are the same words that nothing explains, a number each that
/// is not the other's, and a unit in brackets.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let names = |column: &Column| {
        matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::Description))
            || column.heading.tag.is_some()
    };
    if columns.iter().any(names) {
        return;
    }
    let told: Vec<Option<(Item, String, String)>> = columns.iter().map(|column| name(view, column)).collect();
    let words: BTreeSet<&str> = told.iter().flatten().map(|(_, words, _)| words.as_str()).collect();
    let numbers: BTreeSet<&str> = told.iter().flatten().map(|(_, _, number)| number.as_str()).collect();
    let count = told.iter().flatten().count();
    if count < 2 || words.len() != 1 || numbers.len() != count {
        return;
    }
    for (column, told) in columns.iter_mut().zip(&told) {
        let Some((item, words, number)) = told else { continue };
        column.heading.tag = Some(By { value: format!("{words} {number}"), item: *item });
        column.heading.unexplained.clear();
    }
}

/// The words and the number of such a heading.
fn name(view: &View<'_>, column: &Column) -> Option<(Item, String, String)> {
    let [item] = column.heading.items.as_slice() else { return None };
    let heading = &column.heading;
    let is_plain = column.role == Role::Reading(None)
        && heading.concepts.is_empty()
        && heading.circuits.is_empty()
        && heading.units.is_some()
        && !heading.unexplained.is_empty();
    let text = view.cell(item).text.trim();
    let (name, unit) = text.split_once(['(', '['])?;
    let (words, number) = name.trim().rsplit_once(' ')?;
    let is_number = (1..=3).contains(&number.len()) && number.bytes().all(|b| b.is_ascii_alphanumeric());
    let is_counted = is_number && (number.len() == 1 || number.bytes().all(|b| b.is_ascii_digit()));
    let is_word = words.chars().all(|c| c.is_alphabetic() || c == ' ')
        && words.chars().filter(|c| c.is_alphabetic()).count() >= LETTERS;
    // "Messung 1 (MΩ) | Messung 2 (MΩ)" are readings of one machine.
    let names_machine = windrow_text::fold::fold(words).split(' ').any(windrow_text::said::names_machine);
    (is_plain && names_machine && is_counted && is_word && unit.ends_with([')', ']']))
        .then(|| (*item, words.to_owned(), number.to_owned()))
}
