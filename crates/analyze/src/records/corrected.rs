//! # What it finds
//! A sheet whose values look as if the source had corrected them to one temperature already without saying so: what is left of
//! them stops depending on the winding's temperature, while the corrected value depends on it fully (`looks_corrected`). And a sheet
//! whose values are called corrected, but still depend on the temperature as readings do (`corrected_in_name`).
//! # How it is judged
//! `note`, from 12 readings beyond the means of their circuits, a slope beyond one half and four standard errors. A winding whose
//! insulation follows a flatter law than the one applied looks alike, so the statement names both.
//! # References
//! Regression of the corrected value on the correction within circuits (fixed effects), with the weights of Huber 1964; NIST/SEMATECH
//! e-Handbook for the standard error of a slope.

use super::found::{Doubt, key, note, place};
use super::load::{Record, Records, SheetName, TestRecord};
use std::collections::BTreeMap;
use windrow_criteria::Correction;
use windrow_criteria::correction::INSULATION_REFERENCE_C;
use windrow_model::{Finding, Step};

/// Fewest readings beyond the means of their circuits: the standard error is then about a sixth for temperatures that scatter by
/// 10 K (halving law, scatter 0.3 decades).
const FEWEST: usize = 12;
/// The slope is 0 for values as read and 1 for values that had been corrected.
const HALFWAY: f64 = 0.5;
const STANDARD_ERRORS: f64 = 4.0;
/// Huber's constant: 95 % efficiency for normal errors.
const HUBER: f64 = 1.345;
const ROUNDS: usize = 20;

/// A reading: which circuit of which machine, decades of its correction, decades of its corrected value.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Point {
    circuit: String,
    correction: f64,
    corrected: f64,
}

/// Points of a sheet, with the readings that they are.
type Sheets<'a> = BTreeMap<&'a SheetName, (Vec<Point>, Vec<&'a Record>)>;

/// Findings on sheets, sorted by sheet.
pub(crate) fn find(records: &Records) -> Vec<Finding> {
    let twice = sheets(records, as_read).into_iter().filter_map(|(sheet, (points, readings))| {
        let (slope, error) = slope(&points)?;
        (slope > HALFWAY && slope >= STANDARD_ERRORS * error)
            .then(|| corrected_twice(sheet, (slope, error), &readings, records))
    });
    let never = sheets(records, as_corrected).into_iter().filter_map(|(sheet, (points, readings))| {
        let (slope, error) = slope(&points)?;
        (slope < -HALFWAY && -slope >= STANDARD_ERRORS * error)
            .then(|| never_corrected(sheet, (slope, error), &readings, records))
    });
    twice.chain(never).collect()
}

fn sheets(records: &Records, point: fn(&Record, &TestRecord) -> Option<(f64, f64)>) -> Sheets<'_> {
    let mut sheets = Sheets::new();
    let usable = |record: &&Record| {
        let one_minute = record.elapsed_s.is_none_or(|seconds| (seconds - 60.0).abs() < 0.5);
        record.is("insulation_resistance") && record.is_exact() && one_minute
    };
    for record in records.readings.iter().filter(usable) {
        let test = records.test_of(record);
        let Some((asset, (correction, corrected))) = test.asset_id.as_deref().zip(point(record, test)) else {
            continue;
        };
        let circuit = format!("{asset} {}", record.circuit.as_deref().unwrap_or_default());
        let (points, readings) = sheets.entry(&test.sheet).or_default();
        points.push(Point { circuit, correction, corrected });
        readings.push(record);
    }
    sheets
}

/// Decades of the correction that was applied, and of what it gave.
fn as_read(record: &Record, _: &TestRecord) -> Option<(f64, f64)> {
    let corrected = record.value_ref.filter(|_| record.is_as_read())?;
    Some(((corrected / record.value).log10(), corrected.log10()))
}

/// Decades of the correction that the source should have applied, and of what it gave.
fn as_corrected(record: &Record, test: &TestRecord) -> Option<(f64, f64)> {
    let law = match test.insulation_era.as_deref()? {
        "thermoplastic" => Correction::ThermoplasticHalving,
        "thermosetting" => Correction::ThermosettingExponential,
        _ => return None,
    };
    let temperature = test.winding_temperature_c.filter(|_| !record.is_as_read())?;
    let factor = law.factor(temperature, INSULATION_REFERENCE_C).ok().filter(|factor| *factor > 0.0)?;
    Some((factor.log10(), record.value.log10()))
}

