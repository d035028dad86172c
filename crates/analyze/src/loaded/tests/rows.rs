//! What is told of a test as a row, rows that are made side by side, and the order of all rows.

use super::TestRow;
use crate::loaded::ids::{ById, Id};
use crate::loaded::{Distinct, Loaded, MachineRow, beginning};
use foldhash::fast::FixedState;
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::HashMap;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

/// What a row of the table tells, or a test of this crate.
#[derive(Debug, Clone, Default)]
pub(crate) struct ToldTest<'a> {
    pub(crate) test_id: &'a str,
    pub(crate) performed_on: Option<Date>,
    pub(crate) performed_precision: &'a str,
    pub(crate) kind: &'a str,
    pub(crate) stage: Option<&'a str>,
    pub(crate) winding_temperature_c: Option<f64>,
    pub(crate) winding_temperature_basis: &'a str,
    pub(crate) ambient_temperature_c: Option<f64>,
    pub(crate) relative_humidity_pct: Option<f64>,
    pub(crate) dew_point_c: Option<f64>,
    pub(crate) test_voltage_v: Option<f64>,
    pub(crate) test_voltage_basis: &'a str,
    pub(crate) instrument: Option<&'a str>,
    pub(crate) tester: Option<&'a str>,
    pub(crate) reported_outcome: Option<&'a str>,
    pub(crate) duplicate_of: Option<&'a str>,
    pub(crate) sheet: (&'a str, Option<&'a str>),
    pub(crate) cell: &'a str,
}

/// Tests that are made anywhere, beside others: their machines, texts and ids have numbers of their own until they are appended.
#[derive(Debug, Default)]
pub(crate) struct TestChunk<'a> {
    rows: Vec<TestRow>,
    /// By id.
    machines: Distinct<&'a str>,
    ids: Distinct<&'a str>,
    words: Distinct<&'a str>,
    sheets: Distinct<(&'a str, Option<&'a str>)>,
}

impl<'a> TestChunk<'a> {
    /// Adds a test of a machine.
    pub(crate) fn push(&mut self, asset_id: Option<&'a str>, told: &ToldTest<'a>) {
        let last = self.rows.last();
        let mut word =
            |text: Option<&'a str>, before: fn(&TestRow) -> u32| self.words.code_beside(text, last.map(before));
        let row = TestRow {
            id: Id::of(told.test_id, |text| self.ids.code(text)),
            machine: self.machines.code_beside(asset_id, last.map(|last| last.machine)),
            performed_on: told.performed_on,
            precision: word(Some(told.performed_precision), |last| last.precision),
            kind: word(Some(told.kind), |last| last.kind),
            stage: word(told.stage, |last| last.stage),
            winding_temperature_c: told.winding_temperature_c.unwrap_or(f64::NAN),
            winding_temperature_basis: word(Some(told.winding_temperature_basis), |last| {
                last.winding_temperature_basis
            }),
            ambient_temperature_c: told.ambient_temperature_c.unwrap_or(f64::NAN),
            relative_humidity_pct: told.relative_humidity_pct.unwrap_or(f64::NAN),
            dew_point_c: told.dew_point_c.unwrap_or(f64::NAN),
            test_voltage_v: told.test_voltage_v.unwrap_or(f64::NAN),
            test_voltage_basis: word(Some(told.test_voltage_basis), |last| last.test_voltage_basis),
            instrument: word(told.instrument, |last| last.instrument),
            tester: word(told.tester, |last| last.tester),
            reported_outcome: word(told.reported_outcome, |last| last.reported_outcome),
            duplicate_of: word(told.duplicate_of, |last| last.duplicate_of),
            cell: word(Some(told.cell), |last| last.cell),
            sheet: match last.map(|last| last.sheet) {
                Some(before) if self.sheets.get(before) == Some(&told.sheet) => before,
                _ => self.sheets.code(told.sheet),
            },
        };
        self.rows.push(row);
    }
}

/// Places of machines by their ids.
pub(crate) type Places = HashMap<Text, u32, FixedState>;

/// What a test is sorted by, and where it stood.
struct Ordered {
    key: (u32, bool, Option<Date>),
    id: Id,
    old: u32,
}

impl Loaded {
    /// Where each machine stands that is known so far.
    pub(crate) fn places_of_machines(&self) -> Places {
        self.machines.iter().map(|machine| machine.asset_id.clone()).zip(0..).collect()
    }

