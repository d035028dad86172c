//! Features of tests: what the judgement rests on.

mod applied;
mod circuits;
mod lowest;
mod part;
mod quantities;
mod waves;
mod whole;

pub(crate) use applied::{Applied, applied};
pub(crate) use circuits::{Bounded, CircuitTimes, circuit_times};
pub(crate) use lowest::Lowest;
pub(crate) use part::Part;
pub(crate) use quantities::Quantities;
pub(crate) use waves::{Wave, waves};
pub(crate) use whole::{TestFeatures, test_features};
