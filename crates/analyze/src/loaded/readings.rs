//! Readings, and figures that sources computed beside them.

use super::ids::Id;
use super::slices::{each, known};
use super::{Loaded, Test};
use crate::AnalyzeError;
use polars::prelude::*;
use rayon::prelude::*;
use std::collections::HashMap;
use windrow_model::place::read_a1;
use windrow_model::{Bound, Text};

/// What many readings share.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Shape {
    quantity: Text,
    circuit: Option<Text>,
    bound: Text,
    as_reported: Text,
    outcome: Option<Text>,
    voltage_assumed: bool,
}

/// A reading; texts by number, `NaN` for a number that is not told.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ReadingRow {
    id: Id,
    value: f64,
    value_ref: f64,
    elapsed_s: f64,
    applied_voltage_v: f64,
    test: u32,
    seq: i32,
    shape: u32,
    raw_text: u32,
    sheet: u32,
    cell: u32,
}

/// Rows by test.
#[derive(Debug, Default)]
pub(crate) struct Readings {
    pub(super) rows: Vec<ReadingRow>,
    /// Where the rows of each test end.
    ends: Vec<u32>,
    /// Value at the reference temperature by either law, where the records leave the law open.
    brackets: HashMap<Id, [f64; 2]>,
}

impl Readings {
    pub(super) fn of(&self, test: usize) -> &[ReadingRow] {
        let end = self.ends.get(test).copied().unwrap_or_default() as usize;
        let begin = test.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or_default() as usize;
        self.rows.get(begin..end).unwrap_or_default()
    }
}

/// A reading in its fleet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reading<'a> {
    pub(super) loaded: &'a Loaded,
    pub(super) row: &'a ReadingRow,
}

impl PartialEq for Reading<'_> {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.row, other.row)
    }
}

impl<'a> Reading<'a> {
    fn shape(&self) -> &'a Shape {
        static NONE: Shape = Shape {
            quantity: Text::new_static(""),
            circuit: None,
            bound: Text::new_static(""),
            as_reported: Text::new_static(""),
            outcome: None,
            voltage_assumed: false,
        };
        self.loaded.shapes.get(self.row.shape).unwrap_or(&NONE)
    }

    fn told(&self, code: u32) -> &'a str {
        self.loaded.words.get(code).map(Text::as_str).unwrap_or_default()
    }

    /// Place of its test.
    pub(crate) fn test_place(&self) -> usize {
        self.row.test as usize
    }

    pub(crate) fn test(&self) -> Test<'a> {
        self.loaded.test(self.test_place())
    }

    /// The reading; `None` for a figure that the source computed.
    pub(crate) fn reading_id(&self) -> Option<String> {
        (self.row.id != Id::NONE).then(|| self.loaded.ids.text(self.row.id).to_string())
    }

    pub(crate) fn quantity(&self) -> &'a str {
        &self.shape().quantity
    }

    pub(crate) fn is(&self, quantity: &str) -> bool {
        self.quantity() == quantity
    }

    pub(crate) fn circuit(&self) -> Option<&'a str> {
        self.shape().circuit.as_deref()
    }

    pub(crate) fn elapsed_s(&self) -> Option<f64> {
        known(self.row.elapsed_s)
    }

    /// Half a second either way counts as the stated time: sources write 60 s, 1 min, 60.0.
    pub(crate) fn is_at(&self, seconds: f64) -> bool {
        (self.row.elapsed_s - seconds).abs() <= 0.5
    }

    pub(crate) fn applied_voltage_v(&self) -> Option<f64> {
        known(self.row.applied_voltage_v)
    }

    pub(crate) fn value(&self) -> f64 {
        self.row.value
    }

    pub(crate) fn value_ref(&self) -> Option<f64> {
        known(self.row.value_ref)
    }

    /// Where the law of correction is open: the lower and the higher value at the reference temperature.
    pub(crate) fn bracket(&self) -> Option<[f64; 2]> {
        self.loaded.readings.brackets.get(&self.row.id).copied()
    }

    pub(crate) fn bound_code(&self) -> &'a str {
        &self.shape().bound
    }

    pub(crate) fn bound(&self) -> Option<Bound> {
        Bound::from_code(self.bound_code())
    }

    pub(crate) fn is_exact(&self) -> bool {
        self.bound_code() == "exact"
    }

    pub(crate) fn as_reported(&self) -> &'a str {
        &self.shape().as_reported
    }

    /// Whether the source gives it as read.
    pub(crate) fn is_as_read(&self) -> bool {
        self.as_reported() == "as_read"
    }

    pub(crate) fn outcome(&self) -> Option<&'a str> {
        self.shape().outcome.as_deref()
    }

    /// Whether a reading of this circuit says that it broke down or that the test was stopped.
    pub(crate) fn broke_down(&self) -> bool {
        matches!(self.outcome(), Some("broke_down" | "stopped"))
    }

    pub(crate) fn voltage_is_assumed(&self) -> bool {
        self.shape().voltage_assumed
    }

    pub(crate) fn raw_text(&self) -> &'a str {
        self.told(self.row.raw_text)
    }

    pub(crate) fn cell(&self) -> &'a str {
        self.told(self.row.cell)
    }

    /// Row and column on the sheet, both from zero; `None` where the container has none.
    pub(crate) fn at(&self) -> Option<(u32, u32)> {
        read_a1(self.cell())
    }

    /// Where it stands, in words.
    pub(crate) fn place(&self) -> String {
        let (file, sheet) = self
            .loaded
            .sheets
            .get(self.row.sheet)
            .map_or(("", None), |(file, sheet)| (file.as_str(), sheet.as_deref()));
        let sheet = sheet.map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        format!("{file}{sheet}, cell {}", self.cell())
    }
}

