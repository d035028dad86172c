//! The value at the common temperature, once the machine is known.

mod law;

use law::Law;
use windrow_criteria::Correction;
use windrow_criteria::correction::{INSULATION_REFERENCE_C, WINDING_REFERENCE_C};
use windrow_model::kind::TemperatureBasis;
use windrow_model::settings::JudgingSettings;
use windrow_model::{Asset, Flag, Quantity, Reading, Reported, Step, Test};

/// Fills `value_ref`, `reference_c` and `correction` of `reading`, or says in its derivation and flags why not.
///
/// A value that the source had corrected is never corrected again. Without a winding temperature, or outside the range of
/// the law, there is no corrected value. Where the insulation's era is not told, the year in which the winding was made
/// decides with a flag; where that is not told either, both values are kept as the ends of a bracket (`value_ref_low`,
/// `value_ref_high`), and one is taken only where they agree.
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
    if test.winding_temperature_basis == TemperatureBasis::Unknown.code() {
        let detail = format!("none: the record does not tell whether {temperature_c} °C is the winding's temperature");
        explain(reading, Flag::NoTemperature, detail);
        return;
    }
    let law = match quantity {
        Some(Quantity::WindingResistance) => law::of_conductor(asset, judging),
        _ => law::of_insulation(asset, test, judging),
    };
    let temperatures = Temperatures { temperature_c, reference_c };
    match law {
        Law::Told(law) => apply(reading, law, temperatures, ""),
        Law::Assumed(law, why, flagged) => {
            flag(reading, flagged);
            apply(reading, law, temperatures, &why);
        }
        Law::Open(laws, why) => bracket(reading, laws, temperatures, &why),
    }
}

/// From where to where a value is brought, °C.
#[derive(Clone, Copy)]
struct Temperatures {
    temperature_c: f64,
    reference_c: f64,
}

impl Temperatures {
    fn are_equal(self) -> bool {
        self.temperature_c.total_cmp(&self.reference_c).is_eq()
    }
}

fn apply(reading: &mut Reading, law: Correction, at: Temperatures, why: &str) {
    match law.apply(reading.value, at.temperature_c, at.reference_c) {
        Ok(corrected) => {
            reading.value_ref = Some(corrected.value);
            reading.reference_c = Some(at.reference_c);
            reading.correction = Some(if at.are_equal() { "none_needed" } else { law.code() }.into());
            let detail = format!(
                "{} °C to {} °C by {}: factor {:.6}, {:e} {}{why}",
                at.temperature_c,
                at.reference_c,
                law.basis(),
                corrected.factor,
                corrected.value,
                reading.unit
            );
            reading.derivation.push(Step::new("correction", detail));
        }
        Err(outside) => {
            explain(reading, Flag::OutsideCorrectionRange, format!("none: {outside} ({}){why}", law.basis()));
        }
    }
}

/// Both laws side by side, and the two values as the ends of a bracket; a value of its own only where they agree, at the
/// reference temperature.
fn bracket(reading: &mut Reading, laws: [Correction; 2], at: Temperatures, why: &str) {
    if at.are_equal() {
        apply(reading, laws[0], at, "");
        return;
    }
    let corrected = laws.map(|law| (law, law.apply(reading.value, at.temperature_c, at.reference_c)));
    if let [(_, Ok(a)), (_, Ok(b))] = &corrected {
        reading.value_ref_low = Some(a.value.min(b.value));
        reading.value_ref_high = Some(a.value.max(b.value));
    }
    let shown = corrected.map(|(law, corrected)| match corrected {
        Ok(corrected) => format!("{:e} {} by {}", corrected.value, reading.unit, law.code()),
        Err(outside) => format!("nothing by {} ({outside})", law.code()),
    });
    let detail = format!("none taken: {why}; at {} °C it would be {}", at.reference_c, shown.join(" or "));
    reading.derivation.push(Step::new("correction", detail));
}

fn already_corrected(reading: &mut Reading, reference_c: f64) {
    let told = reading.reported_reference_c;
    if told.is_some_and(|told| told.total_cmp(&reference_c).is_eq()) {
        reading.value_ref = Some(reading.value);
        reading.reference_c = told;
    }
    reading.correction = Some("already_corrected".into());
    let to = told.map_or_else(|| "to a temperature it does not tell".to_owned(), |told| format!("to {told} °C"));
    let detail = format!("the source had corrected it {to}; it is not corrected again");
    reading.derivation.push(Step::new("correction", detail));
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
