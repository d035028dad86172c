//! By how much one waveform comes later than another.

/// The shift at which two waveforms agree best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alignment {
    /// Samples by which `b` comes later than `a`.
    pub lag: i64,
    /// Correlation at that shift over the norms: 1 for equal shapes.
    pub correlation: f64,
}

/// Best shift of `b` against `a`, of equal length. `None` for different lengths, no samples, one that is not finite, or a waveform that
/// is zero everywhere. O(n²), for which `on_one_grid` keeps n small.
#[must_use]
pub fn align(a: &[f64], b: &[f64]) -> Option<Alignment> {
    if a.len() != b.len() || a.is_empty() || a.iter().chain(b).any(|sample| !sample.is_finite()) {
        return None;
    }
    let norm = |samples: &[f64]| samples.iter().map(|sample| sample * sample).sum::<f64>();
    let norms = (norm(a) * norm(b)).sqrt();
    if !(norms > 0.0) {
        return None;
    }
    let by_lag = sums(a, b);
    let middle = i64::try_from(a.len()).ok()? - 1;
    let (index, best) = (0_i64..).zip(&by_lag).max_by(|x, y| x.1.total_cmp(y.1))?;
    Some(Alignment { lag: index - middle, correlation: best / norms })
}

/// Σ a(k) b(k + lag) for every lag from −(n − 1) to n − 1.
fn sums(a: &[f64], b: &[f64]) -> Vec<f64> {
    let early = (1..a.len()).rev().map(|lag| dot(&a[lag..], b));
    early.chain((0..a.len()).map(|lag| dot(a, &b[lag..]))).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: the same step two samples later.
    #[test]
    fn a_shift_is_found_either_way() {
        let (early, late) = ([0.0, 1.0, 3.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0, 3.0, 0.0]);
        assert_eq!(align(&early, &late), Some(Alignment { lag: 2, correlation: 1.0 }));
        assert_eq!(align(&late, &early).map(|found| found.lag), Some(-2));
    }

    #[test]
    fn what_is_no_waveform_has_no_shift() {
        assert_eq!(align(&[], &[]), None);
        assert_eq!(align(&[0.0; 4], &[1.0; 4]), None);
        assert_eq!(align(&[1.0, f64::NAN], &[1.0, 2.0]), None);
    }
}
