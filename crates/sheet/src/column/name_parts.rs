//! Columns that hold a part of the machine's name: the number that a print of fixed columns sets apart ("PUMPE" and "1" under one
//! heading), the station or crane whose pump or hoist it is where others have one of the same name, the drive of a machine of several.

use super::{Cells, Column, Role};
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::vocabulary::Concept;

/// A column without a heading right behind one of names, whose few cells are small numbers or letters, goes on with the names.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for index in 1..columns.len() {
        let (names, part) = (&columns[index - 1], &columns[index]);
        let is_behind = matches!(names.role, Role::Field(Concept::Tag | Concept::Description));
        let is_bare = part.heading.items.is_empty() && part.role == Role::Unknown;
        let count = |column: &Column| cells.get(&column.column).map_or(0, Vec::len);
        let own = cells.get(&part.column).map(Vec::as_slice).unwrap_or_default();
        let is_beside = part.column == names.column + 1;
        let are_parts = !own.is_empty() && own.iter().all(|item| is_part(view, item)) && count(part) < count(names);
        if is_behind && is_bare && is_beside && are_parts {
            (columns[index].role, columns[index].fit) = (Role::NamePart, 0.8);
        }
    }
    let Some(names) = columns.iter().position(|column| column.role == Role::Field(Concept::Tag)) else { return };
    let whole = (0..names).rev().find(|at| is_whole(view, (&columns[names], &columns[*at]), columns, cells));
    let part = || {
        Some(names + 1)
            .filter(|at| columns.get(*at).is_some_and(|part| is_drive(view, &columns[names], part, columns, cells)))
    };
    if let Some(at) = whole.or_else(part) {
        (columns[at].role, columns[at].fit) = (Role::NamePart, 0.8);
    }
    settle_groups(columns, names, cells);
}

/// "Line | Shaft | Pump" over L1, once for all shafts of a line: what stands before the names in half of the lines at most labels none of them, and
/// names no phases.
fn settle_groups(columns: &mut [Column], names: usize, cells: &Cells) {
    let lines = cells
        .get(&columns[names].column)
        .map_or(0, Vec::len)
        .max(columns.iter().filter_map(|column| cells.get(&column.column)).map(Vec::len).max().unwrap_or(0));
    for column in &mut columns[..names] {
        let own = cells.get(&column.column).map_or(0, Vec::len);
        let is_headed = !column.heading.items.is_empty() && column.heading.circuits.is_empty();
        let names_measured = column.heading.concepts.iter().any(|(concept, ..)| {
            *concept == Concept::Circuit || *concept == Concept::Elapsed || crate::fit::quantity(*concept).is_some()
        });
        if column.role == Role::LineLabel && own * 2 <= lines && is_headed && !names_measured {
            (column.role, column.fit) = (Role::Field(Concept::Area), 0.8);
        }
    }
}

/// "Station | Pump | Date": of what stands before the names, whether it tells machines of one name apart. What stands there is
/// headed as a place, or made as tags are, or two lines of one name and day differ in it: a column of people would do none of that.
fn is_whole(view: &View<'_>, (names, whole): (&Column, &Column), columns: &[Column], cells: &Cells) -> bool {
    if is_told_apart_by_serials(view, (names, whole), columns, cells) {
        return true;
    }
    let is_place = whole.role == Role::Field(Concept::Area);
    let is_open = whole.role == Role::Unknown && !whole.heading.items.is_empty() && whole.heading.concepts.is_empty();
    let own = cells.get(&whole.column).map(Vec::as_slice).unwrap_or_default();
    let are_words =
        own.iter().all(|item| matches!(view.sense(item).kind, Kind::Text | Kind::Ditto | Kind::Number | Kind::Void));
    let are_tags = own.iter().filter(|item| view.sense(item).tag >= 0.5).count() * 10 >= own.len() * 7;
    if !(is_place || is_open) || own.is_empty() || !are_words {
        return false;
    }
    // Numbers of papers differ from line to line; what stands once over several lines is of all of them.
    let texts: BTreeSet<&str> = own.iter().map(|item| view.cell(item).text.trim()).collect();
    let lines = cells.get(&names.column).map_or(0, Vec::len);
    if texts.len() == own.len() && own.len() > 2 && own.len() * 2 > lines && !are_tags {
        return false;
    }
    let shared = shared(view, (names, whole), columns, cells, is_local);
    shared.is_some_and(|on_one_day| is_place || are_tags || on_one_day)
}

/// "Lift | Motor | Serial no.": whether lines of one name have several serial numbers, and those of one name and one cell of the column before
/// it have one each, of which several lines at least bear one again.
fn is_told_apart_by_serials(
    view: &View<'_>,
    (names, whole): (&Column, &Column),
    columns: &[Column],
    cells: &Cells,
) -> bool {
    let Some(serials) = columns.iter().find(|column| column.role == Role::Field(Concept::Serial)) else { return false };
    let by_row = |column: &Column| -> BTreeMap<u32, &str> {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        own.iter().map(|item| (item.row, view.cell(item).text.trim())).collect()
    };
    let (named, wholes) = (by_row(names), by_row(whole));
    let mut of_name: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    let mut of_both: BTreeMap<(&str, &str), Vec<&str>> = BTreeMap::new();
    for (row, serial) in by_row(serials) {
        let (Some(name), Some(its)) = (named.get(&row), wholes.get(&row)) else { continue };
        of_name.entry(name).or_default().insert(serial);
        of_both.entry((its, name)).or_default().push(serial);
    }
    let is_one = |serials: &Vec<&str>| serials.iter().all(|serial| serials.first() == Some(serial));
    of_name.values().any(|serials| serials.len() > 1)
        && of_both.values().all(is_one)
        && of_both.values().any(|serials| serials.len() > 1)
}

