//! Dates inside sentences, titles and captions.

use super::{DateMeaning, read_one, span};
use crate::fold::fold;
use crate::marks::is_kind;
use std::ops::Range;

/// Most words in a date inside a sentence ("14 de marzo de 1987" has five).
const MOST_WORDS: usize = 6;
/// Most words in a span of days ("3 de mayo al 5 de mayo de 2003" has nine).
const MOST_WORDS_OF_SPAN: usize = 10;
/// Longest text searched, in bytes; titles and remarks are shorter.
const LONGEST: usize = 2000;

/// Dates that stand inside `text`, in order and without overlap, each with its byte range; a date whose order is open comes
/// once for each meaning. Of bare numbers, only four-digit years count.
///
/// ```
/// use windrow_model::PartialDate;
/// let found = windrow_text::date::find_all("Tested on 14 March 1987 by R.K.");
/// assert_eq!(found.first().map(|(range, meaning)| (range.clone(), Some(meaning.date))), Some((10..23, PartialDate::day(1987, 3, 14))));
/// ```
#[must_use]
pub fn find_all(text: &str) -> Vec<(Range<usize>, DateMeaning)> {
    let mut out = Vec::new();
    if text.len() > LONGEST || !text.bytes().any(|b| b.is_ascii_digit()) {
        return out;
    }
    let words = words(text);
    let mut at = 0;
    while at < words.len() {
        match span_at(text, &words, at).or_else(|| longest_at(text, &words, at)) {
            Some((taken, range, meanings)) => {
                out.extend(meanings.into_iter().map(|meaning| (range.clone(), meaning)));
                at += taken;
            }
            None => at += 1,
        }
    }
    out
}

/// The meanings of the one date that stands somewhere in a title or caption, if exactly one does. Bare numbers are not looked
/// at: a title is full of them.
#[must_use]
pub fn find_in(text: &str) -> Option<Vec<DateMeaning>> {
    let mut found = find_all(text);
    found.retain(|(_, meaning)| !meaning.bare_number);
    let first = found.first().map(|(range, _)| range.clone())?;
    found.iter().all(|(range, _)| *range == first).then(|| found.into_iter().map(|(_, meaning)| meaning).collect())
}

/// Most words between the one that says that something was measured and its day.
const LEAD_WORDS: usize = 3;

/// The meanings of the one date of which a text says that it is that of the measurement, whatever other days it tells.
///
/// ```
/// use windrow_text::date::measured_on;
/// assert!(measured_on("Gemessen am 1. März 2018. Seite erzeugt 12.03.2018.").is_some());
/// assert!(measured_on("last tested 12.03.2018").is_none());
/// assert!(measured_on("Measured on 3 May 2018 (wet) and on 9 June 2018 (dry)").is_none());
/// assert!(measured_on("Messgerät geprüft am 3.5.2010").is_none());
/// ```
#[must_use]
pub fn measured_on(text: &str) -> Option<Vec<DateMeaning>> {
    let mut found = find_all(text);
    found.retain(|(range, meaning)| !meaning.bare_number && says_measured(text, range.start));
    let first = found.first().map(|(range, _)| range.clone())?;
    let others = find_all(text).into_iter().filter(|(range, meaning)| !meaning.bare_number && range.start > first.end);
    if others.into_iter().any(|(next, _)| goes_on(text, first.end, next.start)) {
        return None;
    }
    found.iter().all(|(range, _)| *range == first).then(|| found.into_iter().map(|(_, meaning)| meaning).collect())
}

/// "Measured on 3 May (before) and on 9 June (after)": whether nothing but a word in brackets and a word that joins stands between two
/// dates, so that what is said of the first is said of the second.
fn goes_on(text: &str, from: usize, to: usize) -> bool {
    let between = text.get(from..to).unwrap_or_default();
    let outside = match (between.find('('), between.rfind(')')) {
        (Some(open), Some(close)) if open < close => {
            format!("{} {}", between.get(..open).unwrap_or_default(), between.get(close + 1..).unwrap_or_default())
        }
        _ => between.to_owned(),
    };
    let folded = fold(&outside);
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    let joins = |word: &&str| matches!(*word, "and" | "und" | "et" | "y" | "e" | "puis" | "then" | "sowie");
    words.len() <= LEAD_WORDS && words.first().is_some_and(joins)
}

