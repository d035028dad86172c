//! Timed insulation resistance by circuit: the values that ratios are made of.

use crate::loaded::{Reading, is_at};
use windrow_model::Bound;

/// A value with its bound.
pub(crate) type Bounded = (f64, Bound);

/// Values of one circuit in one test at the times that ratios need.
#[derive(Debug, Clone, Default)]
pub(crate) struct CircuitTimes {
    /// After 30 s, Ohm.
    pub(crate) at_30_s: Option<Bounded>,
    /// After 60 s, Ohm.
    pub(crate) at_60_s: Option<Bounded>,
    /// After 600 s, Ohm.
    pub(crate) at_600_s: Option<Bounded>,
}

/// Timed values of a test, one entry a circuit, in the order in which circuits come first.
pub(crate) fn circuit_times<'a>(readings: impl Iterator<Item = Reading<'a>>) -> Vec<CircuitTimes> {
    let mut circuits: Vec<(Option<&str>, CircuitTimes)> = Vec::new();
    for reading in readings.filter(|reading| reading.is_insulation_resistance() && reading.is_as_read()) {
        let circuit = reading.circuit();
        let place = circuits.iter().position(|(known, _)| *known == circuit).unwrap_or_else(|| {
            circuits.push((circuit, CircuitTimes::default()));
            circuits.len() - 1
        });
        let (times, elapsed_s) = (&mut circuits[place].1, reading.elapsed_s());
        for (seconds, kept) in [(30.0, &mut times.at_30_s), (60.0, &mut times.at_60_s), (600.0, &mut times.at_600_s)] {
            if kept.is_none() && is_at(elapsed_s, seconds) {
                *kept = reading.bound().map(|bound| (reading.value(), bound));
            }
        }
    }
    circuits.into_iter().map(|(_, times)| times).collect()
}
