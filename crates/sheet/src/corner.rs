//! What the heading over a column of labels says of the numbers beside them: "[MΩ]" over "A-GND" is their unit, "1 min" their time.

mod unnamed;
pub(crate) mod words;

use crate::column::{Column, Role};
use crate::dates;
use crate::fit::quantity;
use crate::heading::By;
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, Orientation, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Dimension, Precision, Quantity, Unit};
use windrow_source::Content;
use windrow_text::marks::Statistic;
use windrow_text::vocabulary::Concept;

/// A column headed by the unit or name of what is measured, whose cells are labels, labels its lines; what its heading says holds
/// for the readings at its right that tell nothing of their own.
pub(crate) fn settle(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    unit_without_values(view, columns, cells);
    unnamed::settle(view, columns, cells);
    // Turned over, such a heading is a title.
    if view.orientation == Orientation::Upright {
        name_without_values(columns, cells);
    }
    unit_of_first_time(columns);
    ratios_of_times(view, columns);
    times_behind_unit(view, columns, cells);
    machine_over_keys(columns);
    years_beside_machines(view, columns, cells);
    quantities_over_labels(view, columns, cells);
    for index in 0..columns.len() {
        let Some(own) = cells.get(&columns[index].column).filter(|own| !own.is_empty()) else { continue };
        let is_words = |item: &&Item| {
            let sense = view.sense(item);
            let is_label = sense.label.elapsed_s.is_some() || !line::is_value(view, item);
            let is_mark = matches!(sense.kind, Kind::Void | Kind::Over | Kind::Ditto);
            view.cell(item).content == Content::Text && sense.words <= 3 && is_label && !is_mark
        };
        let words = own.iter().filter(is_words).count();
        let are_names = index == 0 && (are_names(view, columns, own) || words::are_machines(view, columns, cells));
        // "Résistance d'isolement (MΩ)" over "Phase U / masse".
        let are_circuits = columns[index].role == Role::Field(Concept::Circuit)
            && own.iter().all(|item| !view.sense(item).circuits.is_empty() && !line::is_value(view, item));
        let are_labels = are_names
            || is_named_in_full(view, &columns[index], own)
            || are_circuits
            || words == own.len()
            || words * 10 >= own.len() * 7 && own.iter().any(|item| view.sense(item).is_pure_label());
        let heading = columns[index].heading.clone();
        let is_unit = |dimension: Dimension| {
            matches!(dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance)
        };
        let units = heading.units.filter(|by| by.value.0.iter().any(|meaning| is_unit(meaning.unit.dimension)));
        let (true, Some(units)) = (are_labels, units) else { continue };
        if columns[index].role == Role::Unknown {
            let role = if are_names { Role::Field(Concept::Tag) } else { Role::LineLabel };
            (columns[index].role, columns[index].fit) = (role, 0.8);
        }
        if !matches!(columns[index].role, Role::LineLabel | Role::Field(_)) {
            continue;
        }
        let named = heading.concepts.iter().any(|(concept, ..)| quantity(*concept).is_some());
        for column in columns.iter_mut().skip(index + 1).filter(|column| matches!(column.role, Role::Reading(None))) {
            if column.heading.units.is_none() {
                column.heading.units = Some(units.clone());
            }
            column.heading.elapsed_s = column.heading.elapsed_s.take().or_else(|| heading.elapsed_s.clone());
            column.heading.voltage_v = column.heading.voltage_v.take().or_else(|| heading.voltage_v.clone());
            if named && column.heading.concepts.is_empty() {
                column.heading.concepts.clone_from(&heading.concepts);
            }
        }
    }
}

/// "Winding resistance (mohm) | U-V | V-W" over "cold, before the run" and "hot, 40 s after stop": the first column names the quantity and
/// its unit, and whatever its texts say, none is a value.
fn is_named_in_full(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let units = column.heading.units.iter().flat_map(|by| &by.value.0);
    let dimensions: Vec<Dimension> =
        units.filter(|meaning| meaning.weight >= 0.4).map(|meaning| meaning.unit.dimension).collect();
    let mut named =
        column.heading.concepts.iter().filter_map(|(concept, weight, _)| Some((quantity(*concept)?, *weight)));
    let is_text = |item: &Item| {
        let is_word = view.sense(item).kind == Kind::Text && view.cell(item).content == Content::Text;
        is_word && view.sense(item).tag < 0.5
    };
    matches!(column.role, Role::Unknown | Role::LineLabel)
        && named.any(|(quantity, weight)| weight >= 0.6 && dimensions.contains(&quantity.dimension()))
        && cells.iter().all(is_text)
}

