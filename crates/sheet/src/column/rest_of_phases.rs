//! "Meg ph-gnd A | B | C": what the heading of the first phase says, it says of the letters beside it. "Winding resistance (Ω)" over nothing, before
//! U-V, V-W and W-U: the title of a form that a view turned over has as a heading.

use super::{Cells, Column, Role};
use crate::cut::Table;
use crate::heading::By;
use crate::view::{Item, View};
use windrow_text::circuit::{CircuitMeaning, Named, Naming};

/// Gives two columns headed by nothing but the second and third phase what the column of the first one before them tells.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    for at in 0..columns.len().saturating_sub(2) {
        let [first, second, third] = &columns[at..at + 3] else { continue };
        let tells = !first.heading.concepts.is_empty() || first.heading.units.is_some();
        if !matches!(first.role, Role::Reading(_)) || !tells || first.heading.items.len() != 1 {
            continue;
        }
        let Some((naming, is_to_earth)) = first_phase(&first.heading.circuits) else { continue };
        let (Some(b), Some(c)) = (bare(view, second, naming, 1), bare(view, third, naming, 2)) else { continue };
        let told = first.clone();
        for (column, (number, item)) in columns[at + 1..at + 3].iter_mut().zip([(1, b), (2, c)]) {
            let named = if is_to_earth { Named::PhaseToEarth(number) } else { Named::Phase(number) };
            let value = vec![CircuitMeaning { named, naming: Some(naming), weight: SURE }];
            column.heading.circuits = vec![By { value, item }];
            take_over(column, &told);
        }
    }
}

/// Gives the columns headed by nothing but the second and third pair of terminals what the column of the first pair before them tells
/// ("OHM U-V | V-W | W-U").
pub(super) fn settle_pairs(view: &View<'_>, columns: &mut [Column]) {
    for at in 0..columns.len().saturating_sub(2) {
        let [first, second, third] = &columns[at..at + 3] else { continue };
        let tells = first.heading.concepts.iter().any(|(_, weight, _)| *weight >= 0.6) || first.heading.units.is_some();
        let is_one = matches!(first.role, Role::Reading(_)) && first.heading.items.len() == 1;
        let Some(own) = pair(first).filter(|_| tells && is_one) else { continue };
        let (Some(b), Some(c)) = (bare_pair(view, second), bare_pair(view, third)) else { continue };
        if own.1 != b.1 || b.1 != c.1 || own.0 == b.0 || b.0 == c.0 || own.0 == c.0 {
            continue;
        }
        let told = first.clone();
        for column in &mut columns[at + 1..at + 3] {
            take_over(column, &told);
        }
    }
}

/// The pair of terminals that a heading names, lower number first, and how they are called.
fn pair(column: &Column) -> Option<((u8, u8), Option<Naming>)> {
    column.heading.circuits.iter().flat_map(|by| &by.value).find_map(|meaning| match meaning.named {
        Named::Pair(a, b) if meaning.weight >= 0.5 => Some(((a.min(b), a.max(b)), meaning.naming)),
        _ => None,
    })
}

/// The same of a heading that is nothing but the pair, over readings of which nothing else is known.
fn bare_pair(view: &View<'_>, column: &Column) -> Option<((u8, u8), Option<Naming>)> {
    let [item] = column.heading.items.as_slice() else { return None };
    let is_short = view.cell(item).text.trim().chars().count() <= 5;
    let heading = &column.heading;
    let is_bare = heading.concepts.is_empty() && heading.units.is_none() && heading.unexplained.is_empty();
    pair(column).filter(|_| is_short && is_bare && column.role == Role::Reading(None))
}

