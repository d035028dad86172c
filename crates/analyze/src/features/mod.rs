//! Features of tests, computed lazily in one pass over the readings: what the judgement rests on.

mod applied;
mod circuits;
mod reported;
mod waves;
mod whole;

pub(crate) use applied::{Applied, applied};
pub(crate) use circuits::{CircuitTimes, circuit_times};
pub(crate) use reported::{Figure, figures};
pub(crate) use waves::{Wave, waves};
pub(crate) use whole::{Lowest, TestFeatures, test_features};

use polars::prelude::*;

/// Half a second either way counts as the stated time: sources write 60 s, 1 min, 60.0.
pub(crate) fn at_seconds(seconds: f64) -> Expr {
    col("elapsed_s").gt_eq(lit(seconds - 0.5)).and(col("elapsed_s").lt_eq(lit(seconds + 0.5)))
}

/// Readings of one quantity.
pub(crate) fn of(quantity: &str) -> Expr {
    col("quantity").eq(lit(quantity))
}
