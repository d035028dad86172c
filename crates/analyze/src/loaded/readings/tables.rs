//! Readings and computed figures from their tables.

use super::{Chunk, ToldReading};
use crate::AnalyzeError;
use crate::loaded::Loaded;
use crate::loaded::ids::{ById, Ids};
use crate::loaded::slices::{Numbers, Slice, Texts, each, known, runs};
use polars::prelude::*;
use rayon::prelude::*;
use std::ops::Range;
use windrow_model::Text;

/// Where tests stand.
#[derive(Clone, Copy)]
struct Places<'p> {
    ids: &'p Ids,
    places: &'p ById,
}

impl Places<'_> {
    /// The test that each row belongs to; neighbours mostly belong to one. All are looked up one after the other with nothing in between:
    /// tests of a large fleet lie all over the memory, and the processor waits for several at once only then.
    fn of<'a>(self, rows: impl ExactSizeIterator<Item = &'a str>) -> Vec<Option<u32>> {
        let (mut runs, mut ids, mut last) = (Vec::with_capacity(rows.len()), Vec::new(), None);
        for test in rows {
            if last.replace(test) != Some(test) {
                ids.push(self.ids.known(test));
            }
            runs.push(ids.len());
        }
        let places: Vec<Option<u32>> = ids.into_iter().map(|id| self.places.get(id)).collect();
        runs.into_iter().map(|run| places.get(run - 1).copied().flatten()).collect()
    }
}

/// Columns that readings and computed figures have in common.
struct Shared<'a> {
    tests: Texts<'a>,
    quantities: Texts<'a>,
    circuits: Texts<'a>,
    elapsed: Numbers<'a>,
    volts: Numbers<'a>,
    values: Numbers<'a>,
    bounds: Texts<'a>,
    as_reported: Texts<'a>,
    raw: Texts<'a>,
    files: Texts<'a>,
    sheets: Texts<'a>,
    cells: Texts<'a>,
}

impl<'a> Shared<'a> {
    const NAMES: [&'static str; 12] = [
        "test_id",
        "quantity",
        "circuit",
        "elapsed_s",
        "applied_voltage_v",
        "value",
        "bound",
        "as_reported",
        "raw_text",
        "source_file",
        "source_sheet",
        "source_cell",
    ];

    fn of(slice: &'a Slice) -> Result<Self, AnalyzeError> {
        Ok(Self {
            tests: slice.texts("test_id")?,
            quantities: slice.texts("quantity")?,
            circuits: slice.texts("circuit")?,
            elapsed: slice.numbers("elapsed_s")?,
            volts: slice.numbers("applied_voltage_v")?,
            values: slice.numbers("value")?,
            bounds: slice.texts("bound")?,
            as_reported: slice.texts("as_reported")?,
            raw: slice.texts("raw_text")?,
            files: slice.texts("source_file")?,
            sheets: slice.texts("source_sheet")?,
            cells: slice.texts("source_cell")?,
        })
    }

    /// What a row tells, as a computed figure; a reading tells more.
    fn told(&self, row: usize) -> ToldReading<'a> {
        ToldReading {
            reading_id: None,
            seq: 0,
            quantity: self.quantities.told(row),
            circuit: self.circuits.get(row),
            elapsed_s: self.elapsed.get(row),
            applied_voltage_v: self.volts.get(row),
            value: self.values.get(row),
            value_ref: f64::NAN,
            bracket: None,
            bound: self.bounds.told(row),
            as_reported: self.as_reported.told(row),
            outcome: None,
            voltage_assumed: false,
            raw_text: self.raw.told(row),
            sheet: (self.files.told(row), self.sheets.get(row)),
            cell: self.cells.told(row),
        }
    }
}

/// Rows of a slice that are made at once.
const CHUNK: usize = 1 << 14;

/// Columns of readings.
struct Columns<'a> {
    shared: Shared<'a>,
    ids: Texts<'a>,
    order: &'a Int32Chunked,
    refs: Numbers<'a>,
    lows: Numbers<'a>,
    highs: Numbers<'a>,
    outcomes: Texts<'a>,
    flags: &'a ListChunked,
    /// Few readings have a flag, and only theirs are looked at.
    flagged: Vec<bool>,
}

/// A test and a reading of it that is no finite number.
type NotNumber = (Text, Text);