/// "R60 in GΩ | 2003 | 2005 | 2007" over "BFP 1", "BFP 2": the first column names machines, where no other does and dates or years head
/// the readings.
fn are_names(view: &View<'_>, columns: &[Column], cells: &[Item]) -> bool {
    let names_machine = |column: &Column| {
        matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::Description))
            || column.heading.tag.is_some()
    };
    let is_dated = |column: &Column| {
        let heading = &column.heading;
        let is_year = heading.number.as_ref().is_some_and(|by| (1900.0..2100.0).contains(&by.value));
        matches!(column.role, Role::Reading(None)) && (is_year || heading.date.is_some() || heading.period.is_some())
    };
    let may_name = |item: &Item| {
        let sense = view.sense(item);
        let is_text = view.cell(item).content == Content::Text && sense.kind == Kind::Text;
        // "Mill belt, drive 2" is a label of machines, and their name.
        let label = &sense.label;
        let is_name = !label.unexplained.is_empty()
            && label.units.is_empty()
            && label.circuits.is_empty()
            && label.concepts.iter().all(|(concept, _)| crate::fit::names_machine(*concept));
        is_text && sense.words <= 4 && (!sense.is_pure_label() || is_name)
    };
    // "o.s. = out of service" below them explains a code.
    let cells: Vec<&Item> = cells
        .iter()
        .filter(|item| crate::legend::single(view.cell(item)).is_none() && !view.cell(item).text.contains(" = "))
        .collect();
    let tags = cells.iter().filter(|item| view.sense(item).tag >= 0.5).count();
    // "Kupolofen I, Gebläse": words among which one calls a machine what it is.
    let calls_machine = |item: &&&Item| {
        let folded = windrow_text::fold::fold(&view.cell(item).text);
        view.sense(item).tag < 0.5 && folded.split(' ').any(windrow_text::said::names_machine)
    };
    let machines = cells.iter().filter(calls_machine).count();
    let texts: BTreeSet<&str> = cells.iter().map(|item| view.cell(item).text.trim()).collect();
    columns.first().is_some_and(|first| first.role == Role::Unknown)
        && !columns.iter().any(names_machine)
        && columns.iter().filter(|column| is_dated(column)).count() >= 2
        && texts.len() == cells.len()
        && cells.iter().all(|item| may_name(item))
        && (tags * 2 >= cells.len() || machines >= 2 && (tags + machines) * 3 >= cells.len())
}

/// "15 s | 60 s | 60/15": the quotient of two times beside both heads the ratio of what was read then.
fn ratios_of_times(view: &View<'_>, columns: &mut [Column]) {
    let times: Vec<f64> =
        columns.iter().filter_map(|column| Some(column.heading.elapsed_s.as_ref()?.value.round())).collect();
    let is_told = |number: f64| times.contains(&number) || times.contains(&(number * 60.0));
    for column in columns.iter_mut().filter(|column| matches!(column.role, Role::Reading(None) | Role::Unknown)) {
        let [item] = column.heading.items.as_slice() else { continue };
        let Some((over, under)) = view.cell(item).text.trim().split_once('/') else { continue };
        let (Ok(over), Ok(under)) = (over.trim().parse::<f64>(), under.trim().parse::<f64>()) else { continue };
        if times.len() < 2 || over <= under || !is_told(over) || !is_told(under) {
            continue;
        }
        // Other quotients than that of one minute have no name of a quantity.
        if (over, under) == (60.0, 15.0) || (over, under) == (60.0, 30.0) {
            column.heading.concepts = vec![(Concept::AbsorptionRatio, 0.9, *item)];
            (column.role, column.fit) = (Role::Reading(Some(Quantity::AbsorptionRatio)), 0.9);
        } else {
            (column.role, column.fit) = (Role::Statistic(Statistic::Computed), 1.0);
        }
    }
}

