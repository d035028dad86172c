//! The rules, one a file. Each judges the newest evidence of a machine; older evidence is history.

mod absorption;
pub(crate) mod curves;
mod dew;
mod dew_told;
mod discharge;
mod dissipation;
mod dissipation_phases;
pub(crate) mod dissipation_sisters;
mod divergence;
mod fallen;
mod fleet;
mod knee;
mod last_step;
mod leakage;
mod minimum;
mod numbers;
pub(crate) mod outlook;
mod plate;
mod polarization;
mod reported;
mod residual;
pub(crate) mod step;
mod strength;
pub(crate) mod tip;
pub(crate) mod trend;
mod unbalance;
mod unbalance_growth;
mod waveform;
mod withstand;

pub(crate) use fleet::{beside_the_fleet, odd_groups, speaks_of};
pub(crate) use numbers::find as not_numbers;

use crate::asked::{Answer, Question};
use crate::context::Context;
use crate::series::History;
use windrow_model::Finding;

/// Questions asked of one machine whose answers other machines must put into proportion.
pub(crate) fn answers(history: &History<'_>) -> Vec<Answer> {
    let step = step::is_possible(history).map(|_| Answer { question: Question::Step, told: None });
    step.into_iter().chain(knee::ask(history)).chain(residual::ask(history)).collect()
}

/// Findings of one machine that need no other machine.
pub(crate) fn of_machine(history: &History<'_>, context: &Context<'_>) -> Vec<Finding> {
    let singles = [
        minimum::find(history),
        polarization::find(history),
        absorption::find(history),
        unbalance::find(history),
        withstand::find(history),
        divergence::find(history),
        unbalance_growth::find(history),
        plate::find(history),
        dew::find(history),
        dissipation_phases::find(history),
    ];
    singles
        .into_iter()
        .flatten()
        .chain(last_step::find(history))
        .chain(dissipation::find(history))
        .chain(discharge::find(history))
        .chain(leakage::find(history))
        .chain(strength::find(history, context))
        .chain(waveform::find(history, context))
        .chain(reported::find(history))
        .chain(dew_told::find(history))
        .collect()
}
