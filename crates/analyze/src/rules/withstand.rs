//! # What it finds
//! A newest withstand or surge test that the source says broke down.
//! # How it is judged
//! `act`.
//! # References
//! The source's own words.

use crate::finding::{self, Found};
use crate::series::History;
use windrow_model::Finding;

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let (newest, withstood) = history.newest(|judged| judged.test.withstood)?;
    if withstood {
        return None;
    }
    let kind = newest.test.kind.replace('_', " ");
    let found = Found {
        rule: "broke_down",
        level: "act",
        statement: format!("{}: the record says that the winding broke down in its {kind} test.", history.tag),
        value: newest.test.max_voltage_v,
        limit: None,
        unit: "V",
        basis: "the outcome as the source states it".to_owned(),
        next_test: "none before repair; locate the fault first",
    };
    Some(finding::row(history, newest, found))
}
