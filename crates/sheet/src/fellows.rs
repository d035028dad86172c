//! Which readings of a line a circumstance speaks of, where a table tells it more than once or inside a group of columns: those of
//! its own group, else those that it stands behind (or before) each time; where neither holds, nothing chooses.

use crate::column::{Column, Role};
use crate::fit::names_machine;
use crate::view::{Orientation, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Quantity;
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;

/// The circumstance columns of a table that do not speak for whole lines.
#[derive(Debug, Default)]
pub struct Fellows {
    /// For such a column the columns of readings that it speaks of.
    of_field: BTreeMap<u32, BTreeSet<u32>>,
    /// Columns that tell the same circumstance, none of them nearer to any reading.
    rivals: Vec<(Concept, Vec<u32>)>,
}

impl Fellows {
    /// Whether the column speaks for some readings of its line only, or nothing says for which.
    #[must_use]
    pub fn is_partial(&self, field: u32) -> bool {
        self.of_field.contains_key(&field) || self.rivals.iter().any(|(_, rivals)| rivals.contains(&field))
    }

    /// The columns that speak of the readings of `column` only, or of some others as well.
    pub fn of(&self, column: u32) -> impl Iterator<Item = u32> + '_ {
        self.of_field.iter().filter(move |(_, readings)| readings.contains(&column)).map(|(field, _)| *field)
    }

    /// Sets of columns that tell the same circumstance of the same readings.
    #[must_use]
    pub fn rivals(&self) -> &[(Concept, Vec<u32>)] {
        &self.rivals
    }
}

/// Whether a circumstance may be told several times a line, once for each group of readings.
const fn may_repeat(concept: Concept) -> bool {
    is_measured(concept)
        || matches!(concept, Concept::Circuit | Concept::Stage | Concept::Result | Concept::Remarks | Concept::Tester)
}

/// Whether two different values of the circumstance contradict each other: a person is asked then.
const fn is_measured(concept: Concept) -> bool {
    matches!(
        concept,
        Concept::Date
            | Concept::Elapsed
            | Concept::TestVoltage
            | Concept::WindingTemperature
            | Concept::Temperature
            | Concept::AmbientTemperature
            | Concept::Humidity
            | Concept::DewPoint
    )
}

/// Finds them among the columns of a table.
#[must_use]
pub fn fellows(view: &View<'_>, columns: &[Column]) -> Fellows {
    let mut fellows = Fellows::default();
    let readings: Vec<&Column> = columns.iter().filter(|column| matches!(column.role, Role::Reading(_))).collect();
    let all: BTreeSet<u32> = readings.iter().map(|column| column.column).collect();
    let mut told: BTreeMap<(Concept, BTreeSet<u32>), Vec<u32>> = BTreeMap::new();
    for field in columns {
        let Role::Field(concept) = field.role else { continue };
        if may_repeat(concept) {
            let own = of_group(field, &readings, columns).or_else(|| beyond_gap(view, field, &readings, columns));
            told.entry((concept, own.unwrap_or_else(|| all.clone()))).or_default().push(field.column);
        }
    }
    for ((concept, readings), fields) in told {
        if let [field] = fields.as_slice() {
            let own = if concept == Concept::TestVoltage { of_currents(*field, columns) } else { None };
            if readings != all {
                fellows.of_field.insert(*field, readings);
            } else if let Some(own) = own {
                fellows.of_field.insert(*field, own);
            }
            continue;
        }
        match by_word(view, columns, &fields, &readings).or_else(|| in_turn(&fields, &readings)) {
            Some(pairs) => fellows.of_field.extend(pairs),
            None if is_measured(concept) && !readings.is_empty() => fellows.rivals.push((concept, fields)),
            None => {}
        }
    }
    fellows
}

/// In a view turned over the readings beyond the empty line of the sheet behind which times stand: they head a table that stands below
/// the first one.
fn beyond_gap(view: &View<'_>, field: &Column, readings: &[&Column], columns: &[Column]) -> Option<BTreeSet<u32>> {
    let is_first = !columns.iter().any(|column| column.column + 1 == field.column);
    let is_stacked = view.orientation == Orientation::Turned && field.role == Role::Field(Concept::Elapsed) && is_first;
    let (behind, before): (Vec<u32>, Vec<u32>) =
        readings.iter().map(|reading| reading.column).partition(|column| *column > field.column);
    (is_stacked && !behind.is_empty() && !before.is_empty()).then(|| behind.into_iter().collect())
}

