//! Columns whose cells say what they are where the heading does not: units behind values, circuits under a vague word, years under the
//! name of a machine.

use super::{Cells, Column, Role};
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Dimension;
use windrow_source::Content;
use windrow_text::circuit::{CircuitMeaning, Named};
use windrow_text::vocabulary::Concept;

/// Settles them.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for index in 0..columns.len() {
        let Some(own) = cells.get(&columns[index].column).filter(|own| !own.is_empty()) else { continue };
        let is_new = |concept: Concept| columns.iter().all(|column| column.role != Role::Field(concept));
        // Each visit may have its values and their units beside them.
        let is_behind = || index.checked_sub(1).is_some_and(|before| matches!(columns[before].role, Role::Reading(_)));
        let is_misnamed = || !is_new(Concept::Circuit) && are_names(view, &columns[index], own);
        let concept = if is_new(Concept::Tag) && (are_machines(view, &columns[index], own) || is_misnamed()) {
            Concept::Tag
        } else if (is_new(Concept::UnitColumn) || is_behind()) && are_units(view, &columns[index], own) {
            Concept::UnitColumn
        } else if is_new(Concept::Circuit)
            && (are_circuits(view, &columns[index], own) || are_numbered_phases(view, &columns[index], own))
        {
            Concept::Circuit
        } else if is_new(Concept::Date)
            && (are_dates(view, &columns[index], own) || are_years(view, columns, index, own))
        {
            Concept::Date
        } else if is_new(Concept::OverRange) && tell_bounds(view, &columns[index], own) {
            Concept::OverRange
        } else {
            continue;
        };
        (columns[index].role, columns[index].fit) = (Role::Field(concept), 0.9);
    }
    years_of_tests(view, columns, cells);
    results(view, columns, cells);
    repeats(view, columns, cells);
}

/// "Année" beside machines that stand there with several years: no machine was made twice, so they are those of the tests.
fn years_of_tests(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let has_date =
        columns.iter().any(|column| column.role == Role::Field(Concept::Date) || column.heading.date.is_some());
    let is_year = |column: &Column| {
        let is_bare = column.heading.items.last().is_some_and(|item| view.sense(item).words == 1);
        column.role == Role::Field(Concept::MadeYear) && is_bare && column.fit >= 0.9
    };
    let names = columns.iter().find(|column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial)));
    let (Some(names), Some(at), false) = (names, columns.iter().position(is_year), has_date) else { return };
    let own = |column: &Column| cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
    let mut years: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for year in own(&columns[at]) {
        let name = own(names).iter().find(|name| name.row == year.row).map(|name| view.cell(name).text.trim());
        if let Some(name) = name {
            years.entry(name).or_default().insert(view.cell(year).text.trim());
        }
    }
    if years.values().any(|years| years.len() >= 2) {
        (columns[at].role, columns[at].fit) = (Role::Field(Concept::Date), 0.9);
    }
}

/// "Test 1 | Test 2 | Test 3" over numbers: the same reading several times.
fn repeats(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let numbered = |column: &Column| {
        let is_open = column.role == Role::Unknown && column.fit >= 0.7;
        let is_kind = column.heading.concepts.iter().all(|(concept, ..)| *concept == Concept::TestKind);
        let [item] = column.heading.items.as_slice() else { return None };
        let (word, number) = view.cell(item).text.trim().rsplit_once(' ')?;
        let has_cells = cells.get(&column.column).is_some_and(|own| !own.is_empty());
        let number: u8 = number.parse().ok()?;
        (is_open && is_kind && has_cells && column.heading.unexplained.is_empty()).then(|| (word.to_owned(), number))
    };
    let names: Vec<Option<(String, u8)>> = columns.iter().map(numbered).collect();
    for index in 0..columns.len() {
        let Some((word, number)) = &names[index] else { continue };
        let is_fellow =
            |other: &Option<(String, u8)>| other.as_ref().is_some_and(|(own, at)| own == word && at != number);
        if names.iter().any(is_fellow) {
            columns[index].role = Role::Reading(None);
        }
    }
}

