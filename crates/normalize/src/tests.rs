//! Rows as an analyst sees them, against the worked examples.

use crate::{correct, normalize};
use windrow_model::kind::TemperatureBasis;
use windrow_model::raw::{Mention, RawReading, RawTest, SourceStatus, Told, Understood, Via};
use windrow_model::settings::JudgingSettings;
use windrow_model::{Asset, Bound, Place, Quantity, Reading, Reported, Test, TestKind, Unit};

fn place(cell: &str) -> Place {
    Place::new(Some("Log"), cell)
}

fn raw_reading(number: f64, unit: Unit, bound: Bound, text: &str) -> RawReading {
    RawReading {
        quantity: Told::at(Quantity::InsulationResistance, Via::Column, "IR", place("D1")),
        circuit: None,
        elapsed_s: None,
        applied_voltage_v: None,
        number,
        unit: Told::at(unit, Via::Column, unit.symbol, place("D2")),
        bound,
        as_reported: Reported::AsRead,
        reported_reference_c: None,
        outcome: None,
        raw_text: text.into(),
        place: place("D4"),
        steps: vec![],
        flags: vec![],
    }
}

fn source(reading: RawReading, temperature: Option<f64>) -> Understood {
    let test = RawTest {
        machine: Mention::default(),
        kind: TestKind::InsulationResistance,
        performed: None,
        stage: None,
        winding_temperature_c: temperature.map(|value| Told::at(value, Via::Row, value.to_string(), place("E4"))),
        winding_temperature_basis: TemperatureBasis::Measured,
        ambient_temperature_c: None,
        relative_humidity_pct: None,
        dew_point_c: None,
        test_voltage_v: None,
        instrument: None,
        tester: None,
        remarks: vec![],
        work_order: None,
        reported_outcome: None,
        place: place("A4"),
        readings: vec![reading],
        derived: vec![],
        flags: vec![],
    };
    Understood {
        source_file: "log.xlsx".into(),
        blake3: String::new(),
        bytes: 0,
        media_type: String::new(),
        status: SourceStatus::Read,
        reason: None,
        reader: None,
        regions: vec![],
        tests: vec![test],
        machines: vec![],
        cells: vec![],
        holds: vec![],
        notes: vec![],
    }
}

fn rows(reading: RawReading, temperature: Option<f64>) -> (Test, Reading) {
    let mut rows = normalize(&source(reading, temperature), "records", "import");
    (rows.tests.remove(0), rows.readings.remove(0))
}

fn asset(made: Option<i32>) -> Asset {
    Asset {
        asset_id: "a".into(),
        tag: "K-1".into(),
        aliases: vec![],
        site: None,
        area: None,
        description: None,
        equipment_class: "EM".into(),
        manufacturer: None,
        model: None,
        serial_number: None,
        rated_power_w: None,
        rated_voltage_v: None,
        rated_current_a: None,
        rated_speed_rpm: None,
        rated_frequency_hz: None,
        winding_kind: None,
        insulation_class: None,
        insulation_era: None,
        conductor: None,
        made_year: made,
        rewound_years: vec![],
        in_service: None,
    }
}

/// UN-06: ">2000" MΩ is a bound, never the number; the unit's place is in the derivation.
#[test]
fn a_ceiling_stays_a_ceiling_with_its_trail() {
    let (_, reading) = rows(raw_reading(2000.0, Unit::MEGOHM, Bound::AtLeast, ">2000"), None);
    assert!((reading.value - 2e9).abs() < 1.0);
    assert_eq!(
        (reading.unit.as_str(), reading.bound.as_str(), reading.raw_text.as_str()),
        ("Ohm", "at_least", ">2000")
    );
    assert!(reading.derivation.iter().any(|step| step.step == "unit" && step.detail.contains("D2")));
}

/// IR-04 (halving) and IR-08 (thermosetting), chosen by the year of manufacture and flagged so.
#[test]
fn the_law_follows_the_machine() {
    for (value, t, made, expected, code) in [
        (12.0, 65.0, 1960, 67.882_250_99e6, "thermoplastic_halving"),
        (350.0, 60.0, 1985, 788.086_179_4e6, "thermosetting_exponential"),
    ] {
        let (test, mut reading) = rows(raw_reading(value, Unit::MEGOHM, Bound::Exact, "x"), Some(t));
        correct(&mut reading, &test, Some(&asset(Some(made))), &JudgingSettings::default());
        assert!((reading.value_ref.unwrap() / expected - 1.0).abs() < 1e-8);
        assert_eq!(reading.correction.as_deref(), Some(code));
        assert!(reading.flags.contains(&"era_assumed".to_owned()));
    }
}

/// IR-17 and the rule that nothing is corrected twice, without a temperature, or by a law nobody told.
#[test]
fn what_cannot_be_corrected_says_why() {
    let judging = JudgingSettings::default();
    let (test, mut cold) = rows(raw_reading(820.0, Unit::MEGOHM, Bound::Exact, "820"), Some(5.0));
    correct(&mut cold, &test, Some(&asset(Some(1990))), &judging);
    assert!(cold.value_ref.is_none() && cold.flags.contains(&"outside_correction_range".to_owned()));

    let (test, mut untold) = rows(raw_reading(820.0, Unit::MEGOHM, Bound::Exact, "820"), None);
    correct(&mut untold, &test, Some(&asset(Some(1990))), &judging);
    assert!(untold.value_ref.is_none() && untold.flags.contains(&"no_temperature".to_owned()));

    let mut corrected = raw_reading(820.0, Unit::MEGOHM, Bound::Exact, "820*");
    corrected.as_reported = Reported::Corrected;
    corrected.reported_reference_c = Some(40.0);
    let (test, mut corrected) = rows(corrected, Some(20.0));
    correct(&mut corrected, &test, Some(&asset(Some(1990))), &judging);
    assert_eq!(corrected.value_ref, Some(corrected.value));

    let (test, mut unknown) = rows(raw_reading(820.0, Unit::MEGOHM, Bound::Exact, "820"), Some(20.0));
    correct(&mut unknown, &test, None, &judging);
    assert!(unknown.value_ref.is_none());
    let shown = &unknown.derivation.last().unwrap().detail;
    assert!(
        shown.contains("thermoplastic_halving") && shown.contains("thermosetting_exponential"),
        "both laws are shown"
    );
}

#[test]
fn ids_are_the_same_every_time() {
    let once = rows(raw_reading(1.0, Unit::MEGOHM, Bound::Exact, "1"), None);
    assert_eq!(once, rows(raw_reading(1.0, Unit::MEGOHM, Bound::Exact, "1"), None));
}
