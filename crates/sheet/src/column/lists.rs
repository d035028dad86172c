//! Columns of lists of equipment.

use super::{Cells, Column, Role};
use crate::view::View;
use windrow_text::vocabulary::Concept;

/// Settles which columns name machines.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    settle_lists(columns);
    name_by_place(view, columns, cells);
}

/// Readings whose lines name no machine but by where it stands ("Func. location") or what it drives ("Antrieb", which names machines as well):
/// that is its name then.
fn name_by_place(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_name = |column: &Column| {
        let heads_name = matches!(
            column.role,
            Role::Field(Concept::Tag | Concept::Serial | Concept::ListKey | Concept::OldTag | Concept::NewTag)
        );
        heads_name || column.heading.tag.is_some()
    };
    let has_readings = columns.iter().any(|column| matches!(column.role, Role::Reading(_)));
    if !has_readings || columns.iter().any(is_name) {
        return;
    }
    let are_tags = |column: &Column| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let tags = own.iter().filter(|item| view.sense(item).tag >= 0.5).count();
        !own.is_empty() && tags * 2 > own.len()
    };
    let is_place = |column: &Column| column.role == Role::Field(Concept::FunctionalLocation) && are_tags(column);
    let is_driven = |column: &Column| {
        let names_machine = |(concept, weight, _): &(Concept, f32, _)| *concept == Concept::Tag && *weight >= 0.8;
        column.role == Role::Field(Concept::Description)
            && column.heading.concepts.iter().any(names_machine)
            && are_tags(column)
    };
    let named = columns.iter().position(is_place).or_else(|| columns.iter().position(is_driven));
    if let Some(column) = named.and_then(|at| columns.get_mut(at)) {
        column.role = Role::Field(Concept::Tag);
    }
}

/// Lists of equipment and of renumbered machines: a new tag is the tag, and beside a column of better tags in an equipment list
/// ("Equipment 10004711 | Tag P-7") what else names machines is the list's own key.
fn settle_lists(columns: &mut [Column]) {
    let has = |columns: &[Column], concept: Concept| columns.iter().any(|column| column.role == Role::Field(concept));
    if !has(columns, Concept::Tag) {
        for column in columns.iter_mut().filter(|column| column.role == Role::Field(Concept::NewTag)) {
            column.role = Role::Field(Concept::Tag);
        }
    }
    let named = |column: &Column| column.role == Role::Field(Concept::Tag);
    let is_location = |column: &Column| named(column) && column.heading.has(Concept::FunctionalLocation);
    let fit = |columns: &[Column], of: &dyn Fn(&Column) -> bool| {
        columns.iter().filter(|column| of(column)).map(|column| column.fit).reduce(f32::max)
    };
    // "Equipment 10004711 | Functional location OAK-10-PMP-001": bare numbers beside locations made as tags are no tags.
    let location = fit(columns, &is_location).unwrap_or(0.0);
    let other = fit(columns, &|column| named(column) && !is_location(column));
    if other.is_some_and(|other| other >= location - 0.2) {
        for column in columns.iter_mut().filter(|column| is_location(column)) {
            column.role = Role::Field(Concept::FunctionalLocation);
        }
    }
    let is_list = [Concept::FunctionalLocation, Concept::Parent, Concept::EquipmentClass]
        .iter()
        .any(|concept| has(columns, *concept));
    let tags = columns.iter().filter(|column| column.role == Role::Field(Concept::Tag));
    let best = tags.map(|column| column.fit).fold(0.0, f32::max);
    if !is_list {
        // "Rép. M12 | Moteur Coupe-racines": of two names the one made as tags are is the tag.
        // The same heading again is that of a form or list beside.
        let text = |column: &Column| column.heading.items.last().map(|item| item.sense);
        let rivals: Vec<_> = columns.iter().filter(|column| named(column) && column.fit >= best).map(text).collect();
        let is_worse =
            |column: &&mut Column| named(column) && column.fit < best - 0.2 && !rivals.contains(&text(column));
        for column in columns.iter_mut().filter(is_worse) {
            column.role = Role::Field(Concept::Description);
        }
        return;
    }
    if has(columns, Concept::ListKey) {
        return;
    }
    for column in columns.iter_mut().filter(|column| column.role == Role::Field(Concept::Tag) && column.fit < best) {
        column.role = Role::Field(Concept::ListKey);
    }
}
