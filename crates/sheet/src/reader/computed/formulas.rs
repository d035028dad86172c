//! Results of formulas beside what was typed: corrected to a temperature, converted, divided, averaged.

use super::key;
use crate::reader::Reader;
use crate::reader::test::{Group, Pending};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::PartialDate;
use windrow_model::raw::RawReading;

/// What stands together: the line of a block, or the test of a machine and day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Among<'r> {
    Line(usize, u32),
    Test(&'r str, PartialDate),
}

fn among<'r>(group: &'r Group, pending: &Pending) -> impl Iterator<Item = Among<'r>> {
    let of_test = key(group).map(|(machine, date)| Among::Test(machine, date));
    [Some(Among::Line(group.block, pending.row)), of_test].into_iter().flatten()
}

impl Reader<'_, '_, '_> {
    /// Notes what formulas give from what was typed beside them.
    pub(in crate::reader) fn note_results(&mut self) {
        let cells = self.by_formula();
        for pending in self.groups.iter_mut().flat_map(|group| &mut group.pending) {
            pending.computed |= cells.contains(&pending.cell);
        }
    }

    /// Cells whose formula refers to other cells, of lines and tests in which the same was also typed: they come from it. Where nothing was
    /// typed, the results are all there is.
    fn by_formula(&self) -> BTreeSet<u32> {
        let is_result = |cell: u32| self.view.grid.cells.get(cell as usize).is_some_and(|cell| cell.computed);
        let readings =
            || self.groups.iter().flat_map(|group| group.pending.iter().map(move |pending| (group, pending)));
        let results: Vec<(&Group, &Pending)> = readings().filter(|(_, pending)| is_result(pending.cell)).collect();
        if results.is_empty() {
            return BTreeSet::new();
        }
        let mut typed: BTreeMap<Among<'_>, Vec<&RawReading>> = BTreeMap::new();
        for (group, pending) in readings().filter(|(_, pending)| !is_result(pending.cell)) {
            for place in among(group, pending) {
                typed.entry(place).or_default().push(&pending.reading);
            }
        }
        let comes_from_typed = |group: &Group, pending: &Pending| {
            let mut fellows = among(group, pending).filter_map(|place| typed.get(&place)).flatten();
            fellows.any(|fellow| is_told_by(fellow, &pending.reading))
        };
        results.into_iter().filter(|(group, pending)| comes_from_typed(group, pending)).map(|(_, it)| it.cell).collect()
    }
}

/// Whether a result may come from what was typed: it tells no other quantity, terminals or time. "=B5" beside a phase is another phase that
/// read the same.
fn is_told_by(typed: &RawReading, result: &RawReading) -> bool {
    let is_its = |own: Option<&str>, typed: Option<&str>| own.is_none() || own == typed;
    let circuit = |reading: &RawReading| reading.circuit.as_ref().map(|told| told.value.code());
    let time = |reading: &RawReading| reading.elapsed_s.as_ref().map(|told| told.value.to_bits());
    typed.quantity.value == result.quantity.value
        && is_its(circuit(result), circuit(typed))
        && (time(result).is_none() || time(result) == time(typed))
}
