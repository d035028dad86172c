//! The fleet folder: settings, layouts and decisions of people, and the tables, with commits that are visible whole or not at
//! all.
//!
//! This crate must **not** know what rows mean: it stores what it is given, sorted, and gives it back.
//!
//! ```text
//! windrow.toml      settings of the site
//! decisions.toml    rulings of people (need not exist)
//! layouts/          layout files
//! queries/          saved SQL, a file a query
//! store/
//!   schema_version  a number; a fleet of a newer one is refused
//!   <table>/        a Delta table for each table of the schema
//!   commits/        a Delta table: which versions of the others belong together
//!   cache/          what was understood of each source and worked out of each machine; may be deleted at any time
//!   lock            held by the program that writes
//! ```
//!
//! # Commits
//! A writer takes the lock, gives tables that a killed program left ahead their committed rows back, writes a Parquet file a
//! table, commits each table's Delta log, and last adds the rows to `commits` that name the new versions. Readers take the
//! newest commit there, and see nothing else. Every step is on the disk before the next begins. Where a file system has no
//! locks, the logs themselves refuse the later of two writers. Files are named by the hash of their bytes: equal rows are
//! equal files, and a table that did not change gets no new version. Replaced files stay a week for readers at work.
//!
//! ```
//! use windrow_store::{Fleet, Import, ImportTables, Outcome, answer};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let folder = tempfile::tempdir()?;
//! let fleet = Fleet::open_or_create(&folder.path().join("plant"))?;
//! let import = Import {
//!     import_id: "7f3a".into(),
//!     started_at: "2026-11-25T08:00:00Z".into(),
//!     tool_version: "0.1.0".into(),
//!     settings_hash: fleet.settings_hash()?,
//! };
//! let mut writer = fleet.writer()?;
//! assert_eq!(writer.commit_import(&import, ImportTables::default())?, Outcome::Committed);
//! assert_eq!(writer.commit_import(&import, ImportTables::default())?, Outcome::Unchanged);
//!
//! let frame = fleet.snapshot()?.query("SELECT import_id, readings FROM imports")?;
//! let mut csv = Vec::new();
//! answer::write(&frame, answer::Format::Csv, &mut csv)?;
//! assert_eq!(csv, b"import_id,readings\n7f3a,0\n");
//! # Ok(())
//! # }
//! ```
//!
//! # Reading the tables with other programs
//! Every folder below `store/` but `cache` is a table of the open Delta format. Tried with deltalake 1.x, pandas, Polars for
//! Python, DuckDB 1.5 and Spark 4 (`tests/analysts`):
//!
//! ```python
//! from deltalake import DeltaTable
//! DeltaTable("plant/store/readings").to_pandas()
//!
//! import polars
//! polars.scan_delta("plant/store/readings").filter(polars.col("bound") == "at_least").collect()
//! ```
//! ```sql
//! INSTALL delta; LOAD delta;  -- in DuckDB
//! SELECT quantity, count(*) FROM delta_scan('plant/store/readings') GROUP BY quantity;
//! ```
//! Read one table that way and it is whole. To read several that belong together while an import may be running, take the rows
//! of the highest `commit` in `store/commits`, and open each table at its `version` there (`DeltaTable(path, version=…)`). A
//! pattern such as `readings/*.parquet` is wrong: it also finds files that were replaced.

pub mod answer;
mod cache;
mod commits;
#[cfg(test)]
mod coverage_rows;
mod decisions;
mod delta;
pub mod durable;
mod error;
mod fleet;
mod frame;
mod gathered;
mod kept;
mod layouts;
mod merged;
mod order;
mod pages;
mod places;
mod queries;
mod settings;
mod snapshot;
mod spread;
mod sql;
mod stats;
mod steps;
mod taken_over;
mod tidy;
mod writer;

pub use cache::Cache;
pub use error::{Error, Result};
pub use fleet::{Fleet, Mark, SCHEMA_VERSION};
pub use frame::{from_columns, from_rows};
pub use gathered::Gathered;
pub use kept::Kept;
pub use places::Span;
pub use settings::line_at;
pub use snapshot::Snapshot;
pub use taken_over::Taken;
pub use writer::{AnalysisTables, Import, ImportTables, Outcome, Writer};

#[cfg(test)]
mod tests;
