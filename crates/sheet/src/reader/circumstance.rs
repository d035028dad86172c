//! Numbers of a table that are circumstances of readings elsewhere: temperatures and voltages by machine and date.

use super::Reader;
use super::line::Line;
use super::quantity::told_unit;
use super::temperature::Join;
use super::test;
use super::voltage::LEAST_VOLTS;
use crate::column::Column;
use crate::heading::By;
use crate::value::Amount;
use crate::view::Item;
use windrow_model::raw::Via;
use windrow_model::{Disposition, Quantity, Unit};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// A number of a table of temperatures waits for the test of its machine and date.
    pub(super) fn read_circumstance(
        &mut self,
        item: &Item,
        amount: &Amount,
        concept: Concept,
        column: &Column,
        line: &Line,
    ) {
        let mut line = line.clone();
        self.apply_heading(&column.heading, &mut line);
        let cell = self.view.cell(item).clone();
        let sense = self.view.sense(item).clone();
        let mut heading = column.heading.clone();
        if heading.units.is_none()
            && let Some(label) = line.label.as_ref().and_then(|label| label.units.clone())
        {
            heading.units = Some(label);
        }
        if let (None, Some(((units, text), at))) = (&heading.units, &line.unit) {
            heading.units = Some(By { value: (units.clone(), text.clone()), item: *at });
        }
        // "VDC | 0.4 | V" in a list of what an instrument measured.
        let number = amount.numbers.first().map(|number| number.value);
        let is_below_tests = number.is_some_and(|number| number < LEAST_VOLTS)
            && told_unit(&amount.units, &line).is_some_and(|best| best.unit == Unit::VOLT);
        if concept == Concept::TestVoltage && is_below_tests {
            self.mark(item, Disposition::Unread, Some("so few volts are not put on a winding to test it"));
            return;
        }
        let told = match concept {
            Concept::TestVoltage => self
                .ruled_volts(item)
                .or_else(|| self.volts(&cell, &sense, &heading).map(|volts| self.told(volts, Via::Joined, item))),
            _ => self.celsius(&cell, &sense, &heading, item, Via::Joined),
        };
        if let Some(told) = told {
            if concept == Concept::TestVoltage && self.doubts_voltage(item, Quantity::Voltage, &told) {
                return;
            }
            let (machine, when) = (test::machine_key(&line), test::when_key(&line));
            self.joins.push(Join { machine, when, row: item.row, concept, told });
            self.mark(item, Disposition::Value, Some("joined to the test of the same machine and date"));
        }
    }
}
