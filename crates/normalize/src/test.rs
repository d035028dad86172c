//! A test and its readings.

use crate::phrases::Phrases;
use windrow_model::kind::{TemperatureBasis, VoltageBasis};
use windrow_model::raw::{RawReading, RawTest, Told, Via};
use windrow_model::{Flag, Precision, Reading, Step, Test, Text, ToText};

/// Where rows come from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Source<'a> {
    /// Path of the source.
    pub(crate) file: &'a Text,
    /// Import that stores the rows.
    pub(crate) import_id: &'a Text,
}

/// Readings of one test, with the ids of `reading_ids` in order.
pub(crate) fn reading_rows(
    raw: &RawTest,
    test_id: &Text,
    reading_ids: &[Text],
    source: Source<'_>,
    phrases: &mut Phrases,
) -> Vec<Reading> {
    let rows = raw.readings.iter().zip(reading_ids).zip(0_i32..);
    rows.map(|((reading, id), seq)| Reading { seq, ..reading_row(raw, reading, [id, test_id], source.file, phrases) })
        .collect()
}

fn number(told: Option<&Told<f64>>) -> Option<f64> {
    told.map(|told| told.value)
}

fn text(told: Option<&Told<Text>>) -> Option<Text> {
    told.map(|told| told.value.clone())
}

/// The test itself; its machine is filled in by identity.
pub(crate) fn test_row(raw: &RawTest, test_id: &Text, source: Source<'_>) -> Test {
    let voltage_basis = match &raw.test_voltage_v {
        Some(told) if told.via == Via::Assumed => VoltageBasis::Assumed,
        Some(_) => VoltageBasis::Recorded,
        None => VoltageBasis::Unknown,
    };
    let remarks: Vec<&str> = raw.remarks.iter().map(|told| told.value.as_str()).collect();
    Test {
        test_id: test_id.clone(),
        asset_id: None,
        kind: raw.kind.code().into(),
        performed_on: raw.performed.as_ref().map(|told| told.value.first),
        performed_precision: raw
            .performed
            .as_ref()
            .map_or(Precision::Unknown, |told| told.value.precision)
            .code()
            .into(),
        stage: raw.stage.as_ref().map(|told| told.value.code().into()),
        winding_temperature_c: number(raw.winding_temperature_c.as_ref()),
        winding_temperature_basis: raw.winding_temperature_basis.code().into(),
        ambient_temperature_c: number(raw.ambient_temperature_c.as_ref()),
        relative_humidity_pct: number(raw.relative_humidity_pct.as_ref()),
        dew_point_c: number(raw.dew_point_c.as_ref()),
        test_voltage_v: number(raw.test_voltage_v.as_ref()),
        test_voltage_basis: voltage_basis.code().into(),
        instrument: text(raw.instrument.as_ref()),
        tester: text(raw.tester.as_ref()),
        remarks: (!remarks.is_empty()).then(|| remarks.join("; ").into()),
        work_order: text(raw.work_order.as_ref()),
        reported_outcome: text(raw.reported_outcome.as_ref()),
        duplicate_of: None,
        source_file: source.file.clone(),
        source_sheet: raw.place.sheet.clone(),
        source_cell: raw.place.cell.clone(),
        import_id: source.import_id.clone(),
    }
}

fn reading_row(
    raw: &RawTest,
    reading: &RawReading,
    [reading_id, test_id]: [&Text; 2],
    source_file: &Text,
    phrases: &mut Phrases,
) -> Reading {
    let quantity = reading.quantity.value;
    let value = reading.unit.value.to_stored(reading.number);
    Reading {
        reading_id: reading_id.clone(),
        test_id: test_id.clone(),
        seq: 0,
        quantity: quantity.code().into(),
        circuit: reading.circuit.as_ref().map(|told| told.value.code().into()),
        elapsed_s: number(reading.elapsed_s.as_ref()),
        applied_voltage_v: number(reading.applied_voltage_v.as_ref()),
        value,
        unit: quantity.stored_unit().ucum.into(),
        bound: reading.bound.code().into(),
        as_reported: reading.as_reported.code().into(),
        reported_reference_c: reading.reported_reference_c,
        value_ref: None,
        reference_c: None,
        correction: None,
        value_ref_low: None,
        value_ref_high: None,
        outcome: reading.outcome.map(|outcome| outcome.code().into()),
        raw_text: reading.raw_text.clone(),
        source_file: source_file.clone(),
        source_sheet: reading.place.sheet.clone(),
        source_cell: reading.place.cell.clone(),
        derivation: derivation(raw, reading, value, phrases),
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
fn derivation(raw: &RawTest, reading: &RawReading, value: f64, phrases: &mut Phrases) -> Vec<Step> {
    let mut steps = vec![Step::new("text", format!("{:?} at {}", reading.raw_text, reading.place))];
    steps.extend(reading.steps.iter().cloned());
    let unit = reading.unit.value;
    let stored = reading.quantity.value.stored_unit();
    steps.push(Step::new("number", reading.number.to_smolstr()));
    steps.push(Step::new("quantity", phrases.of(&reading.quantity.value, &reading.quantity)));
    steps.push(Step::new("unit", phrases.of(&unit.ucum, &reading.unit)));
    steps.push(Step::new("scale", format!("{} {} = {value:e} {}", reading.number, unit.ucum, stored.ucum)));
    if reading.bound != windrow_model::Bound::Exact {
        steps.push(Step::new("bound", format!("{}: the text gives a limit, not the value", reading.bound)));
    }
    let mut attribute = |name: &str, found: Option<Text>| steps.extend(found.map(|detail| Step::new(name, detail)));
    attribute("circuit", reading.circuit.as_ref().map(|told| phrases.of(&told.value, told)));
    attribute("time", reading.elapsed_s.as_ref().map(|told| phrases.of(&format_args!("{} s", told.value), told)));
    let voltage = reading.applied_voltage_v.as_ref().or(raw.test_voltage_v.as_ref());
    attribute("voltage", voltage.map(|told| phrases.of(&format_args!("{} V", told.value), told)));
    attribute("date", raw.performed.as_ref().map(|told| phrases.of(&told.value, told)));
    attribute(
        "temperature",
        raw.winding_temperature_c.as_ref().map(|told| temperature_step(told, raw.winding_temperature_basis, phrases)),
    );
    steps
}

fn temperature_step(told: &Told<f64>, basis: TemperatureBasis, phrases: &mut Phrases) -> Text {
    let of = match basis {
        TemperatureBasis::Measured => "of the winding",
        TemperatureBasis::Ambient => "of the air, taken for the winding's",
        TemperatureBasis::Assumed => "assumed to be the winding's",
        TemperatureBasis::Unknown => "of what, the source does not tell",
    };
    phrases.of(&format_args!("{} °C {of}", told.value), told)
}