impl<'a> Columns<'a> {
    const NAMES: [&'static str; 7] =
        ["reading_id", "seq", "value_ref", "value_ref_low", "value_ref_high", "outcome", "flags"];

    fn of(slice: &'a Slice) -> Result<Self, AnalyzeError> {
        let flags = slice.lists("flags")?;
        Ok(Self {
            shared: Shared::of(slice)?,
            ids: slice.texts("reading_id")?,
            order: slice.integers("seq")?,
            refs: slice.numbers("value_ref")?,
            lows: slice.numbers("value_ref_low")?,
            highs: slice.numbers("value_ref_high")?,
            outcomes: slice.texts("outcome")?,
            flagged: flags.lst_lengths().iter().map(|flags| flags.is_some_and(|count| count > 0)).collect(),
            flags,
        })
    }

    fn told(&self, row: usize) -> Result<ToldReading<'a>, AnalyzeError> {
        Ok(ToldReading {
            reading_id: Some(self.ids.told(row)),
            seq: self.order.get(row).unwrap_or_default(),
            value_ref: self.refs.get(row),
            bracket: known(self.lows.get(row)).zip(known(self.highs.get(row))).map(|(low, high)| [low, high]),
            outcome: self.outcomes.get(row),
            voltage_assumed: self.flagged.get(row) == Some(&true) && is_assumed(self.flags.get_as_series(row))?,
            ..self.shared.told(row)
        })
    }

    /// The readings of known tests among some rows, and apart from them those that are no finite number.
    fn chunk(&self, rows: Range<usize>, places: Places<'_>) -> Result<(Chunk<'a>, Vec<NotNumber>), AnalyzeError> {
        let (mut chunk, mut not_numbers) = (Chunk::default(), Vec::new());
        let tests = places.of(rows.clone().map(|row| self.shared.tests.told(row)));
        for (row, test) in rows.zip(tests) {
            let test_id = self.shared.tests.told(row);
            let Some(test) = test else { continue };
            if self.shared.values.get(row).is_nan() {
                not_numbers.push((Text::new(test_id), Text::new(self.ids.told(row))));
                continue;
            }
            chunk.push(test, &self.told(row)?);
        }
        Ok((chunk, not_numbers))
    }
}

/// Readings of known tests; what is no finite number is kept apart, and takes part in nothing.
pub(in crate::loaded) fn load(loaded: &mut Loaded, readings: &LazyFrame, places: &ById) -> Result<(), AnalyzeError> {
    let count = readings.clone().select([len().cast(DataType::UInt32).alias("count")]).collect()?;
    let count = count.column("count")?.u32()?.get(0).unwrap_or_default();
    loaded.readings.rows.reserve_exact(count as usize);
    let names: Vec<Expr> = Shared::NAMES.into_iter().chain(Columns::NAMES).map(col).collect();
    each(readings, &names, |slices| {
        let columns: Vec<Columns<'_>> = slices.iter().map(Columns::of).collect::<Result<_, _>>()?;
        let places = Places { ids: &loaded.ids, places };
        let parts = runs(&columns, slices, CHUNK);
        let chunks: Vec<_> = parts.into_par_iter().map(|(columns, rows)| columns.chunk(rows, places)).collect();
        for chunk in chunks {
            let (chunk, not_numbers) = chunk?;
            loaded.append(chunk);
            loaded.not_numbers.extend(not_numbers);
        }
        Ok(())
    })?;
    loaded.not_numbers.sort();
    Ok(())
}

/// Whether flags say that the applied voltage was assumed.
fn is_assumed(flags: Option<Series>) -> Result<bool, AnalyzeError> {
    let Some(flags) = flags else { return Ok(false) };
    Ok(flags.str()?.iter().flatten().any(|flag| flag.contains("voltage_assumed")))
}

/// Figures that sources computed.
pub(in crate::loaded) fn load_reported(
    loaded: &mut Loaded,
    reported: &LazyFrame,
    places: &ById,
) -> Result<(), AnalyzeError> {
    each(reported, &Shared::NAMES.map(col), |slices| {
        for slice in slices {
            let shared = Shared::of(slice)?;
            let mut chunk = Chunk::default();
            let tests = Places { ids: &loaded.ids, places }.of((0..slice.len()).map(|row| shared.tests.told(row)));
            for (row, test) in tests.into_iter().enumerate() {
                if let Some(test) = test.filter(|_| !shared.values.get(row).is_nan()) {
                    chunk.push(test, &shared.told(row));
                }
            }
            loaded.append_reported(chunk);
        }
        Ok(())
    })
}
