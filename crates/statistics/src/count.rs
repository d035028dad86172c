//! Counts in formulas.

/// A count as a number.
#[expect(clippy::cast_precision_loss, reason = "counts are far below 2^52")]
pub(crate) fn as_f64(count: usize) -> f64 {
    count as f64
}
