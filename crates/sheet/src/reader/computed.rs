//! Numbers that the source computed from others of the sheet which stand in other tests.

use super::Reader;
use super::test::{Group, Pending};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Bound, Quantity};

/// How far a resistance may lie from voltage over current: rounding of three figures each. Those of one test are told more widely.
const ROUNDING: f64 = 0.02;

impl Reader<'_, '_, '_> {
    /// A ratio that stands in a block or test of its own is computed if the readings it comes from stand in another, and so is the
    /// unbalance of three resistances.
    pub(super) fn note_ratios(&mut self) {
        let timed = |group: &Group| {
            let at = |seconds: f64| {
                group.pending.iter().any(|pending| {
                    let reading = &pending.reading;
                    reading.quantity.value == Quantity::InsulationResistance
                        && reading.elapsed_s.as_ref().is_some_and(|told| (told.value - seconds).abs() < 0.5)
                })
            };
            at(60.0) && at(600.0)
        };
        let of_phases = |group: &Group| {
            let is_one = |pending: &&Pending| pending.reading.quantity.value == Quantity::WindingResistance;
            group.pending.iter().filter(is_one).count() >= 3
        };
        let key = |group: &Group| (group.machine_key.clone(), group.test.performed.as_ref().map(|told| told.value));
        let known: BTreeSet<_> = self.groups.iter().filter(|group| timed(group)).map(key).collect();
        let spread: BTreeSet<_> = self.groups.iter().filter(|group| of_phases(group)).map(key).collect();
        for group in self.groups.iter_mut().filter(|group| !group.machine_key.is_empty()) {
            let key = key(group);
            let (is_timed, is_spread) = (known.contains(&key), spread.contains(&key));
            for pending in &mut group.pending {
                pending.computed |= match pending.reading.quantity.value {
                    Quantity::PolarizationIndex => is_timed,
                    Quantity::Unbalance => is_spread,
                    _ => false,
                };
            }
        }
    }

    /// "kV | µA | MΩ" in a line: a resistance that is voltage over current in every line that has all three was computed from them.
    pub(super) fn note_quotients(&mut self) {
        let mut ohms: BTreeMap<(usize, u32), Vec<f64>> = BTreeMap::new();
        for group in &self.groups {
            for pending in &group.pending {
                ohms.entry((group.block, pending.row)).or_default().extend(quotient(pending));
            }
        }
        ohms.retain(|_, quotients| !quotients.is_empty());
        let is_one = |group: &Group, pending: &Pending| {
            let quotients = ohms.get(&(group.block, pending.row)).filter(|_| is_resistance(pending))?;
            let value = pending.reading.unit.value.to_stored(pending.reading.number);
            Some(quotients.iter().any(|quotient| (quotient / value - 1.0).abs() < ROUNDING))
        };
        let mut told: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
        for group in &self.groups {
            for is_one in group.pending.iter().filter_map(|pending| is_one(group, pending)) {
                let (all, fitting) = told.entry(group.block).or_default();
                *all += 1;
                *fitting += usize::from(is_one);
            }
        }
        let computed: BTreeSet<usize> = told
            .into_iter()
            .filter(|(_, (all, fitting))| *fitting >= 2 && all == fitting)
            .map(|(block, _)| block)
            .collect();
        let cells: BTreeSet<u32> = self
            .groups
            .iter()
            .filter(|group| computed.contains(&group.block))
            .flat_map(|group| group.pending.iter().filter(|pending| is_one(group, pending) == Some(true)))
            .map(|pending| pending.cell)
            .collect();
        for pending in self.groups.iter_mut().flat_map(|group| &mut group.pending) {
            pending.computed |= cells.contains(&pending.cell);
        }
    }
}

fn is_resistance(pending: &Pending) -> bool {
    pending.reading.quantity.value == Quantity::InsulationResistance && pending.reading.bound == Bound::Exact
}

/// Voltage over current of a leakage current, Ω.
fn quotient(pending: &Pending) -> Option<f64> {
    let reading = &pending.reading;
    let volts = reading.applied_voltage_v.as_ref().filter(|_| reading.quantity.value == Quantity::LeakageCurrent)?;
    let amperes = reading.unit.value.to_stored(reading.number);
    (amperes > 0.0 && reading.bound == Bound::Exact).then(|| volts.value / amperes)
}
