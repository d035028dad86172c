//! # What it finds
//! A step-voltage test whose current rises out of proportion at its last step: the sign at which such a test is stopped. Curves too short
//! for a knee show it.
//! # How it is judged
//! On the newest such test of each circuit, with at least four steps: the resistance (voltage over current) falls at each of the last
//! three steps, the current of the last step rises by twice the share that the voltage rises by, and it lies a quarter above the line
//! through the two steps before. `plan` if the step test before showed it too, else `watch`: one curve says "repeat the test". Where a knee is found
//! that finding speaks.
//! # References
//! IEEE 95-2002: stop at the first sign of a disproportionate rise (from memory); worked example DC-10. The factor of two and the quarter,
//! more than three times what an error of 3 % a reading makes of that line: choice of this program, no source.

use super::curves::{Curve, Recorded};
use super::knee;
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::loaded::Reading;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};

/// Share of the current's rise over that of the voltage.
const OUT_OF_PROPORTION: f64 = 2.0;
/// Over the line through the two steps before.
const ABOVE_THE_LINE: f64 = 1.25;
/// Steps of the shortest curve that is judged.
const FEWEST_STEPS: usize = 4;

/// The last step of a curve, from one voltage to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Last {
    volts: [f64; 2],
    amperes: [f64; 2],
    /// What the line through the two steps before would give, A.
    line_a: f64,
}

impl Last {
    /// Relative rises of current and voltage.
    fn rises(&self) -> [f64; 2] {
        [self.amperes, self.volts].map(|[before, after]| after / before - 1.0)
    }
}

pub(crate) fn find(history: &History<'_>) -> Vec<Finding> {
    history.leakage.iter().filter_map(|tests| of_circuit(history, tests)).collect()
}

fn of_circuit(history: &History<'_>, tests: &[Recorded<'_>]) -> Option<Finding> {
    let ((newest, curve), earlier) = tests.split_last()?;
    let curve = curve.thinned();
    let last = out_of_proportion(&curve)?;
    if knee::beyond_chance(&curve).is_some() {
        return None;
    }
    let again = earlier.last().is_some_and(|(_, before)| out_of_proportion(&before.thinned()).is_some());
    Some(state(history, newest, &curve, (last, again)))
}

/// The last step, where the current rises out of proportion there.
fn out_of_proportion(curve: &Curve<'_>) -> Option<Last> {
    let points: Vec<(f64, f64)> = curve.points().map(|(volts, amperes, _)| (volts, amperes)).collect();
    let [.., (v0, a0), (v1, a1), (v2, a2), (v3, a3)] = points[..] else { return None };
    let falls = v0 / a0 > v1 / a1 && v1 / a1 > v2 / a2 && v2 / a2 > v3 / a3;
    let line_a = a2 + (a2 - a1) / (v2 - v1) * (v3 - v2);
    let last = Last { volts: [v2, v3], amperes: [a2, a3], line_a };
    let [current, voltage] = last.rises();
    let far = points.len() >= FEWEST_STEPS && current >= OUT_OF_PROPORTION * voltage && a3 >= ABOVE_THE_LINE * line_a;
    (falls && far).then_some(last)
}

fn state(history: &History<'_>, newest: &Judged<'_>, curve: &Curve<'_>, (last, again): (Last, bool)) -> Finding {
    let circuit = curve.circuit.map(|circuit| format!(" ({circuit})")).unwrap_or_default();
    let [current, voltage] = last.rises();
    let repeat = if again { "the test before showed it too" } else { "one curve: repeat the test" };
    let row = Found {
        rule: "step_voltage_rise",
        level: if again { "plan" } else { "watch" },
        statement: format!(
            "{}: at the last step, from {:.1} to {:.1} kV, the leakage current{circuit} rises by {:.0} % for {:.0} % more voltage; {repeat}.",
            history.tag,
            last.volts[0] / 1e3,
            last.volts[1] / 1e3,
            100.0 * current,
            100.0 * voltage
        ),
        value: Some(current),
        limit: Some(OUT_OF_PROPORTION * voltage),
        unit: "1",
        basis: "IEEE 95-2002: a step test stops at the first sign of a disproportionate rise (from memory); twice the share of the voltage and a \
                quarter above the line through the two steps before: choice of this program, no source"
            .to_owned(),
        cautions: cautions::HIGH_VOLTAGE,
        next_test: "insulation resistance, polarization index and dissipation factor, clean and dry; a higher voltage only as qualified people decide",
    };
    let row = finding::of_series(history, &[newest], (curve.circuit.unwrap_or(""), &["leakage_current"]), row);
    Finding { evidence: curve.reading_ids(), working: working(curve, last), ..row }
}

/// The curve with its resistances, and the last step beside the line.
fn working(curve: &Curve<'_>, last: Last) -> Vec<Step> {
    let one = |(volts, amperes, _): (f64, f64, Option<Reading<'_>>)| {
        Step::new("data", format!("{volts:.0} V: {:.4} µA, {:.1} MΩ", amperes * 1e6, volts / amperes / 1e6))
    };
    let mut steps: Vec<Step> = curve.points().map(one).collect();
    let [current, voltage] = last.rises();
    let micro = |amperes: f64| amperes * 1e6;
    steps.push(Step::new(
        "arithmetic",
        format!(
            "{:.4} / {:.4} µA: {:.1} % more current for {:.1} % more voltage; the line through the two steps before gives {:.4} µA, the reading is \
             {:.2} times that",
            micro(last.amperes[1]),
            micro(last.amperes[0]),
            100.0 * current,
            100.0 * voltage,
            micro(last.line_a),
            last.amperes[1] / last.line_a
        ),
    ));
    steps
}
