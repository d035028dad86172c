//! Machine, date and stage that the header of a column tells for the readings below it.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::heading::{By, Heading};
use crate::pool::Count;
use crate::sense::Kind;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{PartialDate, Precision};
use windrow_source::Content;
use windrow_text::vocabulary::Concept;

/// Most cells outside tables that are searched for a later date.
const MOST_LOOSE: usize = 500;

impl Reader<'_, '_, '_> {
    /// A date in no table, between a heading that tells one and a line below it in the same column: "Crusher 1 | date | 13/12" begins what was
    /// measured later under one header.
    fn later_date(&self, head: &Item, row: u32) -> Option<Item> {
        let rest = self.scene.loose.rest.iter().take(MOST_LOOSE);
        let is_between = |item: &&Item| item.column == head.column && head.row < item.row && item.row < row;
        rest.filter(is_between).find(|item| self.view.sense(item).kind == Kind::Date).copied()
    }

    /// Machine, date and stage told by a column's header.
    pub(super) fn apply_heading(&mut self, heading: &Heading, line: &mut Line) {
        if let Some(item) = heading.date {
            let when = match self.later_date(&item, line.row) {
                Some(later) => When::Unclear(later),
                None => self.heading_date(&item),
            };
            Self::date_by_heading(line, when, item);
        } else if let Some(by) = heading.number.as_ref().filter(|by| (1900.0..2100.0).contains(&by.value))
            && !self.is_step(&by.item)
        {
            let item = by.item;
            // "2014 GΩ", "Shutdown 2013": a year that the column was read to be of.
            let is_told = self.view.sense(&item).dates.is_empty() && self.view.cell(&item).content == Content::Text;
            #[expect(clippy::cast_possible_truncation, reason = "a year")]
            let year = PartialDate::year(by.value as i16).filter(|_| is_told);
            let when = match year {
                Some(year) => When::Known(self.told(year, Via::Column, &item)),
                None => self.date_of(&item, Via::Column, Count::default()),
            };
            Self::date_by_heading(line, when, item);
        }
        if let Some(by) = &heading.period {
            self.date_by_period(by, line);
        }
        if let Some(by) = &heading.winding_c {
            line.winding = Some(self.told(by.value, Via::Column, &by.item));
        }
        let own = line.machine.tag.as_ref().is_some_and(|tag| tag.via == Via::Row);
        if let Some(by) = heading.tag.as_ref().filter(|by| !own || self.around.names.known(&by.value)) {
            line.machine.tag = Some(self.told(by.value.as_str().into(), Via::Column, &by.item));
            line.machine_conflict = false;
            line.machine.site = self.site_over(heading, &by.item).or(line.machine.site.take());
        } else if !heading.unexplained.is_empty()
            && line.machine.tag.as_ref().is_some_and(|tag| matches!(tag.via, Via::SheetName | Via::File))
        {
            // A header that is not understood may name the machine: what a name of sheet or file tells is no more than a default.
            line.machine.tag = None;
        }
        if let (Some(by), Some(whole)) = (&heading.drive, &mut line.machine.tag) {
            whole.value = format!("{} {}", whole.value, by.value).into();
        }
        if let Some(stage) = &heading.stage {
            line.stage = Some(self.told(stage.value, Via::Column, &stage.item));
        }
        if let Some(round) = &heading.round {
            line.round = Some(round.value.as_str().into());
            line.remarks.push(self.told(round.value.as_str().into(), Via::Column, &round.item));
        }
    }

    /// What a heading tells of the date, unless its group or the line tells the day. Different days of a line and a heading are asked about.
    fn date_by_heading(line: &mut Line, heading: When, at: Item) {
        let own = std::mem::replace(&mut line.when, When::Untold);
        // Under "2011" beside a day of 2012 stands what was read the year before; two days contradict each other.
        let is_contradicted = match (&own, &heading) {
            (When::Known(line), When::Known(head)) => {
                let is_day = |told: &Told<PartialDate>| told.value.precision == Precision::Day;
                line.via == Via::Row && is_day(line) && is_day(head) && line.value != head.value
            }
            _ => false,
        };
        if is_contradicted {
            line.when = When::Unclear(at);
            return;
        }
        line.when = if line.is_dated_by_group && own != When::Untold { nearer(own, heading, at) } else { heading };
    }

    /// A month, quarter or day without its year at the head of a column: of the year that stands over it, or that the title or the
    /// sheet's name tells.
    fn date_by_period(&mut self, by: &By<String>, line: &mut Line) {
        if let Some(when) = self.season_of_two_years(&by.item) {
            line.when = when;
            return;
        }
        let is_day = windrow_text::date::is_weekday_and_day(&by.value);
        let year = match &line.when {
            When::Known(told) if told.via != Via::Row && !line.is_dated_by_group => {
                let precision = told.value.precision;
                let is_enough = precision == Precision::Year || is_day && precision == Precision::Month;
                Some(told.value.first.year()).filter(|_| is_enough)
            }
            // "1986 | Jan | Feb": the year stands in the corner.
            When::Untold => self.year_before(&by.item).or_else(|| self.year_of_title()),
            _ => None,
        };
        if is_day {
            let mut days = year.map(|year| windrow_text::date::days_of_weekday(&by.value, year)).unwrap_or_default();
            // The fifth of September and the ninth of May of one year fall on one weekday: the month of the title decides.
            if let When::Known(told) = &line.when
                && told.value.precision == Precision::Month
                && days.len() > 1
            {
                days.retain(|day| day.date.first.month() == told.value.first.month());
            }
            line.when = match days.as_slice() {
                [only] => When::Known(self.told(only.date, Via::Column, &by.item)),
                // Without a year that has it, or in two orders: a person knows.
                _ => When::Unclear(by.item),
            };
        } else if let Some(meanings) = year.and_then(|year| crate::sense::period(&by.value, i32::from(year))) {
            line.when = self.when(&meanings, &by.item, Via::Column, Count::default());
        }
    }

    /// The year that heads the first column of a table, in the line of a month or quarter at the head of another.
    fn year_before(&self, item: &Item) -> Option<i16> {
        let lines = self.scene.tables.iter().flat_map(|read| &read.table.header);
        let line = lines.into_iter().find(|line| line.iter().any(|head| head.cell == item.cell))?;
        let first = line.first().filter(|first| first.column < item.column)?;
        let text = self.view.cell(first).text.trim();
        let year: i16 = text.parse().ok().filter(|_| text.len() == 4)?;
        (1900..2100).contains(&year).then_some(year)
    }

    /// Whether a number at the head of a column is one of the voltages or times that the corner announces: 2000 V is no year.
    fn is_step(&self, item: &Item) -> bool {
        let corner = self.corner(item).and_then(|corner| corner.concept());
        matches!(corner, Some(Concept::TestVoltage | Concept::Elapsed))
    }
}

/// The date of a reading under a heading that tells one, in a group that tells one as well: the day within the heading's year or
/// month is the nearer one; a day outside contradicts it.
fn nearer(own: When, over: When, at: Item) -> When {
    let (When::Known(day), When::Known(period)) = (&own, &over) else { return own };
    let (day, period) = (day.value.first, period.value);
    let same_year = day.year() == period.first.year();
    let is_within = match period.precision {
        Precision::Year => same_year,
        Precision::Quarter => same_year && (day.month() - 1) / 3 == (period.first.month() - 1) / 3,
        Precision::Month => same_year && day.month() == period.first.month(),
        Precision::Day => day == period.first,
        Precision::Unknown => true,
    };
    if is_within { own } else { When::Unclear(at) }
}
