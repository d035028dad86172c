//! A test and its readings.

use windrow_model::id::row_id;
use windrow_model::kind::VoltageBasis;
use windrow_model::raw::{RawReading, RawTest, Told, Via};
use windrow_model::{Precision, Reading, Step, Test};

/// Rows of one test of `source_file`.
pub(crate) fn rows(raw: &RawTest, source_file: &str, import_id: &str) -> (Test, Vec<Reading>) {
    let first = raw.readings.first().map_or(&raw.place, |reading| &reading.place);
    let sheet = raw.place.sheet.as_deref().unwrap_or("");
    let date = raw.performed.as_ref().map(|told| told.value.to_string()).unwrap_or_default();
    let test_id = row_id("tests", &[source_file, sheet, &raw.place.cell, &first.cell, raw.kind.code(), &date]);
    let readings = raw
        .readings
        .iter()
        .zip(0_i32..)
        .map(|(reading, seq)| reading_row(raw, reading, seq, &test_id, source_file))
        .collect();
    (test_row(raw, test_id, source_file, import_id), readings)
}

fn number(told: Option<&Told<f64>>) -> Option<f64> {
    told.map(|told| told.value)
}

fn text(told: Option<&Told<String>>) -> Option<String> {
    told.map(|told| told.value.clone())
}

fn test_row(raw: &RawTest, test_id: String, source_file: &str, import_id: &str) -> Test {
    let voltage_basis = match &raw.test_voltage_v {
        Some(told) if told.via == Via::Assumed => VoltageBasis::Assumed,
        Some(_) => VoltageBasis::Recorded,
        None => VoltageBasis::Unknown,
    };
    let remarks: Vec<&str> = raw.remarks.iter().map(|told| told.value.as_str()).collect();
    Test {
        test_id,
        asset_id: None,
        kind: raw.kind.code().to_owned(),
        performed_on: raw.performed.as_ref().map(|told| told.value.first),
        performed_precision: raw
            .performed
            .as_ref()
            .map_or(Precision::Unknown, |told| told.value.precision)
            .code()
            .to_owned(),
        stage: raw.stage.as_ref().map(|told| told.value.code().to_owned()),
        winding_temperature_c: number(raw.winding_temperature_c.as_ref()),
        winding_temperature_basis: raw.winding_temperature_basis.code().to_owned(),
        ambient_temperature_c: number(raw.ambient_temperature_c.as_ref()),
        relative_humidity_pct: number(raw.relative_humidity_pct.as_ref()),
        dew_point_c: number(raw.dew_point_c.as_ref()),
        test_voltage_v: number(raw.test_voltage_v.as_ref()),
        test_voltage_basis: voltage_basis.code().to_owned(),
        instrument: text(raw.instrument.as_ref()),
        tester: text(raw.tester.as_ref()),
        remarks: (!remarks.is_empty()).then(|| remarks.join("; ")),
        work_order: text(raw.work_order.as_ref()),
        reported_outcome: text(raw.reported_outcome.as_ref()),
        duplicate_of: None,
        source_file: source_file.to_owned(),
        source_sheet: raw.place.sheet.clone(),
        source_cell: raw.place.cell.clone(),
        import_id: import_id.to_owned(),
    }
}

fn reading_row(raw: &RawTest, reading: &RawReading, seq: i32, test_id: &str, source_file: &str) -> Reading {
    let quantity = reading.quantity.value;
    let circuit = reading.circuit.as_ref().map(|told| told.value.code());
    let elapsed = reading.elapsed_s.as_ref().map(|told| told.value);
    let sheet = reading.place.sheet.as_deref().unwrap_or("");
    let key = [
        source_file,
        sheet,
        &reading.place.cell,
        quantity.code(),
        circuit.unwrap_or(""),
        &format!("{elapsed:?}"),
        &seq.to_string(),
    ];
    let value = reading.unit.value.to_stored(reading.number);
    let mut flags: Vec<String> = reading.flags.iter().chain(&raw.flags).map(|flag| flag.code().to_owned()).collect();
    flags.sort();
    flags.dedup();
    Reading {
        reading_id: row_id("readings", &key),
        test_id: test_id.to_owned(),
        seq,
        quantity: quantity.code().to_owned(),
        circuit: circuit.map(str::to_owned),
        elapsed_s: elapsed,
        applied_voltage_v: number(reading.applied_voltage_v.as_ref()),
        value,
        unit: quantity.stored_unit().ucum.to_owned(),
        bound: reading.bound.code().to_owned(),
        as_reported: reading.as_reported.code().to_owned(),
        reported_reference_c: reading.reported_reference_c,
        value_ref: None,
        reference_c: None,
        correction: None,
        outcome: reading.outcome.map(|outcome| outcome.code().to_owned()),
        raw_text: reading.raw_text.clone(),
        source_file: source_file.to_owned(),
        source_sheet: reading.place.sheet.clone(),
        source_cell: reading.place.cell.clone(),
        derivation: derivation(raw, reading, value),
        flags,
    }
}

/// The steps from the text to the value, in order; each names the place that told it.
fn derivation(raw: &RawTest, reading: &RawReading, value: f64) -> Vec<Step> {
    let mut steps = vec![Step::new("text", format!("{:?} at {}", reading.raw_text, reading.place))];
    steps.extend(reading.steps.iter().cloned());
    let unit = reading.unit.value;
    let stored = reading.quantity.value.stored_unit();
    steps.push(Step::new("quantity", format!("{}, {}", reading.quantity.value, told_by(&reading.quantity))));
    steps.push(Step::new("unit", format!("{}, {}", unit.ucum, told_by(&reading.unit))));
    steps.push(Step::new("scale", format!("{} {} = {value:e} {}", reading.number, unit.ucum, stored.ucum)));
    if reading.bound != windrow_model::Bound::Exact {
        steps.push(Step::new("bound", format!("{}: the text gives a limit, not the value", reading.bound)));
    }
    let mut attribute = |name: &str, found: Option<String>| steps.extend(found.map(|detail| Step::new(name, detail)));
    attribute("circuit", reading.circuit.as_ref().map(|told| format!("{}, {}", told.value, told_by(told))));
    attribute("time", reading.elapsed_s.as_ref().map(|told| format!("{} s, {}", told.value, told_by(told))));
    attribute(
        "voltage",
        reading
            .applied_voltage_v
            .as_ref()
            .or(raw.test_voltage_v.as_ref())
            .map(|told| format!("{} V, {}", told.value, told_by(told))),
    );
    attribute("date", raw.performed.as_ref().map(|told| format!("{}, {}", told.value, told_by(told))));
    attribute(
        "temperature",
        raw.winding_temperature_c.as_ref().map(|told| format!("{} °C, {}", told.value, told_by(told))),
    );
    steps
}

/// Which place told an attribute, in words.
fn told_by<T>(told: &Told<T>) -> String {
    match &told.place {
        Some(place) => format!("told by {:?} ({}, {place})", told.text, told.via),
        None if told.via == Via::Assumed => format!("assumed: {}", told.text),
        None => format!("told by the {}: {:?}", told.via, told.text),
    }
}
