//! At which time since voltage was applied.

use super::Reader;
use super::line::Line;
use crate::column::Column;
use crate::context::Found;
use crate::fit::speaks_of;
use crate::heading::{By, Heading};
use crate::ruling::Ruling;
use crate::sense::Kind;
use crate::value;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Quantity, Question, Unit};
use windrow_source::Content;
use windrow_text::measure::Condition;
use windrow_text::vocabulary::Concept;

/// Seconds of a day.
const DAY_S: f64 = 86_400.0;
/// Longest time that voltage stands at a reading, s. Wide on purpose; common practice, no source.
const LONGEST_S: f64 = 14_400.0;

/// What the places told of the time.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Time {
    /// Nothing told.
    Untold,
    /// One time, s.
    Known(Told<f64>),
    /// A bare number that is seconds or minutes.
    Open(f64),
    /// A text where times stand that tells none.
    Unclear,
}

impl Reader<'_, '_, '_> {
    /// The time of a reading.
    pub(super) fn elapsed(
        &self,
        item: &Item,
        amount: &value::Amount,
        line: &Line,
        (column, quantity): (&Column, Quantity),
    ) -> Time {
        let pick = |ruling: &Ruling| if let Ruling::ElapsedS(seconds) = ruling { Some(*seconds) } else { None };
        if let Some(told) = self.ruled(item, Question::Elapsed, pick) {
            return Time::Known(told);
        }
        for condition in &amount.conditions {
            if let Condition::ElapsedS(seconds) = condition {
                return Time::Known(self.told(*seconds, Via::Cell, item));
            }
        }
        if let Some(time) = line.elapsed.clone() {
            return match (&time, &column.heading.elapsed_s) {
                (Time::Known(told), Some(by)) => self.of_line_and_column(line, told, by),
                _ => time,
            };
        }
        for (heading, via) in [(line.label.as_ref(), Via::Row), (Some(&column.heading), Via::Column)] {
            let Some(heading) = heading else { continue };
            if let Some(by) = &heading.elapsed_s {
                return Time::Known(self.told(by.value, via, &by.item));
            }
            if let Some(by) = &heading.duration {
                return Time::Known(self.told(self.clock(by.value), via, &by.item));
            }
        }
        if let Some(time) = self.clock_heading(&column.heading) {
            return time;
        }
        if let Some(by) = &column.heading.number
            && let Some(time) = self.axis_time(by.value, &by.item)
        {
            return time;
        }
        self.since_voltage_on(line).unwrap_or_else(|| self.block_elapsed(quantity))
    }

    /// "Duration | R 1 min | R 10 min": the heading of a value tells its time, the line how long the test went on. Any other two times
    /// contradict each other.
    fn of_line_and_column(&self, line: &Line, told: &Told<f64>, column: &By<f64>) -> Time {
        let is_duration = |item: &Item| {
            let heads = self.scene.tables.iter().flat_map(|read| &read.columns).filter(|of| of.column == item.column);
            heads.map(|of| of.heading.text(self.view)).any(|text| windrow_text::marks::names_duration(&text))
        };
        let lasts = line.fields.iter().any(|(concept, item)| *concept == Concept::Elapsed && is_duration(item));
        let is_same = (told.value - column.value).abs() < 0.5;
        if is_same || lasts && told.value >= column.value {
            Time::Known(self.told(column.value, Via::Column, &column.item))
        } else {
            Time::Unclear
        }
    }

    /// The time between "Voltage on at 10:02:00", told right above the block, and the time of day of the line.
    fn since_voltage_on(&self, line: &Line) -> Option<Time> {
        let clock = |text: &str| windrow_text::date::clock(text).map(windrow_text::date::Clock::as_hours_s);
        let at = line.fields.iter().find(|(concept, _)| *concept == Concept::ClockTime).map(|(_, item)| *item)?;
        let top = self.scene.blocks.get(self.block)?.rows.0;
        let above = self.scene.blocks.iter().map(|block| block.rows.1).filter(|bottom| *bottom < top).max();
        let is_own = |row: u32| row < top && above.is_none_or(|above| row > above);
        let mut starts = self.scene.loose.pairs.iter().filter(|pair| {
            is_own(pair.label.row) && windrow_text::marks::is_voltage_on(&self.view.cell(&pair.label).text)
        });
        let start = starts.next().filter(|_| starts.next().is_none())?;
        let seconds = clock(&self.view.cell(&at).text)? - clock(&start.cell(self.view).text)?;
        let seconds = if seconds < 0.0 { seconds + DAY_S } else { seconds };
        (seconds > 0.0 && seconds <= LONGEST_S).then(|| Time::Known(self.told(seconds, Via::Row, &at)))
    }

    fn block_elapsed(&self, quantity: Quantity) -> Time {
        if let Found::One(index, via) = self.scene.pair(self.block, Concept::Elapsed) {
            let pair = &self.scene.loose.pairs[index];
            if let Some(time) =
                self.time_of(pair.cell(self.view), pair.sense(self.view), &pair.heading, &pair.value, via)
            {
                return time;
            }
        }
        // "Test voltage | 1000 V, 1 min".
        if let Found::One(index, via) = self.scene.pair(self.block, Concept::TestVoltage) {
            let pair = &self.scene.loose.pairs[index];
            if let Some(seconds) = pair.sense(self.view).label.elapsed_s {
                return Time::Known(self.told(seconds, via, &pair.value));
            }
        }
        let tell = |caption: &crate::loose::Caption| {
            let told = caption.heading.elapsed_s.as_ref().filter(|_| speaks_of(caption, quantity));
            told.map(|by| by.value.to_string())
        };
        if let Found::One(index, via) = self.scene.caption(self.block, tell) {
            let caption = &self.scene.loose.captions[index];
            if let Some(by) = &caption.heading.elapsed_s {
                return Time::Known(self.told(by.value, via, &caption.item));
            }
        }
        Time::Untold
    }

    /// "2:00" in a line of headings of which one says what the numbers of a clock are: "Elapsed (min:s)".
    fn clock_heading(&self, heading: &Heading) -> Option<Time> {
        let item = heading.items.last()?;
        let clock = windrow_text::date::clock(&self.view.cell(item).text)?;
        let mut lines = self.scene.tables.iter().flat_map(|read| &read.table.header);
        let line = lines.find(|line| line.iter().any(|head| head.cell == item.cell))?;
        let mut before = line.iter().rev().filter(|head| head.row == item.row && head.column < item.column);
        let seconds = match before.find_map(|head| crate::column::clock_form(&self.view.cell(head).text))? {
            crate::column::Clock::Minutes => clock.as_minutes_s()?,
            crate::column::Clock::Hours => clock.as_hours_s(),
        };
        Some(Time::Known(self.told(seconds, Via::Column, item)))
    }

    /// A bare number of an axis: the corner or a caption says what it counts.
    fn axis_time(&self, number: f64, item: &Item) -> Option<Time> {
        let corner = self.corner(item)?;
        if corner.concept() == Some(Concept::TestVoltage) || number >= 1900.0 {
            return None;
        }
        let unit = corner.units.as_ref().and_then(|units| value::unit_of(&units.value.0, Dimension::Time));
        let unit = unit.or_else(|| unit_word(&corner.text(self.view)));
        match unit {
            Some(unit) => Some(Time::Known(self.told(unit.to_stored(number), Via::Column, item))),
            None if corner.has(Concept::Elapsed) => Some(self.bare_time(number, item, Via::Column)),
            None => None,
        }
    }

    /// The heading over the first column of the table, in the same line as an axis.
    pub(super) fn corner(&self, item: &Item) -> Option<Heading> {
        let read = self
            .scene
            .tables
            .iter()
            .find(|read| read.table.header.iter().flatten().any(|head| head.cell == item.cell))?;
        let mut corner: Vec<Item> = Vec::new();
        for line in &read.table.header {
            // Group labels over the axis and the label at its left both speak of it.
            let over = line.iter().rev().find(|head| head.row < item.row && head.column <= item.column);
            let left = line.iter().find(|head| {
                head.row == item.row && head.column < item.column && self.view.sense(head).kind == Kind::Text
            });
            corner.extend(over.or(left).copied());
        }
        (!corner.is_empty()).then(|| Heading::sum(self.view, &corner))
    }

    /// A time told by a value cell under `heading`.
    pub(super) fn time_of(
        &self,
        cell: &windrow_source::Cell,
        sense: &crate::sense::Sense,
        heading: &Heading,
        item: &Item,
        via: Via,
    ) -> Option<Time> {
        if let Content::Duration(seconds) = cell.content {
            return Some(Time::Known(self.told(self.clock(seconds), via, item)));
        }
        if let Some(clock) = windrow_text::date::clock(&cell.text) {
            let seconds = match heading.clock.or_else(|| crate::column::clock_form(&heading.text(self.view)))? {
                crate::column::Clock::Minutes => clock.as_minutes_s()?,
                crate::column::Clock::Hours => clock.as_hours_s(),
            };
            return Some(Time::Known(self.told(seconds, via, item)));
        }
        let amounts = value::amounts(cell, sense);
        let Some(amount) = amounts.as_ref().and_then(|amounts| amounts.parts.first()) else {
            let seconds = sense.label.elapsed_s?;
            return Some(Time::Known(self.told(seconds, via, item)));
        };
        let number = value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)?.value;
        let unit = value::unit_of(&amount.units, Dimension::Time)
            .or_else(|| heading.units.as_ref().and_then(|units| value::unit_of(&units.value.0, Dimension::Time)))
            .or_else(|| unit_word(&heading.text(self.view)));
        Some(match unit {
            Some(unit) => Time::Known(self.told(unit.to_stored(number), via, item)),
            None => self.bare_time(number, item, via),
        })
    }

    /// The time that a key cell tells; words there tell none, and nothing farther away may speak for them.
    pub(super) fn time_told(
        &self,
        cell: &windrow_source::Cell,
        sense: &crate::sense::Sense,
        heading: &Heading,
        item: &Item,
    ) -> Option<Time> {
        let unclear = || (sense.kind == Kind::Text).then_some(Time::Unclear);
        self.time_of(cell, sense, heading, item, Via::Row).or_else(unclear)
    }

    /// A time without a unit: quarters and halves are minutes, whole multiples of a quarter minute beyond ten are seconds.
    fn bare_time(&self, number: f64, item: &Item, via: Via) -> Time {
        if number < 10.0 && number.fract() != 0.0 || self.axis_has_fractions(item) {
            Time::Known(self.told(number * 60.0, via, item))
        } else if number >= 45.0 {
            Time::Known(self.told(number, via, item))
        } else {
            self.bare_by_company(number, item, via)
        }
    }

    /// Times listed together: 1 … 10 are minutes when nothing beyond 15 is among them, 15 … 600 seconds.
    fn bare_by_company(&self, number: f64, item: &Item, via: Via) -> Time {
        let numbers = self.company(item);
        let (least, most) = numbers.iter().fold((f64::MAX, f64::MIN), |(least, most), n| (least.min(*n), most.max(*n)));
        if numbers.len() >= 2 && most <= 10.0 && least <= 2.0 {
            Time::Known(self.told(number * 60.0, via, item))
        } else if numbers.len() >= 2 && least >= 15.0 && most >= 45.0 {
            Time::Known(self.told(number, via, item))
        } else {
            Time::Open(number)
        }
    }

    fn axis_has_fractions(&self, item: &Item) -> bool {
        let numbers = self.company(item);
        numbers.iter().any(|number| number.fract() != 0.0) && numbers.iter().all(|number| *number <= 15.0)
    }

    /// Numbers in the same line or column as `item`.
    fn company(&self, item: &Item) -> Vec<f64> {
        let number = |other: &Item| match self.view.cell(other).content {
            Content::Number(value) => Some(value),
            _ => None,
        };
        let in_header = self
            .scene
            .tables
            .iter()
            .find_map(|read| read.table.header.iter().find(|line| line.iter().any(|head| head.cell == item.cell)));
        if let Some(line) = in_header {
            return line.iter().filter_map(number).collect();
        }
        let block = &self.scene.blocks[self.block];
        let from = self.view.line_at(block.rows.0);
        (from..self.view.line_count())
            .take_while(|line| self.view.row(*line) <= block.rows.1)
            .take(200)
            .filter_map(|line| self.view.line(line).iter().find(|other| other.column == item.column))
            .filter_map(number)
            .collect()
    }

    /// Seconds of a clock time: 10:00 typed for ten minutes is often stored as ten hours.
    pub(super) fn clock(&self, seconds: f64) -> f64 {
        // No reading is taken hours after voltage was applied; half an hour beside ten hours is half a minute.
        let hours = self.view.items().iter().any(|item| {
            matches!(self.view.cell(item).content, Content::Duration(value) if (3600.0..=36_000.0).contains(&value))
        });
        if hours { seconds / 60.0 } else { seconds }
    }
}

/// The unit of time that a label names as a word.
fn unit_word(text: &str) -> Option<Unit> {
    let folded = windrow_text::fold::fold(text);
    let words: Vec<&str> = folded.split(' ').collect();
    let has = |list: &[&str]| words.iter().any(|word| list.contains(word));
    let minutes = has(&["min", "mins", "minute", "minutes", "minuten", "minutos", "minuto", "mn"]);
    let seconds = has(&["s", "sec", "secs", "second", "seconds", "sekunden", "sek", "secondes", "segundos", "seg"]);
    let hours = windrow_text::marks::names_hours(text);
    match (minutes, seconds, hours) {
        // "Time, min, after 24 h of drying".
        (true, false, _) => Some(Unit::MINUTE),
        (false, true, _) => Some(Unit::SECOND),
        (false, false, true) => Some(Unit::HOUR),
        _ => None,
    }
}
