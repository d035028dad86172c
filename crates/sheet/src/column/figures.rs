//! Columns beside the readings that nobody measured: promised or demanded, changes from one test to the next, calculated values, the
//! background of partial discharges.

use super::{Cells, Column, Role};
use crate::fit::is_of_others;
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_model::{Dimension, Quantity};
use windrow_source::Content;
use windrow_text::figures::{Figure, is_calculated};
use windrow_text::marks::Statistic;
use windrow_text::vocabulary::Concept;

/// From this weight on a heading surely names the resistance whose change stands below it.
const NAMED: f32 = 0.5;

/// Settles them. A plate's own fields ("Nameplate" over "kW", "V") stay what they are.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let readings = columns.iter().filter(|column| matches!(column.role, Role::Reading(_)));
    let told: Vec<(u32, Statistic)> =
        readings.filter_map(|column| Some((column.column, set(view, columns, column, cells)?))).collect();
    for (at, statistic) in told {
        for column in columns.iter_mut().filter(|column| column.column == at) {
            (column.role, column.fit) = (Role::Statistic(statistic), 1.0);
        }
    }
}

/// What makes a column of readings none.
fn set(view: &View<'_>, columns: &[Column], column: &Column, cells: &Cells) -> Option<Statistic> {
    let figures = column.heading.items.iter().filter_map(|item| Some((item, view.sense(item).figure?)));
    for (item, figure) in figures {
        match figure {
            Figure::Promised | Figure::Demanded => return Some(Statistic::Limit),
            // "Change of insulation" over all columns is the title of what was measured.
            Figure::Change | Figure::Background if !heads_all(columns, item) => return Some(Statistic::Computed),
            Figure::Change | Figure::Background | Figure::Entries => {}
        }
    }
    let is_computed = is_change(view, columns, column, cells.get(&column.column)?)
        || is_calculated_beside_others(view, columns, column);
    is_computed.then_some(Statistic::Computed)
}

/// Whether a cell stands over all columns of readings.
fn heads_all(columns: &[Column], item: &Item) -> bool {
    let mut readings = columns.iter().filter(|column| matches!(column.role, Role::Reading(_)));
    readings.all(|column| column.heading.items.iter().any(|head| head.cell == item.cell))
}

/// "calc MΩ" beside the microamperes: an index is always calculated, and a corrected value says so otherwise.
fn is_calculated_beside_others(view: &View<'_>, columns: &[Column], column: &Column) -> bool {
    let says = |column: &Column| column.heading.items.iter().any(|item| is_calculated(&view.cell(item).text));
    let is_other = |other: &Column| {
        other.column != column.column && matches!(other.role, Role::Reading(_)) && !says(other) && !is_ratio(other.role)
    };
    says(column)
        && !is_ratio(column.role)
        && column.heading.reference_c.is_none()
        && !column.heading.has(Concept::CorrectedResistance)
        && columns.iter().any(is_other)
}

const fn is_ratio(role: Role) -> bool {
    matches!(role, Role::Reading(Some(quantity)) if is_of_others(quantity))
}

/// Signs that its numbers bear, and the company it stands in, make a column one of changes: no resistance is negative, and nobody writes a
/// plus before one.
fn is_change(view: &View<'_>, columns: &[Column], column: &Column, cells: &[Item]) -> bool {
    let Role::Reading(quantity) = column.role else { return false };
    let has = |quantity: Quantity| columns.iter().any(|column| column.role == Role::Reading(Some(quantity)));
    let is_difference = matches!(quantity, Some(Quantity::SurgeDifference | Quantity::Unbalance));
    let is_beside_surges = has(Quantity::SurgePeakVoltage) || has(Quantity::SurgeInceptionVoltage);
    // "Dif. R1, %": of the insulation.
    let names_insulation = column
        .heading
        .concepts
        .iter()
        .any(|(concept, weight, _)| *concept == Concept::InsulationResistance && *weight >= NAMED);
    if is_difference && names_insulation {
        return true;
    }
    let Signs { all, above, below, is_one_value } = signs(view, cells);
    let dimension = quantity.map(Quantity::dimension);
    if is_difference && is_beside_surges || all == 0 || dimension == Some(Dimension::Current) {
        return false;
    }
    let is_percent = column
        .heading
        .units
        .iter()
        .flat_map(|by| &by.value.0)
        .any(|meaning| meaning.unit.dimension == Dimension::Ratio && meaning.weight >= NAMED);
    let is_size = matches!(
        dimension,
        None | Some(Dimension::Resistance | Dimension::Capacitance | Dimension::Charge | Dimension::Inductance)
    );
    let is_of_resistances = is_difference && (has(Quantity::InsulationResistance) || has(Quantity::WindingResistance));
    above * 2 >= all || below > 0 && (is_size && (is_percent || below * 2 >= all && !is_one_value) || is_of_resistances)
}

/// The signs of a column's numbers.
struct Signs {
    all: usize,
    /// With a plus before them.
    above: usize,
    /// Below zero.
    below: usize,
    /// Whether all of those below zero are the same: a sign for something else ("-1").
    is_one_value: bool,
}

fn signs(view: &View<'_>, cells: &[Item]) -> Signs {
    let mut signs = Signs { all: 0, above: 0, below: 0, is_one_value: true };
    let mut first: Option<&str> = None;
    for item in cells.iter().filter(|item| view.sense(item).kind == Kind::Number) {
        let cell = view.cell(item);
        let text = cell.text.trim();
        let bears = |signs: &[char]| {
            text.strip_prefix(signs).is_some_and(|rest| rest.trim_start().starts_with(|c: char| c.is_ascii_digit()))
        };
        signs.all += 1;
        signs.above += usize::from(bears(&['+']));
        let is_below = match cell.content {
            Content::Number(value) => value < 0.0,
            _ => bears(&['-', '−', '–']),
        };
        if is_below {
            signs.below += 1;
            signs.is_one_value &= *first.get_or_insert(text) == text;
        }
    }
    signs
}
