//! # What it finds
//! A sheet whose values look as if the source had corrected them to one temperature already without saying so: what is left of
//! them stops depending on the winding's temperature, while the corrected value depends on it fully (`looks_corrected`). And a sheet
//! whose values are called corrected, but still depend on the temperature as readings do (`corrected_in_name`).
//! # How it is judged
//! `note`, as [`windrow_criteria::already`] has it. A winding whose insulation follows a flatter law than the one applied looks alike,
//! so the statement names both. The import asks about the same sheet; what a person has ruled upon is found no more.
//! # References
//! `windrow-criteria`, module `already`.

use super::found::{Doubt, evidence, key, note, place};
use super::sheets::BySheet;
use crate::loaded::{Loaded, Reading, SheetName, Test};
use windrow_criteria::Correction;
use windrow_criteria::already::{FROM_AS_READ, HALFWAY, Point, Slope, looks_corrected, looks_uncorrected};
use windrow_criteria::correction::INSULATION_REFERENCE_C;
use windrow_model::{Decision, Finding, Question, Step, Text};

/// Findings on sheets, sorted by sheet.
pub(crate) fn find(records: &Loaded, decisions: &[Decision]) -> Vec<Finding> {
    let rulings: Vec<&Decision> = decisions.iter().filter(|ruling| ruling.question == Question::Corrected).collect();
    let twice = sheets(records, &rulings, as_read)
        .filter_map(|(sheet, (points, readings))| Some(corrected_twice(sheet, looks_corrected(&points)?, &readings)));
    let never = sheets(records, &rulings, as_corrected)
        .filter_map(|(sheet, (points, readings))| Some(never_corrected(sheet, looks_uncorrected(&points)?, &readings)));
    twice.chain(never).collect()
}

fn sheets<'a>(
    records: &'a Loaded,
    rulings: &[&Decision],
    point: fn(Reading<'_>, Test<'_>) -> Option<(f64, f64)>,
) -> impl Iterator<Item = (&'a SheetName, (Vec<Point>, Vec<Reading<'a>>))> {
    let mut sheets: BySheet<(Vec<Point>, Vec<Reading<'a>>)> = BySheet::default();
    let usable =
        |record: &Reading<'_>| record.is_insulation_resistance() && record.is_exact() && record.is_of_a_minute();
    let own = |test: Test<'a>| records.resistances_of(test.place).filter(usable).map(move |record| (test, record));
    let mut last: Option<((u32, &str), Text)> = None;
    for (test, record) in records.tests().flat_map(own) {
        // Nothing is left to be found where a person has ruled.
        let (file, sheet) = &test.sheet();
        if rulings.iter().any(|ruling| ruling.concerns(file, sheet.as_deref()) && ruling.covers_below(&record.cell())) {
            continue;
        }
        let Some((correction, corrected)) = point(record, test).filter(|_| test.asset_id().is_some()) else {
            continue;
        };
        let whose = (test.machine_code(), record.circuit().unwrap_or_default());
        if last.as_ref().is_none_or(|(last, _)| *last != whose) {
            // By the number of the machine, which is short: there is one for each of many readings.
            last = Some((whose, Text::from(format!("{} {}", whose.0, whose.1))));
        }
        let Some((_, circuit)) = last.clone() else { continue };
        let (points, readings) = sheets.of(test);
        points.push(Point { circuit, correction, corrected });
        readings.push(record);
    }
    sheets.in_order(records)
}

/// Decades of the correction that was applied, and of what it gave.
fn as_read(record: Reading<'_>, _: Test<'_>) -> Option<(f64, f64)> {
    let corrected = record.value_ref().filter(|value| record.is_as_read() && *value > 0.0)?;
    Some(((corrected / record.value()).log10(), corrected.log10()))
}

/// Decades of the correction that the source should have applied, and of what it gave.
fn as_corrected(record: Reading<'_>, test: Test<'_>) -> Option<(f64, f64)> {
    let law = match test.insulation_era()? {
        "thermoplastic" => Correction::ThermoplasticHalving,
        "thermosetting" => Correction::ThermosettingExponential,
        _ => return None,
    };
    let temperature = test.winding_temperature_c().filter(|_| !record.is_as_read())?;
    let factor = law.factor(temperature, INSULATION_REFERENCE_C).ok().filter(|factor| *factor > 0.0)?;
    Some((factor.log10(), record.value().log10()))
}

fn corrected_twice(sheet: &SheetName, slope: Slope, readings: &[Reading<'_>]) -> Finding {
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
        value: Some(slope.value),
        limit: Some(HALFWAY),
        basis: format!(
            "slope of the corrected value on the correction within circuits: {:.2} ± {:.2}, 0 for values as read and 1 for \
             values already corrected (regression with Huber weights)",
            slope.value, slope.error
        ),
        working: working(slope, readings, "1, corrected already"),
        evidence: ids(readings),
        seen: newest(readings),
        ..Doubt::default()
    })
}

