//! Falls of single windings whose end is known, and what the forecast says of them at a moment before it.
//!
//! Two decades from the first test to the limit as a power of time, tests every two years or so until 40 to 90 % of the way, scatter of 0.2
//! decade with Student-t errors of 5 degrees of freedom; windings that do not fall, beside them.

use super::bars::Bar;
use windrow_dice::Dice;
use windrow_model::Bound;
use windrow_statistics::forecast::{Forecast, Reading, forecast};
use windrow_statistics::special::student;

const SCATTER: f64 = 0.2;
const LIMIT: f64 = 1.0;
const DEPTH: f64 = 2.0;

/// One kind of case: how many tests, the power of time, and the largest share of true dates before the lower bound.
const CASES: [(u32, f64, f64); 9] = [
    (3, 1.0, 0.20),
    (3, 1.5, 0.20),
    (3, 2.0, 0.20),
    (5, 1.0, 0.12),
    (5, 1.5, 0.12),
    (5, 2.0, 0.20),
    (10, 1.0, 0.12),
    (10, 1.5, 0.12),
    (10, 2.0, 0.20),
];

/// How the forecasts of one kind of case did, as shares of all.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Shares {
    /// True dates before the lower bound.
    pub(crate) missed: f64,
    /// True dates between the lower and the upper bound, an open one being endless.
    pub(crate) inside: f64,
    /// Forecasts with a middle.
    pub(crate) dated: f64,
}

/// Prints the table, and gives its bars.
pub(crate) fn board(cases: u32, seed: u64) -> Vec<Bar> {
    println!(
        "\nforecasts: {cases} falls each; true date before the lower bound / inside the 80 % interval / with a middle"
    );
    let mut bars = Vec::new();
    for (tests, power, most) in CASES {
        let shares = falls((tests, power), cases, seed);
        println!(
            "{tests:>3} tests, power {power:.1}: {:.3} / {:.3} / {:.2}",
            shares.missed, shares.inside, shares.dated
        );
        let about = format!("forecast: true dates before the lower bound, {tests} tests, power {power}");
        bars.push(Bar::at_most(about, shares.missed, most));
    }
    for tests in [3, 5, 10] {
        let dated = steady(tests, cases, seed);
        println!("{tests:>3} tests of windings that do not fall: {dated:.3} get a middle");
        bars.push(Bar::at_most(format!("forecast: steady windings with a date, {tests} tests"), dated, 0.05));
    }
    bars
}

/// Falls as a power of time.
pub(crate) fn falls((tests, power): (u32, f64), cases: u32, seed: u64) -> Shares {
    let mut shares = Shares::default();
    for case in 0..cases {
        let dice = &mut Dice::new(seed, u64::from(case) << 8 | u64::from(tests));
        let whole = 2.0 * f64::from(tests - 1) / (0.4 + 0.5 * dice.part());
        let readings = readings(dice, tests, |t| LIMIT + DEPTH - DEPTH * (t / whole).powf(power));
        let Some((found, newest)) = foreseen(&readings) else { continue };
        let left = (whole - newest).max(0.0);
        let part = 1.0 / f64::from(cases);
        let is_missed = left < found.not_before();
        shares.missed += if is_missed { part } else { 0.0 };
        let too_late = found.not_after().is_some_and(|last| left > last);
        shares.inside += if is_missed || too_late { 0.0 } else { part };
        shares.dated += if found.middle().is_some() { part } else { 0.0 };
    }
    shares
}

/// Share of windings that do not fall, but get a middle.
fn steady(tests: u32, cases: u32, seed: u64) -> f64 {
    let dated = (0..cases).filter(|case| {
        let dice = &mut Dice::new(seed ^ 0x57, u64::from(*case) << 8 | u64::from(tests));
        let found = foreseen(&readings(dice, tests, |_| LIMIT + DEPTH));
        found.is_some_and(|(found, _)| found.middle().is_some())
    });
    f64::from(u32::try_from(dated.count()).unwrap_or(u32::MAX)) / f64::from(cases)
}

fn foreseen(readings: &[Reading]) -> Option<(Forecast, f64)> {
    Some((forecast(readings, LIMIT, SCATTER)?, readings.last()?.t))
}

fn readings(dice: &mut Dice, tests: u32, level: impl Fn(f64) -> f64) -> Vec<Reading> {
    let mut t = 0.0;
    let mut readings = Vec::new();
    for _ in 0..tests {
        // Variance 1: t with 5 degrees of freedom has 5/3.
        let error = SCATTER * student::quantile(dice.part().clamp(1e-9, 1.0 - 1e-9), 5.0) * 0.6_f64.sqrt();
        readings.push(Reading { t, y: level(t) + error, bound: Bound::Exact });
        t += 1.0 + 2.0 * dice.part();
    }
    readings
}
