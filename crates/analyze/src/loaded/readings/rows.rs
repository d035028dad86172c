//! What is told of a reading as a row, and the order of all rows.

use super::{ReadingRow, Said, ToldShape};
use crate::features::Quantities;
use crate::loaded::ids::Id;
use crate::loaded::{Distinct, Loaded, Numbers, cells};
use rayon::prelude::*;
use windrow_fleet::UNTOLD;
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

/// Rows that are made anywhere, beside others: their texts, ids and shapes have numbers of their own until they are appended.
#[derive(Debug, Default)]
pub(crate) struct Chunk<'a> {
    rows: Vec<ReadingRow>,
    /// By place among the rows.
    brackets: Vec<(usize, [f64; 2])>,
    ids: Distinct<&'a str>,
    words: Distinct<&'a str>,
    numbers: Numbers,
    sheets: Distinct<(&'a str, Option<&'a str>)>,
    shapes: Distinct<ToldShape<'a>>,
    /// Shape and sheet of the row before: neighbours mostly share them.
    last: Option<(ToldShape<'a>, u32)>,
    last_sheet: Option<((&'a str, Option<&'a str>), u32)>,
}

impl<'a> Chunk<'a> {
    /// Adds a row of the test at place `test`.
    pub(crate) fn push(&mut self, test: u32, told: &ToldReading<'a>) {
        if let Some(bracket) = told.bracket {
            self.brackets.push((self.rows.len(), bracket));
        }
        let row = ReadingRow {
            id: told.reading_id.map_or(Id::NONE, |id| Id::of(id, |text| self.ids.code(text))),
            value: told.value,
            value_ref: told.value_ref,
            elapsed_s: self.numbers.code_of_number(told.elapsed_s),
            applied_voltage_v: self.numbers.code_of_number(told.applied_voltage_v),
            test,
            seq: told.seq,
            shape: self.shape(told),
            raw_text: self.words.code(told.raw_text),
            sheet: self.sheet(told.sheet),
            cell: cells::code(told.cell, |text| self.words.code(text)),
        };
        self.rows.push(row);
    }

    fn shape(&mut self, told: &ToldReading<'a>) -> u32 {
        let shape = ToldShape {
            quantity: told.quantity,
            circuit: told.circuit,
            bound: told.bound,
            as_reported: told.as_reported,
            outcome: told.outcome,
            voltage_assumed: told.voltage_assumed,
        };
        match self.last {
            Some((last, code)) if last == shape => code,
            _ => {
                let code = self.shapes.code(shape);
                self.last = Some((shape, code));
                code
            }
        }
    }

    fn sheet(&mut self, sheet: (&'a str, Option<&'a str>)) -> u32 {
        match self.last_sheet {
            Some((last, code)) if last == sheet => code,
            _ => {
                let code = self.sheets.code(sheet);
                self.last_sheet = Some((sheet, code));
                code
            }
        }
    }
}

/// The numbers that a fleet has for those of a chunk.
struct Renumbered {
    ids: Vec<Id>,
    words: Vec<u32>,
    numbers: Vec<u32>,
    sheets: Vec<u32>,
    shapes: Vec<u32>,
}

impl Renumbered {
    fn row(&self, row: ReadingRow) -> ReadingRow {
        let of = |codes: &[u32], code: u32| codes.get(code as usize).copied().unwrap_or(UNTOLD);
        ReadingRow {
            id: row.id.text_code().and_then(|code| self.ids.get(code as usize).copied()).unwrap_or(row.id),
            elapsed_s: of(&self.numbers, row.elapsed_s),
            applied_voltage_v: of(&self.numbers, row.applied_voltage_v),
            shape: of(&self.shapes, row.shape),
            raw_text: of(&self.words, row.raw_text),
            sheet: of(&self.sheets, row.sheet),
            cell: cells::place(row.cell).map_or_else(|| of(&self.words, row.cell), |_| row.cell),
            ..row
        }
    }
}

impl Loaded {
    /// Adds readings.
    pub(crate) fn append(&mut self, chunk: Chunk<'_>) {
        let known = self.renumbered(&chunk);
        let first = self.readings.rows.len();
        self.readings.rows.par_extend(chunk.rows.into_par_iter().map(|row| known.row(row)));
        for (place, bracket) in chunk.brackets {
            if let Some(row) = self.readings.rows.get(first + place) {
                self.readings.brackets.insert(row.id, bracket);
            }
        }
    }

    /// Adds computed figures.
    pub(super) fn append_reported(&mut self, chunk: Chunk<'_>) {
        let known = self.renumbered(&chunk);
        self.reported.rows.extend(chunk.rows.into_iter().map(|row| known.row(row)));
    }

    fn renumbered(&mut self, chunk: &Chunk<'_>) -> Renumbered {
        let sheet = |(file, sheet): &(&str, Option<&str>)| (Text::new(file), sheet.map(Text::new));
        Renumbered {
            ids: chunk.ids.iter().map(|text| self.ids.id(text)).collect(),
            words: chunk.words.iter().map(|text| self.words.code(text)).collect(),
            numbers: chunk.numbers.iter().map(|number| self.numbers.code(*number)).collect(),
            sheets: chunk.sheets.iter().map(|told| self.sheets.code(sheet(told))).collect(),
            shapes: chunk.shapes.iter().map(|told| self.shapes.code_of(told, || told.shape())).collect(),
        }
    }

    /// Sorts readings and computed figures by test; to be called when all are there.
    pub(crate) fn sort_readings(&mut self) {
        let (ids, shapes, words, numbers) = (&self.ids, &self.shapes, &self.words, &self.numbers);
        let cell = |row: &ReadingRow| cells::text(row.cell).or_else(|| words.get(row.cell).cloned());
        self.readings.rows.par_sort_unstable_by(|a, b| {
            (a.test, a.seq)
                .cmp(&(b.test, b.seq))
                .then_with(|| ids.compare(a.id, b.id))
                .then(a.value.total_cmp(&b.value))
        });
        // Several figures may stand in one cell.
        self.reported.rows.sort_by(|a, b| {
            let elapsed = |row: &ReadingRow| numbers.number(row.elapsed_s).unwrap_or(f64::NAN);
            let shape = |row: &ReadingRow| shapes.get(row.shape).map(|shape| (&shape.quantity, &shape.circuit));
            a.test
                .cmp(&b.test)
                .then_with(|| cell(a).cmp(&cell(b)))
                .then_with(|| shape(a).cmp(&shape(b)))
                .then_with(|| elapsed(a).total_cmp(&elapsed(b)))
                .then_with(|| a.value.total_cmp(&b.value))
        });
        self.said = self.shapes.iter().map(Said::of).collect();
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
        let all = |test| Quantities::of(self.readings_of(test).chain(self.reported_of(test)));
        self.quantities = (0..tests).into_par_iter().map(all).collect();
    }
}
