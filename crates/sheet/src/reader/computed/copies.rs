//! Corrected values beside those that they were corrected from.

use super::{Along, Placed, Run, key};
use crate::reader::Reader;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::RawReading;
use windrow_model::{Circuit, PartialDate, Quantity, Reported};

/// Time after which an insulation resistance is told if only one is, s (IEEE Std 43-2013, clause 5: one minute).
const ONE_MINUTE: f64 = 60.0;

impl Reader<'_, '_, '_> {
    /// Corrected values that stand in the line or the column of the measured one, or in another table, under its machine and day.
    pub(super) fn corrected_copies(&self) -> BTreeSet<u32> {
        let is_corrected = |placed: &Placed<'_>| placed.pending.reading.as_reported == Reported::Corrected;
        let corrected: Vec<Placed<'_>> = self.placed().filter(is_corrected).collect();
        let wanted: BTreeSet<Along> = corrected.iter().flat_map(|placed| placed.at.lines()).collect();
        if wanted.is_empty() {
            return BTreeSet::new();
        }
        let mut measured: BTreeMap<Along, Vec<Placed<'_>>> = BTreeMap::new();
        let mut tests: BTreeMap<(&str, PartialDate), Vec<Placed<'_>>> = BTreeMap::new();
        for placed in self.placed().filter(|placed| !is_corrected(placed)) {
            if let Some(key) = key(placed.group) {
                tests.entry(key).or_default().push(placed);
            }
            for line in placed.at.lines().into_iter().filter(|line| wanted.contains(line)) {
                measured.entry(line).or_default().push(placed);
            }
        }
        let is_copy = |placed: &Placed<'_>| {
            let in_line = placed.at.lines().iter().any(|line| {
                let beside = measured.get(line).map(Vec::as_slice).unwrap_or_default();
                is_copy_of_one(placed, beside, line.1)
            });
            let of_test = || key(placed.group).and_then(|key| tests.get(&key));
            in_line || of_test().is_some_and(|measured| is_copy_of_one(placed, measured, Run::Row))
        };
        corrected.iter().filter(|placed| is_copy(placed)).map(|placed| placed.pending.cell).collect()
    }
}

/// Whether a corrected value was corrected from one of those in its line.
fn is_copy_of_one(corrected: &Placed<'_>, measured: &[Placed<'_>], run: Run) -> bool {
    let own = &corrected.pending.reading;
    let circuit = |reading: &RawReading| reading.circuit.as_ref().map(|told| told.value);
    let of_quantity = |other: &&Placed<'_>| {
        other.pending.reading.quantity.value == own.quantity.value && corrected.may_be_with(other)
    };
    // "IR windings/earth 1 min | 10 min | IR at 40 °C": the only terminals of the line need not be named again.
    let named: BTreeSet<_> =
        measured.iter().filter(of_quantity).map(|other| circuit(&other.pending.reading).map(Circuit::code)).collect();
    let is_alone = run == Run::Row && circuit(own).is_none() && named.len() == 1;
    let is_like =
        |other: &&Placed<'_>| of_quantity(other) && (is_alone || circuit(&other.pending.reading) == circuit(own));
    let alike: Vec<&RawReading> = measured.iter().filter(is_like).map(|other| &other.pending.reading).collect();
    match time_of(own) {
        Some(time) => alike.iter().any(|raw| time_of(raw) == Some(time)),
        None if own.quantity.value == Quantity::WindingResistance => !alike.is_empty(),
        // "R at 40 °C" below or beside the reading of one minute: of that one, whether or not it says so.
        None => match run {
            Run::Row => alike.iter().any(|raw| time_of(raw).is_none_or(|time| time == ONE_MINUTE.to_bits())),
            Run::Column => alike.iter().any(|raw| time_of(raw).is_some()),
        },
    }
}

fn time_of(reading: &RawReading) -> Option<u64> {
    reading.elapsed_s.as_ref().map(|told| told.value.to_bits())
}
