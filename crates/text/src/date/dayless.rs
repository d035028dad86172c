//! Dates of which the day was left open ("?/8/1992", "xx.08.92", "?? Aug 1992"): as precise as what is left.

use super::{DateMeaning, Order, small, year};
use windrow_model::{PartialDate, Precision};

/// What is left of a date without its unknown day; `None` where a text begins otherwise.
pub(super) fn read(text: &str) -> Option<Vec<DateMeaning>> {
    let text = text.trim();
    let rest = text.trim_start_matches(['?', '_', 'x', 'X', '–', '-']);
    let marks = text.get(..text.len() - rest.len())?.chars().count();
    let is_apart = rest.starts_with(['/', '.']) || rest.starts_with(' ') && text.starts_with('?');
    if !(1..=2).contains(&marks) || !is_apart {
        return None;
    }
    let rest = rest.trim_start_matches(['/', '.', ' ', '-']);
    if rest.starts_with(char::is_alphabetic) {
        let is_month = |meaning: &DateMeaning| meaning.date.precision == Precision::Month;
        return Some(super::read(rest).into_iter().filter(is_month).collect());
    }
    let mut numbers = rest.split(['/', '.', '-']);
    let (first, second) = (numbers.next()?, numbers.next()?);
    let (year, two_digit_year) = year(second).filter(|_| numbers.next().is_none())?;
    let told = |order, date| DateMeaning { date, order, two_digit_year, bare_number: false };
    // Written with the month first it is the month that is open.
    let by_day = PartialDate::month(year, small(first)?).map(|date| told(Order::DayFirst, date));
    let by_month = PartialDate::year(year).map(|date| told(Order::MonthFirst, date));
    Some(by_day.into_iter().chain(by_month).collect())
}

#[cfg(test)]
mod tests {
    use crate::date::read;

    #[test]
    fn a_date_without_its_day_is_its_month() {
        let told = |text: &str| read(text).iter().map(|meaning| meaning.date.to_string()).collect::<Vec<_>>();
        assert_eq!(told("?/8/1992"), ["1992-08", "1992"]);
        assert_eq!(told("xx.08.1992"), ["1992-08", "1992"]);
        assert_eq!(told("?? Aug 1992"), ["1992-08"]);
        for text in ["x8/1992", "X-12/1992-3", "? 5", "? 12.5"] {
            assert!(told(text).is_empty(), "{text}");
        }
    }
}
