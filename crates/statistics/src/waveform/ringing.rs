//! Frequency and damping of a ringing waveform.
//!
//! With equal capacitance the frequency goes with 1/√L: ln(f_b/f_a) > 0 says that b has the smaller inductance.

use crate::count::as_f64;
use crate::regression;

/// Fewest zero crossings for a frequency.
const FEWEST_CROSSINGS: usize = 3;

/// Frequency of a ringing waveform.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ringing {
    /// (N − 1)/(2 (x_N − x₁)) from N interpolated zero crossings, 1/s.
    pub frequency: f64,
    /// Crossings found.
    pub crossings: usize,
}

/// Frequency of `samples` taken every `interval` seconds. `None` below three zero crossings, for a sample that is not finite, or an
/// interval that is not positive.
#[must_use]
pub fn ringing(samples: &[f64], interval: f64) -> Option<Ringing> {
    if !(interval > 0.0 && interval.is_finite()) || samples.iter().any(|sample| !sample.is_finite()) {
        return None;
    }
    let places = crossings(samples);
    let (first, last) = (places.first()?.1, places.last()?.1);
    if places.len() < FEWEST_CROSSINGS || !(last > first) {
        return None;
    }
    Some(Ringing { frequency: as_f64(places.len() - 1) / (2.0 * (last - first) * interval), crossings: places.len() })
}

/// Rate at which the peaks of `samples` fall, 1/s: slope of ln |peak| over time between zero crossings. `None` below three whole half
/// waves, or as for [`ringing`].
#[must_use]
pub fn damping(samples: &[f64], interval: f64) -> Option<f64> {
    ringing(samples, interval)?;
    let places = crossings(samples);
    let peaks: Vec<(f64, f64)> = places
        .windows(2)
        .filter_map(|pair| {
            let wave = samples.get(pair[0].0 + 1..=pair[1].0)?;
            let (at, peak) = wave.iter().enumerate().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
            (*peak != 0.0).then(|| (as_f64(pair[0].0 + 1 + at) * interval, peak.abs().ln()))
        })
        .collect();
    if peaks.len() < 3 {
        return None;
    }
    let (t, ln): (Vec<f64>, Vec<f64>) = peaks.into_iter().unzip();
    regression::line(&t, &ln).map(|line| -line.slope)
}

/// Index before each change of sign, and its place by linear interpolation.
fn crossings(samples: &[f64]) -> Vec<(usize, f64)> {
    samples
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| (pair[0] > 0.0) != (pair[1] > 0.0))
        .map(|(index, pair)| (index, as_f64(index) + pair[0] / (pair[0] - pair[1])))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_known_wave_gives_its_figures_back() {
        let (frequency, rate, interval) = (20_000.0, 4_000.0, 1e-6);
        let sample = |k: u16| {
            let t = f64::from(k) * interval;
            (-rate * t).exp() * (2.0 * std::f64::consts::PI * frequency * t).cos()
        };
        let samples: Vec<f64> = (0..500).map(sample).collect();
        let found = ringing(&samples, interval).unwrap();
        assert!((found.frequency / frequency - 1.0).abs() < 1e-3, "{found:?}");
        assert!((damping(&samples, interval).unwrap() / rate - 1.0).abs() < 0.02);
    }

    #[test]
    fn a_pulse_does_not_ring() {
        assert_eq!(ringing(&[0.0, 1.0, 2.0, 1.0, 0.5], 1e-6), None);
        assert_eq!(ringing(&[1.0, -1.0, 1.0, -1.0], 0.0), None);
        assert_eq!(ringing(&[1.0, -1.0, f64::NAN, -1.0], 1e-6), None);
    }
}
