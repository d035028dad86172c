//! "Before the season | After the season" under each year: which round of the year's tests a column holds.

use super::{Column, Role};
use crate::heading::By;
use crate::view::{Item, View};
use std::collections::BTreeSet;
use windrow_text::fold::fold;
use windrow_text::round::names_round;
use windrow_text::vocabulary::Concept;

/// Columns of readings under one year or day that only words for rounds tell apart are of those rounds.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let told: Vec<Option<(u32, Item)>> = columns.iter().map(|column| under(view, column)).collect();
    for index in 0..columns.len() {
        let Some((when, item)) = told[index] else { continue };
        let fellows: Vec<&Item> =
            told.iter().flatten().filter(|(own, _)| *own == when).map(|(_, fellow)| fellow).collect();
        let texts: BTreeSet<String> = fellows.iter().map(|fellow| fold(&view.cell(fellow).text)).collect();
        if fellows.len() < 2 || texts.len() != fellows.len() {
            continue;
        }
        let heading = &mut columns[index].heading;
        heading.round = Some(By { value: view.cell(&item).text.trim().to_owned(), item });
        heading.concepts.retain(|(concept, _, told)| *concept != Concept::Elapsed || told.cell != item.cell);
        let own = &view.sense(&item).label.unexplained;
        heading.unexplained.retain(|word| !own.contains(word));
    }
}

/// The year or day over a column of readings whose lowest heading names a round.
fn under(view: &View<'_>, column: &Column) -> Option<(u32, Item)> {
    let heading = &column.heading;
    let [.., item] = heading.items.as_slice() else { return None };
    let year = heading.number.as_ref().filter(|by| (1900.0..2100.0).contains(&by.value)).map(|by| by.item);
    let when = heading.date.or(year).filter(|when| when.cell != item.cell)?;
    let is_bare = heading.stage.is_none() && heading.elapsed_s.is_none() && heading.tag.is_none();
    let is_round = is_bare && matches!(column.role, Role::Reading(_)) && names_round(&view.cell(item).text);
    is_round.then_some((when.cell, *item))
}
