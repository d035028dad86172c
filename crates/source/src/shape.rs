//! What kind of thing a piece of text looks like, without understanding it: enough to tell a table from prose.
//!
//! Readers of unmarked text (delimited, fixed width) judge a way of cutting by what comes out: cuts that give numbers, dates and
//! codes are right more often than cuts that give halves of sentences.

/// Kind of a text by its looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shape {
    /// Nothing but blanks.
    Blank,
    /// A number, with a bound sign before it or a unit or footnote sign after it.
    Number,
    /// A date or time of day.
    Date,
    /// A word with digits in it: a tag, a serial number.
    Code,
    /// A ditto mark, dash, tick or other sign without letters and digits.
    Sign,
    /// A label or a few words.
    Words,
    /// A sentence or a part of one.
    Prose,
}

impl Shape {
    /// Whether it is what tables hold and prose seldom does.
    #[must_use]
    pub const fn is_typed(self) -> bool {
        matches!(self, Self::Number | Self::Date | Self::Code | Self::Sign)
    }
}

/// Whether wide blanks set the fields of most lines apart, and the commas stand between digits: decimal marks, no delimiters.
#[must_use]
pub fn commas_are_decimal(text: &str) -> bool {
    let lines: Vec<&str> = text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let spaced = lines.iter().filter(|line| line.contains("  ")).count();
    // "Messspannung, V": the comma of a sentence delimits nothing.
    let commas = text.as_bytes().windows(2).filter(|two| two[0] == b',' && !two[1].is_ascii_whitespace()).count();
    let between = text
        .as_bytes()
        .windows(3)
        .filter(|three| matches!(three, [before, b',', after] if before.is_ascii_digit() && after.is_ascii_digit()));
    spaced * 2 >= lines.len() && between.count() * 10 >= commas * 9
}

/// Words beyond which a text is prose.
const LABEL_WORDS: usize = 6;

/// The shape of `text`.
///
/// ```
/// use windrow_source::shape::{Shape, of};
/// assert_eq!(of("> 2 000 MΩ"), Shape::Number);
/// assert_eq!(of("14-MAR-1987"), Shape::Date);
/// assert_eq!(of("RM-3B"), Shape::Code);
/// assert_eq!(of("Test voltage"), Shape::Words);
/// assert_eq!(of("please return the book by the end of next week"), Shape::Prose);
/// ```
#[must_use]
pub fn of(text: &str) -> Shape {
    let text = text.trim();
    if text.is_empty() {
        Shape::Blank
    } else if !text.contains(char::is_alphanumeric) {
        Shape::Sign
    } else if is_date(text) {
        Shape::Date
    } else if is_number(text) {
        Shape::Number
    } else {
        wordy(text)
    }
}

fn wordy(text: &str) -> Shape {
    let words = text.split_whitespace().count();
    let has_digit = text.contains(|c: char| c.is_ascii_digit());
    match words {
        1 if has_digit => Shape::Code,
        0..=LABEL_WORDS => Shape::Words,
        _ => Shape::Prose,
    }
}

fn is_number(text: &str) -> bool {
    let rest = text.trim_start_matches(['<', '>', '~', '≥', '≤', '=', '±', '+', '-', '−', ' ', '$']);
    let is_digit_mark = |c: char| matches!(c, '.' | ',' | '\'' | '’' | ' ' | '\u{A0}' | '\u{202F}');
    if !rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',')) {
        return false;
    }
    let unit = rest.trim_start_matches(|c: char| c.is_ascii_digit() || is_digit_mark(c));
    let digits = rest.len() - unit.len();
    let has_digit = rest.get(..digits).is_some_and(|part| part.contains(|c: char| c.is_ascii_digit()));
    let unit_letters = unit.chars().filter(|c| !c.is_whitespace()).count();
    let exponent = unit.trim_start_matches(['e', 'E', '+', '-']);
    let is_exponent =
        exponent.len() < unit.len() && !exponent.is_empty() && exponent.chars().all(|c| c.is_ascii_digit());
    has_digit && (is_exponent || (unit_letters <= 8 && !unit.contains(|c: char| c.is_ascii_digit())))
}

/// Two or three groups of digits (one may be the name of a month) joined by the same mark, or a time of day.
fn is_date(text: &str) -> bool {
    let day = text.split(['T', ' ']).next().unwrap_or_default();
    ['-', '/', '.', ':'].iter().any(|mark| is_date_by(day, *mark)) || is_spoken_date(text)
}

fn is_date_by(text: &str, mark: char) -> bool {
    let groups: Vec<&str> = text.split(mark).collect();
    let digits = groups.iter().filter(|group| is_day_or_year(group)).count();
    let months = groups.iter().filter(|group| is_month(group)).count();
    match groups.len() {
        3 => digits + months == 3 && months <= 1,
        2 => (months == 1 && digits == 1) || (digits == 2 && matches!(mark, '/' | ':')),
        _ => false,
    }
}

/// `14 March 1987`, `März 1988`, `14. Mai 87`.
fn is_spoken_date(text: &str) -> bool {
    let words: Vec<&str> = text.split_whitespace().map(|word| word.trim_end_matches(['.', ','])).collect();
    let months = words.iter().filter(|word| is_month(word)).count();
    let digits = words.iter().filter(|word| is_day_or_year(word)).count();
    months == 1 && digits >= 1 && months + digits == words.len()
}

fn is_day_or_year(group: &str) -> bool {
    matches!(group.len(), 1 | 2 | 4) && group.bytes().all(|byte| byte.is_ascii_digit())
}

/// Beginnings of the names of months in English, German, French and Spanish.
const MONTHS: [&str; 25] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "mär", "mai", "okt", "dez",
    "fév", "fev", "avr", "aoû", "aou", "déc", "ene", "abr", "ago",
];

fn is_month(word: &str) -> bool {
    let word = word.to_lowercase();
    let letters = word.trim_end_matches('.');
    letters.chars().all(char::is_alphabetic)
        && (3..=10).contains(&letters.chars().count())
        && (MONTHS.iter().any(|month| letters.starts_with(month)) || letters.starts_with("juil") || letters == "dic")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_with_bounds_and_units_are_numbers() {
        for text in [
            "5", "-5.2", "1.234,5", "1 234", ">2000", "2000+", "12 µA", "48.973,4", "1.5E+09", "850*", "5,5 MOhm",
            "60%",
        ] {
            assert_eq!(of(text), Shape::Number, "{text}");
        }
    }

    #[test]
    fn dates_and_times_are_dates() {
        for text in
            ["23.03.2001", "2008-02-25", "18-JAN-1982", "Mar-87", "3/87", "14. Mai 87", "2012-01-22T09:30:00", "10:15"]
        {
            assert_eq!(of(text), Shape::Date, "{text}");
        }
    }

    #[test]
    fn tags_signs_and_words_are_told_apart() {
        assert_eq!(of("LBM-C-51"), Shape::Code);
        assert_eq!(of("\""), Shape::Sign);
        assert_eq!(of("--"), Shape::Sign);
        assert_eq!(of("market"), Shape::Words);
        assert_eq!(of("  "), Shape::Blank);
    }
}
