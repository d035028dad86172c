//! Whether a figure can be the rated line-to-line voltage of a machine.

use crate::formula::PHASE_TO_LINE;
use serde::Deserialize;
use std::sync::LazyLock;

/// Rated voltages below this are more likely kilovolts typed as volts than a machine with records of its own (choice of this
/// program, no source).
const LOWEST_V: f64 = 24.0;
/// Rated voltages above this are no machine's (choice of this program; the highest published level here ends at 24 kV).
const HIGHEST_V: f64 = 40_000.0;
/// A figure this near to a voltage of the series is that voltage (choice of this program: nameplates round).
const SAME: f64 = 0.005;
/// A figure this near to a voltage of the series over √3 is its phase voltage (choice of this program: three digits).
const SAME_PHASE: f64 = 0.003;

#[derive(Deserialize)]
struct Series {
    line_v: Vec<f64>,
}

static LINE_V: LazyLock<Vec<f64>> = LazyLock::new(|| {
    // The file is part of the program; a test reads it and fails when it cannot be read.
    toml::from_str::<Series>(include_str!("../data/rated_voltages.toml"))
        .map(|series| series.line_v)
        .unwrap_or_default()
});

/// Why a figure cannot be taken as a rated line-to-line voltage; displayed with what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// What is wrong and what to do, in words.
    pub reason: String,
    /// The voltage that was probably meant, V.
    pub meant: Option<f64>,
    /// Whether the figure may be right all the same.
    pub can_be_confirmed: bool,
}

impl std::fmt::Display for Doubt {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.reason)
    }
}

/// Why `volts` cannot be taken as a rated line-to-line voltage, and what to do; `None` if it can.
///
/// ```
/// use windrow_criteria::rated::doubt;
/// assert_eq!(doubt(4160.0), None);
/// assert_eq!(doubt(4.16).unwrap().meant, Some(4160.0), "kilovolts typed as volts");
/// assert_eq!(doubt(277.0).unwrap().meant, Some(480.0), "phase instead of line voltage");
/// ```
#[must_use]
pub fn doubt(volts: f64) -> Option<Doubt> {
    let wrong = |reason: String, meant| Some(Doubt { reason, meant, can_be_confirmed: false });
    if !volts.is_finite() || volts <= 0.0 {
        return wrong(format!("the rated voltage, {volts} V, is not a voltage; correct the nameplate"), None);
    }
    if volts < LOWEST_V && is_a_machines(volts * 1000.0) {
        let meant = (volts * 1e6).round() / 1e3;
        let reason = format!(
            "the rated voltage, {volts} V, looks like kilovolts typed as volts ({meant} V); correct the nameplate"
        );
        return wrong(reason, Some(meant));
    }
    if volts > HIGHEST_V && is_a_machines(volts / 1000.0) {
        let meant = volts / 1000.0;
        let reason = format!(
            "the rated voltage, {volts} V, looks like volts typed as kilovolts ({meant} V); correct the nameplate"
        );
        return wrong(reason, Some(meant));
    }
    if !is_a_machines(volts) {
        return wrong(format!("the rated voltage, {volts} V, is no machine's; correct the nameplate"), None);
    }
    let line = phase_of(volts)?;
    let reason = format!(
        "the rated voltage, {volts} V, looks like the phase voltage of a machine of {line} V; correct the nameplate, or \
         confirm that it is line to line"
    );
    Some(Doubt { reason, meant: Some(line), can_be_confirmed: true })
}

/// Whether a site vouches for `volts` as line to line among `confirmed` voltages; a nameplate's rounding does not matter.
#[must_use]
pub fn is_confirmed(volts: f64, confirmed: &[f64]) -> bool {
    is_a_machines(volts) && confirmed.iter().any(|told| (volts / told - 1.0).abs() < 0.001)
}

/// Whether a machine can be rated `volts` at all, line to line or per phase.
pub(crate) fn is_a_machines(volts: f64) -> bool {
    (LOWEST_V..=HIGHEST_V).contains(&volts)
}

/// The line-to-line voltage of the series whose phase voltage `volts` is, if `volts` is no line voltage of the series itself.
fn phase_of(volts: f64) -> Option<f64> {
    match nearest(volts, SAME) {
        Some(_) => None,
        None => nearest(volts * PHASE_TO_LINE, SAME_PHASE),
    }
}

/// The lowest voltage of the series that `volts` is within such a share of.
fn nearest(volts: f64, tolerance: f64) -> Option<f64> {
    // The series rises, and what is far below or above need not be looked at: rules ask for every test of a fleet.
    let first = LINE_V.partition_point(|line| *line < volts * (1.0 - 2.0 * tolerance));
    let candidates = LINE_V.iter().skip(first).take_while(|line| **line <= volts * (1.0 + 2.0 * tolerance));
    candidates.copied().find(|line| (volts / line - 1.0).abs() <= tolerance)
}

#[cfg(test)]
mod tests {
    use super::{LINE_V, SAME, SAME_PHASE, doubt, nearest};

    #[test]
    fn the_series_reads_and_doubts_none_of_its_own_voltages() {
        assert!(LINE_V.len() > 50 && LINE_V.is_sorted());
        for line in LINE_V.iter() {
            assert_eq!(doubt(*line), None, "{line}");
        }
    }

    /// Phase voltages as they are printed: line over √3 (circuit geometry).
    #[test]
    fn a_phase_voltage_is_told_from_a_line_voltage() {
        for (phase, line) in
            [(277.0, "480"), (266.0, "460"), (347.0, "600"), (1905.0, "3300"), (3810.0, "6600"), (6350.0, "11000")]
        {
            assert!(doubt(phase).is_some_and(|told| told.reason.contains(&format!("{line} V"))), "{phase}");
        }
        assert!(doubt(7967.0).is_some_and(|told| told.reason.contains("13800 V")));
        // 2400 V is both 4160 V over √3 and a rated voltage of its own; 5800 V is neither.
        for fine in [2400.0, 230.0, 240.0, 4000.0, 5800.0, 13_790.0] {
            assert_eq!(doubt(fine), None, "{fine}");
        }
    }

    /// Just below, at and above the borders of what can be a machine (choices of this program).
    #[test]
    fn figures_of_another_unit_are_refused_with_what_was_meant() {
        assert!(doubt(4.16).is_some_and(|told| told.reason.contains("(4160 V)")));
        assert!(doubt(13.8).is_some_and(|told| told.reason.contains("(13800 V)")));
        assert!(doubt(23.9).is_some() && doubt(24.0).is_none() && doubt(24.1).is_none());
        assert!(doubt(40_000.0).is_none() && doubt(40_000.1).is_some());
        assert!(doubt(6.6e6).is_some_and(|told| told.reason.contains("(6600 V)")));
        for nothing in [0.0, -480.0, f64::NAN, f64::INFINITY, 1e-9, 1e12] {
            assert!(doubt(nothing).is_some_and(|told| told.reason.contains("correct the nameplate")), "{nothing}");
        }
    }

    /// Against looking at every voltage of the series.
    #[test]
    fn the_nearest_voltage_is_found_wherever_it_stands() {
        for tolerance in [SAME, SAME_PHASE] {
            for half in 1_u32..90_000 {
                let volts = f64::from(half) / 2.0;
                let all = LINE_V.iter().copied().find(|line| (volts / line - 1.0).abs() <= tolerance);
                assert_eq!(nearest(volts, tolerance), all, "{volts}");
            }
        }
    }
}
