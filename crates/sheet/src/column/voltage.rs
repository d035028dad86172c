//! Bare volts: of the test or of the nameplate.

use super::{Cells, Column, Role};
use crate::fit::names_machine;
use crate::view::{Item, View};
use std::collections::BTreeMap;
use windrow_model::{Dimension, Quantity, Question};
use windrow_text::circuit::Named;
use windrow_text::vocabulary::Concept;
use windrow_text::volts::{is_test_step, is_usual};

/// Bare "Volts" beside readings is the test voltage if all of them are usual ones; in a register it is the rated voltage.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let has_readings = columns.iter().any(|column| matches!(column.role, Role::Reading(_)));
    let at_chosen_voltage = columns.iter().any(|column| {
        let quantity = match column.role {
            Role::Reading(quantity) => quantity,
            _ => None,
        };
        quantity.is_some_and(|quantity| {
            !matches!(quantity.dimension(), Dimension::Resistance)
                && quantity != Quantity::PolarizationIndex
                && (quantity != Quantity::LeakageCurrent || is_leakage(column))
        })
    });
    let has_insulation =
        columns.iter().any(|column| column.role == Role::Reading(Some(Quantity::InsulationResistance)));
    let has_current = columns.iter().any(|column| column.role == Role::Reading(Some(Quantity::LeakageCurrent)));
    let has_plate = columns.iter().any(|column| {
        matches!(
            column.role,
            Role::Field(Concept::RatedPower | Concept::RatedCurrent | Concept::RatedSpeed | Concept::MadeYear)
        )
    });
    let has_machines =
        columns.iter().any(|column| matches!(column.role, Role::Field(concept) if names_machine(concept)));
    let tags = columns.iter().find(|column| column.role == Role::Field(Concept::Tag));
    let machines = tags.and_then(|column| cells.get(&column.column));
    let named = columns.iter().filter(|column| is_sure(column)).map(|column| column.role);
    let named: Vec<Role> = named.collect();
    for column in columns {
        if !matches!(column.role, Role::Field(Concept::RatedVoltage | Concept::TestVoltage)) {
            continue;
        }
        if is_sure(column) {
            continue;
        }
        let usual = cells
            .get(&column.column)
            .is_some_and(|cells| cells.iter().filter_map(|item| volts(view, item)).all(is_usual));
        // Steps: one machine has one rating.
        let changes = cells.get(&column.column).is_some_and(|cells| {
            let mut volts = cells.iter().filter_map(|item| volts(view, item));
            volts.next().is_some_and(|first| volts.any(|other| other.total_cmp(&first).is_ne()))
        });
        let is_chosen = usual || at_chosen_voltage || changes && !has_machines;
        if let Some(concept) = by_neighbours(column, &named, usual).filter(|_| has_readings) {
            column.role = Role::Field(concept);
            continue;
        }
        // "U (kV) | I | Riso" of each machine: what it runs on, or what it was tested with.
        let some_usual = cells.get(&column.column).is_some_and(|cells| {
            let volts = || cells.iter().filter_map(|item| volts(view, item));
            volts().filter(|volts| is_test_step(*volts)).count() * 2 >= volts().count()
        });
        // Pumps of two stations may share a name, but no ratings that are steps of a tester.
        if has_readings && some_usual && differs_within_machines(view, machines, cells.get(&column.column)) {
            column.role = Role::Field(Concept::TestVoltage);
            continue;
        }
        if has_insulation && has_machines && !is_chosen && !has_plate && (has_current || some_usual) {
            column.role = Role::Asked(Question::Voltage);
            continue;
        }
        let concept =
            if has_readings && is_chosen && !has_plate { Concept::TestVoltage } else { Concept::RatedVoltage };
        column.role = Role::Field(concept);
    }
}

/// What a column of volts tells beside others that surely tell one thing: no machine has a rating of each day, and what another column
/// tells this one does not.
fn by_neighbours(column: &Column, named: &[Role], usual: bool) -> Option<Concept> {
    let is_named = |concept: Concept| named.contains(&Role::Field(concept));
    let is_of_test = is_named(Concept::RatedVoltage) || column.heading.date.is_some();
    if usual && is_of_test && !is_named(Concept::TestVoltage) {
        return Some(Concept::TestVoltage);
    }
    (is_named(Concept::TestVoltage) && column.heading.has(Concept::RatedVoltage)).then_some(Concept::RatedVoltage)
}

