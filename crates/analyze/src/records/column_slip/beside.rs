//! Each reading beside the median of the same circuit in all other sheets, if two or more readings there tell one.
//!
//! A fleet has millions of readings and hardly a sheet in another unit: so a first look only counts, column by column, how many lie about
//! three decades off, and the readings themselves are gathered of those sheets only that may have slipped.

use super::{are_most, is_near};
use crate::loaded::{Loaded, Reading, SheetName};
use foldhash::fast::FixedState;
use std::collections::{BTreeSet, HashMap};
use std::ops::Range;

/// A reading beside the other sheets' median of its circuit.
pub(super) struct Offset<'a> {
    pub(super) record: Reading<'a>,
    pub(super) machine: &'a str,
    pub(super) decades: f64,
    pub(super) elsewhere: f64,
    /// Readings in the other sheets.
    pub(super) others: usize,
}

impl Offset<'_> {
    /// The column that it stands in, from zero; `None` where the container has none.
    pub(super) fn column(&self) -> Option<u32> {
        self.record.at().map(|(_, column)| column)
    }
}

/// Readings that are compared, and how many of them lie three decades above and below.
#[derive(Debug, Clone, Copy, Default)]
struct Tally {
    all: usize,
    high: usize,
    low: usize,
}

impl Tally {
    fn add(&mut self, decades: f64) {
        self.all += 1;
        self.high += usize::from(is_near(decades, 1.0));
        self.low += usize::from(is_near(decades, -1.0));
    }

    fn and(self, other: Self) -> Self {
        Self { all: self.all + other.all, high: self.high + other.high, low: self.low + other.low }
    }

    fn may_have_slipped(self) -> bool {
        are_most(self.high.max(self.low), self.all)
    }
}

/// Sheets of which most readings, or most of a column, lie three decades off, by number.
pub(super) struct Suspects(BTreeSet<u32>);

impl Suspects {
    pub(super) fn of(records: &Loaded) -> Self {
        let mut columns: HashMap<(u32, Option<u32>), Tally, FixedState> = HashMap::default();
        for tests in records.by_machine() {
            each_of(records, &tests, |sheet, offset| {
                columns.entry((sheet, offset.column())).or_default().add(offset.decades);
            });
        }
        let mut whole: HashMap<u32, Tally, FixedState> = HashMap::default();
        for ((sheet, _), column) in &columns {
            let known = whole.entry(*sheet).or_default();
            *known = known.and(*column);
        }
        let by_column = columns.iter().filter(|(_, tally)| tally.may_have_slipped()).map(|((sheet, _), _)| *sheet);
        let by_sheet = whole.iter().filter(|(_, tally)| tally.may_have_slipped()).map(|(sheet, _)| *sheet);
        Self(by_column.chain(by_sheet).collect())
    }

    /// Gives the readings of these sheets in the order of the machines and their tests.
    pub(super) fn each<'a>(&self, records: &'a Loaded, mut take: impl FnMut(&'a SheetName, Offset<'a>)) {
        if self.0.is_empty() {
            return;
        }
        for tests in records.by_machine() {
            if !tests.clone().any(|place| self.0.contains(&records.test(place).sheet_code())) {
                continue;
            }
            each_of(records, &tests, |sheet, offset| {
                if self.0.contains(&sheet) {
                    take(offset.record.test().sheet(), offset);
                }
            });
        }
    }
}

/// A reading of a machine: numbers of circuit and time, by which it is compared, that of its sheet, and decades of its value, at 40 °C where that
/// is known.
struct Levelled<'a> {
    series: (usize, u32),
    sheet: u32,
    level: f64,
    record: Reading<'a>,
}

/// Gives each reading of one machine that can be compared, with the number of its sheet.
fn each_of<'a>(records: &'a Loaded, tests: &Range<usize>, mut take: impl FnMut(u32, Offset<'a>)) {
    let own = || tests.clone().map(|place| records.test(place)).filter(|test| !test.is_repeat());
    let Some(first) = own().next() else { return };
    let Some(machine) = first.asset_id() else { return };
    if own().all(|test| test.sheet_code() == first.sheet_code()) {
        return;
    }
    let (mut levelled, mut circuits) = (Vec::new(), Vec::new());
    for test in own() {
        let usable = records.readings_of(test.place).filter(is_usable);
        levelled.extend(usable.map(|record| Levelled::of(record, test.sheet_code(), &mut circuits)));
    }
    let beside = elsewhere(&levelled);
    for (levelled, beside) in levelled.iter().zip(beside) {
        if let Some((elsewhere, others)) = beside {
            let decades = levelled.level - elsewhere;
            take(levelled.sheet, Offset { record: levelled.record, machine, decades, elsewhere, others });
        }
    }
}

fn is_usable(record: &Reading<'_>) -> bool {
    record.is_insulation_resistance() && record.is_exact() && record.is_as_read() && record.value() > 0.0
}

impl<'a> Levelled<'a> {
    /// `circuits` are those of the machine that were met.
    fn of(record: Reading<'a>, sheet: u32, circuits: &mut Vec<Option<&'a str>>) -> Self {
        let circuit = circuits.iter().position(|known| *known == record.circuit()).unwrap_or_else(|| {
            circuits.push(record.circuit());
            circuits.len() - 1
        });
        // A value at 40 °C that is not above zero comes from no correction that holds, and has no logarithm.
        let level = record.value_ref().filter(|value| *value > 0.0).unwrap_or(record.value()).log10();
        Self { series: (circuit, record.elapsed_code()), sheet, level, record }
    }
}

/// For each reading the median of its circuit in the other sheets, and of how many readings; `None` where these are fewer than two.
fn elsewhere(levelled: &[Levelled<'_>]) -> Vec<Option<(f64, usize)>> {
    let mut order: Vec<usize> = (0..levelled.len()).collect();
    order.sort_unstable_by(|a, b| {
        let (a, b) = (&levelled[*a], &levelled[*b]);
        a.series.cmp(&b.series).then_with(|| a.level.total_cmp(&b.level))
    });
    let mut found = vec![None; levelled.len()];
    for series in order.chunk_by(|a, b| levelled[*a].series == levelled[*b].series) {
        let mut told: Vec<(u32, Option<(f64, usize)>)> = Vec::new();
        for place in series {
            let sheet = levelled[*place].sheet;
            let known = told.iter().find(|(known, _)| *known == sheet).map(|(_, beside)| *beside);
            found[*place] = known.unwrap_or_else(|| {
                let beside = median_without(levelled, series, sheet);
                told.push((sheet, beside));
                beside
            });
        }
    }
    found
}

/// Median and number of the readings of a series, sorted by their levels, that stand in other sheets than `sheet`.
fn median_without(levelled: &[Levelled<'_>], series: &[usize], sheet: u32) -> Option<(f64, usize)> {
    let mut others = series.iter().map(|place| &levelled[*place]).filter(|other| other.sheet != sheet);
    let count = others.clone().count();
    if count < 2 {
        return None;
    }
    let middle = count / 2;
    let below = others.nth(middle - 1)?.level;
    let above = others.next()?.level;
    Some((if count % 2 == 0 { above.midpoint(below) } else { above }, count))
}
