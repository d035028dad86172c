//! Dates that a sheet converted only where it could: the others show that it took month for day.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::context::ReadTable;
use crate::pool::{Count, proven_order};
use crate::sense::Kind;
use crate::view::Item;
use windrow_model::PartialDate;
use windrow_model::raw::Via;
use windrow_source::Content;
use windrow_text::date::Order;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Columns in which month-first texts stand beside true dates that all have a day below 13.
    pub(super) fn half_converted(&self, read: &ReadTable, counts: &std::collections::BTreeMap<u32, Count>) -> Vec<u32> {
        let cells = |column: u32| {
            let items = read.table.body.iter().flat_map(|line| &line.items);
            items.filter(move |item| item.column == column)
        };
        let are = |(column, count): &(&u32, &Count)| self.are_half_converted(cells(**column), **count);
        counts.iter().filter(are).map(|(column, _)| *column).collect()
    }

    /// Whether a true date heads a column beside such texts: the dates of an axis, some of them converted.
    pub(super) fn heads_half_converted(&self, head: &Item) -> bool {
        if !matches!(self.view.cell(head).content, Content::Date { .. }) {
            return false;
        }
        let axis = self.view.line(self.view.line_at(head.row));
        let is_typed =
            |item: &Item| self.view.cell(item).content == Content::Text && self.view.sense(item).kind == Kind::Date;
        if !axis.iter().any(is_typed) {
            return false;
        }
        let mut count = Count::default();
        for item in axis {
            match proven_order(self.view.sense(item)).filter(|_| self.view.cell(item).content == Content::Text) {
                Some(Order::DayFirst) => count.first += 1,
                Some(Order::MonthFirst) => count.second += 1,
                _ => {}
            }
        }
        self.are_half_converted(axis.iter(), count)
    }

    /// Whether two texts or more prove an order, none could be read both ways, and every true date could be.
    fn are_half_converted<'i>(&self, cells: impl Iterator<Item = &'i Item>, proven: Count) -> bool {
        let (mut texts_with_low_day, mut true_dates) = (false, 0);
        for item in cells {
            let cell = self.view.cell(item);
            let dates = crate::dates::meanings(cell, self.view.sense(item));
            match cell.content {
                Content::Date { .. } if dates.iter().any(|meaning| meaning.date.first.day() > 12) => return false,
                Content::Date { .. } => true_dates += 1,
                _ => texts_with_low_day |= dates.len() > 1,
            }
        }
        true_dates > 0 && (proven.first + proven.second) >= 2 && !texts_with_low_day
    }

    /// The date of a heading, as far as it is sure.
    pub(super) fn heading_date(&mut self, head: &Item) -> When {
        let when = self.date_of(head, Via::Column, Count::default());
        match when {
            When::Known(told) if self.heads_half_converted(head) => self.only_the_year(told.value, head, Via::Column),
            when => when,
        }
    }

    pub(super) fn with_half_converted(&mut self, mut line: Line, columns: &[u32]) -> Line {
        let at = line
            .fields
            .iter()
            .rev()
            .find(|(concept, item)| *concept == Concept::Date && columns.contains(&item.column))
            .map(|(_, item)| *item);
        if let (Some(item), When::Known(date)) = (at, &line.when)
            && matches!(self.view.cell(&item).content, Content::Date { .. })
        {
            line.when = self.only_the_year(date.value, &item, Via::Row);
        }
        line
    }

    /// What is sure of a true date whose day and month may be swapped, unless a person ruled on it.
    fn only_the_year(&mut self, date: PartialDate, item: &Item, via: Via) -> When {
        if let Some(date) = self.ruled_swap(item, date) {
            return When::Known(date);
        }
        let year = PartialDate::year(date.first.year()).map(|year| self.told(year, via, item));
        self.hold_half_converted(item);
        When::Open(year, *item)
    }
}