/// What a row of the table tells, or a test of this crate.
#[derive(Debug, Clone)]
pub(crate) struct Told<'a> {
    pub(crate) reading_id: Option<&'a str>,
    pub(crate) seq: i32,
    pub(crate) quantity: &'a str,
    pub(crate) circuit: Option<&'a str>,
    pub(crate) elapsed_s: f64,
    pub(crate) applied_voltage_v: f64,
    pub(crate) value: f64,
    pub(crate) value_ref: f64,
    pub(crate) bracket: Option<[f64; 2]>,
    pub(crate) bound: &'a str,
    pub(crate) as_reported: &'a str,
    pub(crate) outcome: Option<&'a str>,
    pub(crate) voltage_assumed: bool,
    pub(crate) raw_text: &'a str,
    pub(crate) sheet: (&'a str, Option<&'a str>),
    pub(crate) cell: &'a str,
}

impl Loaded {
    /// The row of a reading of the test at place `test`.
    fn row(&mut self, test: u32, told: &Told<'_>) -> ReadingRow {
        let shape = Shape {
            quantity: Text::new(told.quantity),
            circuit: told.circuit.map(Text::new),
            bound: Text::new(told.bound),
            as_reported: Text::new(told.as_reported),
            outcome: told.outcome.map(Text::new),
            voltage_assumed: told.voltage_assumed,
        };
        let (file, sheet) = told.sheet;
        ReadingRow {
            id: told.reading_id.map_or(Id::NONE, |id| self.ids.id(id)),
            value: told.value,
            value_ref: told.value_ref,
            elapsed_s: told.elapsed_s,
            applied_voltage_v: told.applied_voltage_v,
            test,
            seq: told.seq,
            shape: self.shapes.code(shape),
            raw_text: self.words.code(Some(told.raw_text)),
            sheet: self.sheets.code((Text::new(file), sheet.map(Text::new))),
            cell: self.words.code(Some(told.cell)),
        }
    }

    /// Adds a reading of the test at place `test`.
    pub(crate) fn push_reading(&mut self, test: u32, told: &Told<'_>) {
        let row = self.row(test, told);
        if let Some(bracket) = told.bracket {
            self.readings.brackets.insert(row.id, bracket);
        }
        self.readings.rows.push(row);
    }

    /// Sorts readings and computed figures by test; to be called when all are there.
    pub(crate) fn sort_readings(&mut self) {
        let (ids, shapes, words) = (&self.ids, &self.shapes, &self.words);
        self.readings.rows.par_sort_unstable_by(|a, b| {
            (a.test, a.seq)
                .cmp(&(b.test, b.seq))
                .then_with(|| ids.compare(a.id, b.id))
                .then(a.value.total_cmp(&b.value))
        });
        // Several figures may stand in one cell.
        self.reported.rows.sort_by(|a, b| {
            let shape = |row: &ReadingRow| shapes.get(row.shape).map(|shape| (&shape.quantity, &shape.circuit));
            a.test
                .cmp(&b.test)
                .then_with(|| words.get(a.cell).cmp(&words.get(b.cell)))
                .then_with(|| shape(a).cmp(&shape(b)))
                .then_with(|| a.elapsed_s.total_cmp(&b.elapsed_s))
                .then_with(|| a.value.total_cmp(&b.value))
        });
        let tests = self.tests.len();
        for readings in [&mut self.readings, &mut self.reported] {
            let mut ends = vec![0; tests];
            for (row, end) in readings.rows.iter().zip(1..) {
                if let Some(known) = ends.get_mut(row.test as usize) {
                    *known = end;
                }
            }
            let mut last = 0;
            for end in &mut ends {
                last = last.max(*end);
                *end = last;
            }
            readings.ends = ends;
        }
    }
}

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
const SHARED: [&str; 11] = [
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
];