/// Whether the clause before a place of a text begins with a word that says that something was measured then: "the instrument was tested
/// on" and "last tested on" speak of other days.
fn says_measured(text: &str, at: usize) -> bool {
    let clause = text.get(..at).unwrap_or_default().rsplit(['.', ';', ',', '(', '\n']).next().unwrap_or_default();
    let folded = fold(clause);
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    let is_other =
        |word: &&str| ["earlier_value", "denial", "other_year", "year_bound"].iter().any(|kind| is_kind(word, kind));
    words.first().is_some_and(|word| is_kind(word, "measured_on"))
        && words.len() <= 1 + LEAD_WORDS
        && !words.iter().any(is_other)
}

/// Byte ranges of what stands between blanks and brackets.
fn words(text: &str) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices() {
        let gap = c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | ':' | ';' | '|' | '"' | '=');
        match (gap, start) {
            (true, Some(from)) => {
                out.push(from..at);
                start = None;
            }
            (false, None) => start = Some(at),
            _ => {}
        }
    }
    out.extend(start.map(|from| from..text.len()));
    out
}

/// The span of days that begins at word `at`: its words, its range and its meanings, none where no period holds it.
fn span_at(text: &str, words: &[Range<usize>], at: usize) -> Option<(usize, Range<usize>, Vec<DateMeaning>)> {
    let first = words.get(at)?;
    // A span begins with its first day or a month: most words of a text are neither.
    let head = text.get(first.clone())?;
    let name = head.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default();
    let is_month = || matches!(super::words::lookup(&fold(name)), Some(super::words::Word::Month(_)));
    if !head.contains(|c: char| c.is_ascii_digit()) && !is_month() {
        return None;
    }
    (1..=MOST_WORDS_OF_SPAN).rev().find_map(|taken| {
        let range = first.start..words.get(at + taken - 1)?.end;
        let piece = text.get(range.clone())?;
        if piece.contains([':', '(', ')', ';', '=', '|', '\n']) || span::is_parted(piece, text.get(..first.start)?) {
            return None;
        }
        let piece = piece.trim_end_matches([',', '.', '-', '–']);
        let meanings = span::read(piece).filter(|_| read_one(piece).is_empty())?;
        Some((taken, range.start..range.start + piece.len(), meanings))
    })
}

/// The longest date that begins at word `at`: its words, its range and its meanings.
fn longest_at(text: &str, words: &[Range<usize>], at: usize) -> Option<(usize, Range<usize>, Vec<DateMeaning>)> {
    let first = words.get(at)?;
    (1..=MOST_WORDS).rev().find_map(|taken| {
        let last = words.get(at + taken - 1)?;
        let range = first.start..last.end;
        let piece = text.get(range.clone())?;
        if piece.contains([':', '(', ')', ';', '=', '|', '\n']) {
            return None;
        }
        let piece = piece.trim_end_matches([',', '.', '-', '–']);
        // The date is as long as what can be dropped from neither end.
        let needed = piece.split_whitespace().next().is_some_and(|word| !is_filler(word));
        let meanings: Vec<_> = read_one(piece).into_iter().filter(|meaning| counts(meaning, piece)).collect();
        (needed && !meanings.is_empty()).then(|| (taken, range.start..range.start + piece.len(), meanings))
    })
}

fn is_filler(word: &str) -> bool {
    let folded = crate::fold::fold(word);
    matches!(super::words::lookup(&folded), Some(super::words::Word::Filler))
}

/// Within a sentence, digit strings are dates only as years, and blanks between numbers make no date.
fn counts(meaning: &DateMeaning, piece: &str) -> bool {
    let year = meaning.bare_number && piece.len() == 4;
    let spaced_numbers = piece.contains(' ') && !piece.contains(char::is_alphabetic);
    // "Line 4 - 16 Jun 1992": a dash between blanks parts what stands before it.
    let is_parted = [" - ", " – ", " — "].iter().any(|dash| piece.contains(dash)) || begins_with_a_number_apart(piece);
    // "2 x 22 kW": a number of times another, and no day of October.
    let multiplies = [" x ", " × "].iter().any(|sign| piece.contains(sign));
    (year || !meaning.bare_number) && !spaced_numbers && !is_parted && !multiplies
}

/// "Generator 4, 12 September 2016": the comma parts the first number from the date.
fn begins_with_a_number_apart(piece: &str) -> bool {
    let is_digit = |c: char| c.is_ascii_digit();
    let apart = piece.split_once(", ").filter(|(first, _)| first.chars().all(is_digit));
    apart.is_some_and(|(_, rest)| rest.starts_with(is_digit))
}
