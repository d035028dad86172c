//! Failures per exposure, with exact limits: what few failures can say.
//!
//! # References
//! Garwood 1936, *Biometrika* 28:437.

use crate::special::chi_squared_quantile;

/// Events per unit of exposure with their limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Events over exposure.
    pub value: f64,
    /// Lower limit; 0 without events.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
}

/// Rate of `events` in an `exposure` (machine-years, say) with exact two-sided limits at `level` (0.95, say).
///
/// `None` if the exposure is not a positive number.
#[must_use]
pub fn rate(events: u32, exposure: f64, level: f64) -> Option<Rate> {
    if !(exposure > 0.0 && exposure.is_finite() && (0.0..1.0).contains(&level)) {
        return None;
    }
    let (count, tail) = (f64::from(events), f64::midpoint(1.0, -level));
    let low = if events == 0 { 0.0 } else { chi_squared_quantile(tail, 2.0 * count) / 2.0 };
    let high = chi_squared_quantile(1.0 - tail, 2.0 * count + 2.0) / 2.0;
    Some(Rate { value: count / exposure, low: low / exposure, high: high / exposure })
}

#[cfg(test)]
mod tests {
    use super::rate;

    /// Garwood's limits at 95 %, from memory of the published table: 0: 3.689; 1: 0.0253, 5.572; 10: 4.795, 18.390.
    #[test]
    fn published_limits() {
        for (events, low, high) in [(0, 0.0, 3.689), (1, 0.0253, 5.572), (10, 4.795, 18.390)] {
            let found = rate(events, 1.0, 0.95).unwrap();
            assert!((found.low - low).abs() < 6e-4 && (found.high - high).abs() < 6e-4, "{events}: {found:?}");
        }
        assert!((rate(10, 200.0, 0.95).unwrap().value - 0.05).abs() < 1e-12);
    }

    #[test]
    fn no_exposure_no_rate() {
        assert_eq!(rate(2, 0.0, 0.95), None);
        assert_eq!(rate(2, f64::NAN, 0.95), None);
    }
}
