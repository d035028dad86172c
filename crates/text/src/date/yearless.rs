//! Days without their year ("12.3.", "23/3", "4 Jun"), and the year that a title tells for them.

use super::{DateMeaning, find_all, read};
use crate::fold::fold;
use crate::marks::is_kind;
use windrow_model::Precision;

/// Longest text that is a day without its year, in bytes.
const LONGEST: usize = 14;
/// A leap year, so that 29 February counts.
const ANY_YEAR: i16 = 1996;

/// Whether all of `text` is a day and a month, and no date by itself.
///
/// ```
/// use windrow_text::date::is_day_without_year;
/// assert!(is_day_without_year("12.3.") && is_day_without_year("23/3") && is_day_without_year("4. Juni"));
/// assert!(!is_day_without_year("12.3") && !is_day_without_year("06/91") && !is_day_without_year("40/42"));
/// ```
#[must_use]
pub fn is_day_without_year(text: &str) -> bool {
    !in_year(text, ANY_YEAR).is_empty()
}

/// Every day that a day without its year is in `year`; empty for any other text.
#[must_use]
pub fn in_year(text: &str, year: i16) -> Vec<DateMeaning> {
    let text = text.trim();
    let is_dated = text.contains(|c: char| c.is_ascii_digit());
    if text.len() > LONGEST || !is_dated || is_month_of_sheets(text) || !read(text).is_empty() {
        return Vec::new();
    }
    let whole = match (parts(text), text.contains(char::is_alphabetic)) {
        (Some((first, second)), _) => format!("{first}/{second}/{year}"),
        (None, true) => format!("{} {year}", text.trim_end_matches(['.', ','])),
        (None, false) => return Vec::new(),
    };
    let mut days = read(&whole);
    days.retain(|meaning| meaning.date.precision == Precision::Day && meaning.date.first.year() == year);
    days
}

/// The day and the Roman month of "17.V.", with its last point; "17.V" may be a terminal.
fn roman_month(text: &str) -> Option<(&str, &str)> {
    let (day, month) = text.strip_suffix('.')?.split_once('.')?;
    let (day, month) = (day.trim(), month.trim());
    let is_day = !day.is_empty() && day.len() <= 2 && day.bytes().all(|b| b.is_ascii_digit());
    let is_roman = !month.is_empty() && month.bytes().all(|b| matches!(b, b'I' | b'V' | b'X'));
    (is_day && is_roman).then_some((day, month))
}

/// Whether all of a text is a day and its month in Roman figures with a point behind ("24.III.").
///
/// ```
/// use windrow_text::date::is_day_and_roman_month;
/// assert!(is_day_and_roman_month("24.III.") && !is_day_and_roman_month("24.III") && !is_day_and_roman_month("31.IIII."));
/// ```
#[must_use]
pub fn is_day_and_roman_month(text: &str) -> bool {
    let text = text.trim();
    text.len() <= LONGEST && roman_month(text).is_some() && !in_year(text, ANY_YEAR).is_empty()
}

/// "ago-20": what spreadsheets write for a month and its year.
fn is_month_of_sheets(text: &str) -> bool {
    let parts = text.split_once(['-', '/']);
    parts.is_some_and(|(month, year)| month.contains(char::is_alphabetic) && year.trim().len() == 2)
}

/// The two numbers of "12.3." and "23/3"; "12.3" is a number and "1-2" a pair of terminals.
fn parts(text: &str) -> Option<(u8, u8)> {
    let (first, second) = match text.strip_suffix('.') {
        Some(pointed) => pointed.split_once('.')?,
        None => text.split_once('/')?,
    };
    let number = |digits: &str| -> Option<u8> {
        let digits = digits.trim();
        digits
            .bytes()
            .all(|b| b.is_ascii_digit())
            .then_some(digits)?
            .parse()
            .ok()
            .filter(|number| (1..=31).contains(number))
    };
    Some((number(first)?, number(second)?))
}

