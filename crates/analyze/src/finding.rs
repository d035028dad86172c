//! How a rule states what it found.

use crate::judge::Judged;
use crate::series::History;
use windrow_model::Finding;
use windrow_model::id::row_id;

/// What a rule found on one test.
#[derive(Debug)]
pub(crate) struct Found {
    pub(crate) rule: &'static str,
    pub(crate) level: &'static str,
    pub(crate) statement: String,
    pub(crate) value: Option<f64>,
    pub(crate) limit: Option<f64>,
    pub(crate) unit: &'static str,
    pub(crate) basis: String,
    pub(crate) next_test: &'static str,
    pub(crate) cautions: &'static str,
}

/// The finding's row. Its id rests on machine, test and rule, so that running again gives the same.
pub(crate) fn row(history: &History<'_>, judged: &Judged<'_>, found: Found) -> Finding {
    let test = judged.test;
    Finding {
        finding_id: row_id("findings", &[history.asset_id, &test.test_id, found.rule]).into(),
        asset_id: Some(history.asset_id.to_owned()),
        test_id: Some(test.test_id.clone()),
        rule: found.rule.to_owned(),
        level: found.level.to_owned(),
        statement: found.statement,
        evidence: test.evidence.clone(),
        value: found.value,
        limit: found.limit,
        unit: Some(found.unit.to_owned()),
        basis: found.basis,
        next_test: Some(found.next_test.to_owned()),
        cautions: found.cautions.to_owned(),
        q_value: None,
        forecast_date: None,
        forecast_from: None,
        forecast_to: None,
        first_seen: test.performed_on,
        last_seen: test.performed_on,
        state: "open".to_owned(),
    }
}

/// Megohms as people write them.
pub(crate) fn megohms(ohm: f64) -> String {
    let value = ohm / 1e6;
    if value >= 100.0 { format!("{value:.0} MΩ") } else { format!("{value:.2} MΩ") }
}
