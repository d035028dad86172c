//! Days without their year in a column of dates: the year stands alone in a line above them, or in the title.

use super::Reader;
use crate::context::Found;
use crate::loose::Caption;
use crate::pool::Count;
use crate::view::Item;
use windrow_model::Precision;
use windrow_text::date::{DateMeaning, Order, in_year, is_day_without_year, titled_year};
use windrow_text::vocabulary::Concept;

/// From this fall of the month on, a list goes on in the next year.
const TURN_OF_YEAR: i8 = 6;

impl Reader<'_, '_, '_> {
    /// What a day without its year means in the year that stands over it; empty where none does, or several do.
    pub(super) fn days_in_year(&self, item: &Item) -> Vec<DateMeaning> {
        if !is_day_without_year(&self.view.cell(item).text) {
            return Vec::new();
        }
        let Some(year) = self.year_line(item).or_else(|| self.year_of_title(item)) else { return Vec::new() };
        in_year(&self.view.cell(item).text, year)
    }

    /// Adds what days without their year prove of the order of day and month.
    pub(super) fn count_day(&self, item: &Item, count: &mut Count) {
        // In a leap year every day of any year is one.
        let days = in_year(&self.view.cell(item).text, 1996);
        match days.as_slice() {
            [DateMeaning { order: Order::DayFirst, .. }] => count.first += 1,
            [DateMeaning { order: Order::MonthFirst, .. }] => count.second += 1,
            _ => {}
        }
    }

    /// The year that stands alone in the nearest such line above, within the block.
    fn year_line(&self, item: &Item) -> Option<i16> {
        let first = self.scene.blocks.get(self.block)?.rows.0;
        let own = self.view.line_at(item.row);
        let above = (0..own).rev().take_while(|line| self.view.row(*line) >= first);
        above.map(|line| self.view.line(line)).find_map(|line| match line {
            [only] => titled_year(&self.view.cell(only).text),
            _ => None,
        })
    }

    /// The one year of the titles, unless the list passes the end of a year below it.
    fn year_of_title(&self, item: &Item) -> Option<i16> {
        let tell = |caption: &Caption| {
            let is_of_else = [Concept::OtherDate, Concept::MadeYear, Concept::Rewound, Concept::Limit];
            let told = titled_year(&self.view.cell(&caption.item).text);
            let is_own = caption.footnote.is_none() && !caption.concepts.iter().any(|told| is_of_else.contains(told));
            told.filter(|_| is_own).map(|year| year.to_string())
        };
        let found = match self.scene.identity_caption(self.block, tell) {
            Found::One(index, _) => titled_year(&self.view.cell(&self.scene.loose.captions.get(index)?.item).text),
            Found::Many(_) => None,
            Found::Nothing => self.year_of_name(),
        };
        found.filter(|_| !self.turns_the_year(item))
    }

    /// The year that the name of the sheet or the file tells.
    fn year_of_name(&self) -> Option<i16> {
        let (meanings, ..) = self.around.names.dates()?;
        match meanings {
            [only] if only.date.precision == Precision::Year => Some(only.date.first.year()),
            _ => None,
        }
    }

    /// Whether the days of a column fall from the end of a year to the beginning of one.
    fn turns_the_year(&self, item: &Item) -> bool {
        let Some(block) = self.scene.blocks.get(self.block) else { return true };
        let lines =
            (0..self.view.line_count()).filter(|line| (block.rows.0..=block.rows.1).contains(&self.view.row(*line)));
        let cells = lines.flat_map(|line| self.view.line(line)).filter(|other| other.column == item.column);
        let months: Vec<i8> = cells
            .filter_map(|other| in_year(&self.view.cell(other).text, 1996).first().map(|day| day.date.first.month()))
            .collect();
        months.windows(2).any(|two| two[0] - two[1] >= TURN_OF_YEAR)
    }
}
