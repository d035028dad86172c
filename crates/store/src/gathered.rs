//! Rows that are put into columns as they come, so that they are never all there as rows.

use crate::error::{Error, Result};
use crate::frame;
use polars::prelude::*;
use std::marker::PhantomData;
use windrow_model::table::{Table, TableInfo};

/// Rows of a table that come part by part.
#[derive(Debug)]
pub struct Gathered<T> {
    /// What came so far, or why it could not be put into columns.
    frame: Result<DataFrame>,
    rows: PhantomData<T>,
}

impl<T: Table> Default for Gathered<T> {
    fn default() -> Self {
        Self { frame: Ok(frame::empty(&TableInfo::of::<T>())), rows: PhantomData }
    }
}

impl<T: Table> Gathered<T> {
    /// Adds rows. What goes wrong is told when all are stored.
    pub fn push(&mut self, rows: Vec<T>) {
        let Ok(all) = &mut self.frame else { return };
        let added = frame::from_rows(rows).and_then(|more| {
            all.vstack_mut_owned(more).map(drop).map_err(|error| {
                Error::new(format!("rows of {} could not be put together; please report this", T::NAME))
                    .caused_by(error)
            })
        });
        if let Err(error) = added {
            self.frame = Err(error);
        }
    }

    /// All of them.
    pub(crate) fn into_frame(self) -> Result<DataFrame> {
        self.frame
    }
}

impl<T: Table> From<Vec<T>> for Gathered<T> {
    fn from(rows: Vec<T>) -> Self {
        Self { frame: frame::from_rows(rows), rows: PhantomData }
    }
}
