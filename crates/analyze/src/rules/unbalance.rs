//! # What it finds
//! A newest unbalance of winding resistance above the limit.
//! # How it is judged
//! `plan`: joints and shorted turns do not mend themselves.
//! # References
//! ANSI/EASA AR100-2020 clause 4.3.1, by `windrow-criteria`; 5 % where the construction is not told is common practice.

use crate::finding::{self, Found};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let (newest, value) = history.newest(|judged| judged.unbalance)?;
    let limit = newest.unbalance_limit.as_ref().filter(|limit| value > limit.value)?;
    let found = Found {
        rule: "unbalance",
        level: "plan",
        statement: format!(
            "{}: winding resistances differ from their mean by {:.1} %, more than {:.0} %; a joint or a turn may be failing.",
            history.tag,
            value * 100.0,
            limit.value * 100.0
        ),
        value: Some(value),
        limit: Some(limit.value),
        unit: "1",
        basis: limit.basis.clone(),
        cautions: cautions::CONDUCTOR,
        next_test: "winding resistance at the motor's own terminals, all joints measured",
    };
    Some(Finding { working: working(&newest.test.winding_resistances, value), ..finding::row(history, newest, found) })
}

/// The mean and the largest deviation from it.
fn working(resistances: &[f64], value: f64) -> Vec<Step> {
    #[expect(clippy::cast_precision_loss, reason = "three resistances")]
    let mean = resistances.iter().sum::<f64>() / resistances.len() as f64;
    let told: Vec<String> = resistances.iter().map(|ohm| format!("{ohm:.5} Ω")).collect();
    vec![
        Step::new("data", format!("winding resistances, at 25 °C where the temperature is known: {}", told.join(", "))),
        Step::new("arithmetic", format!("mean {mean:.5} Ω; largest deviation from it / mean = {value:.4}")),
    ]
}
