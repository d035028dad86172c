//! Which records are one machine.
//!
//! This crate must **not** know analysis or stores. It merges on sure signals only: a wrong merge is a silent error, a
//! missed one is a question.
//!
//! Sure are: one serial number; one folded tag at one site. A tag without a site joins a machine only if a single machine of
//! the fleet answers to that tag. Everything else stays apart, and a record whose tag could be several machines gets none.

mod asset;
pub mod duplicates;
pub mod plate;
mod resolve;

pub use resolve::{MentionIn, Resolved, resolve};

#[cfg(test)]
mod tests;
