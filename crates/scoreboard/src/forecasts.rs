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

/// Largest share of windings that do not fall and get a middle; with ten tests, one in twenty is known to get one.
const STEADY_DATED: f64 = 0.02;
/// One kind of case: how many tests, the power of time, and the largest share of true dates before the lower bound. The bars are goals, set
/// before the method was.
const CASES: [(u32, f64, f64); 9] = [
    (3, 1.0, 0.12),
    (3, 1.5, 0.12),
    (3, 2.0, 0.20),
    (5, 1.0, 0.12),
    (5, 1.5, 0.12),
    (5, 2.0, 0.20),
    (10, 1.0, 0.12),
    (10, 1.5, 0.12),
    (10, 2.0, 0.20),
];

/// How the forecasts of one kind of case did.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Tally {
    /// Forecasts that were made.
    pub(crate) made: u32,
    /// True dates before the lower bound.
    pub(crate) missed: u32,
    /// True dates between the lower and the upper bound, an open one being endless.
    pub(crate) inside: u32,
    /// Forecasts with a middle.
    pub(crate) dated: u32,
}

impl Tally {
    /// Adds a forecast of a winding with so many years left; `None` was not made.
    fn add(&mut self, found: Option<&Forecast>, left: f64) {
        let Some(found) = found else { return };
        let is_missed = left < found.not_before();
        let too_late = found.not_after().is_some_and(|last| left > last);
        self.made += 1;
        self.missed += u32::from(is_missed);
        self.inside += u32::from(!is_missed && !too_late);
        self.dated += u32::from(found.middle().is_some());
    }

    /// A count as a share of the forecasts made; without any, nothing is reached.
    fn share(self, count: u32) -> f64 {
        if self.made == 0 { f64::NAN } else { f64::from(count) / f64::from(self.made) }
    }
}

/// Prints the table, and gives its bars.
pub(crate) fn board(cases: u32, seed: u64) -> Vec<Bar> {
    println!(
        "\nforecasts of {cases} falls each: made; of these true date before the lower bound (which three tests give 2 %, others 10 %) / \
         between it and the upper bound (10 %) / with a middle"
    );
    let mut bars = Vec::new();
    for (tests, power, most) in CASES {
        let tally = falls((tests, power), cases, seed);
        let missed = tally.share(tally.missed);
        let bar = Bar::at_most(
            format!("forecast: true dates before the lower bound, {tests} tests, power {power}"),
            missed,
            most,
        );
        println!(
            "{tests:>3} tests, power {power:.1}: {} made; {missed:.3} / {:.3} / {:.2}{}",
            tally.made,
            tally.share(tally.inside),
            tally.share(tally.dated),
            if bar.is_reached() { String::new() } else { format!("   misses its bar of {most}") }
        );
        bars.push(bar);
    }
    for tests in [3, 5, 10] {
        let tally = steady(tests, cases, seed);
        let dated = tally.share(tally.dated);
        println!("{tests:>3} tests of windings that do not fall: {} made; {dated:.3} get a middle", tally.made);
        bars.push(Bar::at_most(format!("forecast: steady windings with a date, {tests} tests"), dated, STEADY_DATED));
    }
    bars
}

/// Falls as a power of time.
pub(crate) fn falls((tests, power): (u32, f64), cases: u32, seed: u64) -> Tally {
    let mut tally = Tally::default();
    for case in 0..cases {
        let dice = &mut Dice::new(seed, u64::from(case) << 8 | u64::from(tests));
        let whole = 2.0 * f64::from(tests - 1) / (0.4 + 0.5 * dice.part());
        let readings = readings(dice, tests, |t| LIMIT + DEPTH - DEPTH * (t / whole).powf(power));
        let newest = readings.last().map_or(0.0, |reading| reading.t);
        tally.add(forecast(&readings, LIMIT, SCATTER).as_ref(), (whole - newest).max(0.0));
    }
    tally
}

/// Windings that do not fall.
fn steady(tests: u32, cases: u32, seed: u64) -> Tally {
    let mut tally = Tally::default();
    for case in 0..cases {
        let dice = &mut Dice::new(seed ^ 0x57, u64::from(case) << 8 | u64::from(tests));
        let readings = readings(dice, tests, |_| LIMIT + DEPTH);
        tally.add(forecast(&readings, LIMIT, SCATTER).as_ref(), f64::INFINITY);
    }
    tally
}

pub(crate) fn readings(dice: &mut Dice, tests: u32, level: impl Fn(f64) -> f64) -> Vec<Reading> {
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

#[cfg(test)]
mod tests {
    use super::Tally;

    #[test]
    fn a_forecast_that_was_not_made_is_no_success() {
        let mut tally = Tally::default();
        tally.add(None, 1.0);
        assert_eq!(tally, Tally::default());
        assert!(tally.share(tally.missed).is_nan(), "a bar is not reached by silence");
    }
}
