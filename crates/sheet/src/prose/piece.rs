//! A text cut into the pieces that its sentences are made of: values, times, voltages, dates, terminals, words and stops.

use super::{days, number, terminals};
use std::ops::Range;
use windrow_text::circuit::CircuitMeaning;
use windrow_text::date::{self, DateMeaning};
use windrow_text::fold::fold;
use windrow_text::measure::Part;
use windrow_text::said::{self, Said};

/// What ends a clause or a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stop {
    /// `,` or a wide blank.
    Comma,
    /// A wide blank between words.
    Gap,
    /// `:`
    Colon,
    /// `(`
    Open,
    /// `)`
    Close,
    /// `/` between blanks.
    Slash,
    /// `.`, `;`, "stop".
    Full,
    /// End of a line.
    Line,
    /// End of a paragraph.
    Paragraph,
    /// End of a text that has nothing to do with the next one.
    Text,
}

/// What a piece says.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Says {
    /// A number with a unit of resistance.
    Resistance(Part),
    /// A number without a unit.
    Number(Part),
    /// Digits of which nobody can say what they mean: "4/40", "1000-1500", "12?".
    Doubtful,
    /// A time since voltage was applied, s.
    Elapsed(f64),
    /// A voltage, V.
    Volts(f64),
    /// A temperature, °C.
    Celsius(f64),
    /// A number with another unit.
    Other,
    /// A date.
    Date(Vec<DateMeaning>),
    /// A day and month that lack their year.
    DayOfYear(String),
    /// A time of day at the beginning of a line.
    Clock,
    /// Terminals told in words.
    Circuit(Vec<CircuitMeaning>),
    /// One letter or colour that may be a phase.
    Phase(Vec<CircuitMeaning>),
    /// A word, or words of the list together, folded.
    Word(String, &'static [Said]),
    /// A stop.
    Stop(Stop),
}

/// One piece with its place in the text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    pub span: Range<usize>,
    pub says: Says,
}

impl Piece {
    /// Whether the piece is a word that says so.
    pub(super) fn is(&self, said: Said) -> bool {
        matches!(&self.says, Says::Word(_, all) if all.contains(&said))
    }

    /// The folded word, if it is one.
    pub(super) fn word(&self) -> Option<&str> {
        match &self.says {
            Says::Word(word, _) => Some(word),
            _ => None,
        }
    }
}

/// The sign between texts that have nothing to do with each other.
pub(super) const APART: char = '\u{c}';

/// Cuts a text; lines end with `\n`, paragraphs with two.
pub(super) fn pieces(text: &str) -> Vec<Piece> {
    let dates = days::all(text);
    let mut out: Vec<Piece> = Vec::new();
    let mut at = 0;
    while at < text.len() {
        let Some(c) = text.get(at..).and_then(|rest| rest.chars().next()) else { break };
        let (says, length) = if c.is_whitespace() {
            let blanks = blanks(&text[at..]);
            let Some(stop) = gap(&text[at..at + blanks]) else {
                at += blanks;
                continue;
            };
            (Says::Stop(stop), blanks)
        } else {
            match list_mark(&text[at..]).filter(|_| begins_line(out.last())) {
                Some(length) => (Says::Stop(Stop::Full), length),
                None => next(text, at, &dates, out.last()),
            }
        };
        let ends = matches!(
            says,
            Says::Resistance(_) | Says::Elapsed(_) | Says::Volts(_) | Says::Celsius(_) | Says::Other | Says::Number(_)
        );
        // "Nach 1 Min. 310 MOhm": the point is the abbreviation's.
        let goes_on = matches!(says, Says::Elapsed(_))
            && text[at + length..]
                .trim_start_matches(' ')
                .starts_with(|c: char| c.is_ascii_digit() || "<>≥≤~".contains(c));
        out.push(Piece { span: at..at + length, says });
        // The point behind "megohm." was taken for a part of the unit.
        if ends && !goes_on && text[at..at + length].ends_with('.') && ends_sentence(&text[at + length..]) {
            out.push(Piece { span: at + length - 1..at + length, says: Says::Stop(Stop::Full) });
        }
        at += length.max(1);
    }
    out
}