/// "Result" over numbers with their units ("18.4 mΩ") or beside a column of them, in a table that holds no other readings: what was
/// measured, no verdict.
fn results(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let has_units = columns.iter().any(|column| column.role == Role::Field(Concept::UnitColumn));
    if columns.iter().any(|column| matches!(column.role, Role::Reading(_))) {
        return;
    }
    let has_unit = |item: &Item| {
        let measure = view.sense(item).measure.as_ref();
        measure.is_some_and(|measure| measure.parts.iter().any(|part| !part.units.is_empty()))
    };
    // "Messung" over "Wert": the group is of tests, and what stands right over the numbers heads values.
    let heads_values = |column: &Column| {
        column.role == Role::Field(Concept::TestKind)
            && column.heading.items.len() >= 2
            && column.heading.items.last().is_some_and(|item| windrow_text::marks::heads_values(&view.cell(item).text))
    };
    let may_be = |column: &Column| column.role == Role::Field(Concept::Result) || heads_values(column);
    for column in columns.iter_mut().filter(|column| may_be(column)) {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let is_number =
            |item: &&Item| matches!(view.sense(item).kind, Kind::Number | Kind::Over) && (has_units || has_unit(item));
        let numbers = own.iter().filter(is_number).count();
        if !own.is_empty() && numbers * 10 >= own.len() * 8 {
            (column.role, column.fit) = (Role::Reading(None), 0.9);
            column.heading.concepts.clear();
        }
    }
}

/// Whether a column of texts is headed by a word for a machine alone ("Pump", "Treuil"): they are its names, whatever else "T1" is.
pub(super) fn are_machines(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let [item] = column.heading.items.as_slice() else { return false };
    let is_word = windrow_text::said::names_machine(&windrow_text::fold::fold(view.cell(item).text.trim()));
    let is_text = |item: &&Item| {
        view.cell(item).content == Content::Text && matches!(view.sense(item).kind, Kind::Text | Kind::Ditto)
    };
    column.role == Role::Unknown
        && column.heading.concepts.is_empty()
        && is_word
        && cells.iter().filter(is_text).count() * 10 >= cells.len() * 9
}

/// "Measuring point" over "Well pump 3", beside a column of terminals: of a word for where was measured, the machines.
fn are_names(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let is_name = |item: &Item| {
        let sense = view.sense(item);
        matches!(sense.kind, Kind::Text | Kind::Ditto) && sense.circuits.is_empty() && !sense.is_pure_label()
    };
    column.role == Role::Unknown
        && column.heading.unexplained.is_empty()
        && column.heading.concepts.first().is_some_and(|(concept, ..)| *concept == Concept::Circuit)
        && cells.iter().all(is_name)
}

/// Whether a column without a heading, or under one that fits nothing in it, holds units of resistances or currents ("85 | MΩ").
fn are_units(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let is_unit = |item: &&Item| {
        let mut units = view.sense(item).label.units.iter();
        line::names_unit(view.sense(item))
            && units.any(|meaning| matches!(meaning.unit.dimension, Dimension::Resistance | Dimension::Current))
    };
    let is_open = column.heading.items.is_empty() || column.role == Role::Unknown;
    is_open && cells.iter().filter(is_unit).count() * 10 >= cells.len() * 8
}

