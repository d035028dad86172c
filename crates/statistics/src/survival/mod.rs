//! Readings above a ceiling, and lives not yet ended: the same mathematics.
//!
//! A reading written ">2000" is to its distribution what a winding still in service is to its life: the value is not below that.

mod kaplan_meier;
mod order_statistics;
mod weibull;

pub use kaplan_meier::{Curve, Observation, Step, kaplan_meier, kaplan_meier_from, kaplan_meier_of};
pub use order_statistics::{Imputed, LARGEST_SHARE_BOUNDED, LEAST_EXACT, regression_on_order_statistics};
pub use weibull::{LEAST_FAILURES, Weibull, weibull};
