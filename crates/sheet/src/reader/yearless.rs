//! Days without their year in a column of dates: the year stands alone in a line above them, or in the title. What a block tells of
//! years is looked up once, for a log may have a hundred thousand such days.

use super::Reader;
use crate::context::{Body, Found};
use crate::loose::Caption;
use crate::pool::Count;
use crate::view::Item;
use std::collections::BTreeMap;
use windrow_model::Precision;
use windrow_text::date::{DateMeaning, Order, in_year, is_day_without_year, is_year_alone, titled_month, titled_year};
use windrow_text::vocabulary::Concept;

/// From this fall of the month on, a list goes on in the next year.
const TURN_OF_YEAR: i8 = 6;

/// What a block tells of the years of its days.
#[derive(Debug, Default)]
pub(crate) struct Years {
    /// The block.
    block: usize,
    /// Lines that hold nothing but a year, and the year, from the top.
    lines: Vec<(u32, i16)>,
    /// The one year of the titles.
    titled: Option<i16>,
    /// The one year and month of the titles.
    month: Option<(i16, i8)>,
    /// Columns whose days fall from the end of a year to the beginning of one.
    turning: BTreeMap<u32, bool>,
    /// The one year of the headings over a column's own.
    grouped: BTreeMap<u32, Option<i16>>,
}

impl Reader<'_, '_, '_> {
    /// What a day without its year means in the year that stands over it; empty where none does, or several do.
    pub(super) fn days_in_year(&mut self, item: &Item) -> Vec<DateMeaning> {
        if !is_day_without_year(&self.view.cell(item).text) {
            return Vec::new();
        }
        let text = &self.view.cell(item).text;
        let years = self.years.take().filter(|years| years.block == self.block);
        let mut years = years.unwrap_or_else(|| self.years_of_block());
        let days = match (self.year_over(item, &mut years), years.month) {
            (Some(year), _) => in_year(text, year),
            // A day of another month is of a year that nobody told.
            (None, Some((year, month))) => {
                let mut days = in_year(text, year);
                days.retain(|day| day.date.first.month() == month);
                days
            }
            (None, None) => Vec::new(),
        };
        self.years = Some(years);
        days
    }

    /// The year that stands alone in the nearest such line above, within the block, or the one of the titles, unless the list passes the
    /// end of a year below it.
    fn year_over(&self, item: &Item, years: &mut Years) -> Option<i16> {
        let above = years.lines.partition_point(|(row, _)| *row < item.row).checked_sub(1);
        let told = above.and_then(|at| years.lines.get(at)).map(|(_, year)| *year);
        told.or_else(|| {
            let turns = *years.turning.entry(item.column).or_insert_with(|| self.turns_the_year(item.column));
            let grouped = *years.grouped.entry(item.column).or_insert_with(|| self.year_of_group(item.column));
            grouped.or(years.titled).filter(|_| !turns)
        })
    }

    /// The one year of the headings over a column's own: "Campaign 2018" over "Day | L1 | L2".
    fn year_of_group(&self, column: u32) -> Option<i16> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        let read = self.scene.tables.get(table)?;
        let heading = &read.columns.iter().find(|read| read.column == column)?.heading;
        let (_, groups) = heading.items.split_last()?;
        let is_of_else = [Concept::OtherDate, Concept::MadeYear, Concept::Rewound, Concept::Limit];
        let is_own = |item: &&Item| {
            let concepts = &self.view.sense(item).label.concepts;
            !concepts.iter().any(|(concept, _)| is_of_else.contains(concept))
        };
        let mut told = groups.iter().filter(is_own).filter_map(|item| titled_year(&self.view.cell(item).text));
        let first = told.next()?;
        told.all(|other| other == first).then_some(first)
    }

    fn years_of_block(&self) -> Years {
        let rows = self.scene.blocks.get(self.block).map_or((0, 0), |block| block.rows);
        let lines = self.lines_of(rows).filter_map(|line| match self.view.line(line) {
            [only] => Some((only.row, titled_year(&self.view.cell(only).text)?)),
            _ => None,
        });
        Years {
            block: self.block,
            lines: lines.collect(),
            titled: self.year_of_title(),
            month: self.month_of_title(),
            turning: BTreeMap::new(),
            grouped: BTreeMap::new(),
        }
    }

    /// Numbers of the lines in these rows.
    fn lines_of(&self, (first, last): (u32, u32)) -> impl Iterator<Item = usize> {
        let view = self.view;
        (view.line_at(first)..view.line_count()).take_while(move |line| view.row(*line) <= last)
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

    /// The one year of the titles.
    pub(super) fn year_of_title(&self) -> Option<i16> {
        let tell = |caption: &Caption| {
            let is_of_else = [Concept::OtherDate, Concept::MadeYear, Concept::Rewound, Concept::Limit];
            let told = titled_year(&self.view.cell(&caption.item).text);
            let is_own = caption.footnote.is_none() && !caption.concepts.iter().any(|told| is_of_else.contains(told))
                || self.is_year_of_its_own(&caption.item);
            told.filter(|_| is_own).map(|year| year.to_string())
        };
        match self.scene.identity_caption(self.block, tell) {
            Found::One(index, _) => titled_year(&self.view.cell(&self.scene.loose.captions.get(index)?.item).text),
            Found::Many(_) => None,
            Found::Nothing => self.year_of_name(),
        }
    }

    /// Whether a cell holds nothing but a year and a word for it, alone in its line or in a title that names what was measured: in a form
    /// it may be the year of make.
    fn is_year_of_its_own(&self, item: &Item) -> bool {
        let names_quantity = |caption: &Caption| {
            caption.item.row == item.row
                && caption.concepts.iter().any(|concept| crate::fit::quantity(*concept).is_some())
        };
        let is_title = || self.scene.loose.captions.iter().any(names_quantity);
        let is_alone = self.view.line(self.view.line_at(item.row)).len() == 1;
        is_year_alone(&self.view.cell(item).text) && (is_alone || is_title())
    }

    /// The one year and month of the titles.
    fn month_of_title(&self) -> Option<(i16, i8)> {
        let told = |caption: &Caption| titled_month(&self.view.cell(&caption.item).text);
        let tell = |caption: &Caption| {
            let is_own = caption.footnote.is_none() && !caption.concepts.contains(&Concept::OtherDate);
            told(caption).filter(|_| is_own).map(|month| format!("{month:?}"))
        };
        let Found::One(index, _) = self.scene.identity_caption(self.block, tell) else { return None };
        told(self.scene.loose.captions.get(index)?)
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
    fn turns_the_year(&self, column: u32) -> bool {
        let Some(block) = self.scene.blocks.get(self.block) else { return true };
        let cells = self.lines_of(block.rows).flat_map(|line| self.view.line(line));
        let months: Vec<i8> = cells
            .filter(|other| other.column == column)
            .filter_map(|other| in_year(&self.view.cell(other).text, 1996).first().map(|day| day.date.first.month()))
            .collect();
        months.windows(2).any(|two| two[0] - two[1] >= TURN_OF_YEAR)
    }
}
