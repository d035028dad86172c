//! The value at the common temperature, once the machine is known.

use windrow_criteria::Correction;
use windrow_criteria::correction::{INSULATION_REFERENCE_C, WINDING_REFERENCE_C};
use windrow_model::settings::{JudgingSettings, StandardFamily};
use windrow_model::{Asset, Flag, Quantity, Reading, Reported, Step, Test};

/// Fills `value_ref`, `reference_c` and `correction` of `reading`, or says in its derivation and flags why not.
///
/// A value that the source had corrected is never corrected again. Without a winding temperature, or outside the range of
/// the law, there is no corrected value. Where the insulation's era is not told, the year of manufacture decides with a
/// flag; where that is not told either, both laws are shown and none is taken.
pub fn correct(reading: &mut Reading, test: &Test, asset: Option<&Asset>, judging: &JudgingSettings) {
    let quantity = Quantity::from_code(&reading.quantity);
    let reference_c = match quantity {
        Some(Quantity::InsulationResistance) => INSULATION_REFERENCE_C,
        Some(Quantity::WindingResistance) => WINDING_REFERENCE_C,
        _ => return,
    };
    if reading.as_reported == Reported::Corrected.code() {
        already_corrected(reading, reference_c);
        return;
    }
    let Some(temperature_c) = test.winding_temperature_c else {
        explain(reading, Flag::NoTemperature, "none: the record tells no winding temperature".to_owned());
        return;
    };
    if quantity == Some(Quantity::WindingResistance) {
        let law = conductor_law(asset, judging);
        apply(reading, law, temperature_c, reference_c);
        return;
    }
    match insulation_law(asset, judging) {
        Era::Told(law) => apply(reading, law, temperature_c, reference_c),
        Era::ByYear(law) => {
            flag(reading, Flag::EraAssumed);
            apply(reading, law, temperature_c, reference_c);
        }
        Era::Unknown => bracket(reading, temperature_c, reference_c),
    }
}

/// How the law was chosen.
enum Era {
    Told(Correction),
    ByYear(Correction),
    Unknown,
}

fn insulation_law(asset: Option<&Asset>, judging: &JudgingSettings) -> Era {
    let thermosetting = match judging.standards {
        StandardFamily::Ieee => Correction::ThermosettingExponential,
        StandardFamily::Iec => Correction::IecResin,
    };
    let Some(asset) = asset else { return Era::Unknown };
    match (asset.insulation_era.as_deref(), asset.made_year) {
        (Some("thermoplastic"), _) => Era::Told(Correction::ThermoplasticHalving),
        (Some("thermosetting"), _) => Era::Told(thermosetting),
        (_, Some(year))
            if asset.rewound_years.iter().chain([&year]).all(|year| *year < judging.thermosetting_since) =>
        {
            Era::ByYear(Correction::ThermoplasticHalving)
        }
        // A rewind at an unknown date relative to the test could have changed the law: only one era on all dates decides.
        (_, Some(year)) if year >= judging.thermosetting_since => Era::ByYear(thermosetting),
        _ => Era::Unknown,
    }
}

fn conductor_law(asset: Option<&Asset>, judging: &JudgingSettings) -> Correction {
    match (asset.and_then(|asset| asset.conductor.as_deref()), judging.standards) {
        (Some("aluminium"), _) => Correction::AluminiumLinear,
        (_, StandardFamily::Iec) => Correction::CopperLinearIec,
        (_, StandardFamily::Ieee) => Correction::CopperLinear,
    }
}

fn apply(reading: &mut Reading, law: Correction, temperature_c: f64, reference_c: f64) {
    match law.factor(temperature_c, reference_c) {
        Ok(factor) => {
            let value = reading.value * factor;
            reading.value_ref = Some(value);
            reading.reference_c = Some(reference_c);
            reading.correction =
                Some(if temperature_c.total_cmp(&reference_c).is_eq() { "none_needed" } else { law.code() }.to_owned());
            let detail = format!(
                "{temperature_c} °C to {reference_c} °C by {}: factor {factor:.6}, {value:e} {}",
                law.basis(),
                reading.unit
            );
            reading.derivation.push(Step::new("correction", detail));
        }
        Err(outside) => explain(reading, Flag::OutsideCorrectionRange, format!("none: {outside} ({})", law.basis())),
    }
}

/// Both laws side by side; at the reference temperature they agree.
fn bracket(reading: &mut Reading, temperature_c: f64, reference_c: f64) {
    let laws = [Correction::ThermoplasticHalving, Correction::ThermosettingExponential];
    if temperature_c.total_cmp(&reference_c).is_eq() {
        apply(reading, Correction::ThermoplasticHalving, temperature_c, reference_c);
        return;
    }
    let values: Vec<String> = laws
        .iter()
        .filter_map(|law| {
            law.factor(temperature_c, reference_c)
                .ok()
                .map(|factor| format!("{} {:e} {}", law.code(), reading.value * factor, reading.unit))
        })
        .collect();
    let detail = format!(
        "none taken: the records tell neither the insulation system nor the year; at {reference_c} °C it would be {}",
        values.join(" or ")
    );
    explain(reading, Flag::EraAssumed, detail);
}

fn already_corrected(reading: &mut Reading, reference_c: f64) {
    let told = reading.reported_reference_c;
    if told.is_some_and(|told| told.total_cmp(&reference_c).is_eq()) {
        reading.value_ref = Some(reading.value);
        reading.reference_c = told;
    }
    reading.correction = Some("already_corrected".to_owned());
    reading.derivation.push(Step::new("correction", "the source had corrected it; it is not corrected again"));
}

fn explain(reading: &mut Reading, why: Flag, detail: String) {
    flag(reading, why);
    reading.derivation.push(Step::new("correction", detail));
}

fn flag(reading: &mut Reading, flag: Flag) {
    reading.flags.push(flag.code().to_owned());
    reading.flags.sort();
    reading.flags.dedup();
}
