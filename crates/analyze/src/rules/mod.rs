//! The rules, one a file. Each judges the newest evidence of a machine; older evidence is history.

mod curves;
mod dew;
mod divergence;
mod fleet;
mod knee;
mod leakage;
mod minimum;
mod numbers;
mod outlook;
mod plate;
mod polarization;
mod reported;
mod residual;
mod step;
mod strength;
mod trend;
mod unbalance;
mod unbalance_growth;
mod waveform;
mod withstand;

pub(crate) use fleet::beside_the_fleet;

use crate::AnalyzeError;
use crate::context::Context;
use crate::series::History;
use polars::prelude::LazyFrame;
use std::collections::BTreeMap;
use windrow_model::Finding;

/// Findings of all machines.
pub(crate) fn of_fleet(histories: &[History<'_>], context: &Context<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = histories.iter().flat_map(|history| of_machine(history, context)).collect();
    findings.extend(trend::find(histories));
    // An outlook is asked for by what was found before.
    let mut by_machine: BTreeMap<Option<&str>, Vec<&Finding>> = BTreeMap::new();
    for finding in &findings {
        by_machine.entry(finding.asset_id.as_deref()).or_default().push(finding);
    }
    let outlooks: Vec<Finding> = histories
        .iter()
        .filter_map(|history| outlook::find(history, context, by_machine.get(&Some(history.asset_id))?))
        .collect();
    findings.extend(outlooks);
    findings
}

/// Findings on what the store holds.
pub(crate) fn of_store(readings: LazyFrame) -> Result<Vec<Finding>, AnalyzeError> {
    numbers::find(readings)
}

/// Findings of one machine that need no other machine.
fn of_machine(history: &History<'_>, context: &Context<'_>) -> Vec<Finding> {
    let singles = [
        minimum::find(history),
        polarization::find(history),
        unbalance::find(history),
        withstand::find(history),
        step::find(history),
        divergence::find(history),
        unbalance_growth::find(history),
        plate::find(history),
        dew::find(history),
    ];
    singles
        .into_iter()
        .flatten()
        .chain(knee::find(history))
        .chain(leakage::find(history))
        .chain(strength::find(history, context))
        .chain(residual::find(history))
        .chain(waveform::find(history, context))
        .chain(reported::find(history))
        .collect()
}
