//! Rows that are put into columns as they come, and columns that are packed, so that a large table is never there as rows, and as columns
//! only when it is stored.

use crate::error::{Error, Result};
use crate::frame;
use crate::merged::{self, Before};
use crate::order;
use crate::spread::{self, Spread};
use polars::prelude::*;
use std::io::Cursor;
use std::marker::PhantomData;
use windrow_model::table::{Table, TableInfo};

/// Rows that are packed together.
const PACKED: usize = 1 << 14;
/// Rows that are left as they are: so few take little memory, and packing and unpacking them would take half of the time of storing them.
const PLAIN: usize = 1 << 18;

/// Rows of a table that come part by part.
#[derive(Debug)]
pub struct Gathered<T> {
    /// What came last and is not packed yet, or why something could not be put into columns.
    frame: Result<DataFrame>,
    /// What came before, in order, each as a file of columns.
    packed: Vec<Vec<u8>>,
    /// Rows that are those of a table that stands, wherever they belong among the others.
    before: Option<Before>,
    /// From how many rows on they are packed.
    plain: usize,
    rows: PhantomData<fn() -> T>,
}

impl<T: Table> Default for Gathered<T> {
    fn default() -> Self {
        Self::packed_from(PLAIN)
    }
}

impl<T: Table> Gathered<T> {
    /// None yet of some `rows`: where they are many, they are packed from the first on.
    #[must_use]
    pub fn expecting(rows: usize) -> Self {
        Self::packed_from(if rows > PLAIN { 0 } else { PLAIN })
    }

    /// None yet, packed from so many rows on.
    pub(crate) fn packed_from(plain: usize) -> Self {
        Self {
            frame: Ok(frame::empty(&TableInfo::of::<T>())),
            packed: Vec::new(),
            before: None,
            plain,
            rows: PhantomData,
        }
    }

    /// Adds rows. What goes wrong is told when all are stored.
    pub fn push(&mut self, rows: Vec<T>) {
        self.add(frame::from_rows(rows));
    }

    /// Adds rows that are in columns already.
    pub(crate) fn push_frame(&mut self, rows: DataFrame) {
        self.add(Ok(rows));
    }

    fn add(&mut self, rows: Result<DataFrame>) {
        let Ok(last) = &mut self.frame else { return };
        let added = rows.and_then(|more| {
            last.vstack_mut_owned(more).map_err(apart::<T>)?;
            let most = if self.packed.is_empty() { self.plain.max(PACKED) } else { PACKED };
            if last.height() >= most {
                let full = std::mem::replace(last, frame::empty(&TableInfo::of::<T>()));
                self.packed.extend(in_pieces(full).map_err(apart::<T>)?);
            }
            Ok(())
        });
        if let Err(error) = added {
            self.frame = Err(error);
        }
    }

    /// Adds rows of a table that stands, to be merged with the others when all are stored.
    pub(crate) fn stand_before(&mut self, before: Before) {
        self.before = Some(before);
    }

    /// All of them as a file in order, where they are packed or stand in a table already, and some columns tell the order.
    ///
    /// # Errors
    /// When rows could not be put into columns.
    pub(crate) fn spread(&mut self) -> Result<Option<Spread>> {
        if let Some(merged) = self.merged()? {
            return Ok(Some(merged));
        }
        let Some(keys) = order::telling(&TableInfo::of::<T>()).filter(|_| !self.packed.is_empty()) else {
            return Ok(None);
        };
        let empty = frame::empty(&TableInfo::of::<T>());
        let mut last = std::mem::replace(&mut self.frame, Ok(empty.clone()))?;
        if last.height() > 0 {
            self.packed.push(packed(&mut last).map_err(apart::<T>)?);
        }
        drop(last);
        spread::written(&self.packed, &keys, empty.schema()).map_err(apart::<T>)
    }

