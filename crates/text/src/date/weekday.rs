//! Days without their year, which their weekday proves in a year that stands elsewhere: "lundi 3/9".

use super::words::{Word, lookup};
use super::{DateMeaning, read, small};
use crate::fold::fold;

/// Weekday (1 is Monday) and the two numbers of "Mon 3/9", "Mo. 03.09.", "lundi 3-9".
fn parts(text: &str) -> Option<(i8, i8, i8)> {
    let (word, numbers) = text.trim().split_once([' ', '\u{a0}'])?;
    let Some(Word::Weekday(weekday)) = lookup(fold(word).trim()) else { return None };
    let (first, second) = numbers.trim().trim_end_matches(['.', '/']).split_once(['/', '.', '-'])?;
    Some((weekday, small(first.trim())?, small(second.trim())?))
}

/// Whether a text is a weekday with a day and month.
#[must_use]
pub fn is_weekday_and_day(text: &str) -> bool {
    text.len() <= 24 && parts(text).is_some()
}

/// The days of `year` that a weekday with a day and month can be: those orders of the two numbers that fall on that weekday.
///
/// ```
/// use windrow_text::date::days_of_weekday;
/// let days = days_of_weekday("lundi 3/9", 2012);
/// assert_eq!(days.iter().map(|meaning| meaning.date.to_string()).collect::<Vec<_>>(), ["2012-09-03"]);
/// assert!(days_of_weekday("mardi 3/9", 2012).is_empty());
/// ```
#[must_use]
pub fn days_of_weekday(text: &str, year: i16) -> Vec<DateMeaning> {
    let Some((weekday, first, second)) = parts(text) else { return Vec::new() };
    let mut days = read(&format!("{first}/{second}/{year}"));
    days.retain(|meaning| meaning.date.first.weekday().to_monday_one_offset() == weekday);
    days
}

#[cfg(test)]
mod tests {
    use super::{days_of_weekday, is_weekday_and_day};

    /// Weekdays by the calendar: 3 September 2012 and 9 April 2012 were Mondays, 4 September 2012 a Tuesday.
    #[test]
    fn a_weekday_tells_the_order_of_day_and_month() {
        let day = |text: &str, year: i16| -> Vec<String> {
            days_of_weekday(text, year).iter().map(|meaning| meaning.date.to_string()).collect()
        };
        for text in ["lundi 3/9", "Mon 3/9", "Mo. 03.09.", "lunes 3-9", "Monday 9/3"] {
            assert!(is_weekday_and_day(text), "{text}");
            assert_eq!(day(text, 2012), ["2012-09-03"], "{text}");
        }
        assert_eq!(day("lundi 9/4", 2012), ["2012-04-09"]);
        // The fourth of September and the ninth of April of one year may share their weekday; then both stand.
        assert!(day("jeudi 3/9", 2012).is_empty());
        for text in ["3/9", "lundi", "Pump 3/9", "lundi 3", "lundi 3/9/2012x", "lundi 13/14"] {
            assert!(!is_weekday_and_day(text) || day(text, 2012).is_empty(), "{text}");
        }
    }
}
