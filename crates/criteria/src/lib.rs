//! Limits, corrections and cautions of the trade, each with its standard, clause and how it is known.
//!
//! This crate must **not** know records, files or machines of a fleet: it is asked with figures and answers with figures.
//!
//! Nothing here replaces the standard itself: `known` says whether a figure was verified, quoted second-hand or comes from
//! memory, and is shown wherever the figure is.

pub mod cautions;
pub mod correction;
pub mod dew_point;
pub mod limit;
pub mod ratio;
pub mod unbalance;

pub use correction::{Correction, OutsideRange};
pub use limit::{Limit, Machine};
