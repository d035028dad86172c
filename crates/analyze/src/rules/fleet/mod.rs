//! What only the whole fleet can tell: machines whose readings surprise, readings that are off by a factor of a thousand, groups that
//! read differently from the rest.

mod groups;
mod machine;
mod slip;
mod words;

pub(crate) use groups::find as odd_groups;

use crate::fleet::{Model, Review};
use crate::series::History;
use windrow_model::Finding;

/// Whether the model has something to say of the machine at a place.
pub(crate) fn speaks_of(model: &Model<'_>, machine: usize) -> bool {
    let slip = |review: usize| model.scores.resistance.slip.get(review).copied().unwrap_or(false);
    machine::is_told(model, machine) || model.columns.reviews_of(machine).any(slip)
}

/// What the model finds on one machine.
pub(crate) fn beside_the_fleet(
    model: &Model<'_>,
    machine: usize,
    history: &History<'_>,
    reviews: &[Review<'_>],
) -> Vec<Finding> {
    machine::find(model, machine, history, reviews)
        .into_iter()
        .chain(slip::find(model, machine, history, reviews))
        .collect()
}
