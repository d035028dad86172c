//! Machines in words over columns of readings, with dates down the side: "Main motor | Spare motor" over "armature | field", or
//! "Installation / Date | North lift | South lift".

use super::{Cells, Column, Role};
use crate::heading::By;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::fold::fold;
use windrow_text::said::names_machine;
use windrow_text::vocabulary::Concept;

/// Most words of a name.
const MOST_WORDS: usize = 5;
/// Share of numbers in a column of readings.
const NUMBERS: f32 = 0.7;

/// In a table whose lines are dated and name no machines, the words over all columns of numbers name them, if a corner over the dates
/// says so, or if they stand over groups of columns alike and half of them are words for machines.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let Some(dates) = columns.iter().find(|column| column.role == Role::Field(Concept::Date)) else { return };
    if columns.iter().any(Column::names_lines) || dates.heading.items.is_empty() {
        return;
    }
    let is_read = |column: &Column| {
        let has_cells = cells.get(&column.column).is_some_and(|own| !own.is_empty());
        let is_open = column.role == Role::Unknown && column.fit >= NUMBERS && !column.heading.items.is_empty();
        has_cells && (matches!(column.role, Role::Reading(_)) || is_open)
    };
    let read: Vec<usize> = (0..columns.len()).filter(|at| is_read(&columns[*at])).collect();
    let heads: Option<Vec<(usize, Item)>> =
        read.iter().map(|at| name(view, columns.get(*at)?).map(|item| (*at, item))).collect();
    let Some(heads) = heads else { return };
    let texts: BTreeSet<String> = heads.iter().map(|(_, item)| fold(&view.cell(item).text)).collect();
    if texts.len() < 2 || !(is_corner(view, dates, &heads) || are_groups(view, columns, &heads, &texts)) {
        return;
    }
    for (at, item) in heads {
        let heading = &mut columns[at].heading;
        heading.tag = Some(By { value: view.cell(&item).text.trim().to_owned(), item });
        heading.concepts.retain(|(_, _, told)| told.cell != item.cell);
        let own = &view.sense(&item).label.unexplained;
        heading.unexplained.retain(|word| !own.contains(word));
        if columns[at].role == Role::Unknown {
            columns[at].role = Role::Reading(None);
        }
    }
}

/// The highest cell over a column, if it is a few words that say nothing of what, when or how was measured.
fn name(view: &View<'_>, column: &Column) -> Option<Item> {
    let item = *column.heading.items.first()?;
    let (sense, text) = (view.sense(&item), view.cell(&item).text.trim());
    let label = &sense.label;
    let is_plain = label.units.is_empty()
        && label.circuits.is_empty()
        && sense.circuits.is_empty()
        && label.elapsed_s.is_none()
        && label.voltage_v.is_none()
        && label.reference_c.is_none()
        && label.statistic.is_none()
        && sense.figure.is_none();
    let is_name = label.concepts.iter().all(|(concept, _)| matches!(concept, Concept::Tag | Concept::Description));
    let is_said = !label.unexplained.is_empty() || text.split(' ').any(|word| names_machine(&fold(word)));
    let is_when = sense.is_period || !sense.dates.is_empty() || windrow_text::round::names_round(text);
    let is_how = sense.is_stage || crate::stage::stage(text).is_some() || crate::stage::of_pair(text).is_some();
    (sense.kind == Kind::Text
        && (1..=MOST_WORDS).contains(&sense.words)
        && text.chars().filter(|c| c.is_alphabetic()).count() >= 3
        && is_plain
        && is_name
        && is_said
        && !(is_when || is_how))
        .then_some(item)
}

/// Whether a word for machines stands over the heading of the dates, in the line of the names.
fn is_corner(view: &View<'_>, dates: &Column, heads: &[(usize, Item)]) -> bool {
    let [corner, _, ..] = dates.heading.items.as_slice() else { return false };
    let text = view.cell(corner).text.trim();
    let concepts = &view.sense(corner).label.concepts;
    let says = concepts.iter().any(|(concept, weight)| *concept == Concept::Tag && *weight >= 0.4)
        || windrow_text::marks::names_apparatus(text)
        || names_machine(&fold(text));
    says && heads.iter().all(|(_, item)| item.row == corner.row)
}

/// Whether the names stand over two columns or more each, under which the same headings follow, and half of the names hold a word for
/// machines.
fn are_groups(view: &View<'_>, columns: &[Column], heads: &[(usize, Item)], texts: &BTreeSet<String>) -> bool {
    let mut leaves: BTreeMap<u32, Vec<String>> = BTreeMap::new();
    for (at, item) in heads {
        let items = &columns[*at].heading.items;
        let Some(leaf) = items.last().filter(|leaf| leaf.cell != item.cell) else { return false };
        leaves.entry(item.cell).or_default().push(fold(&view.cell(leaf).text));
    }
    let first = leaves.values().next();
    let are_alike = leaves.values().all(|own| own.len() >= 2 && Some(own) == first);
    let machines = texts.iter().filter(|text| text.split(' ').any(names_machine)).count();
    are_alike && leaves.len() == texts.len() && machines * 2 >= texts.len()
}
