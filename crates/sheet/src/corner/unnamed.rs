//! "Insulation | | State" over "Armature to frame | 34 | dry": numbers without a heading right beside labels whose heading names what was measured.

use crate::column::{Column, Role};
use crate::fit::quantity;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeMap;

/// Such a column holds readings of that, where no other column does; in which unit is asked.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    if columns.iter().any(|column| matches!(column.role, Role::Reading(_))) {
        return;
    }
    let [first, second, ..] = columns else { return };
    let is_number = |item: &&Item| matches!(view.sense(item).kind, Kind::Number | Kind::Over);
    let of = |column: &Column| cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
    let (labels, values) = (of(first), of(second));
    let names_measured =
        first.heading.concepts.iter().any(|(concept, weight, _)| *weight >= 0.6 && quantity(*concept).is_some());
    let are_terminals = labels.iter().all(|item| {
        let sense = view.sense(item);
        sense.circuits.iter().chain(&sense.label.circuits).any(|meaning| meaning.weight >= 0.5)
    });
    let are_numbers = values.len() >= 2 && values.iter().filter(is_number).count() * 2 > values.len();
    let is_beside = second.heading.items.is_empty() && second.column == first.column + 1;
    if names_measured && !labels.is_empty() && are_terminals && are_numbers && is_beside {
        second.heading.concepts.clone_from(&first.heading.concepts);
        second.heading.units.clone_from(&first.heading.units);
        (second.role, second.fit) = (Role::Reading(None), 0.8);
        (first.role, first.fit) = (Role::LineLabel, 0.8);
    }
}
