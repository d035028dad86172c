//! Tests with what their records tell beside the readings.

use super::ids::Id;
use super::slices::{each, known};
use super::words::UNTOLD;
use super::{Loaded, MachineRow, SheetName};
use crate::AnalyzeError;
use jiff::civil::Date;
use polars::prelude::*;
use std::collections::HashMap;
use windrow_model::Text;

/// A test; texts by number, `NaN` for a number that is not told.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TestRow {
    id: Id,
    /// Place of the machine; [`UNTOLD`] where the test has none.
    pub(super) machine: u32,
    performed_on: Option<Date>,
    precision: u32,
    kind: u32,
    stage: u32,
    winding_temperature_c: f64,
    winding_temperature_basis: u32,
    ambient_temperature_c: f64,
    relative_humidity_pct: f64,
    dew_point_c: f64,
    test_voltage_v: f64,
    test_voltage_basis: u32,
    instrument: u32,
    tester: u32,
    reported_outcome: u32,
    duplicate_of: u32,
    sheet: u32,
    cell: u32,
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

    pub(crate) fn instrument(&self) -> Option<&'a Text> {
        self.word(self.row.instrument)
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
        self.row.duplicate_of != UNTOLD
    }

    pub(crate) fn sheet(&self) -> &'a SheetName {
        static NONE: SheetName = (Text::new_static(""), None);
        self.loaded.sheets.get(self.row.sheet).unwrap_or(&NONE)
    }

    pub(crate) fn cell(&self) -> &'a str {
        self.told(self.row.cell)
    }
}

/// What a row of the table tells, or a test of this crate.
#[derive(Debug, Clone, Default)]
pub(crate) struct Told<'a> {
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
    pub(crate) sheet: SheetName,
    pub(crate) cell: &'a str,
}

impl Loaded {
    /// Adds a test of the machine at place `machine` ([`UNTOLD`] for none).
    pub(crate) fn push_test(&mut self, machine: u32, told: Told<'_>) {
        let row = TestRow {
            id: self.ids.id(told.test_id),
            machine,
            performed_on: told.performed_on,
            precision: self.words.code(Some(told.performed_precision)),
            kind: self.words.code(Some(told.kind)),
            stage: self.words.code(told.stage),
            winding_temperature_c: told.winding_temperature_c.unwrap_or(f64::NAN),
            winding_temperature_basis: self.words.code(Some(told.winding_temperature_basis)),
            ambient_temperature_c: told.ambient_temperature_c.unwrap_or(f64::NAN),
            relative_humidity_pct: told.relative_humidity_pct.unwrap_or(f64::NAN),
            dew_point_c: told.dew_point_c.unwrap_or(f64::NAN),
            test_voltage_v: told.test_voltage_v.unwrap_or(f64::NAN),
            test_voltage_basis: self.words.code(Some(told.test_voltage_basis)),
            instrument: self.words.code(told.instrument),
            tester: self.words.code(told.tester),
            reported_outcome: self.words.code(told.reported_outcome),
            duplicate_of: self.words.code(told.duplicate_of),
            sheet: self.sheets.code(told.sheet),
            cell: self.words.code(Some(told.cell)),
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
    pub(crate) fn place_of(&mut self, places: &HashMap<Id, u32>, test_id: &str) -> u32 {
        places[&self.ids.id(test_id)]
    }

    /// Sorts machines and tests, and tells where each test stands then.
    pub(crate) fn sorted_tests(&mut self) -> HashMap<Id, u32> {
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
        self.tests.sort_by(|a, b| {
            let key = |test: &TestRow| (test.machine, test.performed_on.is_none(), test.performed_on);
            key(a).cmp(&key(b)).then_with(|| ids.compare(a.id, b.id))
        });
        self.tests.iter().zip(0..).map(|(test, place)| (test.id, place)).collect()
    }
}

/// Day 0 of the tables.
const EPOCH: Date = Date::constant(1970, 1, 1);

pub(super) fn load(loaded: &mut Loaded, tests: &LazyFrame) -> Result<(), AnalyzeError> {
    let mut machines: HashMap<Text, u32> =
        loaded.machines.iter().map(|machine| machine.asset_id.clone()).zip(0..).collect();
    let columns = [
        "test_id",
        "asset_id",
        "performed_on",
        "performed_precision",
        "kind",
        "stage",
        "winding_temperature_c",
        "winding_temperature_basis",
        "ambient_temperature_c",
        "relative_humidity_pct",
        "dew_point_c",
        "test_voltage_v",
        "test_voltage_basis",
        "instrument",
        "tester",
        "reported_outcome",
        "duplicate_of",
        "source_file",
        "source_sheet",
        "source_cell",
    ]
    .map(col);
    each(tests, &columns, |slice| {
        let text = |name: &str| slice.texts(name);
        let number = |name: &str| slice.numbers(name);
        let (ids, assets, days) = (text("test_id")?, text("asset_id")?, slice.days("performed_on")?);
        let (precisions, kinds, stages) = (text("performed_precision")?, text("kind")?, text("stage")?);
        let (windings, bases) = (number("winding_temperature_c")?, text("winding_temperature_basis")?);
        let (ambients, humidities) = (number("ambient_temperature_c")?, number("relative_humidity_pct")?);
        let (dews, volts) = (number("dew_point_c")?, number("test_voltage_v")?);
        let (volt_bases, instruments) = (text("test_voltage_basis")?, text("instrument")?);
        let (testers, outcomes) = (text("tester")?, text("reported_outcome")?);
        let (repeats, files) = (text("duplicate_of")?, text("source_file")?);
        let (sheets, cells) = (text("source_sheet")?, text("source_cell")?);
        for row in 0..slice.len() {
            let machine = match assets.get(row) {
                None => UNTOLD,
                Some(id) => machines.get(id).copied().unwrap_or_else(|| {
                    let place = u32::try_from(loaded.machines.len()).unwrap_or(UNTOLD);
                    loaded.machines.push(MachineRow { asset_id: Text::new(id), ..MachineRow::default() });
                    machines.insert(Text::new(id), place);
                    place
                }),
            };
            let day = days.get(row).and_then(|day| EPOCH.checked_add(jiff::Span::new().days(i64::from(day))).ok());
            loaded.push_test(
                machine,
                Told {
                    test_id: ids.told(row),
                    performed_on: day,
                    performed_precision: precisions.told(row),
                    kind: kinds.told(row),
                    stage: stages.get(row),
                    winding_temperature_c: known(windings.get(row)),
                    winding_temperature_basis: bases.told(row),
                    ambient_temperature_c: known(ambients.get(row)),
                    relative_humidity_pct: known(humidities.get(row)),
                    dew_point_c: known(dews.get(row)),
                    test_voltage_v: known(volts.get(row)),
                    test_voltage_basis: volt_bases.told(row),
                    instrument: instruments.get(row),
                    tester: testers.get(row),
                    reported_outcome: outcomes.get(row),
                    duplicate_of: repeats.get(row),
                    sheet: (Text::new(files.told(row)), sheets.get(row).map(Text::new)),
                    cell: cells.told(row),
                },
            );
        }
        Ok(())
    })
}
