//! Plain ohms under a title on insulation: of the winding where the sheet tells insulation apart, else a question.

use super::Reader;
use super::line::Line;
use super::quantity::resistance;
use crate::column::{Column, Role};
use crate::context::{Body, ReadTable};
use crate::value::{self, Amount};
use crate::view::{Item, View};
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Quantity, Unit};
use windrow_text::circuit::Named;
use windrow_text::unit::UnitMeaning;
use windrow_text::vocabulary::Concept;

/// Below this in ohms a value is as likely a winding's as that of bad insulation, Ω. Common practice, no source.
const LOW: f64 = 1e4;

impl Reader<'_, '_, '_> {
    /// A resistance in ohms or less under a heading that names no more than that, beside insulation in kilohms or more: another column of
    /// the line ("910 kΩ | 20 MΩ | 0.171"), or a table of the same sheet under a heading of its own ("Insulation MΩ" and "Resistance Ω").
    pub(super) fn ohms_of_winding(
        &self,
        item: &Item,
        amount: &Amount,
        line: &Line,
        column: &Column,
    ) -> Option<Told<Quantity>> {
        let names =
            |concept: Option<Concept>| matches!(concept, Some(Concept::Resistance | Concept::CorrectedResistance));
        let corner = self.corner_concept();
        // "Insul. | R Ω" over "42 MΩ | 7.70": a letter over ohms beside insulation.
        let is_beside = column.heading.concepts.is_empty()
            && column.heading.units.is_some()
            && self.table().is_some_and(|read| {
                let is_insulation = |other: &Column| other.role == Role::Reading(Some(Quantity::InsulationResistance));
                read.columns.iter().any(is_insulation)
            });
        let is_open =
            names(column.heading.concept()) || is_beside || column.heading.concepts.is_empty() && names(corner);
        if !is_open || !is_plain(units_of(amount, line, column)?) {
            return None;
        }
        let is_apart = self.has_insulation_in_line(item, column)
            || names(corner) && (self.has_insulation_table() || names_winding_alone(self.view, line));
        let at = column.heading.units.as_ref().map_or(*item, |units| units.item);
        is_apart.then(|| self.told(Quantity::WindingResistance, Via::Column, &at))
    }

    /// Whether insulation is told by a title only of a value in plain ohms, so low that a winding may have it.
    pub(super) fn may_be_of_winding(&self, told: Quantity, amount: &Amount, units: Option<&[UnitMeaning]>) -> bool {
        let units = if amount.units.is_empty() { units.unwrap_or_default() } else { amount.units.as_slice() };
        let number = amount.numbers.first().map_or(0.0, |number| number.value);
        let in_ohms = is_plain(units) && units.iter().any(|meaning| meaning.unit == Unit::OHM);
        told == Quantity::InsulationResistance && in_ohms && number > 0.0 && number < LOW
    }

    fn table(&self) -> Option<&ReadTable> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        self.scene.tables.get(table)
    }

    /// What the heading over the labels of lines names.
    fn corner_concept(&self) -> Option<Concept> {
        let first = self.table()?.columns.first()?;
        first.heading.concept().filter(|_| first.role == Role::LineLabel)
    }

    /// Whether another column of readings has a value in kilohms or more in the line of the cell, by its own unit.
    fn has_insulation_in_line(&self, item: &Item, column: &Column) -> bool {
        let Some(read) = self.table() else { return false };
        let is_other = |other: &&Item| {
            let role = read.columns.iter().find(|own| own.column == other.column).map(|own| own.role);
            other.column != column.column
                && matches!(role, Some(Role::Reading(None | Some(Quantity::InsulationResistance))))
        };
        let is_insulation = |other: &Item| {
            let amounts = value::amounts(self.view.cell(other), self.view.sense(other));
            amounts.is_some_and(|amounts| {
                amounts.parts.iter().any(|part| resistance(Some(&part.units)) == Some(Quantity::InsulationResistance))
            })
        };
        let lines = &read.table.body;
        let own = lines.get(lines.partition_point(|line| line.row < item.row)).filter(|line| line.row == item.row);
        own.is_some_and(|line| line.items.iter().filter(is_other).any(is_insulation))
    }

    /// Whether a table of the sheet is headed as insulation in kilohms or more over its labels.
    fn has_insulation_table(&self) -> bool {
        self.scene.tables.iter().filter_map(|read| read.columns.first()).any(|first| {
            let units = first.heading.units.as_ref().map(|by| by.value.0.as_slice());
            first.role == Role::LineLabel
                && first.heading.concept() == Some(Concept::InsulationResistance)
                && resistance(units) == Some(Quantity::InsulationResistance)
        })
    }
}

/// "Armature", "Interpoles": whether the label of a line names a winding of a machine with a commutator, and nothing that it stood against.
fn names_winding_alone(view: &View<'_>, line: &Line) -> bool {
    let Some(label) = &line.label else { return false };
    let mut circuits = label.circuits.iter().flat_map(|by| &by.value);
    let folded = windrow_text::fold::fold(&label.text(view));
    circuits.any(|meaning| matches!(meaning.named, Named::Special(_) | Named::OtherWinding))
        && !folded.split(' ').any(windrow_text::circuit::is_earth_word)
}

/// The units of a value: its own, those of its column, those of its line.
fn units_of<'u>(amount: &'u Amount, line: &'u Line, column: &'u Column) -> Option<&'u [UnitMeaning]> {
    if !amount.units.is_empty() {
        return Some(&amount.units);
    }
    let headed = column.heading.units.as_ref().map(|by| by.value.0.as_slice());
    headed.or_else(|| line.unit.as_ref().map(|((units, _), _)| units.as_slice()))
}

/// From this weight on a spelling may mean a unit: "mohm" are milliohms as well as megohms.
const POSSIBLE: f32 = 0.3;

/// Whether some units can only be ohms or less.
fn is_plain(units: &[UnitMeaning]) -> bool {
    let mut possible = units.iter().filter(|meaning| meaning.weight >= POSSIBLE).peekable();
    possible.peek().is_some()
        && possible
            .all(|meaning| meaning.unit.dimension == Dimension::Resistance && meaning.unit.factor <= Unit::OHM.factor)
}
