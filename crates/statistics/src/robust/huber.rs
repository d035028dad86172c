//! Huber's estimates: least squares near the middle, absolute deviations in the tails.
//!
//! # References
//! Huber 1964, *Ann. Math. Stat.* 35:73; proposal 2: Huber 1981, *Robust Statistics*, section 6.4; iteratively reweighted least squares:
//! Holland & Welsch 1977.

use super::spread::{deviation, median};
use crate::count::as_f64;
use crate::regression::least_squares;
use crate::special::normal;

/// Steps of an iteration, and the relative change below which it stops.
const MOST_STEPS: usize = 1_000;
const STILL: f64 = 1e-13;

/// Centre and scatter of a sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LocationScale {
    /// Centre.
    pub location: f64,
    /// Scatter: the standard deviation where the values are normal.
    pub scale: f64,
}

/// Joint location and scale by Huber's proposal 2, values beyond `c` scales (1.5, say) weighing no more than one at `c`.
///
/// `None` for fewer than two finite values or where more than half are equal.
#[must_use]
pub fn huber_location(values: &[f64], c: f64) -> Option<LocationScale> {
    let finite: Vec<f64> = values.iter().copied().filter(|value| value.is_finite()).collect();
    let (mut location, mut scale) = (median(&finite)?, deviation(&finite)?);
    if !(scale > 0.0 && c > 0.0) {
        return None;
    }
    let inside = 2.0 * normal::cdf(c) - 1.0;
    // E ψ² of a standard normal value, so that the scale is that of normal data.
    let expected = inside + c * c * (1.0 - inside) - 2.0 * c * normal::pdf(c);
    let count = as_f64(finite.len());
    for _ in 0..MOST_STEPS {
        let clipped = |value: &f64| ((value - location) / scale).clamp(-c, c);
        let within = as_f64(finite.iter().filter(|value| ((*value - location) / scale).abs() <= c).count()).max(1.0);
        let next = location + scale * finite.iter().map(clipped).sum::<f64>() / within;
        let squares: f64 = finite.iter().map(|value| ((value - next) / scale).clamp(-c, c).powi(2)).sum();
        let wider = scale * (squares / ((count - 1.0) * expected)).sqrt();
        let change = (next - location).abs() + (wider - scale).abs();
        (location, scale) = (next, wider);
        if !(scale > 0.0) {
            return None;
        }
        if change <= STILL * scale {
            break;
        }
    }
    Some(LocationScale { location, scale })
}

/// Coefficients of a robust fit.
#[derive(Debug, Clone, PartialEq)]
pub struct RobustFit {
    /// One coefficient a column.
    pub coefficients: Vec<f64>,
    /// Scatter of the residuals: median |r| over Φ⁻¹(3/4).
    pub scale: f64,
}

/// Fit of `y` by `columns` (all of the length of `y`; a column of ones is the constant) with Huber's weights at `c` scales (1.345 keeps
/// 95 % of the efficiency of least squares).
///
/// `None` if lengths differ, columns are dependent or values are fewer than columns.
#[must_use]
pub fn huber_regression(columns: &[&[f64]], y: &[f64], c: f64) -> Option<RobustFit> {
    let mut fit = least_squares(columns, y)?.coefficients;
    let mut scale = scatter(&residuals(columns, y, &fit))?;
    for _ in 0..MOST_STEPS {
        if !(scale > 0.0) {
            break;
        }
        let roots: Vec<f64> =
            residuals(columns, y, &fit).iter().map(|residual| (c * scale / residual.abs()).min(1.0).sqrt()).collect();
        let scaled = |values: &[f64]| values.iter().zip(&roots).map(|(value, root)| value * root).collect::<Vec<f64>>();
        let weighted: Vec<Vec<f64>> = columns.iter().map(|column| scaled(column)).collect();
        let weighted: Vec<&[f64]> = weighted.iter().map(Vec::as_slice).collect();
        let next = least_squares(&weighted, &scaled(y))?.coefficients;
        let change = next.iter().zip(&fit).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        let size = next.iter().map(|value| value.abs()).fold(0.0, f64::max);
        fit = next;
        scale = scatter(&residuals(columns, y, &fit))?;
        if change <= STILL * size {
            break;
        }
    }
    Some(RobustFit { coefficients: fit, scale })
}

fn residuals(columns: &[&[f64]], y: &[f64], fit: &[f64]) -> Vec<f64> {
    let fitted = |row: usize| columns.iter().zip(fit).map(|(column, factor)| column[row] * factor).sum::<f64>();
    y.iter().enumerate().map(|(row, value)| value - fitted(row)).collect()
}

fn scatter(residuals: &[f64]) -> Option<f64> {
    let sizes: Vec<f64> = residuals.iter().map(|residual| residual.abs()).collect();
    Some(median(&sizes)? / normal::QUARTILE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_values_have_no_scatter() {
        assert_eq!(huber_location(&[2.0, 2.0, 2.0, 5.0], 1.5), None);
        assert_eq!(huber_location(&[f64::NAN], 1.5), None);
    }

    #[test]
    fn one_wild_reading_does_not_turn_the_line() {
        let x: Vec<f64> = (0..9).map(f64::from).collect();
        let mut y: Vec<f64> = x.iter().map(|x| 3.0 - 0.1 * x + 0.01 * (7.0 * x).sin()).collect();
        y[8] = -4.0;
        let fit = huber_regression(&[&[1.0; 9], &x], &y, 1.345).unwrap();
        assert!((fit.coefficients[1] + 0.1).abs() < 0.02, "{fit:?}");
    }

    #[test]
    fn a_perfect_line_is_found_without_scatter() {
        let fit = huber_regression(&[&[1.0; 4], &[0.0, 1.0, 2.0, 3.0]], &[1.0, 3.0, 5.0, 7.0], 1.345).unwrap();
        assert!((fit.coefficients[1] - 2.0).abs() < 1e-12 && fit.scale < 1e-12);
    }
}
