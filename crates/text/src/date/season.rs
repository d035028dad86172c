//! Seasons: work of two years ("88/89", "Camp. 95/96"), and what a sheet explains of the month that a season's tests are made in
//! ("Autumn round: October", "saison 88/89 : octobre 1988").

use super::words::{Word, lookup};
use super::year;
use crate::fold::fold;
use crate::marks::is_kind;
use windrow_model::{PartialDate, Precision};

/// Longest heading of a season, in bytes.
const LONGEST: usize = 32;
/// Farthest that the month stands behind the season that it explains, in words.
const REACH: usize = 4;

/// When the tests of a season are made, as a sheet explains it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Habit {
    /// Of a season of two years: in this month of the first or of the second.
    OfTwoYears {
        /// Whether it is the second year.
        second: bool,
        /// Month 1 to 12.
        month: i8,
    },
    /// Of a season of the year, 1 (spring) to 4: in this month.
    OfYear {
        /// The season.
        season: i8,
        /// Month 1 to 12.
        month: i8,
    },
}

/// The two years, one after the other, of a season ("88/89", "1988/89", "Saison 1988-89", "Camp. 95/96"); `None` for anything else.
/// Two bare numbers of two digits may be much else: only a line of such headings says that they are years.
///
/// ```
/// use windrow_text::date::years_of_season;
/// assert_eq!(years_of_season("Camp. 99/00"), Some((1999, 2000)));
/// assert_eq!(years_of_season("1988-89"), Some((1988, 1989)));
/// assert!(years_of_season("88/90").is_none() && years_of_season("Pump 88/89").is_none());
/// ```
#[must_use]
pub fn years_of_season(text: &str) -> Option<(i16, i16)> {
    let text = text.trim();
    if text.len() > LONGEST {
        return None;
    }
    let (lead, years) = text.rsplit_once([' ', '.', '\u{a0}']).unwrap_or(("", text));
    let lead = lead.trim_matches([' ', '.', '\u{a0}']);
    if !lead.is_empty() && !names_season(&fold(lead)) {
        return None;
    }
    let (first, second) = years.split_once(['/', '-', '–'])?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let is_written = digits(first) && digits(second) && matches!((first.len(), second.len()), (2, 2) | (4, 2 | 4));
    let (from, _) = year(first).filter(|_| is_written)?;
    let follows = second.parse::<i16>().ok()? == if second.len() == 4 { from + 1 } else { (from + 1) % 100 };
    follows.then_some((from, from + 1))
}

/// Whether a folded word heads seasons: a season of the year, a campaign, "season" itself.
fn names_season(word: &str) -> bool {
    matches!(lookup(word), Some(Word::Season(_))) || is_kind(word, "campaign") || is_kind(word, "season_word")
}

/// What a text explains of when the tests of seasons are made.
///
/// ```
/// use windrow_text::date::{Habit, habits};
/// assert_eq!(habits("Spring round: April. Autumn round: October."), [
///     Habit::OfYear { season: 1, month: 4 },
///     Habit::OfYear { season: 3, month: 10 },
/// ]);
/// assert_eq!(habits("season 88/89: October 1988, and so on"), [Habit::OfTwoYears { second: false, month: 10 }]);
/// assert!(habits("cleaned in spring 1988, failed in October 1990").is_empty());
/// ```
#[must_use]
pub fn habits(text: &str) -> Vec<Habit> {
    let mut habits = Vec::new();
    for clause in text.split(['.', ';', '\n']) {
        // A sentence tells what happened once; what explains has a sign between the season and its month.
        for (index, sign) in clause.char_indices().filter(|(_, c)| matches!(c, ':' | '=')) {
            let (before, behind) = clause.split_at(index);
            habits.extend(habit(before, &behind[sign.len_utf8()..]));
        }
    }
    habits
}

/// What stands before and behind the sign of an explanation: the season, and its month.
fn habit(before: &str, behind: &str) -> Option<Habit> {
    let words = |text: &str| -> Vec<String> {
        let text = text.split_whitespace().map(|word| word.trim_matches([',', '(', ')', ':', '=']));
        text.filter(|word| !word.is_empty()).map(str::to_owned).collect()
    };
    let named: Vec<String> = words(before);
    let told: Vec<String> = words(behind);
    let (at, month) = told.iter().take(REACH).enumerate().find_map(|(at, word)| match lookup(&fold(word)) {
        Some(Word::Month(month)) => Some((at, month)),
        _ => None,
    })?;
    let last = named.iter().rev().take(REACH);
    let span = last.clone().find_map(|word| years_of_season(word));
    let tail = told.iter().skip(at + 1).take(REACH);
    if let Some((first, second)) = span {
        let is = |wanted: i16| tail.clone().any(|word| year(word).is_some_and(|(told, _)| told == wanted));
        return match (is(first), is(second)) {
            (true, false) => Some(Habit::OfTwoYears { second: false, month }),
            (false, true) => Some(Habit::OfTwoYears { second: true, month }),
            _ => None,
        };
    }
    let season = last.clone().find_map(|word| season_of(&fold(word)))?;
    // "Spring 1988: April 1988" tells of one test.
    let has_year = |words: &[String]| words.iter().any(|word| word.len() == 4 && year(word).is_some());
    (!has_year(&named) && !has_year(&told)).then_some(Habit::OfYear { season, month })
}

/// The season of the year, 1 (spring) to 4, that a heading names: it tells two rounds of a year apart.
///
/// ```
/// use windrow_text::date::named_season;
/// assert_eq!((named_season("Herbst 93"), named_season("1993")), (Some(3), None));
/// ```
#[must_use]
pub fn named_season(text: &str) -> Option<i8> {
    fold(text).split([' ', '.', '/', '-', '\'']).find_map(season_of)
}

/// The season of the year that a folded word is.
fn season_of(word: &str) -> Option<i8> {
    match lookup(word) {
        Some(Word::Season(season)) => Some(season),
        _ => None,
    }
}

/// The month of a season, as a sheet explains it: of a text that is a season of two years, or of one that was `read` as the year of a
/// season. `None` where no habit speaks of it, or two differ.
#[must_use]
pub fn in_habit(text: &str, read: Option<PartialDate>, habits: &[Habit]) -> Option<PartialDate> {
    let span = years_of_season(text);
    let season = named_season(text);
    let only_year = read.filter(|date| date.precision == Precision::Year).map(|date| date.first.year());
    let told = habits.iter().filter_map(|habit| match (*habit, span, season.zip(only_year)) {
        (Habit::OfTwoYears { second, month }, Some((from, to)), _) => {
            PartialDate::month(if second { to } else { from }, month)
        }
        (Habit::OfYear { season, month }, None, Some((own, year))) if own == season => PartialDate::month(year, month),
        _ => None,
    });
    let mut told: Vec<PartialDate> = told.collect();
    told.dedup();
    match told.as_slice() {
        [only] => Some(*only),
        _ => None,
    }
}
