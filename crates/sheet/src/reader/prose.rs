//! Readings of sentences: what a passage tells becomes tests as the lines of tables do.

use super::Reader;
use super::date::When;
use super::line::Line;
use super::plausible::is_plausible;
use crate::pool::Count;
use crate::prose::{By, Passage, Spoken};
use crate::value;
use crate::view::Item;
use windrow_model::raw::{RawReading, Told, Via};
use windrow_model::{Disposition, Flag, Quantity, Reported, Text};
use windrow_text::number::{Mark, NumberMeaning};
use windrow_text::vocabulary::Concept;

const QUANTITY: Quantity = Quantity::InsulationResistance;

impl Reader<'_, '_, '_> {
    pub(super) fn read_passage(&mut self, passage: &Passage) {
        let mark = self.mark_in_sentences();
        for spoken in &passage.readings {
            for item in &spoken.cells {
                self.mark(item, Disposition::Label, Some("says how and on what the readings beside it were taken"));
            }
            if !self.is_ruled_out(&spoken.item) {
                self.read_spoken(spoken, mark);
            }
        }
    }

    /// The decimal mark of the values that all sentences of the sheet tell, where it is one.
    fn mark_in_sentences(&self) -> Option<Mark> {
        let readings = self.scene.passages.iter().flat_map(|passage| &passage.readings);
        let told = |numbers: &[NumberMeaning]| match numbers {
            [NumberMeaning { decimal: Some(mark @ (Mark::Point | Mark::Comma)), .. }] => Some(*mark),
            [NumberMeaning { decimal: None, thousands: Some(Mark::Point), .. }] => Some(Mark::Comma),
            [NumberMeaning { decimal: None, thousands: Some(Mark::Comma), .. }] => Some(Mark::Point),
            _ => None,
        };
        let mut marks = readings.filter_map(|spoken| told(&spoken.part.numbers));
        let first = marks.next()?;
        marks.all(|other| other == first).then_some(first)
    }

    fn read_spoken(&mut self, spoken: &Spoken, mark: Option<Mark>) {
        let item = &spoken.item;
        if spoken.is_doubtful {
            self.hold_value(item, "the figure cannot be read for certain", Vec::new());
            return;
        }
        let line = self.spoken_line(spoken);
        if matches!(line.when, When::Unclear(_) | When::Untold) {
            return;
        }
        let mut levels = vec![mark];
        levels.extend(self.decimal_levels(self.sheet_marks));
        let Some(number) = value::choose_number(&spoken.part.numbers, &levels, false).map(|number| number.value) else {
            let choices = spoken.part.numbers.iter().map(|number| number.value.to_string()).collect();
            self.hold_value(item, "is the mark between the digits a decimal or a thousands mark?", choices);
            return;
        };
        let Some(unit) = value::unit_for(&spoken.part.units, &spoken.part.unit_text, QUANTITY) else { return };
        if !is_plausible(QUANTITY, unit.to_stored(number)) {
            self.hold_value(item, "no winding has a value of this size", Vec::new());
            return;
        }
        let unit = Told::at(unit, Via::Cell, spoken.part.unit_text.as_str(), self.place(item));
        let quantity = Told { value: QUANTITY, ..unit.clone().map(|_| QUANTITY) };
        let reading = RawReading {
            quantity,
            circuit: self.spoken_by(spoken.circuit.as_ref(), item),
            elapsed_s: self.spoken_by(spoken.elapsed.as_ref(), item),
            applied_voltage_v: self.spoken_by(spoken.volts.as_ref(), item),
            number,
            unit,
            bound: spoken.part.bound,
            as_reported: Reported::AsRead,
            reported_reference_c: None,
            outcome: None,
            raw_text: self.view.cell(item).text.clone(),
            place: self.place(item),
            steps: Vec::new(),
            flags: [(Flag::Hidden, self.is_hidden(item)), (Flag::Approximate, spoken.part.approximate)]
                .into_iter()
                .filter_map(|(flag, holds)| holds.then_some(flag))
                .collect(),
        };
        self.add(reading, item, &line);
    }

    /// Machine, date and temperatures of a reading.
    fn spoken_line(&mut self, spoken: &Spoken) -> Line {
        let item = &spoken.item;
        let mut line = self.bare_line(item.row);
        let (name, at) = &spoken.machine;
        line.machine.tag = Some(self.told(Text::from(name.as_str()), via(at, item), at));
        line.machine.site = self.caption_site();
        let (dates, at) = &spoken.dates;
        line.when = self.when(dates, at, via(at, item), Count::default());
        line.origin = (Some(spoken.machine.1.cell), Some(at.cell));
        line.winding = self.spoken_by(spoken.winding.as_ref(), item);
        line.some_temperature = self.spoken_by(spoken.some_celsius.as_ref(), item);
        line.ambient = self.spoken_by(spoken.ambient.as_ref(), item);
        let fields = [(Concept::Tag, spoken.machine.1), (Concept::Date, *at)];
        line.fields.extend(fields.into_iter().filter(|(_, told)| told.cell != item.cell));
        for (_, told) in line.fields.clone() {
            self.mark(&told, Disposition::Value, None);
        }
        self.apply_rulings(item, &mut line);
        line
    }

    fn spoken_by<T: Clone>(&self, by: Option<&By<T>>, item: &Item) -> Option<Told<T>> {
        by.map(|(value, at)| self.told(value.clone(), via(at, item), at))
    }
}

/// From where the cell at `at` speaks to the value in `item`.
const fn via(at: &Item, item: &Item) -> Via {
    if at.cell == item.cell {
        Via::Cell
    } else if at.row == item.row {
        Via::Row
    } else {
        Via::Block
    }
}
