//! # What it finds
//! Readings in the store that are no finite number.
//! # How it is judged
//! `note`: such a reading takes part in nothing. No importer writes one; another program may have.
//! # References
//! None.

use crate::finding::{About, Found, stated};
use crate::loaded::Loaded;
use std::collections::BTreeMap;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};

/// One finding a test.
pub(crate) fn find(loaded: &Loaded) -> Vec<Finding> {
    let mut by_test: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for (test, reading) in &loaded.not_numbers {
        by_test.entry(test).or_default().push(reading.to_string());
    }
    by_test.into_iter().map(|(test_id, readings)| state(test_id.to_owned(), readings)).collect()
}

fn state(test_id: String, evidence: Vec<String>) -> Finding {
    let found = Found {
        rule: "not_a_number",
        level: "note",
        statement: format!(
            "{} readings of one test stand in the store as no finite number; they were left out of everything.",
            evidence.len()
        ),
        value: None,
        limit: None,
        unit: "1",
        basis: "the stored value".to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "none; import the source again",
    };
    let about = About {
        key: vec![test_id.clone(), "not_a_number".to_owned()],
        asset_id: None,
        test_id: Some(test_id),
        evidence,
        seen: None,
    };
    let working = vec![Step::new("rule", "not a number, or infinite: no arithmetic is possible with it")];
    Finding { working, ..stated(about, found) }
}