/// Whether the piece behind `last` begins a line.
fn begins_line(last: Option<&Piece>) -> bool {
    last.is_none_or(|piece| matches!(piece.says, Says::Stop(Stop::Line | Stop::Paragraph | Stop::Text)))
}

/// Bytes of the blanks that a text begins with.
pub(super) fn blanks(text: &str) -> usize {
    text.len() - text.trim_start().len()
}

/// What blanks between words stand for, if for anything.
pub(super) fn gap(blanks: &str) -> Option<Stop> {
    if blanks.contains(APART) {
        return Some(Stop::Text);
    }
    match blanks.matches('\n').count() {
        0 => (blanks.chars().count() >= 2).then_some(Stop::Gap),
        1 => Some(Stop::Line),
        _ => Some(Stop::Paragraph),
    }
}

/// Bytes of a mark that begins an item of a list: "a)", "3.", "-", "•", with the blanks behind.
fn list_mark(text: &str) -> Option<usize> {
    let word = text.split_whitespace().next()?;
    let bare = word.trim_end_matches([')', '.', ':']);
    let is_lettered = word.ends_with(')') && bare.chars().count() <= 2 && bare.chars().all(char::is_alphanumeric);
    let is_numbered = word.ends_with('.') && bare.len() <= 2 && bare.bytes().all(|b| b.is_ascii_digit());
    let is_drawn = matches!(word, "-" | "–" | "—" | "•" | "*" | "·");
    // "5. Juni" is a day.
    let goes_on =
        text.get(word.len()..).is_some_and(|rest| blanks(rest) > 0 && gap(&rest[..blanks(rest)]) != Some(Stop::Line));
    let is_day = is_numbered && date::find_all(text.lines().next()?).iter().any(|(range, _)| range.start == 0);
    let is_day =
        is_day || is_numbered && days::year_less(text.lines().next()?).is_some_and(|(range, _)| range.start == 0);
    ((is_lettered || is_numbered || is_drawn) && goes_on && !is_day).then(|| word.len() + blanks(&text[word.len()..]))
}

/// Whether a point before this text ends a sentence.
fn ends_sentence(behind: &str) -> bool {
    let rest = behind.trim_start();
    rest.is_empty()
        || behind.starts_with('\n')
        || behind.starts_with(char::is_whitespace) && rest.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit())
}

/// The piece at `at`, where no blank stands, and its length.
fn next(text: &str, at: usize, dates: &[(Range<usize>, Says)], last: Option<&Piece>) -> (Says, usize) {
    let is_line_start = begins_line(last);
    let is_labelled = last.is_some_and(|piece| matches!(piece.says, Says::Phase(_)));
    let rest = &text[at..];
    if let Some((range, says)) = dates.iter().find(|(range, _)| range.start == at) {
        return (says.clone(), range.len());
    }
    if let Some(found) = punctuation(rest) {
        return found;
    }
    if is_line_start && let Some(length) = clock(rest) {
        return (Says::Clock, length);
    }
    if let Some(length) = a_minute(rest) {
        return (Says::Elapsed(60.0), length);
    }
    if let Some(found) = terminals::at(rest) {
        return found;
    }
    if let Some(found) = number::at(rest, text[..at].chars().next_back(), is_labelled) {
        return found;
    }
    word(rest)
}