/// Whether a column headed by a word for tests holds the terminals between which was measured ("Messung" over "U1–PE").
fn are_circuits(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    // "Leads" over "1-2" counts none.
    let vague = |concept: Concept| matches!(concept, Concept::TestKind | Concept::WindingKind | Concept::OtherPlate);
    let is_vague = match column.role {
        Role::Unknown => {
            !column.heading.items.is_empty()
                && column.heading.concepts.iter().all(|(concept, ..)| vague(*concept))
                // "Winch" over "T1" and "T2" names machines: a word that nothing explains needs all three phases or pairs of them.
                && (!column.heading.concepts.is_empty() || names_all(view, cells))
        }
        Role::Field(concept) => vague(concept),
        _ => false,
    };
    let is_circuit = |item: &&Item| {
        let sense = view.sense(item);
        let mut meanings = sense.circuits.iter().filter(|meaning| meaning.weight >= 0.5);
        // "1-2" reads as a range too.
        let may_be = |kind| matches!(kind, Kind::Text | Kind::Number | Kind::Date);
        may_be(sense.kind) && sense.words <= 4 && meanings.any(|meaning| sense.kind == Kind::Text || is_pair(meaning))
    };
    let is_sure = |item: &&Item| {
        let mut meanings = view.sense(item).circuits.iter();
        is_circuit(item) && meanings.any(|meaning| meaning.weight >= 0.9)
    };
    let are_sure =
        column.role == Role::Unknown && !column.heading.items.is_empty() && cells.iter().all(|item| is_sure(&item));
    are_sure || is_vague && cells.iter().filter(is_circuit).count() * 10 >= cells.len() * 8
}

/// Whether a column headed by a word for phases counts them: 1, 2 and 3, and nothing else.
fn are_numbered_phases(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let [head] = column.heading.items.as_slice() else { return false };
    let number = |item: &Item| windrow_text::circuit::numbered(&view.cell(head).text, &view.cell(item).text);
    let named: Option<Vec<_>> = cells.iter().map(number).collect();
    let has = |phase: u8| named.iter().flatten().any(|meaning| meaning.named == Named::Phase(phase));
    column.role == Role::Unknown && named.is_some() && (0..3).all(has)
}

/// Whether cells name all three phases, or terminals of two sides.
fn names_all(view: &View<'_>, cells: &[Item]) -> bool {
    let meanings = || cells.iter().flat_map(|item| &view.sense(item).circuits).filter(|meaning| meaning.weight >= 0.5);
    let has = |phase: u8| meanings().any(|meaning| meaning.named == Named::Phase(phase));
    (0..3).all(has) || meanings().any(|meaning| !matches!(meaning.named, Named::Phase(_)))
}

/// Whether a column holds codes that a legend explains, some of them as over range, under range or doubtful.
fn tell_bounds(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let meanings = || cells.iter().filter_map(|item| view.meaning(item));
    matches!(column.role, Role::Unknown | Role::Field(Concept::Result | Concept::Remarks | Concept::Stage))
        && meanings().any(|meaning| windrow_text::explained::standing(meaning).is_some())
}

fn is_pair(meaning: &CircuitMeaning) -> bool {
    matches!(meaning.named, Named::Pair(..))
}

/// Whether a column headed by a word for times or tests holds nothing but dates ("Time" over "2021-05-04 08:41", "Essai" over "2013-11-25").
fn are_dates(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let is_time = column
        .heading
        .concepts
        .iter()
        .any(|(concept, ..)| matches!(concept, Concept::Elapsed | Concept::ClockTime | Concept::TestKind));
    let is_open =
        matches!(column.role, Role::Unknown | Role::Field(Concept::Elapsed | Concept::ClockTime | Concept::TestKind));
    is_time && is_open && cells.iter().all(|item| view.sense(item).kind == Kind::Date)
}

/// Whether a first column headed by the name of a machine, or by nothing, holds years in their order, with readings beside.
fn are_years(view: &View<'_>, columns: &[Column], index: usize, cells: &[Item]) -> bool {
    let column = &columns[index];
    let heading = &column.heading;
    let is_open = matches!(column.role, Role::Reading(None) | Role::Unknown)
        && heading.concepts.is_empty()
        && heading.units.is_none()
        && heading.circuits.is_empty()
        && heading.elapsed_s.is_none()
        && heading.date.is_none()
        && (heading.tag.is_some() || heading.items.is_empty());
    let has_readings = columns.iter().skip(index + 1).any(|other| matches!(other.role, Role::Reading(_)));
    let items: Vec<&Item> = cells.iter().collect();
    is_open && index == 0 && has_readings && line::are_rising_years(view, &items)
}
