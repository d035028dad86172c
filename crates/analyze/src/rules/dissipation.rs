//! # What it finds
//! A dissipation factor that rose over the years at one voltage, or that grows faster with the voltage than it did (tip-up): voids and
//! delamination discharge at the higher voltage.
//! # How it is judged
//! On the newest test of each circuit, against the earlier tests of the same circuit and winding whose winding temperature lies within 10 K,
//! for nothing corrects other temperatures, at the lowest and the highest voltage that it shares with the last of them (within 2 %). The growth
//! with voltage must be twice the median of the earlier ones (three times where there is one only), the factor at the lower voltage one and a
//! half times (twice), and either half a percentage point above it. `plan` if the last of them stood out as well, `watch` otherwise. Where no
//! earlier test is known to have been at a similar temperature, all of them are looked at, and it is a `note`. No limit is claimed: the same
//! winding's own past is all that it is held against.
//! # References
//! IEEE 286 gives no limit of the growth with voltage (from memory; its scope verified in an excerpt); half a percentage point is what
//! IEC 60034-27-3:2015 allows new coils from step to step (from memory); the other factors: common practice, no source.

use super::curves::{Curve, Recorded, by_circuit};
use super::tip::{self, LEAST_RISE, QUANTITY, Tip};
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::robust::median;

/// Winding temperatures so near need no correction, K.
const SAME_TEMPERATURE_K: f64 = 10.0;

/// What is compared.
#[derive(Clone, Copy, PartialEq)]
enum Measure {
    /// Growth from the lower to the higher voltage.
    TipUp,
    /// The factor at the lower voltage.
    Level,
}

impl Measure {
    fn of(self, tip: &Tip) -> f64 {
        match self {
            Self::TipUp => tip.growth(),
            Self::Level => tip.factors[0],
        }
    }

    /// How many times the median of so many earlier tests stands out.
    const fn times(self, earlier: usize) -> f64 {
        match (self, earlier) {
            (Self::TipUp, 1) => 3.0,
            (Self::TipUp, _) | (Self::Level, 1) => 2.0,
            (Self::Level, _) => 1.5,
        }
    }
}

/// One test in the comparison.
struct At<'a> {
    judged: &'a Judged<'a>,
    tip: Tip,
}

/// The newest test of a circuit and the earlier ones that it is held against, oldest first and never none.
struct Compared<'a> {
    now: At<'a>,
    earlier: Vec<At<'a>>,
    /// Why winding temperatures may explain a difference; `None` where all are similar.
    doubt: Option<String>,
}

pub(crate) fn find(history: &History<'_>) -> Vec<Finding> {
    let circuits = by_circuit(history.of_this_winding(), QUANTITY);
    let each = circuits.iter().flat_map(|tests| [Measure::TipUp, Measure::Level].map(|measure| (tests, measure)));
    each.filter_map(|(tests, measure)| of_circuit(history, tests, measure)).collect()
}

fn of_circuit(history: &History<'_>, tests: &[Recorded<'_>], measure: Measure) -> Option<Finding> {
    let circuit = tests.last()?.1.circuit;
    let compared = compared(tests, measure)?;
    let Compared { now, earlier, doubt } = &compared;
    let values: Vec<f64> = earlier.iter().map(|at| measure.of(&at.tip)).collect();
    let usual = median(&values)?;
    let times = measure.times(earlier.len());
    let allowed = tip::allowed(usual, times);
    let value = measure.of(&now.tip);
    if value < allowed {
        return None;
    }
    let again = earlier.len() > 1 && values.last().is_some_and(|last| *last >= allowed);
    let (level, told) = match (doubt, again) {
        (Some(doubt), _) => ("note", format!("{doubt}, which may explain it; repeat the test")),
        (None, true) => ("plan", "the test before stood out as well".to_owned()),
        (None, false) => ("watch", "one test: repeat it".to_owned()),
    };
    let shown = circuit.map(|circuit| format!(" ({circuit})")).unwrap_or_default();
    let row = Found {
        rule: if measure == Measure::TipUp { "dissipation_tip_up" } else { "dissipation_rise" },
        level,
        statement: format!(
            "{}: the dissipation factor{shown} {}; {told}. No limit is claimed for a winding in service.",
            history.tag,
            difference(measure, &compared, [value, usual])
        ),
        value: Some(value),
        limit: Some(allowed),
        unit: "1",
        basis: tip::basis("median of earlier tests of the same circuit at the same voltages and a similar temperature"),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test at the same voltages, clean, dry and at a similar temperature; insulation resistance and polarization index first",
    };
    let row = finding::of_series(history, &[now.judged], (circuit.unwrap_or(""), &[QUANTITY.code()]), row);
    let evidence = earlier.iter().chain([now]).flat_map(|at| at.tip.reading_ids.iter().cloned()).collect();
    let mut working: Vec<Step> = earlier.iter().chain([now]).map(told_of).collect();
    working.push(Step::new(
        "arithmetic",
        format!("median of the earlier ones {usual:.4}; {value:.4} ≥ {times} times that and ≥ {LEAST_RISE} above it: {allowed:.4}"),
    ));
    Some(Finding { evidence, working, ..row })
}

