//! Which tests are one test, typed or exported more than once.
//!
//! Two tests of one machine, day and kind from different sheets or files are one if the readings they share agree to the digits
//! that both write, and nothing else told of them contradicts. If a single reading of three or more differs, it is the same test
//! with a slip of the pen: both numbers stay, and a person is asked which holds. Anything else stays two tests: as found and
//! after cleaning are measured on one day. A file with the same bytes under another name repeats every test, whatever its date. A test
//! that an export tells under the id of another repeats that, whatever its date; what was changed since is asked about.
//! A ruling ("two tests", or which source is right) comes before what the numbers say.

mod asked;
mod changed;
mod exported;

use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::Exported;
use windrow_model::{Bound, Decision, Flag, Hold, Precision, Reading, Test, Text};

pub use asked::answers;

/// Fewest shared readings among which one may differ.
const FEWEST_FOR_A_SLIP: usize = 3;
/// Degrees and volts that copies may differ by through rounding: K, and a share of the voltage.
const SAME_TEMPERATURE_K: f64 = 0.6;
const SAME_VOLTAGE_SHARE: f64 = 0.01;
/// Spreadsheets drop trailing zeros: fewer digits than this say nothing about precision.
const FEWEST_DIGITS: usize = 3;

/// What is known beside the rows.
#[derive(Debug, Clone, Copy, Default)]
pub struct Beside<'a> {
    /// Files with the bytes of another: the file, and the first of that content in the order of names.
    pub same_bytes: Option<&'a BTreeMap<&'a str, &'a str>>,
    /// Tests of exports, by their ids here, with the ids under which they were exported.
    pub exported: Option<&'a BTreeMap<Text, Exported>>,
    /// Rulings of people.
    pub decisions: &'a [Decision],
}

/// Sets `duplicate_of` on copies, flags readings that differ, and asks about each slip. The first in the order of sources is kept,
/// or the one that a person ruled to be right; the order of rows changes nothing.
pub fn mark(tests: &mut [Test], readings: &mut [Reading], beside: Beside<'_>) -> Vec<Hold> {
    let readings_of = by_test(readings);
    let twins = beside.same_bytes.map(|files| whole_files(tests, files)).unwrap_or_default();
    for (copy, of) in twins {
        tests[copy].duplicate_of = Some(tests[of].test_id.clone());
    }
    let mut found = beside.exported.map(|ids| exported::copies(tests, readings, &readings_of, ids)).unwrap_or_default();
    let known: BTreeSet<usize> = found.iter().map(|copy| copy.test).collect();
    for mut group in groups(tests) {
        group.retain(|test| !known.contains(test));
        found.extend(copies(&group, tests, readings, &readings_of));
    }
    let mut holds = Vec::new();
    let mut differing: BTreeSet<usize> = BTreeSet::new();
    for mut copy in found {
        let answer = asked::ruled(&copy, tests, readings, beside.decisions);
        if answer == Some(asked::TWO_TESTS) {
            continue;
        }
        differing.extend(copy.differing.iter().flat_map(|(a, b)| [*a, *b]));
        if answer.is_some_and(|answer| answer == asked::right(&tests[copy.test])) {
            std::mem::swap(&mut copy.test, &mut copy.of);
        } else if copy.is_doubtful() && answer.is_none() {
            holds.push(asked::question(&tests[copy.test], &tests[copy.of], readings, &copy));
        }
        tests[copy.test].duplicate_of = Some(tests[copy.of].test_id.clone());
    }
    exported::to_originals(tests);
    for index in differing {
        let flags = &mut readings[index].flags;
        flags.push(Flag::CopiesDiffer.code().to_owned());
        flags.sort();
        flags.dedup();
    }
    holds
}

/// Tests of files that have the bytes of another file, with the test of that file; a machine that the file's own name tells
/// otherwise keeps them apart.
fn whole_files(tests: &[Test], files: &BTreeMap<&str, &str>) -> Vec<(usize, usize)> {
    let key = |file, test: &Test| {
        (file, test.source_sheet.clone(), test.source_cell.clone(), test.kind.clone(), test.asset_id.clone())
    };
    let mut at: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    for (index, test) in tests.iter().enumerate() {
        at.entry(key(test.source_file.clone(), test)).or_default().push(index);
    }
    let twin = |(index, test): (usize, &Test)| {
        let first = files.get(test.source_file.as_str())?;
        let own = at.get(&key(test.source_file.clone(), test))?.iter().position(|other| *other == index)?;
        Some((index, *at.get(&key(Text::new(first), test))?.get(own)?))
    };
    tests.iter().enumerate().filter_map(twin).collect()
}

/// A test that repeats another; indexes into the rows.
struct Copy {
    test: usize,
    of: usize,
    /// Readings that differ, of the copy and of the original.
    differing: Vec<(usize, usize)>,
    /// What else differs, in words: the original, then the copy.
    changed: Vec<String>,
}

impl Copy {
    /// Whether a person must say which of the two is right.
    fn is_doubtful(&self) -> bool {
        !(self.differing.is_empty() && self.changed.is_empty())
    }
}

fn by_test(readings: &[Reading]) -> BTreeMap<Text, Vec<usize>> {
    let mut by_test: BTreeMap<Text, Vec<usize>> = BTreeMap::new();
    for (index, reading) in readings.iter().enumerate() {
        by_test.entry(reading.test_id.clone()).or_default().push(index);
    }
    by_test
}

