//! A test and its readings.

use windrow_model::kind::{TemperatureBasis, VoltageBasis};
use windrow_model::raw::{RawReading, RawTest, Told, Via};
use windrow_model::{Flag, Precision, Reading, Step, Test};

/// Where rows come from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Source<'a> {
    /// Path of the source.
    pub(crate) file: &'a str,
    /// Import that stores the rows.
    pub(crate) import_id: &'a str,
}

/// Readings of one test, with the ids of `reading_ids` in order.
pub(crate) fn reading_rows(raw: &RawTest, test_id: &str, reading_ids: &[String], source: Source<'_>) -> Vec<Reading> {
    let rows = raw.readings.iter().zip(reading_ids).zip(0_i32..);
    rows.map(|((reading, id), seq)| Reading { seq, ..reading_row(raw, reading, [id, test_id], source.file) }).collect()
}

fn number(told: Option<&Told<f64>>) -> Option<f64> {
    told.map(|told| told.value)
}

fn text(told: Option<&Told<String>>) -> Option<String> {
    told.map(|told| told.value.clone())
}

/// The test itself; its machine is filled in by identity.
pub(crate) fn test_row(raw: &RawTest, test_id: &str, source: Source<'_>) -> Test {
    let voltage_basis = match &raw.test_voltage_v {
        Some(told) if told.via == Via::Assumed => VoltageBasis::Assumed,
        Some(_) => VoltageBasis::Recorded,
        None => VoltageBasis::Unknown,
    };
    let remarks: Vec<&str> = raw.remarks.iter().map(|told| told.value.as_str()).collect();
    Test {
        test_id: test_id.to_owned(),
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
        source_file: source.file.to_owned(),
        source_sheet: raw.place.sheet.clone(),
        source_cell: raw.place.cell.clone(),
        import_id: source.import_id.to_owned(),
    }
}

fn reading_row(raw: &RawTest, reading: &RawReading, [reading_id, test_id]: [&str; 2], source_file: &str) -> Reading {
    let quantity = reading.quantity.value;
    let value = reading.unit.value.to_stored(reading.number);
    Reading {
        reading_id: reading_id.to_owned(),
        test_id: test_id.to_owned(),
        seq: 0,
        quantity: quantity.code().to_owned(),
        circuit: reading.circuit.as_ref().map(|told| told.value.code().to_owned()),
        elapsed_s: number(reading.elapsed_s.as_ref()),
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
        flags: flags(raw, reading),
    }
}

/// Flags of the reading and of its test, and one for every attribute that nothing told, whoever forgot to set it.
fn flags(raw: &RawTest, reading: &RawReading) -> Vec<String> {
    fn if_assumed<T>(told: Option<&Told<T>>, flag: Flag) -> Option<Flag> {
        told.filter(|told| told.via == Via::Assumed).map(|_| flag)
    }
    let voltage = reading.applied_voltage_v.as_ref().or(raw.test_voltage_v.as_ref());
    let assumed = [
        if_assumed(Some(&reading.unit), Flag::UnitAssumed),
        if_assumed(reading.circuit.as_ref(), Flag::CircuitAssumed),
        if_assumed(reading.elapsed_s.as_ref(), Flag::ElapsedAssumed),
        if_assumed(voltage, Flag::VoltageAssumed),
        if_assumed(raw.performed.as_ref(), Flag::DateOrderAssumed),
        if_assumed(raw.winding_temperature_c.as_ref(), Flag::TemperatureAssumed),
    ];
    let told = reading.flags.iter().chain(&raw.flags).copied();
    let mut flags: Vec<String> = told.chain(assumed.into_iter().flatten()).map(|flag| flag.code().to_owned()).collect();
    flags.sort();
    flags.dedup();
    flags
}

/// The steps from the text to the value, in order; each names the place that told it.
fn derivation(raw: &RawTest, reading: &RawReading, value: f64) -> Vec<Step> {
    let mut steps = vec![Step::new("text", format!("{:?} at {}", reading.raw_text, reading.place))];
    steps.extend(reading.steps.iter().cloned());
    let unit = reading.unit.value;
    let stored = reading.quantity.value.stored_unit();
    steps.push(Step::new("number", reading.number.to_string()));
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
        raw.winding_temperature_c.as_ref().map(|told| temperature_step(told, raw.winding_temperature_basis)),
    );
    steps
}

fn temperature_step(told: &Told<f64>, basis: TemperatureBasis) -> String {
    let of = match basis {
        TemperatureBasis::Measured => "of the winding",
        TemperatureBasis::Ambient => "of the air, taken for the winding's",
        TemperatureBasis::Assumed => "assumed to be the winding's",
        TemperatureBasis::Unknown => "of what, the source does not tell",
    };
    format!("{} °C {of}, {}", told.value, told_by(told))
}

/// Which place told an attribute, in words.
pub(crate) fn told_by<T>(told: &Told<T>) -> String {
    match &told.place {
        Some(place) => format!("told by {:?} ({}, {place})", told.text, told.via),
        None if told.via == Via::Assumed => format!("assumed: {}", told.text),
        None => format!("told by the {}: {:?}", told.via, told.text),
    }
}
