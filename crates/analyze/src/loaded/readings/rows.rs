//! What is told of a reading as a row, and the order of all rows.

use super::{ReadingRow, Shape, ToldShape};
use crate::loaded::ids::Id;
use crate::loaded::{Loaded, SheetName};
use rayon::prelude::*;
use windrow_model::Text;

/// What a row of the table tells, or a test of this crate.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ToldReading<'a> {
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
    fn row(&mut self, test: u32, told: &ToldReading<'_>) -> ReadingRow {
        let shape = ToldShape {
            quantity: told.quantity,
            circuit: told.circuit,
            bound: told.bound,
            as_reported: told.as_reported,
            outcome: told.outcome,
            voltage_assumed: told.voltage_assumed,
        };
        let shape = self.shapes.code_of(&shape, || Shape {
            quantity: Text::new(told.quantity),
            circuit: told.circuit.map(Text::new),
            bound: Text::new(told.bound),
            as_reported: Text::new(told.as_reported),
            outcome: told.outcome.map(Text::new),
            voltage_assumed: told.voltage_assumed,
        });
        ReadingRow {
            id: told.reading_id.map_or(Id::NONE, |id| self.ids.id(id)),
            value: told.value,
            value_ref: told.value_ref,
            elapsed_s: told.elapsed_s,
            applied_voltage_v: told.applied_voltage_v,
            test,
            seq: told.seq,
            shape,
            raw_text: self.words.code(Some(told.raw_text)),
            sheet: self.sheet_code(told.sheet),
            cell: self.words.code(Some(told.cell)),
        }
    }

    /// Number of a sheet; neighbours mostly stand on one.
    fn sheet_code(&mut self, (file, sheet): (&str, Option<&str>)) -> u32 {
        let is_it = |known: &SheetName| known.0 == file && known.1.as_deref() == sheet;
        if !self.sheets.get(self.last_sheet).is_some_and(is_it) {
            self.last_sheet = self.sheets.code((Text::new(file), sheet.map(Text::new)));
        }
        self.last_sheet
    }

    /// Adds a reading of the test at place `test`.
    pub(crate) fn push_reading(&mut self, test: u32, told: &ToldReading<'_>) {
        let row = self.row(test, told);
        if let Some(bracket) = told.bracket {
            self.readings.brackets.insert(row.id, bracket);
        }
        self.readings.rows.push(row);
    }

    /// Adds a computed figure of the test at place `test`.
    pub(super) fn push_reported(&mut self, test: u32, told: &ToldReading<'_>) {
        let row = self.row(test, told);
        self.reported.rows.push(row);
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
