//! Tests that an export told, in a fleet that holds what they were exported from, or that takes in two exports of one fleet.

use super::{Copy, changed, contradict, place, shared};
use std::collections::BTreeMap;
use windrow_model::raw::Exported;
use windrow_model::{Reading, Test, Text};

/// Which readings a copy shares with what it repeats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shared {
    /// All of its own, with what is told of the test: what was changed or added in an export is nowhere else.
    All,
    /// Those of the one that has fewer, as it was when it was known as a copy.
    Fewer,
}

/// Tests that repeat another by the ids under which they were exported. The source is kept where it is there, else the first export in
/// the order of sources. What was changed since is told, of the test and of its readings; a test of another machine stays one of its own.
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
    let kinds_may_differ = need == Shared::All;
    if a.duplicate_of.is_some() || a.asset_id != b.asset_id || !kinds_may_differ && a.kind != b.kind {
        return None;
    }
    let rows = |test: &Test| readings_of.get(&test.test_id).map_or(&[][..], Vec::as_slice);
    let (count, differing) = shared(rows(a), rows(b), readings);
    let changed = match need {
        Shared::All => {
            let mut changed = changed::of_test(a, b);
            changed.extend(changed::outcomes(rows(a), rows(b), readings));
            changed.extend(changed::readings_apart(rows(a).len() - count));
            changed
        }
        // A copy was another record of the test, and may tell more or less of it.
        Shared::Fewer if count == 0 || count != rows(a).len().min(rows(b).len()) => return None,
        Shared::Fewer if contradict(a, b) => vec!["temperature or voltage differs".to_owned()],
        Shared::Fewer => Vec::new(),
    };
    Some(Copy { test, of, differing, changed })
}

#[cfg(test)]
mod tests;
