//! Names of machines that end as terminals are named: "Fan V1" beside U, V and W.

use super::{Cells, Column, Role, role};
use crate::fit::names_machine;
use crate::heading::By;
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeSet;
use windrow_text::circuit::Named;
use windrow_text::vocabulary::Concept;

/// A heading of words and a phase, where another column is headed by that phase alone, is the name of a machine.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let named: Vec<Option<(Item, Named)>> = columns.iter().map(phase).collect();
    for index in 0..columns.len() {
        let Some((item, told)) = named[index].filter(|(item, _)| has_name(view, item)) else { continue };
        let is_alone = |other: &Option<(Item, Named)>| {
            other.is_some_and(|(item, named)| named == told && view.cell(&item).text.trim().chars().count() <= 2)
        };
        if named.iter().enumerate().any(|(at, other)| at != index && is_alone(other)) {
            let heading = &mut columns[index].heading;
            heading.circuits.clear();
            let value = view.cell(&item).text.trim().to_owned();
            heading.tag = heading.tag.take().or(Some(By { value, item }));
            let own = cells.get(&columns[index].column).map(Vec::as_slice).unwrap_or_default();
            (columns[index].role, columns[index].fit) = role(view, &columns[index].heading, own);
        }
    }
}

/// "Drive" over "Hoist 1", "Hoist 2", "Luffing", where no other column names machines: a word for what a machine is called and for what it
/// does alike, over names none of which comes twice, heads the names.
pub(super) fn settle_drives(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let names = |column: &Column| {
        matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::ListKey))
            || column.heading.tag.is_some()
    };
    if columns.iter().any(names) {
        return;
    }
    let Some(first) = columns.first_mut() else { return };
    let own = cells.get(&first.column).map(Vec::as_slice).unwrap_or_default();
    let texts: BTreeSet<&str> = own.iter().map(|item| view.cell(item).text.trim()).collect();
    let may_name = first.heading.concepts.iter().any(|(concept, weight, _)| *concept == Concept::Tag && *weight >= 0.8);
    if first.role == Role::Field(Concept::Description) && may_name && own.len() >= 2 && texts.len() == own.len() {
        first.role = Role::Field(Concept::Tag);
    }
}

/// "Appareil | 1992 | 1994" over ski lifts: a word for a machine and for an instrument alike heads the machines where three names or more stand
/// below it, each in one run of lines, and nothing else in table or titles names any.
pub(super) fn settle_apparatus(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let names = |column: &Column| {
        matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::ListKey | Concept::Description))
            || column.heading.tag.is_some()
    };
    if columns.iter().any(names) {
        return;
    }
    let Some(first) = columns.first_mut().filter(|first| first.role == Role::Field(Concept::Instrument)) else {
        return;
    };
    let [head] = first.heading.items.as_slice() else { return };
    let own = cells.get(&first.column).map(Vec::as_slice).unwrap_or_default();
    let texts: Vec<&str> = own.iter().map(|item| view.cell(item).text.trim()).collect();
    let runs = texts.windows(2).filter(|two| two[0] != two[1]).count() + 1;
    let different: BTreeSet<&str> = texts.iter().copied().collect();
    // "500 V megohmmeter" tells its voltage or range.
    let is_name = |item: &Item| {
        let sense = view.sense(item);
        sense.kind == Kind::Text && sense.words <= 4 && sense.label.units.is_empty() && sense.label.voltage_v.is_none()
    };
    let is_named_above = || {
        let above = view.items().iter().take_while(|item| item.row < head.row);
        above.into_iter().any(|item| {
            let sense = view.sense(item);
            sense.tag >= 0.5
                || line::is_key_label(view, item)
                || crate::loose::named_machine(&view.cell(item).text).is_some()
        })
    };
    let is_both = windrow_text::marks::names_apparatus(&view.cell(head).text);
    if is_both && different.len() >= 3 && runs == different.len() && own.iter().all(is_name) && !is_named_above() {
        first.role = Role::Field(Concept::Tag);
    }
}

/// "Code | … | Appareil n°" over "AP-03" in each line: of two columns that may name machines the one headed by a word for an instrument as well
/// holds those where the other names twice as many and more.
pub(super) fn settle_instruments(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_both = |column: &Column| {
        let text = column.heading.text(view);
        text.split_whitespace().any(windrow_text::marks::names_apparatus)
    };
    let names = |column: &Column| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        own.iter().map(|item| view.cell(item).text.trim()).collect::<BTreeSet<_>>().len()
    };
    let is_name = |column: &&Column| column.role == Role::Field(Concept::Tag) && column.heading.has(Concept::Tag);
    let most = columns.iter().filter(is_name).filter(|column| !is_both(column)).map(names).max().unwrap_or(0);
    for column in columns.iter_mut().filter(|column| column.role == Role::Field(Concept::Tag)) {
        if is_both(column) && names(column) * 2 < most {
            column.role = Role::Field(Concept::Instrument);
        }
    }
}

/// The phase that the lowest cell of a heading names.
fn phase(column: &Column) -> Option<(Item, Named)> {
    let item = column.heading.items.last()?;
    let by = column.heading.circuits.iter().find(|by| by.item.cell == item.cell)?;
    let named = by.value.first()?.named;
    matches!(named, Named::Phase(_)).then_some((*item, named))
}

/// Whether the text holds a word that means nothing beside its last one, which is made as codes are ("Ventilador V1").
fn has_name(view: &View<'_>, item: &Item) -> bool {
    let text = view.cell(item).text.trim();
    let is_code = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_uppercase())
            && word.ends_with(|c: char| c.is_ascii_digit())
            && word.len() <= 3
    };
    let label = &view.sense(item).label;
    let is_own = |word: &String| word.chars().count() >= 4;
    text.rsplit_once(' ').is_some_and(|(_, word)| is_code(word))
        && label.unexplained.iter().any(is_own)
        && label.concepts.iter().all(|(concept, _)| names_machine(*concept))
        && label.units.is_empty()
}
