//! "R60: 738 MΩ" below the table that has 738 after 60 s: the source picked it out once more.

use super::Placed;
use crate::context::Body;
use crate::reader::Reader;
use std::collections::BTreeSet;

impl Reader<'_, '_, '_> {
    /// Labelled values that the nearest table above them has already, of the same quantity, terminals and time.
    pub(super) fn repeats(&self) -> BTreeSet<u32> {
        let is_table =
            |block: usize| self.scene.blocks.get(block).is_some_and(|block| matches!(block.body, Body::Table(_)));
        let is_labelled =
            |placed: &Placed<'_>| !is_table(placed.at.block) && placed.pending.reading.elapsed_s.is_some();
        let labelled: Vec<Placed<'_>> = self.placed().filter(is_labelled).collect();
        if labelled.is_empty() {
            return BTreeSet::new();
        }
        let tabled: Vec<Placed<'_>> = self.placed().filter(|placed| is_table(placed.at.block)).collect();
        let is_repeated = |own: &&Placed<'_>| {
            let above = tabled.iter().filter(|other| other.at.row < own.at.row);
            let nearest = above.clone().max_by_key(|other| other.at.row).map(|other| other.at.block);
            above.filter(|other| Some(other.at.block) == nearest).any(|other| is_same(own, other))
        };
        labelled.iter().filter(is_repeated).map(|own| own.pending.cell).collect()
    }
}

/// Whether two numbers are one reading, told twice.
fn is_same(own: &Placed<'_>, other: &Placed<'_>) -> bool {
    let (copy, first) = (&own.pending.reading, &other.pending.reading);
    let value = |reading: &windrow_model::raw::RawReading| reading.unit.value.to_stored(reading.number);
    let time = |reading: &windrow_model::raw::RawReading| reading.elapsed_s.as_ref().map(|told| told.value);
    let circuit = |reading: &windrow_model::raw::RawReading| reading.circuit.as_ref().map(|told| told.value);
    let agrees = circuit(copy).is_none() || circuit(first).is_none() || circuit(copy) == circuit(first);
    copy.quantity.value == first.quantity.value
        && copy.bound == first.bound
        && time(copy) == time(first)
        && (value(copy) - value(first)).abs() <= value(first).abs() * 1e-9
        && agrees
        && own.may_be_with(other)
}
