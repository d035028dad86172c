//! By how much one waveform comes later than another.

use realfft::RealFftPlanner;
use realfft::num_complex::Complex;

/// Up to this many samples the sum is made directly; beyond, by Fourier transform.
const DIRECT_UP_TO: usize = 256;

/// The shift at which two waveforms agree best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alignment {
    /// Samples by which `b` comes later than `a`.
    pub lag: i64,
    /// Correlation at that shift over the norms: 1 for equal shapes.
    pub correlation: f64,
}

/// Best shift of `b` against `a`, of equal length. `None` for different lengths, no samples, one that is not finite, or a waveform that
/// is zero everywhere. O(n log n).
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
    let by_lag = if a.len() <= DIRECT_UP_TO { direct(a, b) } else { transformed(a, b)? };
    let middle = i64::try_from(a.len()).ok()? - 1;
    let (index, best) = (0_i64..).zip(&by_lag).max_by(|x, y| x.1.total_cmp(y.1))?;
    Some(Alignment { lag: index - middle, correlation: best / norms })
}

/// Σ a(k) b(k + lag) for every lag from −(n − 1) to n − 1.
fn direct(a: &[f64], b: &[f64]) -> Vec<f64> {
    let early = (1..a.len()).rev().map(|lag| dot(&a[lag..], b));
    early.chain((0..a.len()).map(|lag| dot(a, &b[lag..]))).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The same by the correlation theorem, padded so that no lag wraps around.
fn transformed(a: &[f64], b: &[f64]) -> Option<Vec<f64>> {
    let length = (2 * a.len()).next_power_of_two();
    let mut planner = RealFftPlanner::<f64>::new();
    let forward = planner.plan_fft_forward(length);
    let spectrum = |samples: &[f64]| -> Option<Vec<Complex<f64>>> {
        let mut padded = samples.to_vec();
        padded.resize(length, 0.0);
        let mut out = forward.make_output_vec();
        forward.process(&mut padded, &mut out).ok()?;
        Some(out)
    };
    let mut product: Vec<Complex<f64>> = spectrum(a)?.iter().zip(&spectrum(b)?).map(|(a, b)| a.conj() * b).collect();
    let mut back = vec![0.0; length];
    // A real product has real ends; rounding may leave an imaginary part that the transform would refuse.
    for end in [0, length / 2] {
        product[end].im = 0.0;
    }
    planner.plan_fft_inverse(length).process(&mut product, &mut back).ok()?;
    #[expect(clippy::cast_precision_loss, reason = "lengths are far below 2^52")]
    let scale = 1.0 / length as f64;
    let early = back[length - (a.len() - 1)..].iter();
    Some(early.chain(&back[..a.len()]).map(|sum| sum * scale).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(count: u16, late: f64) -> Vec<f64> {
        (0..count).map(|k| (-0.01 * f64::from(k)).exp() * (0.2 * (f64::from(k) - late)).cos()).collect()
    }

    #[test]
    fn both_ways_agree() {
        let (a, b) = (ring(200, 0.0), ring(200, 5.0));
        let transformed = transformed(&a, &b).unwrap();
        for (x, y) in direct(&a, &b).iter().zip(&transformed) {
            assert!((x - y).abs() < 1e-10);
        }
        assert_eq!(transformed.len(), 399);
    }

    #[test]
    fn what_is_no_waveform_has_no_shift() {
        assert_eq!(align(&[], &[]), None);
        assert_eq!(align(&[0.0; 4], &[1.0; 4]), None);
        assert_eq!(align(&[1.0, f64::NAN], &[1.0, 2.0]), None);
    }
}
