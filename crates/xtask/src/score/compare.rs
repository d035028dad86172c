//! One reading against its truth, field by field.

use super::truth::True;
use windrow_model::{Asset, Reading, Test};

/// Fields in the order of the report.
pub(super) const FIELDS: [&str; 10] =
    ["value", "bound", "quantity", "circuit", "elapsed", "voltage", "date", "temperature", "as_reported", "asset"];

/// Wrong and empty fields.
#[derive(Debug, Default)]
pub(super) struct Verdict {
    pub(super) wrong: Vec<&'static str>,
    pub(super) empty: Vec<&'static str>,
    pub(super) notes: Vec<String>,
}

impl Verdict {
    fn check<T: std::fmt::Debug>(
        &mut self,
        name: &'static str,
        want: Option<T>,
        have: Option<T>,
        same: impl Fn(&T, &T) -> bool,
    ) {
        match (want, have) {
            (None, _) => {}
            (Some(_), None) => self.empty.push(name),
            (Some(want), Some(have)) if !same(&want, &have) => {
                self.wrong.push(name);
                self.notes.push(format!("{name}: want {want:?} have {have:?}"));
            }
            _ => {}
        }
    }
}

/// Whether two values are one, to a millionth.
pub(crate) fn close(a: f64, b: f64, relative: f64, absolute: f64) -> bool {
    (a - b).abs() <= (relative * a.abs().max(b.abs())).max(absolute) || a.total_cmp(&b).is_eq()
}

/// A pair of phases in one order.
pub(crate) fn circuit(code: &str) -> &str {
    match code {
        "V-U" => "U-V",
        "W-V" => "V-W",
        "U-W" => "W-U",
        other => other,
    }
}

/// Compares a reading with its truth.
pub(super) fn compare(truth: &True, reading: &Reading, test: &Test) -> Verdict {
    let mut verdict = Verdict::default();
    verdict.check("quantity", Some(truth.quantity.as_str()), Some(reading.quantity.as_str()), |a, b| a == b);
    verdict.check("value", truth.value, Some(reading.value), |a, b| close(*a, *b, 1e-6, 1e-15));
    verdict.check("bound", truth.bound.as_deref(), Some(reading.bound.as_str()), |a, b| a == b);
    let have = reading.circuit.as_deref();
    verdict.check("circuit", truth.circuit.as_deref().map(circuit), have.map(circuit), |a, b| a == b);
    verdict.check("elapsed", truth.elapsed_s, reading.elapsed_s, |a, b| close(*a, *b, 1e-6, 0.01));
    let volts = reading.applied_voltage_v.or(test.test_voltage_v);
    verdict.check("voltage", truth.applied_voltage_v, volts, |a, b| close(*a, *b, 1e-4, 1e-15));
    verdict.check("temperature", truth.winding_temperature_c, test.winding_temperature_c, |a, b| (a - b).abs() <= 0.06);
    verdict.check("as_reported", truth.as_reported.as_deref(), Some(reading.as_reported.as_str()), |a, b| a == b);
    date(truth, test, &mut verdict);
    verdict
}

/// Compares the machine of a reading with its true tag.
pub(super) fn machine(truth: &True, asset: Option<&Asset>, verdict: &mut Verdict) {
    let plain = |tag: &str| tag.chars().filter(|letter| letter.is_alphanumeric()).collect::<String>().to_uppercase();
    let names =
        asset.map(|asset| std::iter::once(&asset.tag).chain(&asset.aliases).map(|tag| plain(tag)).collect::<Vec<_>>());
    let want = truth.tag.as_deref().map(|tag| vec![plain(tag)]);
    verdict.check("asset", want, names, |want, have| want.iter().all(|tag| have.contains(tag)));
}

fn date(truth: &True, test: &Test, verdict: &mut Verdict) {
    let Some(want) = truth.performed_on.as_deref() else { return };
    let rank = |precision: &str| ["day", "month", "quarter", "year"].iter().position(|known| *known == precision);
    let have = test.performed_on.map(|date| date.to_string());
    let precision = test.performed_precision.as_str();
    let (Some(have), true) = (have, precision != "unknown") else {
        verdict.empty.push("date");
        return;
    };
    let length = |precision: &str| match precision {
        "day" => 10,
        "month" => 7,
        _ => 4,
    };
    let told = truth.precision.as_deref().unwrap_or("day");
    let digits = length(told).min(length(precision));
    if have.get(..digits) != want.get(..digits) || rank(precision) < rank(told) {
        verdict.wrong.push("date");
        verdict.notes.push(format!("date: want {want}/{told} have {have}/{precision}"));
    } else if rank(precision) > rank(told) {
        verdict.empty.push("date");
    }
}

/// Whether a flag of the reading owns up to a wrong field.
pub(crate) fn owns(field: &str, reading: &Reading, test: &Test) -> bool {
    let assumed = matches!(test.winding_temperature_basis.as_str(), "assumed" | "unknown" | "ambient");
    if field == "temperature" && assumed {
        return true;
    }
    if field == "voltage"
        && reading.applied_voltage_v.is_none()
        && matches!(test.test_voltage_basis.as_str(), "assumed" | "unknown")
    {
        return true;
    }
    let words: &[&str] = match field {
        "value" => &["unit", "value", "magnitude", "decimal", "scale"],
        "bound" => &["bound"],
        "quantity" => &["quantity"],
        "circuit" => &["circuit"],
        "elapsed" => &["elapsed", "time_", "duration"],
        "voltage" => &["voltage"],
        "date" => &["date", "century"],
        "temperature" => &["temperature"],
        "as_reported" => &["correct", "reference"],
        "asset" => &["asset", "identity", "machine"],
        _ => &[],
    };
    reading.flags.iter().any(|flag| words.iter().any(|word| flag.contains(word)))
}
