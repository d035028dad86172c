//! Rows as an analyst sees them, against the worked examples.

use crate::{Location, correct, name_asset_cells, normalize};
use proptest::prelude::*;
use windrow_model::kind::TemperatureBasis;
use windrow_model::raw::{
    CellMark, Mention, RawReading, RawTest, RawWaveform, SourceStatus, Target, Told, Understood, Via,
};
use windrow_model::settings::JudgingSettings;
use windrow_model::{
    Asset, Bound, Circuit, Disposition, Flag, Place, Quantity, Reading, Reported, Test, TestKind, Text, Unit,
};

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
        exported: None,
    };
    Understood {
        source_file: "log.xlsx".into(),
        blake3: String::new(),
        bytes: 0,
        companion_blake3: None,
        media_type: String::new(),
        status: SourceStatus::Read,
        reason: None,
        reader: None,
        regions: vec![],
        tests: vec![test],
        waveforms: vec![],
        machines: vec![],
        cells: vec![],
        holds: vec![],
        notes: vec![],
    }
}

fn rows(reading: RawReading, temperature: Option<f64>) -> (Test, Reading) {
    let mut rows = normalize(
        &source(reading, temperature),
        Location { origin: "records", path: "records/book.xlsx" },
        &"import".into(),
    );
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
        rated_voltage_basis: None,
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
        functional_location: None,
        location_levels: Vec::new(),
        parent: None,
        list_key: None,
        listed_at: None,
        nameplate_conflicts: Vec::new(),
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
        assert!(reading.flags.contains(&"era_by_year".to_owned()));
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
    // Factor table of the worked examples at 20 °C: 0.25 by the halving rule, 0.76223 by the thermosetting law.
    assert_eq!(unknown.value_ref_low, Some(820e6 * 0.25));
    assert!(unknown.value_ref_high.is_some_and(|high| (high / 820e6 - 0.762_23).abs() < 1e-5));
    let shown = &unknown.derivation.last().unwrap().detail;
    assert!(
        shown.contains("thermoplastic_halving") && shown.contains("thermosetting_exponential"),
        "both laws are shown"
    );
}

/// A value at the reference temperature needs no law, so that the unknown era does not matter there (IR-10).
#[test]
fn where_the_laws_agree_the_era_does_not_matter() {
    let (test, mut reading) = rows(raw_reading(820.0, Unit::MEGOHM, Bound::Exact, "820"), Some(40.0));
    correct(&mut reading, &test, None, &JudgingSettings::default());
    assert_eq!((reading.value_ref, reading.correction.as_deref()), (Some(820e6), Some("none_needed")));
}

/// A temperature of which nobody says whose it is corrects nothing; one of the air does, and the trail says so.
#[test]
fn whose_temperature_it_is_decides() {
    let judging = JudgingSettings::default();
    for (basis, is_corrected, words) in [
        (TemperatureBasis::Measured, true, "of the winding"),
        (TemperatureBasis::Ambient, true, "of the air"),
        (TemperatureBasis::Assumed, true, "assumed"),
        (TemperatureBasis::Unknown, false, "does not tell"),
    ] {
        let mut source = source(raw_reading(820.0, Unit::MEGOHM, Bound::Exact, "820"), Some(20.0));
        source.tests[0].winding_temperature_basis = basis;
        let mut rows = normalize(&source, Location { origin: "records", path: "records/book.xlsx" }, &"import".into());
        let mut reading = rows.readings.remove(0);
        correct(&mut reading, &rows.tests[0], Some(&asset(Some(1990))), &judging);
        assert_eq!(reading.value_ref.is_some(), is_corrected, "{basis}");
        assert!(reading.derivation.iter().any(|step| step.step == "temperature" && step.detail.contains(words)));
    }
}

/// A rewind changes the law from its year on; in that year nobody can say which winding was tested.
#[test]
fn a_rewind_changes_the_law() {
    let judging = JudgingSettings::default();
    let rewound = Asset { rewound_years: vec![1985], ..asset(Some(1958)) };
    for (year, correction) in
        [(1980, Some("thermoplastic_halving")), (1985, None), (1986, Some("thermosetting_exponential")), (1950, None)]
    {
        let (mut test, mut reading) = rows(raw_reading(820.0, Unit::MEGOHM, Bound::Exact, "820"), Some(20.0));
        test.performed_on = Some(jiff::civil::date(year, 6, 1));
        correct(&mut reading, &test, Some(&rewound), &judging);
        assert_eq!(reading.correction.as_deref(), correction, "{year}");
    }
}

/// WR-01 and WR-03; copper that nobody told is owned up to.
#[test]
fn winding_resistance_follows_the_conductor() {
    for (conductor, expected, is_flagged) in [
        (Some("copper"), 0.537_499_009_9, false),
        (Some("aluminium"), 0.538_065_843_6, false),
        (None, 0.537_499_009_9, true),
    ] {
        let mut raw = raw_reading(523.0, Unit::MILLIOHM, Bound::Exact, "523");
        raw.quantity.value = Quantity::WindingResistance;
        let (test, mut reading) = rows(raw, Some(18.0));
        let machine = Asset { conductor: conductor.map(str::to_owned), ..asset(None) };
        correct(&mut reading, &test, Some(&machine), &JudgingSettings::default());
        assert!((reading.value_ref.unwrap() / expected - 1.0).abs() < 1e-9, "{conductor:?}");
        assert_eq!(reading.flags.contains(&"conductor_presumed".to_owned()), is_flagged);
    }
}

