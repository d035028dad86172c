//! Rows that an analysis takes over from the tables that the one before stored: those of machines of which nothing changed.

use crate::delta::{ROW_GROUP, name_of};
use crate::error::{Error, Result};
use crate::frame::date_of;
use crate::gathered::Gathered;
use crate::kept::Kept;
use crate::snapshot::Snapshot;
use jiff::civil::Date;
use polars::prelude::*;
use std::collections::HashSet;
use std::fs::File;
use windrow_model::table::{Table, TableInfo};
use windrow_model::{Coverage, TestSummary, Text};

/// Tables whose rows are of one machine each.
const TABLES: [&str; 2] = [TestSummary::NAME, Coverage::NAME];

/// Rows that are read at once: a group of the file.
const ROWS: u32 = 1 << 15;
const _: () = assert!(ROWS as usize == ROW_GROUP);

/// The files of these tables, which are named by their bytes.
pub(crate) fn names(snapshot: &Snapshot) -> String {
    let file = |table| snapshot.row(table).and_then(|row| row.file.as_deref()).unwrap_or("none");
    TABLES.map(file).join("\n")
}

/// The first of these tables whose file does not hold the bytes that it is named by.
pub(crate) fn changed(snapshot: &Snapshot) -> Option<&'static str> {
    let is_as_named = |table: &str| {
        let Some(path) = snapshot.path_of(table) else { return true };
        let hash = File::open(path).and_then(|file| {
            let mut hasher = blake3::Hasher::new();
            hasher.update_reader(file)?;
            Ok(hasher.finalize())
        });
        hash.is_ok_and(|hash| path.file_name().is_some_and(|name| *name == *name_of(&hash)))
    };
    TABLES.into_iter().find(|table| !is_as_named(table))
}

impl Kept {
    /// Leaves what was kept for the next analysis, which finds the tables as they stand in `snapshot`.
    ///
    /// # Errors
    /// When the disk refuses; the next analysis then works everything out again.
    pub fn leave(self, snapshot: &Snapshot) -> Result<()> {
        self.finish(&names(snapshot))
    }
}

/// Some rows that were taken over.
#[derive(Debug, Clone, Copy)]
pub struct Taken<'a>(&'a DataFrame);

impl<'a> Taken<'a> {
    /// A column of texts, row by row; none where the table has no such column.
    pub fn texts(self, column: &str) -> impl Iterator<Item = Option<&'a str>> {
        self.0.column(column).and_then(Column::str).into_iter().flat_map(StringChunked::iter)
    }

    /// A column of days, likewise.
    pub fn days(self, column: &str) -> impl Iterator<Item = Option<Date>> {
        let days = self.0.column(column).and_then(Column::date);
        days.into_iter().flat_map(|days| days.physical().iter()).map(|day| day.and_then(date_of))
    }
}

impl<T: Table + Send> Gathered<T> {
    /// Adds the rows that the table in `snapshot` holds of these machines, by its column `asset_id`, and tells `hear` of them, some at a time.
    ///
    /// # Errors
    /// When the table cannot be read.
    pub fn take_over(
        &mut self,
        snapshot: &Snapshot,
        machines: &HashSet<Text>,
        mut hear: impl FnMut(Taken<'_>) + Send,
    ) -> Result<()> {
        let table = snapshot.scan_table(&TableInfo::of::<T>())?;
        let read = |group: u32| {
            some_of(&table, i64::from(group) * i64::from(ROWS), machines).map_err(|error| {
                Error::new(format!("could not read the table {} of the analysis before", T::NAME)).caused_by(error)
            })
        };
        let mut next = Some(read(0)?);
        for group in 1.. {
            let Some((seen, rows)) = next else { break };
            let take = || {
                hear(Taken(&rows));
                self.push_frame(rows);
            };
            let following = || (seen == ROWS as usize).then(|| read(group)).transpose();
            // While some rows are taken, the next ones are read.
            let ((), following) = rayon::join(take, following);
            next = following?;
        }
        Ok(())
    }
}

/// How many rows stand from a place on, and those of them that are of these machines.
fn some_of(table: &LazyFrame, offset: i64, machines: &HashSet<Text>) -> PolarsResult<(usize, DataFrame)> {
    let some = table.clone().slice(offset, ROWS).collect()?;
    let is_of_them = |id: Option<&str>| Some(id.is_some_and(|id| machines.contains(id)));
    let wanted: BooleanChunked = some.column("asset_id")?.str()?.iter().map(is_of_them).collect();
    let read = some.height();
    Ok((read, if wanted.all() { some } else { some.filter(&wanted)? }))
}
