//! One line through points, about their centre.
//!
//! # References
//! Draper & Smith 1998, *Applied Regression Analysis*, chapter 1; checked against NIST StRD Norris.

use crate::count::as_f64;

/// y = intercept + slope · x by least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Value at x = 0.
    pub intercept: f64,
    /// y per x.
    pub slope: f64,
    /// Standard error of the intercept; `None` for two points, which leave no scatter.
    pub se_intercept: Option<f64>,
    /// Standard error of the slope; `None` for two points.
    pub se_slope: Option<f64>,
    /// Standard deviation of the residuals, n − 2 degrees of freedom; `None` for two points.
    pub residual_sd: Option<f64>,
    /// Share of the variance of y that the line takes; 1 where y does not vary.
    pub r_squared: f64,
    /// Mean of x.
    pub mean_x: f64,
    /// Σ (x − mean)².
    pub spread_x: f64,
    /// Number of points.
    pub count: usize,
}

/// Line through (x, y). `None` for fewer than two points, different lengths, equal x, or a number that is not finite.
#[must_use]
pub fn line(x: &[f64], y: &[f64]) -> Option<Line> {
    let finite = x.iter().chain(y).all(|value| value.is_finite());
    if x.len() != y.len() || x.len() < 2 || !finite {
        return None;
    }
    let count = as_f64(x.len());
    let (mean_x, mean_y) = (x.iter().sum::<f64>() / count, y.iter().sum::<f64>() / count);
    let products = |f: &dyn Fn(f64, f64) -> f64| x.iter().zip(y).map(|(x, y)| f(x - mean_x, y - mean_y)).sum::<f64>();
    let spread_x = products(&|x, _| x * x);
    if !(spread_x > 0.0) {
        return None;
    }
    let slope = products(&|x, y| x * y) / spread_x;
    let (spread_y, residual) = (products(&|_, y| y * y), products(&|x, y| (y - slope * x).powi(2)));
    let variance = (x.len() > 2).then(|| residual / (count - 2.0));
    Some(Line {
        intercept: mean_y - slope * mean_x,
        slope,
        se_intercept: variance.map(|variance| (variance * (1.0 / count + mean_x * mean_x / spread_x)).sqrt()),
        se_slope: variance.map(|variance| (variance / spread_x).sqrt()),
        residual_sd: variance.map(f64::sqrt),
        r_squared: if spread_y > 0.0 { 1.0 - residual / spread_y } else { 1.0 },
        mean_x,
        spread_x,
        count: x.len(),
    })
}

#[cfg(test)]
mod tests {
    use super::line;

    #[test]
    fn no_line_without_a_spread() {
        assert_eq!(line(&[1.0, 1.0], &[1.0, 2.0]), None);
        assert_eq!(line(&[1.0], &[1.0]), None);
        assert_eq!(line(&[1.0, f64::INFINITY], &[1.0, 2.0]), None);
    }

    #[test]
    fn two_points_tell_no_error() {
        let found = line(&[0.0, 2.0], &[1.0, 5.0]).unwrap();
        assert!((found.slope - 2.0).abs() < 1e-15 && found.se_slope.is_none() && found.residual_sd.is_none());
    }
}
