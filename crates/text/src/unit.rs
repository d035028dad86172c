//! Spellings of units, damaged ones included.

pub(crate) mod scale;
#[cfg(test)]
mod tests;

pub use scale::power_of_ten;

use crate::data;
use crate::fold::{mend, one_form};
use std::cmp::Ordering;
use std::collections::HashMap;
use std::sync::LazyLock;
use windrow_model::{Dimension, Unit};

/// One unit that a spelling could mean.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitMeaning {
    /// The unit.
    pub unit: Unit,
    /// How sure the spelling alone makes it, 0 to 1 (`MΩ` 1.0; `MW` for megohm 0.4 beside megawatt 0.6; `K` for kilohm 0.3).
    pub weight: f32,
    /// Whether the spelling is damaged or colloquial (`M?`, `MEGS`, `kW` for kilohm).
    pub colloquial: bool,
}

/// Longest spelling of a unit, in bytes and without blanks.
const LONGEST: usize = 32;

/// Every unit that all of `text` could mean, best first; `dimension` keeps only units of that dimension, in whose light
/// ambiguous spellings are then weighed (`mohm` as insulation is megohm, as winding resistance milliohm: both are returned).
///
/// A power of ten beside the unit is part of it: "MΩ x 10" is the unit "×10 MΩ", "10⁶ Ω" a megohm.
///
/// With a dimension, the weights of what is kept grow together until they sum to what a spelling known to be of that
/// dimension can bear: `MW` is a megohm with 0.9 once it is known to be a resistance.
///
/// ```
/// use windrow_text::unit::read;
/// assert_eq!(read("Meg. Ohms", None)[0].unit.ucum, "MOhm");
/// assert_eq!(read("MW", None)[0].unit.ucum, "MW");
/// assert_eq!(read("MW", Some(windrow_model::Dimension::Resistance))[0].unit.ucum, "MOhm");
/// ```
#[must_use]
pub fn read(text: &str, dimension: Option<Dimension>) -> Vec<UnitMeaning> {
    let known = read_plain(text, dimension);
    if known.is_empty() && text.len() <= 2 * LONGEST && text.contains(is_digit) {
        let Some(scale) = scale::find(text) else { return known };
        let one = UnitMeaning { unit: Unit::ONE, weight: 1.0, colloquial: false };
        let is_ratio = scale.rest.trim().is_empty() && dimension == Some(Dimension::Ratio);
        let plain = if is_ratio { vec![one] } else { read_plain(&scale.rest, dimension) };
        return scaled(plain, scale.power);
    }
    known
}

/// Units times a power of ten; what is no known unit then is left out, and a factor that is no power of ten leaves none.
#[must_use]
pub fn scaled(meanings: Vec<UnitMeaning>, power: Option<i32>) -> Vec<UnitMeaning> {
    let times = |meaning: UnitMeaning| Some(UnitMeaning { unit: meaning.unit.times_ten_to(power?)?, ..meaning });
    meanings.into_iter().filter_map(times).collect()
}

fn is_digit(c: char) -> bool {
    c.is_numeric()
}

fn read_plain(text: &str, dimension: Option<Dimension>) -> Vec<UnitMeaning> {
    let Some(key) = squeeze(text) else { return Vec::new() };
    let mut meanings = SPELLINGS.exact.get(key.as_str()).cloned().unwrap_or_default();
    if let Some(loose) = SPELLINGS.any.get(key.to_lowercase().as_str()) {
        for meaning in loose {
            if meanings.iter().all(|known| known.unit != meaning.unit) {
                meanings.push(meaning.clone());
            }
        }
    }
    if let Some(dimension) = dimension {
        meanings.retain(|meaning| meaning.unit.dimension == dimension);
        weigh_within(&mut meanings);
    }
    meanings.sort_by(|a, b| b.weight.partial_cmp(&a.weight).unwrap_or(Ordering::Equal));
    meanings
}

/// Raises the weights of meanings that compete only among themselves.
fn weigh_within(meanings: &mut [UnitMeaning]) {
    let sum: f32 = meanings.iter().map(|meaning| meaning.weight).sum();
    let ceiling = if meanings.iter().all(|meaning| meaning.colloquial) { 0.9 } else { 1.0 };
    if sum > 0.0 && sum < ceiling {
        for meaning in meanings {
            meaning.weight *= ceiling / sum;
        }
    }
}

/// The spelling without blanks, dots, hyphens, underscores and the brackets around it, signs in one form; `None` if it is
/// empty or longer than any unit.
fn squeeze(text: &str) -> Option<String> {
    let text = text.trim();
    if text.is_empty() || text.len() > 2 * LONGEST {
        return None;
    }
    if is_initials(text) {
        return None;
    }
    let mended = mend(text);
    let bare = unbracket(&mended);
    let key: String = bare
        .chars()
        .map(one_form)
        .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '-' | '_' | '\u{a0}' | '–' | '\u{ad}'))
        .collect();
    (!key.is_empty() && key.len() <= LONGEST).then_some(key)
}

/// "K.O.", "M.O", "T.W.": capitals with dots between them are a person's, where the last one would be an omega lost ("H.P." and "K.W." are
/// units, and none of a resistance).
fn is_initials(text: &str) -> bool {
    let mut pairs = text.as_bytes().chunks(2);
    let are_dotted = pairs.all(|pair| pair[0].is_ascii_uppercase() && pair.get(1).is_none_or(|mark| *mark == b'.'));
    let letters: String = text.chars().filter(|c| *c != '.').collect();
    text.len() >= 3 && are_dotted && (letters.ends_with('O') || matches!(letters.as_str(), "GW" | "TW"))
}

fn unbracket(text: &str) -> &str {
    [('(', ')'), ('[', ']'), ('{', '}'), ('<', '>')]
        .iter()
        .find_map(|(open, close)| text.strip_prefix(*open)?.strip_suffix(*close))
        .unwrap_or(text)
        .trim()
}

/// Spellings in which case matters, and those in which it does not (keys in lower case).
struct Spellings {
    exact: HashMap<&'static str, Vec<UnitMeaning>>,
    any: HashMap<&'static str, Vec<UnitMeaning>>,
}

const UNITS: &str = include_str!("../data/units.csv");

static SPELLINGS: LazyLock<Spellings> = LazyLock::new(|| {
    let mut spellings = Spellings { exact: HashMap::new(), any: HashMap::new() };
    for (case_matters, spelling, meaning) in data::rows::<5>(UNITS).filter_map(entry) {
        let map = if case_matters { &mut spellings.exact } else { &mut spellings.any };
        map.entry(spelling).or_default().push(meaning);
    }
    spellings
});

/// Whether case matters, the spelling and its meaning.
fn entry([case, spelling, ucum, weight, colloquial]: [&'static str; 5]) -> Option<(bool, &'static str, UnitMeaning)> {
    let meaning =
        UnitMeaning { unit: Unit::from_ucum(ucum)?, weight: weight.parse().ok()?, colloquial: colloquial == "1" };
    Some((case == "exact", spelling, meaning))
}
