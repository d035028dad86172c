//! Numbers as people write them; the decimal mark is a question, not a guess.

mod grouping;
#[cfg(test)]
mod tests;

/// A mark between digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mark {
    /// `.`
    Point,
    /// `,`
    Comma,
    /// Blank, no-break blank, thin blank.
    Blank,
    /// `'` or `’`
    Apostrophe,
}

impl Mark {
    /// The mark that `c` is between digits. A raised point is an old way to write the decimal point.
    #[must_use]
    pub const fn from_char(c: char) -> Option<Self> {
        match c {
            '.' | '·' => Some(Self::Point),
            ',' => Some(Self::Comma),
            ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}' | '\u{2007}' => Some(Self::Blank),
            '\'' | '’' => Some(Self::Apostrophe),
            _ => None,
        }
    }
}

/// One way to read a text as a number.
#[derive(Debug, Clone, PartialEq)]
pub struct NumberMeaning {
    /// The number.
    pub value: f64,
    /// The mark taken as decimal, if one was.
    pub decimal: Option<Mark>,
    /// The mark taken as thousands, if one was.
    pub thousands: Option<Mark>,
    /// Digits after the decimal mark: stated precision.
    pub decimals: u8,
}

/// Longest text read as a number; longer digit strings are identifiers.
const LONGEST: usize = 32;

/// Every way to read all of `text` as one number; empty if it is none, one meaning if it is unambiguous, two for texts such
/// as `"1,130"` (1.13 or 1130). Fractions (`½`, `3 1/2`), powers (`1.5E3`, `1.5 x 10^3`), signs and blanks are understood; a
/// letter O or l inside digits is not (that is a doubtful number: see [`crate::measure::Measure::doubtful`]).
///
/// A sign `+` behind the digits is no part of a number: it is a bound (`"2000+"`).
///
/// ```
/// use windrow_text::number::read;
/// let values = |text| read(text).iter().map(|meaning| meaning.value).collect::<Vec<_>>();
/// assert_eq!(values("1,130"), [1.13, 1130.0]);
/// assert_eq!(values("1.234,5"), [1234.5]);
/// assert!(values("P-101").is_empty());
/// ```
#[must_use]
pub fn read(text: &str) -> Vec<NumberMeaning> {
    let text = text.trim();
    let Some(first) = text.chars().next() else { return Vec::new() };
    if text.len() > LONGEST || !starts_number(first) {
        return Vec::new();
    }
    // An apostrophe in front marks "text" in spreadsheets of every age.
    let text = text.strip_prefix('\'').unwrap_or(text);
    let (negative, body) = take_sign(text);
    let mut meanings = unsigned(body);
    if negative {
        for meaning in &mut meanings {
            meaning.value = -meaning.value;
        }
    }
    meanings
}

/// Whether a number can begin with `c`: the cheap reject.
fn starts_number(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '+' | '-' | '−' | '–' | '.' | ',' | '·' | '\'' | '½' | '¼' | '¾')
}

/// Sign in front or (minus only) behind, and the rest.
fn take_sign(text: &str) -> (bool, &str) {
    const MINUS: [char; 3] = ['-', '−', '–'];
    if let Some(rest) = text.strip_prefix('+') {
        return (false, rest.trim_start());
    }
    if let Some(rest) = text.strip_prefix(MINUS) {
        return (true, rest.trim_start());
    }
    match text.strip_suffix(MINUS) {
        Some(rest) => (true, rest.trim_end()),
        None => (false, text),
    }
}

fn unsigned(body: &str) -> Vec<NumberMeaning> {
    if body.bytes().all(|b| b.is_ascii_digit()) {
        return plain(body).into_iter().collect();
    }
    if let Some(value) = fraction(body) {
        return vec![NumberMeaning { value, decimal: None, thousands: None, decimals: 0 }];
    }
    match split_power(body) {
        Some((mantissa, power)) => grouping::meanings(mantissa, power),
        None => grouping::meanings(body, 0),
    }
}

fn plain(digits: &str) -> Option<NumberMeaning> {
    let value = digits.parse().ok()?;
    Some(NumberMeaning { value, decimal: None, thousands: None, decimals: 0 })
}

/// `½`, `3½`, `3 1/2`, `1/2`. Only the denominators of rulers and dials: `3/14` is no number.
fn fraction(body: &str) -> Option<f64> {
    if let Some((whole, part)) =
        [('½', 0.5), ('¼', 0.25), ('¾', 0.75)].iter().find_map(|(sign, part)| Some((body.strip_suffix(*sign)?, *part)))
    {
        let whole = whole.trim_end();
        return if whole.is_empty() { Some(part) } else { small_integer(whole).map(|number| number + part) };
    }
    let (front, denominator) = body.split_once('/')?;
    let denominator = small_integer(denominator.trim())?;
    if ![2.0, 3.0, 4.0, 8.0, 10.0, 16.0, 32.0, 64.0].contains(&denominator) {
        return None;
    }
    let (whole, numerator) = front.trim_end().rsplit_once([' ', '-']).unwrap_or(("0", front));
    let (whole, numerator) = (small_integer(whole.trim())?, small_integer(numerator.trim())?);
    (numerator > 0.0 && numerator < denominator).then_some(whole + numerator / denominator)
}

fn small_integer(text: &str) -> Option<f64> {
    let short = (1..=4).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if short { text.parse().ok() } else { None }
}

/// Mantissa and power of ten of `1.5E3`, `1.5e+03`, `1.5 x 10^3`, `1.5*10³`, `10^6`.
fn split_power(body: &str) -> Option<(&str, i16)> {
    if let Some(at) = body.find(['e', 'E']) {
        let (mantissa, exponent) = (body.get(..at)?, body.get(at + 1..)?);
        return Some((mantissa.trim_end(), exponent_value(exponent)?)).filter(|(mantissa, _)| !mantissa.is_empty());
    }
    let (front, exponent) = match body.find('^') {
        Some(at) => (body.get(..at)?.trim_end(), exponent_value(body.get(at + 1..)?.trim_start())?),
        None => raised(body)?,
    };
    let front = front.strip_suffix("10")?.trim_end();
    if front.is_empty() {
        return Some(("1", exponent));
    }
    front.strip_suffix(['x', 'X', '×', '*', '·']).map(|mantissa| (mantissa.trim_end(), exponent))
}

fn exponent_value(text: &str) -> Option<i16> {
    let digits = text.strip_prefix(['+', '-', '−']).unwrap_or(text);
    let short = (1..=3).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    let value: i16 = if short { digits.parse().ok()? } else { return None };
    Some(if text.starts_with(['-', '−']) { -value } else { value })
}

/// Text before raised digits at the end, and the power they tell.
fn raised(body: &str) -> Option<(&str, i16)> {
    const RAISED: &str = "⁰¹²³⁴⁵⁶⁷⁸⁹";
    let front = body.trim_end_matches(|c| c == '⁻' || RAISED.contains(c));
    let power = body.get(front.len()..)?;
    let digits: String =
        power.chars().filter_map(|c| RAISED.chars().position(|r| r == c)).map(|digit| digit.to_string()).collect();
    let value = exponent_value(&digits)?;
    Some((front, if power.starts_with('⁻') { -value } else { value }))
}