/// "min | 0.5 | 1 | 10": a unit of time over nothing of its own is that of the bare numbers that rise behind it.
fn times_behind_unit(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    for index in 0..columns.len() {
        let is_empty = cells.get(&columns[index].column).is_none_or(Vec::is_empty);
        let [item] = columns[index].heading.items.as_slice() else { continue };
        let Some(unit) = time_unit(view, item).filter(|_| is_empty) else { continue };
        let number = |column: &Column| column.heading.number.as_ref().map(|by| by.value);
        let mut last = 0.0;
        for column in columns.iter_mut().skip(index + 1) {
            let Some(value) = number(column).filter(|value| *value > last && column.heading.items.len() == 1) else {
                break;
            };
            last = value;
            let at = column.heading.items.first().copied();
            if let (None, Some(at)) = (&column.heading.elapsed_s, at) {
                column.heading.elapsed_s = Some(By { value: unit.to_stored(value), item: at });
            }
        }
    }
}

/// The unit of time that a cell is: "min", "sec".
fn time_unit(view: &View<'_>, item: &Item) -> Option<Unit> {
    let text = view.cell(item).text.trim().trim_matches(['(', ')', '[', ']', '.']);
    let best = windrow_text::unit::read(text, Some(Dimension::Time)).into_iter().next()?;
    (best.weight >= 0.5).then_some(best.unit)
}

/// "U-GND | V-GND | W-GND | (MEGOHMS)": a unit in the line of headings over nothing of its own is that of the others.
fn unit_without_values(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    let is_empty = |column: &Column| cells.get(&column.column).is_none_or(Vec::is_empty);
    let is_unit = |column: &Column| {
        let mut items = column.heading.items.iter();
        items.next().is_some_and(|item| line::names_unit(view.sense(item))) && items.next().is_none()
    };
    let mut alone = columns.iter().filter(|column| is_empty(column) && is_unit(column));
    let (Some(unit), None) = (alone.next().and_then(|column| column.heading.units.clone()), alone.next()) else {
        return;
    };
    for column in columns.iter_mut().filter(|column| column.role == Role::Reading(None)) {
        column.heading.units = column.heading.units.take().or_else(|| Some(unit.clone()));
    }
}

/// "30 s | 60 s | 10 min" over "MΩ" alone below the first: times of one reading, all of them in its unit.
fn unit_of_first_time(columns: &mut [Column]) {
    let is_time = |column: &Column| {
        let heading = &column.heading;
        let is_told = heading.elapsed_s.is_some() && heading.concepts.is_empty() && heading.circuits.is_empty();
        column.role == Role::Reading(None) && is_told
    };
    let Some(from) = columns.iter().position(is_time) else { return };
    let count = columns.iter().skip(from).take_while(|column| is_time(column)).count();
    let Some([first, others @ ..]) = columns.get_mut(from..from + count) else { return };
    let below = first.heading.items.last().map(|item| item.row);
    let units =
        first.heading.units.clone().filter(|units| first.heading.items.len() > 1 && Some(units.item.row) == below);
    let is_bare = |column: &Column| {
        let items = &column.heading.items;
        column.heading.units.is_none() && items.iter().all(|item| Some(item.row) < below)
    };
    if let Some(units) = units.filter(|_| others.iter().all(is_bare)) {
        for column in others {
            column.heading.units = Some(units.clone());
        }
    }
}

/// "Insulation, 1000 V, 1 min (GΩ) | U/earth | V/earth" over nothing of its own and numbers beside: what the first heading names is what
/// stands in the columns that name terminals only.
fn name_without_values(columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    let Some((first, others)) = columns.split_first_mut() else { return };
    let is_empty = cells.get(&first.column).is_none_or(Vec::is_empty);
    let units = first.heading.units.iter().flat_map(|by| &by.value.0);
    let dimensions: Vec<Dimension> =
        units.filter(|meaning| meaning.weight >= 0.5).map(|meaning| meaning.unit.dimension).collect();
    let mut named = first.heading.concepts.iter().filter(|(_, weight, _)| *weight >= 0.6);
    let is_named =
        named.any(|(concept, ..)| quantity(*concept).is_some_and(|own| dimensions.contains(&own.dimension())));
    if !is_empty || !is_named || first.heading.items.len() != 1 {
        return;
    }
    let names_terminals = |column: &&mut Column| {
        let heading = &column.heading;
        column.role == Role::Reading(None)
            && !heading.circuits.is_empty()
            && heading.units.is_none()
            && heading.concepts.is_empty()
    };
    let mut count = 0;
    for column in others.iter_mut().filter(names_terminals) {
        let heading = &mut column.heading;
        heading.units.clone_from(&first.heading.units);
        heading.concepts.clone_from(&first.heading.concepts);
        heading.elapsed_s = heading.elapsed_s.take().or_else(|| first.heading.elapsed_s.clone());
        heading.voltage_v = heading.voltage_v.take().or_else(|| first.heading.voltage_v.clone());
        count += 1;
    }
    if count > 0 {
        (first.role, first.fit) = (Role::LineLabel, 0.9);
    }
}

