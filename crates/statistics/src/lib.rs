//! Statistics for few, bounded and scattered readings.
//!
//! Pure functions over slices: no tables, no files, no settings. Each says its shapes, units and errors, and names its source.
//! Where nothing can be said the answer is `None`; not-a-number and infinity never become a certainty.
//!
//! # References
//! Every function with a counterpart in a reference library is held against it by `tests/reference/`, which runs every case of
//! `tests/reference/stats_*.json` of the repository.

#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "`!(x > 0.0)` says that what is not a number fails as well")]

pub mod conjugate;
mod count;
pub mod critical;
pub mod forecast;
pub mod knee;
pub mod multiplicity;
pub mod regression;
pub mod robust;
pub mod special;
pub mod step;
pub mod survival;
pub mod trend;
pub mod waveform;
