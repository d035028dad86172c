//! Means where some values are only known to be below a limit: regression on order statistics.
//!
//! Right-censored resistances are left-censored conductances 1/R. For means only: a ceiling is never averaged.
//!
//! # References
//! Helsel & Cohn 1988, *Water Resour. Res.* 24:1997; plotting positions: Hirsch & Stedinger 1987, *Water Resour. Res.* 23:715.

use crate::count::as_f64;
use crate::regression;
use crate::special::normal;

/// Fewest exact values for which a fit is made.
pub const LEAST_EXACT: usize = 5;

/// Share of bounded values from which no fit is made.
pub const LARGEST_SHARE_BOUNDED: f64 = 0.8;

/// A log-normal sample with its bounded values replaced by what the fit expects at their ranks.
#[derive(Debug, Clone, PartialEq)]
pub struct Imputed {
    /// All values, rising; no single one of the replaced is an estimate of a reading.
    pub sorted: Vec<f64>,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation.
    pub sd: f64,
}

/// Fit to positive `values`, of which those with `at_most` are only known to be no larger.
///
/// `None` with fewer than [`LEAST_EXACT`] exact values, with four fifths or more bounded, or with a value that is not positive.
/// Bounded values above the largest exact one tell nothing of the shape below and are refused too.
#[must_use]
pub fn regression_on_order_statistics(values: &[(f64, bool)]) -> Option<Imputed> {
    let exact: Vec<f64> = values.iter().filter(|(_, at_most)| !at_most).map(|(value, _)| *value).collect();
    let bounded = values.len().checked_sub(exact.len())?;
    let usable = values.iter().all(|(value, _)| value.is_finite() && *value > 0.0);
    if !usable || exact.len() < LEAST_EXACT || as_f64(bounded) >= LARGEST_SHARE_BOUNDED * as_f64(values.len()) {
        return None;
    }
    let largest = exact.iter().copied().fold(0.0, f64::max);
    if values.iter().any(|(value, at_most)| *at_most && *value > largest) {
        return None;
    }
    let mut sorted: Vec<(f64, bool)> = values.to_vec();
    // Bounded values come before exact ones of the same number: they are no larger.
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    let scores: Vec<f64> = positions(&sorted).into_iter().map(normal::quantile).collect();
    let told = || sorted.iter().zip(&scores).filter(|((_, at_most), _)| !at_most);
    let x: Vec<f64> = told().map(|(_, score)| *score).collect();
    let y: Vec<f64> = told().map(|((value, _), _)| value.ln()).collect();
    let line = regression::line(&x, &y)?;
    let mut filled: Vec<f64> = sorted
        .iter()
        .zip(&scores)
        .map(|((value, at_most), score)| if *at_most { (line.intercept + line.slope * score).exp() } else { *value })
        .collect();
    filled.sort_by(f64::total_cmp);
    let count = as_f64(filled.len());
    let mean = filled.iter().sum::<f64>() / count;
    let sd = (filled.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt();
    Some(Imputed { sorted: filled, mean, sd })
}

/// Plotting positions: between two limits the exact values share the probability of lying there evenly, and the values bounded by a
/// limit share that of lying below it.
fn positions(sorted: &[(f64, bool)]) -> Vec<f64> {
    let mut limits: Vec<f64> = sorted.iter().filter(|(_, at_most)| *at_most).map(|(value, _)| *value).collect();
    limits.dedup();
    // Probability of exceeding each limit, from the highest down.
    let mut exceed = vec![0.0; limits.len() + 1];
    for (index, limit) in limits.iter().enumerate().rev() {
        let next = limits.get(index + 1).copied().unwrap_or(f64::INFINITY);
        let between = sorted.iter().filter(|(value, at_most)| !at_most && *value >= *limit && *value < next).count();
        let below = sorted.iter().filter(|(value, at_most)| if *at_most { value <= limit } else { value < limit });
        let (between, below) = (as_f64(between), as_f64(below.count()));
        let above = exceed[index + 1];
        exceed[index] = if between + below > 0.0 { above + between / (between + below) * (1.0 - above) } else { above };
    }
    let mut found = Vec::with_capacity(sorted.len());
    let (mut rank, mut group) = (0.0, None);
    for (value, at_most) in sorted {
        // Index of the stretch: values below all limits are in stretch 0.
        let stretch = limits.iter().filter(|limit| **limit <= *value).count();
        let key = (stretch, *at_most);
        rank = if group == Some(key) { rank + 1.0 } else { 1.0 };
        group = Some(key);
        let members = as_f64(
            sorted
                .iter()
                .filter(|(other, bounded)| {
                    bounded == at_most && limits.iter().filter(|limit| **limit <= *other).count() == stretch
                })
                .count(),
        );
        let low = if stretch == 0 { 0.0 } else { 1.0 - exceed[stretch - 1] };
        let high = 1.0 - exceed.get(stretch).copied().unwrap_or(0.0);
        found.push(if *at_most { low * rank / (members + 1.0) } else { low + (high - low) * rank / (members + 1.0) });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::regression_on_order_statistics;

    #[test]
    fn too_little_is_refused() {
        let exact = |values: &[f64]| values.iter().map(|value| (*value, false)).collect::<Vec<_>>();
        assert_eq!(regression_on_order_statistics(&exact(&[1.0, 2.0, 3.0, 4.0])), None);
        assert_eq!(regression_on_order_statistics(&exact(&[1.0, 2.0, 3.0, 4.0, f64::NAN])), None);
        let mut many = exact(&[1.0, 2.0, 3.0, 4.0, 5.0]);
        many.extend([(1.0, true); 20]);
        assert_eq!(regression_on_order_statistics(&many), None, "four fifths bounded");
        let mut above = exact(&[1.0, 2.0, 3.0, 4.0, 5.0]);
        above.push((9.0, true));
        assert_eq!(regression_on_order_statistics(&above), None, "a limit above all values");
    }
}
