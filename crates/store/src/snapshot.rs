//! All tables as one commit left them.

use crate::commits::{CommitRow, History};
use crate::delta::Delta;
use crate::error::{Error, Result};
use crate::frame;
use crate::sql;
use polars::prelude::{DataFrame, IntoLazy, LazyFrame, NamedFrom, PlRefPath, ScanArgsParquet, Series, col, lit};
use std::collections::BTreeMap;
use std::path::PathBuf;
use windrow_model::table::{ColumnData, TABLES, Table, TableInfo};

/// All tables as the newest commit left them, whatever is written meanwhile.
#[derive(Debug, Clone, Default)]
pub struct Snapshot {
    commit: i64,
    tables: BTreeMap<String, Stored>,
}

/// One table of a snapshot.
#[derive(Debug, Clone, PartialEq)]
struct Stored {
    row: CommitRow,
    path: Option<PathBuf>,
}

impl Snapshot {
    pub(crate) fn of(history: &History, delta: &Delta) -> Self {
        Self::at(history, delta, history.last())
    }

    /// The newest commit whose findings judge another import than those of the newest of all.
    pub(crate) fn before_import(history: &History, delta: &Delta) -> Option<Self> {
        let judged =
            |commit: i64| history.of(commit).find(|row| row.table_name == "findings").map(|row| &row.import_id);
        let now = judged(history.last())?;
        let earlier = (1..history.last()).rev().find(|commit| judged(*commit).is_some_and(|import| import != now))?;
        Some(Self::at(history, delta, earlier))
    }

    fn at(history: &History, delta: &Delta, commit: i64) -> Self {
        let stored = |row: &CommitRow| {
            let path = row.file.as_ref().map(|file| delta.folder_of(&row.table_name).join(file));
            (row.table_name.clone(), Stored { row: row.clone(), path })
        };
        Self { commit, tables: history.of(commit).map(stored).collect() }
    }

    /// Number of the commit; 0 for a fleet into which nothing was imported yet.
    #[must_use]
    pub fn commit(&self) -> i64 {
        self.commit
    }

    /// The import whose rows the tables hold.
    #[must_use]
    pub fn import_id(&self) -> Option<&str> {
        self.import_of("imports")
    }

    /// The import that the findings judge; another one than [`Snapshot::import_id`] when records were imported since.
    #[must_use]
    pub fn judged_import_id(&self) -> Option<&str> {
        self.import_of("findings")
    }

    /// The import whose rows `table` holds, or that they judge.
    pub(crate) fn import_of(&self, table: &str) -> Option<&str> {
        self.tables.get(table).map(|stored| stored.row.import_id.as_str())
    }

    pub(crate) fn row(&self, table: &str) -> Option<&CommitRow> {
        self.tables.get(table).map(|stored| &stored.row)
    }

    pub(crate) fn rows_of_commit(&self) -> impl Iterator<Item = &CommitRow> {
        self.tables.values().map(|stored| &stored.row)
    }

    /// `table` as a lazy frame, columns as in the schema; without rows if nothing was stored yet.
    pub fn scan(&self, table: &str) -> Result<LazyFrame> {
        let info = TABLES.iter().find(|info| info.name == table);
        let info = info.ok_or_else(|| Error::query(format!("there is no table {table:?}; {}", sql::known_tables())))?;
        self.scan_table(info)
    }

    pub(crate) fn scan_table(&self, info: &TableInfo) -> Result<LazyFrame> {
        let Some(path) = self.tables.get(info.name).and_then(|stored| stored.path.as_ref()) else {
            return Ok(frame::empty(info).lazy());
        };
        let unreadable = |error| Error::new(format!("could not read {}", path.display())).caused_by(error);
        let path_text = PlRefPath::try_from_path(path).map_err(unreadable)?;
        let args = ScanArgsParquet { glob: false, ..ScanArgsParquet::default() };
        let mut scan = LazyFrame::scan_parquet(path_text, args).map_err(unreadable)?;
        let found = scan.collect_schema().map_err(unreadable)?;
        let expected = info.columns.iter().map(|column| (column.name, frame::data_type(column.kind)));
        if !found.iter().map(|(name, kind)| (name.as_str(), kind.clone())).eq(expected) {
            return Err(Error::new(format!(
                "{} was written with other columns than this version of the program knows; import into a new fleet folder",
                path.display()
            )));
        }
        Ok(scan)
    }

    /// All rows of a table, in stored order.
    pub fn rows<T: Table>(&self) -> Result<Vec<T>> {
        frame::to_rows(&self.collect(&TableInfo::of::<T>())?)
    }

    /// All rows of `table` column by column, in stored order.
    pub fn columns(&self, table: &TableInfo) -> Result<Vec<ColumnData>> {
        frame::to_columns(&self.collect(table)?, table)
    }

    fn collect(&self, table: &TableInfo) -> Result<DataFrame> {
        self.scan_table(table)?.collect().map_err(|error| {
            Error::new(format!("could not read the table {}; if it was just replaced, ask again", table.name))
                .caused_by(error)
        })
    }

    /// Rows of a table whose text column `column` holds one of `values`, in stored order; the rest is not read where the file's
    /// statistics tell that it holds none.
    ///
    /// # Errors
    /// When the table has no such column, or cannot be read.
    pub fn rows_where<T: Table>(&self, column: &str, values: &[&str]) -> Result<Vec<T>> {
        let wanted = Series::new("wanted".into(), values);
        let is_wanted = col(column).is_in(lit(wanted).implode(false), false);
        let frame = self.scan_table(&TableInfo::of::<T>())?.filter(is_wanted).collect().map_err(|error| {
            let text = format!("could not look up rows of {} by {column}; if it was just replaced, ask again", T::NAME);
            Error::new(text).caused_by(error)
        })?;
        frame::to_rows(&frame)
    }

    /// The answer to one SQL statement over all tables.
    ///
    /// # Errors
    /// [`Error::is_query`] when the statement is at fault: then the message says near what, and which names are known.
    pub fn query(&self, statement: &str) -> Result<DataFrame> {
        sql::run(self, statement, None)
    }

    /// As [`Snapshot::query`], but no more than the first `rows` rows.
    pub fn query_first(&self, statement: &str, rows: u32) -> Result<DataFrame> {
        sql::run(self, statement, Some(rows))
    }
}
