//! Columns that change what the numbers of the readings beside them mean: multipliers of a dial and flags of over-range.

use super::{Cells, Column, Role};
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Quantity;
use windrow_source::Content;
use windrow_text::vocabulary::Concept;

/// Fit of a multiplier's column whose heading does not say that it is one.
pub const UNNAMED: f32 = 0.5;

/// "Multiplier" over 1, 10 and 100 multiplies a dial, over 0.7 and 1.4 it corrects a temperature; "factor" or a heading that is not
/// understood over powers of ten may be either, and leaves the readings before it to a person.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for column in columns.iter_mut() {
        let is_open = match column.role {
            Role::Unknown => true,
            Role::Field(concept) => {
                matches!(concept, Concept::Multiplier | Concept::CorrectionFactor | Concept::Exponent)
            }
            _ => false,
        };
        let Some(own) = cells.get(&column.column).filter(|own| is_open && !own.is_empty()) else { continue };
        if column.heading.has(Concept::Exponent) {
            (column.role, column.fit) = (Role::Field(Concept::Exponent), 0.9);
            continue;
        }
        // "E4", "T3": a letter and a number say where something stands, unless the heading says that they multiply.
        let is_bare =
            |item: &Item| !view.cell(item).text.trim().starts_with(|c: char| c.is_alphabetic() && !"xX".contains(c));
        let may_be = |item: &Item| column.role != Role::Unknown || is_bare(item);
        let powers: Option<BTreeSet<i32>> = own.iter().map(|item| power(view, item).filter(|_| may_be(item))).collect();
        // "x100": a factor that says so itself.
        let is_signed = |item: &Item| view.cell(item).text.trim().starts_with(['x', 'X', '×']);
        let is_named = column.heading.has(Concept::Multiplier) || own.iter().any(is_signed);
        // "Range" over 1, 10, 100 and one that cannot be read.
        let some: BTreeSet<i32> = own.iter().filter_map(|item| power(view, item)).collect();
        let read = own.iter().filter(|item| power(view, item).is_some()).count();
        let is_range = || windrow_text::marks::names_range(&column.heading.text(view));
        let is_range = some.len() >= 2 && read * 5 >= own.len() * 4 && is_range();
        let is_multiplier = is_range
            || powers.is_some_and(|powers| {
                // Counts of one and ten are numbers as others are; a tenth, a hundred and a thousand beside each other are a range.
                match column.role {
                    _ if is_named => true,
                    Role::Field(_) => powers.iter().any(|power| *power != 0),
                    _ => powers.len() >= 3,
                }
            });
        match (is_multiplier, column.role) {
            (true, _) => {
                let fit = if is_named { 0.9 } else { UNNAMED };
                (column.role, column.fit) = (Role::Field(Concept::Multiplier), fit);
            }
            (false, Role::Field(Concept::Multiplier)) => column.role = Role::Field(Concept::CorrectionFactor),
            _ => {}
        }
    }
    name_dials(columns);
}

/// "Dial", "Pointer": numbers right before their multiplier are the readings, whatever they are called.
fn name_dials(columns: &mut [Column]) {
    for at in 1..columns.len() {
        let is_multiplier = matches!(columns[at].role, Role::Field(Concept::Multiplier | Concept::Exponent));
        let is_named = is_multiplier && columns[at].fit > UNNAMED;
        let dial = &mut columns[at - 1];
        if is_named && dial.role == Role::Unknown && dial.fit >= 0.5 {
            dial.role = Role::Reading(None);
            dial.heading.unexplained.clear();
        }
    }
}

/// The power of ten that a cell is.
pub(crate) fn power(view: &View<'_>, item: &Item) -> Option<i32> {
    let cell = view.cell(item);
    match cell.content {
        Content::Number(value) => windrow_text::unit::power_of_ten(&value.to_string()),
        _ => windrow_text::unit::power_of_ten(cell.text.trim()),
    }
}

/// The power that ten is raised to in a cell under "exponent".
pub(crate) fn exponent(view: &View<'_>, item: &Item) -> Option<i32> {
    let cell = view.cell(item);
    let number = match cell.content {
        Content::Number(value) => value,
        _ => cell.text.trim().replace('−', "-").parse::<f64>().ok()?,
    };
    let is_power = number.fract() == 0.0 && number.abs() <= 15.0;
    #[expect(clippy::cast_possible_truncation, reason = "a whole number of at most fifteen")]
    is_power.then_some(number as i32)
}

/// Whether "Exp" may be of something else ("expected", "exposure"): beside a mantissa or bare ohms it is the exponent.
fn may_be_another(column: &Column, columns: &[Column]) -> bool {
    let weight =
        column.heading.concepts.iter().find(|(known, ..)| *known == Concept::Exponent).map_or(0.0, |known| known.1);
    let is_bare = |other: &Column| {
        let unit = other.heading.units.as_ref().and_then(|by| by.value.0.first());
        matches!(other.role, Role::Reading(_)) && unit.is_none_or(|best| best.unit.to_stored(1.0) <= 1.0)
    };
    weight < 0.9 && !columns.iter().any(is_bare)
}

/// For each column of readings the column of `concept` that speaks of it, and whether that is sure: of the insulation readings in unbroken
/// turn right before it, else of those right behind it. One that stands beside none may speak of any.
#[must_use]
pub fn companions(columns: &[Column], concept: Concept) -> BTreeMap<u32, (u32, bool)> {
    let is_reading = |column: &&Column| matches!(column.role, Role::Reading(_));
    let is_own = |column: &&Column| {
        let is_insulation = matches!(column.role, Role::Reading(None | Some(Quantity::InsulationResistance)))
            || concept == Concept::Exponent && is_reading(column);
        is_insulation && !column.heading.has(Concept::EarlierReading)
    };
    let is_between = |column: &Column| {
        matches!(
            column.role,
            Role::Field(Concept::UnitColumn | Concept::OverRange | Concept::Multiplier | Concept::Exponent)
        )
    };
    let mut found = BTreeMap::new();
    for (at, column) in columns.iter().enumerate().filter(|(_, column)| column.role == Role::Field(concept)) {
        let before = columns[..at].iter().rev().skip_while(|other| is_between(other) && other.role != column.role);
        let before: Vec<u32> = before.take_while(is_own).map(|other| other.column).collect();
        let behind = columns[at + 1..].iter().skip_while(|other| is_between(other) && other.role != column.role);
        let behind: Vec<u32> = behind.take_while(is_own).map(|other| other.column).collect();
        let beside = if before.is_empty() { behind } else { before };
        // One flag behind three phases does not say which of them it is.
        let is_one = concept != Concept::OverRange || beside.len() == 1;
        // "R | unit | winding °C | flag": the only readings of a table are those that its flags speak of.
        let is_only = concept == Concept::OverRange && columns.iter().filter(is_reading).count() == 1;
        let is_sure = is_only
            || !beside.is_empty() && is_one && !(concept == Concept::Exponent && may_be_another(column, columns));
        let all = || columns.iter().filter(is_reading).map(|other| other.column).collect();
        for reading in if beside.is_empty() { all() } else { beside } {
            found.entry(reading).or_insert((column.column, is_sure));
        }
    }
    found
}
