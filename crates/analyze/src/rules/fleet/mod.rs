//! What only the whole fleet can tell: machines whose readings surprise, readings that are off by a factor of a thousand, groups that
//! read differently from the rest.

mod groups;
mod machine;
mod slip;
mod words;

use crate::fleet::Model;
use crate::series::History;
use windrow_model::Finding;

/// Machines below which none is judged beside the others: how much sound ones age and scatter cannot be told from so few (common practice,
/// no source).
const FEWEST_MACHINES: usize = 5;

/// Findings over the whole fleet.
pub(crate) fn beside_the_fleet(model: &Model<'_>, histories: &[History<'_>]) -> Vec<Finding> {
    let judged = if histories.len() < FEWEST_MACHINES { &[] } else { histories };
    let machines = judged.iter().enumerate().filter_map(|(machine, history)| machine::find(model, machine, history));
    machines.chain(slip::find(model, histories)).chain(groups::find(model)).collect()
}
