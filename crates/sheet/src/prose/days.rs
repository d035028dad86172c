//! Dates within sentences.

use super::piece::Says;
use std::ops::Range;
use windrow_text::date;

/// Dates of each line, and days of the year.
pub(super) fn all(text: &str) -> Vec<(Range<usize>, Says)> {
    let mut found: Vec<(Range<usize>, Says)> = Vec::new();
    let mut from = 0;
    for line in text.split('\n') {
        let mut ends = 0;
        for (range, meaning) in date::find_all(line).into_iter().filter(|(_, meaning)| !meaning.bare_number) {
            let span = from + range.start..from + range.end;
            ends = range.end;
            // "4/40 MEG" is no month.
            if is_before_unit(line.get(range.end..).unwrap_or_default()) {
                found.push((span, Says::Doubtful));
                continue;
            }
            match found.last_mut() {
                Some((known, Says::Date(meanings))) if *known == span => meanings.push(meaning),
                _ => found.push((span, Says::Date(vec![meaning]))),
            }
        }
        if ends == 0
            && let Some((range, said)) = year_less(line)
        {
            found.push((from + range.start..from + range.end, Says::DayOfYear(said)));
        }
        from += line.len() + 1;
    }
    found
}

/// Whether a unit of resistance stands at the beginning of a text.
pub(super) fn is_before_unit(behind: &str) -> bool {
    let word = behind.split_whitespace().next().unwrap_or_default().trim_end_matches(['.', ',', ';', ':']);
    let units = windrow_text::unit::read(word, Some(windrow_model::Dimension::Resistance));
    units.first().is_some_and(|best| best.weight >= 0.6) && word.chars().count() >= 2
}

/// The one day and month of a line that lacks its year ("am 5. Juni nochmals").
pub(super) fn year_less(line: &str) -> Option<(Range<usize>, String)> {
    if line.len() > 300 || !line.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let mut words: Vec<Range<usize>> = Vec::new();
    let mut from = 0;
    for word in line.split(' ') {
        if !word.is_empty() {
            words.push(from..from + word.len());
        }
        from += word.len() + 1;
    }
    let mut found = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let taken = (2..=3).rev().find_map(|count| {
            let (first, last) = (words.get(at)?, words.get(at + count - 1)?);
            let said = line.get(first.start..last.end)?.trim_end_matches([':', ',', ';', '.']);
            let is_day = said.contains(|c: char| c.is_ascii_digit()) && said.contains(char::is_alphabetic);
            let begins = said.starts_with(|c: char| c.is_alphanumeric()) && !said.contains([':', ';', '(', ')', '/', ',']);
            let read = if is_day && begins { date::read(&format!("{said} 1996")) } else { Vec::new() };
            // "de 300" is no day.
            let names_month = |said: &str| said.split([' ', '.']).any(|word| word.chars().count() >= 3 && !date::read(&format!("1 {word} 1996")).is_empty());
            let is_one = names_month(said) && matches!(read.as_slice(), [one] if one.date.precision == windrow_model::Precision::Day && one.date.first.year() == 1996);
            is_one.then(|| (count, first.start..first.start + said.len(), said.to_owned()))
        });
        match taken {
            Some((count, range, said)) => {
                found.push((range, said));
                at += count;
            }
            None => at += 1,
        }
    }
    match <[(Range<usize>, String); 1]>::try_from(found) {
        Ok([one]) => Some(one),
        Err(_) => None,
    }
}
