//! What is told of a test as a row, and the order of all rows.

use super::TestRow;
#[cfg(test)]
use crate::loaded::MachineRow;
use crate::loaded::ids::ById;
use crate::loaded::{Loaded, SheetName};
use jiff::civil::Date;
use rayon::prelude::*;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

/// What a row of the table tells, or a test of this crate.
#[derive(Debug, Clone, Default)]
pub(crate) struct ToldTest<'a> {
    pub(crate) test_id: &'a str,
    pub(crate) performed_on: Option<Date>,
    pub(crate) performed_precision: &'a str,
    pub(crate) kind: &'a str,
    pub(crate) stage: Option<&'a str>,
    pub(crate) winding_temperature_c: Option<f64>,
    pub(crate) winding_temperature_basis: &'a str,
    pub(crate) ambient_temperature_c: Option<f64>,
    pub(crate) relative_humidity_pct: Option<f64>,
    pub(crate) dew_point_c: Option<f64>,
    pub(crate) test_voltage_v: Option<f64>,
    pub(crate) test_voltage_basis: &'a str,
    pub(crate) instrument: Option<&'a str>,
    pub(crate) tester: Option<&'a str>,
    pub(crate) reported_outcome: Option<&'a str>,
    pub(crate) duplicate_of: Option<&'a str>,
    pub(crate) sheet: (&'a str, Option<&'a str>),
    pub(crate) cell: &'a str,
}

impl ToldTest<'_> {
    fn is_of(&self, (file, sheet): &SheetName) -> bool {
        self.sheet == (file.as_str(), sheet.as_deref())
    }
}

impl Loaded {
    /// Adds a test of the machine at place `machine` ([`UNTOLD`] for none).
    pub(crate) fn push_test(&mut self, machine: u32, told: ToldTest<'_>) {
        let last = self.tests.last().cloned();
        let mut word =
            |text: Option<&str>, before: fn(&TestRow) -> u32| self.words.code_beside(text, last.as_ref().map(before));
        let row = TestRow {
            id: self.ids.id(told.test_id),
            machine,
            performed_on: told.performed_on,
            precision: word(Some(told.performed_precision), |last| last.precision),
            kind: word(Some(told.kind), |last| last.kind),
            stage: word(told.stage, |last| last.stage),
            winding_temperature_c: told.winding_temperature_c.unwrap_or(f64::NAN),
            winding_temperature_basis: word(Some(told.winding_temperature_basis), |last| {
                last.winding_temperature_basis
            }),
            ambient_temperature_c: told.ambient_temperature_c.unwrap_or(f64::NAN),
            relative_humidity_pct: told.relative_humidity_pct.unwrap_or(f64::NAN),
            dew_point_c: told.dew_point_c.unwrap_or(f64::NAN),
            test_voltage_v: told.test_voltage_v.unwrap_or(f64::NAN),
            test_voltage_basis: word(Some(told.test_voltage_basis), |last| last.test_voltage_basis),
            instrument: word(told.instrument, |last| last.instrument),
            tester: word(told.tester, |last| last.tester),
            reported_outcome: word(told.reported_outcome, |last| last.reported_outcome),
            duplicate_of: word(told.duplicate_of, |last| last.duplicate_of),
            cell: word(Some(told.cell), |last| last.cell),
            sheet: match last.as_ref().map(|last| last.sheet) {
                Some(before) if self.sheets.get(before).is_some_and(|known| told.is_of(known)) => before,
                _ => self.sheets.code((Text::new(told.sheet.0), told.sheet.1.map(Text::new))),
            },
        };
        self.tests.push(row);
    }

    /// Machines that were added more than once become one.
    #[cfg(test)]
    pub(crate) fn merge_machines(&mut self) {
        let mut kept: Vec<MachineRow> = Vec::new();
        let place = |machine: &MachineRow| {
            let known = kept.iter().position(|known| known.asset_id == machine.asset_id);
            known.unwrap_or_else(|| {
                kept.push(machine.clone());
                kept.len() - 1
            })
        };
        let places: Vec<usize> = self.machines.iter().map(place).collect();
        for test in &mut self.tests {
            test.machine = u32::try_from(places[test.machine as usize]).unwrap();
        }
        self.machines = kept;
    }

    /// Where a test stands.
    #[cfg(test)]
    pub(crate) fn place_of(&mut self, places: &ById, test_id: &str) -> u32 {
        places.get(self.ids.id(test_id)).unwrap()
    }

    /// Sorts machines and tests, and tells where each test stands then.
    pub(crate) fn sorted_tests(&mut self) -> ById {
        let mut order: Vec<u32> = (0..).take(self.machines.len()).collect();
        order.sort_by(|a, b| self.machines[*a as usize].asset_id.cmp(&self.machines[*b as usize].asset_id));
        let mut place = vec![0; order.len()];
        for (new, old) in (0_u32..).zip(&order) {
            place[*old as usize] = new;
        }
        self.machines.sort_by(|a, b| a.asset_id.cmp(&b.asset_id));
        for test in &mut self.tests {
            test.machine = place.get(test.machine as usize).copied().unwrap_or(UNTOLD);
        }
        let ids = &self.ids;
        self.tests.par_sort_by(|a, b| {
            let key = |test: &TestRow| (test.machine, test.performed_on.is_none(), test.performed_on);
            key(a).cmp(&key(b)).then_with(|| ids.compare(a.id, b.id))
        });
        ById::of(self.tests.iter().zip(0..).map(|(test, place)| (test.id, place)))
    }
}
