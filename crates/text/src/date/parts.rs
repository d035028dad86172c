//! Cutting a text into the parts of a date.

use super::Digits;
use crate::data;
use crate::fold::fold;
use std::collections::HashMap;
use std::sync::LazyLock;

/// A part of a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token {
    Number(Digits),
    /// `'87`
    ShortYear(Digits),
    Month(i8),
    Quarter(i8),
    Season,
}

const MONTHS: &str = include_str!("../../data/months.csv");

static MONTH_OF: LazyLock<HashMap<&'static str, i8>> =
    LazyLock::new(|| data::rows::<2>(MONTHS).filter_map(|[month, word]| Some((word, month.parse().ok()?))).collect());

const ROMAN: [&str; 12] = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"];
const WEEKDAYS: &[&str] = &[
    "mon",
    "monday",
    "tue",
    "tues",
    "tuesday",
    "wed",
    "wednesday",
    "thu",
    "thur",
    "thurs",
    "thursday",
    "fri",
    "friday",
    "sat",
    "saturday",
    "sun",
    "sunday",
    "montag",
    "dienstag",
    "mittwoch",
    "donnerstag",
    "freitag",
    "samstag",
    "sonnabend",
    "sonntag",
    "mo",
    "di",
    "mi",
    "do",
    "fr",
    "sa",
    "so",
    "lundi",
    "mardi",
    "mercredi",
    "jeudi",
    "vendredi",
    "samedi",
    "dimanche",
    "lunes",
    "martes",
    "miercoles",
    "jueves",
    "viernes",
    "sabado",
    "domingo",
];
const SEASONS: &[&str] = &[
    "spring",
    "summer",
    "autumn",
    "fall",
    "winter",
    "fruhjahr",
    "fruhling",
    "sommer",
    "herbst",
    "printemps",
    "ete",
    "automne",
    "hiver",
    "primavera",
    "verano",
    "otono",
    "invierno",
];
const QUARTERS: &[&str] = &["q", "quarter", "qtr", "quartal", "trimestre", "trim"];
const FILLERS: &[&str] = &["de", "del", "of", "the", "den", "le", "el", "am", "vom", "du"];

/// Parts of `text`, in order; `None` if it holds anything that no date does.
pub(super) fn tokens(text: &str) -> Option<Vec<Token>> {
    let text = without_time(text);
    let pieces = pieces(text);
    let mut tokens = Vec::with_capacity(3);
    let mut quarter_next = false;
    for (index, piece) in pieces.iter().enumerate() {
        let folded = fold(piece.text);
        match piece.kind {
            Kind::Digits => {
                let digits = Digits { value: piece.text.parse().ok()?, count: u8::try_from(piece.text.len()).ok()? };
                if quarter_next && digits.count == 1 {
                    tokens.push(Token::Quarter(i8::try_from(digits.value).ok()?));
                    quarter_next = false;
                } else if piece.after_apostrophe {
                    tokens.push(Token::ShortYear(digits).into_year()?);
                } else {
                    tokens.push(Token::Number(digits));
                }
            }
            Kind::Letters => {
                let is_ordinal = piece.glued
                    && matches!(folded.as_str(), "st" | "nd" | "rd" | "th" | "er" | "ere" | "eme" | "o" | "a");
                let before =
                    index.checked_sub(1).and_then(|before| tokens.get(before.min(tokens.len().wrapping_sub(1))));
                if is_ordinal || FILLERS.contains(&folded.as_str()) && index > 0 {
                    continue;
                }
                if let Some(month) = MONTH_OF.get(folded.as_str()) {
                    tokens.push(Token::Month(*month));
                } else if let Some(month) =
                    ROMAN.iter().position(|roman| *roman == piece.text).filter(|_| before.is_some())
                {
                    tokens.push(Token::Month(i8::try_from(month).ok()? + 1));
                } else if QUARTERS.contains(&folded.as_str()) {
                    // "1. Quartal" has the number before it, "Q1" after it.
                    if let Some(Token::Number(digits)) = tokens.last().copied().filter(|_| folded != "q") {
                        tokens.pop();
                        tokens.push(Token::Quarter(i8::try_from(digits.value).ok()?));
                    } else {
                        quarter_next = true;
                    }
                } else if SEASONS.contains(&folded.as_str()) {
                    tokens.push(Token::Season);
                } else if !(WEEKDAYS.contains(&folded.as_str()) && tokens.is_empty()) {
                    return None;
                }
            }
            Kind::Other => return None,
        }
    }
    (!quarter_next && !tokens.is_empty() && tokens.len() <= 3).then_some(tokens)
}

impl Token {
    /// Only two digits follow an apostrophe.
    fn into_year(self) -> Option<Self> {
        match self {
            Self::ShortYear(digits) if digits.count == 2 => Some(self),
            _ => None,
        }
    }
}

/// Cuts a time of day off an ISO or clock form: records have no zone, and a test takes minutes.
fn without_time(text: &str) -> &str {
    let cut = text.find(['T', ' ']).filter(|at| {
        let rest = &text[at + 1..];
        let clock = rest.as_bytes();
        clock.first().is_some_and(u8::is_ascii_digit) && rest.chars().take(3).any(|c| c == ':')
    });
    cut.map_or(text, |at| &text[..at])
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Digits,
    Letters,
    Other,
}

struct Piece<'a> {
    text: &'a str,
    kind: Kind,
    after_apostrophe: bool,
    /// Whether it follows the piece before without anything between.
    glued: bool,
}

/// Runs of digits and of letters; separators of dates are dropped, anything else is kept as an obstacle.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    let kind_of = |c: char| match c {
        c if c.is_ascii_digit() => Some(Kind::Digits),
        c if c.is_alphabetic() => Some(Kind::Letters),
        ' ' | '\u{a0}' | '.' | '-' | '/' | ',' | '\'' | '’' | '–' | '_' => None,
        _ => Some(Kind::Other),
    };
    let mut pieces: Vec<Piece<'_>> = Vec::new();
    let mut chars = text.char_indices().peekable();
    let mut previous: Option<char> = None;
    while let Some((start, c)) = chars.next() {
        if let Some(kind) = kind_of(c) {
            let mut end = start + c.len_utf8();
            while let Some((at, next)) = chars.peek().copied().filter(|(_, next)| kind_of(*next) == Some(kind)) {
                end = at + next.len_utf8();
                chars.next();
            }
            let after_apostrophe = previous.is_some_and(|c| matches!(c, '\'' | '’'));
            let glued = previous.is_some_and(|c| kind_of(c).is_some());
            pieces.push(Piece { text: &text[start..end], kind, after_apostrophe, glued });
            previous = text[..end].chars().next_back();
        } else {
            previous = Some(c);
        }
    }
    pieces
}