fn never_corrected(sheet: &SheetName, slope: Slope, readings: &[Reading<'_>]) -> Finding {
    note(Doubt {
        rule: "corrected_in_name",
        key: key(sheet),
        statement: format!(
            "{}: {} insulation resistances are called corrected, but depend on the winding's temperature as readings do. They may never \
             have been corrected, and stand beside corrected ones as if they were.",
            place(sheet),
            readings.len()
        ),
        value: Some(slope.value),
        limit: Some(-HALFWAY),
        basis: format!(
            "slope of the value on the correction that is due within circuits: {:.2} ± {:.2}, 0 for corrected values and −1 for \
             values as read (regression with Huber weights)",
            slope.value, slope.error
        ),
        working: working(slope, readings, "−1, not corrected"),
        evidence: ids(readings),
        seen: newest(readings),
        ..Doubt::default()
    })
}

fn working(slope: Slope, readings: &[Reading<'_>], meaning: &str) -> Vec<Step> {
    vec![
        Step::new(
            "model",
            "log10(value at 40 °C) = mean of the circuit + slope · log10(correction factor), Huber weights c = 1.345",
        ),
        Step::new(
            "arithmetic",
            format!(
                "{} readings: slope {:.3}, standard error {:.3}, ratio {:.1} (at least {FROM_AS_READ}); 0 would be right, {meaning}",
                readings.len(),
                slope.value,
                slope.error,
                slope.value.abs() / slope.error
            ),
        ),
        Step::new("look_alike", "windings whose insulation follows another law than the one applied"),
    ]
}

fn ids(readings: &[Reading<'_>]) -> Vec<String> {
    evidence(readings.iter().copied())
}

fn newest(readings: &[Reading<'_>]) -> Option<jiff::civil::Date> {
    readings.iter().filter_map(|record| record.test().performed_on()).max()
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::Records;
    use crate::records::fixture::{add, test};
    use windrow_criteria::Correction;

    fn find(records: &Records, decisions: &[windrow_model::Decision]) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded(), decisions)
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
        let found = find(&called_corrected(|at_40c, factor| at_40c - factor), &[]);
        assert_eq!(found.iter().map(|finding| finding.rule.as_str()).collect::<Vec<_>>(), ["corrected_in_name"]);
        assert!((found[0].value.unwrap() + 1.0).abs() < 0.2, "{:?}", found[0].value);
        assert!(find(&called_corrected(|at_40c, _| at_40c), &[]).is_empty());
    }

    /// Values as read that do not follow the temperature, and what a correction made of them.
    fn corrected_twice() -> Records {
        let mut records = called_corrected(|at_40c, _| at_40c);
        for place in 0..records.readings.len() {
            let celsius = records.tests[records.readings[place].test].winding_temperature_c.unwrap();
            let factor = Correction::ThermoplasticHalving.factor(celsius, 40.0).unwrap();
            let reading = &mut records.readings[place];
            reading.as_reported = "as_read".into();
            reading.value_ref = Some(reading.value * factor);
        }
        records
    }

    /// No resistance is zero or less: what a correction made of such a reading takes no part.
    #[test]
    fn a_corrected_value_that_is_none_does_not_hide_the_others() {
        let rules = |records: &Records| find(records, &[]).into_iter().map(|finding| finding.rule).collect::<Vec<_>>();
        assert_eq!(rules(&corrected_twice()), ["looks_corrected"]);
        for none in [0.0, -5.0] {
            let mut spoiled = corrected_twice();
            spoiled.readings[3].value_ref = Some(none);
            assert_eq!(rules(&spoiled), ["looks_corrected"], "{none}");
        }
    }
}
