//! Invented records for the tests of the checks.

use crate::loaded::{Chunk, Loaded, MachineRow, SheetName, TestChunk, ToldReading, ToldTest};
use jiff::civil::Date;
use windrow_model::Text;

/// A test that is no repeat from another source.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TestRecord {
    pub(crate) test_id: Text,
    pub(crate) asset_id: Option<Text>,
    pub(crate) tag: Text,
    pub(crate) insulation_class: Option<Text>,
    pub(crate) insulation_era: Option<Text>,
    pub(crate) made_year: Option<i32>,
    pub(crate) performed_on: Option<Date>,
    pub(crate) performed_precision: Text,
    pub(crate) winding_temperature_c: Option<f64>,
    pub(crate) ambient_temperature_c: Option<f64>,
    pub(crate) test_voltage_v: Option<f64>,
    pub(crate) instrument: Option<Text>,
    pub(crate) tester: Option<Text>,
    pub(crate) sheet: SheetName,
    pub(crate) cell: Text,
}

/// A reading that can be held against others.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Record {
    /// Index of its test.
    pub(crate) test: usize,
    pub(crate) reading_id: Text,
    pub(crate) quantity: Text,
    pub(crate) circuit: Option<Text>,
    pub(crate) elapsed_s: Option<f64>,
    pub(crate) applied_voltage_v: Option<f64>,
    pub(crate) value: f64,
    pub(crate) value_ref: Option<f64>,
    pub(crate) bound: Text,
    pub(crate) as_reported: Text,
    pub(crate) raw_text: Text,
    pub(crate) cell: Text,
}

/// Invented tests and readings.
#[derive(Debug, Clone, Default)]
pub(crate) struct Records {
    pub(crate) tests: Vec<TestRecord>,
    pub(crate) readings: Vec<Record>,
}

impl Records {
    /// The same as the checks see them.
    pub(crate) fn loaded(&self) -> Loaded {
        let mut loaded = Loaded::default();
        let named: Vec<MachineRow> = (0..).zip(&self.tests).map(|(place, test)| machine(place, test)).collect();
        let mut tests = TestChunk::default();
        for (machine, test) in named.iter().zip(&self.tests) {
            tests.push(Some(&machine.asset_id), &told(test));
            // What the first test of a machine tells of it holds.
            if loaded.machines.iter().all(|known| known.asset_id != machine.asset_id) {
                loaded.machines.push(machine.clone());
            }
        }
        let mut machines = loaded.places_of_machines();
        loaded.append_tests(tests, &mut machines);
        let places = loaded.sorted_tests();
        let mut chunk = Chunk::default();
        for (seq, record) in (0..).zip(&self.readings) {
            let test = &self.tests[record.test];
            let place = loaded.place_of(&places, &test.test_id);
            let id: &str = &record.reading_id;
            chunk.push(
                place,
                &ToldReading {
                    reading_id: Some(id),
                    seq,
                    quantity: &record.quantity,
                    circuit: record.circuit.as_deref(),
                    elapsed_s: record.elapsed_s.unwrap_or(f64::NAN),
                    applied_voltage_v: record.applied_voltage_v.unwrap_or(f64::NAN),
                    value: record.value,
                    value_ref: record.value_ref.unwrap_or(f64::NAN),
                    bracket: None,
                    bound: &record.bound,
                    as_reported: &record.as_reported,
                    outcome: None,
                    voltage_assumed: false,
                    raw_text: &record.raw_text,
                    sheet: (&test.sheet.0, test.sheet.1.as_deref()),
                    cell: &record.cell,
                },
            );
        }
        loaded.append(chunk);
        loaded.sort_readings();
        loaded
    }
}

/// The machine of a test; tests without one get one of their own that has no id.
fn machine(place: u32, test: &TestRecord) -> MachineRow {
    MachineRow {
        asset_id: test.asset_id.clone().unwrap_or_else(|| format!("none {place}").into()),
        tag: Some(test.tag.clone()),
        insulation_class: test.insulation_class.clone(),
        insulation_era: test.insulation_era.clone(),
        made_year: test.made_year,
        ..MachineRow::default()
    }
}

fn told(test: &TestRecord) -> ToldTest<'_> {
    ToldTest {
        test_id: &test.test_id,
        performed_on: test.performed_on,
        performed_precision: &test.performed_precision,
        kind: "insulation_resistance",
        winding_temperature_c: test.winding_temperature_c,
        ambient_temperature_c: test.ambient_temperature_c,
        test_voltage_v: test.test_voltage_v,
        instrument: test.instrument.as_deref(),
        tester: test.tester.as_deref(),
        sheet: (&test.sheet.0, test.sheet.1.as_deref()),
        cell: &test.cell,
        ..ToldTest::default()
    }
}

/// A test of `tag` on a day, in sheet `sheet` of `log.xlsx`.
pub(crate) fn test(tag: &str, day: &str, sheet: &str) -> TestRecord {
    TestRecord {
        test_id: format!("{tag} {day} {sheet}").into(),
        asset_id: Some(tag.into()),
        tag: tag.into(),
        insulation_class: Some("130".into()),
        insulation_era: Some("thermoplastic".into()),
        made_year: None,
        performed_on: day.parse::<Date>().ok(),
        performed_precision: "day".into(),
        winding_temperature_c: None,
        ambient_temperature_c: None,
        test_voltage_v: Some(1000.0),
        instrument: None,
        tester: None,
        sheet: ("log.xlsx".into(), Some(sheet.into())),
        cell: "A2".into(),
    }
}

/// A one-minute insulation resistance of the newest test, MΩ as printed.
pub(crate) fn megohms(records: &Records, printed: &str) -> Record {
    let value = printed.trim_start_matches('>').parse::<f64>().unwrap();
    Record {
        test: records.tests.len() - 1,
        reading_id: format!("r{}", records.readings.len()).into(),
        quantity: "insulation_resistance".into(),
        circuit: Some("UVW-E".into()),
        elapsed_s: Some(60.0),
        applied_voltage_v: Some(1000.0),
        value: value * 1e6,
        value_ref: None,
        bound: if printed.starts_with('>') { "at_least" } else { "exact" }.into(),
        as_reported: "as_read".into(),
        raw_text: printed.into(),
        cell: format!("C{}", records.readings.len() + 2).into(),
    }
}

/// Adds a test with one reading in MΩ.
pub(crate) fn add(records: &mut Records, test: TestRecord, printed: &str) {
    records.tests.push(test);
    let reading = megohms(records, printed);
    records.readings.push(reading);
}

/// A repeatable sequence of numbers from 0 up to 1: a linear congruential generator with the constants of Numerical Recipes.
pub(crate) fn noise(seed: u32) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(state >> 8) / f64::from(1_u32 << 24)
    }
}
