//! Dates as people write them; the order of day and month is a question, not a guess.

mod parts;
#[cfg(test)]
mod tests;

use parts::{Token, tokens};
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

/// First year in which such records are plausible.
const FIRST_YEAR: i16 = 1900;
/// Last year in which such records are plausible.
const LAST_YEAR: i16 = 2100;
/// Two-digit years below this belong to the present century until other evidence speaks.
const PIVOT: i16 = 50;
/// Longest text that can be a date, in bytes.
const LONGEST: usize = 48;

/// Every way to read all of `text` as a date: `"03/04/87"` gives two, `"14/3/87"` one, `"30 Feb 1992"` none (see
/// [`impossible`]). Month names in nine languages, Roman months, quarters, `Mar-87`, `'87`, day-of-year (`87-132`),
/// serials, ISO forms with time of day (dropped) are understood.
///
/// ```
/// use windrow_text::date::{Order, read};
/// assert_eq!(read("03/04/87").len(), 2);
/// assert_eq!(read("14. März 1987")[0].date.to_string(), "1987-03-14");
/// ```
#[must_use]
pub fn read(text: &str) -> Vec<DateMeaning> {
    let text = text.trim();
    if text.is_empty() || text.len() > LONGEST || !text.bytes().any(|b| b.is_ascii_digit()) {
        return Vec::new();
    }
    let Some(tokens) = tokens(text) else { return Vec::new() };
    let mut meanings = match tokens.as_slice() {
        [Token::Number(number)] => bare(*number),
        [Token::ShortYear(year)] => vec![meaning(PartialDate::year(century(*year)), Order::Named, true)],
        [Token::Number(a), Token::Number(b)] => two_numbers(*a, *b),
        [Token::Number(a), Token::Number(b), Token::Number(c)] => three_numbers(*a, *b, *c),
        [Token::Number(day), Token::Month(month), Token::Number(year) | Token::ShortYear(year)] => {
            named_day(*day, *month, *year)
        }
        [Token::Month(month), Token::Number(day), Token::Number(year)] => named_day(*day, *month, *year),
        [Token::Month(month), Token::Number(year) | Token::ShortYear(year)]
        | [Token::Number(year), Token::Month(month)] => vec![with_year(*year, |year| PartialDate::month(year, *month))],
        [Token::Quarter(quarter), Token::Number(year) | Token::ShortYear(year)]
        | [Token::Number(year), Token::Quarter(quarter)] => {
            vec![with_year(*year, |year| PartialDate::quarter(year, *quarter))]
        }
        [Token::Season, Token::Number(year) | Token::ShortYear(year)] => vec![with_year(*year, PartialDate::year)],
        _ => Vec::new(),
    }
    .into_iter()
    .flatten()
    .collect::<Vec<_>>();
    meanings.dedup_by(|a, b| a.date == b.date && a.order == b.order);
    meanings
}

/// A number of a date with the count of digits it was written with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Digits {
    pub(crate) value: u32,
    pub(crate) count: u8,
}

fn meaning(date: Option<PartialDate>, order: Order, two_digit_year: bool) -> Option<DateMeaning> {
    date.filter(|date| (FIRST_YEAR..=LAST_YEAR).contains(&date.first.year())).map(|date| DateMeaning {
        date,
        order,
        two_digit_year,
        bare_number: false,
    })
}

/// The year nearest before 2050 that ends with these two digits.
fn century(year: Digits) -> i16 {
    let short = i16::try_from(year.value).unwrap_or(i16::MAX);
    if short < PIVOT { 2000 + short } else { 1900 + short }
}

/// The year that `digits` write and whether only two digits do; `None` if they are no year.
fn year_of(digits: Digits) -> Option<(i16, bool)> {
    match digits.count {
        2 => Some((century(digits), true)),
        4 => i16::try_from(digits.value).ok().map(|year| (year, false)),
        _ => None,
    }
}

fn with_year(digits: Digits, date: impl FnOnce(i16) -> Option<PartialDate>) -> Option<DateMeaning> {
    let (year, short) = year_of(digits)?;
    meaning(date(year), Order::Named, short)
}

fn small(digits: Digits) -> Option<i8> {
    (digits.count <= 2).then(|| i8::try_from(digits.value).ok()).flatten()
}

fn full(day: Digits, month: Digits, year: Digits, order: Order) -> Option<DateMeaning> {
    let (number, short) = year_of(year)?;
    meaning(PartialDate::day(number, small(month)?, small(day)?), order, short)
}

