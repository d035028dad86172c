//! Sampled signals in SI units.

use crate::ids::Ids;
use crate::phrases::Phrases;
use windrow_model::raw::{RawWaveform, Understood};
use windrow_model::{Step, Text, Unit, Waveform};

/// One row a channel and stretch.
pub(crate) fn rows(understood: &Understood, ids: &Ids) -> Vec<Waveform> {
    let file = Text::new(&understood.source_file);
    let numbered = (0_u32..).zip(&understood.waveforms);
    let row = |(number, raw): (u32, &RawWaveform)| Some(row(raw, [ids.waveform(number)?, ids.test(raw.test)?], &file));
    numbered.filter_map(row).collect()
}

fn row(raw: &RawWaveform, [waveform_id, test_id]: [&Text; 2], source_file: &Text) -> Waveform {
    let unit = raw.unit.as_ref().map(|told| told.value);
    Waveform {
        waveform_id: waveform_id.clone(),
        test_id: test_id.clone(),
        channel: raw.channel.as_str().into(),
        circuit: raw.circuit.as_ref().map(|told| told.value.code().into()),
        applied_voltage_v: None,
        started: raw.started.as_deref().map(Text::from),
        start_s: raw.start_s,
        sample_interval_s: raw.interval_s,
        samples: raw.samples.iter().map(|sample| stored(unit, *sample)).collect(),
        unit: unit
            .map_or_else(|| format!("{{{}}}", raw.unit_text).into(), |unit| unit.dimension.stored_unit().ucum.into()),
        source_file: source_file.clone(),
        source_sheet: raw.place.sheet.clone(),
        source_cell: raw.place.cell.clone(),
        derivation: derivation(raw),
        flags: raw.flags.iter().map(|flag| flag.code().to_owned()).collect(),
    }
}

/// A sample in the stored unit; as it is where the unit is not known, not a number where it is missing.
#[expect(clippy::cast_possible_truncation, reason = "samples are stored in single precision, as the schema says")]
fn stored(unit: Option<Unit>, sample: Option<f32>) -> f32 {
    let sample = sample.unwrap_or(f32::NAN);
    unit.map_or(sample, |unit| unit.to_stored(f64::from(sample)) as f32)
}

fn derivation(raw: &RawWaveform) -> Vec<Step> {
    let mut phrases = Phrases::default();
    let mut steps = vec![Step::new("samples", format!("{} at {}", raw.samples.len(), raw.place))];
    steps.extend(raw.steps.iter().cloned());
    match &raw.unit {
        Some(told) => {
            let (unit, stored) = (told.value, told.value.dimension.stored_unit());
            steps.push(Step::new("unit", phrases.of(&unit.ucum, told)));
            steps.push(Step::new("scale", format!("1 {} = {:e} {}", unit.ucum, unit.to_stored(1.0), stored.ucum)));
        }
        None => steps.push(Step::new("unit", format!("as written, {:?}: no unit that is known", raw.unit_text))),
    }
    let circuit = raw.circuit.as_ref();
    steps.extend(circuit.map(|told| Step::new("circuit", phrases.of(&told.value, told))));
    steps
}
