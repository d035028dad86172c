//! The month of a season, where the sheet explains when its tests are made ("Autumn round: October").

use super::Reader;
use super::date::When;
use crate::view::Item;
use windrow_model::raw::Via;
use windrow_model::{PartialDate, Precision};
use windrow_text::date::{Habit, habits, in_habit, years_of_season};

/// Fewest words of an explanation.
const FEWEST_WORDS: usize = 3;

impl Reader<'_, '_, '_> {
    /// The month of the season that a cell names, of two years or of the one year that was `read`.
    fn month_of_season(&mut self, item: &Item, read: Option<PartialDate>) -> Option<PartialDate> {
        let habits = self.habits.take().unwrap_or_else(|| self.read_habits());
        let month = in_habit(&self.view.cell(item).text, read, &habits);
        self.habits = Some(habits);
        month
    }

    fn read_habits(&self) -> Vec<Habit> {
        let is_explanation = |item: &&Item| self.view.sense(item).words >= FEWEST_WORDS;
        let mut told: Vec<Habit> = Vec::new();
        for item in self.view.items().iter().filter(is_explanation) {
            told.extend(habits(&self.view.cell(item).text));
        }
        told
    }

    /// When the tests of a season of two years were made; one of which the sheet explains nothing is asked about.
    pub(super) fn season_of_two_years(&mut self, item: &Item) -> Option<When> {
        years_of_season(&self.view.cell(item).text)?;
        Some(match self.month_of_season(item, None) {
            Some(month) => When::Known(self.told(month, Via::Column, item)),
            None => When::Unclear(*item),
        })
    }

    /// The year of a season as its month, where the sheet explains it.
    pub(super) fn refined_by_season(&mut self, when: When, item: &Item) -> When {
        let When::Known(told) = &when else { return when };
        if told.value.precision != Precision::Year {
            return when;
        }
        match self.month_of_season(item, Some(told.value)) {
            Some(month) => When::Known(told.clone().map(|_| month)),
            None => when,
        }
    }
}
