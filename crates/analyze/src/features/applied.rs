//! The voltages that a test applied, circuit by circuit, and what became of each.

use crate::loaded::Reading;
use windrow_model::Quantity;
use windrow_model::kind::Outcome;

/// A voltage on one circuit in one test.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Applied<'a> {
    pub(crate) circuit: Option<&'a str>,
    /// Highest voltage told for the circuit, V; `None` where only the test's own voltage is told.
    pub(crate) volts: Option<f64>,
    /// Whether a reading of this circuit says that it broke down or the test was stopped.
    pub(crate) broke_down: bool,
    /// Whether a reading of this circuit says that it withstood.
    pub(crate) withstood: bool,
}

/// Applied voltages of a test, one entry a circuit. A voltage that was assumed is none.
pub(crate) fn applied<'a>(readings: impl Iterator<Item = Reading<'a>>) -> Vec<Applied<'a>> {
    let mut circuits: Vec<Applied<'_>> = Vec::new();
    for reading in readings {
        let circuit = reading.circuit();
        let place = circuits.iter().position(|known| known.circuit == circuit).unwrap_or_else(|| {
            circuits.push(Applied { circuit, volts: None, broke_down: false, withstood: false });
            circuits.len() - 1
        });
        let known = &mut circuits[place];
        let volts = level(reading).filter(|_| !reading.voltage_is_assumed());
        known.volts = [known.volts, volts].into_iter().flatten().reduce(f64::max);
        known.broke_down |= reading.broke_down();
        known.withstood |= reading.fate() == Some(Outcome::Withstood);
    }
    circuits
}

/// The voltage that a reading stands for, V.
pub(super) fn level(reading: Reading<'_>) -> Option<f64> {
    if reading.is(Quantity::SurgePeakVoltage) { Some(reading.value()) } else { reading.applied_voltage_v() }
}
