//! A voltage that is raised steadily, of which only the rate is told: at each reading it is the rate times the time since the ramp began.

use super::Reader;
use super::line::Line;
use crate::context::Found;
use crate::heading::Heading;
use crate::loose::Caption;
use crate::sense::Sense;
use crate::value;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Quantity, Step, TestKind, Text};
use windrow_text::applied::is_ramp;
use windrow_text::vocabulary::Concept;

/// No ramp goes higher, V: beyond 1.7 times 2E + 1 kV for a machine of 27 kV (IEEE 95 and IEC 60034-1, from memory).
const GREATEST_RAMP_V: f64 = 100_000.0;

impl Reader<'_, '_, '_> {
    /// What a direct voltage with several levels is here: a ramp where a title or the test's name in the line says so, else steps.
    pub(super) fn raised(&self, line: &Line) -> TestKind {
        let named =
            |(concept, item): &(Concept, Item)| *concept == Concept::TestKind && is_ramp(&self.view.cell(item).text);
        let text = |caption: &Caption| is_ramp(&self.view.cell(&caption.item).text).then(String::new);
        let is_titled = || matches!(self.scene.caption(self.block, text), Found::One(..));
        let is_filled_in = || match self.scene.pair(self.block, Concept::TestKind) {
            Found::One(index, _) => is_ramp(&self.scene.loose.pairs[index].cell(self.view).text),
            _ => false,
        };
        if line.fields.iter().any(named) || is_filled_in() || is_titled() { TestKind::DcRamp } else { TestKind::DcStep }
    }

    /// The voltage of a reading whose time is told, in a ramp of which only the rate is told, V; with how it was computed.
    ///
    /// Only where the record calls the test a ramp: elsewhere a rate says how a level was reached that is told or not.
    pub(super) fn ramped(
        &self,
        line: &Line,
        elapsed_s: Option<&Told<f64>>,
        quantity: Quantity,
    ) -> Option<(Told<f64>, Step)> {
        let (rate, time) = (line.rate.as_ref()?, elapsed_s?);
        let is_current = quantity == Quantity::LeakageCurrent;
        if !is_current || time.value <= 0.0 || self.raised(line) != TestKind::DcRamp || self.begins_above() {
            return None;
        }
        let volts = rate.value * time.value;
        if volts > GREATEST_RAMP_V {
            return None;
        }
        let step =
            Step::new("voltage", format!("{} V/s times {} s since the ramp began at 0 V", rate.value, time.value));
        Some((Told { value: volts, ..rate.clone() }, step))
    }

    /// Whether a voltage that a title or label tells is where a ramp began or ended, and not that of its readings.
    pub(super) fn is_end_of_ramp(&self, line: &Line, told: &Told<f64>) -> bool {
        line.rate.is_some() && told.via == Via::Block && self.raised(line) == TestKind::DcRamp
    }

    /// Whether a text above the readings speaks of where the ramp began ("Start voltage 2 kV", "from 2 kV").
    fn begins_above(&self) -> bool {
        let top = self.scene.blocks[self.block].rows.0;
        let mut above = self.view.items().iter().take_while(|item| item.row <= top);
        above.any(|item| windrow_text::applied::tells_begin(&self.view.cell(item).text))
    }

    /// The rate that a cell tells under `heading`, V/s; `None` without a unit of a rate.
    pub(super) fn rate(&self, cell: &windrow_source::Cell, sense: &Sense, heading: &Heading) -> Option<f64> {
        let amounts = value::amounts(cell, sense).filter(|amounts| !amounts.range && amounts.parts.len() == 1)?;
        let amount = amounts.parts.first()?;
        let number = value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)?.value;
        let head = || heading.units.as_ref().and_then(|units| value::unit_of(&units.value.0, Dimension::VoltageRate));
        let unit = value::unit_of(&amount.units, Dimension::VoltageRate).or_else(head)?;
        (number > 0.0).then(|| unit.to_stored(number))
    }

    /// The rate as the source tells it, with its label: `Ramp rate (kV/min): 1`.
    pub(super) fn rate_in_words(&self, item: &Item, heading: &Heading) -> Text {
        format!("{}: {}", heading.text(self.view).trim(), self.view.cell(item).text.trim()).into()
    }

    /// The rate that a pair or a title tells for the block, and its words.
    pub(super) fn block_rate(&self) -> Option<(Option<Told<f64>>, Told<Text>)> {
        if let Found::One(index, via) = self.scene.pair(self.block, Concept::RateOfRise) {
            let pair = &self.scene.loose.pairs[index];
            let rate = self.rate(pair.cell(self.view), pair.sense(self.view), &pair.heading);
            let words = format!("{}: {}", pair.heading.text(self.view).trim(), pair.cell(self.view).text.trim());
            return Some((
                rate.map(|rate| self.told(rate, via, &pair.value)),
                self.told(words.into(), via, &pair.value),
            ));
        }
        let tell = |caption: &Caption| rate_in(&self.view.cell(&caption.item).text).map(|rate| rate.to_string());
        let Found::One(index, via) = self.scene.caption(self.block, tell) else { return None };
        let item = &self.scene.loose.captions[index].item;
        let text = self.view.cell(item).text.trim();
        Some((Some(self.told(rate_in(text)?, via, item)), self.told(text.into(), via, item)))
    }
}

/// The rate that stands in a text ("DC ramp test, 1 kV/min"), V/s; `None` where it holds none.
fn rate_in(text: &str) -> Option<f64> {
    let begins = text.char_indices().filter(|(at, c)| {
        c.is_ascii_digit()
            && text
                .get(..*at)
                .and_then(|before| before.chars().next_back())
                .is_none_or(|before| before.is_whitespace() || "(:,=".contains(before))
    });
    begins.filter_map(|(at, _)| text.get(at..)).find_map(|rest| {
        let (part, _) = windrow_text::measure::begin(rest)?;
        let unit = value::unit_of(&part.units, Dimension::VoltageRate)?;
        let number = part.numbers.first()?.value;
        (number > 0.0).then(|| unit.to_stored(number))
    })
}
