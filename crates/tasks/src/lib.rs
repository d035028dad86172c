//! What people do with a fleet folder, whatever they do it through: import records, judge them, answer questions, say a word on
//! findings, gather what a report shows.
//!
//! The command line and the local web application are two doors to the same functions. This crate must **not** know terminals,
//! pages or HTTP, and takes the plugins that it is given.

pub mod acknowledge;
pub mod clock;
pub mod cohorts;
pub mod decide;
pub mod evidence;
pub mod findings;
pub mod import;
pub mod judge;
pub mod ladder;
mod memory;
pub mod next_tests;
pub mod positions;
mod program;
pub mod questions;
pub mod report;
mod totals;

pub use totals::Totals;

/// What was asked cannot be answered, with what to do: the asking is at fault, not the files or the disk.
#[derive(Debug)]
pub struct WrongUsage(pub String);

impl std::fmt::Display for WrongUsage {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for WrongUsage {}
