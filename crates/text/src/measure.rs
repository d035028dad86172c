//! A value as written in a cell: bound, number, unit, conditions, remark.

mod condition;
mod scan;
#[cfg(test)]
mod tests;

pub use condition::Condition;

use crate::fold::fold;
use crate::marks::is_kind;
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
    /// Label directly before the number inside the cell (`"A 850 / B 900"`); empty if none.
    pub label: String,
    /// Conditions told after the number: `"at 1 min"`, `"@ 22 °C"`, `"at 500 V"`.
    pub conditions: Vec<Condition>,
}

/// A cell's text read as one or more values.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// The values in order (`"450/470/465 MΩ"` has three, sharing the trailing unit).
    pub parts: Vec<Part>,
    /// Whether the parts are the ends of one range (`"1000-1500"`).
    pub range: bool,
    /// Question marks, letters among digits, "illegible": which digits were meant is unsure.
    pub doubtful: bool,
    /// A footnote sign after the value (`*`, `(1)`), if any.
    pub footnote: Option<String>,
    /// Words after the value (`"550 wet"` gives `"wet"`), if any.
    pub remark: Option<String>,
}

/// Longest text that can be a measure, in bytes.
const LONGEST: usize = 96;
/// Below this three whole numbers may count anything: "1, 2, 3".
const COUNTS: f64 = 32.0;

/// Reads all of `text` as a measure, if it is one. `None` for words, tags, dates, serials.
///
/// ```
/// use windrow_text::measure::read;
/// let measure = read(">2000 MΩ").expect("a measure");
/// assert_eq!(measure.parts[0].numbers[0].value, 2000.0);
/// assert_eq!(measure.parts[0].bound, windrow_model::Bound::AtLeast);
/// ```
#[must_use]
pub fn read(text: &str) -> Option<Measure> {
    let text = text.trim();
    if text.is_empty()
        || text.len() > LONGEST
        || !text.chars().any(|c| c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾'))
    {
        return None;
    }
    // A date with two marks would pass as several values; one with a single point ("11.82") is a number first.
    let marks = text.matches(['/', '.', '-']).count();
    if marks >= 2
        && (crate::date::read(text).iter().any(|meaning| !meaning.bare_number) || crate::date::impossible(text))
    {
        return None;
    }
    if let Some(doubtful) = scan::doubtful(text) {
        return Some(doubtful);
    }
    if are_points_between_numbers(text) {
        return range(text);
    }
    if let Some(one) = scan::one(text) {
        return Some(one);
    }
    judged(text).or_else(|| several(text)).or_else(|| alternatives(text))
}

/// "100 or 160 MΩ": one of two values, and nothing says which.
fn alternatives(text: &str) -> Option<Measure> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let at = words.iter().position(|word| is_kind(&fold(word), "or"))?;
    let (first, second) = (scan::one(&words.get(..at)?.join(" "))?, scan::one(&words.get(at + 1..)?.join(" "))?);
    let measure = joined(vec![first, second], " or ")?;
    let parts = measure.parts.into_iter().take(1).collect();
    Some(Measure { parts, doubtful: true, ..measure })
}

/// "good, 380 MΩ", "o.k. > 1 GΩ": a word of judgement before a resistance, which is its remark. Without a unit the number may count anything.
fn judged(text: &str) -> Option<Measure> {
    let at = text.find(|c: char| c.is_ascii_digit() || matches!(c, '>' | '<' | '≥' | '≤' | '~'))?;
    let (before, value) = (text.get(..at)?, text.get(at..)?);
    let word = before.trim_end_matches([' ', ',', ':', ';', '-', '–']);
    if word.len() == before.len() {
        return None;
    }
    let folded = fold(word);
    if !["pass", "fail", "marginal", "judged"].iter().any(|kind| is_kind(&folded, kind)) {
        return None;
    }
    let mut measure = scan::one(value)?;
    let is_resistance = |meaning: &UnitMeaning| meaning.unit.dimension == windrow_model::Dimension::Resistance;
    if !measure.parts.iter().all(|part| part.units.iter().any(is_resistance)) {
        return None;
    }
    measure.remark = Some(measure.remark.map_or_else(|| word.to_owned(), |behind| format!("{word}; {behind}")));
    Some(measure)
}

/// "669...1000 MΩ": what stands behind the points is a number, and no factor of the unit.
fn are_points_between_numbers(text: &str) -> bool {
    ["..", "…"].iter().filter_map(|points| text.split_once(points)).any(|(low, high)| {
        let behind = high.trim_start_matches(['.', '…', ' ']);
        low.trim_end().ends_with(|c: char| c.is_ascii_digit()) && behind.starts_with(|c: char| c.is_ascii_digit())
    })
}

/// One number with its unit, and nothing else.
pub(crate) fn number_with_unit(text: &str) -> Option<Part> {
    scan::number_and_unit(text)
}