/// The one year that a title tells for what stands below it: it tells no other date, and the year is none of a form, a standard or a
/// machine ("Form rev. 1995", "built 1979").
#[must_use]
pub fn titled_year(text: &str) -> Option<i16> {
    let found = find_all(text);
    let [(at, meaning)] = found.as_slice() else { return None };
    let is_apart =
        |c: Option<char>| c.is_none_or(|c| c.is_whitespace() || matches!(c, ',' | '.' | ':' | ';' | '(' | ')'));
    let (before, behind) = (text.get(..at.start)?, text.get(at.end..)?);
    let alone = is_apart(before.chars().next_back()) && is_apart(behind.chars().next());
    let is_year = meaning.date.precision == Precision::Year;
    (is_year && alone && !is_of_else(text, before)).then(|| meaning.date.first.year())
}

/// Whether a title says of its year that it is one of something else: of a form, a standard or a machine, or the end of a span. `before` is
/// what stands before the year.
fn is_of_else(text: &str, before: &str) -> bool {
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').collect();
    // "EN 60034" is a standard, "en 1979" when.
    let is_standard = |two: &[&str]| {
        let is_number = two[1].starts_with(|c: char| c.is_ascii_digit());
        is_kind(two[0], "standard_word") && is_number && (two[1].len() != 4 || read(two[1]).is_empty())
    };
    let bound = fold(before);
    let is_bound = bound.split(' ').rfind(|word| !word.is_empty()).is_some_and(|word| is_kind(word, "year_bound"));
    is_bound || words.iter().any(|word| is_kind(word, "other_year")) || words.windows(2).any(is_standard)
}

/// The year and month that a title tells for what stands below it, and nothing nearer ("Measurements January 2016").
#[must_use]
pub fn titled_month(text: &str) -> Option<(i16, i8)> {
    let found = find_all(text);
    let [(at, meaning)] = found.as_slice() else { return None };
    let tells_else = is_of_else(text, text.get(..at.start)?);
    let is_month = meaning.date.precision == Precision::Month && !meaning.bare_number && !tells_else;
    is_month.then(|| (meaning.date.first.year(), meaning.date.first.month()))
}

/// Whether a text is a year and no more than a word for it ("Jahr 1991", "AÑO 2003").
#[must_use]
pub fn is_year_alone(text: &str) -> bool {
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    let is_year = |word: &&str| word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit());
    titled_year(text).is_some() && words.iter().all(|word| is_year(word) || is_kind(word, "year_word"))
}

#[cfg(test)]
mod tests {
    use super::{in_year, titled_year};
    use windrow_model::PartialDate;

    #[test]
    fn a_day_takes_the_year_told_elsewhere() {
        let days = |text: &str| in_year(text, 1979).into_iter().map(|meaning| meaning.date).collect::<Vec<_>>();
        assert_eq!(days("13/3"), [PartialDate::day(1979, 3, 13).expect("a day")]);
        assert_eq!(days("4/6").len(), 2);
        assert_eq!(days("24.III."), [PartialDate::day(1979, 3, 24).expect("a day")]);
        assert_eq!(days("2 Jun"), [PartialDate::day(1979, 6, 2).expect("a day")]);
        for other in
            ["12.3", "1-2", "29/2", "U/E", "06/91", "12.3.1980", "62/70", "Pump 4", "1/min", "ago-20", "set-12", "1.U."]
        {
            assert!(days(other).is_empty(), "{other}");
        }
    }

    #[test]
    fn a_title_tells_one_year_of_its_own() {
        assert_eq!(titled_year("Rundgang 1979"), Some(1979));
        assert_eq!(titled_year("AÑO 1992"), Some(1992));
        assert_eq!(titled_year("Daybook of the shop, 1991."), Some(1991));
        assert_eq!(titled_year("Mesures en 1979"), Some(1979));
        assert_eq!(titled_year("2013 - hoists, megohms, phases tied together to ground"), Some(2013));
        for other in [
            "Winter 1985/86",
            "Form 12 rev. 1995",
            "VDE 0530 1991",
            "Tests 1991 to 1993",
            "built 1979",
            "Service records, since 1979",
            "Prüfungen bis 1991",
            "EN 60034-27 2018",
            "Pump 4",
            "IEC 60034-1985",
        ] {
            assert_eq!(titled_year(other), None, "{other}");
        }
    }
}
