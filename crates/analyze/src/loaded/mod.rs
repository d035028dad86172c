//! The tables in memory, once and compact: what rules and checks look at, about sixty-four bytes a reading.
//!
//! Tests stand by machine, date and id, readings by test and place in the test, whatever the order of the tables; so that the machines can
//! be worked on in parts, and each part gives the same wherever it runs.

mod cells;
mod ids;
mod inputs;
mod machines;
mod readings;
mod slices;
mod tests;
mod words;

use crate::AnalyzeError;
use crate::features::Quantities;
use crate::frames::Frames;
use ids::{Id, Ids};
pub(crate) use inputs::{Inputs, InputsHash};
pub(crate) use machines::{MachineRow, UNKNOWN_MACHINE};
#[cfg(test)]
pub(crate) use readings::Chunk;
use readings::Readings;
pub(crate) use readings::{Reading, is_at};
pub(crate) use tests::Test;
use tests::TestRow;
pub(crate) use words::{Distinct, beginning};
use words::{Numbers, Words};
#[cfg(test)]
pub(crate) use {
    readings::ToldReading,
    tests::{TestChunk, ToldTest},
};

/// A file and a sheet of it.
pub(crate) type SheetName = (windrow_model::Text, Option<windrow_model::Text>);

/// The tables of a fleet.
#[derive(Debug, Default)]
pub(crate) struct Loaded {
    /// By id.
    pub(crate) machines: Vec<MachineRow>,
    tests: Vec<TestRow>,
    readings: Readings,
    /// Figures that sources computed.
    reported: Readings,
    /// Readings that are no finite number, as test and reading.
    pub(crate) not_numbers: Vec<(windrow_model::Text, windrow_model::Text)>,
    ids: Ids,
    words: Words,
    /// Times and voltages.
    numbers: Numbers,
    sheets: Distinct<SheetName>,
    shapes: Distinct<readings::Shape>,
    /// What each shape says, by its number.
    said: Vec<readings::Said>,
    /// What readings and computed figures of each test tell.
    quantities: Vec<Quantities>,
}

impl Loaded {
    /// Reads the tables once.
    ///
    /// # Errors
    /// When the frames cannot be read or lack a column of the schema.
    pub(crate) fn of(frames: &Frames) -> Result<Self, AnalyzeError> {
        let mut loaded = Self::default();
        machines::load(&mut loaded, &frames.assets)?;
        tests::load(&mut loaded, &frames.tests)?;
        let places = loaded.sorted_tests();
        readings::load(&mut loaded, &frames.readings, &places)?;
        readings::load_reported(&mut loaded, &frames.reported_figures, &places)?;
        loaded.sort_readings();
        loaded.shrink();
        Ok(loaded)
    }

    /// Gives back what tables that grew as they were read hold in reserve: for a large fleet that is hundreds of megabytes.
    fn shrink(&mut self) {
        self.machines.shrink_to_fit();
        self.tests.shrink_to_fit();
        self.ids.shrink();
        self.words.shrink();
    }

    /// Tests that are no repeats from other sources, by machine, date and id.
    pub(crate) fn tests(&self) -> impl Iterator<Item = Test<'_>> + Clone {
        self.tests
            .iter()
            .enumerate()
            .map(|(place, row)| Test { loaded: self, row, place })
            .filter(|test| !test.is_repeat())
    }

    /// The test at a place.
    pub(crate) fn test(&self, place: usize) -> Test<'_> {
        Test { loaded: self, row: &self.tests[place], place }
    }

    /// Places of the tests of each machine, in the order of the machines; behind them those of tests without one.
    pub(crate) fn by_machine(&self) -> Vec<std::ops::Range<usize>> {
        let mut end = 0;
        let ranges = self.tests.chunk_by(|a, b| a.machine == b.machine).map(|tests| {
            let start = end;
            end += tests.len();
            start..end
        });
        ranges.collect()
    }

    /// Resistances above zero of a test, none where it is a repeat from another source.
    pub(crate) fn resistances_of(&self, test: usize) -> impl Iterator<Item = Reading<'_>> + Clone {
        let is_repeat = self.tests.get(test).is_none_or(TestRow::is_repeat);
        let readings = if is_repeat { &[][..] } else { self.readings.of(test) };
        let all = readings.iter().map(|row| Reading { loaded: self, row });
        all.filter(|reading| reading.is_resistance() && reading.value() > 0.0)
    }

    /// What the readings and computed figures of a test tell.
    pub(crate) fn quantities_of(&self, test: usize) -> Quantities {
        self.quantities.get(test).copied().unwrap_or_default()
    }

    /// The name of the sheet with a number.
    pub(crate) fn sheet(&self, code: u32) -> &SheetName {
        static NONE: SheetName = (windrow_model::Text::new_static(""), None);
        self.sheets.get(code).unwrap_or(&NONE)
    }

    /// All readings of a test.
    pub(crate) fn readings_of(&self, test: usize) -> impl ExactSizeIterator<Item = Reading<'_>> + Clone {
        self.readings.of(test).iter().map(|row| Reading { loaded: self, row })
    }

    /// What the source computed in a test.
    pub(crate) fn reported_of(&self, test: usize) -> impl ExactSizeIterator<Item = Reading<'_>> + Clone {
        self.reported.of(test).iter().map(|row| Reading { loaded: self, row })
    }
}
