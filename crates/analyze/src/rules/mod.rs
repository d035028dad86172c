//! The rules, one a file. Each judges the newest evidence of a machine; older evidence is history.

mod dew;
mod fleet;
mod minimum;
mod plate;
mod polarization;
mod reported;
mod trend;
mod unbalance;
mod withstand;

pub(crate) use fleet::of_fleet;

use crate::series::History;
use windrow_model::Finding;

/// Findings of one machine.
pub(crate) fn of_machine(history: &History<'_>) -> Vec<Finding> {
    [
        minimum::find(history),
        polarization::find(history),
        unbalance::find(history),
        withstand::find(history),
        trend::find(history),
        plate::find(history),
        dew::find(history),
    ]
    .into_iter()
    .flatten()
    .chain(reported::find(history))
    .collect()
}
