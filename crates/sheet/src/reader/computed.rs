//! Numbers that the source computed from others of the sheet.
//!
//! Whether two numbers belong together is told by where they stand, not by how the sheet was divided into tests: a ratio below the
//! column of its readings is computed from them although nothing names the machine that both are of.

mod copies;
mod formulas;
mod quotients;
mod ratios;
mod repeats;
mod unbalances;

use super::Reader;
use super::test::{Group, Pending};
use windrow_model::PartialDate;

/// How a line of numbers runs over the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Run {
    Row,
    Column,
}

/// A line of a block: the block, how the line runs, and its number on the sheet.
type Along = (usize, Run, u32);

/// Where a reading stands on the sheet, however the sheet was turned to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct At {
    block: usize,
    row: u32,
    column: u32,
}

impl At {
    /// The two lines that it stands in.
    const fn lines(self) -> [Along; 2] {
        [(self.block, Run::Row, self.row), (self.block, Run::Column, self.column)]
    }

    /// The line across one that it stands in.
    const fn across(self, run: Run) -> Along {
        match run {
            Run::Row => (self.block, Run::Column, self.column),
            Run::Column => (self.block, Run::Row, self.row),
        }
    }
}

/// A reading with the test that it is of.
#[derive(Debug, Clone, Copy)]
struct Placed<'r> {
    at: At,
    group: &'r Group,
    pending: &'r Pending,
}

impl Placed<'_> {
    /// Whether both may be of one test: neither machine nor day speaks against it.
    fn may_be_with(&self, other: &Self) -> bool {
        let (own, its) = (self.group, other.group);
        let same_machine =
            own.machine_key == its.machine_key || own.machine_key.is_empty() || its.machine_key.is_empty();
        let same_day = own.when_key == its.when_key || own.when_key == UNTOLD || its.when_key == UNTOLD;
        same_machine && same_day
    }
}

/// The key of a day that is not told.
const UNTOLD: &str = "-";

/// Machine and day of a test that tells both.
fn key(group: &Group) -> Option<(&str, PartialDate)> {
    let date = group.test.performed.as_ref()?.value;
    (!group.machine_key.is_empty()).then_some((group.machine_key.as_str(), date))
}

/// The size of the last place of a number as it is written: 0.01 of "2,75 %".
fn last_place(text: &str) -> f64 {
    let digits = text
        .trim()
        .rsplit_once(['.', ','])
        .map_or(0, |(_, behind)| behind.chars().take_while(char::is_ascii_digit).count());
    10f64.powi(-i32::try_from(digits).unwrap_or(i32::MAX))
}

impl Reader<'_, '_, '_> {
    /// Notes what was computed from other readings.
    pub(super) fn note_computed(&mut self) {
        let mut cells = self.ratios();
        cells.extend(self.quotients());
        cells.extend(self.corrected_copies());
        cells.extend(self.repeats());
        cells.extend(self.unbalances());
        for pending in self.groups.iter_mut().flat_map(|group| &mut group.pending) {
            pending.computed |= cells.contains(&pending.cell);
        }
    }

    /// All readings with their places.
    fn placed(&self) -> impl Iterator<Item = Placed<'_>> {
        self.groups.iter().flat_map(move |group| {
            group.pending.iter().filter_map(move |pending| {
                let cell = self.view.grid.cells.get(pending.cell as usize)?;
                Some(Placed { at: At { block: group.block, row: cell.row, column: cell.column }, group, pending })
            })
        })
    }
}
