//! What explanations say of the numbers that they stand beside: at least or at most, in doubt, swapped, corrected to a temperature.

use crate::circuit::{Naming, phases};
use crate::fold::fold;
use crate::marks::{LONGEST_PHRASE, holds_phrase, is_kind};
use crate::measure::{self, OverRange};
use windrow_model::{Bound, Dimension};

/// What an explanation says of how a number was got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The value is at least the number ("the pointer was at the end of the scale").
    AtLeast,
    /// The value is at most the number.
    AtMost,
    /// Whether the number is the value at all is in doubt ("estimated", "nicht gemessen").
    Doubtful,
}

/// What the words of an explanation say of the number that it is about. One that says several things leaves it in doubt.
///
/// ```
/// use windrow_text::explained::{Standing, standing};
/// assert_eq!(standing("supérieur à la fin d'échelle"), Some(Standing::AtLeast));
/// assert_eq!(standing("Messwert gültig"), None);
/// ```
#[must_use]
pub fn standing(text: &str) -> Option<Standing> {
    let folded = fold(text);
    let says = |kind: &str| holds_phrase(&folded, kind);
    match (says("beyond"), says("short_of"), says("doubt")) {
        (true, false, false) => Some(Standing::AtLeast),
        (false, true, false) => Some(Standing::AtMost),
        (false, false, false) => None,
        _ => Some(Standing::Doubtful),
    }
}

/// Whether a clause of a text says that columns, headings, lines, phases or leads are swapped. "Swapped the bearing" and "rotation reversed,
/// all values fine" are no such texts.
///
/// ```
/// use windrow_text::explained::says_swapped;
/// assert!(says_swapped("V/W wrong way round"));
/// assert!(!says_swapped("motor swapped; cables checked"));
/// ```
#[must_use]
pub fn says_swapped(text: &str) -> bool {
    clauses_but_lists(text).any(|clause| {
        let folded = fold(&clause);
        let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
        let is_swapped = (1..=LONGEST_PHRASE)
            .any(|length| words.windows(length).any(|phrase| is_kind(&phrase.join(" "), "swapped")));
        is_swapped && (words.iter().any(|word| is_kind(word, "swappable")) || names_two_phases(&clause))
    })
}

/// The clauses of a text; a comma between two short names ("U, V swapped") parts none.
fn clauses_but_lists(text: &str) -> impl Iterator<Item = String> {
    let mut clauses: Vec<String> = Vec::new();
    for piece in text.split([';', '\n']) {
        let mut is_listed = false;
        for part in piece.split(',') {
            let begins = part.split_whitespace().next().unwrap_or_default();
            let is_name = (1..=2).contains(&begins.chars().count()) && begins.starts_with(char::is_uppercase);
            match clauses.last_mut().filter(|_| is_listed && is_name) {
                Some(last) => *last = format!("{last} {part}"),
                None => clauses.push(part.to_owned()),
            }
            let ends = part.split_whitespace().next_back().unwrap_or_default();
            is_listed = (1..=2).contains(&ends.chars().count()) && ends.starts_with(char::is_uppercase);
        }
    }
    clauses.into_iter()
}

/// Whether a text names two phases of one custom in capitals: "U and V", "L1/L2".
fn names_two_phases(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| word.starts_with(char::is_uppercase));
    let named: Vec<(u8, Naming)> = words.filter(|word| word.len() <= 2).flat_map(|word| phases(&fold(word))).collect();
    named.iter().enumerate().any(|(at, (index, naming))| {
        *naming != Naming::Numbered && named.iter().skip(at + 1).any(|(other, of)| of == naming && other != index)
    })
}

/// Farthest that a denial stands before what it denies, in words.
const DENIAL_REACH: usize = 6;
/// The same for a word for lack, which more often speaks of something else ("no limit", "ohne Kabel").
const LACK_REACH: usize = 3;
/// Farthest behind that a word says that something was left out.
const OMISSION_REACH: usize = 5;

/// Whether a text says that values are corrected to a reference temperature. "Not corrected" and "must be corrected" say the opposite.
///
/// ```
/// use windrow_text::explained::says_corrected;
/// assert!(says_corrected("all values corrected to 40 °C"));
/// assert!(!says_corrected("Werte nicht umgerechnet"));
/// ```
#[must_use]
pub fn says_corrected(text: &str) -> bool {
    corrections(text).contains(&true)
}

/// Whether a comment on a value says that it is wrong, and tells another number.
///
/// ```
/// use windrow_text::explained::rectifies;
/// assert!(rectifies("Correction: point misplaced, should read 480", "48"));
/// assert!(!rectifies("read again, 48 is right", "48") && !rectifies("winding corrected to 20 °C", "48"));
/// ```
#[must_use]
pub fn rectifies(comment: &str, value: &str) -> bool {
    let trimmed = |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_owned();
    let words: Vec<String> = comment.split_whitespace().map(trimmed).collect();
    let has_number = words.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    has_number && !words.iter().any(|word| word == value.trim()) && holds_phrase(&fold(comment), "rectifies")
}