/// Slope of the corrected value on the correction within circuits, and its standard error; `None` with too little to go by.
fn slope(points: &[Point]) -> Option<(f64, f64)> {
    let mut weights = vec![1.0; points.len()];
    let circuits: std::collections::BTreeSet<&str> = points.iter().map(|point| point.circuit.as_str()).collect();
    let free = points.len().checked_sub(circuits.len() + 1).filter(|free| *free >= FEWEST)?;
    let mut result = None;
    for _ in 0..ROUNDS {
        let (across, up) =
            (centred(points, &weights, |point| point.correction), centred(points, &weights, |point| point.corrected));
        let sum = |of: &dyn Fn(usize) -> f64| (0..points.len()).map(|index| weights[index] * of(index)).sum::<f64>();
        let spread = sum(&|index| across[index] * across[index]);
        if spread < 1e-6 {
            return None;
        }
        let slope = sum(&|index| across[index] * up[index]) / spread;
        let left: Vec<f64> = across.iter().zip(&up).map(|(across, up)| up - slope * across).collect();
        #[expect(clippy::cast_precision_loss, reason = "counts of readings")]
        let variance = sum(&|index| left[index] * left[index]) / free as f64;
        result = Some((slope, (variance / spread).sqrt()));
        let scale = middle(left.iter().map(|left| left.abs()).collect())? / 0.6745;
        weights = left
            .iter()
            .map(|left| if left.abs() <= HUBER * scale { 1.0 } else { HUBER * scale / left.abs() })
            .collect();
    }
    result
}

/// Values less the weighted mean of their circuit.
fn centred(points: &[Point], weights: &[f64], of: impl Fn(&Point) -> f64) -> Vec<f64> {
    let mut sums: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    for (point, weight) in points.iter().zip(weights) {
        let (sum, total) = sums.entry(&point.circuit).or_default();
        *sum += weight * of(point);
        *total += weight;
    }
    let mean = |point: &Point| sums.get(point.circuit.as_str()).map_or(0.0, |(sum, total)| sum / total);
    points.iter().map(|point| of(point) - mean(point)).collect()
}