fn punctuation(rest: &str) -> Option<(Says, usize)> {
    // Dots that lead from a name to its value.
    let dots = rest.len() - rest.trim_start_matches('.').len();
    if dots >= 2 {
        return Some((Says::Stop(Stop::Gap), dots));
    }
    let c = rest.chars().next()?;
    let behind = &rest[c.len_utf8()..];
    let stop = match c {
        ',' => Stop::Comma,
        ';' => Stop::Full,
        ':' | '=' => Stop::Colon,
        '(' | '[' => Stop::Open,
        ')' | ']' => Stop::Close,
        '/' | '|' => Stop::Slash,
        '–' | '—' => Stop::Comma,
        '-' if behind.starts_with(char::is_whitespace) => Stop::Comma,
        '.' | '!' if ends_sentence(behind) => Stop::Full,
        '@' => return Some((Says::Word("at".to_owned(), said::said("at")), 1)),
        '?' => return Some((Says::Doubtful, 1)),
        '.' | '"' | '\'' | '!' | '“' | '”' | '„' | '*' | '%' => {
            return Some((Says::Word(String::new(), &[Said::Told]), c.len_utf8()));
        }
        _ => return None,
    };
    Some((Says::Stop(stop), c.len_utf8()))
}

/// "A minute", "une minute": bytes of a minute without its figure.
fn a_minute(rest: &str) -> Option<usize> {
    let (one, behind) = rest.split_once(' ')?;
    let is_one = matches!(fold(one).as_str(), "a" | "one" | "eine" | "einer" | "une" | "un");
    let length = behind.find(|c: char| !c.is_alphabetic()).unwrap_or(behind.len());
    let is_minute = matches!(fold(behind.get(..length)?).as_str(), "minute" | "minuto");
    (is_one && is_minute).then(|| one.len() + 1 + length)
}

/// "07:50", "7.50", "0140" before blanks.
fn clock(rest: &str) -> Option<usize> {
    let word = rest.split_whitespace().next()?;
    let bare = word.trim_end_matches(['h', ',', ':']);
    let digits: String = bare.chars().filter(char::is_ascii_digit).collect();
    let marks = bare.len() - digits.len();
    let is_marked =
        marks == 1 && bare.contains([':', '.', 'h']) && (3..=4).contains(&digits.len()) && !bare.ends_with([':', '.']);
    let is_bare = marks == 0 && digits.len() == 4 && rest.get(word.len()..)?.starts_with("  ");
    let value: u32 = digits.parse().ok()?;
    ((is_marked || is_bare) && value / 100 < 24 && value % 100 < 60).then_some(word.len())
}

/// A word, with those behind it where the list knows them together.
fn word(rest: &str) -> (Says, usize) {
    let one = |text: &str| {
        let stop =
            |c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')' | '[' | ']' | '=' | '|' | '"');
        text.find(stop).unwrap_or(text.len())
    };
    let first = one(rest).max(rest.chars().next().map_or(1, char::len_utf8));
    let mut ends = vec![first];
    for _ in 1..said::MOST_WORDS {
        let from = ends.last().copied().unwrap_or(first);
        let tail = &rest[from..];
        let blank = blanks(tail);
        if blank == 0 || gap(&tail[..blank]).is_some_and(|stop| stop != Stop::Line) || blank == tail.len() {
            break;
        }
        ends.push(from + blank + one(&tail[blank..]));
    }
    for end in ends.iter().rev() {
        let text = rest[..*end].trim_end_matches(['.', '!', '?']);
        let all = said::said(&fold(text));
        if !all.is_empty() {
            return finish(rest, text, all);
        }
    }
    let text = rest[..first].trim_end_matches(['.', '!', '?']);
    finish(rest, if text.is_empty() { &rest[..first] } else { text }, &[])
}

/// The word with the point behind it where that ends no sentence.
fn finish(rest: &str, text: &str, all: &'static [Said]) -> (Says, usize) {
    if all.contains(&Said::End) {
        return (Says::Stop(Stop::Full), text.len());
    }
    let is_cut_short = all.contains(&Said::Abbreviation) || text.contains('.') || text.chars().count() == 1;
    let behind = &rest[text.len()..];
    let has_point = behind.starts_with('.') && (is_cut_short || !ends_sentence(&behind[1..]));
    (Says::Word(fold(text), all), text.len() + usize::from(has_point))
}
