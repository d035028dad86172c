//! Dates with words: month names, quarters, seasons, weeks.

use super::tokens::{Piece, Tokens};
use super::words::Word;
use super::{DateMeaning, Order, small, year};
use jiff::ToSpan as _;
use jiff::civil::{ISOWeekDate, Weekday};
use windrow_model::PartialDate;

/// Every date that numbers and words could be.
pub(super) fn read(tokens: &Tokens<'_>) -> Vec<DateMeaning> {
    if let Some((month, strength)) = month(tokens) {
        return with_month(tokens, month, strength);
    }
    let words: Vec<Word> = tokens
        .pieces
        .iter()
        .filter_map(|piece| if let Piece::Word(word) = piece { Some(*word) } else { None })
        .collect();
    let numbers = tokens.numbers();
    match *words {
        [Word::Quarter] => quarter_and_year(&numbers).into_iter().collect(),
        [Word::Ordinal(quarter) | Word::Roman(quarter), Word::Quarter] => {
            numbers.first().and_then(|year_text| quarter_of(quarter, year_text)).into_iter().collect()
        }
        [Word::Week] => week(&numbers).into_iter().collect(),
        [Word::Half] if numbers.len() == 2 => year_only(&numbers).into_iter().collect(),
        [Word::Season(_)] | [Word::About, Word::Season(_)] | [Word::Ordinal(_), Word::Half] if numbers.len() == 1 => {
            year_only(&numbers).into_iter().collect()
        }
        // "FIN-87" is a tag.
        [Word::About] if matches!(*numbers, [digits] if digits.len() == 4) => year_only(&numbers).into_iter().collect(),
        _ => Vec::new(),
    }
}

/// How surely a word is a month.
#[derive(Clone, Copy, PartialEq)]
enum Strength {
    Name,
    Weak,
    Joined,
    Roman,
}

/// The one month among the words, if all words are months and there is but one.
fn month(tokens: &Tokens<'_>) -> Option<(i8, Strength)> {
    let mut words =
        tokens.pieces.iter().filter_map(|piece| if let Piece::Word(word) = piece { Some(word) } else { None });
    let found = match *words.next()? {
        Word::Month(month) => (month, Strength::Name),
        Word::WeakMonth(month) => (month, Strength::Weak),
        Word::JoinedMonth(month) => (month, Strength::Joined),
        Word::Roman(month) => (month, Strength::Roman),
        _ => return None,
    };
    words.next().is_none().then_some(found)
}

fn with_month(tokens: &Tokens<'_>, month: i8, strength: Strength) -> Vec<DateMeaning> {
    let at = tokens.pieces.iter().position(|piece| matches!(piece, Piece::Word(_))).unwrap_or(0);
    match *tokens.numbers() {
        [year_text] => month_and_year(tokens, (month, strength), year_text, at == 0).into_iter().collect(),
        // A Roman month stands between its neighbours.
        [_, _] if strength == Strength::Roman && at != 1 => Vec::new(),
        [first, second] => days(month, first, second, at).into_iter().collect(),
        _ => Vec::new(),
    }
}

/// `Mar 87`, `MAR-1987`, `1987 March`; never `12 Mar`, which has no year.
fn month_and_year(
    tokens: &Tokens<'_>,
    (month, strength): (i8, Strength),
    year_text: &str,
    month_first: bool,
) -> Option<DateMeaning> {
    let (number, two_digit_year) = year(year_text)?;
    let mark = tokens.marks.get(1).copied()?;
    let clear = !two_digit_year || tokens.apostrophe();
    let allowed = match strength {
        Strength::Name => true,
        Strength::Weak => clear,
        Strength::Joined => clear || month_first && mark == '-',
        Strength::Roman => month_first && matches!(mark, '/' | '.' | '-') && (clear || number < 2000),
    };
    // "12 Mar" is a day without its year, and so may "Mar 12" be; spreadsheets write "Mar-12" for a month.
    let day_like = !clear && small(year_text).is_some_and(|day| day <= 31);
    let month_year = month_first && (matches!(mark, '-' | '/') || year_text.starts_with('0'));
    if !allowed || (day_like && !month_year) {
        return None;
    }
    meaning(PartialDate::month(number, month), two_digit_year)
}

fn meaning(date: Option<PartialDate>, two_digit_year: bool) -> Option<DateMeaning> {
    Some(DateMeaning { date: date?, order: Order::Named, two_digit_year, bare_number: false })
}

/// Day and year around the month: by lengths, then by place.
fn days(month: i8, first: &str, second: &str, at: usize) -> Option<DateMeaning> {
    let year_is_first = first.len() == 4
        || (at == 1 && first.len() == 2 && second.len() <= 2 && small(first).is_some_and(|number| number > 31));
    let (day, year_text) = if year_is_first { (second, first) } else { (first, second) };
    let (number, two_digit_year) = year(year_text)?;
    meaning(PartialDate::day(number, month, small(day)?), two_digit_year)
}

/// `Q1/87`, `1Q87`, `1987 Q1`: the one-digit number is the quarter.
fn quarter_and_year(numbers: &[&str]) -> Option<DateMeaning> {
    let [first, second] = *numbers else { return None };
    let (quarter, year_text) = if first.len() == 1 { (first, second) } else { (second, first) };
    (quarter.len() == 1).then(|| quarter_of(small(quarter)?, year_text))?
}

fn quarter_of(quarter: i8, year_text: &str) -> Option<DateMeaning> {
    let (number, two_digit_year) = year(year_text)?;
    meaning(PartialDate::quarter(number, quarter), two_digit_year)
}

/// The year of a season, of a half (`1H90`) or of "early 1987": no day or month is invented.
fn year_only(numbers: &[&str]) -> Option<DateMeaning> {
    let year_text = match *numbers {
        [year_text] => year_text,
        [first, second] if first.len() == 1 => second,
        [first, second] if second.len() == 1 => first,
        _ => return None,
    };
    let (number, two_digit_year) = year(year_text)?;
    meaning(PartialDate::year(number), two_digit_year)
}

/// `wk 23/95`, `KW 23 1995`: the shortest calendar period that holds all of the week (ISO 8601 weeks).
fn week(numbers: &[&str]) -> Option<DateMeaning> {
    let [first, second] = *numbers else { return None };
    let (week, year_text) = if first.len() == 4 { (second, first) } else { (first, second) };
    let (number, two_digit_year) = year(year_text)?;
    let monday = ISOWeekDate::new(number, small(week)?, Weekday::Monday).ok()?.date();
    let sunday = monday.checked_add(6.days()).ok()?;
    meaning(PartialDate::covering(monday, sunday), two_digit_year)
}

/// Whether a month stands with two numbers like a day and a year, though no calendar has it (`30 Feb 1992`).
pub(super) fn looks_like_a_day(tokens: &Tokens<'_>) -> bool {
    let [first, second] = *tokens.numbers() else { return false };
    let near_day = |digits: &str| small(digits).is_some_and(|day| day <= 39);
    let named = month(tokens).is_some_and(|(_, strength)| strength != Strength::Weak);
    named && ((near_day(first) && matches!(second.len(), 2 | 4)) || (first.len() == 4 && near_day(second)))
}
