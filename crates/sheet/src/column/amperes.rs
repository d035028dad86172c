//! An A at the head of a column: "A 30 s | B 30 s | C 30 s" are phases where B and C stand before the same time, and "kW | V | A | rpm"
//! are what a nameplate tells.

use super::{Cells, Column, Role, role};
use crate::heading::By;
use crate::view::View;
use windrow_model::Quantity;
use windrow_text::circuit::{CircuitMeaning, Named};
use windrow_text::vocabulary::Concept;

/// "kW | kV | A | rpm": amperes beside what else a nameplate tells, in a table without other readings, are the rated current.
pub(super) fn settle_plates(view: &View<'_>, columns: &mut [Column]) {
    let is_plate = |column: &Column| {
        matches!(column.role, Role::Field(Concept::RatedPower | Concept::RatedSpeed | Concept::RatedVoltage))
    };
    let is_ampere = |column: &Column| {
        let [item] = column.heading.items.as_slice() else { return false };
        view.cell(item).text.trim() == "A" && column.role == Role::Reading(Some(Quantity::LeakageCurrent))
    };
    let is_reading = |column: &Column| matches!(column.role, Role::Reading(_) | Role::Asked(_));
    let are_plates = columns.iter().filter(|column| is_plate(column)).count() >= 2
        && columns.iter().filter(|column| is_reading(column)).all(is_ampere);
    for column in columns.iter_mut().filter(|column| are_plates && is_ampere(column)) {
        column.role = Role::Field(Concept::RatedCurrent);
    }
}

/// Settles them.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let rest = |column: &Column, letter: &str| {
        let [item] = column.heading.items.as_slice() else { return None };
        let behind = view.cell(item).text.trim().strip_prefix(letter)?;
        behind.starts_with(' ').then(|| behind.trim().to_owned())
    };
    let of = |letter: &str| columns.iter().filter_map(|column| rest(column, letter)).collect::<Vec<String>>();
    let (second, third) = (of("B"), of("C"));
    // "A to frame, µA" tells its unit beside the phase.
    let is_letter = |column: &Column| column.heading.units.as_ref().is_some_and(|by| by.value.1.trim() == "A");
    let is_phase = |column: &Column| {
        is_letter(column)
            && matches!(column.role, Role::Reading(_))
            && rest(column, "A").is_some_and(|rest| second.contains(&rest) && third.contains(&rest))
    };
    let phases: Vec<u32> = columns.iter().filter(|column| is_phase(column)).map(|column| column.column).collect();
    for column in columns.iter_mut().filter(|column| phases.contains(&column.column)) {
        let Some(item) = column.heading.items.first().copied() else { continue };
        let phase = CircuitMeaning { named: Named::Phase(0), naming: None, weight: 0.95 };
        column.heading.units = None;
        column.heading.circuits = vec![By { value: vec![phase], item }];
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        (column.role, column.fit) = role(view, &column.heading, own);
    }
}
