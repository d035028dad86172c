//! Tests that an export told, in a fleet that holds what they were exported from, or that takes in two exports of one fleet.

use super::{Copy, place, shared};
use std::collections::BTreeMap;
use windrow_model::raw::Exported;
use windrow_model::{Reading, Test, Text};

/// Which readings a copy shares with what it repeats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shared {
    /// All of its own: a line that was added to a test in an export is nowhere else.
    All,
    /// Those of the one that has fewer, as it was when it was known as a copy.
    Fewer,
}

/// Tests that repeat another by the ids under which they were exported. The source is kept where it is there, else the first export in
/// the order of sources. Readings that were changed since are told; a test of another machine or with other readings stays one of its own.
pub(super) fn copies(
    tests: &[Test],
    readings: &[Reading],
    readings_of: &BTreeMap<Text, Vec<usize>>,
    ids: &BTreeMap<Text, Exported>,
) -> Vec<Copy> {
    let mut order: Vec<usize> = (0..tests.len()).collect();
    order.sort_by_key(|index| place(&tests[*index]));
    let (exported, sources): (Vec<usize>, Vec<usize>) =
        order.into_iter().partition(|index| ids.contains_key(&tests[*index].test_id));
    let mut kept: BTreeMap<&str, usize> = BTreeMap::new();
    for index in sources {
        kept.insert(&tests[index].test_id, index);
    }
    // Those that were no copies where they came from come first: they are what the others repeat.
    let (copies, originals): (Vec<usize>, Vec<usize>) =
        exported.into_iter().partition(|index| ids[&tests[*index].test_id].copy_of.is_some());
    let mut found = Vec::new();
    for index in originals.into_iter().chain(copies) {
        let told = &ids[&tests[index].test_id];
        let names = [(Some(&told.test_id), Shared::All), (told.copy_of.as_ref(), Shared::Fewer)];
        let mut of = names.into_iter().filter_map(|(id, need)| Some((*kept.get(id?.as_str())?, need)));
        match of.find_map(|(of, need)| copy([index, of], need, tests, readings, readings_of)) {
            Some(copy) => found.push(copy),
            None => {
                kept.entry(&told.test_id).or_insert(index);
            }
        }
    }
    found
}

/// Makes copies of copies copies of what those repeat, as a test of an export is whose source repeats another.
pub(super) fn to_originals(tests: &mut [Test]) {
    let of = |test: &Test| Some((test.test_id.clone(), test.duplicate_of.clone()?));
    let originals: BTreeMap<Text, Text> = tests.iter().filter_map(of).collect();
    for of in tests.iter_mut().filter_map(|test| test.duplicate_of.as_mut()) {
        if let Some(original) = originals.get(of) {
            of.clone_from(original);
        }
    }
}

fn copy(
    [test, of]: [usize; 2],
    need: Shared,
    tests: &[Test],
    readings: &[Reading],
    readings_of: &BTreeMap<Text, Vec<usize>>,
) -> Option<Copy> {
    let (a, b) = (&tests[test], &tests[of]);
    if a.duplicate_of.is_some() || (&a.asset_id, &a.kind) != (&b.asset_id, &b.kind) {
        return None;
    }
    let rows = |test: &Test| readings_of.get(&test.test_id).map_or(&[][..], Vec::as_slice);
    let (count, differing) = shared(rows(a), rows(b), readings);
    let enough = match need {
        Shared::All => rows(a).len(),
        Shared::Fewer => rows(a).len().min(rows(b).len()),
    };
    (count > 0 && count == enough).then_some(Copy { test, of, differing })
}

#[cfg(test)]
mod tests;
