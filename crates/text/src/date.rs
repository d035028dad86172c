//! Dates as people write them; the order of day and month is a question, not a guess.

mod bare;
mod clock;
mod dayless;
mod find;
mod named;
mod numeric;
mod season;
mod span;
mod stated;
#[cfg(test)]
mod tests;
mod tokens;
mod trimester;
mod weekday;
mod words;
mod yearless;

pub use clock::{Clock, clock};
pub use find::{find_all, find_in, measured_on};
pub use season::{Habit, habits, in_habit, named_season, years_of_season};
pub use stated::stated_order;
pub use weekday::{days_of_weekday, is_weekday_and_day};
pub use yearless::{in_year, is_day_and_roman_month, is_day_without_year, is_year_alone, titled_month, titled_year};

use crate::fold::mend;
use tokens::Tokens;
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

/// Years that records of machines can carry.
const YEARS: std::ops::RangeInclusive<i16> = 1900..=2100;

/// Longest text read as one date, in bytes.
const LONGEST: usize = 60;

/// Every way to read all of `text` as a date: `"03/04/87"` gives two, `"14/3/87"` one, `"30 Feb 1992"` none (see
/// [`impossible`]). The first is day first. Month names in nine languages, Roman months, quarters, `Mar-87`, `'87`, day-of-year (`87-132`),
/// serials, ISO forms with time of day (dropped) are understood. Seasons, halves and "early 1987" give the year only, weeks
/// the shortest calendar period around them, and so do spans of days (`03.-05.05.2003`), of two days that follow each other both
/// (`11 to 12 December 1978`); a fiscal year (`FY87`) is no calendar year and gives nothing. What could as well be a day without its
/// year (`Mar 12`, `3/4`) gives nothing either.
///
/// ```
/// use windrow_model::PartialDate;
/// use windrow_text::date::{Order, read};
/// assert_eq!(read("14/3/87").iter().map(|meaning| meaning.order).collect::<Vec<_>>(), [Order::DayFirst]);
/// assert_eq!(read("1er mars 1987").first().map(|meaning| meaning.date), PartialDate::day(1987, 3, 1));
/// ```
#[must_use]
pub fn read(text: &str) -> Vec<DateMeaning> {
    let text = mend(text);
    // In a sentence "transformer T2 2015" is no quarter: only a text of its own is one.
    if let Some(quarter) = trimester::read(&text) {
        return vec![quarter];
    }
    let one = read_one(&text);
    if one.is_empty() { span::read(&text).unwrap_or_default() } else { one }
}

/// Every way to read all of a text as one date that is no span.
fn read_one(text: &str) -> Vec<DateMeaning> {
    if let Some(found) = dayless::read(text) {
        return found;
    }
    let Some(tokens) = tokenize(text) else { return Vec::new() };
    if tokens.has_words() { named::read(&tokens) } else { numeric::read(&tokens) }
}

/// Whether `text` is written like a date that no calendar has (`31/11/92`, `30.2.1988`, `00/05/91`).
#[must_use]
pub fn impossible(text: &str) -> bool {
    let text = mend(text);
    let Some(tokens) = tokenize(&text) else { return false };
    if !read(&text).is_empty() {
        return false;
    }
    if tokens.has_words() { named::looks_like_a_day(&tokens) } else { numeric::looks_like_a_day(&tokens) }
}

/// Pieces of a text that could be a date; `None` for one that cannot.
fn tokenize(text: &str) -> Option<Tokens<'_>> {
    let text = text.trim();
    if text.len() > LONGEST || !text.bytes().any(|b| b.is_ascii_digit()) || is_power_of_ten(text) {
        return None;
    }
    Tokens::read(clock::without_time(text))
}

/// Whether the text is a number with a power of ten ("3.08E-04"), which no date is.
fn is_power_of_ten(text: &str) -> bool {
    let Some((mantissa, power)) = text.split_once(['e', 'E']) else { return false };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let mantissa = mantissa.strip_prefix(['+', '-']).unwrap_or(mantissa);
    let (whole, fraction) = mantissa.split_once(['.', ',']).unwrap_or((mantissa, "0"));
    digits(whole) && digits(fraction) && digits(power.strip_prefix(['+', '-']).unwrap_or(power))
}

/// Year of a written number: four digits within [`YEARS`], or two digits in the century nearest before 2050.
fn year(digits: &str) -> Option<(i16, bool)> {
    let value: i16 = digits.parse().ok()?;
    match digits.len() {
        4 => YEARS.contains(&value).then_some((value, false)),
        2 => Some((if value < 50 { 2000 + value } else { 1900 + value }, true)),
        _ => None,
    }
}

/// A day or month number of one or two digits.
fn small(digits: &str) -> Option<i8> {
    if digits.len() <= 2 { digits.parse().ok() } else { None }
}
