//! Dates told by cells and texts, and what the pools settle of their order.

use crate::fit;
use crate::pool::Count;
use crate::sense::Sense;
use windrow_model::{PartialDate, Precision};
use windrow_source::{Cell, Content};
use windrow_text::date::{DateMeaning, Order};

/// A date as told, with what is left open.
#[derive(Debug, Clone, PartialEq)]
pub enum DateTold {
    /// One date.
    Known(PartialDate),
    /// Several, by order of day and month.
    Open(Vec<DateMeaning>),
    /// A text that is a date that cannot be.
    Impossible,
}

/// All ways to read a cell as a date; empty if it is none.
#[must_use]
pub fn meanings(cell: &Cell, sense: &Sense) -> Vec<DateMeaning> {
    let known = |date: Option<PartialDate>| {
        date.map(|date| DateMeaning { date, order: Order::Named, two_digit_year: false, bare_number: false })
            .into_iter()
            .collect()
    };
    match cell.content {
        Content::Date { serial, is_1904 } => known(coarsened(PartialDate::from_serial(serial, is_1904), cell)),
        Content::Number(value) if fit::number_may_be_date(value) => {
            windrow_text::date::read(&format!("{}", value.trunc()))
        }
        Content::Number(_) | Content::Duration(_) | Content::Error | Content::NoResult | Content::Bool(_) => Vec::new(),
        Content::Text => sense.dates.clone(),
    }
}

/// A format without a day tells a month, one without a month a year.
fn coarsened(date: Option<PartialDate>, cell: &Cell) -> Option<PartialDate> {
    let date = date?;
    let Some(code) = cell.format.as_deref().map(str::to_lowercase) else { return Some(date) };
    let bare: String = code.split('"').step_by(2).collect::<String>().split(['[', ']']).step_by(2).collect();
    let (has_day, has_month) = (bare.contains(['d', 't', 'j']), bare.contains('m'));
    let first = date.first;
    match (has_day, has_month, first.day(), first.month()) {
        (false, true, 1, _) => PartialDate::month(first.year(), first.month()),
        (false, false, 1, 1) if bare.contains('y') => PartialDate::year(first.year()),
        _ => Some(date),
    }
}

/// Whether the date lies where such records can lie.
fn is_plausible(date: PartialDate) -> bool {
    (1930..=2060).contains(&date.first.year())
}

/// Settles a date by the evidence of its column, sheet, file and folder, nearest first.
#[must_use]
pub fn settle(meanings: &[DateMeaning], text: &str, levels: &[Count]) -> DateTold {
    let possible: Vec<&DateMeaning> = meanings.iter().filter(|meaning| is_plausible(meaning.date)).collect();
    let Some(first) = possible.first() else { return DateTold::Impossible };
    if possible.iter().all(|meaning| meaning.date == first.date) {
        return DateTold::Known(first.date);
    }
    let by = |order: Order| possible.iter().find(|meaning| meaning.order == order).map(|meaning| meaning.date);
    // Points between the parts are day first wherever nothing near speaks against it (DIN 5008); what slashes of other files mean says
    // nothing of them.
    let pointed = text.matches('.').count() >= 2 && !text.contains('/');
    if let [column, sheet, book, .., setting] = levels
        && pointed
        && [column, sheet, book, setting].iter().all(|level| level.second == 0)
    {
        return by(Order::DayFirst).map_or_else(|| open(&possible), DateTold::Known);
    }
    for level in levels {
        if level.is_contradicted() {
            break;
        }
        if let Some(day_first) = level.verdict() {
            let order = if day_first { Order::DayFirst } else { Order::MonthFirst };
            return by(order).map_or_else(|| open(&possible), DateTold::Known);
        }
    }
    open(&possible)
}

fn open(possible: &[&DateMeaning]) -> DateTold {
    DateTold::Open(possible.iter().map(|meaning| (*meaning).clone()).collect())
}

/// What is certain of an open date: its year or month, if all readings share it.
#[must_use]
pub fn common(meanings: &[DateMeaning]) -> Option<PartialDate> {
    let first = meanings.first()?.date.first;
    if !meanings.iter().all(|meaning| meaning.date.first.year() == first.year()) {
        return None;
    }
    PartialDate::year(first.year()).filter(|date| date.precision == Precision::Year)
}
