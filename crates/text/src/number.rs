//! Numbers as people write them; the decimal mark is a question, not a guess.

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

/// Every way to read all of `text` as one number; empty if it is none, one meaning if it is unambiguous, two for texts such
/// as `"1,130"` (1.13 or 1130). Fractions (`½`, `3 1/2`), powers (`1.5E3`, `1.5 x 10^3`), signs and blanks are understood; a
/// letter O or l inside digits is not (that is a doubtful number: see [`crate::measure::Measure::doubtful`]).
#[must_use]
pub fn read(text: &str) -> Vec<NumberMeaning> {
    let _ = text;
    Vec::new()
}
