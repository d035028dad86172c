//! Reading a format code: its sections, and what the one that applies shows.

/// What a format code shows a number as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A number, perhaps with a unit.
    Number,
    /// A date, with or without a time.
    Date,
    /// A time of day or a duration, without a date.
    Duration,
}

/// What `code` shows `value` as, by the section that applies to it.
///
/// ```
/// use windrow_source::number_format::{Kind, kind};
/// assert_eq!(kind("TT.MM.JJJJ", 31850.0), Kind::Date);
/// assert_eq!(kind("0.0 Mohm", 5.2), Kind::Number);
/// assert_eq!(kind("[h]:mm", 0.5), Kind::Duration);
/// ```
#[must_use]
pub fn kind(code: &str, value: f64) -> Kind {
    let shown = bare(section(code, value));
    if shown.is_number {
        return Kind::Number;
    }
    if shown.elapsed {
        return Kind::Duration;
    }
    date_or_time(&shown.letters)
}

/// The section of `code` that applies to `value`: by its condition (`[>=1000]`) or by the habit of positive; negative; zero.
///
/// ```
/// use windrow_source::number_format::section;
/// let code = "[>=1000]0.0,\"GΩ\";0.0\"MΩ\"";
/// assert_eq!(section(code, 5200.0), "[>=1000]0.0,\"GΩ\"");
/// assert_eq!(section(code, 52.0), "0.0\"MΩ\"");
/// ```
#[must_use]
pub fn section(code: &str, value: f64) -> &str {
    let mut sections = split(code);
    // A fourth section is for texts.
    sections.truncate(3);
    let conditions: Vec<_> = sections.iter().map(|section| condition(section)).collect();
    let conditional = conditions.first().is_some_and(Option::is_some);
    for (index, section) in sections.iter().enumerate() {
        let applies = match (conditions.get(index).copied().flatten(), index) {
            (Some(condition), _) => condition.holds(value),
            (None, 0) => sections.len() == 1 || value > 0.0 || (sections.len() == 2 && value == 0.0),
            (None, 1) => value < 0.0 || (conditional && sections.len() == 2),
            (None, _) => true,
        };
        if applies {
            return section;
        }
    }
    sections.last().copied().unwrap_or(code)
}

/// Splits at semicolons outside quotes, brackets and escapes.
fn split(code: &str) -> Vec<&str> {
    let (mut sections, mut start) = (Vec::new(), 0);
    let mut tokens = Tokens { rest: code };
    while let Some(token) = tokens.next() {
        if token == Token::Plain(';') {
            let end = code.len() - tokens.rest.len();
            sections.push(&code[start..end - 1]);
            start = end;
        }
    }
    sections.push(&code[start..]);
    sections
}

/// A condition in brackets.
#[derive(Debug, Clone, Copy)]
struct Condition<'a> {
    operator: &'a str,
    bound: f64,
}

impl Condition<'_> {
    #[expect(clippy::float_cmp, reason = "the condition asks for the very number")]
    fn holds(self, value: f64) -> bool {
        match self.operator {
            "<" => value < self.bound,
            "<=" => value <= self.bound,
            ">" => value > self.bound,
            ">=" => value >= self.bound,
            "<>" => value != self.bound,
            _ => value == self.bound,
        }
    }
}

fn condition(section: &str) -> Option<Condition<'_>> {
    Tokens { rest: section }.find_map(|token| {
        let Token::Bracket(inside) = token else { return None };
        let digits = inside.trim_start_matches(['<', '>', '=']);
        let operator = inside.get(..inside.len() - digits.len()).filter(|operator| !operator.is_empty())?;
        Some(Condition { operator, bound: digits.trim().parse().ok()? })
    })
}

/// What is left of a section without literals, colours, currencies and conditions.
#[derive(Debug, Default)]
struct Bare {
    /// It shows digits of the number, or the number in general form, or nothing but literals.
    is_number: bool,
    /// A bracketed hour, minute or second.
    elapsed: bool,
    /// Unquoted letters, lower case, runs of one letter set apart by blanks where something stood between.
    letters: String,
}

