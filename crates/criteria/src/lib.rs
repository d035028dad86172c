//! Limits, levels, corrections and cautions of the trade, each with its standard, clause and how it is known.
//!
//! This crate must **not** know records, files or machines of a fleet: it is asked with figures and answers with figures.
//!
//! The figures stand in `data/*.toml`, a rule each, and are looked up by [`Machine`]. Nothing here replaces the standard
//! itself: whether a figure was verified, quoted second-hand or comes from memory is part of its basis and is shown wherever
//! the figure is.

pub mod ageing;
pub mod already;
mod applies;
pub mod asked;
pub mod cautions;
pub mod correction;
pub mod dew_point;
pub mod facts;
mod formula;
pub mod level;
pub mod limit;
mod machine;
mod preference;
pub mod rated;
pub mod ratio;
pub mod rule;
pub mod stress;
pub mod unbalance;
pub mod winding;

pub use applies::{Applies, Condition, Interval};
pub use correction::{Corrected, Correction, OutsideRange};
pub use facts::{Insulation, TestFacts};
pub use formula::{Formula, per_unit_v};
pub use level::{Level, levels};
pub use limit::{IndexLimits, Limit, Standing, Unjudged};
pub use machine::{Machine, Missing, Part, State};
pub use preference::Preference;
pub use rule::{Example, Family, Known, Rule, Subject, rules};
