//! Which circumstances a column may tell: a weak word ("after", "T") is a time or a temperature only where a unit, the cells or
//! the company of the column say so too, and a circuit in the heading speaks against it.

use crate::fit::{Wants, quantity, wants};
use crate::heading::{By, Heading};
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_model::Dimension;
use windrow_text::circuit::CircuitMeaning;
use windrow_text::vocabulary::Concept;

/// From this weight on a word alone makes a circumstance.
const SURE_WORD: f32 = 0.6;
/// From this weight on a heading surely names a circuit.
const SURE_CIRCUIT: f32 = 0.5;

/// Whether the heading's `concept` of this weight, told by `told`, may be the role of a column with these cells.
#[must_use]
pub fn supports(
    view: &View<'_>,
    heading: &Heading,
    (concept, weight, told): (Concept, f32, &Item),
    cells: &[Item],
) -> bool {
    if has_measured_unit(heading, concept)
        || is_warmth(view, heading, concept)
        // No construction of a winding is a number.
        || concept == Concept::WindingKind && are_numbers(view, cells)
        || contradicts_leaf(view, heading, concept, told)
        || is_over_axis(view, heading, concept, told)
        // "Test voltage 500 V DC" over a column says all that it has to say of voltages.
        || concept == Concept::TestVoltage && heading.voltage_v.is_some()
        || weight < SURE_WORD && contradicts_unit(heading, concept, told)
    {
        return false;
    }
    // "Test, 1 min" and "Survey" over "MΩ" head numbers, no words; the year of a rewind is one, though "rewound" is a stage too.
    if wants(concept) == Wants::Words
        && concept != Concept::Rewound
        && tells_reading(heading)
        && are_numbers(view, cells)
    {
        return false;
    }
    let is_circumstance = matches!(
        concept,
        Concept::Elapsed
            | Concept::TestVoltage
            | Concept::Temperature
            | Concept::WindingTemperature
            | Concept::AmbientTemperature
            | Concept::DewPoint
    );
    let (true, Wants::Number(Some(dimension))) = (is_circumstance, wants(concept)) else { return true };
    if weight >= SURE_WORD || tells_unit(heading, dimension) || cells_tell(view, cells, dimension) {
        return true;
    }
    !names_circuit(heading) && (concept != Concept::Elapsed || are_times(view, cells))
}

/// Whether a name over a group stands over leaves that say between what or when readings were taken: "High speed" over phases tells
/// no speed, "Time" over 15, 60 and 600 heads no times.
fn is_over_axis(view: &View<'_>, heading: &Heading, concept: Concept, told: &Item) -> bool {
    let Some(leaf) = heading.items.last().map(|item| item.row).filter(|leaf| told.row < *leaf) else { return false };
    let is_leaf = |item: &Item| item.row == leaf;
    // "Phases" over "U": a letter is sure where the sheet names all three so.
    let is_sure = |meaning: &CircuitMeaning| {
        meaning.weight >= SURE_CIRCUIT || meaning.naming.is_some_and(|naming| view.pools.names_all(naming))
    };
    let is_circuit = |by: &By<Vec<CircuitMeaning>>| is_leaf(&by.item) && by.value.iter().any(is_sure);
    let is_measured =
        quantity(concept).is_some() || matches!(concept, Concept::Resistance | Concept::CorrectedResistance);
    !is_measured
        && (heading.circuits.iter().any(is_circuit)
            || heading.elapsed_s.as_ref().is_some_and(|by| is_leaf(&by.item))
            || heading.duration.as_ref().is_some_and(|by| is_leaf(&by.item))
            || heading.number.as_ref().is_some_and(|by| is_leaf(&by.item)))
}

/// Whether a name over a group is of another kind than the unit right over the column: "°C" under "Insulation resistance". "Time, min"
/// over the column alone says what it counts, and a unit below it is one of its neighbour that a print has moved.
fn contradicts_leaf(view: &View<'_>, heading: &Heading, concept: Concept, told: &Item) -> bool {
    let Some(units) = heading.units.as_ref().filter(|units| units.item.row > told.row) else { return false };
    let Wants::Number(Some(dimension)) = wants(concept) else { return false };
    let own = &view.sense(told).label.units;
    if concept == Concept::Elapsed
        && told.right == told.column
        && own.iter().any(|meaning| meaning.unit.dimension == dimension)
    {
        return false;
    }
    dimension != Dimension::Ratio && units.value.0.iter().all(|meaning| meaning.unit.dimension != dimension)
}

/// Whether a heading of temperatures tells one itself: what stands below it are none.
fn is_warmth(view: &View<'_>, heading: &Heading, concept: Concept) -> bool {
    let is_temperature =
        matches!(concept, Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature);
    is_temperature && tells_warmth(view, heading)
}

