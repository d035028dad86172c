//! Features of tests: what the judgement rests on.

mod applied;
mod circuits;
mod waves;
mod whole;

pub(crate) use applied::{Applied, applied};
pub(crate) use circuits::circuit_times;
pub(crate) use waves::{Wave, waves};
pub(crate) use whole::{Lowest, Part, TestFeatures, test_features};
