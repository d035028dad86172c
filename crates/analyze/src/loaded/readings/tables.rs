//! Readings and computed figures from their tables.

use super::ToldReading;
use crate::AnalyzeError;
use crate::loaded::Loaded;
use crate::loaded::ids::Id;
use crate::loaded::slices::{Numbers, Slice, Texts, each, known};
use polars::prelude::*;
use std::collections::HashMap;
use windrow_model::Text;

/// Which test a row belongs to; neighbours mostly belong to one.
struct Places<'a> {
    places: &'a HashMap<Id, u32>,
    last: (String, Option<u32>),
}

impl<'a> Places<'a> {
    fn of(places: &'a HashMap<Id, u32>) -> Self {
        Self { places, last: (String::new(), None) }
    }

    fn get(&mut self, loaded: &mut Loaded, test: &str) -> Option<u32> {
        if self.last.0 != test || test.is_empty() {
            self.last = (test.to_owned(), self.places.get(&loaded.ids.id(test)).copied());
        }
        self.last.1
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

/// Readings of known tests; what is no finite number is kept apart, and takes part in nothing.
pub(in crate::loaded) fn load(
    loaded: &mut Loaded,
    readings: &LazyFrame,
    places: &HashMap<Id, u32>,
) -> Result<(), AnalyzeError> {
    let count = readings.clone().select([len().cast(DataType::UInt32).alias("count")]).collect()?;
    let count = count.column("count")?.u32()?.get(0).unwrap_or_default();
    loaded.readings.rows.reserve_exact(count as usize);
    let mut columns: Vec<Expr> = Shared::NAMES.map(col).to_vec();
    columns.extend(["reading_id", "seq", "value_ref", "value_ref_low", "value_ref_high", "outcome", "flags"].map(col));
    let mut places = Places::of(places);
    each(readings, &columns, |slice| {
        let shared = Shared::of(slice)?;
        let (ids, order, outcomes) = (slice.texts("reading_id")?, slice.integers("seq")?, slice.texts("outcome")?);
        let refs = slice.numbers("value_ref")?;
        let (lows, highs) = (slice.numbers("value_ref_low")?, slice.numbers("value_ref_high")?);
        let flags = slice.lists("flags")?;
        let flagged: Vec<bool> = flags.lst_lengths().iter().map(|flags| flags.is_some_and(|count| count > 0)).collect();
        for row in 0..slice.len() {
            let Some(test) = places.get(loaded, shared.tests.told(row)) else { continue };
            if shared.values.get(row).is_nan() {
                loaded.not_numbers.push((Text::new(shared.tests.told(row)), Text::new(ids.told(row))));
                continue;
            }
            let told = ToldReading {
                reading_id: Some(ids.told(row)),
                seq: order.get(row).unwrap_or_default(),
                value_ref: refs.get(row),
                bracket: known(lows.get(row)).zip(known(highs.get(row))).map(|(low, high)| [low, high]),
                outcome: outcomes.get(row),
                // Few readings have a flag, and only theirs are looked at.
                voltage_assumed: flagged.get(row) == Some(&true) && is_assumed(flags.get_as_series(row))?,
                ..shared.told(row)
            };
            loaded.push_reading(test, &told);
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
    places: &HashMap<Id, u32>,
) -> Result<(), AnalyzeError> {
    let mut places = Places::of(places);
    each(reported, &Shared::NAMES.map(col), |slice| {
        let shared = Shared::of(slice)?;
        for row in 0..slice.len() {
            let test = places.get(loaded, shared.tests.told(row)).filter(|_| !shared.values.get(row).is_nan());
            if let Some(test) = test {
                loaded.push_reported(test, &shared.told(row));
            }
        }
        Ok(())
    })
}
