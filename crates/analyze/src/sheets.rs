//! # What it finds
//! A sheet whose values look as if the source had corrected them to one temperature already without saying so: what is left of
//! them stops depending on the winding's temperature, while the corrected value depends on it fully.
//! # How it is judged
//! `note`, from 12 readings beyond the means of their circuits, a slope above one half and four standard errors. A winding whose
//! insulation follows a flatter law than the one applied looks alike, so the statement names both.
//! # References
//! Regression of the corrected value on the correction within circuits (fixed effects), with the weights of Huber 1964; NIST/SEMATECH
//! e-Handbook for the standard error of a slope.

use crate::AnalyzeError;
use crate::features::at_seconds;
use crate::finding::{About, Found, stated};
use crate::frames::{Frames, Rows};
use polars::prelude::*;
use std::collections::BTreeMap;
use windrow_model::Finding;

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

/// Findings on sheets, sorted by sheet.
pub(crate) fn find(frames: &Frames) -> Result<Vec<Finding>, AnalyzeError> {
    let sheets = sheets(frames)?;
    let findings = sheets.iter().filter_map(|((file, sheet), (points, ids))| {
        let (slope, error) = slope(points)?;
        (slope > HALFWAY && slope >= STANDARD_ERRORS * error)
            .then(|| finding(file, sheet.as_deref(), (slope, error), ids))
    });
    Ok(findings.collect())
}

type Sheets = BTreeMap<(String, Option<String>), (Vec<Point>, Vec<String>)>;

fn sheets(frames: &Frames) -> Result<Sheets, AnalyzeError> {
    let machines = frames.tests.clone().filter(col("duplicate_of").is_null()).select([col("test_id"), col("asset_id")]);
    let usable = col("quantity")
        .eq(lit("insulation_resistance"))
        .and(col("as_reported").eq(lit("as_read")))
        .and(col("bound").eq(lit("exact")))
        .and(col("value").gt(lit(0.0)))
        .and(col("value_ref").gt(lit(0.0)))
        .and(col("elapsed_s").is_null().or(at_seconds(60.0)));
    let plan = frames
        .readings
        .clone()
        .filter(usable)
        .join(machines, [col("test_id")], [col("test_id")], JoinArgs::new(JoinType::Inner))
        .select([
            col("source_file"),
            col("source_sheet"),
            col("asset_id"),
            col("circuit"),
            col("value"),
            col("value_ref"),
            col("reading_id"),
        ])
        .sort(["source_file", "source_sheet", "reading_id"], SortMultipleOptions::default());
    let rows = Rows::collect(plan)?;
    let (files, names, assets) = (rows.texts("source_file")?, rows.texts("source_sheet")?, rows.texts("asset_id")?);
    let (circuits, ids) = (rows.texts("circuit")?, rows.texts("reading_id")?);
    let (values, at_40c) = (rows.numbers("value")?, rows.numbers("value_ref")?);
    let mut sheets = Sheets::new();
    for index in 0..rows.len() {
        let (Some(file), Some(asset), Some(id)) = (&files[index], &assets[index], &ids[index]) else { continue };
        let (Some(value), Some(corrected)) = (values[index], at_40c[index]) else { continue };
        let circuit = format!("{asset} {}", circuits[index].as_deref().unwrap_or_default());
        let point = Point { circuit, correction: (corrected / value).log10(), corrected: corrected.log10() };
        let (points, evidence) = sheets.entry((file.clone(), names[index].clone())).or_default();
        points.push(point);
        evidence.push(id.clone());
    }
    Ok(sheets)
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

fn finding(file: &str, sheet: Option<&str>, (slope, error): (f64, f64), readings: &[String]) -> Finding {
    let place = sheet.map_or_else(|| file.to_owned(), |sheet| format!("{file}, sheet {sheet}"));
    let about = About {
        key: ["looks_corrected", file, sheet.unwrap_or_default()].map(str::to_owned).to_vec(),
        asset_id: None,
        test_id: None,
        evidence: readings.to_vec(),
        seen: None,
    };
    let found = Found {
        rule: "looks_corrected",
        level: "note",
        statement: format!(
            "{place}: {} insulation resistances do not depend on the winding's temperature. Either the source had corrected them to one \
             temperature without saying so, and their values at 40 °C are corrected twice, or these windings follow a flatter law \
             than the one applied. Find out before comparing them with others.",
            readings.len()
        ),
        value: Some(slope),
        limit: Some(HALFWAY),
        unit: "1",
        basis: format!(
            "slope of the corrected value on the correction within circuits: {slope:.2} ± {error:.2}, 0 for values as read and 1 for \
             values already corrected (regression with Huber weights)"
        ),
        next_test: "none; ask who kept the record, or compare one reading with its original",
        cautions: windrow_criteria::cautions::GROUND_WALL,
    };
    stated(about, found)
}

#[cfg(test)]
mod tests {
    use super::{Point, slope};
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
}
