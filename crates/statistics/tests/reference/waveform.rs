//! Measures of two waveforms: numpy 2.4.6, scipy.signal.correlate 1.17.1.

use crate::case::Case;
use windrow_statistics::waveform::{align, difference, ringing};

pub(crate) fn run(case: &Case) {
    if case.group() != "pair" {
        case.unknown();
    }
    let (a, b) = (wave(case, "a"), wave(case, "b"));
    let found = difference(&a, &b).unwrap();
    case.holds("area", found.area);
    case.holds("energy", found.energy);
    let alignment = align(&a, &b).unwrap();
    #[expect(clippy::cast_precision_loss, reason = "lags are small")]
    case.holds("lag", alignment.lag as f64);
    case.holds("ncc", alignment.correlation);
    case.holds("f_a", ringing(&a, 1.0).unwrap().frequency);
    case.holds("f_b", ringing(&b, 1.0).unwrap().frequency);
}

/// exp(−d k) cos(2 π f k + ph), k = 0…511.
fn wave(case: &Case, name: &str) -> Vec<f64> {
    let part = |of: &str| case.input(name)[of].as_f64().unwrap();
    let (f, d, phase) = (part("f"), part("d"), part("ph"));
    let sample = |k: u16| (-d * f64::from(k)).exp() * (2.0 * std::f64::consts::PI * f * f64::from(k) + phase).cos();
    (0..512).map(sample).collect()
}
