//! "MΩ | 1979 | 1981 | 1983" over "Cupola 1, blower" and "Sand mill": machines named in words under the unit of what was measured.

use crate::column::{Column, Role};
use crate::fit::names_machine;
use crate::loose::only_tag;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Dimension;
use windrow_source::Content;
use windrow_text::vocabulary::Concept;

/// Fewest machines of such a table, and fewest of its years.
const FEWEST: (usize, usize) = (4, 3);
/// Most words of a name.
const MOST_WORDS: usize = 6;

/// Whether the first column, which is headed by a unit and nothing else, names a machine in each line of readings.
pub(super) fn are_machines(view: &View<'_>, columns: &[Column], cells: &BTreeMap<u32, Vec<Item>>) -> bool {
    let Some((first, others)) = columns.split_first() else { return false };
    let heading = &first.heading;
    let best = heading.units.as_ref().and_then(|by| by.value.0.first());
    let is_unit = best.is_some_and(|best| best.weight >= 0.8 && best.unit.dimension == Dimension::Resistance);
    let is_bare = heading.concepts.is_empty() && heading.circuits.is_empty() && heading.unexplained.is_empty();
    if first.role != Role::Unknown || !is_bare || !is_unit {
        return false;
    }
    let tells_which = |column: &Column| {
        let role = column.role;
        matches!(role, Role::Field(Concept::Tag | Concept::Serial | Concept::Description | Concept::Circuit))
            || matches!(role, Role::LineLabel | Role::NamePart)
            || column.heading.tag.is_some()
    };
    let dated: Vec<u32> = others.iter().filter(|column| is_dated(column)).map(|column| column.column).collect();
    if dated.len() < FEWEST.1 || others.iter().any(tells_which) || names_one_machine(view, heading.items.first()) {
        return false;
    }
    let rows: BTreeSet<u32> =
        dated.iter().filter_map(|column| cells.get(column)).flatten().map(|item| item.row).collect();
    let own = cells.get(&first.column).map(Vec::as_slice).unwrap_or_default();
    let names: Vec<&Item> = own.iter().filter(|item| rows.contains(&item.row)).collect();
    let texts: BTreeSet<&str> = names.iter().map(|item| view.cell(item).text.trim()).collect();
    names.len() >= FEWEST.0
        && texts.len() == names.len()
        && names.len() == rows.len()
        && names.iter().all(|item| may_name(view, item))
}

/// Whether a column holds readings of one date or year.
fn is_dated(column: &Column) -> bool {
    let heading = &column.heading;
    let is_year = heading.number.as_ref().is_some_and(|by| (1900.0..2100.0).contains(&by.value));
    matches!(column.role, Role::Reading(None)) && (is_year || heading.date.is_some() || heading.period.is_some())
}

/// Whether a cell may be the name of a machine in words, and says nothing of how or where on it something was measured.
pub(crate) fn may_name(view: &View<'_>, item: &Item) -> bool {
    let (sense, text) = (view.sense(item), &view.cell(item).text);
    let label = &sense.label;
    view.cell(item).content == Content::Text
        && sense.kind == Kind::Text
        && (1..=MOST_WORDS).contains(&sense.words)
        && text.starts_with(char::is_uppercase)
        && text.chars().filter(|c| c.is_alphabetic()).count() >= 4
        && !label.circuits.iter().chain(&sense.circuits).any(|meaning| meaning.weight >= 0.5)
        && label.elapsed_s.is_none()
        && label.voltage_v.is_none()
        && label.units.iter().all(|meaning| meaning.weight < 0.5)
        && !sense.is_stage
        // "Blower" is a word for machines as well.
        && label.concepts.iter().all(|(concept, weight)| names_machine(*concept) || *weight < 0.5)
}

/// Whether a title above the table names one machine, of which the lines then tell parts or states.
fn names_one_machine(view: &View<'_>, corner: Option<&Item>) -> bool {
    let above = view.items().iter().filter(|item| corner.is_none_or(|corner| item.row < corner.row));
    let mut texts = above.map(|item| view.cell(item).text.as_str()).chain(view.grid.name.as_deref());
    texts.any(|text| {
        only_tag(text).is_some() || windrow_text::tag::numbered(text).is_some() || crate::inline::is_pair(text)
    })
}
