//! When a series stepped from one level to another.
//!
//! # References
//! Maximum of standardised differences of means: Worsley 1979, *J. Am. Stat. Assoc.* 74:365; its critical values with a shrunken scatter
//! by simulation, `data/step_critical.csv`. Rank test: Pettitt 1979, *Appl. Stat.* 28:126.

use crate::count::as_f64;
use crate::critical::{self, Critical};
use crate::special::student;
use std::sync::LazyLock;

/// Degrees of freedom that a scatter from elsewhere (the fleet's) weighs beside the series' own.
pub const PRIOR_DF: f64 = 8.0;
/// Fewest values for which a step is sought.
pub const FEWEST: usize = 4;
/// Fewest values for the rank test: below it has no power at all.
pub const FEWEST_RANKED: usize = 8;

/// The most likely place of one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Values before it.
    pub first_length: usize,
    /// Mean before.
    pub before: f64,
    /// Mean after.
    pub after: f64,
    /// Sum of squares about the two means.
    pub residual_squares: f64,
    /// |before − after| over its standard error.
    pub statistic: f64,
}

/// Largest standardised step of `y` in its order.
///
/// The scatter of each split is that of `y` about the two means, moderated by `scatter` from elsewhere with [`PRIOR_DF`] degrees of
/// freedom; without one, and with all values on two levels, the statistic is infinite. `None` for fewer than [`FEWEST`] values, or if
/// one is not finite. O(n).
#[must_use]
pub fn largest_step(y: &[f64], scatter: Option<f64>) -> Option<Step> {
    if y.len() < FEWEST || y.iter().any(|value| !value.is_finite()) {
        return None;
    }
    let count = as_f64(y.len());
    let centre = y.iter().sum::<f64>() / count;
    let squares: f64 = y.iter().map(|value| (value - centre).powi(2)).sum();
    let (prior, prior_df) = scatter.map_or((0.0, 0.0), |scatter| (PRIOR_DF * scatter * scatter, PRIOR_DF));
    let (mut sum, mut best): (f64, Option<Step>) = (0.0, None);
    for first_length in 1..y.len() {
        sum += y[first_length - 1] - centre;
        let (first, second) = (as_f64(first_length), as_f64(y.len() - first_length));
        let (before, after) = (sum / first, -sum / second);
        let residual_squares = (squares - first * before * before - second * after * after).max(0.0);
        let variance = (prior + residual_squares) / (prior_df + count - 2.0);
        let difference = (before - after).abs();
        let statistic =
            if difference > 0.0 { difference / (variance * (1.0 / first + 1.0 / second)).sqrt() } else { 0.0 };
        if best.is_none_or(|best| statistic > best.statistic) {
            best = Some(Step {
                first_length,
                before: centre + before,
                after: centre + after,
                residual_squares,
                statistic,
            });
        }
    }
    best
}

/// Statistic of [`largest_step`] with a scatter from elsewhere that `count` values without a step exceed by chance; that of the longest
/// simulated series for longer ones, `None` below [`FEWEST`].
#[must_use]
pub fn critical(count: usize) -> Option<Critical> {
    static TABLE: LazyLock<Vec<Critical>> =
        LazyLock::new(|| critical::table(include_str!("../data/step_critical.csv")));
    critical::of(&TABLE, count)
}

/// Largest chance that `count` values without a step exceed a `statistic` of [`largest_step`] with a scatter from elsewhere: each of the places is
/// a Student-t with the degrees of freedom of both scatters, and the chances of all places together are no more than their sum (Bonferroni;
/// Worsley 1979 for the exact one). NaN below [`FEWEST`].
#[must_use]
pub fn chance(statistic: f64, count: usize) -> f64 {
    if count < FEWEST {
        return f64::NAN;
    }
    let places = as_f64(count - 1);
    (places * 2.0 * student::sf(statistic, PRIOR_DF + as_f64(count - 2))).min(1.0)
}

/// Pettitt's rank statistic.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pettitt {
    /// Values before the step.
    pub first_length: usize,
    /// max |U|.
    pub k: i64,
    /// Approximate two-sided p.
    pub p: f64,
}

/// Rank test for one step in `y`; needs no scatter and no normal errors. `None` for fewer than [`FEWEST_RANKED`] values, or if one is
/// not finite. O(n²).
#[must_use]
pub fn pettitt(y: &[f64]) -> Option<Pettitt> {
    if y.len() < FEWEST_RANKED || y.iter().any(|value| !value.is_finite()) {
        return None;
    }
    // U(t) = U(t − 1) + Σ sign(y(t) − y(j)) over all j.
    let (mut score, mut best) = (0_i64, (0, 0_i64));
    for (index, value) in y.iter().enumerate() {
        score += y.iter().map(|other| i64::from(value > other) - i64::from(value < other)).sum::<i64>();
        if score.abs() > best.1 {
            best = (index + 1, score.abs());
        }
    }
    let (first_length, k) = best;
    let count = as_f64(y.len());
    #[expect(clippy::cast_precision_loss, reason = "K is far below 2^52")]
    let p = (2.0 * (-6.0 * (k as f64).powi(2) / (count.powi(3) + count * count)).exp()).min(1.0);
    Some(Pettitt { first_length, k, p })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_few_or_no_numbers_have_no_step() {
        assert_eq!(largest_step(&[1.0, 1.0, 2.0], Some(0.2)), None);
        assert_eq!(largest_step(&[1.0, 1.0, f64::NAN, 2.0], Some(0.2)), None);
        assert_eq!(pettitt(&[1.0; 7]), None);
    }

    #[test]
    fn equal_values_do_not_step() {
        for scatter in [None, Some(0.2)] {
            assert!(largest_step(&[2.5; 6], scatter).unwrap().statistic == 0.0);
        }
        assert!(pettitt(&[2.5; 9]).unwrap().p >= 1.0);
    }

    /// Against the simulated values: what they exceed in one of a hundred, the sum of chances calls two to five times as much at most.
    #[test]
    fn the_chance_is_near_the_simulated_one_and_not_below() {
        for count in [4, 6, 8, 12, 20, 30] {
            let Critical { one, five, .. } = critical(count).unwrap();
            let chances = [chance(one, count), chance(five, count)];
            assert!((0.009..0.05).contains(&chances[0]) && (0.045..0.25).contains(&chances[1]), "{count}: {chances:?}");
        }
        assert!(chance(f64::INFINITY, 8) == 0.0 && chance(9.0, 3).is_nan());
    }

    /// By hand: levels 3 and 2, three values each, scatter 0.2 told: s² = 8·0.04/12, z = 1/√(s²·2/3).
    #[test]
    fn the_told_scatter_is_shrunk_to_the_own() {
        let found = largest_step(&[3.0, 3.0, 3.0, 2.0, 2.0, 2.0], Some(0.2)).unwrap();
        assert_eq!(found.first_length, 3);
        let expected = 1.0 / (8.0 * 0.04 / 12.0 * 2.0 / 3.0_f64).sqrt();
        assert!((found.statistic - expected).abs() < 1e-12);
        assert!(found.statistic > critical(6).unwrap().one);
    }

    #[test]
    fn the_table_has_every_length() {
        for count in FEWEST..=30 {
            let row = critical(count).unwrap();
            assert!(row.count == count && row.one > row.five && row.five > 2.0);
        }
        assert_eq!((critical(3), critical(90).map(|row| row.count)), (None, Some(30)));
    }
}
