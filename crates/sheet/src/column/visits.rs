//! Tests told side by side, each with its date and its value: "last test" over "date | value".

use super::{Cells, Column, Role};
use crate::heading::By;
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_model::Stage;
use windrow_text::marks::Statistic;
use windrow_text::vocabulary::Concept;

/// Under a name over several columns one that is headed as a date and holds dates is when the values beside it were read, whatever the
/// name over both would mean over a date alone; a word that says no more than "value" heads readings.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let group = |column: &Column| match column.heading.items.as_slice() {
        [over, _] => Some(over.cell),
        _ => None,
    };
    let share = |column: &Column, test: &dyn Fn(Kind) -> bool| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let fitting = own.iter().filter(|item| test(view.sense(item).kind)).count();
        !own.is_empty() && fitting * 10 >= own.len() * 6
    };
    let leaf = |column: &Column| column.heading.items.last().copied();
    let is_date = |column: &Column| {
        let names_date = leaf(column).is_some_and(|item| view.sense(&item).concept() == Some(Concept::Date));
        names_date && share(column, &|kind| matches!(kind, Kind::Date | Kind::Void))
    };
    let is_value = |column: &Column| {
        let is_word = leaf(column).is_some_and(|item| says_nothing(view, &item));
        is_word && share(column, &|kind| matches!(kind, Kind::Number | Kind::Over | Kind::Void))
    };
    for index in 0..columns.len() {
        let Some(own) = group(&columns[index]).filter(|_| is_date(&columns[index])) else { continue };
        let values: Vec<usize> =
            (0..columns.len()).filter(|at| group(&columns[*at]) == Some(own) && is_value(&columns[*at])).collect();
        if values.is_empty() {
            continue;
        }
        (columns[index].role, columns[index].fit) = (Role::Field(Concept::Date), 0.9);
        for at in values {
            (columns[at].role, columns[at].fit) = (Role::Reading(None), 0.9);
            columns[at].heading.concepts.clear();
            columns[at].heading.unexplained.clear();
        }
    }
}

/// "Received | MΩ as received | Completed | MΩ after bake": dates and readings in turn, and nothing but the words over them sets the readings
/// apart. Each was taken on the day that stands before it, so that every one of those columns tells a date.
pub(super) fn settle_in_turn(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let are_dates = |column: &Column| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let dates = own.iter().filter(|item| view.sense(item).kind == Kind::Date).count();
        let others = own.iter().filter(|item| !matches!(view.sense(item).kind, Kind::Date | Kind::Void | Kind::Ditto));
        dates >= 2 && others.count() == 0
    };
    let names_other = |column: &Column| column.heading.concepts.iter().any(|(concept, ..)| *concept != Concept::Date);
    let is_date = |column: &Column| {
        matches!(column.role, Role::Unknown | Role::Field(Concept::Date)) && !names_other(column) && are_dates(column)
    };
    let turns: Vec<(usize, bool)> = columns
        .iter()
        .enumerate()
        .filter_map(|(at, column)| match column.role {
            Role::Reading(_) => Some((at, false)),
            _ => is_date(column).then_some((at, true)),
        })
        .collect();
    let readings: Vec<&Column> =
        turns.iter().filter(|(_, date)| !date).filter_map(|(at, _)| columns.get(*at)).collect();
    let in_turn = turns.len() >= 4
        && turns.len().is_multiple_of(2)
        && turns.chunks(2).all(|two| matches!(two, [(_, true), (_, false)]));
    let are_alike = readings.windows(2).all(|two| tell_the_same(two[0], two[1]));
    if !in_turn || !are_alike {
        return;
    }
    for (at, _) in turns.into_iter().filter(|(_, date)| *date) {
        if let Some(column) = columns.get_mut(at) {
            (column.role, column.fit) = (Role::Field(Concept::Date), 0.9);
        }
    }
}

