//! Words that stand in dates.

use crate::data;
use std::collections::HashMap;
use std::sync::LazyLock;

/// What a word in a date is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Word {
    /// Month 1 to 12.
    Month(i8),
    /// Short form of a month that is also another word ("set", "gen"): counts only in a full date.
    WeakMonth(i8),
    /// Such a form that is no other word where a hyphen joins it to a year of two digits, as spreadsheets write it ("ago-24").
    JoinedMonth(i8),
    /// Roman numeral 1 to 12.
    Roman(i8),
    /// "quarter", "Q".
    Quarter,
    /// "half".
    Half,
    /// Season of the year, 1 (spring) to 4.
    Season(i8),
    /// "week".
    Week,
    /// "early", "about", "year".
    About,
    /// Day of the week, 1 (Monday) to 7.
    Weekday(i8),
    /// "of", "the", "th".
    Filler,
    /// "first" to "fourth".
    Ordinal(i8),
}

const WORDS: &str = include_str!("../../data/calendar.csv");

static BY_WORD: LazyLock<HashMap<&'static str, Word>> = LazyLock::new(|| {
    data::rows::<3>(WORDS)
        .filter_map(|[kind, number, word]| Some((word, word_of(kind, number.parse().ok()?)?)))
        .collect()
});

fn word_of(kind: &str, number: i8) -> Option<Word> {
    Some(match kind {
        "month" => Word::Month(number),
        "weak_month" => Word::WeakMonth(number),
        "joined_month" => Word::JoinedMonth(number),
        "roman" => Word::Roman(number),
        "quarter" => Word::Quarter,
        "half" => Word::Half,
        "season" => Word::Season(number),
        "week" => Word::Week,
        "about" => Word::About,
        "weekday" => Word::Weekday(number),
        "filler" => Word::Filler,
        "ordinal" => Word::Ordinal(number),
        _ => return None,
    })
}

/// What a folded word is in a date, if it can stand in one.
pub(super) fn lookup(folded: &str) -> Option<Word> {
    BY_WORD.get(folded).copied()
}

#[cfg(test)]
mod tests {
    use super::{BY_WORD, WORDS};
    use crate::{data, fold::fold};

    #[test]
    fn every_row_of_the_data_is_read() {
        assert_eq!(BY_WORD.len(), data::lines(WORDS).count(), "a row is malformed or told twice");
        assert!(BY_WORD.keys().all(|word| fold(word) == *word), "a word is not folded");
    }
}
