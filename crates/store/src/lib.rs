//! Tables on disk.

pub mod answer;
mod cache;
mod commits;
mod delta;
mod durable;
mod error;
mod fleet;
mod frame;
mod order;
mod settings;
mod snapshot;
mod sql;
mod stats;
mod steps;
mod tidy;
mod writer;

pub use cache::Cache;
pub use error::{Error, Result};
pub use fleet::{Fleet, SCHEMA_VERSION};
pub use snapshot::Snapshot;
pub use writer::{Import, ImportTables, Outcome, Writer};

#[cfg(test)]
mod tests;
