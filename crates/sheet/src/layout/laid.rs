//! What a layout tells of the columns and fields of one view.

use super::meaning::{circuit, concept, role};
use super::{key, place_columns};
use crate::column::{Column, Role};
use crate::cut::Table;
use crate::heading::{By, Heading};
use crate::loose::{Loose, Pair};
use crate::view::{Item, Orientation, View};
use std::collections::BTreeMap;
use windrow_model::layout::{self, Field, Layout, Stands};
use windrow_model::{Text, Unit};
use windrow_text::unit::UnitMeaning;
use windrow_text::vocabulary::Concept;

/// How far a value may stand from its label, in cells.
const REACH: u32 = 6;

/// A layout as it is laid over a view, and what came of it.
#[derive(Debug, Default)]
pub struct Laid<'l> {
    layout: Option<&'l Layout>,
    /// What the layout tells of cells, by index of the cell.
    pub(super) told: BTreeMap<u32, &'l layout::Column>,
    /// What a person should know.
    pub(crate) notes: Vec<String>,
}

impl<'l> Laid<'l> {
    /// No layout.
    #[must_use]
    pub fn none() -> Self {
        Self::default()
    }

    /// A layout that fits the sheet.
    pub(crate) fn of(layout: Option<&'l Layout>) -> Self {
        Self { layout, ..Self::default() }
    }

    /// Sets the roles and headings of the columns that the layout tells.
    pub(crate) fn columns(&mut self, view: &View<'_>, table: &Table, columns: &mut [Column]) {
        let Some(layout) = self.layout else { return };
        let turned = view.orientation == Orientation::Turned;
        for wanted in layout.tables.iter().filter(|table| table.turned == turned) {
            let Some(places) = place_columns(view, columns, &wanted.columns) else { continue };
            for (told, at) in wanted.columns.iter().zip(places) {
                let Some(column) = columns.get_mut(at) else { continue };
                self.notes.extend(tell(column, told).map(|note| format!("the layout {:?}: {note}", layout.name)));
                let cells = table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == column.column);
                self.told.extend(cells.map(|item| (item.cell, told)));
            }
            return;
        }
    }

    /// Sets what the labels of fields announce, and joins labels to values that were not seen as such.
    pub(crate) fn fields(&mut self, view: &View<'_>, loose: &mut Loose) {
        let Some(layout) = self.layout else { return };
        if view.orientation == Orientation::Turned {
            return;
        }
        for field in &layout.fields {
            let Some(concept) = concept(&field.is) else { continue };
            let is_label = |item: &Item| key(&view.cell(item).text) == key(&field.label);
            let begins = |pair: &Pair| key(&view.cell(&pair.label).text).starts_with(&key(&field.label));
            let known = |pair: &&mut Pair| match field.stands {
                Stands::Here => pair.inline.is_some() && begins(pair),
                Stands::Right => is_label(&pair.label) && pair.value.row == pair.label.row,
                Stands::Below => is_label(&pair.label) && pair.value.column == pair.label.column,
            };
            let mut is_known = false;
            for pair in loose.pairs.iter_mut().filter(known) {
                announce(&mut pair.heading, concept, &pair.label);
                is_known = true;
            }
            if !is_known {
                join(view, loose, field, concept);
            }
        }
    }
}

/// Tells a column what the layout tells; gives a note where the heading says something else beyond doubt.
fn tell(column: &mut Column, told: &layout::Column) -> Option<String> {
    let item = *column.heading.items.last()?;
    if let Some(role) = role(&told.is) {
        // What is computed stays of the kind that its heading tells.
        let is_same = matches!((role, column.role), (Role::Statistic(_), Role::Statistic(_)));
        column.role = if is_same { column.role } else { role };
        if !matches!(role, Role::Statistic(_)) {
            column.heading.statistic = None;
        }
    }
    let heading = &mut column.heading;
    if let Some(circuit) = told.circuit.as_deref().and_then(circuit) {
        heading.circuits = vec![By { value: vec![circuit], item }];
        heading.phases = None;
    }
    if let Some(value) = told.elapsed_s {
        heading.elapsed_s = Some(By { value, item });
        heading.duration = None;
    }
    if let Some(value) = told.voltage_v {
        heading.voltage_v = Some(By { value, item });
    }
    let unit = told.unit.as_deref().and_then(Unit::from_ucum)?;
    let own = heading.units.as_ref().and_then(|by| by.value.0.first());
    let sure = own.filter(|own| !own.colloquial && own.weight >= 0.9 && own.unit != unit);
    if let Some(own) = sure {
        let (name, symbol) = (told.under.join(" / "), own.unit.symbol);
        return Some(format!(
            "the heading of column {name:?} tells {symbol} where the layout tells {}; the heading was believed",
            unit.symbol
        ));
    }
    let known = own.is_some_and(|own| own.unit == unit);
    if !known {
        let meaning = UnitMeaning { unit, weight: 1.0, colloquial: false };
        heading.units = Some(By { value: (vec![meaning], Text::default()), item });
    }
    None
}

/// Makes a heading announce one concept.
fn announce(heading: &mut Heading, concept: Concept, item: &Item) {
    heading.concepts = vec![(concept, 1.0, *item)];
    heading.statistic = None;
}

/// Makes a pair of a label and the value that stands where the layout says.
fn join(view: &View<'_>, loose: &mut Loose, field: &Field, concept: Concept) {
    let free = |item: &&Item| {
        let is = |other: &Item| other.cell == item.cell;
        loose.rest.iter().any(is) || loose.captions.iter().any(|caption| is(&caption.item))
    };
    let labels = view.items().iter().filter(|item| key(&view.cell(item).text) == key(&field.label));
    let mut made = Vec::new();
    for label in labels {
        let value = match field.stands {
            Stands::Right => (label.right + 1..=label.right + REACH).find_map(|column| view.at(label.row, column)),
            Stands::Below => (label.bottom + 1..=label.bottom + REACH).find_map(|row| view.at(row, label.column)),
            Stands::Here => None,
        };
        if let Some(value) = value.filter(free) {
            let mut heading = Heading::sum(view, &[*label]);
            announce(&mut heading, concept, label);
            made.push(Pair { heading, label: *label, value: *value, unit: None, inline: None });
        }
    }
    for pair in made {
        let is_own = |item: &Item| item.cell == pair.label.cell || item.cell == pair.value.cell;
        loose.rest.retain(|item| !is_own(item));
        loose.captions.retain(|caption| !is_own(&caption.item));
        loose.pairs.retain(|other| !is_own(&other.label) && !is_own(&other.value));
        loose.pairs.push(pair);
    }
}