/// "Found | Left" over numbers: what was read when a machine came and when it went.
pub(super) fn settle_found_and_left(view: &View<'_>, columns: &mut [Column]) {
    let stage = |column: &Column| {
        let [item] = column.heading.items.as_slice() else { return None };
        let is_open = column.role == Role::Unknown && column.fit >= 0.5 && column.heading.stage.is_none();
        let value = crate::stage::of_pair(&view.cell(item).text).filter(|_| is_open)?;
        Some(By { value, item: *item })
    };
    let told: Vec<(usize, By<Stage>)> =
        columns.iter().enumerate().filter_map(|(at, column)| Some((at, stage(column)?))).collect();
    let [(_, found), (_, left)] = told.as_slice() else { return };
    if found.value == left.value {
        return;
    }
    for (at, stage) in told {
        if let Some(column) = columns.get_mut(at) {
            column.heading.stage = Some(stage);
            column.heading.unexplained.clear();
            column.role = Role::Reading(None);
        }
    }
}

/// "Date out of machine | As found | Date back | As returned", "Date in | Test V | As found | Date out | As left": each of two columns of
/// dates is that of the stage behind it, whatever else one of them is called.
pub(super) fn settle_dates_of_stages(columns: &mut [Column]) {
    let is = |column: &Column, concept: Concept| column.role == Role::Field(concept);
    let is_between = |column: &&Column| is(column, Concept::TestVoltage) || is(column, Concept::WindingTemperature);
    let stage_behind = |columns: &[Column], at: usize| {
        let mut next = columns.iter().skip(at + 1).skip_while(is_between);
        let reading = next.next().filter(|next| matches!(next.role, Role::Reading(_)))?;
        reading.heading.stage.as_ref().map(|by| by.value)
    };
    let other =
        (0..columns.len()).find(|at| is(&columns[*at], Concept::OtherDate) && stage_behind(columns, *at).is_some());
    let date = (0..columns.len()).find(|at| is(&columns[*at], Concept::Date) && stage_behind(columns, *at).is_some());
    let (Some(other), Some(date)) = (other, date) else { return };
    if stage_behind(columns, other) != stage_behind(columns, date) {
        columns[other].role = Role::Field(Concept::Date);
    }
}

/// "Limit | Found | Unit": what was found beside what was asked for is what was measured.
pub(super) fn settle_found_beside_limit(view: &View<'_>, columns: &mut [Column]) {
    let is_limit = |column: &Column| column.role == Role::Statistic(Statistic::Limit);
    let is_found = |column: &Column| {
        let [item] = column.heading.items.as_slice() else { return false };
        let is_open = column.role == Role::Unknown && column.fit >= 0.5 && column.heading.stage.is_none();
        is_open && crate::stage::of_pair(&view.cell(item).text) == Some(Stage::AsFound)
    };
    let found: Vec<usize> = (0..columns.len()).filter(|at| is_found(&columns[*at])).collect();
    let [at] = found.as_slice() else { return };
    if !columns.iter().any(is_limit) || columns.iter().any(|column| matches!(column.role, Role::Reading(_))) {
        return;
    }
    if let Some(column) = columns.get_mut(*at) {
        column.heading.unexplained.clear();
        column.role = Role::Reading(None);
    }
}

/// Whether two columns of readings tell the same quantity, time, voltage and terminals.
fn tell_the_same(one: &Column, other: &Column) -> bool {
    let told = |column: &Column| {
        let heading = &column.heading;
        let circuits: Vec<_> = heading.circuits.iter().map(|by| by.value.clone()).collect();
        let times = [&heading.elapsed_s, &heading.voltage_v].map(|by| by.as_ref().map(|by| by.value.to_bits()));
        (column.role, circuits, times)
    };
    told(one) == told(other)
}

/// Whether a heading is a word such as "value" or "reading" and no more.
fn says_nothing(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    sense.kind == Kind::Text
        && sense.words <= 2
        && sense.label.concepts.is_empty()
        && sense.label.units.is_empty()
        && sense.label.unexplained.is_empty()
        && sense.label.statistic.is_none()
        && sense.label.circuits.is_empty()
}
