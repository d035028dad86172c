//! Columns that the units of their cells, or their neighbours, make another thing than their headers say.

use super::{Cells, Column, Role};
use crate::fit::{Wants, wants};
use crate::view::{Item, View};
use windrow_model::{Dimension, Quantity, Question, Unit};
use windrow_text::vocabulary::Concept;

/// Least weight of a word that names its quantity for sure.
const SURE: f32 = 0.8;

/// Columns whose cells carry units of a circumstance: volts are the test voltage, degrees a temperature, whatever the header.
pub(super) fn settle_by_cells(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for column in columns {
        let Some(cells) = cells.get(&column.column).filter(|cells| !cells.is_empty()) else { continue };
        let share = |dimension: Dimension| {
            let sample = cells.iter().take(100);
            let all = sample.len();
            let has = |item: &&Item| {
                let amounts = crate::value::amounts(view.cell(item), view.sense(item));
                amounts.is_some_and(|amounts| {
                    amounts.parts.iter().any(|part| crate::value::unit_of(&part.units, dimension).is_some())
                })
            };
            sample.filter(has).count() * 10 >= all * 8
        };
        let wanted = match column.role {
            Role::Field(concept) => match wants(concept) {
                Wants::Number(Some(dimension)) => Some(dimension),
                _ => None,
            },
            Role::Reading(Some(quantity)) => Some(quantity.dimension()),
            _ => None,
        };
        // "Result" over "1.84 GΩ": measured values, no verdicts.
        let is_word = matches!(column.role, Role::Field(Concept::Result | Concept::Description | Concept::TestKind));
        if is_word && share(Dimension::Resistance) {
            (column.role, column.fit) = (Role::Reading(None), 0.9);
            continue;
        }
        let concept = if share(Dimension::Temperature) && wanted != Some(Dimension::Temperature) {
            let is_of_winding = column.heading.has(Concept::WindingKind);
            let place = column.heading.items.last().and_then(|item| crate::warmth::of_place(&view.cell(item).text));
            place.unwrap_or(if is_of_winding { Concept::WindingTemperature } else { Concept::Temperature })
        } else if share(Dimension::Voltage) && wanted != Some(Dimension::Voltage) {
            Concept::TestVoltage
        } else if share(Dimension::Time) && wanted.is_some_and(|wanted| wanted != Dimension::Time) {
            Concept::Elapsed
        } else {
            continue;
        };
        column.role = Role::Field(concept);
        column.fit = 0.9;
    }
}

/// A current in milliamperes or less is no rating: it was measured ("Strom mA" beside the voltage of a withstand test).
pub(super) fn settle_currents(columns: &mut [Column]) {
    for column in columns {
        let units = column.heading.units.iter().flat_map(|by| &by.value.0);
        let is_small = |unit: Unit| unit.dimension == Dimension::Current && unit.factor < Unit::AMPERE.factor;
        let mut units = units.filter(|meaning| meaning.weight >= 0.9);
        if column.role == Role::Field(Concept::RatedCurrent) && units.any(|meaning| is_small(meaning.unit)) {
            column.role = Role::Reading(Some(Quantity::LeakageCurrent));
        }
    }
}

