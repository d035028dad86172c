//! Invented records for the tests of the checks.

use super::load::{Record, Records, TestRecord};
use jiff::civil::Date;

/// A test of `tag` on a day, in sheet `sheet` of `log.xlsx`.
pub(super) fn test(tag: &str, day: &str, sheet: &str) -> TestRecord {
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
pub(super) fn megohms(records: &Records, printed: &str) -> Record {
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
pub(super) fn add(records: &mut Records, test: TestRecord, printed: &str) {
    records.tests.push(test);
    let reading = megohms(records, printed);
    records.readings.push(reading);
}

/// A repeatable sequence of numbers from 0 up to 1: a linear congruential generator with the constants of Numerical Recipes.
pub(super) fn noise(seed: u32) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(state >> 8) / f64::from(1_u32 << 24)
    }
}