/// The value that a text begins with ("over 500 megohm, 1 kV"), with its bound and unit, and the bytes up to where it ends; without the
/// blanks behind it. `None` where the text does not begin with a number, or with words for a bound and a number.
///
/// ```
/// let (part, length) = windrow_text::measure::begin("340 MEG AT 1 MIN").expect("a value");
/// assert_eq!((part.numbers[0].value, part.unit_text.as_str(), length), (340.0, "MEG", 7));
/// ```
#[must_use]
pub fn begin(text: &str) -> Option<(Part, usize)> {
    scan::begin(text)
}

/// Two or more values in one cell, or the ends of a range.
fn several(text: &str) -> Option<Measure> {
    for separator in ["/", ";", "|", " and ", " und ", " et ", " y "] {
        let pieces: Vec<&str> = text.split(separator).map(str::trim).collect();
        if (2..=4).contains(&pieces.len()) && pieces.iter().all(|piece| !piece.is_empty()) {
            let read: Option<Vec<Measure>> =
                pieces.iter().map(|piece| scan::one(piece).or_else(|| scan::labelled(piece))).collect();
            if let Some(measures) = read {
                return joined(measures, separator);
            }
        }
    }
    three(text).or_else(|| range(text)).or_else(|| scan::labelled_run(text))
}

/// "158 - 145 - 142", "158, 145, 142" or a line each: three values, as of three phases. Two would be a range, and small whole numbers count
/// something.
fn three(text: &str) -> Option<Measure> {
    [" - ", " – ", ", ", "\n"].into_iter().find_map(|separator| {
        let pieces: Vec<&str> = text.split(separator).map(str::trim).collect();
        let measures: Option<Vec<Measure>> = pieces.iter().map(|piece| scan::one(piece)).collect();
        let measures = measures.filter(|measures| measures.len() == 3)?;
        let counts = |measure: &Measure| {
            let part = &measure.parts[0];
            part.units.is_empty() && part.numbers[0].decimals == 0 && part.numbers[0].value < COUNTS
        };
        if measures.iter().all(counts) { None } else { joined(measures, separator) }
    })
}

/// Joins pieces; a unit told once at the end serves all.
fn joined(measures: Vec<Measure>, separator: &str) -> Option<Measure> {
    // "14/3" or "1/2" is a date or a fraction, not two readings.
    let small =
        measures.iter().all(|measure| measure.parts[0].numbers[0].value < 32.0 && measure.parts[0].units.is_empty());
    if separator == "/"
        && measures.len() == 2
        && small
        && measures.iter().all(|measure| measure.parts[0].label.is_empty())
    {
        return None;
    }
    let footnote = measures.iter().find_map(|measure| measure.footnote.clone());
    let remarks: Vec<String> = measures.iter().filter_map(|measure| measure.remark.clone()).collect();
    let mut parts: Vec<Part> = measures.into_iter().flat_map(|measure| measure.parts).collect();
    if let Some((last, rest)) = parts.split_last_mut() {
        for part in rest.iter_mut().filter(|part| part.units.is_empty()) {
            part.units.clone_from(&last.units);
            part.unit_text.clone_from(&last.unit_text);
        }
    }
    let remark = (!remarks.is_empty()).then(|| remarks.join("; "));
    Some(Measure { parts, range: false, doubtful: false, footnote, remark })
}

/// `1000-1500`, `1000..1500`, `1000 to 1500`: the ends of one range, the lower first.
fn range(text: &str) -> Option<Measure> {
    for separator in ["...", "…", "..", " to ", " bis ", " - ", "–", "-"] {
        if let Some((low, high)) = text.split_once(separator) {
            let (low, high) = (scan::one(low)?, scan::one(high)?);
            let (first, last) = (low.parts[0].numbers[0].value, high.parts[0].numbers[0].value);
            let plausible = first < last && last < first * 100.0;
            if !plausible {
                return None;
            }
            let mut measure = joined(vec![low, high], separator)?;
            measure.range = true;
            return Some(measure);
        }
    }
    None
}

/// Whether `text` says over or under range without a number.
#[must_use]
pub fn over_range(text: &str) -> Option<OverRange> {
    let text = text.trim();
    if text.is_empty() || text.len() > 32 {
        return None;
    }
    let signs = text.trim_start_matches(['>', ' ']);
    if matches!(signs, "∞" | "++" | "+++" | "oo") {
        return Some(OverRange::Above);
    }
    let folded = fold(signs);
    // "Öl" is oil.
    if folded == "ol" && signs.contains(['ö', 'Ö']) {
        return None;
    }
    if is_kind(&folded, "above") {
        return Some(OverRange::Above);
    }
    is_kind(&folded, "below").then_some(OverRange::Below)
}