fn three_numbers(a: Digits, b: Digits, c: Digits) -> Vec<Option<DateMeaning>> {
    if a.count == 4 {
        return vec![full(c, b, a, Order::YearFirst)];
    }
    let mut found = vec![full(a, b, c, Order::DayFirst)];
    // The same day whichever comes first is no question.
    if a.value != b.value {
        found.push(full(b, a, c, Order::MonthFirst));
    }
    if a.count == 2 && c.count <= 2 && a.value > 31 {
        found.push(full(c, b, a, Order::YearFirst));
    }
    found
}

fn named_day(day: Digits, month: i8, year: Digits) -> Vec<Option<DateMeaning>> {
    let (day, year) = if day.count == 4 { (year, day) } else { (day, year) };
    let read = |day: Digits, year: Digits| {
        let (number, short) = year_of(year)?;
        meaning(PartialDate::day(number, month, small(day)?), Order::Named, short)
    };
    vec![read(day, year)]
}

/// Month and year (`3/87`, `07.1982`, `87-3`, `1987/3`) or year and day of year (`87-132`).
fn two_numbers(a: Digits, b: Digits) -> Vec<Option<DateMeaning>> {
    let month_year = |month: Digits, year: Digits| {
        // "3/4" could be anything; a year must look like one.
        let looks = year.count == 4 || year.value > 31;
        looks.then(|| with_year(year, |year| PartialDate::month(year, small(month)?))).flatten()
    };
    let day_of_year = |year: Digits, day: Digits| {
        if day.count != 3 || day.value == 0 || day.value > 366 {
            return None;
        }
        with_year(year, |year| {
            let first = PartialDate::year(year)?.first;
            let date = first.checked_add(jiff::Span::new().days(i64::from(day.value) - 1)).ok()?;
            (date.year() == year).then(|| PartialDate::day(date.year(), date.month(), date.day())).flatten()
        })
    };
    vec![month_year(a, b), month_year(b, a), day_of_year(a, b), day_of_year(b, a)]
}

/// A number alone: a year, a spreadsheet serial, `yyyymmdd`, `ddmmyy`, `mmddyy`.
fn bare(number: Digits) -> Vec<Option<DateMeaning>> {
    let part = |from: u32, modulus: u32| Digits { value: number.value / from % modulus, count: 2 };
    let mut found = match number.count {
        4 => vec![meaning(i16::try_from(number.value).ok().and_then(PartialDate::year), Order::Named, false)],
        5 => vec![meaning(PartialDate::from_serial(f64::from(number.value), false), Order::Named, false)],
        6 => vec![
            full(part(10_000, 100), part(100, 100), part(1, 100), Order::DayFirst),
            full(part(100, 100), part(10_000, 100), part(1, 100), Order::MonthFirst),
        ],
        8 => {
            let year = Digits { value: number.value / 10_000, count: 4 };
            vec![full(part(1, 100), part(100, 100), year, Order::YearFirst)]
        }
        _ => Vec::new(),
    };
    for meaning in found.iter_mut().flatten() {
        meaning.bare_number = true;
    }
    found
}

/// Whether `text` is written like a date that no calendar has (`31/11/92`, `30.2.1988`, `00/05/91`).
#[must_use]
pub fn impossible(text: &str) -> bool {
    let text = text.trim();
    if text.len() > LONGEST || !read(text).is_empty() {
        return false;
    }
    match tokens(text).as_deref() {
        Some([Token::Number(a), Token::Number(b), Token::Number(c)]) => {
            a.count <= 2 && b.count <= 2 && (c.count == 2 || c.count == 4 && (1900..=2100).contains(&c.value))
                || a.count == 4 && (1900..=2100).contains(&a.value) && b.count <= 2 && c.count <= 2
        }
        Some([Token::Number(day), Token::Month(_), Token::Number(year)]) => {
            day.count <= 2 && matches!(year.count, 2 | 4)
        }
        _ => false,
    }
}

/// The one date that stands somewhere in a title or caption (`"tested on 14 March 1987 by R.K."`), if exactly one does.
/// Bare numbers are not looked at: a title is full of them.
#[must_use]
pub fn find_in(text: &str) -> Option<Vec<DateMeaning>> {
    let words: Vec<&str> = text.split([' ', '\u{a0}', ',', ';', '(', ')']).filter(|word| !word.is_empty()).collect();
    let mut found: Option<Vec<DateMeaning>> = None;
    let mut index = 0;
    while index < words.len() {
        let longest = (1..=5).rev().find_map(|length| {
            let run = words.get(index..index + length)?.join(" ");
            let run = run.trim_end_matches(['.', ':']);
            let meanings = read(run);
            let usable = !meanings.is_empty() && meanings.iter().all(|meaning| !meaning.bare_number);
            usable.then_some((length, meanings))
        });
        match longest {
            Some((length, meanings)) => {
                if found.is_some() {
                    return None;
                }
                found = Some(meanings);
                index += length;
            }
            None => index += 1,
        }
    }
    found
}
