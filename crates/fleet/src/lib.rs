//! What a whole fleet of windings says about each of them.
//!
//! One winding's own history is too short to convict it. The strength comes from the fleet: how much tests scatter, what such
//! windings usually read, how much they drift, what a site and year share. Every new reading is predicted from the machine's past
//! and its cohort, the surprise becomes a chance with the fleet's own scatter as the yardstick, surprises add up over the last four
//! tests and over quantities that look at the same part, and the rate of false discoveries is controlled over the fleet.
//!
//! This crate must **not** know tables, words or levels of findings: it is given columns and gives columns. It works in parts that
//! can run anywhere: features a machine (map) → histograms of whole hundredths (they add up in any order) → scores a machine (map) →
//! one sort. The same bytes come out for every number of threads and every order of machines.

mod beside;
mod campaign;
mod cohort;
mod columns;
mod counting;
mod covariates;
mod evidence;
mod filter;
mod groups;
mod hindsight;
mod normal;
mod null;
mod pass;
mod score;
mod sisters;
pub mod slip;
mod surprise;
mod tally;
mod turns;

pub use columns::{Channel, Fleet, Machines, Reviews, UNTOLD};
pub use covariates::{Covariates, USUAL_COUNT, USUAL_SCATTER};
pub use groups::{Odd, odd_groups};
pub use score::{FEWEST_MACHINES, Group, Scores, Standing, score};
pub use sisters::{Others, Sisters};
pub use surprise::{Surprises, Usual};
pub use tally::{Cell, Tally, key};
pub use turns::Turns;
pub use windrow_model::Bound;
