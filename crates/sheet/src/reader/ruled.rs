//! What a person ruled about a cell.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::pool::Count;
use crate::ruling::Ruling;
use crate::value::{self, Amounts};
use crate::view::Item;
use windrow_model::raw::{Mention, Told, Via};
use windrow_model::settings::DateOrder;
use windrow_model::{Disposition, PartialDate, Question, Step, Text, Unit};
use windrow_source::Cell;

impl Reader<'_, '_, '_> {
    /// The ruling on `question` about the cell that `pick` wants.
    pub(super) fn ruled<T>(
        &self,
        item: &Item,
        question: Question,
        pick: impl Fn(&Ruling) -> Option<T>,
    ) -> Option<Told<T>> {
        let cell = self.view.grid.cells.get(item.cell as usize)?;
        let (value, credit) = self.around.rulings.find(cell, &[question], pick)?;
        Some(Told::without_place(value, Via::Decision, credit))
    }

    /// The unit ruled for a value.
    pub(super) fn ruled_unit(&self, item: &Item) -> Option<Told<Unit>> {
        let pick = |ruling: &Ruling| if let Ruling::Unit(unit) = ruling { Some(*unit) } else { None };
        self.ruled(item, Question::Unit, pick).or_else(|| self.ruled(item, Question::UnitConflict, pick))
    }

    /// The date ruled for a cell.
    pub(super) fn ruled_date(&self, item: &Item) -> Option<Told<PartialDate>> {
        self.ruled(item, Question::Date, |ruling| if let Ruling::Date(date) = ruling { Some(*date) } else { None })
    }

    /// The order of day and month ruled for a cell, as evidence.
    pub(super) fn ruled_order(&self, item: &Item) -> Option<Count> {
        let pick = |ruling: &Ruling| if let Ruling::Order(order) = ruling { Some(*order) } else { None };
        self.ruled(item, Question::DateOrder, pick).map(|told| match told.value {
            DateOrder::DayFirst => Count { first: 1, second: 0 },
            DateOrder::MonthFirst => Count { first: 0, second: 1 },
        })
    }

    /// The date that a person made of a true date whose day and month may be swapped.
    pub(super) fn ruled_swap(&self, item: &Item, date: PartialDate) -> Option<Told<PartialDate>> {
        if let Some(ruled) = self.ruled_date(item) {
            return Some(ruled);
        }
        let pick = |ruling: &Ruling| if let Ruling::Swapped(swapped) = ruling { Some(*swapped) } else { None };
        let told = self.ruled(item, Question::Date, pick)?;
        let (day, month) = (date.first.day(), date.first.month());
        let date = if told.value { PartialDate::day(date.first.year(), day, month)? } else { date };
        Some(told.map(|_| date))
    }

    /// What a person says that a cell shows.
    pub(super) fn ruled_value(&self, item: &Item) -> Option<Amounts> {
        let pick = |ruling: &Ruling| if let Ruling::Value(measure) = ruling { Some(measure.clone()) } else { None };
        let told = [Question::IllegibleValue, Question::FormulaResult, Question::MissingCeiling]
            .into_iter()
            .find_map(|question| self.ruled(item, question, pick))?;
        let steps = vec![Step::new("decision", format!("read as {}; {}", shown(&told.value), told.text))];
        Some(Amounts { steps, ..value::measured(&told.value) })
    }

    /// Machine and date that a person ruled for a reading.
    pub(super) fn apply_rulings(&self, item: &Item, line: &mut Line) {
        let pick = |ruling: &Ruling| if let Ruling::Machine(tag) = ruling { Some(tag.clone()) } else { None };
        if let Some(tag) = self.ruled(item, Question::Machine, pick) {
            line.machine = Mention { tag: Some(tag.map(Text::from)), ..Mention::default() };
            line.machine_conflict = false;
        }
        if let Some(date) = self.ruled_date(item) {
            line.when = When::Known(date);
        }
    }

    /// Marks a cell that a person ruled to be no reading; whether one did.
    pub(super) fn is_ruled_out(&mut self, item: &Item) -> bool {
        let excluded = |cell: &Cell| self.around.rulings.excludes(cell).map(|credit| format!("no reading, {credit}"));
        let Some(reason) = self.view.grid.cells.get(item.cell as usize).and_then(excluded) else { return false };
        self.mark(item, Disposition::Label, Some(&reason));
        true
    }
}

fn shown(measure: &windrow_text::measure::Measure) -> String {
    let part = measure.parts.first();
    let number = part.and_then(|part| part.numbers.first()).map(|number| number.value.to_string());
    let unit = part.map(|part| part.unit_text.as_str()).unwrap_or_default();
    format!("{} {unit}", number.unwrap_or_default()).trim().to_owned()
}
