//! Tests from their table.

use super::rows::{TestChunk, ToldTest};
use crate::AnalyzeError;
use crate::frames::date_of;
use crate::loaded::Loaded;
use crate::loaded::slices::{Numbers, Slice, Texts, each, known, runs};
use polars::prelude::*;
use rayon::prelude::*;
use std::ops::Range;

/// Rows of a slice that are made at once.
const CHUNK: usize = 1 << 13;

pub(in crate::loaded) fn load(loaded: &mut Loaded, tests: &LazyFrame) -> Result<(), AnalyzeError> {
    let mut places = loaded.places_of_machines();
    each(tests, &Columns::NAMES.map(col), |slices| {
        let columns: Vec<Columns<'_>> = slices.iter().map(Columns::of).collect::<Result<_, _>>()?;
        let parts = runs(&columns, slices, CHUNK);
        let chunks: Vec<TestChunk<'_>> = parts.into_par_iter().map(|(columns, rows)| columns.chunk(rows)).collect();
        for chunk in chunks {
            loaded.append_tests(chunk, &mut places);
        }
        Ok(())
    })
}

/// Columns of tests.
struct Columns<'a> {
    ids: Texts<'a>,
    assets: Texts<'a>,
    days: &'a Int32Chunked,
    precisions: Texts<'a>,
    kinds: Texts<'a>,
    stages: Texts<'a>,
    windings: Numbers<'a>,
    bases: Texts<'a>,
    ambients: Numbers<'a>,
    humidities: Numbers<'a>,
    dews: Numbers<'a>,
    volts: Numbers<'a>,
    volt_bases: Texts<'a>,
    instruments: Texts<'a>,
    testers: Texts<'a>,
    outcomes: Texts<'a>,
    repeats: Texts<'a>,
    files: Texts<'a>,
    sheets: Texts<'a>,
    cells: Texts<'a>,
}

impl<'a> Columns<'a> {
    const NAMES: [&'static str; 20] = [
        "test_id",
        "asset_id",
        "performed_on",
        "performed_precision",
        "kind",
        "stage",
        "winding_temperature_c",
        "winding_temperature_basis",
        "ambient_temperature_c",
        "relative_humidity_pct",
        "dew_point_c",
        "test_voltage_v",
        "test_voltage_basis",
        "instrument",
        "tester",
        "reported_outcome",
        "duplicate_of",
        "source_file",
        "source_sheet",
        "source_cell",
    ];

    fn of(slice: &'a Slice) -> Result<Self, AnalyzeError> {
        Ok(Self {
            ids: slice.texts("test_id")?,
            assets: slice.texts("asset_id")?,
            days: slice.days("performed_on")?,
            precisions: slice.texts("performed_precision")?,
            kinds: slice.texts("kind")?,
            stages: slice.texts("stage")?,
            windings: slice.numbers("winding_temperature_c")?,
            bases: slice.texts("winding_temperature_basis")?,
            ambients: slice.numbers("ambient_temperature_c")?,
            humidities: slice.numbers("relative_humidity_pct")?,
            dews: slice.numbers("dew_point_c")?,
            volts: slice.numbers("test_voltage_v")?,
            volt_bases: slice.texts("test_voltage_basis")?,
            instruments: slice.texts("instrument")?,
            testers: slice.texts("tester")?,
            outcomes: slice.texts("reported_outcome")?,
            repeats: slice.texts("duplicate_of")?,
            files: slice.texts("source_file")?,
            sheets: slice.texts("source_sheet")?,
            cells: slice.texts("source_cell")?,
        })
    }

    /// The tests of some rows.
    fn chunk(&self, rows: Range<usize>) -> TestChunk<'a> {
        let mut chunk = TestChunk::default();
        for row in rows {
            chunk.push(self.assets.get(row), &self.told(row));
        }
        chunk
    }

    fn told(&self, row: usize) -> ToldTest<'a> {
        ToldTest {
            test_id: self.ids.told(row),
            performed_on: self.days.get(row).and_then(date_of),
            performed_precision: self.precisions.told(row),
            kind: self.kinds.told(row),
            stage: self.stages.get(row),
            winding_temperature_c: known(self.windings.get(row)),
            winding_temperature_basis: self.bases.told(row),
            ambient_temperature_c: known(self.ambients.get(row)),
            relative_humidity_pct: known(self.humidities.get(row)),
            dew_point_c: known(self.dews.get(row)),
            test_voltage_v: known(self.volts.get(row)),
            test_voltage_basis: self.volt_bases.told(row),
            instrument: self.instruments.get(row),
            tester: self.testers.get(row),
            reported_outcome: self.outcomes.get(row),
            duplicate_of: self.repeats.get(row),
            sheet: (self.files.told(row), self.sheets.get(row)),
            cell: self.cells.told(row),
        }
    }
}
