//! # What it finds
//! Readings in the store that are no finite number.
//! # How it is judged
//! `note`: such a reading takes part in nothing. No importer writes one; another program may have.
//! # References
//! None.

use crate::AnalyzeError;
use crate::finding::{About, Found, stated};
use crate::frames::Rows;
use polars::prelude::*;
use std::collections::BTreeMap;
use windrow_criteria::cautions;
use windrow_model::Finding;

/// One finding a test.
pub(crate) fn find(readings: LazyFrame) -> Result<Vec<Finding>, AnalyzeError> {
    let plan = readings
        .filter(col("value").is_finite().not())
        .select([col("test_id"), col("reading_id")])
        .sort(["test_id", "reading_id"], SortMultipleOptions::default());
    let rows = Rows::collect(plan)?;
    let mut by_test: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (test, reading) in rows.texts("test_id")?.into_iter().zip(rows.texts("reading_id")?) {
        by_test.entry(test.unwrap_or_default()).or_default().extend(reading);
    }
    Ok(by_test.into_iter().map(|(test_id, readings)| state(test_id, readings)).collect())
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
    stated(
        About {
            key: vec![test_id.clone(), "not_a_number".to_owned()],
            asset_id: None,
            test_id: Some(test_id),
            evidence,
            seen: None,
        },
        found,
    )
}
