//! Withstand tests exist by their voltage: a line that tells what was applied and what became of it is a test, whether or not a
//! leakage current was read.

use super::Reader;
use super::circuit::Terminals;
use super::elapsed::Time;
use super::line::Line;
use super::reading::Extra;
use crate::column::{Column, Role};
use crate::context::{Found, ReadTable};
use crate::cut::BodyLine;
use crate::loose::Caption;
use crate::value;
use crate::view::Item;
use windrow_model::kind::Outcome;
use windrow_model::raw::{RawReading, Told, Via};
use windrow_model::{Bound, Quantity, Reported, TestKind, Unit};
use windrow_text::applied::{Supply, supply};
use windrow_text::fold::fold;
use windrow_text::marks::{Verdict, verdict};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// The voltage of a line of withstand tests that gave no other reading.
    pub(super) fn read_withstand(&mut self, read: &ReadTable, body: &BodyLine, line: &Line) {
        let field = |concept: Concept| {
            let column = read.columns.iter().find(|column| column.role == Role::Field(concept))?;
            let item = body.items.iter().find(|item| item.column == column.column)?;
            Some((column, *item))
        };
        let Some((column, item)) = field(Concept::TestVoltage) else { return };
        let test = field(Concept::TestKind).map(|(_, item)| item);
        let result = field(Concept::Result).map(|(_, item)| item);
        let is_read = body.items.iter().any(|item| self.has_reading(item) || self.is_doubted(item));
        if is_read || test.is_none() && result.is_none() || !self.is_withstand(column, test) {
            return;
        }
        let Some(kind) = self.form_of_voltage(column, item, test) else { return };
        let outcome = result.and_then(|item| outcome(&self.view.cell(&item).text));
        if let Some(reading) = self.voltage_reading(column, &item, test, line) {
            self.add_as(kind, RawReading { outcome, ..reading }, &item, line);
        }
    }

    /// Whether the nearest title that says so calls the voltage alternating.
    pub(super) fn is_alternating(&self) -> bool {
        let form = |caption: &Caption| {
            let text = &self.view.cell(&caption.item).text;
            // "ca. 20 °C": about, not alternating.
            let is_open = fold(text).split(' ').any(|word| word == "ca");
            form_in(text).filter(|_| !is_open)
        };
        match self.scene.caption(self.block, |caption| form(caption).map(|kind| format!("{kind:?}"))) {
            Found::One(index, _) => form(&self.scene.loose.captions[index]) == Some(TestKind::AcWithstand),
            _ => false,
        }
    }

    fn has_reading(&self, item: &Item) -> bool {
        self.groups.iter().flat_map(|group| &group.pending).any(|pending| pending.cell == item.cell)
    }

    /// Whether the column, the test's name in the line or a title says that a voltage was to be withstood.
    fn is_withstand(&self, column: &Column, test: Option<Item>) -> bool {
        let named = test.is_some_and(|item| self.view.sense(&item).label.weight(Concept::Withstand) > 0.0);
        let titled = self.scene.loose.captions.iter().any(|caption| caption.concepts.contains(&Concept::Withstand));
        named || titled || column.heading.has(Concept::Withstand)
    }

    /// Whether the voltage was alternating or direct, as the nearest of cell, name of the test, heading and title says.
    fn form_of_voltage(&self, column: &Column, item: Item, test: Option<Item>) -> Option<TestKind> {
        let cell = |item: &Item| self.view.cell(item).text.to_string();
        let titles = self.scene.loose.captions.iter().map(|caption| cell(&caption.item)).collect::<Vec<_>>().join(" ");
        let places = [cell(&item), test.as_ref().map(cell).unwrap_or_default(), column.heading.text(self.view), titles];
        places.iter().find_map(|text| form_in(text))
    }

    fn voltage_reading(&mut self, column: &Column, item: &Item, test: Option<Item>, line: &Line) -> Option<RawReading> {
        let (cell, sense) = (self.view.cell(item), self.view.sense(item));
        let raw_text = cell.text.clone();
        let amounts = value::amounts(cell, sense)?;
        let amount = amounts.parts.first()?;
        let (told, number, unit) = if let Some(told) = self.ruled_volts(item) {
            let volts = told.value;
            (told, volts, Unit::VOLT)
        } else {
            let volts = self.volts(cell, sense, &column.heading)?;
            let number = value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)?.value;
            let unit = if (volts / number - 1000.0).abs() < 1.0 { Unit::KILOVOLT } else { Unit::VOLT };
            (self.told(volts, Via::Cell, item), number, unit)
        };
        if self.doubts_voltage(item, Quantity::Voltage, &told) {
            return None;
        }
        let at = column.heading.items.last().copied().unwrap_or(*item);
        let circuit = match self.terminals(item, amount, column, line, Quantity::Voltage, &Extra::default()) {
            Terminals::Known(told) => Some(told),
            _ => None,
        };
        let named = test.and_then(|item| {
            let seconds = self.view.sense(&item).label.elapsed_s?;
            Some(self.told(seconds, Via::Row, &item))
        });
        let elapsed_s = match &line.elapsed {
            Some(Time::Known(told)) => Some(told.clone()),
            _ => named,
        };
        Some(RawReading {
            quantity: self.told(Quantity::Voltage, Via::Column, &at),
            circuit,
            elapsed_s,
            applied_voltage_v: Some(told),
            number,
            unit: Told { value: unit, ..self.told(unit, Via::Column, &at) },
            bound: Bound::Exact,
            as_reported: Reported::AsRead,
            reported_reference_c: None,
            outcome: None,
            raw_text,
            place: self.place(item),
            steps: Vec::new(),
            flags: Vec::new(),
        })
    }
}

/// The test that the voltage named by a text makes.
fn form_in(text: &str) -> Option<TestKind> {
    match supply(text)? {
        Supply::Alternating => Some(TestKind::AcWithstand),
        Supply::Direct => Some(TestKind::DcWithstand),
    }
}

/// What the result says of the voltage.
fn outcome(text: &str) -> Option<Outcome> {
    match verdict(text)? {
        Verdict::Pass => Some(Outcome::Withstood),
        Verdict::Fail => Some(Outcome::BrokeDown),
        Verdict::Stopped => Some(Outcome::Stopped),
        Verdict::Marginal => None,
    }
}
