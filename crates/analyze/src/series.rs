//! The tests of one machine in time.

use crate::judge::Judged;
use std::collections::BTreeMap;

/// A machine with its judged tests, oldest first; repeats from other sources are left out.
#[derive(Debug)]
pub(crate) struct History<'a> {
    pub(crate) asset_id: &'a str,
    pub(crate) tag: &'a str,
    pub(crate) tests: Vec<&'a Judged<'a>>,
}

/// Histories of all machines, by id.
pub(crate) fn by_machine<'a>(judged: &'a [Judged<'a>]) -> Vec<History<'a>> {
    let mut machines: BTreeMap<&str, History<'_>> = BTreeMap::new();
    for test in judged.iter().filter(|judged| judged.test.duplicate_of.is_none()) {
        if let Some(asset_id) = test.test.asset_id.as_deref() {
            let tag = test.test.tag.as_deref().unwrap_or("unnamed machine");
            machines.entry(asset_id).or_insert_with(|| History { asset_id, tag, tests: Vec::new() }).tests.push(test);
        }
    }
    let mut histories: Vec<History<'_>> = machines.into_values().collect();
    for history in &mut histories {
        history.tests.sort_by_key(|judged| (judged.test.performed_on, &judged.test.test_id));
    }
    histories
}

impl<'a> History<'a> {
    /// The newest dated test for which `has` gives something.
    pub(crate) fn newest<T>(&self, has: impl Fn(&'a Judged<'a>) -> Option<T>) -> Option<(&'a Judged<'a>, T)> {
        self.tests
            .iter()
            .rev()
            .filter(|judged| judged.test.performed_on.is_some())
            .find_map(|judged| Some((*judged, has(judged)?)))
    }
}
