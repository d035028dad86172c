//! A value as written in a cell: bound, number, unit, remark.

use crate::number::NumberMeaning;
use crate::unit::UnitMeaning;
use windrow_model::Bound;

/// Why a cell has no usable number though it stands where one is expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OverRange {
    /// `OL`, `∞`, `INF`, `off scale`: above the instrument's range; the ceiling is not told here.
    Above,
    /// `LO`, `short`, `grounded`: below its range.
    Below,
}

/// One number within a text, with all that surrounds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Ways to read the number; never empty.
    pub numbers: Vec<NumberMeaning>,
    /// `>`, `2000+`, `over 2000`, `plus de 2000` give `AtLeast`.
    pub bound: Bound,
    /// Units written at the number, best first; empty if none.
    pub units: Vec<UnitMeaning>,
    /// The unit as written; empty if none.
    pub unit_text: String,
    /// `~`, `ca.`, `abt`, `env.`
    pub approximate: bool,
    /// Label directly before the number inside the cell (`"A 850 / B 900"`, `"1 min: 620"`); empty if none.
    pub label: String,
}

/// A cell's text read as one or more values.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// The values in order (`"450/470/465 MΩ"` has three, sharing the trailing unit).
    pub parts: Vec<Part>,
    /// Whether the parts are the ends of one range (`"1000-1500"`, `"200±10"`).
    pub range: bool,
    /// Question marks, letters among digits, "illegible": which digits were meant is unsure.
    pub doubtful: bool,
    /// A footnote sign after the value (`*`, `(1)`, `a`), if any.
    pub footnote: Option<String>,
    /// Words after the value (`"550 wet"` gives `"wet"`), if any.
    pub remark: Option<String>,
}

/// Reads all of `text` as a measure, if it is one. `None` for words, tags, dates, serials.
#[must_use]
pub fn read(text: &str) -> Option<Measure> {
    let _ = text;
    None
}

/// Whether `text` says over or under range without a number.
#[must_use]
pub fn over_range(text: &str) -> Option<OverRange> {
    let _ = text;
    None
}
