//! Columns of voltages that speak against the one that a reading was given.

use super::is_far;
use crate::column::{Column, Role};
use crate::context::Body;
use crate::reader::Reader;
use crate::reader::test::Pending;
use crate::sense::Kind;
use crate::view::Item;
use windrow_model::raw::Via;
use windrow_model::{Circuit, Dimension};

const OF_STATOR: &str = "it is headed as the stator's";
const UNREAD: &str = "a column of volts that is not understood tells another one in its line";

impl Reader<'_, '_, '_> {
    /// Why the voltage of a reading is not its own, by the columns of its table.
    pub(super) fn denied_volts(&self, block: usize, item: &Item, pending: &Pending) -> Option<&'static str> {
        let told = pending.reading.applied_voltage_v.as_ref()?;
        let is_unread = is_far(told.via) && self.has_volts_unread(block, item);
        is_unread.then_some(UNREAD).or_else(|| self.is_volts_of_stator(block, item, pending).then_some(OF_STATOR))
    }

    /// Whether another column of the table, headed in volts or kilovolts and not understood, holds a number in the line of a reading: it is
    /// nearer than any title.
    fn has_volts_unread(&self, block: usize, item: &Item) -> bool {
        let in_volts = |column: &&Column| {
            let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
            matches!(column.role, Role::Unknown | Role::Reading(None) | Role::Asked(_))
                && column.column != item.column
                && units.next().is_some_and(|best| best.unit.dimension == Dimension::Voltage && best.weight >= 0.8)
        };
        let line = self.view.line(self.view.line_at(item.row));
        let numbers = line.iter().filter(|other| other.row == item.row && self.view.sense(other).kind == Kind::Number);
        let columns: Vec<u32> = numbers.map(|other| other.column).collect();
        self.columns_of(block).iter().filter(in_volts).any(|column| columns.contains(&column.column))
    }

    fn columns_of(&self, block: usize) -> &[Column] {
        match self.scene.blocks.get(block).map(|block| &block.body) {
            Some(Body::Table(table)) => self.scene.tables.get(*table).map(|read| read.columns.as_slice()),
            _ => None,
        }
        .unwrap_or_default()
    }

    /// Whether a reading of a rotor, field or armature was given the voltage of a column that is headed as the stator's.
    fn is_volts_of_stator(&self, block: usize, item: &Item, pending: &Pending) -> bool {
        let reading = &pending.reading;
        let circuit = reading.circuit.as_ref().map(|told| told.value);
        let is_other =
            matches!(circuit, Some(Circuit::RotorToEarth | Circuit::FieldToEarth | Circuit::ArmatureToEarth));
        let Some(told) = reading.applied_voltage_v.as_ref().filter(|told| is_other && told.via == Via::Row) else {
            return false;
        };
        let line = self.view.line(self.view.line_at(item.row));
        let at = line.iter().find(|other| told.place.as_ref() == Some(&self.place(other)));
        let column = at.and_then(|at| self.columns_of(block).iter().find(|column| column.column == at.column));
        column.is_some_and(|column| windrow_text::circuit::names_stator(&column.heading.text(self.view)))
    }
}
