//! Dates written as one string of digits: years, serials, `19870314`, `140387`, `87132`.

use super::{DateMeaning, Order, YEARS, small, year};
use windrow_model::PartialDate;

/// Serial of 31 December 2050 in the 1900 system: larger numbers are no dates of records.
const LAST_SERIAL: f64 = 55_153.0;
/// Serials below are years before there were records, and small numbers are almost always values.
const FIRST_SERIAL: f64 = 1000.0;

const ORDERS: [Order; 3] = [Order::DayFirst, Order::MonthFirst, Order::YearFirst];

/// Every date that the digits could be.
pub(super) fn read(digits: &str) -> Vec<DateMeaning> {
    let mut out = Vec::new();
    match digits.len() {
        4 => out.extend(year(digits).and_then(|(year, _)| meaning(PartialDate::year(year), Order::Named, false))),
        // Few serials of the years of records begin like a year before 1974; the serial is far more usual.
        5 => out.extend(serial(digits).or_else(|| ordinal(digits, 2))),
        6 => {
            out.extend(ORDERS.iter().filter_map(|order| packed(digits, *order, 2)));
            out.extend(year_month(digits));
        }
        7 => out.extend(ordinal(digits, 4)),
        8 => {
            out.extend(ORDERS.iter().filter_map(|order| packed(digits, *order, 4)));
        }
        _ => {}
    }
    out
}

/// A spreadsheet serial of the 1900 system, with or without a fraction of the day.
pub(super) fn serial(digits: &str) -> Option<DateMeaning> {
    let value: f64 = digits.parse().ok()?;
    let plausible = (FIRST_SERIAL..=LAST_SERIAL).contains(&value);
    meaning(PartialDate::from_serial(value, false).filter(|_| plausible), Order::Named, false)
}

fn meaning(date: Option<PartialDate>, order: Order, two_digit_year: bool) -> Option<DateMeaning> {
    Some(DateMeaning { date: date?, order, two_digit_year, bare_number: true })
}

/// Year of `width` digits and three digits of the day in the year.
fn ordinal(digits: &str, width: usize) -> Option<DateMeaning> {
    let (front, day) = digits.split_at_checked(width)?;
    let (number, two_digit_year) = year(front)?;
    meaning(day_of_year(number, day.parse().ok()?), Order::YearFirst, two_digit_year)
}

/// Day 1 to 366 of a year.
pub(super) fn day_of_year(year: i16, day: i16) -> Option<PartialDate> {
    let first = jiff::civil::Date::new(year, 1, 1).ok()?;
    let date = first.with().day_of_year(day).build().ok()?;
    PartialDate::day(date.year(), date.month(), date.day())
}

fn packed(digits: &str, order: Order, width: usize) -> Option<DateMeaning> {
    let (day, month, tail) = match order {
        Order::YearFirst => (digits.get(width + 2..)?, digits.get(width..width + 2)?, digits.get(..width)?),
        Order::MonthFirst => (digits.get(2..4)?, digits.get(..2)?, digits.get(4..)?),
        _ => (digits.get(..2)?, digits.get(2..4)?, digits.get(4..)?),
    };
    let (number, two_digit_year) = year(tail)?;
    meaning(PartialDate::day(number, small(month)?, small(day)?), order, two_digit_year)
}

fn year_month(digits: &str) -> Option<DateMeaning> {
    let (front, month) = digits.split_at_checked(4)?;
    let number: i16 = front.parse().ok().filter(|year| YEARS.contains(year))?;
    meaning(PartialDate::month(number, small(month)?), Order::Named, false)
}