/// "Fan B1 | U | V | W" over years: the name over the first column of dates or labels is that of the machine whose readings stand
/// beside.
fn machine_over_keys(columns: &mut [Column]) {
    let Some(first) = columns.first_mut() else { return };
    let tag = match first.role {
        Role::Field(Concept::Date) => first.heading.tag.clone(),
        // "KP-1 | L1 | L2 | earth" over phases: the name is none of the column's own, whose cells are of all lines.
        Role::Field(Concept::Circuit) => first.heading.tag.take(),
        _ => None,
    };
    let Some(mut tag) = tag else { return };
    for column in columns.iter_mut().skip(1) {
        match (column.role, &column.heading.tag) {
            (Role::Reading(_), None) => column.heading.tag = Some(tag.clone()),
            // "Fan B1 | U | V | W | Fan B2 | U | V | W": from there on the next one's.
            (Role::Unknown | Role::Field(Concept::Date | Concept::Circuit), Some(next)) => tag = next.clone(),
            _ => {}
        }
    }
}

/// "Motor No. | P-1 | P-2" over "Applied voltage, V | 500 | 500" and "2003 | 69 | 71": the label names the machines at its right, and what
/// stands below it are years, no machines.
fn years_beside_machines(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    let Some((first, others)) = columns.split_first_mut() else { return };
    let readings = || others.iter().filter(|column| matches!(column.role, Role::Reading(_)));
    let are_named = readings().count() >= 2 && readings().all(|column| column.heading.tag.is_some());
    let may_head = matches!(first.role, Role::Unknown | Role::Field(Concept::Tag | Concept::Date));
    let own = cells.get(&first.column).map(Vec::as_slice).unwrap_or_default();
    let is_year = |item: &&Item| {
        let mut told = dates::meanings(view.cell(item), view.sense(item)).into_iter().peekable();
        told.peek().is_some() && told.all(|meaning| meaning.date.precision == Precision::Year)
    };
    let years = own.iter().filter(is_year).count();
    let rest_is_labels = own.iter().filter(|item| !is_year(item)).all(|item| view.sense(item).is_pure_label());
    if may_head && are_named && years >= 2 && years * 2 >= own.len() && rest_is_labels {
        (first.role, first.fit) = (Role::Field(Concept::Date), 0.9);
    }
}

/// "PD inception | kV | PD extinction | kV" over "U | 6.4 | U | 5.8": the quantity stands over the labels and its unit over the
/// numbers. Where the labels of a line differ, nothing is taken.
fn quantities_over_labels(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    let mut known: Option<Vec<(u32, String)>> = None;
    for index in 1..columns.len() {
        let (labels, numbers) = (&columns[index - 1], &columns[index]);
        let named = labels.heading.concepts.iter().find_map(|told| Some((*told, quantity(told.0)?)));
        let Some(((concept, weight, at), quantity)) = named else { continue };
        let is_unit = |item: &Item| view.sense(item).is_unit_only();
        let is_measured = numbers.heading.items.len() == 1
            && numbers.heading.items.iter().all(is_unit)
            && numbers
                .heading
                .units
                .iter()
                .flat_map(|by| &by.value.0)
                .any(|meaning| meaning.unit.dimension == quantity.dimension());
        let own = cells.get(&labels.column).map(Vec::as_slice).unwrap_or_default();
        let are_labels = !own.is_empty()
            && own.iter().all(|item| view.cell(item).content == Content::Text && !line::is_value(view, item));
        let texts: Vec<(u32, String)> =
            own.iter().map(|item| (item.row, view.cell(item).text.trim().to_owned())).collect();
        let is_same = known.as_ref().is_none_or(|known| *known == texts);
        if !is_measured || !are_labels || !is_same || weight < 0.5 {
            continue;
        }
        known = Some(texts);
        (columns[index - 1].role, columns[index - 1].fit) = (Role::LineLabel, 0.9);
        (columns[index].role, columns[index].fit) = (Role::Reading(Some(quantity)), 0.9);
        columns[index].heading.concepts = vec![(concept, weight, at)];
    }
}
