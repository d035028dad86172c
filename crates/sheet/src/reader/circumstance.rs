//! Numbers of a table that are circumstances of readings elsewhere: temperatures and voltages by machine and date.

use super::Reader;
use super::line::Line;
use super::temperature::Join;
use super::test;
use crate::column::Column;
use crate::heading::By;
use crate::value;
use crate::view::Item;
use windrow_model::raw::Via;
use windrow_model::{Dimension, Disposition, Quantity};
use windrow_text::vocabulary::Concept;

/// Below this no winding is tested, V; whole numbers below it are kilovolts where nothing says volts. Common practice, no source.
const LEAST_VOLTS: f64 = 20.0;

impl Reader<'_, '_, '_> {
    /// A number of a table of temperatures waits for the test of its machine and date.
    pub(super) fn read_circumstance(&mut self, item: &Item, concept: Concept, column: &Column, line: &Line) {
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
        if concept == Concept::TestVoltage && is_in_volts(&line) && self.is_below_tests(item) {
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
            self.joins.push(Join { machine, when, concept, told });
            self.mark(item, Disposition::Value, Some("joined to the test of the same machine and date"));
        }
    }

    /// "VDC | 0.4 | V" in a list of what an instrument measured: whether a number is below the voltage of any test.
    fn is_below_tests(&self, item: &Item) -> bool {
        let amounts = value::amounts(self.view.cell(item), self.view.sense(item));
        let amount = amounts.as_ref().and_then(|amounts| amounts.parts.first());
        let number = amount.and_then(|amount| {
            value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)
                .map(|number| number.value)
        });
        number.is_some_and(|number| number < LEAST_VOLTS)
    }
}

/// Whether the unit of a line is a voltage.
fn is_in_volts(line: &Line) -> bool {
    let units = line.unit.as_ref().map_or(&[][..], |((units, _), _)| units.as_slice());
    let best = units.iter().max_by(|a, b| a.weight.total_cmp(&b.weight));
    best.is_some_and(|best| best.unit.dimension == Dimension::Voltage)
}
