//! A quantity over the voltage applied, as one test recorded it: leakage current, dissipation factor.

use crate::judge::Judged;
use crate::loaded::Reading;
use std::collections::BTreeMap;

/// Readings of one circuit at rising voltages.
#[derive(Debug, Clone)]
pub(crate) struct Curve<'a> {
    pub(crate) circuit: Option<&'a str>,
    pub(crate) volts: Vec<f64>,
    /// In the stored unit of the quantity: A for a current, 1 for a dissipation factor.
    pub(crate) values: Vec<f64>,
    pub(crate) reading_ids: Vec<String>,
}

impl Curve<'_> {
    /// Voltage, value and reading of each point, by rising voltage.
    pub(crate) fn points(&self) -> impl DoubleEndedIterator<Item = (f64, f64, Option<&String>)> {
        let pairs = self.volts.iter().zip(&self.values).enumerate();
        pairs.map(|(index, (volts, value))| (*volts, *value, self.reading_ids.get(index)))
    }
}

/// Most points of a curve; a record of a ramp is thinned to them.
const MOST_POINTS: usize = 20;

/// Leakage currents of a test, one curve a circuit; of several readings at one voltage the last counts, which stood longest.
pub(crate) fn curves<'a>(judged: &Judged<'a>) -> Vec<Curve<'a>> {
    of_quantity(judged, "leakage_current")
}

/// The same for another quantity.
pub(crate) fn of_quantity<'a>(judged: &Judged<'a>, quantity: &str) -> Vec<Curve<'a>> {
    let mut by_circuit: BTreeMap<Option<&str>, BTreeMap<u64, Reading<'_>>> = BTreeMap::new();
    for figure in judged.figures() {
        let Some(volts) = figure.applied_voltage_v().filter(|volts| *volts > 0.0) else { continue };
        if !figure.is(quantity) || !figure.is_exact() || figure.value() <= 0.0 {
            continue;
        }
        let steps = by_circuit.entry(figure.circuit()).or_default();
        // Bits of positive numbers stand in the order of the numbers.
        let kept = steps.entry(volts.to_bits()).or_insert(figure);
        if figure.elapsed_s() > kept.elapsed_s() {
            *kept = figure;
        }
    }
    by_circuit.into_iter().map(|(circuit, steps)| curve(circuit, &steps)).collect()
}

fn curve<'a>(circuit: Option<&'a str>, steps: &BTreeMap<u64, Reading<'a>>) -> Curve<'a> {
    let every = steps.len().div_ceil(MOST_POINTS).max(1);
    let kept: Vec<Reading<'_>> = steps.values().copied().step_by(every).collect();
    Curve {
        circuit,
        volts: kept.iter().filter_map(Reading::applied_voltage_v).collect(),
        values: kept.iter().map(Reading::value).collect(),
        reading_ids: kept.iter().filter_map(Reading::reading_id).collect(),
    }
}
