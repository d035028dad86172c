//! How a check of records states what it found: always a `note`, always with its arithmetic, never a change.

use crate::finding::{About, Found, stated};
use crate::loaded::{Reading, SheetName};
use jiff::civil::Date;
use windrow_model::{Finding, Step, Text};

/// Evidence that is kept in a finding; a sheet can hold thousands of readings that say the same.
pub(crate) const MOST_EVIDENCE: usize = 200;

/// What a check found.
#[derive(Debug)]
pub(crate) struct Doubt {
    pub(crate) rule: &'static str,
    /// What tells this finding from others of its rule: a sheet, a machine, a test.
    pub(crate) key: Vec<String>,
    pub(crate) asset_id: Option<Text>,
    pub(crate) test_id: Option<Text>,
    pub(crate) statement: String,
    pub(crate) value: Option<f64>,
    pub(crate) limit: Option<f64>,
    pub(crate) unit: &'static str,
    pub(crate) basis: String,
    pub(crate) working: Vec<Step>,
    pub(crate) proposal: Option<String>,
    pub(crate) evidence: Vec<String>,
    pub(crate) seen: Option<Date>,
    pub(crate) q_value: Option<f64>,
}

impl Default for Doubt {
    fn default() -> Self {
        Self {
            rule: "",
            key: Vec::new(),
            asset_id: None,
            test_id: None,
            statement: String::new(),
            value: None,
            limit: None,
            unit: "1",
            basis: String::new(),
            working: Vec::new(),
            proposal: None,
            evidence: Vec::new(),
            seen: None,
            q_value: None,
        }
    }
}

/// The row of a doubt.
pub(crate) fn note(doubt: Doubt) -> Finding {
    let mut key = doubt.key;
    key.push(doubt.rule.to_owned());
    let mut evidence = doubt.evidence;
    evidence.truncate(MOST_EVIDENCE);
    let about = About {
        key,
        asset_id: doubt.asset_id.map(String::from),
        test_id: doubt.test_id.map(String::from),
        evidence,
        seen: doubt.seen,
    };
    let found = Found {
        rule: doubt.rule,
        level: "note",
        statement: doubt.statement,
        value: doubt.value,
        limit: doubt.limit,
        unit: doubt.unit,
        basis: doubt.basis,
        next_test: "none; look at the record, and ask who kept it",
        cautions: CAUTION,
    };
    Finding { working: doubt.working, proposal: doubt.proposal, q_value: doubt.q_value, ..stated(about, found) }
}

/// The readings that a doubt rests on, as many as are kept.
pub(crate) fn evidence<'a>(readings: impl IntoIterator<Item = Reading<'a>>) -> Vec<String> {
    readings.into_iter().filter_map(|reading| reading.reading_id()).take(MOST_EVIDENCE).collect()
}

/// A doubt about a record says nothing good or bad of the winding.
const CAUTION: &str = "nothing was changed; as long as the record is in doubt, decide nothing on the machine by these readings; repeat the test";

/// A place in words: file and sheet.
pub(crate) fn place((file, sheet): &SheetName) -> String {
    sheet.as_ref().map_or_else(|| file.to_string(), |sheet| format!("{file}, sheet {sheet}"))
}

/// What tells the findings of one rule on different sheets apart.
pub(crate) fn key((file, sheet): &SheetName) -> Vec<String> {
    vec![file.to_string(), sheet.as_deref().unwrap_or_default().to_owned()]
}

/// Rows of at most this many readings are shown one by one in the working of a finding.
const MOST_ROWS: usize = 12;

/// The first of many lines as steps of one name, with how many are left out.
pub(crate) fn lines(step: &str, lines: impl IntoIterator<Item = String>) -> Vec<Step> {
    let all: Vec<String> = lines.into_iter().collect();
    let left_out = all.len().saturating_sub(MOST_ROWS);
    let mut steps: Vec<Step> = all.into_iter().take(MOST_ROWS).map(|line| Step::new(step, line)).collect();
    if left_out > 0 {
        steps.push(Step::new(step, format!("and {left_out} more")));
    }
    steps
}