/// Whatever an importer forgot to flag, an attribute that nothing told is flagged.
#[test]
fn what_nothing_told_is_flagged() {
    let mut raw = raw_reading(1.0, Unit::MEGOHM, Bound::Exact, "1");
    raw.unit = Told::without_place(Unit::MEGOHM, Via::Assumed, "the unit of most sheets");
    raw.circuit = Some(Told::without_place(Circuit::AllToEarth, Via::Assumed, "the usual connection"));
    let (_, reading) = rows(raw, None);
    assert_eq!(reading.flags, ["circuit_assumed", "unit_assumed"]);
}

/// Ids rest on the place and on what was measured, so that rulings on values leave them as they are; equal keys differ.
#[test]
fn ids_rest_on_places() {
    let at = |number, unit| rows(raw_reading(number, unit, Bound::Exact, "1"), None);
    let (test, reading) = at(1.0, Unit::MEGOHM);
    let (same_test, same_reading) = at(1.0, Unit::GIGOHM);
    assert_eq!((&test.test_id, &reading.reading_id), (&same_test.test_id, &same_reading.reading_id));
    let mut twice = source(raw_reading(1.0, Unit::MEGOHM, Bound::Exact, "1"), None);
    twice.tests.push(twice.tests[0].clone());
    let rows = normalize(&twice, Location { origin: "records", path: "records/book.xlsx" }, &"import".into());
    assert_ne!(rows.tests[0].test_id, rows.tests[1].test_id);
    assert_ne!(rows.readings[0].reading_id, rows.readings[1].reading_id);
}

/// Every cell that became a field names the row and the column that it became.
#[test]
fn cells_name_what_they_became() {
    let mut source = source(raw_reading(1.0, Unit::MEGOHM, Bound::Exact, "1"), None);
    let targets = [
        Target::Reading { test: 0, reading: 0, column: "value".into() },
        Target::Test { test: 0, column: "performed_on".into() },
        Target::Asset { mention: 0, column: "serial_number".into() },
        Target::Reading { test: 7, reading: 0, column: "value".into() },
    ];
    source.cells = targets
        .into_iter()
        .map(|target| CellMark {
            place: place("D4"),
            raw_text: "1".into(),
            disposition: Disposition::Value,
            target: Some(target),
            reason: None,
        })
        .collect();
    let mut rows = normalize(&source, Location { origin: "records", path: "records/book.xlsx" }, &"import".into());
    name_asset_cells(&mut rows, |_| Some("machine"));
    let named: Vec<Option<Text>> = rows.cells.iter().map(|cell| cell.target.clone()).collect();
    assert_eq!(named[0], Some(format!("readings/{}/value", rows.readings[0].reading_id).into()));
    assert_eq!(named[1], Some(format!("tests/{}/performed_on", rows.tests[0].test_id).into()));
    assert_eq!(named[2].as_deref(), Some("assets/machine/serial_number"));
    assert_eq!(named[3], None, "a row that the source does not have is not named");
}

proptest! {
    #[test]
    fn the_stored_value_is_the_written_number_in_the_base_unit(number in 1e-6_f64..1e6, index in 0_usize..6) {
        let units = [Unit::MICROHM, Unit::MILLIOHM, Unit::OHM, Unit::KILOHM, Unit::MEGOHM, Unit::GIGOHM];
        let (_, reading) = rows(raw_reading(number, units[index], Bound::Exact, "n"), None);
        prop_assert!((reading.value / (number * units[index].factor) - 1.0).abs() < 1e-12);
        // Seventeen digits shifted twice may come back off by the last one; what people write has far fewer.
        prop_assert!((units[index].from_stored(reading.value) / number - 1.0).abs() < 1e-15);
    }
}

/// 12.5 kV are 12 500 V (SI brochure, 9th edition, table 7); a unit that is not known stays as written, in the braces of a UCUM annotation.
#[test]
fn samples_are_stored_in_si_units_and_keep_what_is_missing() {
    let mut understood = source(raw_reading(5.0, Unit::MEGOHM, Bound::Exact, "5"), None);
    let waveform = |unit: Option<Unit>, text: &str| RawWaveform {
        test: 0,
        channel: "U-E".into(),
        circuit: Some(Told::at(Circuit::UToEarth, Via::Column, "U-E", place("C2"))),
        unit: unit.map(|unit| Told::at(unit, Via::Column, text, place("C3"))),
        unit_text: text.into(),
        started: Some("14/03/2003 10:15:30".into()),
        start_s: 0.5,
        interval_s: 0.25,
        samples: vec![Some(12.5), None],
        place: place(&format!("C4:C5 {text}")),
        steps: vec![],
        flags: vec![Flag::SamplesMissing],
    };
    understood.waveforms = vec![waveform(Some(Unit::KILOVOLT), "kV"), waveform(None, "pu")];
    understood.cells = vec![CellMark {
        place: place("C4:C5 kV"),
        raw_text: "2 samples".into(),
        disposition: Disposition::Value,
        target: Some(Target::Waveform { waveform: 0 }),
        reason: None,
    }];
    let rows = normalize(&understood, Location { origin: "records", path: "records/a.dat" }, &"import".into());
    let [volts, unknown] = rows.waveforms.as_slice() else { panic!("two rows") };
    assert!((volts.samples[0] - 12_500.0).abs() < 1e-3 && volts.samples[1].is_nan());
    assert_eq!((volts.unit.as_str(), unknown.unit.as_str()), ("V", "{pu}"));
    assert!((unknown.samples[0] - 12.5).abs() < f32::EPSILON);
    assert_eq!((volts.test_id.as_str(), volts.circuit.as_deref()), (rows.tests[0].test_id.as_str(), Some("U-E")));
    assert_eq!(rows.cells[0].target, Some(format!("waveforms/{}/samples", volts.waveform_id).into()));
    assert!(volts.derivation.iter().any(|step| step.detail.contains("1 kV = 1e3 V")), "{:?}", volts.derivation);
}