/// Gives the terminals right behind a heading that names a quantity and stands over nothing what it tells.
pub(super) fn settle_titled(columns: &mut [Column], cells: &Cells) {
    for at in 0..columns.len() {
        let title = columns[at].clone();
        let is_empty = cells.get(&title.column).is_none_or(Vec::is_empty);
        if !is_empty || !matches!(title.role, Role::Reading(Some(_))) || title.heading.items.len() != 1 {
            continue;
        }
        let mut last = title.column;
        for column in &mut columns[at + 1..] {
            let heading = &column.heading;
            let is_bare = heading.concepts.is_empty() && heading.units.is_none() && heading.unexplained.is_empty();
            let names_terminals =
                heading.circuits.iter().any(|by| by.value.iter().any(|meaning| meaning.weight >= 0.5));
            if column.column != last + 1 || !is_bare || !names_terminals || column.role != Role::Reading(None) {
                break;
            }
            last = column.column;
            take_over(column, &title);
        }
    }
}

/// Gives terminals beside each other the unit that stands alone in a line of the header, below one of them: "T1-GND | T2-GND | T1-T2"
/// over "(megohms)".
pub(super) fn settle_lone_unit(view: &View<'_>, table: &Table, columns: &mut [Column]) {
    for line in table.header.iter().skip(1) {
        let [unit] = line.as_slice() else { continue };
        let Some(at) = columns.iter().position(|column| column.column == unit.column) else { continue };
        let told = columns[at].clone();
        if !view.sense(unit).is_unit_only() || told.heading.items.len() != 2 || !heads_terminals(&told) {
            continue;
        }
        let is_bare = |column: &Column| {
            column.heading.units.is_none() && column.heading.items.len() == 1 && heads_terminals(column)
        };
        let (before, onward) = columns.split_at_mut(at);
        let onward = onward.iter_mut().skip(1).zip(unit.column + 1..);
        let before = before.iter_mut().rev().zip((0..unit.column).rev());
        for side in [onward.collect::<Vec<_>>(), before.collect()] {
            for (column, _) in side.into_iter().take_while(|(column, next)| column.column == *next && is_bare(column)) {
                column.heading.units.clone_from(&told.heading.units);
            }
        }
    }
}

/// Whether a heading names terminals and nothing else, over readings.
fn heads_terminals(column: &Column) -> bool {
    let heading = &column.heading;
    let mut circuits = heading.circuits.iter().flat_map(|by| &by.value);
    column.role == Role::Reading(None)
        && heading.concepts.is_empty()
        && heading.unexplained.is_empty()
        && circuits.any(|meaning| meaning.weight >= 0.5)
}

/// Gives a column all that another one's heading tells but its terminals.
fn take_over(column: &mut Column, told: &Column) {
    column.heading.concepts.clone_from(&told.heading.concepts);
    column.heading.units.clone_from(&told.heading.units);
    column.heading.elapsed_s.clone_from(&told.heading.elapsed_s);
    column.heading.voltage_v.clone_from(&told.heading.voltage_v);
    column.heading.reference_c.clone_from(&told.heading.reference_c);
    column.heading.unexplained.clone_from(&told.heading.unexplained);
    column.role = told.role;
}

/// How sure letters are that follow one another.
const SURE: f32 = 0.9;

/// How the first phase is named among the meanings, and whether against earth.
fn first_phase(circuits: &[By<Vec<CircuitMeaning>>]) -> Option<(Naming, bool)> {
    circuits.iter().flat_map(|by| &by.value).find_map(|meaning| match meaning.named {
        Named::Phase(0) => Some((meaning.naming?, false)),
        Named::PhaseToEarth(0) => Some((meaning.naming?, true)),
        _ => None,
    })
}

/// The one cell of a heading that is nothing but this phase.
fn bare(view: &View<'_>, column: &Column, naming: Naming, number: u8) -> Option<Item> {
    let [item] = column.heading.items.as_slice() else { return None };
    let is_short = view.cell(item).text.trim().chars().count() <= 2;
    let mut told = column.heading.circuits.iter().flat_map(|by| &by.value).chain(&view.sense(item).circuits);
    let is_phase = told.any(|meaning| meaning.named == Named::Phase(number) && meaning.naming == Some(naming));
    (is_short && is_phase && column.heading.concepts.is_empty() && column.heading.units.is_none()).then_some(*item)
}