fn bare(section: &str) -> Bare {
    let mut shown = Bare::default();
    let mut tokens = Tokens { rest: section };
    while let Some(token) = tokens.next() {
        match token {
            Token::Bracket(inside) => shown.elapsed |= is_elapsed(inside),
            Token::Plain('0' | '#' | '?') => shown.is_number = true,
            Token::Plain('.' | ',') if shown.letters.ends_with('s') => {
                // Fractions of seconds: `ss.00`.
                tokens.rest = tokens.rest.trim_start_matches('0');
                shown.letters.push(' ');
            }
            Token::Plain(letter) if letter.is_alphabetic() => shown.letters.extend(letter.to_lowercase()),
            Token::Plain(':') => shown.letters.push(':'),
            Token::Plain(_) | Token::Literal => shown.letters.push(' '),
        }
    }
    let letters = shown.letters.replace("am pm", "").replace("a p", "");
    shown.is_number |= letters.contains("general") || letters.contains("standard");
    shown.letters = letters;
    shown
}

fn is_elapsed(inside: &str) -> bool {
    let mut letters = inside.chars().map(|c| c.to_ascii_lowercase());
    let Some(first) = letters.next() else { return false };
    matches!(first, 'h' | 'm' | 's') && letters.all(|c| c == first)
}

/// Judges the letters of a section without digit placeholders. Besides English letters, those of German (T, J), French (j, a)
/// and Spanish (a) codes occur, where a writer stored the code as its user saw it.
fn date_or_time(letters: &str) -> Kind {
    if letters.chars().any(|c| c.is_alphabetic() && !"ymdhstjaegb".contains(c)) {
        return Kind::Number;
    }
    let runs: Vec<&str> = letters.split([' ', ':']).flat_map(letter_runs).collect();
    let has = |wanted: &str| runs.iter().any(|run| run.starts_with(|c| wanted.contains(c)));
    let named = runs.iter().any(|run| run.len() >= 3 && run.starts_with(['m', 'd', 't', 'j']));
    let months = has("m");
    let is_time = (has("h") || has("s")) && (letters.contains(':') || has("m")) || letters.contains("h ");
    if has("ye") || named || (months && (has("dja") || (has("t") && !is_time))) {
        Kind::Date
    } else if is_time {
        Kind::Duration
    } else {
        Kind::Number
    }
}

/// Runs of one letter in a word.
fn letter_runs(word: &str) -> impl Iterator<Item = &str> {
    let mut rest = word;
    std::iter::from_fn(move || {
        let first = rest.chars().next()?;
        let tail = rest.trim_start_matches(first);
        let run = &rest[..rest.len() - tail.len()];
        rest = tail;
        Some(run)
    })
}

/// A piece of a format code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Token<'a> {
    /// Quoted or escaped text, a space of some width, a fill.
    Literal,
    /// What stands in brackets.
    Bracket(&'a str),
    /// Any other character.
    Plain(char),
}

#[derive(Debug)]
struct Tokens<'a> {
    rest: &'a str,
}

impl<'a> Iterator for Tokens<'a> {
    type Item = Token<'a>;

    fn next(&mut self) -> Option<Token<'a>> {
        let mut chars = self.rest.chars();
        let first = chars.next()?;
        let after = chars.as_str();
        let (token, rest) = match first {
            '"' => (Token::Literal, after.split_once('"').map_or("", |(_, rest)| rest)),
            '[' if after.contains(']') => {
                let (inside, rest) = after.split_once(']').unwrap_or((after, ""));
                (Token::Bracket(inside), rest)
            }
            '\\' | '_' | '*' => {
                chars.next();
                (Token::Literal, chars.as_str())
            }
            other => (Token::Plain(other), after),
        };
        self.rest = rest;
        Some(token)
    }
}
