//! Which records are one machine, and which tests are one test.
//!
//! This crate must **not** know analysis or stores. A wrong merge is a silent error, a missed one is a question: what is sure is
//! merged, what is likely is asked with the evidence side by side, everything else stays apart.
//!
//! A position (the tag) and a machine (the serial number) are two things. A serial number is one machine wherever it stands; a
//! record that tells only the position is of the machine that stood there on that day. A tag without a site joins a machine only
//! if one site answers to it. Names of a position meet by folding, by a site's code learned from the records, by "formerly", by
//! slips of O and I between digits, and by words ("Pump 102") that stand for the same letters elsewhere.

mod asset;
pub mod duplicates;
pub mod evidence;
mod grouped;
mod hierarchy;
mod keys;
mod located;
mod moves;
pub mod nameplate;
mod namesakes;
mod overlap;
pub mod plate;
mod positions;
mod prefix;
mod question;
mod renumber;
mod resolve;
pub mod ruling;
mod stand;

pub use prefix::split as site_code;
pub use resolve::{MentionIn, Resolved, resolve};

#[cfg(test)]
mod tests;