    /// Those of before merged with the others; `None` where there are none, or where that cannot be done: then they stand behind the others.
    fn merged(&mut self) -> Result<Option<Spread>> {
        let Some(before) = self.before.take() else { return Ok(None) };
        // Few new rows are sorted as they are; of many the packed ones are not unpacked at once.
        if let (Ok(new), true) = (&self.frame, self.packed.is_empty() && before.rows > 0) {
            let new = order::sorted(T::NAME, new.clone())?;
            let keys = order::telling(&TableInfo::of::<T>()).unwrap_or_default();
            if let Some(merged) = merged::written(&before, new, &keys).map_err(unmerged::<T>)? {
                return Ok(Some(merged));
            }
        }
        before
            .each(&[all().as_expr()], |rows| {
                self.push_frame(rows);
                Ok(())
            })
            .map_err(unmerged::<T>)?;
        Ok(None)
    }

    /// All of them.
    pub(crate) fn into_frame(self) -> Result<DataFrame> {
        let last = self.frame?;
        if self.packed.is_empty() {
            return Ok(last);
        }
        let mut all = frame::empty(&TableInfo::of::<T>());
        for part in self.packed {
            all.vstack_mut_owned(unpacked(&part, None).map_err(apart::<T>)?).map_err(apart::<T>)?;
        }
        all.vstack_mut_owned(last).map_err(apart::<T>)?;
        Ok(all)
    }
}

/// A frame as files of columns, each of so many rows or a few more, which are let go as they are packed.
fn in_pieces(full: DataFrame) -> PolarsResult<Vec<Vec<u8>>> {
    let (mut left, mut pieces) = (full, Vec::new());
    while left.height() >= 2 * PACKED {
        let (mut piece, rest) = left.split_at(i64::try_from(PACKED).unwrap_or(i64::MAX));
        pieces.push(packed(&mut piece)?);
        left = rest;
    }
    pieces.push(packed(&mut left)?);
    Ok(pieces)
}

/// A frame as a file of columns.
pub(crate) fn packed(frame: &mut DataFrame) -> PolarsResult<Vec<u8>> {
    let mut bytes = Vec::new();
    ParquetWriter::new(&mut bytes)
        .with_compression(ParquetCompression::Lz4Raw)
        .with_statistics(StatisticsOptions::empty())
        .finish(frame)?;
    Ok(bytes)
}

/// The frame of such a file, or some columns of it.
pub(crate) fn unpacked(part: &[u8], columns: Option<&[PlSmallStr]>) -> PolarsResult<DataFrame> {
    let columns = columns.map(|names| names.iter().map(PlSmallStr::to_string).collect());
    ParquetReader::new(Cursor::new(part)).with_columns(columns).finish()
}

fn apart<T: Table>(error: PolarsError) -> Error {
    Error::new(format!("rows of {} could not be put together; please report this", T::NAME)).caused_by(error)
}

fn unmerged<T: Table>(error: PolarsError) -> Error {
    Error::new(format!("the table {} of the analysis before could not be read beside the new rows", T::NAME))
        .caused_by(error)
}

impl<T: Table> From<Vec<T>> for Gathered<T> {
    fn from(rows: Vec<T>) -> Self {
        Self { frame: frame::from_rows(rows), ..Self::default() }
    }
}

#[cfg(test)]
mod tests {
    use super::{Gathered, PACKED};
    use crate::frame::to_rows;

    windrow_model::table! {
        /// A row.
        pub struct Counted in "counted" {
            /// Its number.
            number: i64,
            /// A text that many share.
            text: Option<String>,
        }
    }

    #[test]
    fn rows_come_back_in_order_however_many_are_packed() {
        let part = |first: i64| {
            (first..first + 1000).map(|number| Counted { number, text: (number % 3 > 0).then(|| "some".into()) })
        };
        let firsts = || (0..).step_by(1000).take(5 * PACKED / 1000 + 3);
        for (plain, packed) in [(0, 4), (3 * PACKED, 5), (8 * PACKED, 0)] {
            let mut gathered = Gathered::packed_from(plain);
            for first in firsts() {
                gathered.push(part(first).collect());
            }
            assert_eq!(gathered.packed.len(), packed, "{plain}");
            let rows: Vec<Counted> = to_rows(&gathered.into_frame().unwrap()).unwrap();
            assert!(rows.into_iter().eq(firsts().flat_map(part)), "{plain}");
        }
    }
}
