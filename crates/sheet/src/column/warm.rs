//! "cold, 18 °C | hot, 74 °C": how warm the winding was heads what was measured then.

use super::{Cells, Column, Role};
use crate::heading::By;
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_model::Dimension;
use windrow_text::marks;
use windrow_text::prose::{self, Place};
use windrow_text::vocabulary::Concept;

/// Most words of a heading that tells how warm a winding was and nothing else ("à froid").
const MOST_WORDS: usize = 2;

/// Columns of numbers that are headed by nothing but one temperature each and words that nothing explains hold readings, taken at that
/// temperature, where two or more stand beside each other and no two are alike.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let warm: Vec<(usize, Item, f64)> = columns
        .iter()
        .enumerate()
        .filter_map(|(at, column)| {
            let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
            let (item, celsius) = warmth(view, column)?;
            has_numbers(view, own).then_some((at, item, celsius))
        })
        .collect();
    let are_apart = warm.windows(2).all(|two| two[0].0 + 1 == two[1].0 && (two[0].2 - two[1].2).abs() > 0.5);
    if warm.len() < 2 || !are_apart {
        return;
    }
    for (at, item, celsius) in warm {
        if let Some(column) = columns.get_mut(at) {
            (column.heading.units, column.heading.winding_c) = (None, Some(By { value: celsius, item }));
            column.heading.unexplained.clear();
            (column.role, column.fit) = (Role::Reading(None), 0.9);
        }
    }
}

/// "Resistance Ω | cold | °C | at 20 °C": numbers headed by how warm the winding was, beside labels under the name of a resistance.
pub(super) fn settle_named(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let names_resistance = columns.first().is_some_and(|first| {
        let heading = &first.heading;
        heading.units.is_some() && [Concept::Resistance, Concept::WindingResistance].iter().any(|own| heading.has(*own))
    });
    let is_named = |column: &Column| {
        let [item] = column.heading.items.as_slice() else { return false };
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let heading = &column.heading;
        column.role == Role::Unknown
            && heading.concepts.is_empty()
            && heading.unexplained.len() <= MOST_WORDS
            && marks::says_how_warm(&view.cell(item).text)
            && has_numbers(view, own)
    };
    for column in columns.iter_mut().skip(1).filter(|column| names_resistance && is_named(column)) {
        column.heading.unexplained.clear();
        (column.role, column.fit) = (Role::Reading(None), 0.9);
    }
}

/// The one temperature that a heading tells, °C, where nothing else in it is known.
fn warmth(view: &View<'_>, column: &Column) -> Option<(Item, f64)> {
    let [item] = column.heading.items.as_slice() else { return None };
    let in_degrees = column.heading.units.iter().flat_map(|by| &by.value.0);
    let is_open = column.role == Role::Unknown
        && column.heading.concepts.is_empty()
        && in_degrees.clone().any(|meaning| meaning.unit.dimension == Dimension::Temperature);
    let text = &view.cell(item).text;
    match prose::temperatures(text).as_slice() {
        // A machine is called cold or hot, the air around it is not.
        [(Place::Winding, celsius)] if is_open => Some((*item, *celsius)),
        [(Place::Untold, celsius)] if is_open && marks::says_how_warm(text) => Some((*item, *celsius)),
        _ => None,
    }
}

/// Whether most cells are numbers that tell no temperature themselves.
fn has_numbers(view: &View<'_>, cells: &[Item]) -> bool {
    let in_degrees = |item: &Item| {
        let told = view.sense(item).measure.iter().flat_map(|measure| &measure.parts).flat_map(|part| &part.units);
        told.into_iter().any(|meaning| meaning.unit.dimension == Dimension::Temperature)
    };
    let numbers = cells.iter().filter(|item| view.sense(item).kind == Kind::Number && !in_degrees(item)).count();
    !cells.is_empty() && numbers * 2 >= cells.len()
}
