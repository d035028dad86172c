//! Where the current of a step-voltage test begins to rise faster than the voltage.
//!
//! One line through (V, I) against two pieces that meet at an inner step, bent upward; errors in proportion to the current. It reads
//! records; it never advises going on with a test.
//!
//! # References
//! Two-phase regression: Hinkley 1971, *J. Am. Stat. Assoc.* 66:736; critical values of the largest F by simulation,
//! `data/knee_critical.csv`.

use crate::count::as_f64;
use crate::critical::{self, Critical};
use crate::regression::least_squares;
use crate::special::student;
use std::sync::LazyLock;

/// Fewest steps for which a knee is sought.
pub const FEWEST: usize = 5;
/// Least share of the largest fitted current that a fitted current counts as, so that no weight is endless.
const LEAST_FITTED: f64 = 0.02;

/// The most likely knee of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knee {
    /// Index of the step at which the two pieces meet.
    pub at: usize,
    /// Slope behind the knee over the slope before it; `None` if the curve does not rise before.
    pub slope_ratio: Option<f64>,
    /// (RSS₀ − RSS₁) / (RSS₁/(n − 3)); infinite when two pieces fit without error, 0 when the line does.
    pub f: f64,
}

/// Most likely upward knee of currents `i` (A, > 0) at rising voltages `v` (V), equal times after each step.
///
/// `None` for fewer than [`FEWEST`] steps, voltages that do not rise, a current that is not positive, or a curve that nowhere bends
/// upward.
#[must_use]
pub fn knee(v: &[f64], i: &[f64]) -> Option<Knee> {
    let rising = v.windows(2).all(|pair| pair[0] < pair[1]);
    let usable = v.iter().chain(i).all(|value| value.is_finite()) && i.iter().all(|current| *current > 0.0);
    if v.len() != i.len() || v.len() < FEWEST || !rising || !usable {
        return None;
    }
    let weights = weights(v, i)?;
    let weighted = |values: &mut dyn Iterator<Item = f64>| -> Vec<f64> {
        values.zip(&weights).map(|(value, weight)| value * weight).collect()
    };
    let ones = weighted(&mut v.iter().map(|_| 1.0));
    let volts = weighted(&mut v.iter().copied());
    let currents = weighted(&mut i.iter().copied());
    let straight = least_squares(&[&ones, &volts], &currents)?.residual_squares;
    // What is left of currents whose pieces fit to rounding.
    let nothing = 1e-20 * currents.iter().map(|current| current * current).sum::<f64>();
    let freedom = as_f64(v.len() - 3);
    let mut best: Option<Knee> = None;
    for at in 2..v.len() - 2 {
        let bend = weighted(&mut v.iter().map(|volts| (volts - v[at]).max(0.0)));
        let Some(fit) = least_squares(&[&ones, &volts, &bend], &currents) else { continue };
        let (slope, bent) = (fit.coefficients[1], fit.coefficients[2]);
        if bent <= 0.0 || straight <= nothing {
            continue;
        }
        let f = if fit.residual_squares > nothing {
            (straight - fit.residual_squares) / (fit.residual_squares / freedom)
        } else {
            f64::INFINITY
        };
        if best.is_none_or(|best| f > best.f) {
            best = Some(Knee { at, slope_ratio: (slope > 0.0).then(|| (slope + bent) / slope), f });
        }
    }
    best
}

/// One over the current that a line expects: errors are in proportion to it.
fn weights(v: &[f64], i: &[f64]) -> Option<Vec<f64>> {
    let over = |values: &[f64]| values.iter().zip(i).map(|(value, current)| value / current).collect::<Vec<f64>>();
    let ones = vec![1.0; v.len()];
    let line = least_squares(&[&over(&ones), &over(v)], &ones)?.coefficients;
    let fitted: Vec<f64> = v.iter().map(|volts| line[0] + line[1] * volts).collect();
    let largest = fitted.iter().copied().fold(0.0, f64::max);
    (largest > 0.0).then(|| fitted.iter().map(|current| 1.0 / current.max(LEAST_FITTED * largest)).collect())
}

/// F of [`knee`] that a straight curve of `count` steps exceeds by chance; that of the longest simulated curve for longer ones, `None` below
/// [`FEWEST`].
#[must_use]
pub fn critical(count: usize) -> Option<Critical> {
    static TABLE: LazyLock<Vec<Critical>> =
        LazyLock::new(|| critical::table(include_str!("../data/knee_critical.csv")));
    critical::of(&TABLE, count)
}

/// Largest chance that a straight curve of `count` steps shows a knee of `f` or more: at each of its places √F, upward, is a Student-t with n − 3
/// degrees of freedom, and the chances of all places together are no more than their sum (Bonferroni). NaN below [`FEWEST`].
#[must_use]
pub fn chance(f: f64, count: usize) -> f64 {
    if count < FEWEST {
        return f64::NAN;
    }
    let places = as_f64(count - 4);
    (places * student::sf(f.max(0.0).sqrt(), as_f64(count - 3))).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const VOLTS: [f64; 8] = [1e3, 2e3, 3e3, 4e3, 5e3, 6e3, 7e3, 8e3];

    #[test]
    fn a_bent_curve_shows_its_knee() {
        let currents = VOLTS.map(|volts| 1e-9 * volts + 2e-9 * (volts - 6e3).max(0.0));
        // Errors of half a percent, alternating.
        let noisy: Vec<f64> =
            currents.iter().zip([1.005, 0.995].iter().cycle()).map(|(current, factor)| current * factor).collect();
        let found = knee(&VOLTS, &noisy).unwrap();
        assert_eq!(found.at, 5);
        assert!(found.f > critical(8).unwrap().one && (found.slope_ratio.unwrap() - 3.0).abs() < 0.3, "{found:?}");
    }

    #[test]
    fn straight_and_flattening_curves_have_none() {
        assert_eq!(knee(&VOLTS, &VOLTS.map(|volts| 1e-9 * volts)), None);
        assert_eq!(knee(&VOLTS, &VOLTS.map(|volts| 1e-9 * volts.min(5e3))), None);
    }

    #[test]
    fn what_is_no_curve_is_refused() {
        assert_eq!(knee(&VOLTS[..4], &[1e-6, 2e-6, 3e-6, 9e-6]), None);
        assert_eq!(knee(&VOLTS[..5], &[1e-6, 2e-6, f64::NAN, 4e-6, 9e-6]), None);
        assert_eq!(knee(&[1e3, 3e3, 2e3, 4e3, 5e3], &[1e-6, 2e-6, 3e-6, 4e-6, 9e-6]), None);
        assert_eq!(knee(&VOLTS[..5], &[1e-6, 2e-6, 0.0, 4e-6, 9e-6]), None);
    }

    /// Against the simulated values: what they exceed in one of a hundred, the sum of chances calls two to four times as much at most.
    #[test]
    fn the_chance_is_near_the_simulated_one_and_not_below() {
        for count in FEWEST..=20 {
            let Critical { one, five, .. } = critical(count).unwrap();
            let chances = [chance(one, count), chance(five, count)];
            assert!((0.009..0.04).contains(&chances[0]) && (0.045..0.2).contains(&chances[1]), "{count}: {chances:?}");
        }
        assert!(chance(f64::INFINITY, 8) == 0.0 && chance(9.0, 4).is_nan());
    }

    #[test]
    fn the_table_has_every_length() {
        for count in FEWEST..=20 {
            let row = critical(count).unwrap();
            assert!(row.count == count && row.one > row.five && row.five > 2.0);
        }
        assert_eq!(critical(4), None);
    }
}