/// Whether a text speaks of a correction that was not made.
#[must_use]
pub fn denies_correction(text: &str) -> bool {
    let said = corrections(text);
    !said.is_empty() && !said.contains(&true)
}

/// For each word of a text that speaks of a correction, whether it was made.
fn corrections(text: &str) -> Vec<bool> {
    // A denial denies in its own clause only: "motors not rewound; all values corrected".
    text.split(['.', ';', ',', ':', '(', ')', '\n']).flat_map(corrections_of_clause).collect()
}

fn corrections_of_clause(clause: &str) -> Vec<bool> {
    let folded = fold(clause);
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    // "Without cables and all corrected": a word for lack denies what stands right behind it.
    let denies = |at: usize, word: &str, of: usize| {
        is_kind(word, "denial") && of - at <= DENIAL_REACH || is_kind(word, "lack") && of - at <= LACK_REACH
    };
    // "Umgerechnet entfällt", "correction omise".
    let is_omitted = |of: usize| words.iter().skip(of + 1).take(OMISSION_REACH).any(|word| is_kind(word, "omission"));
    let is_made =
        |of: usize| !words.iter().enumerate().take(of).any(|(at, word)| denies(at, word, of)) && !is_omitted(of);
    let speaks = |(at, word): (usize, &&str)| match () {
        () if is_kind(word, "uncorrected") => Some(false),
        () if is_kind(word, "corrected") => Some(is_made(at)),
        () if is_kind(word, "correction") && !is_made(at) => Some(false),
        () => None,
    };
    words.iter().enumerate().filter_map(speaks).collect()
}

/// A word or sign for over range as it is compared.
#[must_use]
pub fn over_word(text: &str) -> String {
    let folded = fold(text.trim());
    if folded.is_empty() { text.trim().to_owned() } else { folded }
}

/// A word for over range that a text explains by the end of the range ("« infini » = needle at the stop, more than 500 MΩ"): the word as it is
/// compared, and the end.
///
/// ```
/// let (word, end) = windrow_text::explained::end_of_range("M = megohms. \"inf\" : over 200 MΩ").expect("an end");
/// assert_eq!((word.as_str(), end.numbers[0].value), ("inf", 200.0));
/// assert!(windrow_text::explained::end_of_range("remarks: inf over 200 MΩ").is_none());
/// ```
#[must_use]
pub fn end_of_range(text: &str) -> Option<(String, measure::Part)> {
    const QUOTES: [char; 11] = [' ', '"', '\'', '«', '»', '“', '”', '„', '\u{a0}', '‹', '›'];
    let mut marks = text.char_indices().filter(|(_, c)| matches!(c, '=' | ':'));
    marks.find_map(|(at, _)| {
        let (before, behind) = (text.get(..at)?, text.get(at + 1..)?);
        let word = before.rsplit(['.', ';', ',', '(', '\n']).next()?.trim_matches(QUOTES);
        if measure::over_range(word) != Some(OverRange::Above) {
            return None;
        }
        let end = end_told(behind.split(['=', ';', '\n']).next()?)?;
        Some((over_word(word), end))
    })
}

/// The one resistance that a text says to be exceeded.
fn end_told(text: &str) -> Option<measure::Part> {
    let begins =
        |at: usize| text.get(..at).is_some_and(|before| before.is_empty() || before.ends_with([' ', '(', '\u{a0}']));
    let starts = text.char_indices().filter(|(at, c)| !c.is_whitespace() && begins(*at));
    let is_end = |part: &measure::Part| {
        part.bound == Bound::AtLeast && part.units.iter().any(|meaning| meaning.unit.dimension == Dimension::Resistance)
    };
    let mut ends = starts.filter_map(|(at, _)| measure::begin(text.get(at..)?)).map(|(part, _)| part).filter(is_end);
    let first = ends.next()?;
    ends.all(|other| other.numbers == first.numbers && other.unit_text == first.unit_text).then_some(first)
}

/// "kΩ, sonst MΩ": a meaning without what a text says of everything that bears no code.
///
/// ```
/// use windrow_text::explained::before_otherwise;
/// assert_eq!((before_otherwise("kΩ, sonst MΩ"), before_otherwise("kΩ, wet")), ("kΩ", "kΩ, wet"));
/// ```
#[must_use]
pub fn before_otherwise(meaning: &str) -> &str {
    let is_other = |piece: &str| {
        let folded = fold(piece);
        folded.split(' ').find(|word| !word.is_empty()).is_some_and(|word| is_kind(word, "otherwise"))
    };
    let other = meaning.match_indices(',').find(|(at, _)| meaning.get(at + 1..).is_some_and(is_other));
    other.and_then(|(at, _)| meaning.get(..at)).unwrap_or(meaning)
}
