//! Tests with what their records tell beside the readings.

mod rows;
mod tables;

use super::ids::Id;
use super::slices::known;
use super::{Loaded, MachineRow, SheetName};
use jiff::civil::Date;
#[cfg(test)]
pub(crate) use rows::{TestChunk, ToldTest};
pub(super) use tables::load;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

/// A test; texts by number, `NaN` for a number that is not told.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TestRow {
    pub(super) id: Id,
    /// Place of the machine; [`UNTOLD`] where the test has none.
    pub(super) machine: u32,
    pub(super) performed_on: Option<Date>,
    pub(super) precision: u32,
    pub(super) kind: u32,
    pub(super) stage: u32,
    pub(super) winding_temperature_c: f64,
    pub(super) winding_temperature_basis: u32,
    pub(super) ambient_temperature_c: f64,
    pub(super) relative_humidity_pct: f64,
    pub(super) dew_point_c: f64,
    pub(super) test_voltage_v: f64,
    pub(super) test_voltage_basis: u32,
    pub(super) instrument: u32,
    pub(super) tester: u32,
    pub(super) reported_outcome: u32,
    pub(super) duplicate_of: u32,
    pub(super) sheet: u32,
    pub(super) cell: u32,
}

impl TestRow {
    /// Whether another source tells the same test.
    pub(super) fn is_repeat(&self) -> bool {
        self.duplicate_of != UNTOLD
    }
}

/// A test in its fleet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Test<'a> {
    pub(super) loaded: &'a Loaded,
    pub(super) row: &'a TestRow,
    /// Where it stands among all tests.
    pub(crate) place: usize,
}

impl PartialEq for Test<'_> {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.row, other.row)
    }
}

impl<'a> Test<'a> {
    fn word(&self, code: u32) -> Option<&'a Text> {
        self.loaded.words.get(code)
    }

    fn told(&self, code: u32) -> &'a str {
        self.word(code).map(Text::as_str).unwrap_or_default()
    }

    pub(crate) fn machine(&self) -> Option<&'a MachineRow> {
        self.loaded.machines.get(self.row.machine as usize)
    }

    /// Number of its machine in this fleet.
    pub(crate) fn machine_code(&self) -> u32 {
        self.row.machine
    }

    pub(crate) fn test_id(&self) -> Text {
        self.loaded.ids.text(self.row.id)
    }

    pub(crate) fn asset_id(&self) -> Option<&'a str> {
        self.machine().map(|machine| machine.asset_id.as_str())
    }

    pub(crate) fn tag(&self) -> &'a str {
        self.machine().and_then(|machine| machine.tag.as_deref()).unwrap_or("unnamed machine")
    }

    pub(crate) fn insulation_class(&self) -> Option<&'a str> {
        self.machine()?.insulation_class.as_deref()
    }

    pub(crate) fn insulation_era(&self) -> Option<&'a str> {
        self.machine()?.insulation_era.as_deref()
    }

    pub(crate) fn made_year(&self) -> Option<i32> {
        self.machine()?.made_year
    }

    pub(crate) fn performed_on(&self) -> Option<Date> {
        self.row.performed_on
    }

    pub(crate) fn performed_precision(&self) -> &'a str {
        self.told(self.row.precision)
    }

    /// The day of the test, when the source tells a day.
    pub(crate) fn day(&self) -> Option<Date> {
        self.performed_on().filter(|_| self.performed_precision() == "day")
    }

    pub(crate) fn kind(&self) -> &'a str {
        self.told(self.row.kind)
    }

    pub(crate) fn stage(&self) -> Option<&'a Text> {
        self.word(self.row.stage)
    }

    pub(crate) fn winding_temperature_c(&self) -> Option<f64> {
        known(self.row.winding_temperature_c)
    }

    pub(crate) fn winding_temperature_basis(&self) -> &'a str {
        self.told(self.row.winding_temperature_basis)
    }

    pub(crate) fn ambient_temperature_c(&self) -> Option<f64> {
        known(self.row.ambient_temperature_c)
    }

    pub(crate) fn relative_humidity_pct(&self) -> Option<f64> {
        known(self.row.relative_humidity_pct)
    }

    pub(crate) fn dew_point_c(&self) -> Option<f64> {
        known(self.row.dew_point_c)
    }

    pub(crate) fn test_voltage_v(&self) -> Option<f64> {
        known(self.row.test_voltage_v)
    }

    pub(crate) fn test_voltage_basis(&self) -> &'a str {
        self.told(self.row.test_voltage_basis)
    }

    /// Number of its instrument in this fleet.
    pub(crate) fn instrument_code(&self) -> u32 {
        self.row.instrument
    }

    pub(crate) fn instrument(&self) -> Option<&'a Text> {
        self.word(self.row.instrument)
    }

    /// Number of who made it in this fleet.
    pub(crate) fn tester_code(&self) -> u32 {
        self.row.tester
    }

    pub(crate) fn tester(&self) -> Option<&'a Text> {
        self.word(self.row.tester)
    }

    pub(crate) fn reported_outcome(&self) -> Option<&'a Text> {
        self.word(self.row.reported_outcome)
    }

    pub(crate) fn duplicate_of(&self) -> Option<&'a Text> {
        self.word(self.row.duplicate_of)
    }

    /// Whether another source tells the same test.
    pub(crate) fn is_repeat(&self) -> bool {
        self.row.is_repeat()
    }

    /// Number of its sheet in this fleet.
    pub(crate) fn sheet_code(&self) -> u32 {
        self.row.sheet
    }

    pub(crate) fn sheet(&self) -> &'a SheetName {
        self.loaded.sheet(self.row.sheet)
    }

    pub(crate) fn cell(&self) -> &'a str {
        self.told(self.row.cell)
    }
}
