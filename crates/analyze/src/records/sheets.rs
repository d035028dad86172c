//! What checks gather of each sheet: by the numbers of sheets, which are quick to compare, and by their names only in the end.

use super::grouped::Grouped;
use crate::loaded::{Loaded, SheetName, Test};

/// Something of each sheet.
#[derive(Debug)]
pub(super) struct BySheet<T>(Grouped<u32, T>);

impl<T> Default for BySheet<T> {
    fn default() -> Self {
        Self(Grouped::default())
    }
}

impl<T: Default> BySheet<T> {
    /// What is gathered of the sheet of a test.
    pub(super) fn of(&mut self, test: Test<'_>) -> &mut T {
        self.0.of(test.sheet_code(), T::default)
    }

    /// All of it, in the order of the sheets' names.
    pub(super) fn in_order(self, records: &Loaded) -> impl Iterator<Item = (&SheetName, T)> {
        let mut sheets: Vec<(&SheetName, T)> =
            self.0.into_iter().map(|(code, gathered)| (records.sheet(code), gathered)).collect();
        sheets.sort_by_key(|(sheet, _)| *sheet);
        sheets.into_iter()
    }
}
