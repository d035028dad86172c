//! # What it finds
//! A dissipation factor that rose over the years at one voltage, or that grows faster with the voltage than it did (tip-up): voids and
//! delamination discharge at the higher voltage.
//! # How it is judged
//! On the newest test, circuit by circuit, against the earlier tests of the same circuit and winding, at the lowest and the highest voltage
//! that it shares with the one before (within 2 %). The growth with voltage must be twice the median of the earlier ones (three times
//! where there is one only), the factor at the lower voltage one and a half times (twice), and either half a percentage point above it. `plan`
//! if the test before stood out as well, `watch` otherwise; `note` where the winding temperatures are not told or lie more than 10 K apart, for
//! nothing corrects them. No limit is claimed: the same winding's own past is all that it is held against.
//! # References
//! IEEE 286 gives no limit of the growth with voltage (from memory; its scope verified in an excerpt); half a percentage point is what
//! IEC 60034-27-3:2015 allows new coils from step to step (from memory); the other factors: common practice, no source.

use super::curves::{Curve, of_quantity};
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use serde::{Deserialize, Serialize};
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::robust::median;

pub(super) const QUANTITY: &str = "dissipation_factor";
/// Rise that is worth a word, 1.
pub(super) const LEAST_RISE: f64 = 0.005;
/// Voltages so near are the same.
pub(super) const SAME_VOLTAGE: f64 = 0.02;
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

/// Dissipation factors of one circuit in one test at two voltages.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Tip {
    /// Lower and higher voltage, V.
    pub(crate) volts: [f64; 2],
    /// Dissipation factor at each, 1.
    pub(crate) factors: [f64; 2],
    pub(super) reading_ids: Vec<String>,
}

impl Tip {
    /// Growth from the lower to the higher voltage, 1.
    ///
    /// Worked example DF-03: 1.62 % at 2 kV and 2.35 % at 8 kV are 0.73 percentage points, no relative per cent.
    pub(crate) fn growth(&self) -> f64 {
        self.factors[1] - self.factors[0]
    }
}

/// What the curve tells at two voltages; `None` where one is missing.
pub(super) fn tip(curve: &Curve<'_>, volts: [f64; 2]) -> Option<Tip> {
    let at = |wanted: f64| curve.points().find(|(volts, ..)| (volts / wanted - 1.0).abs() <= SAME_VOLTAGE);
    let [(_, low, low_id), (_, high, high_id)] = [at(volts[0])?, at(volts[1])?];
    let reading_ids = low_id.into_iter().chain(high_id.filter(|id| Some(*id) != low_id)).cloned().collect();
    Some(Tip { volts, factors: [low, high], reading_ids })
}

/// Lowest and highest voltage that both curves have.
pub(super) fn shared(a: &Curve<'_>, b: &Curve<'_>) -> Option<[f64; 2]> {
    let near = |wanted: &f64| b.volts.iter().any(|volts| (volts / wanted - 1.0).abs() <= SAME_VOLTAGE);
    let mut both = a.volts.iter().copied().filter(|volts| near(volts));
    let first = both.next()?;
    Some([first, both.next_back().unwrap_or(first)])
}

/// Of each circuit what its whole curve tells, from the lowest to the highest voltage.
pub(crate) fn tips(judged: &Judged<'_>) -> impl Iterator<Item = Tip> {
    let curves = of_quantity(judged, QUANTITY);
    curves.into_iter().filter_map(|curve| tip(&curve, [*curve.volts.first()?, *curve.volts.last()?]))
}

/// One test in the comparison.
struct At<'a> {
    judged: &'a Judged<'a>,
    tip: Tip,
}

impl At<'_> {
    fn value(&self, measure: Measure) -> f64 {
        match measure {
            Measure::TipUp => self.tip.growth(),
            Measure::Level => self.tip.factors[0],
        }
    }
}

pub(crate) fn find(history: &History<'_>) -> Vec<Finding> {
    let tests = history.of_this_winding();
    let Some(newest) = tests.iter().rev().find(|judged| !of_quantity(judged, QUANTITY).is_empty()) else {
        return Vec::new();
    };
    let series =
        of_quantity(newest, QUANTITY).into_iter().filter_map(|curve| Some((series(&tests, newest, &curve)?, curve)));
    series
        .flat_map(|((now, earlier), curve)| {
            let measures = [Measure::TipUp, Measure::Level].into_iter();
            let found: Vec<Finding> =
                measures.filter_map(|measure| compare(history, &curve, measure, &now, &earlier)).collect();
            found
        })
        .collect()
}

/// The newest test of a circuit and the earlier ones with the same two voltages, oldest first.
fn series<'a>(tests: &[&'a Judged<'a>], newest: &'a Judged<'a>, curve: &Curve<'_>) -> Option<(At<'a>, Vec<At<'a>>)> {
    let of_circuit = |judged: &'a Judged<'a>| {
        of_quantity(judged, QUANTITY).into_iter().find(|other| other.circuit == curve.circuit).map(|own| (judged, own))
    };
    let before = tests.iter().copied().filter(|judged| judged.test.performed_on < newest.test.performed_on);
    let before: Vec<(&Judged<'_>, Curve<'_>)> = before.filter_map(of_circuit).collect();
    let volts = before.iter().rev().find_map(|(_, own)| shared(curve, own))?;
    let earlier: Vec<At<'_>> =
        before.iter().filter_map(|(judged, own)| Some(At { judged, tip: tip(own, volts)? })).collect();
    Some((At { judged: newest, tip: tip(curve, volts)? }, earlier)).filter(|(_, earlier)| !earlier.is_empty())
}