/// "Machine | Drive | Date": whether what stands behind the names and is headed as machines are tells several of one name and day apart.
fn is_drive(view: &View<'_>, names: &Column, part: &Column, columns: &[Column], cells: &Cells) -> bool {
    let head = part.heading.items.last().map(|item| windrow_text::fold::fold(view.cell(item).text.trim()));
    let is_machine = head.is_some_and(|head| windrow_text::said::names_machine(&head));
    let is_headed = (part.heading.has(Concept::Tag) || is_machine)
        && matches!(part.role, Role::Unknown | Role::Field(Concept::Tag | Concept::Description));
    let own = cells.get(&part.column).map(Vec::as_slice).unwrap_or_default();
    let are_words = own.iter().all(|item| view.sense(item).kind == Kind::Text && view.sense(item).tag < 0.85);
    // "Car | Mot." over 1, 2, 3, 4, "Shaft | Pump" over B1 and B2: which motor of the car, which pump of the shaft.
    let are_numbers = own.iter().all(|item| is_part(view, item) || is_machine && is_short_code(view, item));
    let are_numbers = are_numbers || is_machine && are_codes_again(view, (names, part), cells);
    // "Machine | Motion": motions are parts of a machine, whether or not two of them were measured on one day.
    let is_motion = windrow_text::marks::heads_motions(&part.heading.text(view));
    let differ = shared(view, (names, part), columns, cells, |_| true);
    is_headed
        && !own.is_empty()
        && (are_words || are_numbers)
        && differ.is_some_and(|on_one_day| on_one_day || is_motion)
}

/// Whether lines of one name that `may_be` shared differ in what stands in another column: `Some(true)` where two of one day do.
fn shared(
    view: &View<'_>,
    (names, other): (&Column, &Column),
    columns: &[Column],
    cells: &Cells,
    may_be: impl Fn(&str) -> bool,
) -> Option<bool> {
    let dates = columns.iter().find(|column| column.role == Role::Field(Concept::Date));
    let own = |column: &Column| cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
    // A blank cell or a mark is as the one above it.
    let told = |column: &Column, row: u32| {
        let above = own(column).iter().take_while(|item| item.row <= row);
        above.filter(|item| view.sense(item).kind != Kind::Ditto).last().map(|item| view.cell(item).text.trim())
    };
    let mut by_name: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    let mut by_day: BTreeMap<(&str, &str), BTreeSet<&str>> = BTreeMap::new();
    let rows: BTreeSet<u32> = own(names).iter().chain(own(other)).map(|item| item.row).collect();
    for row in rows {
        let (Some(name), Some(its)) = (told(names, row), told(other, row)) else { continue };
        by_name.entry(name).or_default().insert(its);
        let day = dates.map_or(Some(""), |dates| told(dates, row));
        if let Some(day) = day {
            by_day.entry((name, day)).or_default().insert(its);
        }
    }
    let differ = |(name, its): (&str, &BTreeSet<&str>)| its.len() > 1 && may_be(name);
    let on_one_day = by_day.iter().any(|((name, _), its)| differ((name, its)));
    by_name.into_iter().any(|(name, its)| differ((name, &its))).then_some(on_one_day)
}

/// Names that each station or crane may have: words, or a letter and a small number ("P1", "Pump 2"); "P-101A" is one of its plant.
fn is_local(name: &str) -> bool {
    name.chars().filter(char::is_ascii_digit).count() <= 2 && name.split(['-', '.', '/', '_']).count() <= 2
}

/// "B1", "V12": a letter or two and a small number.
fn is_short_code(view: &View<'_>, item: &Item) -> bool {
    let text = view.cell(item).text.trim();
    let number = text.trim_start_matches(|c: char| c.is_ascii_uppercase());
    (1..=2).contains(&(text.len() - number.len()))
        && (1..=2).contains(&number.len())
        && number.bytes().all(|b| b.is_ascii_digit())
}

/// "Dryer | V-1", "Dryer | V-2", "Cooler | V-1": codes, one of which at least comes under two names.
fn are_codes_again(view: &View<'_>, (names, part): (&Column, &Column), cells: &Cells) -> bool {
    let own = |column: &Column| cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
    let mut under: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for item in own(part) {
        let name = own(names).iter().take_while(|name| name.row <= item.row).last();
        if let Some(name) = name {
            under.entry(view.cell(item).text.trim()).or_default().insert(view.cell(name).text.trim());
        }
    }
    own(part).iter().all(|item| view.sense(item).tag >= 0.5 && is_local(view.cell(item).text.trim()))
        && under.values().any(|names| names.len() > 1)
}

fn is_part(view: &View<'_>, item: &Item) -> bool {
    let text = view.cell(item).text.trim();
    let is_number = text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit());
    let is_letter = text.len() == 1 && text.bytes().all(|b| b.is_ascii_uppercase());
    is_number || is_letter
}
