//! Resistances that are voltage over the current beside them.

use super::{Along, Placed};
use crate::reader::Reader;
use crate::reader::test::Pending;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Bound, Quantity};

/// How far a resistance may lie from voltage over current: rounding of three figures each. Those of one test are told more widely.
const ROUNDING: f64 = 0.02;

impl Reader<'_, '_, '_> {
    /// "kV | µA | MΩ": the resistances of a column, or of a line, were computed if each that has a current beside it is the quotient.
    pub(super) fn quotients(&self) -> BTreeSet<u32> {
        let mut ohms: BTreeMap<Along, Vec<f64>> = BTreeMap::new();
        for placed in self.placed() {
            if let Some(quotient) = quotient(placed.pending) {
                placed.at.lines().into_iter().for_each(|line| ohms.entry(line).or_default().push(quotient));
            }
        }
        if ohms.is_empty() {
            return BTreeSet::new();
        }
        let mut told: BTreeMap<Along, Vec<(u32, bool)>> = BTreeMap::new();
        for placed in self.placed().filter(is_resistance) {
            let reading = &placed.pending.reading;
            let value = reading.unit.value.to_stored(reading.number);
            for line in placed.at.lines() {
                if let Some(quotients) = ohms.get(&line) {
                    let fits = quotients.iter().any(|quotient| (quotient / value - 1.0).abs() < ROUNDING);
                    told.entry(placed.at.across(line.1)).or_default().push((placed.pending.cell, fits));
                }
            }
        }
        let computed = told.into_values().filter(|line| line.len() >= 2 && line.iter().all(|(_, fits)| *fits));
        computed.flatten().map(|(cell, _)| cell).collect()
    }
}

fn is_resistance(placed: &Placed<'_>) -> bool {
    let reading = &placed.pending.reading;
    reading.quantity.value == Quantity::InsulationResistance && reading.bound == Bound::Exact
}

/// Voltage over current of a leakage current, Ω.
fn quotient(pending: &Pending) -> Option<f64> {
    let reading = &pending.reading;
    let volts = reading.applied_voltage_v.as_ref().filter(|_| reading.quantity.value == Quantity::LeakageCurrent)?;
    let amperes = reading.unit.value.to_stored(reading.number);
    (amperes > 0.0 && reading.bound == Bound::Exact).then(|| volts.value / amperes)
}