fn compare(
    history: &History<'_>,
    curve: &Curve<'_>,
    measure: Measure,
    now: &At<'_>,
    earlier: &[At<'_>],
) -> Option<Finding> {
    let [low_v, high_v] = now.tip.volts;
    if measure == Measure::TipUp && high_v <= low_v {
        return None;
    }
    let usual = median(&earlier.iter().map(|at| at.value(measure)).collect::<Vec<f64>>())?;
    let times = match (measure, earlier.len()) {
        (Measure::TipUp, 1) => 3.0,
        (Measure::TipUp, _) | (Measure::Level, 1) => 2.0,
        (Measure::Level, _) => 1.5,
    };
    let allowed = (times * usual.max(0.0)).max(usual + LEAST_RISE);
    let value = now.value(measure);
    if value < allowed {
        return None;
    }
    let last = earlier.last()?;
    let again = earlier.len() > 1 && last.value(measure) >= allowed;
    let (level, told) = match warmer_k(last.judged, now.judged) {
        None => (
            "note",
            "the records do not tell both winding temperatures, which may explain it; repeat the test".to_owned(),
        ),
        Some(kelvin) if kelvin.abs() > SAME_TEMPERATURE_K => {
            let apart = format!(
                "the winding temperatures lie {:.0} K apart, which may explain it; repeat the test",
                kelvin.abs()
            );
            ("note", apart)
        }
        Some(_) if again => ("plan", "the test before stood out as well".to_owned()),
        Some(_) => ("watch", "one test: repeat it".to_owned()),
    };
    let circuit = curve.circuit.map(|circuit| format!(" ({circuit})")).unwrap_or_default();
    let before =
        if earlier.len() > 1 { format!("{} earlier tests", earlier.len()) } else { "one earlier test".to_owned() };
    let what = match measure {
        Measure::TipUp => format!(
            "grows by {:.2} percentage points from {:.2} to {:.2} kV, by {:.2} in {before}",
            100.0 * value,
            low_v / 1e3,
            high_v / 1e3,
            100.0 * usual
        ),
        Measure::Level => {
            format!("is {:.2} % at {:.2} kV, {:.2} % in {before}", 100.0 * value, low_v / 1e3, 100.0 * usual)
        }
    };
    let row = Found {
        rule: if measure == Measure::TipUp { "dissipation_tip_up" } else { "dissipation_rise" },
        level,
        statement: format!(
            "{}: the dissipation factor{circuit} {what}; {told}. No limit is claimed for a winding in service.",
            history.tag
        ),
        value: Some(value),
        limit: Some(allowed),
        unit: "1",
        basis: BASIS.to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test at the same voltages, clean, dry and at a similar temperature; insulation resistance and polarization index first",
    };
    let row = finding::of_series(history, &[now.judged], (curve.circuit.unwrap_or(""), &[QUANTITY]), row);
    let evidence = earlier.iter().chain([now]).flat_map(|at| at.tip.reading_ids.iter().cloned()).collect();
    let mut working: Vec<Step> = earlier.iter().chain([now]).map(told_of).collect();
    working.push(Step::new(
        "arithmetic",
        format!("median of the earlier ones {usual:.4}; {value:.4} ≥ {times} times that and ≥ {LEAST_RISE} above it: {allowed:.4}"),
    ));
    Some(Finding { evidence, working, ..row })
}

const BASIS: &str = "median of earlier tests of the same circuit at the same voltages; no limit is claimed: IEEE 286 gives none (from memory); half a \
    percentage point is what IEC 60034-27-3:2015 allows new coils from step to step (from memory), the other factors are common practice, no \
    source";

/// `2012-05-01: 1.62 % at 2.00 kV, 2.35 % at 8.00 kV, growth 0.73 percentage points`.
fn told_of(at: &At<'_>) -> Step {
    let on = at.judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
    let ([low_v, high_v], [low, high]) = (at.tip.volts, at.tip.factors);
    let growth = if high_v > low_v {
        format!(
            ", {:.3} % at {:.2} kV, growth {:.3} percentage points",
            100.0 * high,
            high_v / 1e3,
            100.0 * at.tip.growth()
        )
    } else {
        String::new()
    };
    Step::new("data", format!("{on}: {:.3} % at {:.2} kV{growth}", 100.0 * low, low_v / 1e3))
}

/// How much warmer the winding was at the newest test, K; `None` where a temperature is not told.
fn warmer_k(before: &Judged<'_>, newest: &Judged<'_>) -> Option<f64> {
    Some(newest.test.winding_temperature_c? - before.test.winding_temperature_c?)
}
