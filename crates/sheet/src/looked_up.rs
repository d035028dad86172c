//! Sheets that look up in others what was measured ("Latest reading of each motor"): their cells hold formulas, and repeat readings.

use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::{CellMark, RawReading, RawTest, Target, Understood};
use windrow_model::{Disposition, Place, Precision, Quantity, Text};
use windrow_source::Workbook;
use windrow_text::tag;

/// Makes figures of readings that formulas repeat from readings that were typed in other sheets of the workbook: of the same machine
/// or day, quantity and size.
pub(crate) fn settle(book: &Workbook, into: &mut Understood) {
    let results: BTreeSet<Place> = book
        .sheets
        .iter()
        .flat_map(|grid| {
            let computed = grid.cells.iter().filter(|cell| cell.computed);
            computed.map(|cell| Place::new(grid.name.as_deref(), cell.place()))
        })
        .collect();
    if results.is_empty() {
        return;
    }
    let mut typed: BTreeMap<Known, BTreeSet<Option<Text>>> = BTreeMap::new();
    for test in &into.tests {
        for reading in test.readings.iter().filter(|reading| !results.contains(&reading.place)) {
            for known in known_by(test, reading) {
                typed.entry(known).or_default().insert(reading.place.sheet.clone());
            }
        }
    }
    // "=C5" beside a phase of its own sheet is another phase that read the same.
    let is_elsewhere = |known: &Known, own: &Place| {
        typed.get(known).is_some_and(|sheets| sheets.iter().any(|sheet| *sheet != own.sheet))
    };
    let mut repeated: BTreeMap<Place, u32> = BTreeMap::new();
    for (number, test) in (0u32..).zip(&mut into.tests) {
        let (mut kept, mut figures) = (Vec::new(), Vec::new());
        for reading in std::mem::take(&mut test.readings) {
            let is_repeated = results.contains(&reading.place)
                && known_by(test, &reading).any(|known| is_elsewhere(&known, &reading.place));
            if is_repeated { &mut figures } else { &mut kept }.push(reading);
        }
        repeated.extend(figures.iter().map(|reading| (reading.place.clone(), number)));
        test.readings = kept;
        test.derived.extend(figures);
    }
    if repeated.is_empty() {
        return;
    }
    number_again(into);
    for mark in &mut into.cells {
        if let Some(test) = repeated.get(&mark.place) {
            mark.disposition = Disposition::Derived;
            mark.target = Some(Target::Figure { test: *test });
            mark.reason = Some(Text::new_static("a formula repeats it from a cell that is read"));
        }
    }
}

/// What a reading is known by again: its machine or day, its quantity and its size.
type Known = (String, Quantity, u64);

/// By the machine, and by the day: one sheet may name machines, and the other number them.
fn known_by(test: &RawTest, reading: &RawReading) -> impl Iterator<Item = Known> {
    let (quantity, size) = (reading.quantity.value, reading.unit.value.to_stored(reading.number).to_bits());
    let machine = test.machine.tag.as_ref().map(|told| tag::fold(&told.value));
    let day = test.performed.as_ref().filter(|told| told.value.precision == Precision::Day);
    let day = day.map(|told| told.value.to_string());
    machine.into_iter().chain(day).map(move |of| (of, quantity, size))
}

/// The marks of readings name them by their number in the test, which is another one where some before them are gone.
fn number_again(into: &mut Understood) {
    let numbers: BTreeMap<(u32, &Place), u32> = (0u32..)
        .zip(&into.tests)
        .flat_map(|(test, told)| (0u32..).zip(&told.readings).map(move |(at, reading)| ((test, &reading.place), at)))
        .collect();
    for CellMark { place, target, .. } in &mut into.cells {
        if let Some(Target::Reading { test, reading, .. }) = target
            && let Some(number) = numbers.get(&(*test, &*place))
        {
            *reading = *number;
        }
    }
}
