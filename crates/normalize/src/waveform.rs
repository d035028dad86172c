//! Sampled signals in SI units.

use crate::ids::Ids;
use crate::test::told_by;
use windrow_model::raw::{RawWaveform, Understood};
use windrow_model::{Step, Unit, Waveform};

/// One row a channel and stretch.
pub(crate) fn rows(understood: &Understood, ids: &Ids) -> Vec<Waveform> {
    let numbered = (0_u32..).zip(&understood.waveforms);
    let row = |(number, raw): (u32, &RawWaveform)| {
        Some(row(raw, [ids.waveform(number)?, ids.test(raw.test)?], &understood.source_file))
    };
    numbered.filter_map(row).collect()
}

fn row(raw: &RawWaveform, [waveform_id, test_id]: [&str; 2], source_file: &str) -> Waveform {
    let unit = raw.unit.as_ref().map(|told| told.value);
    Waveform {
        waveform_id: waveform_id.to_owned(),
        test_id: test_id.to_owned(),
        channel: raw.channel.clone(),
        circuit: raw.circuit.as_ref().map(|told| told.value.code().to_owned()),
        applied_voltage_v: None,
        started: raw.started.clone(),
        start_s: raw.start_s,
        sample_interval_s: raw.interval_s,
        samples: raw.samples.iter().map(|sample| stored(unit, *sample)).collect(),
        unit: unit
            .map_or_else(|| format!("{{{}}}", raw.unit_text), |unit| unit.dimension.stored_unit().ucum.to_owned()),
        source_file: source_file.to_owned(),
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
    let mut steps = vec![Step::new("samples", format!("{} at {}", raw.samples.len(), raw.place))];
    steps.extend(raw.steps.iter().cloned());
    match &raw.unit {
        Some(told) => {
            let (unit, stored) = (told.value, told.value.dimension.stored_unit());
            steps.push(Step::new("unit", format!("{}, {}", unit.ucum, told_by(told))));
            steps.push(Step::new("scale", format!("1 {} = {:e} {}", unit.ucum, unit.to_stored(1.0), stored.ucum)));
        }
        None => steps.push(Step::new("unit", format!("as written, {:?}: no unit that is known", raw.unit_text))),
    }
    let circuit = raw.circuit.as_ref();
    steps.extend(circuit.map(|told| Step::new("circuit", format!("{}, {}", told.value, told_by(told)))));
    steps
}