/// The newest test of a circuit beside the earlier ones at a similar temperature, or beside all where none of them is known to be.
fn compared<'a>(tests: &[Recorded<'a>], measure: Measure) -> Option<Compared<'a>> {
    let ((newest, curve), before) = tests.split_last()?;
    let before: Vec<&Recorded<'a>> =
        before.iter().filter(|(judged, _)| judged.test.performed_on < newest.test.performed_on).collect();
    let is_similar =
        |(judged, _): &&Recorded<'_>| apart_k(judged, newest).is_some_and(|kelvin| kelvin <= SAME_TEMPERATURE_K);
    let similar: Vec<&Recorded<'a>> = before.iter().copied().filter(is_similar).collect();
    let beside_similar = at_shared_voltages(curve, &similar, measure).map(|tips| (tips, None));
    let ((tip, earlier), doubt) = beside_similar.or_else(|| {
        let (tip, earlier) = at_shared_voltages(curve, &before, measure)?;
        // Similar ones would have been enough: none is among these.
        let doubt = doubt(earlier.iter().filter_map(|at| apart_k(at.judged, newest)).reduce(f64::min));
        Some(((tip, earlier), Some(doubt)))
    })?;
    Some(Compared { now: At { judged: newest, tip }, earlier, doubt })
}

/// `least`: by how much the winding temperatures of all earlier tests differ at least, K, as far as they are told.
fn doubt(least: Option<f64>) -> String {
    match least {
        Some(kelvin) => format!("the winding temperatures that are told lie at least {kelvin:.0} K apart"),
        None => "the records do not tell both winding temperatures".to_owned(),
    }
}

/// What a curve and the earlier ones tell at the voltages that the last of them shares with it.
fn at_shared_voltages<'a>(curve: &Curve<'_>, before: &[&Recorded<'a>], measure: Measure) -> Option<(Tip, Vec<At<'a>>)> {
    let is_enough = |volts: &[f64; 2]| measure == Measure::Level || volts[1] > volts[0];
    let volts = before.iter().rev().find_map(|(_, own)| curve.shared(own).filter(is_enough))?;
    let earlier: Vec<At<'a>> =
        before.iter().filter_map(|(judged, own)| Some(At { judged, tip: Tip::of(own, volts)? })).collect();
    Some((Tip::of(curve, volts)?, earlier)).filter(|(_, earlier)| !earlier.is_empty())
}

/// `is 2.40 % at 2.00 kV, 1.05 % in 2 earlier tests`.
fn difference(measure: Measure, compared: &Compared<'_>, [value, usual]: [f64; 2]) -> String {
    let [low_kv, high_kv] = compared.now.tip.volts.map(|volts| volts / 1e3);
    let [value, usual] = [value, usual].map(|share| 100.0 * share);
    let before = match compared.earlier.len() {
        1 => "one earlier test".to_owned(),
        several => format!("{several} earlier tests"),
    };
    let similar = if compared.doubt.is_none() { " at a similar temperature" } else { "" };
    match measure {
        Measure::TipUp => format!(
            "grows by {value:.2} percentage points from {low_kv:.2} to {high_kv:.2} kV, by {usual:.2} in {before}{similar}"
        ),
        Measure::Level => format!("is {value:.2} % at {low_kv:.2} kV, {usual:.2} % in {before}{similar}"),
    }
}

/// `2012-05-01: 1.620 % at 2.00 kV, 2.350 % at 8.00 kV, growth 0.730 percentage points, winding 40 °C`.
fn told_of(at: &At<'_>) -> Step {
    let on = at.judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
    let ([low_kv, high_kv], [low, high]) = (at.tip.volts.map(|volts| volts / 1e3), at.tip.factors);
    let (high, growth) = (100.0 * high, 100.0 * at.tip.growth());
    let growth =
        at.tip.is_raised().then(|| format!(", {high:.3} % at {high_kv:.2} kV, growth {growth:.3} percentage points"));
    let celsius = at.judged.test.winding_temperature_c;
    let winding = celsius.map_or("temperature not told".to_owned(), |celsius| format!("{celsius:.0} °C"));
    Step::new(
        "data",
        format!("{on}: {:.3} % at {low_kv:.2} kV{}, winding {winding}", 100.0 * low, growth.unwrap_or_default()),
    )
}

/// How far the winding temperatures of two tests lie apart, K; `None` where one is not told.
fn apart_k(one: &Judged<'_>, other: &Judged<'_>) -> Option<f64> {
    Some((one.test.winding_temperature_c? - other.test.winding_temperature_c?).abs())
}