    /// Adds tests, and machines that only they tell of.
    pub(crate) fn append_tests(&mut self, chunk: TestChunk<'_>, places: &mut Places) {
        let sheet = |(file, sheet): &(&str, Option<&str>)| (Text::new(file), sheet.map(Text::new));
        let machines: Vec<u32> =
            chunk.machines.iter().map(|asset_id| self.place_of_machine(asset_id, places)).collect();
        let (ids, words): (Vec<Id>, Vec<u32>) = rayon::join(
            || chunk.ids.iter().map(|text| self.ids.id(text)).collect(),
            || chunk.words.iter().map(|text| self.words.code(text)).collect(),
        );
        let sheets: Vec<u32> = chunk.sheets.iter().map(|told| self.sheets.code(sheet(told))).collect();
        let of = |codes: &[u32], code: u32| codes.get(code as usize).copied().unwrap_or(UNTOLD);
        let word = |code: u32| of(&words, code);
        self.tests.par_extend(chunk.rows.into_par_iter().map(|row| TestRow {
            id: row.id.text_code().and_then(|code| ids.get(code as usize).copied()).unwrap_or(row.id),
            machine: of(&machines, row.machine),
            precision: word(row.precision),
            kind: word(row.kind),
            stage: word(row.stage),
            winding_temperature_basis: word(row.winding_temperature_basis),
            test_voltage_basis: word(row.test_voltage_basis),
            instrument: word(row.instrument),
            tester: word(row.tester),
            reported_outcome: word(row.reported_outcome),
            duplicate_of: word(row.duplicate_of),
            cell: word(row.cell),
            sheet: of(&sheets, row.sheet),
            ..row
        }));
    }

    fn place_of_machine(&mut self, asset_id: &str, places: &mut Places) -> u32 {
        if let Some(place) = places.get(asset_id) {
            return *place;
        }
        let place = u32::try_from(self.machines.len()).unwrap_or(UNTOLD);
        self.machines.push(MachineRow { asset_id: Text::new(asset_id), ..MachineRow::default() });
        places.insert(Text::new(asset_id), place);
        place
    }

    /// Where a test stands.
    #[cfg(test)]
    pub(crate) fn place_of(&mut self, places: &ById, test_id: &str) -> u32 {
        places.get(self.ids.id(test_id)).unwrap()
    }

    /// Sorts machines and tests, and tells where each test stands then.
    pub(crate) fn sorted_tests(&mut self) -> ById {
        let place = self.sorted_machines();
        let (tests, ids) = (&self.tests, &self.ids);
        // What they are sorted by stands beside each other: rows of many tests lie far apart in memory.
        let ordered = |(test, old): (&TestRow, u32)| {
            let machine = place.get(test.machine as usize).copied().unwrap_or(UNTOLD);
            Ordered { key: (machine, test.performed_on.is_none(), test.performed_on), id: test.id, old }
        };
        let numbers: Vec<u32> = (0..).take(tests.len()).collect();
        let mut order: Vec<Ordered> = tests.par_iter().zip(numbers).map(ordered).collect();
        order.par_sort_unstable_by(|a, b| {
            a.key.cmp(&b.key).then_with(|| ids.compare(a.id, b.id)).then(a.old.cmp(&b.old))
        });
        let row = |next: &Ordered| TestRow { machine: next.key.0, ..tests[next.old as usize].clone() };
        let (sorted, places) = rayon::join(
            || order.par_iter().map(row).collect(),
            || ById::of(order.iter().zip(0..).map(|(next, place)| (next.id, place))),
        );
        self.tests = sorted;
        places
    }

    /// Sorts machines, and tells where each stands then.
    fn sorted_machines(&mut self) -> Vec<u32> {
        let mut order: Vec<(u64, u32)> =
            self.machines.iter().zip(0..).map(|(machine, old)| (beginning(&machine.asset_id), old)).collect();
        let id = |old: u32| &self.machines[old as usize].asset_id;
        order.par_sort_unstable_by(|(a, old_a), (b, old_b)| {
            a.cmp(b).then_with(|| id(*old_a).cmp(id(*old_b))).then(old_a.cmp(old_b))
        });
        let mut place = vec![0; order.len()];
        let mut sorted = Vec::with_capacity(order.len());
        for (new, (_, old)) in (0_u32..).zip(&order) {
            place[*old as usize] = new;
            sorted.push(std::mem::take(&mut self.machines[*old as usize]));
        }
        self.machines = sorted;
        place
    }
}

#[cfg(test)]
mod tests {
    use super::{TestChunk, ToldTest};
    use crate::loaded::Loaded;

    /// Twelve tests of three machines in chunks of so many.
    fn loaded(size: usize) -> Loaded {
        let ids: Vec<String> = (0..12).map(|test| format!("test {test}")).collect();
        let mut loaded = Loaded::default();
        let mut places = loaded.places_of_machines();
        for (begin, some) in (0..).step_by(size).zip(ids.chunks(size)) {
            let mut chunk = TestChunk::default();
            for (number, test_id) in (begin..).zip(some) {
                let told = ToldTest {
                    test_id,
                    kind: ["insulation_resistance", "surge"][number % 2],
                    instrument: (number % 5 > 0).then_some("meter"),
                    sheet: (["a.csv", "b.csv"][number / 6], None),
                    cell: test_id,
                    ..ToldTest::default()
                };
                chunk.push([Some("m2"), None, Some("m1"), Some("m3")][number / 3], &told);
            }
            loaded.append_tests(chunk, &mut places);
        }
        loaded
    }

    #[test]
    fn tests_are_the_same_in_chunks_of_any_size() {
        let whole = format!("{:?}", loaded(12));
        for size in [1, 2, 5] {
            assert_eq!(format!("{:?}", loaded(size)), whole, "{size}");
        }
        assert_eq!(loaded(5).machines.len(), 3);
    }
}