/// The readings under the lowest header cell that the field shares with any. What stands over the machine's column as well is a
/// title and groups nothing.
fn of_group(field: &Column, readings: &[&Column], columns: &[Column]) -> Option<BTreeSet<u32>> {
    let is_under = |column: &Column, cell: u32| column.heading.items.iter().any(|item| item.cell == cell);
    let keys = || columns.iter().filter(|column| matches!(column.role, Role::Field(concept) if names_machine(concept)));
    field.heading.items.iter().rev().filter(|item| !keys().any(|key| is_under(key, item.cell))).find_map(|item| {
        let under = readings.iter().filter(|column| is_under(column, item.cell));
        let under: BTreeSet<u32> = under.map(|column| column.column).collect();
        (!under.is_empty()).then_some(under)
    })
}

/// "1 min MΩ | kV | Leakage µA": the currents behind a voltage, where resistances stand before it, are what it was applied for.
fn of_currents(field: u32, columns: &[Column]) -> Option<BTreeSet<u32>> {
    let is_current = |column: &Column| column.role == Role::Reading(Some(Quantity::LeakageCurrent));
    let readings = || columns.iter().filter(|column| matches!(column.role, Role::Reading(_)));
    let behind: Vec<&Column> = readings().filter(|column| column.column > field).collect();
    let before = readings().filter(|column| column.column < field && !is_current(column)).count();
    let are_apart = before > 0 && !behind.is_empty() && behind.iter().all(|column| is_current(column));
    are_apart.then(|| behind.iter().map(|column| column.column).collect())
}

/// "Volts stator | Volts rotor" beside "MΩ stator | MΩ rotor": each speaks of the readings that share the word which sets it apart.
fn by_word(
    view: &View<'_>,
    columns: &[Column],
    fields: &[u32],
    readings: &BTreeSet<u32>,
) -> Option<Vec<(u32, BTreeSet<u32>)>> {
    let words = |at: u32| -> BTreeSet<String> {
        let column = columns.iter().find(|column| column.column == at);
        let text = column.map(|column| fold(&column.heading.text(view))).unwrap_or_default();
        text.split(' ').filter(|word| word.chars().count() >= 3).map(str::to_owned).collect()
    };
    let told: Vec<BTreeSet<String>> = fields.iter().map(|field| words(*field)).collect();
    let mut pairs: Vec<(u32, BTreeSet<u32>)> = Vec::new();
    for (at, own) in told.iter().enumerate() {
        let is_shared =
            |word: &&String| told.iter().enumerate().any(|(other, words)| other != at && words.contains(*word));
        let apart: Vec<&String> = own.iter().filter(|word| !is_shared(word)).collect();
        let names = |reading: &&u32| {
            let words = words(**reading);
            apart.iter().any(|word| words.contains(*word))
        };
        pairs.push((*fields.get(at)?, readings.iter().filter(names).copied().collect()));
    }
    let count: usize = pairs.iter().map(|(_, readings)| readings.len()).sum();
    let all: BTreeSet<u32> = pairs.iter().flat_map(|(_, readings)| readings.iter().copied()).collect();
    (pairs.iter().all(|(_, readings)| !readings.is_empty()) && count == all.len()).then_some(pairs)
}

/// Readings and fields that take turns: `R R T R R T` or `T R R T R R`.
fn in_turn(fields: &[u32], readings: &BTreeSet<u32>) -> Option<Vec<(u32, BTreeSet<u32>)>> {
    let (first, last) = (*fields.first()?, *fields.last()?);
    let between = |from: Option<u32>, to: Option<u32>| -> BTreeSet<u32> {
        let is_between = |column: &u32| from.is_none_or(|from| *column > from) && to.is_none_or(|to| *column < to);
        readings.iter().copied().filter(is_between).collect()
    };
    let pairs: Vec<(u32, BTreeSet<u32>)> = if between(Some(last), None).is_empty() {
        let before = std::iter::once(None).chain(fields.iter().copied().map(Some));
        before.zip(fields).map(|(from, field)| (*field, between(from, Some(*field)))).collect()
    } else if between(None, Some(first)).is_empty() {
        let after = fields.iter().skip(1).copied().map(Some).chain([None]);
        fields.iter().zip(after).map(|(field, to)| (*field, between(Some(*field), to))).collect()
    } else {
        return None;
    };
    pairs.iter().all(|(_, readings)| !readings.is_empty()).then_some(pairs)
}