/// Whether two lines of one machine tell different volts: it has one rating.
fn differs_within_machines(view: &View<'_>, machines: Option<&Vec<Item>>, cells: Option<&Vec<Item>>) -> bool {
    let (Some(machines), Some(cells)) = (machines, cells) else { return false };
    let mut told: BTreeMap<&str, f64> = BTreeMap::new();
    cells.iter().any(|item| {
        let machine = machines.iter().find(|machine| machine.row == item.row);
        let (Some(machine), Some(volts)) = (machine, volts(view, item)) else { return false };
        let known = *told.entry(view.cell(machine).text.trim()).or_insert(volts);
        known.total_cmp(&volts).is_ne()
    })
}

/// Whether a heading says for sure of which voltage it speaks.
fn is_sure(column: &Column) -> bool {
    column.heading.concepts.first().is_some_and(|(_, weight, _)| *weight >= 0.9)
        && !(column.heading.has(Concept::RatedVoltage) && column.heading.has(Concept::TestVoltage))
}

/// "Rotor volts" that is not understood beside "Stator volts": which readings each of them is for, a person knows.
pub(super) fn settle_windings(columns: &mut [Column]) {
    let is_of_winding = |column: &Column| {
        column.heading.circuits.iter().flat_map(|by| &by.value).any(|told| matches!(told.named, Named::Special(_)))
    };
    let is_volts = |column: &Column| {
        let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
        units.any(|meaning| meaning.unit.dimension == Dimension::Voltage)
    };
    let is_read = |column: &Column| matches!(column.role, Role::Field(Concept::TestVoltage | Concept::RatedVoltage));
    if columns.iter().any(|column| is_of_winding(column) && is_volts(column) && !is_read(column)) {
        for column in columns.iter_mut().filter(|column| column.role == Role::Field(Concept::TestVoltage)) {
            column.role = Role::Asked(Question::Voltage);
        }
    }
}

/// Whether a column of currents says that it holds those of insulation, by its name or by a unit that no motor's current has.
fn is_leakage(column: &Column) -> bool {
    let is_named = column.heading.concepts.iter().any(|(concept, ..)| *concept == Concept::LeakageCurrent);
    let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
    is_named || units.any(|meaning| meaning.unit.dimension == Dimension::Current && meaning.unit.factor < 1.0)
}

/// "U nominal" of a tester's step beside "U actual": what was set, no rating of the machine.
pub(super) fn settle_settings(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_sure = |column: &Column| {
        column.heading.concepts.iter().any(|(concept, weight, _)| *concept == Concept::TestVoltage && *weight >= 0.9)
    };
    let first_word = |column: &Column| {
        let text = column.heading.text(view);
        text.split_whitespace().next().map(windrow_text::fold::fold)
    };
    let applied: Vec<_> = columns
        .iter()
        .filter(|column| column.role == Role::Field(Concept::TestVoltage) && is_sure(column))
        .filter_map(first_word)
        .collect();
    for column in columns {
        let is_named_alike = || first_word(column).is_some_and(|word| applied.contains(&word));
        let are_steps = || {
            let mut volts =
                cells.get(&column.column).into_iter().flatten().filter_map(|item| volts(view, item)).peekable();
            volts.peek().is_some() && volts.all(is_usual)
        };
        if column.role == Role::Field(Concept::RatedVoltage) && is_named_alike() && are_steps() {
            column.role = Role::Field(Concept::OtherFigure);
        }
    }
}

fn volts(view: &View<'_>, item: &Item) -> Option<f64> {
    let amounts = crate::value::amounts(view.cell(item), view.sense(item))?;
    let amount = amounts.parts.first()?;
    let number = amount.numbers.first()?.value;
    let unit = crate::value::unit_of(&amount.units, Dimension::Voltage);
    Some(unit.map_or(if number < 50.0 { number * 1000.0 } else { number }, |unit| unit.to_stored(number)))
}
