//! Dates of numbers and marks.

use super::tokens::Tokens;
use super::{DateMeaning, Order, bare, small, year};
use windrow_model::PartialDate;

/// Every date that numbers with marks could be.
pub(super) fn read(tokens: &Tokens<'_>) -> Vec<DateMeaning> {
    let mark = tokens.marks.get(1).copied().unwrap_or('\0');
    match *tokens.numbers() {
        [digits] if tokens.apostrophe() => apostrophe_year(digits).into_iter().collect(),
        [digits] if !tokens.shortened => bare::read(digits),
        [whole, fraction] if mark == '.' && whole.len() == 5 && fraction.len() != 4 => {
            bare::serial(&format!("{whole}.{fraction}")).into_iter().collect()
        }
        [first, second] => pair(first, second, mark, tokens.apostrophe()),
        [first, second, third] => triple([first, second, third], tokens),
        _ => Vec::new(),
    }
}

fn apostrophe_year(digits: &str) -> Option<DateMeaning> {
    let (number, two_digit_year) = year(digits).filter(|(_, two)| *two)?;
    Some(DateMeaning { date: PartialDate::year(number)?, order: Order::Named, two_digit_year, bare_number: false })
}

/// Month and year, or year and day of the year.
fn pair(first: &str, second: &str, mark: char, apostrophe: bool) -> Vec<DateMeaning> {
    if !matches!(mark, '/' | '-' | '.' | ' ') {
        return Vec::new();
    }
    let mut out = Vec::new();
    for (period, year_text) in [(first, second), (second, first)] {
        let Some((number, two_digit_year)) = year(year_text) else { continue };
        // "1.87" is a number, "8-12" a range, "7/22" two values or a day without its year.
        let clear = !two_digit_year || apostrophe || (matches!(mark, '/' | '-') && !(2000..2032).contains(&number));
        if !clear {
            continue;
        }
        let (date, order) = if period.len() == 3 {
            (period.parse().ok().and_then(|day| bare::day_of_year(number, day)), Order::YearFirst)
        } else {
            (small(period).and_then(|month| PartialDate::month(number, month)), Order::Named)
        };
        // "11.1982" is as well a number, "07.1982" is none.
        let bare_number = mark == '.' && !period.starts_with('0') && first == period;
        out.extend(date.map(|date| DateMeaning { date, order, two_digit_year, bare_number }));
    }
    out
}

/// Day, month and year in every order that the calendar has.
fn triple(numbers: [&str; 3], tokens: &Tokens<'_>) -> Vec<DateMeaning> {
    let Some(mark) = separator(tokens) else { return Vec::new() };
    let mut out: Vec<DateMeaning> = Vec::new();
    for order in orders(numbers, mark) {
        let (day, month, year_text) = arrange(numbers, order);
        let Some((number, two_digit_year)) = year(year_text) else { continue };
        let Some(date) = small(month).zip(small(day)).and_then(|(month, day)| PartialDate::day(number, month, day))
        else {
            continue;
        };
        match out.iter_mut().find(|known| known.date == date) {
            // The same day either way is no evidence for an order.
            Some(known) => known.order = Order::Named,
            None => out.push(DateMeaning { date, order, two_digit_year, bare_number: false }),
        }
    }
    out
}

/// The mark between the numbers; mixed ones count as slashes; `None` if a date is not written so.
fn separator(tokens: &Tokens<'_>) -> Option<char> {
    let (first, second) = (*tokens.marks.get(1)?, *tokens.marks.get(2)?);
    let usual = |mark| matches!(mark, '/' | '-' | '.' | ' ' | '\\');
    (usual(first) && usual(second)).then_some(if first == second { first } else { '/' })
}

fn arrange([first, second, third]: [&str; 3], order: Order) -> (&str, &str, &str) {
    match order {
        Order::YearFirst => (third, second, first),
        Order::MonthFirst => (second, first, third),
        Order::DayFirst | Order::Named => (first, second, third),
    }
}

/// Orders to try.
fn orders([first, _, _]: [&str; 3], mark: char) -> Vec<Order> {
    if first.len() == 4 {
        return vec![Order::YearFirst];
    }
    let mut out = vec![Order::DayFirst, Order::MonthFirst];
    // "87/3/14" can be nothing else; "10-11-12" may be; with slashes, dots or blanks nobody puts two digits of a year first but proof.
    let proved = small(first).is_some_and(|number| number > 31);
    if first.len() == 2 && (proved || mark == '-') {
        out.push(Order::YearFirst);
    }
    out
}

/// Whether three numbers are written like a day, though no calendar has it.
pub(super) fn looks_like_a_day(tokens: &Tokens<'_>) -> bool {
    let [first, second, third] = *tokens.numbers() else { return false };
    let Some(mark) = separator(tokens).filter(|mark| *mark != ' ') else { return false };
    let (low, high, written_year) = if first.len() == 4 { (second, third, first) } else { (first, second, third) };
    let (Some(low), Some(high)) = (small(low), small(high)) else { return false };
    let year_like = matches!(written_year.len(), 2 | 4);
    let long_year = written_year.len() == 4 && year(written_year).is_some();
    // Three readings of phases ("62/70/85") must not pass: one number has to be a month's, the other near a day's.
    let month_like = low.min(high) <= 12 || ((mark == '.' || long_year) && low.max(high) <= 31);
    year_like && month_like && low.max(high) <= 39
}
