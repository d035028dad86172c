//! # What it finds
//! A leakage current that grew between tests at the same voltage.
//! # How it is judged
//! On the newest test with leakage currents, at the highest voltage (within 2 %) that earlier tests of the same circuit used too: three
//! times the median of the earlier ones or more, five times where there is one only, after allowing a factor of two for each 10 K that
//! the winding was warmer. `plan` if the test before had grown as well, `watch` otherwise; `note` where a temperature is not told.
//! # References
//! Halving of resistance by 10 K: IEEE 43-2013 for thermoplastic insulation, the steepest of the corrections, so that warmth alone is
//! no finding; the factors of three and five: common practice, no source.

use super::curves::Recorded;
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::loaded::Reading;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::robust::median;

/// Growth that is worth a word, over several earlier tests and over one.
const LEAST_GROWTH: f64 = 3.0;
const LEAST_GROWTH_OVER_ONE: f64 = 5.0;

/// A current of one test at the voltage in question.
struct At<'a> {
    judged: &'a Judged<'a>,
    amperes: f64,
    reading: Option<Reading<'a>>,
}

pub(crate) fn find(history: &History<'_>) -> Vec<Finding> {
    history.leakage.iter().filter_map(|tests| of_circuit(history, tests)).collect()
}

fn of_circuit(history: &History<'_>, tests: &[Recorded<'_>]) -> Option<Finding> {
    let ((newest, curve), before) = tests.split_last()?;
    let before: Vec<&Recorded<'_>> =
        before.iter().filter(|(judged, _)| judged.test.performed_on < newest.test.performed_on).collect();
    let is_shared = |volts: f64| before.iter().any(|(_, other)| other.at(volts).is_some());
    let (volts, amperes, own) = curve.points().rev().find(|(volts, ..)| is_shared(*volts))?;
    let earlier: Vec<At<'_>> = before.iter().filter_map(|recorded| at(recorded, volts)).collect();
    let usual = median(&earlier.iter().map(|at| at.amperes).collect::<Vec<f64>>())?;
    let growth = amperes / usual;
    let last = earlier.last()?;
    let warmer = warmer_k(last.judged, newest);
    let least = if earlier.len() > 1 { LEAST_GROWTH } else { LEAST_GROWTH_OVER_ONE };
    let allowed = least * 2_f64.powf(warmer.unwrap_or(0.0).max(0.0) / 10.0);
    if growth < allowed {
        return None;
    }
    let grew_before = earlier.len() > 1 && last.amperes / usual >= LEAST_GROWTH;
    let circuit = curve.circuit.map(|circuit| format!(" ({circuit})")).unwrap_or_default();
    let since = last.judged.test.performed_on.map(|on| format!(" up to {}", on.year())).unwrap_or_default();
    let before =
        if earlier.len() > 1 { format!("{} earlier tests", earlier.len()) } else { "one earlier test".to_owned() };
    let (level, told) = match (warmer, grew_before) {
        (None, _) => ("note", "the records do not tell both temperatures, which may explain it; repeat the test"),
        (Some(_), true) => ("plan", "the test before had grown as well"),
        (Some(_), false) => ("watch", "one test: repeat it"),
    };
    let row = Found {
        rule: "leakage_growth",
        level,
        statement: format!(
            "{}: at {:.1} kV the leakage current{circuit} is {growth:.1} times that of {before}{since}; {told}.",
            history.tag,
            volts / 1e3
        ),
        value: Some(amperes),
        limit: Some(usual),
        unit: "A",
        basis: "median of earlier tests of the same circuit at the same voltage; a factor of two allowed for 10 K (IEEE 43-2013); the other \
                factors are common practice, no source"
            .to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "insulation resistance and polarization index, clean and dry, at a similar temperature and humidity",
    };
    let evidence =
        earlier.iter().map(|at| at.reading).chain([own]).flatten().filter_map(|reading| reading.reading_id()).collect();
    let row = finding::of_series(history, &[*newest], (curve.circuit.unwrap_or(""), &["leakage_current"]), row);
    let micro = |amperes: f64| format!("{:.4} µA", amperes * 1e6);
    let one = |at: &At<'_>| {
        let on = at.judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
        Step::new("data", format!("{on}: {} at {volts:.0} V", micro(at.amperes)))
    };
    let mut working: Vec<Step> = earlier.iter().map(one).collect();
    let (now, before) = (micro(amperes), micro(usual));
    working.push(Step::new("arithmetic", format!("{now} / {before}, the median of these, = {growth:.2}")));
    let kelvin = warmer.map_or("an unknown number of kelvin".to_owned(), |kelvin| format!("{:.0} K", kelvin.max(0.0)));
    working.push(Step::new(
        "rule",
        format!("{least} times, doubled for each 10 K that the winding was warmer ({kelvin}): {allowed:.2}"),
    ));
    Some(Finding { evidence, working, ..row })
}

fn at<'a>((judged, curve): &Recorded<'a>, volts: f64) -> Option<At<'a>> {
    let (_, amperes, reading) = curve.at(volts)?;
    Some(At { judged, amperes, reading })
}

/// How much warmer the winding was at the newest test, K; `None` where a temperature is not told.
fn warmer_k(before: &Judged<'_>, newest: &Judged<'_>) -> Option<f64> {
    Some(newest.test.winding_temperature_c? - before.test.winding_temperature_c?)
}