/// A difference beside surge voltages is that of two wave forms, where no resistances of windings stand that could differ.
pub(super) fn settle_differences(view: &View<'_>, columns: &mut [Column]) {
    let has = |quantity| columns.iter().any(|column| column.role == Role::Reading(Some(quantity)));
    let in_ohms = |column: &&Column| {
        let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
        matches!(column.role, Role::Reading(None | Some(Quantity::WindingResistance)))
            && units.any(|meaning| meaning.weight >= 0.8 && meaning.unit.dimension == Dimension::Resistance)
    };
    // "Dif. %" beside the ohms of three phases and no surge is their difference.
    if !has(Quantity::SurgePeakVoltage)
        && !has(Quantity::SurgeInceptionVoltage)
        && columns.iter().filter(in_ohms).count() >= 2
    {
        let is_open = |column: &&mut Column| {
            column.role == Role::Reading(Some(Quantity::SurgeDifference))
                && !windrow_text::marks::names_surges(&column.heading.text(view))
        };
        for column in columns.iter_mut().filter(is_open) {
            column.role = Role::Reading(Some(Quantity::Unbalance));
            for (concept, ..) in &mut column.heading.concepts {
                if *concept == Concept::SurgeDifference {
                    *concept = Concept::Unbalance;
                }
            }
        }
        return;
    }
    let is_surge =
        has(Quantity::SurgePeakVoltage) || has(Quantity::SurgeInceptionVoltage) || has(Quantity::SurgeDifference);
    let is_discharge = has(Quantity::PdMagnitude) || has(Quantity::PdExtinctionVoltage);
    if !is_surge && !columns.iter().any(|column| in_ohms(&column)) {
        ask_vague_differences(view, columns);
        return;
    }
    if !is_surge || has(Quantity::WindingResistance) {
        return;
    }
    for column in columns.iter_mut() {
        match column.role {
            Role::Reading(Some(Quantity::Unbalance)) => column.role = Role::Reading(Some(Quantity::SurgeDifference)),
            // "Inception" beside a peak and no charge is that of an arc between turns.
            Role::Reading(Some(Quantity::PdInceptionVoltage))
                if !is_discharge && !names_discharge(&column.heading.text(view)) =>
            {
                column.role = Role::Reading(Some(Quantity::SurgeInceptionVoltage));
                for (concept, ..) in &mut column.heading.concepts {
                    if *concept == Concept::PdInception {
                        *concept = Concept::SurgeInception;
                    }
                }
            }
            // "First arc V" beside the peak: a voltage of which words say more than is understood is not what was applied.
            Role::Field(Concept::TestVoltage)
                if column.heading.concepts.is_empty() && !column.heading.unexplained.is_empty() =>
            {
                (column.role, column.fit) = (Role::Unknown, 0.0);
            }
            _ => {}
        }
    }
}

/// "Dev. %" beside volts and no ohms may be that of two waves or of resistances in another table.
fn ask_vague_differences(view: &View<'_>, columns: &mut [Column]) {
    let in_volts = |column: &Column| {
        let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
        matches!(column.role, Role::Reading(None) | Role::Field(Concept::TestVoltage))
            && units.any(|meaning| meaning.weight >= 0.8 && meaning.unit.dimension == Dimension::Voltage)
    };
    // "Surge comparison" over the table: they are of its waves.
    let of_surges = |(concept, weight): &(Concept, f32)| {
        *weight >= 0.6 && matches!(concept, Concept::SurgeDifference | Concept::SurgeVoltage)
    };
    let is_titled = view.items().iter().any(|item| view.sense(item).label.concepts.iter().any(of_surges));
    if is_titled || !columns.iter().any(in_volts) {
        return;
    }
    for column in columns.iter_mut().filter(|column| column.role == Role::Reading(Some(Quantity::Unbalance))) {
        if column.heading.concepts.iter().all(|(_, weight, _)| *weight < SURE) {
            column.role = Role::Asked(Question::Quantity);
        }
    }
}

/// Whether a heading says that it speaks of partial discharges. Common practice, no source.
fn names_discharge(text: &str) -> bool {
    const WORDS: [&str; 9] =
        ["pd", "dp", "te", "partial", "partielle", "partielles", "parciales", "teilentladung", "discharge"];
    const STARTS: [&str; 7] = ["teilentlad", "decharge", "descarga", "pdiv", "rpdiv", "dpi", "tidp"];
    let folded = windrow_text::fold::fold(text);
    folded.split(' ').any(|word| WORDS.contains(&word) || STARTS.iter().any(|start| word.starts_with(start)))
}
