//! # What it finds
//! A step-voltage test whose current begins to rise faster than the voltage.
//! # How it is judged
//! On the newest such test of each circuit: a knee beyond what chance gives in one of a hundred curves, behind which the current
//! rises 1.5 times as fast or more. `plan` if the step test before showed one too, else `watch`: one curve says "repeat the test". `note` where the
//! rate of false discoveries over all curves of the fleet is above 0.20.
//! # References
//! Hinkley 1971; critical values by simulation; see `windrow_statistics::knee`.

use super::curves::{Curve, Recorded};
use crate::asked::{Answer, Question};
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::knee::{FEWEST, Knee, chance, critical, knee};

/// Least ratio of the slopes that is worth a word: detection of less is chance (power 0.33 at 3 % noise and eight steps).
const LEAST_RATIO: f64 = 1.5;

pub(crate) fn ask(history: &History<'_>) -> Vec<Answer> {
    history.leakage.iter().filter_map(|tests| of_circuit(history, tests)).collect()
}

fn of_circuit(history: &History<'_>, tests: &[Recorded<'_>]) -> Option<Answer> {
    let ((newest, curve), earlier) = tests.split_last()?;
    let curve = curve.thinned();
    if curve.volts.len() < FEWEST {
        return None;
    }
    let before = earlier.last().map(|(_, before)| before.thinned());
    let before = || before.and_then(|before| before.volts.get(beyond_chance(&before)?.at).copied());
    let told = beyond_chance(&curve)
        .map(|found| (state(history, newest, &curve, &found, before()), chance(found.f, curve.volts.len())));
    Some(Answer { question: Question::Knee, told })
}

/// The knee of a curve, where it is beyond chance and worth a word.
pub(super) fn beyond_chance(curve: &Curve<'_>) -> Option<Knee> {
    let found = knee(&curve.volts, &curve.values)?;
    let surprising = found.f > critical(curve.volts.len())?.one;
    let worth = found.slope_ratio.is_none_or(|ratio| ratio >= LEAST_RATIO);
    (surprising && worth).then_some(found)
}

fn state(history: &History<'_>, newest: &Judged<'_>, curve: &Curve<'_>, found: &Knee, before: Option<f64>) -> Finding {
    let circuit = curve.circuit.map(|circuit| format!(" ({circuit})")).unwrap_or_default();
    let volts = curve.volts[found.at];
    let faster = match found.slope_ratio {
        Some(ratio) => format!("rises {ratio:.1} times as fast with the voltage above {:.1} kV", volts / 1e3),
        None => format!("begins to rise only above {:.1} kV", volts / 1e3),
    };
    let again = match before {
        Some(before) if before > volts * 1.02 => {
            format!("; the test before showed it at {:.1} kV, so that it has come lower", before / 1e3)
        }
        Some(before) => format!("; the test before showed it at {:.1} kV", before / 1e3),
        None => "; one curve: repeat the test".to_owned(),
    };
    let row = Found {
        rule: "step_voltage_knee",
        level: if before.is_some() { "plan" } else { "watch" },
        statement: format!("{}: the leakage current{circuit} {faster}{again}.", history.tag),
        value: Some(volts),
        limit: curve.volts.last().copied(),
        unit: "V",
        basis: format!(
            "line against two pieces, F = {:.0} over {} steps (Hinkley 1971), beyond the simulated 1 % value; the limit is the highest step",
            found.f.min(9999.0),
            curve.volts.len()
        ),
        cautions: cautions::HIGH_VOLTAGE,
        next_test: "insulation resistance, polarization index and dissipation factor, clean and dry; a higher voltage only as qualified people decide",
    };
    let row = finding::of_series(history, &[newest], (curve.circuit.unwrap_or(""), &["leakage_current"]), row);
    Finding { evidence: curve.reading_ids(), working: working(curve, found), ..row }
}

/// The curve, and one line through it against two pieces.
fn working(curve: &Curve<'_>, found: &Knee) -> Vec<Step> {
    let mut steps: Vec<Step> = curve
        .points()
        .map(|(volts, amperes, _)| Step::new("data", format!("{volts:.0} V: {:.4} µA", amperes * 1e6)))
        .collect();
    let n = curve.volts.len();
    let ratio = found.slope_ratio.map_or("no rise before it".to_owned(), |ratio| format!("slopes as 1 to {ratio:.2}"));
    let (volts, f) = (curve.volts[found.at], found.f.min(9999.0));
    steps.push(Step::new(
        "arithmetic",
        format!("F = (RSS of one line − RSS of two pieces)/(RSS of two pieces/({n} − 3)) = {f:.1}, kink at {volts:.0} V, {ratio}"),
    ));
    steps.extend(critical(n).map(|critical| {
        Step::new("chance", format!("exceeded in one of a hundred straight curves of {n} steps: {:.1}", critical.one))
    }));
    steps
}
