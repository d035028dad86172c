//! Unbalance of three phases.

/// Largest deviation from the mean over the mean, as a pure number: the definition of ANSI/EASA AR100-2020 clause 4.3.1
/// (quoted second-hand). `None` for fewer than two values or values that are not positive.
///
/// Two other definitions are in use, (max − min)/mean and (max − min)/min: they differ by up to a factor of two.
///
/// ```
/// // worked example WR-12: 0.92312 %
/// let unbalance = windrow_criteria::unbalance::from_mean(&[0.5021, 0.5043, 0.5102]).unwrap();
/// assert!((unbalance * 100.0 - 0.923_117_499_7).abs() < 1e-8);
/// ```
#[must_use]
pub fn from_mean(values: &[f64]) -> Option<f64> {
    if values.len() < 2 || values.iter().any(|value| !value.is_finite() || *value <= 0.0) {
        return None;
    }
    #[expect(clippy::cast_precision_loss, reason = "three phases")]
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.iter().map(|value| (value - mean).abs() / mean).reduce(f64::max)
}
