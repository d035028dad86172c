//! A line with what was known before: normal-inverse-gamma updating in one batch.
//!
//! # References
//! West & Harrison 1997, *Bayesian Forecasting and Dynamic Models*, chapter 4; Gelman et al. 2013, *Bayesian Data Analysis*,
//! chapter 14.

/// What is known of level and slope, and of the noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// Level at x = 0 and slope.
    pub mean: [f64; 2],
    /// Their covariance in units of the noise variance, symmetric.
    pub covariance: [[f64; 2]; 2],
    /// Degrees of freedom of the noise variance.
    pub df: f64,
    /// Noise variance.
    pub variance: f64,
}

/// A Student-t prediction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction {
    /// Middle.
    pub mean: f64,
    /// Scale.
    pub scale: f64,
    /// Degrees of freedom.
    pub df: f64,
}

/// Belief after the points (x, y). `None` if the belief's covariance has no inverse or lengths differ.
#[must_use]
pub fn update(prior: &Belief, x: &[f64], y: &[f64]) -> Option<Belief> {
    if x.len() != y.len() {
        return None;
    }
    let before = inverse(prior.covariance)?;
    let mut after = before;
    let mut right = times(before, prior.mean);
    for (x, y) in x.iter().zip(y) {
        after = [[after[0][0] + 1.0, after[0][1] + x], [after[1][0] + x, after[1][1] + x * x]];
        right = [right[0] + y, right[1] + x * y];
    }
    let covariance = inverse(after)?;
    let mean = times(covariance, right);
    #[expect(clippy::cast_precision_loss, reason = "counts are far below 2^52")]
    let df = prior.df + x.len() as f64;
    // Squares about the new mean and of the step from the old one: positive terms only, where the usual difference cancels.
    let step = [mean[0] - prior.mean[0], mean[1] - prior.mean[1]];
    let moved = times(before, step);
    let residual: f64 = x.iter().zip(y).map(|(x, y)| (y - mean[0] - mean[1] * x).powi(2)).sum();
    let variance = (prior.df * prior.variance + residual + step[0] * moved[0] + step[1] * moved[1]) / df;
    Some(Belief { mean, covariance, df, variance })
}

impl Belief {
    /// Distribution of a new reading at `x`.
    #[must_use]
    pub fn predict(&self, x: f64) -> Prediction {
        let [[a, b], [_, d]] = self.covariance;
        let scale = (self.variance * (1.0 + a + 2.0 * b * x + d * x * x)).sqrt();
        Prediction { mean: self.mean[0] + self.mean[1] * x, scale, df: self.df }
    }
}

fn inverse([[a, b], [c, d]]: [[f64; 2]; 2]) -> Option<[[f64; 2]; 2]> {
    let determinant = a * d - b * c;
    (determinant.is_finite() && determinant != 0.0)
        .then(|| [[d / determinant, -b / determinant], [-c / determinant, a / determinant]])
}

fn times(rows: [[f64; 2]; 2], column: [f64; 2]) -> [f64; 2] {
    rows.map(|row| row[0] * column[0] + row[1] * column[1])
}