fn middle(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

fn corrected_twice(sheet: &SheetName, (slope, error): (f64, f64), readings: &[&Record], records: &Records) -> Finding {
    note(Doubt {
        rule: "looks_corrected",
        key: key(sheet),
        statement: format!(
            "{}: {} insulation resistances do not depend on the winding's temperature. Either the source had corrected them to one \
             temperature without saying so, and their values at 40 °C are corrected twice, or these windings follow a flatter law \
             than the one applied. Find out before comparing them with others.",
            place(sheet),
            readings.len()
        ),
        value: Some(slope),
        limit: Some(HALFWAY),
        basis: format!(
            "slope of the corrected value on the correction within circuits: {slope:.2} ± {error:.2}, 0 for values as read and 1 for \
             values already corrected (regression with Huber weights)"
        ),
        working: working((slope, error), readings, "1, corrected already"),
        evidence: ids(readings),
        seen: newest(readings, records),
        ..Doubt::default()
    })
}

fn never_corrected(sheet: &SheetName, (slope, error): (f64, f64), readings: &[&Record], records: &Records) -> Finding {
    note(Doubt {
        rule: "corrected_in_name",
        key: key(sheet),
        statement: format!(
            "{}: {} insulation resistances are called corrected, but depend on the winding's temperature as readings do. They may never \
             have been corrected, and stand beside corrected ones as if they were.",
            place(sheet),
            readings.len()
        ),
        value: Some(slope),
        limit: Some(-HALFWAY),
        basis: format!(
            "slope of the value on the correction that is due within circuits: {slope:.2} ± {error:.2}, 0 for corrected values and −1 for \
             values as read (regression with Huber weights)"
        ),
        working: working((slope, error), readings, "−1, not corrected"),
        evidence: ids(readings),
        seen: newest(readings, records),
        ..Doubt::default()
    })
}

fn working((slope, error): (f64, f64), readings: &[&Record], meaning: &str) -> Vec<Step> {
    vec![
        Step::new(
            "model",
            "log10(value at 40 °C) = mean of the circuit + slope · log10(correction factor), Huber weights c = 1.345",
        ),
        Step::new(
            "arithmetic",
            format!(
                "{} readings: slope {slope:.3}, standard error {error:.3}, ratio {:.1} (at least {STANDARD_ERRORS}); 0 would be right, {meaning}",
                readings.len(),
                slope.abs() / error
            ),
        ),
        Step::new("look_alike", "windings whose insulation follows another law than the one applied"),
    ]
}

fn ids(readings: &[&Record]) -> Vec<String> {
    readings.iter().map(|record| record.reading_id.to_string()).collect()
}

fn newest(readings: &[&Record], records: &Records) -> Option<jiff::civil::Date> {
    readings.iter().filter_map(|record| records.test_of(record).performed_on).max()
}

#[cfg(test)]
mod tests {
    use super::{Point, find, slope};
    use crate::records::fixture::{add, test};
    use crate::records::load::Records;
    use windrow_criteria::Correction;

    /// Invented readings of three circuits over the seasons: values as read follow `law`, and `told` is what the sheet holds.
    fn points(told: impl Fn(f64, f64) -> f64) -> Vec<Point> {
        let law = Correction::ThermoplasticHalving;
        let scatter = [0.04, -0.09, 0.02, 0.07, -0.05, 0.01, -0.03, 0.06, -0.02, 0.05];
        let mut points = Vec::new();
        for (number, level) in [2.1, 2.9, 3.4].into_iter().enumerate() {
            for (year, noise) in scatter.iter().enumerate() {
                #[expect(clippy::cast_precision_loss, reason = "small")]
                let temperature = 15.0 + ((year * 7 + number * 3) % 25) as f64;
                let factor = law.factor(temperature, 40.0).unwrap().log10();
                let as_read = level + noise - factor;
                let corrected = told(as_read, factor) + factor;
                points.push(Point { circuit: number.to_string(), correction: factor, corrected });
            }
        }
        points
    }

    #[test]
    fn values_as_read_have_slope_nought_and_values_already_corrected_slope_one() {
        let (as_read, error) = slope(&points(|as_read, _| as_read)).unwrap();
        assert!(as_read.abs() < 4.0 * error && error < 0.1, "{as_read} {error}");
        let (corrected, error) = slope(&points(|as_read, factor| as_read + factor)).unwrap();
        assert!((corrected - 1.0).abs() < 4.0 * error && corrected > 4.0 * error, "{corrected} {error}");
    }

    /// One reading with a slip of a thousand does not turn the answer.
    #[test]
    fn a_slip_does_not_turn_the_answer() {
        let mut points = points(|as_read, factor| as_read + factor);
        points[4].corrected += 3.0;
        let (slope, error) = slope(&points).unwrap();
        assert!(slope > 0.5 && slope > 4.0 * error, "{slope} {error}");
    }

    #[test]
    fn little_evidence_is_no_evidence() {
        assert_eq!(slope(&points(|as_read, factor| as_read + factor)[..12]), None);
        let mut one_temperature = points(|as_read, _| as_read);
        for point in &mut one_temperature {
            point.correction = -0.3;
        }
        assert_eq!(slope(&one_temperature), None, "equal temperatures tell nothing");
        assert_eq!(slope(&[]), None);
    }

    /// A sheet that is called corrected: three windings over the seasons, `told` from the value at 40 °C and decades of the correction.
    fn called_corrected(told: impl Fn(f64, f64) -> f64) -> Records {
        let mut records = Records::default();
        let law = Correction::ThermoplasticHalving;
        for (machine, level) in [("M1", 2.1), ("M2", 2.9), ("M3", 3.4)] {
            for (year, noise) in [0.04, -0.09, 0.02, 0.07, -0.05, 0.01, -0.03, 0.06].into_iter().enumerate() {
                #[expect(clippy::cast_precision_loss, reason = "small")]
                let temperature = 15.0 + ((year * 7) % 25) as f64;
                let factor = law.factor(temperature, 40.0).unwrap().log10();
                let mut read = test(machine, &format!("{}-05-06", 2001 + year), "S");
                read.winding_temperature_c = Some(temperature);
                add(&mut records, read, &format!("{:.6}", 10_f64.powf(told(level + noise, factor))));
                let last = records.readings.len() - 1;
                records.readings[last].as_reported = "corrected".into();
            }
        }
        records
    }

    #[test]
    fn values_called_corrected_that_follow_the_temperature_are_told() {
        let found = find(&called_corrected(|at_40c, factor| at_40c - factor));
        assert_eq!(found.iter().map(|finding| finding.rule.as_str()).collect::<Vec<_>>(), ["corrected_in_name"]);
        assert!((found[0].value.unwrap() + 1.0).abs() < 0.2, "{:?}", found[0].value);
        assert!(find(&called_corrected(|at_40c, _| at_40c)).is_empty());
    }
}
