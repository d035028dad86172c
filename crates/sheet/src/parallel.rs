//! Headings side by side that differ in nothing but a last letter: "R. isol. A | R. isol. B | R. isol. C" are the three phases, also
//! where one letter alone would be an ampere or a word.

use crate::column::{Column, Role};
use crate::heading::By;
use crate::view::{Item, View};
use windrow_text::circuit::{self, CircuitMeaning};

/// Gives three such columns their phases.
pub(crate) fn settle(view: &View<'_>, columns: &mut [Column]) {
    for first in 0..columns.len().saturating_sub(2) {
        let Some(three) = columns.get(first..first + 3) else { return };
        let is_open = |column: &Column| matches!(column.role, Role::Reading(_)) && column.heading.circuits.is_empty();
        let leaves: Option<Vec<(Item, String, String)>> = three.iter().map(|column| leaf(view, column)).collect();
        let Some(leaves) = leaves.filter(|_| three.iter().all(is_open)) else { continue };
        if leaves.windows(2).any(|two| two[0].1 != two[1].1) {
            continue;
        }
        let Some(phases) = three_letters(&leaves.iter().map(|leaf| leaf.2.as_str()).collect::<Vec<_>>()) else {
            continue;
        };
        for ((column, phase), (item, _, letter)) in columns[first..first + 3].iter_mut().zip(phases).zip(leaves) {
            let heading = &mut column.heading;
            if heading.units.as_ref().is_some_and(|units| units.value.1.as_str() == letter) {
                heading.units = None;
            }
            let folded = windrow_text::fold::fold(&letter);
            heading.unexplained.retain(|word| *word != folded);
            heading.circuits.push(By { value: vec![phase], item });
        }
    }
}

/// The lowest header cell that ends in a letter: what stands before it, and the letter.
fn leaf(view: &View<'_>, column: &Column) -> Option<(Item, String, String)> {
    column.heading.items.iter().rev().find_map(|item| {
        let named = view.cell(item).text.split(['(', '[']).next()?;
        let (before, letter) = named.trim().rsplit_once(' ')?;
        let is_letter = letter.len() == 1 && letter.chars().all(|c| c.is_ascii_uppercase());
        is_letter.then(|| (*item, before.trim().to_lowercase(), letter.to_owned()))
    })
}

/// The phases that three letters name together, in order and in one way of naming.
fn three_letters(letters: &[&str]) -> Option<Vec<CircuitMeaning>> {
    let read: Vec<Vec<CircuitMeaning>> = letters.iter().map(|letter| circuit::read(letter)).collect();
    let namings: Vec<_> = read.first()?.iter().filter_map(|meaning| meaning.naming).collect();
    namings.into_iter().find_map(|naming| {
        let of = |meanings: &Vec<CircuitMeaning>| {
            let meaning = meanings.iter().find(|meaning| meaning.naming == Some(naming))?;
            Some(CircuitMeaning { weight: 0.95, ..meaning.clone() })
        };
        let three: Vec<CircuitMeaning> = read.iter().map(of).collect::<Option<_>>()?;
        let is_in_order = three.windows(2).all(|two| two[0].named != two[1].named);
        is_in_order.then_some(three)
    })
}
