//! Readings, and figures that sources computed beside them.

mod rows;
mod shape;
mod tables;

use super::ids::Id;
use super::slices::known;
use super::{Loaded, Test, cells};
use crate::features::Part;
pub(crate) use rows::{Chunk, ToldReading};
use shape::ToldShape;
pub(super) use shape::{Said, Shape};
use std::collections::HashMap;
pub(super) use tables::{load, load_reported};
use windrow_model::kind::Outcome;
use windrow_model::place::read_a1;
use windrow_model::{Bound, Quantity, Text};

/// A reading; texts, times and voltages by number, for few of them are distinct; `NaN` for a value that is not told.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ReadingRow {
    pub(super) id: Id,
    pub(super) value: f64,
    pub(super) value_ref: f64,
    pub(super) elapsed_s: u32,
    pub(super) applied_voltage_v: u32,
    pub(super) test: u32,
    pub(super) seq: i32,
    pub(super) shape: u32,
    pub(super) raw_text: u32,
    pub(super) sheet: u32,
    pub(super) cell: u32,
}

/// Rows by test.
#[derive(Debug, Default)]
pub(crate) struct Readings {
    pub(super) rows: Vec<ReadingRow>,
    /// Where the rows of each test end.
    ends: Vec<u32>,
    /// Value at the reference temperature by either law, where the records leave the law open.
    pub(super) brackets: HashMap<Id, [f64; 2]>,
}

impl Readings {
    pub(super) fn of(&self, test: usize) -> &[ReadingRow] {
        let end = self.ends.get(test).copied().unwrap_or_default() as usize;
        let begin = test.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or_default() as usize;
        self.rows.get(begin..end).unwrap_or_default()
    }
}

/// Whether a time is the stated one, as [`Reading::is_at`] has it.
pub(crate) fn is_at(elapsed_s: Option<f64>, seconds: f64) -> bool {
    elapsed_s.is_some_and(|elapsed| (elapsed - seconds).abs() <= 0.5)
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

    fn said(&self) -> Said {
        self.loaded.said.get(self.row.shape as usize).copied().unwrap_or(Said::NOTHING)
    }

    /// Whether it is a resistance of the insulation or of the winding.
    pub(crate) fn is_resistance(&self) -> bool {
        self.is_insulation_resistance() || self.is_winding_resistance()
    }

    /// Whether it is a resistance of the insulation.
    pub(crate) fn is_insulation_resistance(&self) -> bool {
        self.is(Quantity::InsulationResistance)
    }

    /// Whether it is a resistance of the winding.
    pub(crate) fn is_winding_resistance(&self) -> bool {
        self.is(Quantity::WindingResistance)
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

    pub(crate) fn is(&self, quantity: Quantity) -> bool {
        self.known_quantity() == Some(quantity)
    }

    /// What was read; `None` where the schema does not know it.
    pub(crate) fn known_quantity(&self) -> Option<Quantity> {
        self.said().quantity
    }

    pub(crate) fn circuit(&self) -> Option<&'a str> {
        self.shape().circuit.as_deref()
    }

    /// The part of the winding that its circuit is; `None` for a circuit that the schema does not know.
    pub(crate) fn part(&self) -> Option<Part> {
        self.said().part
    }

    pub(crate) fn elapsed_s(&self) -> Option<f64> {
        self.loaded.numbers.number(self.row.elapsed_s)
    }

    /// Number of the time in this fleet.
    pub(crate) fn elapsed_code(&self) -> u32 {
        self.row.elapsed_s
    }

    /// Half a second either way counts as the stated time: sources write 60 s, 1 min, 60.0.
    pub(crate) fn is_at(&self, seconds: f64) -> bool {
        is_at(self.elapsed_s(), seconds)
    }

    /// Whether it is the usual one-minute reading; one whose time is not told is taken for that.
    pub(crate) fn is_of_a_minute(&self) -> bool {
        self.elapsed_s().is_none_or(|elapsed| (elapsed - 60.0).abs() <= 0.5)
    }

    pub(crate) fn applied_voltage_v(&self) -> Option<f64> {
        self.loaded.numbers.number(self.row.applied_voltage_v)
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
        self.said().bound
    }

    pub(crate) fn is_exact(&self) -> bool {
        self.bound() == Some(Bound::Exact)
    }

    pub(crate) fn as_reported(&self) -> &'a str {
        &self.shape().as_reported
    }

    /// Whether the source gives it as read.
    pub(crate) fn is_as_read(&self) -> bool {
        self.said().is_as_read
    }

    pub(crate) fn outcome(&self) -> Option<&'a str> {
        self.shape().outcome.as_deref()
    }

    /// What the voltage did, where the reading says it.
    pub(crate) fn fate(&self) -> Option<Outcome> {
        self.said().fate
    }

    /// Whether a reading of this circuit says that it broke down or that the test was stopped.
    pub(crate) fn broke_down(&self) -> bool {
        matches!(self.fate(), Some(Outcome::BrokeDown | Outcome::Stopped))
    }

    pub(crate) fn voltage_is_assumed(&self) -> bool {
        self.shape().voltage_assumed
    }

    /// Number of the printed text in this fleet.
    pub(crate) fn raw_code(&self) -> u32 {
        self.row.raw_text
    }

    pub(crate) fn raw_text(&self) -> &'a str {
        self.told(self.row.raw_text)
    }

    pub(crate) fn cell(&self) -> Text {
        let told = || self.loaded.words.get(self.row.cell).cloned();
        cells::text(self.row.cell).or_else(told).unwrap_or_default()
    }

    /// Row and column on the sheet, both from zero; `None` where the container has none.
    pub(crate) fn at(&self) -> Option<(u32, u32)> {
        cells::place(self.row.cell).or_else(|| read_a1(self.told(self.row.cell)))
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
