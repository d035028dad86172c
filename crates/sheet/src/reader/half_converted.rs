//! Dates that a sheet converted only where it could: the others show that it took month for day.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::context::ReadTable;
use crate::pool::Count;
use windrow_model::raw::Via;
use windrow_source::Content;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Columns in which month-first texts stand beside true dates that all have a day below 13.
    pub(super) fn half_converted(&self, read: &ReadTable, counts: &std::collections::BTreeMap<u32, Count>) -> Vec<u32> {
        counts
            .iter()
            .filter(|(column, count)| {
                let cells = read.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == **column);
                let mut texts_with_low_day = false;
                let mut true_dates = 0;
                for item in cells {
                    let cell = self.view.cell(item);
                    let dates = crate::dates::meanings(cell, self.view.sense(item));
                    match cell.content {
                        Content::Date { .. } => {
                            if dates.iter().any(|meaning| meaning.date.first.day() > 12) {
                                return false;
                            }
                            true_dates += 1;
                        }
                        _ => texts_with_low_day |= dates.len() > 1,
                    }
                }
                true_dates > 0 && (count.first + count.second) >= 2 && !texts_with_low_day
            })
            .map(|(column, _)| *column)
            .collect()
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
            if let Some(date) = self.ruled_swap(&item, date.value) {
                line.when = When::Known(date);
                return line;
            }
            let year =
                windrow_model::PartialDate::year(date.value.first.year()).map(|year| self.told(year, Via::Row, &item));
            self.hold_half_converted(&item);
            line.when = When::Open(year, item);
        }
        line
    }
}
