//! Texts that say whether dates are written with the day or the month first: "dd/mm/yyyy", "month/day/year".

use crate::fold::fold;
use regex::Regex;
use std::sync::LazyLock;
use windrow_model::settings::DateOrder;

/// Longest text that is looked at, in bytes.
const LONGEST: usize = 400;

/// Words and letters for a day and for a month, in four languages; one letter counts with a year behind it only.
static STATED: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let (day, month) = ("(?:dd|tt|jj|day|tag|jour|dia)", "(?:mm|month|monat|mois|mes)");
    let year = "[/.-](?:y|yy|yyyy|j|jj|jjjj|a|aa|aaaa)";
    let mark = "[/.-]";
    let order = |day: &str, month: &str, d: &str| format!(r"{day}{mark}{month}\b|\b[{d}]{mark}m{year}");
    let first = order(day, month, "dtj");
    Regex::new(&format!(r"\b(?:(?P<day>{first})|(?P<month>{month}{mark}{day}\b|\bm{mark}[dtj]{year}\b))")).ok()
});

/// The order that a text says dates are written in; none where it tells both.
///
/// ```
/// use windrow_model::settings::DateOrder;
/// use windrow_text::date::stated_order;
/// assert_eq!(stated_order("Date (dd/mm/yyyy)"), Some(DateOrder::DayFirst));
/// assert_eq!(stated_order("SOUTH HALL, month/day/year"), Some(DateOrder::MonthFirst));
/// assert_eq!(stated_order("Date"), None);
/// ```
#[must_use]
pub fn stated_order(text: &str) -> Option<DateOrder> {
    if text.len() > LONGEST || !text.contains(['/', '.', '-']) {
        return None;
    }
    // Without accents, but with the marks between.
    let plain: String = text.split_inclusive(['/', '.', '-']).map(piece).collect();
    let all = STATED.as_ref()?.captures_iter(&plain);
    // "yyyy-mm-dd" can be read one way only, whatever comes first.
    let is_behind_year = |start: usize| {
        let before = plain.get(..start).unwrap_or_default();
        before.ends_with(['/', '.', '-']) && before.trim_end_matches(['/', '.', '-']).ends_with(['y', 'j', 'a'])
    };
    let own = all.filter(|found| found.get(0).is_some_and(|whole| !is_behind_year(whole.start())));
    let mut told = own.map(|found| match found.name("day") {
        Some(_) => DateOrder::DayFirst,
        None => DateOrder::MonthFirst,
    });
    let first = told.next()?;
    told.all(|other| other == first).then_some(first)
}

/// A piece of a text up to a mark, folded.
fn piece(piece: &str) -> String {
    let (words, mark) = match piece.char_indices().next_back() {
        Some((at, mark @ ('/' | '.' | '-'))) => (&piece[..at], Some(mark)),
        _ => (piece, None),
    };
    let mut plain = fold(words);
    plain.extend(mark);
    plain
}

#[cfg(test)]
mod tests {
    use super::stated_order;
    use windrow_model::settings::DateOrder::{DayFirst, MonthFirst};

    /// Common practice in headings and notes, no source.
    #[test]
    fn headings_say_which_comes_first() {
        for (text, order) in [
            ("Datum (TT.MM.JJJJ)", Some(DayFirst)),
            ("date jj/mm/aa", Some(DayFirst)),
            ("fecha día/mes/año", Some(DayFirst)),
            ("jour/mois", Some(DayFirst)),
            ("d/m/y", Some(DayFirst)),
            ("Tested mm-dd-yy", Some(MonthFirst)),
            ("agency: m/d/y", Some(MonthFirst)),
            ("fechas: mes/día/año", Some(MonthFirst)),
            ("dd/mm/yy here, mm/dd/yy there", None),
            ("yyyy-mm-dd", None),
            ("d/m ratio", None),
            ("Hall M/D", None),
        ] {
            assert_eq!(stated_order(text), order, "{text}");
        }
    }
}
