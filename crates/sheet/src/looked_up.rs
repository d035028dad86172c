//! Sheets that look up in others what was measured ("Latest reading of each motor"): their cells hold formulas, and repeat readings.

use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::{CellMark, RawReading, RawTest, Target, Understood};
use windrow_model::{Disposition, Place, Quantity, Text};
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
    let mut typed: BTreeMap<(Quantity, u64), BTreeSet<Whose>> = BTreeMap::new();
    for test in &into.tests {
        for reading in test.readings.iter().filter(|reading| !results.contains(&reading.place)) {
            typed.entry(value(reading)).or_default().insert(Whose::of(test, reading));
        }
    }
    let is_typed_elsewhere = |test: &RawTest, reading: &RawReading| {
        let own = Whose::of(test, reading);
        typed.get(&value(reading)).is_some_and(|all| all.iter().any(|other| own.repeats(other)))
    };
    let mut repeated: BTreeMap<Place, u32> = BTreeMap::new();
    for (number, test) in (0u32..).zip(&mut into.tests) {
        let (mut kept, mut figures) = (Vec::new(), Vec::new());
        for reading in std::mem::take(&mut test.readings) {
            let is_repeated = results.contains(&reading.place) && is_typed_elsewhere(test, &reading);
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

fn value(reading: &RawReading) -> (Quantity, u64) {
    (reading.quantity.value, reading.unit.value.to_stored(reading.number).to_bits())
}

/// On which sheet a reading stands, of which machine it is and of which day, as far as that is told there.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Whose {
    sheet: Option<Text>,
    machine: Option<String>,
    day: Option<String>,
}

impl Whose {
    fn of(test: &RawTest, reading: &RawReading) -> Self {
        Self {
            sheet: reading.place.sheet.clone(),
            machine: test.machine.tag.as_ref().map(|told| tag::fold(&told.value)),
            day: test.performed.as_ref().map(|told| told.value.to_string()),
        }
    }

    /// Whether it may repeat another, on another sheet: "=C5" beside a phase is another phase that read the same. One sheet may name machines
    /// and the other number them, but machine and day agree where both tell them.
    fn repeats(&self, other: &Self) -> bool {
        let agrees = |own: &Option<String>, its: &Option<String>| match (own, its) {
            (Some(own), Some(its)) => Some(own == its),
            _ => None,
        };
        let told = [agrees(&self.machine, &other.machine), agrees(&self.day, &other.day)];
        self.sheet != other.sheet && told.contains(&Some(true)) && !told.contains(&Some(false))
    }
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
