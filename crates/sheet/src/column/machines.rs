//! "Borehole | Pump": two columns headed by words for machines, one of which says where the other's machines are.

use super::{Cells, Column, Role, by_cells};
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::vocabulary::Concept;

/// Of two such columns, where nothing else names machines: the one made of tags that tells more lines apart is the name, and the other, in
/// words, the place, which [`super::name_parts`] puts before tags that come at several places.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let names = |column: &Column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::ListKey));
    let own = |column: &Column| cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
    if columns.iter().any(names) {
        return;
    }
    let may_be: Vec<usize> = (0..columns.len())
        .filter(|at| !own(&columns[*at]).is_empty() && by_cells::are_machines(view, &columns[*at], own(&columns[*at])))
        .collect();
    let Some((first, others)) = may_be.split_first() else { return };
    let place = &columns[*first];
    if are_tags(view, own(place)) {
        return;
    }
    let is_name = |at: &&usize| {
        let other = own(&columns[**at]);
        are_tags(view, other) && tells_apart(view, own(place), other)
    };
    let Some(name) = others.iter().find(is_name).copied() else { return };
    (columns[name].role, columns[name].fit) = (Role::Field(Concept::Tag), 0.9);
    (columns[*first].role, columns[*first].fit) = (Role::Field(Concept::Area), 0.8);
}

/// Whether most cells are made as tags are.
fn are_tags(view: &View<'_>, cells: &[Item]) -> bool {
    let tags = cells.iter().filter(|item| view.sense(item).tag >= 0.5 || view.sense(item).kind == Kind::Ditto).count();
    !cells.is_empty() && tags * 10 >= cells.len() * 8
}

/// Whether lines that bear one name of a place bear several of the others.
fn tells_apart(view: &View<'_>, places: &[Item], names: &[Item]) -> bool {
    let mut held: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for name in names {
        // A blank is as the cell above it.
        let place = places.iter().take_while(|place| place.row <= name.row).last();
        if let Some(place) = place {
            held.entry(view.cell(place).text.trim()).or_default().insert(view.cell(name).text.trim());
        }
    }
    held.values().any(|names| names.len() > 1)
}