/// Whether a heading tells how warm it was: "ohm, bridge, winding 24 °C".
pub(super) fn tells_warmth(view: &View<'_>, heading: &Heading) -> bool {
    !windrow_text::prose::temperatures(&heading.text(view)).is_empty()
}

/// Whether a heading that counts lines or steps or names the winding tells a unit of what is measured: "µA, 30 s after step".
fn has_measured_unit(heading: &Heading, concept: Concept) -> bool {
    let is_measured = |dimension| {
        matches!(dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance | Dimension::Charge)
    };
    let best = heading.units.as_ref().and_then(|by| by.value.0.first());
    matches!(concept, Concept::StepNumber | Concept::RowNumber | Concept::WindingKind | Concept::CorrectionFactor)
        && best.is_some_and(|best| best.weight >= 0.9 && !best.colloquial && is_measured(best.unit.dimension))
}

/// Whether a word that is short for many things stands beside a sure unit of another kind: "Dev. (°C)" tells no deviation, "U_pr [V]"
/// no dew point.
fn contradicts_unit(heading: &Heading, concept: Concept, told: &Item) -> bool {
    let Some(units) = heading.units.as_ref().filter(|units| units.item.cell == told.cell) else { return false };
    let wanted = match quantity(concept) {
        Some(quantity) => quantity.dimension(),
        None => match wants(concept) {
            Wants::Number(Some(dimension)) => dimension,
            _ => return false,
        },
    };
    let mut told = units.value.0.iter().filter(|meaning| meaning.weight >= 0.9 && !meaning.colloquial).peekable();
    told.peek().is_some()
        && told.all(|meaning| meaning.unit.dimension != wanted && meaning.unit.dimension != Dimension::Ratio)
}

/// Whether the heading says in what unit, between what or when a reading was taken.
fn tells_reading(heading: &Heading) -> bool {
    let is_measured =
        |dimension| matches!(dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance);
    let units = heading.units.iter().flat_map(|by| &by.value.0);
    heading.elapsed_s.is_some()
        || heading.duration.is_some()
        || heading.stage.is_some()
        || names_circuit(heading)
        || units.filter(|meaning| !meaning.colloquial).any(|meaning| is_measured(meaning.unit.dimension))
}

fn names_circuit(heading: &Heading) -> bool {
    heading.circuits.iter().flat_map(|by| &by.value).any(|meaning| meaning.weight >= SURE_CIRCUIT)
}

fn are_numbers(view: &View<'_>, cells: &[Item]) -> bool {
    let numbers = cells.iter().filter(|item| matches!(view.sense(item).kind, Kind::Number | Kind::Over)).count();
    !cells.is_empty() && numbers * 10 >= cells.len() * 7
}

fn tells_unit(heading: &Heading, dimension: Dimension) -> bool {
    heading.units.iter().flat_map(|by| &by.value.0).any(|meaning| meaning.unit.dimension == dimension)
}

/// Whether nearly all cells tell a unit of this kind themselves.
fn cells_tell(view: &View<'_>, cells: &[Item], dimension: Dimension) -> bool {
    let tells = |item: &&Item| {
        let (cell, sense) = (view.cell(item), view.sense(item));
        let is_duration = dimension == Dimension::Time && sense.kind == Kind::Duration;
        let is_timed = dimension == Dimension::Time && sense.label.elapsed_s.is_some();
        let measured = crate::value::amounts(cell, sense).is_some_and(|amounts| {
            amounts.parts.iter().any(|part| crate::value::unit_of(&part.units, dimension).is_some())
        });
        is_duration || is_timed || measured
    };
    !cells.is_empty() && cells.iter().filter(tells).count() * 10 >= cells.len() * 8
}

/// Whether the cells are numbers that records list as times.
fn are_times(view: &View<'_>, cells: &[Item]) -> bool {
    cells
        .iter()
        .all(|item| line::is_listed_time(view, item) || matches!(view.sense(item).kind, Kind::Ditto | Kind::Void))
}

/// Whether "min" heads numbers that are no minutes: the least of the others.
#[must_use]
pub fn is_least(view: &View<'_>, heading: &Heading, cells: &[Item]) -> bool {
    let is_min = |item: &Item| windrow_text::fold::fold(&view.cell(item).text).trim() == "min";
    // A label below the times ("PI") is none of them.
    let numbers: Vec<Item> = cells.iter().filter(|item| view.sense(item).kind != Kind::Text).copied().collect();
    heading.items.last().is_some_and(is_min) && are_numbers(view, cells) && !are_times(view, &numbers)
}
