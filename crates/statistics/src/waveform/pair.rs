//! How much two waveforms differ, sample by sample.

use crate::count::as_f64;

/// Shares by which `b` differs from `a`; not symmetric.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Σ|a − b| / Σ|a|.
    pub area: f64,
    /// √(Σ(a − b)² / Σa²).
    pub energy: f64,
}

/// Difference of two waveforms on one grid. `None` for different lengths, no samples, a sample that is not finite, or `a` zero
/// everywhere.
#[must_use]
pub fn difference(a: &[f64], b: &[f64]) -> Option<Difference> {
    if a.len() != b.len() || a.iter().chain(b).any(|sample| !sample.is_finite()) {
        return None;
    }
    let sum = |f: &dyn Fn(f64, f64) -> f64| a.iter().zip(b).map(|(a, b)| f(*a, *b)).sum::<f64>();
    let (size, squares) = (sum(&|a, _| a.abs()), sum(&|a, _| a * a));
    (size > 0.0 && squares > 0.0).then(|| Difference {
        area: sum(&|a, b| (a - b).abs()) / size,
        energy: (sum(&|a, b| (a - b).powi(2)) / squares).sqrt(),
    })
}

/// Most samples of a common grid: thousands of samples a ring show its shape, and what is computed of a pair stays quick.
const MOST_SAMPLES: u16 = 4096;

/// Both waveforms on the coarser of their two grids, over the time that both cover, by linear interpolation; with its interval.
///
/// At most 4096 samples: longer records are thinned evenly.
/// Intervals in seconds, both waveforms beginning at the same moment. `None` for intervals that are not positive, or without two
/// common samples.
#[must_use]
pub fn on_one_grid(a: (&[f64], f64), b: (&[f64], f64)) -> Option<(Vec<f64>, Vec<f64>, f64)> {
    let reach = |(samples, own): (&[f64], f64)| as_f64(samples.len().saturating_sub(1)) * own;
    let common = reach(a).min(reach(b));
    let interval = a.1.max(b.1).max(common / f64::from(MOST_SAMPLES - 1));
    if !(a.1 > 0.0 && b.1 > 0.0 && interval.is_finite()) {
        return None;
    }
    let last = (common / interval * (1.0 + 1e-9)).floor();
    if !(last >= 1.0) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "no more than the samples given")]
    let count = last as usize + 1;
    Some((resampled(a, interval, count), resampled(b, interval, count), interval))
}

fn resampled((samples, own): (&[f64], f64), interval: f64, count: usize) -> Vec<f64> {
    (0..count)
        .map(|index| {
            let place = as_f64(index) * interval / own;
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the samples given")]
            let left = (place.floor() as usize).min(samples.len() - 1);
            let right = (left + 1).min(samples.len() - 1);
            let share = (place - as_f64(left)).clamp(0.0, 1.0);
            samples[left] * (1.0 - share) + samples[right] * share
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_coarser_grid_is_taken() {
        let (fine, coarse) = ([0.0, 1.0, 2.0, 3.0, 4.0], [0.0, 2.0, 4.0]);
        let (a, b, interval) = on_one_grid((&fine, 0.5), (&coarse, 1.0)).unwrap();
        assert_eq!((a, b, interval), (vec![0.0, 2.0, 4.0], vec![0.0, 2.0, 4.0], 1.0));
        assert_eq!(on_one_grid((&fine, 0.0), (&coarse, 1.0)), None);
        assert_eq!(on_one_grid((&[], 1.0), (&coarse, 1.0)), None);
        assert_eq!(on_one_grid((&fine, f64::NAN), (&coarse, 1.0)), None);
    }

    #[test]
    fn long_records_are_thinned_over_their_whole_time() {
        let line: Vec<f64> = (0..20_000).map(f64::from).collect();
        let (a, _, interval) = on_one_grid((&line, 1.0), (&line, 1.0)).unwrap();
        assert_eq!(a.len(), usize::from(MOST_SAMPLES));
        assert!((a[a.len() - 1] - 19_999.0).abs() < 1e-6 && (interval - 19_999.0 / 4095.0).abs() < 1e-9);
    }

    #[test]
    fn missing_samples_give_no_figure() {
        assert_eq!(difference(&[1.0, f64::NAN], &[1.0, 2.0]), None);
        assert_eq!(difference(&[0.0, 0.0], &[1.0, 2.0]), None);
        assert_eq!(difference(&[], &[]), None);
    }
}
