//! Bare volts: of the test or of the nameplate.

use super::{Cells, Column, Role};
use crate::fit::names_machine;
use crate::view::{Item, View};
use windrow_model::{Dimension, Quantity};
use windrow_text::vocabulary::Concept;

/// Usual test voltages, V. Common practice; the steps are those of IEEE 43-2013 table 1 (from memory).
const TEST_VOLTAGES: [f64; 9] = [50.0, 100.0, 250.0, 500.0, 1000.0, 2500.0, 5000.0, 10_000.0, 15_000.0];

/// Bare "Volts" beside readings is the test voltage if all of them are usual ones; in a register it is the rated voltage.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let has_readings = columns.iter().any(|column| matches!(column.role, Role::Reading(_)));
    let at_chosen_voltage = columns.iter().any(|column| {
        let quantity = match column.role {
            Role::Reading(quantity) => quantity,
            _ => None,
        };
        quantity.is_some_and(|quantity| {
            !matches!(quantity.dimension(), Dimension::Resistance) && quantity != Quantity::PolarizationIndex
        })
    });
    let has_plate = columns.iter().any(|column| {
        matches!(
            column.role,
            Role::Field(Concept::RatedPower | Concept::RatedCurrent | Concept::RatedSpeed | Concept::MadeYear)
        )
    });
    let has_machines =
        columns.iter().any(|column| matches!(column.role, Role::Field(concept) if names_machine(concept)));
    for column in columns {
        if !matches!(column.role, Role::Field(Concept::RatedVoltage | Concept::TestVoltage)) {
            continue;
        }
        let sure = column.heading.concepts.first().is_some_and(|(_, weight, _)| *weight >= 0.9)
            && !(column.heading.has(Concept::RatedVoltage) && column.heading.has(Concept::TestVoltage));
        if sure {
            continue;
        }
        let usual = cells.get(&column.column).is_some_and(|cells| {
            cells.iter().filter_map(|item| volts(view, item)).all(|volts| TEST_VOLTAGES.contains(&volts))
        });
        // Steps: one machine has one rating.
        let changes = cells.get(&column.column).is_some_and(|cells| {
            let mut volts = cells.iter().filter_map(|item| volts(view, item));
            volts.next().is_some_and(|first| volts.any(|other| other.total_cmp(&first).is_ne()))
        });
        let is_chosen = usual || at_chosen_voltage || changes && !has_machines;
        let concept =
            if has_readings && is_chosen && !has_plate { Concept::TestVoltage } else { Concept::RatedVoltage };
        column.role = Role::Field(concept);
    }
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
            volts.peek().is_some() && volts.all(|volts| TEST_VOLTAGES.contains(&volts))
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