/// Readings of known tests; what is no finite number is kept apart, and takes part in nothing.
pub(super) fn load(loaded: &mut Loaded, readings: &LazyFrame, places: &HashMap<Id, u32>) -> Result<(), AnalyzeError> {
    let count = readings.clone().select([len().cast(DataType::UInt32).alias("count")]).collect()?;
    let count = count.column("count")?.u32()?.get(0).unwrap_or_default();
    loaded.readings.rows.reserve_exact(count as usize);
    let assumed = col("flags").list().join(lit(" "), true).str().contains_literal(lit("voltage_assumed"));
    let mut columns: Vec<Expr> = SHARED.map(col).to_vec();
    columns.extend(
        ["source_cell", "reading_id", "seq", "value_ref", "value_ref_low", "value_ref_high", "outcome"].map(col),
    );
    columns.push(assumed.alias("voltage_assumed"));
    let mut places = Places::of(places);
    each(readings, &columns, |slice| {
        let text = |name: &str| slice.texts(name);
        let number = |name: &str| slice.numbers(name);
        let (tests, quantities, circuits) = (text("test_id")?, text("quantity")?, text("circuit")?);
        let (elapsed, volts, values) = (number("elapsed_s")?, number("applied_voltage_v")?, number("value")?);
        let (bounds, reported, raw) = (text("bound")?, text("as_reported")?, text("raw_text")?);
        let (files, sheets, cells) = (text("source_file")?, text("source_sheet")?, text("source_cell")?);
        let (ids, order, outcomes) = (text("reading_id")?, slice.integers("seq")?, text("outcome")?);
        let (refs, lows, highs) = (number("value_ref")?, number("value_ref_low")?, number("value_ref_high")?);
        let assumed = slice.truths("voltage_assumed")?;
        for row in 0..slice.len() {
            let Some(test) = places.get(loaded, tests.told(row)) else { continue };
            let value = values.get(row);
            if value.is_nan() {
                loaded.not_numbers.push((Text::new(tests.told(row)), Text::new(ids.told(row))));
                continue;
            }
            let told = Told {
                reading_id: Some(ids.told(row)),
                seq: order.get(row).unwrap_or_default(),
                quantity: quantities.told(row),
                circuit: circuits.get(row),
                elapsed_s: elapsed.get(row),
                applied_voltage_v: volts.get(row),
                value,
                value_ref: refs.get(row),
                bracket: known(lows.get(row)).zip(known(highs.get(row))).map(|(low, high)| [low, high]),
                bound: bounds.told(row),
                as_reported: reported.told(row),
                outcome: outcomes.get(row),
                voltage_assumed: assumed.get(row).unwrap_or(false),
                raw_text: raw.told(row),
                sheet: (files.told(row), sheets.get(row)),
                cell: cells.told(row),
            };
            loaded.push_reading(test, &told);
        }
        Ok(())
    })?;
    loaded.not_numbers.sort();
    Ok(())
}

/// Figures that sources computed.
pub(super) fn load_reported(
    loaded: &mut Loaded,
    reported: &LazyFrame,
    places: &HashMap<Id, u32>,
) -> Result<(), AnalyzeError> {
    let mut columns: Vec<Expr> = SHARED.map(col).to_vec();
    columns.push(col("source_cell"));
    let mut places = Places::of(places);
    each(reported, &columns, |slice| {
        let text = |name: &str| slice.texts(name);
        let number = |name: &str| slice.numbers(name);
        let (tests, quantities, circuits) = (text("test_id")?, text("quantity")?, text("circuit")?);
        let (elapsed, volts, values) = (number("elapsed_s")?, number("applied_voltage_v")?, number("value")?);
        let (bounds, as_reported, raw) = (text("bound")?, text("as_reported")?, text("raw_text")?);
        let (files, sheets, cells) = (text("source_file")?, text("source_sheet")?, text("source_cell")?);
        for row in 0..slice.len() {
            let Some(test) = places.get(loaded, tests.told(row)).filter(|_| !values.get(row).is_nan()) else {
                continue;
            };
            let told = Told {
                reading_id: None,
                seq: 0,
                quantity: quantities.told(row),
                circuit: circuits.get(row),
                elapsed_s: elapsed.get(row),
                applied_voltage_v: volts.get(row),
                value: values.get(row),
                value_ref: f64::NAN,
                bracket: None,
                bound: bounds.told(row),
                as_reported: as_reported.told(row),
                outcome: None,
                voltage_assumed: false,
                raw_text: raw.told(row),
                sheet: (files.told(row), sheets.get(row)),
                cell: cells.told(row),
            };
            let row = loaded.row(test, &told);
            loaded.reported.rows.push(row);
        }
        Ok(())
    })
}
