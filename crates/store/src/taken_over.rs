//! Rows that an analysis takes over from the tables that the one before stored: those of machines of which nothing changed.

use crate::delta::name_of;
use crate::error::{Error, Result};
use crate::frame::date_of;
use crate::gathered::Gathered;
use crate::kept::Kept;
use crate::merged::Before;
use crate::snapshot::Snapshot;
use jiff::civil::Date;
use polars::prelude::*;
use std::collections::HashSet;
use std::fs::File;
use std::sync::Arc;
use windrow_model::table::{Table, TableInfo};
use windrow_model::{Coverage, TestSummary, Text};

/// Tables whose rows are of one machine each.
const TABLES: [&str; 2] = [TestSummary::NAME, Coverage::NAME];

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

impl<T: Table> Gathered<T> {
    /// Adds the rows that the table in `snapshot` holds of these machines, by its column `asset_id`, and tells `hear` some `columns` of them, some
    /// rows at a time. The rows themselves are read when all are stored.
    ///
    /// # Errors
    /// When the table cannot be read.
    pub fn take_over(
        &mut self,
        snapshot: &Snapshot,
        machines: &Arc<HashSet<Text>>,
        (columns, mut hear): (&[&str], impl FnMut(Taken<'_>) + Send),
    ) -> Result<()> {
        let mut before =
            Before { table: snapshot.scan_table(&TableInfo::of::<T>())?, machines: Arc::clone(machines), rows: 0 };
        let told = ["asset_id"].iter().chain(columns.iter().filter(|column| **column != "asset_id"));
        let told: Vec<Expr> = told.map(|column| col(*column)).collect();
        let mut rows = 0;
        let counted = before.each(&told, |some| {
            rows += some.height();
            hear(Taken(&some));
            Ok(())
        });
        counted.map_err(|error| {
            Error::new(format!("could not read the table {} of the analysis before", T::NAME)).caused_by(error)
        })?;
        before.rows = rows;
        self.stand_before(before);
        Ok(())
    }
}
