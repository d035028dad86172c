//! How well records were put together: machines by B-cubed, tests that stand in several files.

use super::truth::True;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Reading, Test};

/// A test with the machine that it is of and the machine that it was put to.
pub(super) type Item = (String, String, String);

/// Machines of the truth and of the import.
#[derive(Debug, Default, Clone, Copy, PartialEq)]
pub(crate) struct Machines {
    pub(crate) precision: f64,
    pub(crate) recall: f64,
    pub(crate) tests: usize,
    pub(crate) of_truth: usize,
    pub(crate) of_import: usize,
}

impl Machines {
    /// B-cubed precision and recall (Bagga and Baldwin, LREC 1998, from memory), one item a test.
    pub(super) fn of(items: &BTreeSet<Item>) -> Self {
        let (mut of_true, mut of_found, mut of_both) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
        for (asset, id, _) in items {
            *of_true.entry(asset).or_insert(0.0) += 1.0;
            *of_found.entry(id).or_insert(0.0) += 1.0;
            *of_both.entry((asset, id)).or_insert(0.0) += 1.0;
        }
        #[expect(clippy::cast_precision_loss, reason = "few thousand tests")]
        let count = items.len().max(1) as f64;
        let mean = |whole: &dyn Fn(&String, &String) -> f64| {
            items.iter().map(|(asset, id, _)| of_both[&(asset, id)] / whole(asset, id)).sum::<f64>() / count
        };
        Self {
            precision: mean(&|_, id| of_found[id]),
            recall: mean(&|asset, _| of_true[asset]),
            tests: items.len(),
            of_truth: of_true.len(),
            of_import: of_found.len(),
        }
    }
}

/// Tests that stand in several files.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub(crate) struct Duplicates {
    pub(crate) due: usize,
    pub(crate) found: usize,
    pub(crate) slips_due: usize,
    pub(crate) slips_found: usize,
    pub(crate) missed: Vec<String>,
    /// Tests called copies of another that they are not.
    pub(crate) invented: Vec<String>,
}

impl Duplicates {
    /// Counts; `pairs` are true readings with the readings of the import that stand for them.
    pub(super) fn of(pairs: &[(&True, Option<&Reading>)], tests: &[Test]) -> Self {
        let original: BTreeMap<&str, &str> =
            tests.iter().filter_map(|test| Some((test.test_id.as_str(), test.duplicate_of.as_deref()?))).collect();
        let mut names: BTreeMap<&str, BTreeSet<Option<&str>>> = BTreeMap::new();
        let mut files: BTreeMap<&str, BTreeMap<&str, BTreeSet<&str>>> = BTreeMap::new();
        let mut slips = BTreeSet::new();
        for (truth, reading) in pairs {
            let name = truth.dup.as_deref();
            if let Some(reading) = reading {
                names.entry(&reading.test_id).or_default().insert(name);
            }
            let Some(name) = name else { continue };
            let of_file = files.entry(name).or_default().entry(&truth.file).or_default();
            of_file.extend(reading.map(|reading| root(&original, &reading.test_id)));
            if truth.slip {
                slips.insert(name);
            }
        }
        let is_found = |name: &&str| files.get(name).is_some_and(meet);
        let missed: Vec<String> = files.keys().filter(|name| !is_found(name)).map(ToString::to_string).collect();
        let told = |test: &str| names.get(test).cloned().unwrap_or_default();
        let is_invented = |copy: &str, of: &str| {
            let (a, b) = (told(copy), told(of));
            !a.is_empty() && !b.is_empty() && !a.intersection(&b).any(Option::is_some)
        };
        let invented = original.iter().filter(|(copy, of)| is_invented(copy, of));
        Self {
            due: files.len(),
            found: files.len() - missed.len(),
            slips_due: slips.len(),
            slips_found: slips.iter().filter(|name| is_found(name)).count(),
            missed,
            invented: invented.map(|(copy, of)| format!("{copy} of {of}")).collect(),
        }
    }
}

/// Whether the test of the first file is that of every other file.
fn meet(files: &BTreeMap<&str, BTreeSet<&str>>) -> bool {
    let mut sets = files.values();
    let first = sets.next();
    files.len() > 1 && first.is_some_and(|first| sets.all(|other| !first.is_disjoint(other)))
}

/// The test that is kept of a chain of copies.
fn root<'t>(original: &BTreeMap<&str, &'t str>, test: &'t str) -> &'t str {
    let mut at = test;
    for _ in 0..50 {
        match original.get(at) {
            Some(next) => at = next,
            None => break,
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::Machines;
    use std::collections::{BTreeMap, BTreeSet};

    /// Against values made with scikit-learn's contingency matrix (tests/reference/make_identity_reference.py names the version).
    #[test]
    fn b_cubed_is_that_of_the_reference() {
        let text = include_str!("../../../../tests/reference/identity_bcubed.csv");
        let mut cases: BTreeMap<&str, (BTreeSet<super::Item>, f64, f64)> = BTreeMap::new();
        for (row, line) in text.lines().skip(1).enumerate() {
            let fields: Vec<&str> = line.split(',').collect();
            let [case, of_true, found, precision, recall] = fields.as_slice() else { panic!("{line}") };
            let entry = cases.entry(case).or_default();
            entry.0.insert(((*of_true).into(), (*found).into(), row.to_string()));
            (entry.1, entry.2) = (precision.parse().unwrap(), recall.parse().unwrap());
        }
        assert!(cases.len() >= 5);
        for (case, (items, precision, recall)) in cases {
            let found = Machines::of(&items);
            assert!((found.precision - precision).abs() < 1e-12, "{case} {found:?}");
            assert!((found.recall - recall).abs() < 1e-12, "{case} {found:?}");
        }
    }
}
