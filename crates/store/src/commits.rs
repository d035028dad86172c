//! The table `commits`: which version of every table belongs together.
//!
//! A Delta commit is atomic for one table only. Readers therefore keep to the newest entry here, which a writer appends last;
//! what other tables hold beyond it was never committed.

use crate::delta::{Delta, OpenTable};
use crate::error::{Error, Result};
use crate::frame;
use jiff::Timestamp;
use polars::prelude::{DataFrame, ParquetReader, SerReader};
use std::fs::File;
use std::path::Path;
use windrow_model::table;
use windrow_model::table::TableInfo;

table! {
    /// One row per table and commit: a commit's rows name the versions that belong together.
    pub struct CommitRow in "commits" {
        /// Number of the commit, from 1.
        commit: i64,
        /// `import` or `analysis`.
        kind: String,
        /// When it was made, RFC 3339 in UTC.
        committed_at: String,
        /// The table.
        table_name: String,
        /// Version of its Delta log.
        version: i64,
        /// Its data file; null when it has no rows.
        file: Option<String>,
        /// Its number of rows.
        rows: i64,
        /// The import whose rows these are, or that they judge.
        import_id: String,
    }
}

/// Description of the table.
pub(crate) const INFO: TableInfo = TableInfo::of::<CommitRow>();

/// Every commit so far, oldest first.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct History {
    pub(crate) rows: Vec<CommitRow>,
}

impl History {
    /// Reads the newest version of the table, and gives it too; no table means no commit.
    pub(crate) fn load(delta: &Delta) -> Result<(Self, Option<OpenTable>)> {
        let Some(open) = delta.newest(INFO.name)? else { return Ok((Self::default(), None)) };
        let mut rows = Vec::new();
        for file in open.files()? {
            rows.extend(frame::to_rows::<CommitRow>(&read(&delta.folder_of(INFO.name).join(file.name))?)?);
        }
        Ok((Self { rows }, Some(open)))
    }

    /// The commits that were current at `time` or later.
    pub(crate) fn since(&self, time: Timestamp) -> Self {
        let before = |row: &&CommitRow| row.committed_at.parse::<Timestamp>().is_ok_and(|at| at < time);
        let first = self.rows.iter().filter(before).map(|row| row.commit).max().unwrap_or(0);
        Self { rows: self.rows.iter().filter(|row| row.commit >= first).cloned().collect() }
    }

    /// Number of the newest commit; 0 before the first.
    pub(crate) fn last(&self) -> i64 {
        self.rows.iter().map(|row| row.commit).max().unwrap_or(0)
    }

    /// Rows of commit `number`.
    pub(crate) fn of(&self, number: i64) -> impl Iterator<Item = &CommitRow> {
        self.rows.iter().filter(move |row| row.commit == number)
    }
}

/// A whole data file in memory.
fn read(path: &Path) -> Result<DataFrame> {
    let file = File::open(path).map_err(|error| Error::io("open", path, error))?;
    ParquetReader::new(file)
        .finish()
        .map_err(|error| Error::new(format!("could not read {}", path.display())).caused_by(error))
}

/// A time as it is stored: RFC 3339 in UTC, whole seconds.
pub(crate) fn in_seconds(time: Timestamp) -> String {
    Timestamp::from_second(time.as_second()).unwrap_or(time).to_string()
}