/// Tests of one machine, day, kind and stage, in the order of their sources; only days that are known to the day.
fn groups(tests: &[Test]) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    for (index, test) in tests.iter().enumerate() {
        // What repeats a whole file is told already.
        if let (None, Some(asset), Some(date), true) =
            (&test.duplicate_of, &test.asset_id, test.performed_on, test.performed_precision == Precision::Day.code())
        {
            groups.entry((asset, date, &test.kind, &test.stage)).or_default().push(index);
        }
    }
    let mut groups: Vec<Vec<usize>> = groups.into_values().filter(|group| group.len() > 1).collect();
    for group in &mut groups {
        group.sort_by_key(|index| place(&tests[*index]));
    }
    groups
}

fn place(test: &Test) -> (&str, Option<&str>, &str, &str) {
    (&test.source_file, test.source_sheet.as_deref(), &test.source_cell, &test.test_id)
}

fn copies(
    group: &[usize],
    tests: &[Test],
    readings: &[Reading],
    readings_of: &BTreeMap<Text, Vec<usize>>,
) -> Vec<Copy> {
    let mut copies: Vec<Copy> = Vec::new();
    let mut kept: Vec<usize> = Vec::new();
    for test in group {
        let copy = kept.iter().find_map(|of| {
            let (a, b) = (&tests[*test], &tests[*of]);
            let apart = (&a.source_file, &a.source_sheet) != (&b.source_file, &b.source_sheet);
            if !apart || contradict(a, b) {
                return None;
            }
            let rows = |test: &Test| readings_of.get(&test.test_id).map_or(&[][..], Vec::as_slice);
            // The end of an instrument's range is read again and again: it shows a copy only together with the temperature.
            let told = a.winding_temperature_c.is_some() && b.winding_temperature_c.is_some();
            let exact = |rows: &[usize]| rows.iter().any(|row| readings[*row].bound == Bound::Exact.code());
            let shows_a_copy = told || exact(rows(a)) && exact(rows(b));
            let found = if shows_a_copy { same(rows(a), rows(b), readings) } else { None };
            found.map(|differing| Copy { test: *test, of: *of, differing, changed: Vec::new() })
        });
        match copy {
            Some(copy) => copies.push(copy),
            None => kept.push(*test),
        }
    }
    copies
}

/// Whether what both tell besides the readings cannot be one test.
fn contradict(a: &Test, b: &Test) -> bool {
    let temperature = match (a.winding_temperature_c, b.winding_temperature_c) {
        (Some(a), Some(b)) => (a - b).abs() > SAME_TEMPERATURE_K,
        _ => false,
    };
    let voltage = match (a.test_voltage_v, b.test_voltage_v) {
        (Some(a), Some(b)) => (a - b).abs() > SAME_VOLTAGE_SHARE * a.abs().max(b.abs()),
        _ => false,
    };
    temperature || voltage
}

/// The readings that differ, if the two are one test.
fn same(a: &[usize], b: &[usize], readings: &[Reading]) -> Option<Vec<(usize, usize)>> {
    let (shared, differing) = shared(a, b, readings);
    let enough = shared > 0 && shared == a.len().min(b.len());
    let slip = differing.len() == 1 && shared >= FEWEST_FOR_A_SLIP;
    (enough && (differing.is_empty() || slip)).then_some(differing)
}

/// How many readings the two share, and those of them that differ.
fn shared(a: &[usize], b: &[usize], readings: &[Reading]) -> (usize, Vec<(usize, usize)>) {
    let mut shared = 0;
    let mut differing = Vec::new();
    for one in a {
        // A test may read the same twice; then the one that agrees is meant.
        let mut others = b.iter().filter(|other| same_key(&readings[*one], &readings[**other])).peekable();
        let Some(first) = others.peek().copied() else { continue };
        shared += 1;
        if !others.any(|other| same_value(&readings[*one], &readings[*other])) {
            differing.push((*one, *first));
        }
    }
    (shared, differing)
}

/// Whether two numbers are one but for rounding in a file, or neither is told.
fn close(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-6 * a.abs().max(b.abs()),
        (None, None) => true,
        _ => false,
    }
}

fn same_key(a: &Reading, b: &Reading) -> bool {
    a.quantity == b.quantity
        && a.circuit == b.circuit
        && a.as_reported == b.as_reported
        && close(a.elapsed_s, b.elapsed_s)
        && (a.applied_voltage_v.is_none()
            || b.applied_voltage_v.is_none()
            || close(a.applied_voltage_v, b.applied_voltage_v))
}

/// Whether two values agree to the digits that both write, and no outcome contradicts the other.
fn same_value(a: &Reading, b: &Reading) -> bool {
    let digits = digits(&a.raw_text).min(digits(&b.raw_text));
    let outcome = a.outcome == b.outcome || a.outcome.is_none() || b.outcome.is_none();
    outcome && a.bound == b.bound && format!("{:.*e}", digits - 1, a.value) == format!("{:.*e}", digits - 1, b.value)
}

/// Digits that a text writes of its number.
fn digits(text: &str) -> usize {
    let number = text
        .trim_start_matches(|c: char| !c.is_ascii_digit())
        .split(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
        .next();
    let significant =
        number.unwrap_or_default().trim_start_matches(['0', '.', ',']).chars().filter(char::is_ascii_digit).count();
    significant.max(FEWEST_DIGITS)
}

#[cfg(test)]
mod tests;
