//! All tables as one commit left them.

use crate::commits::{CommitRow, History};
use crate::delta::{Delta, ROW_GROUP};
use crate::error::{Error, Result};
use crate::frame;
use crate::sql;
use polars::io::RowIndex;
use polars::prelude::{
    DataFrame, Expr, IntoLazy, LazyFrame, NamedFrom, PlRefPath, PolarsError, ScanArgsParquet, Series, col, lit,
};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};
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

/// Column of the sources of rows, by which tables of readings and cells are sorted.
const SOURCE: &str = "source_file";

/// Whether a text column holds one of `values`. Of one value the engine looks at the statistics of the file first.
fn is_one_of(column: &str, values: &[&str]) -> Expr {
    match values {
        [value] => col(column).eq(lit(*value)),
        _ => col(column).is_in(lit(Series::new("wanted".into(), values)).implode(false), false),
    }
}

/// Column of the places of rows in a table.
const PLACE: &str = "place";

/// The places of `found`, from the first to the last in each group of rows of a data file.
fn spans(found: &DataFrame) -> Result<Vec<RangeInclusive<u32>>> {
    let places = found.column(PLACE).and_then(|places| Ok(places.idx()?.clone()));
    let places = places.map_err(|error| Error::new("the places of rows could not be told").caused_by(error))?;
    let mut spans: Vec<RangeInclusive<u32>> = Vec::new();
    for place in places.into_no_null_iter() {
        match spans.last_mut().filter(|span| group_of(*span.start()) == group_of(place)) {
            Some(span) => *span = *span.start()..=place,
            None => spans.push(place..=place),
        }
    }
    Ok(spans)
}

/// The group of rows that holds the row of a place; of files with groups of other sizes more may be read, and no other rows are found.
fn group_of(place: u32) -> usize {
    usize::try_from(place).unwrap_or(usize::MAX) / ROW_GROUP
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

    /// How many rows a table has.
    #[must_use]
    pub fn count(&self, table: &str) -> usize {
        self.row(table).and_then(|row| usize::try_from(row.rows).ok()).unwrap_or_default()
    }

    /// The data file of a table; `None` for one without rows.
    pub(crate) fn path_of(&self, table: &str) -> Option<&Path> {
        self.tables.get(table)?.path.as_deref()
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
        self.scan_file(info, None)
    }

    /// `info` with the places of its rows as a first column, if it is named.
    fn scan_file(&self, info: &TableInfo, place: Option<&str>) -> Result<LazyFrame> {
        let Some(path) = self.tables.get(info.name).and_then(|stored| stored.path.as_ref()) else {
            let none = frame::empty(info).lazy();
            return Ok(place.map_or(none.clone(), |name| none.with_row_index(name, None)));
        };
        let unreadable = |error| Error::new(format!("could not read {}", path.display())).caused_by(error);
        let path_text = PlRefPath::try_from_path(path).map_err(unreadable)?;
        let row_index = place.map(|name| RowIndex { name: name.into(), offset: 0 });
        let args = ScanArgsParquet { glob: false, row_index, ..ScanArgsParquet::default() };
        let mut scan = LazyFrame::scan_parquet(path_text, args).map_err(unreadable)?;
        let found = scan.collect_schema().map_err(unreadable)?;
        let found = found.iter().map(|(name, kind)| (name.as_str(), kind.clone())).skip(usize::from(place.is_some()));
        let expected = info.columns.iter().map(|column| (column.name, frame::data_type(column.kind)));
        if !found.eq(expected) {
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

    /// All rows of a table, in stored order, as far as the columns of `T` tell them: some of those that the table has, in any order.
    ///
    /// # Errors
    /// When the table has no such columns, or cannot be read.
    pub fn rows_of_some_columns<T: Table>(&self) -> Result<Vec<T>> {
        let columns: Vec<Expr> = T::COLUMNS.iter().map(|column| col(column.name)).collect();
        let some = self.scan(T::NAME)?.select(columns).collect();
        frame::to_rows(&some.map_err(|error| unread(T::NAME, error))?)
    }

    /// All rows of `table` column by column, in stored order.
    pub fn columns(&self, table: &TableInfo) -> Result<Vec<ColumnData>> {
        frame::to_columns(&self.collect(table)?, table)
    }

    fn collect(&self, table: &TableInfo) -> Result<DataFrame> {
        self.scan_table(table)?.collect().map_err(|error| unread(table.name, error))
    }

    /// Rows of a table whose text column `column` holds one of `values`, in stored order. First that column alone is read, then of each
    /// group of rows that holds some the part from the first to the last: the engine decodes lists and steps of all rows that it reads,
    /// wanted or not, and they are most of a large table.
    ///
    /// # Errors
    /// When the table has no such column, or cannot be read.
    pub fn rows_where<T: Table>(&self, column: &str, values: &[&str]) -> Result<Vec<T>> {
        self.looked_up(column, is_one_of(column, values))
    }

    /// As [`Snapshot::rows_where`], of the rows of some sources only: groups of rows that stand between others of the sources in the order of
    /// the table are not read at all. The table must have the column `source_file`.
    ///
    /// # Errors
    /// When the table has no such columns, or cannot be read.
    pub fn rows_where_in<T: Table>(&self, column: &str, values: &[&str], sources: &[&str]) -> Result<Vec<T>> {
        let (Some(first), Some(last)) = (sources.iter().min(), sources.iter().max()) else { return Ok(Vec::new()) };
        // A range is what the engine holds against the statistics of a group of rows; what lies in it is asked for one by one.
        let between = col(SOURCE).gt_eq(lit(*first)).and(col(SOURCE).lt_eq(lit(*last)));
        self.looked_up(column, between.and(is_one_of(SOURCE, sources)).and(is_one_of(column, values)))
    }

    fn looked_up<T: Table>(&self, column: &str, is_wanted: Expr) -> Result<Vec<T>> {
        let info = TableInfo::of::<T>();
        let collected = |part: LazyFrame| {
            part.collect().map_err(|error| {
                let text =
                    format!("could not look up rows of {} by {column}; if it was just replaced, ask again", T::NAME);
                Error::new(text).caused_by(error)
            })
        };
        let places = self.scan_file(&info, Some(PLACE))?.filter(is_wanted.clone()).select([col(PLACE)]);
        let table = self.scan_table(&info)?;
        let mut rows = Vec::new();
        for span in spans(&collected(places)?)? {
            let (first, length) = (*span.start(), span.end() - span.start() + 1);
            let part = table.clone().slice(first.into(), length).filter(is_wanted.clone());
            rows.extend(frame::to_rows(&collected(part)?)?);
        }
        Ok(rows)
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

fn unread(table: &str, error: PolarsError) -> Error {
    Error::new(format!("could not read the table {table}; if it was just replaced, ask again")).caused_by(error)
}

#[cfg(test)]
mod tests {
    use super::{PLACE, ROW_GROUP, spans};
    use polars::prelude::df;

    #[test]
    fn a_span_is_from_the_first_to_the_last_place_of_one_group_of_rows() {
        let group = u32::try_from(ROW_GROUP).unwrap();
        let found = df!(PLACE => [3, 9, group - 1, group, 3 * group + 7]).unwrap();
        let at = 3 * group + 7;
        assert_eq!(spans(&found).unwrap(), [3..=group - 1, group..=group, at..=at]);
        assert_eq!(spans(&found.head(Some(0))).unwrap(), []);
    }
}
