//! Powers of ten beside a unit: "MΩ × 10", "x1000 MΩ", "10⁶ Ω", "thousands of megohms", "MΩ/10".

use crate::data;
use regex::{Captures, Regex};
use std::sync::LazyLock;
use windrow_model::Dimension;

/// A factor found in a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Scale {
    /// The text without it.
    pub rest: String,
    /// The power of ten; `None` for a factor that is none ("x 5").
    pub power: Option<i32>,
    /// Whether it can be meant without a unit beside it ("×10⁻³" over a ratio).
    pub stands_alone: bool,
}

/// "x 10", "×10⁻³", "· 1000", "*0,1": a sign of multiplication and a number; a letter only where no other stands before it, so that "max 100"
/// and "MAX10" hold none.
static SIGNED: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"(?:(?P<sign>[×·⋅∙•*])|(?:^|[\s(\[{Ω])(?P<letter>[xX]))\s*(?P<number>10\s*(?:\^|\*\*)\s*[-−–+]?\d{1,2}|10[⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2}|10\s?[-−–]\s?\d{1,2}|1[eE][-−+]?\d{1,2}|\d+(?:[.,]\d+)?)(?:$|[^\w.,:/-])",
    )
});
/// "tan d (10^-3)": a power in brackets by itself.
static BRACKETED: LazyLock<Option<Regex>> =
    LazyLock::new(|| pattern(r"[(\[]\s*(?P<number>10\s*(?:\^|\*\*)\s*[-−–]?\d{1,2}|10[⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2})\s*[)\]]"));
/// "tan δ in 10⁻³", "tan δ 10^-3": a power that ends the text.
static ENDING: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"\s(?:(?i:in|en)\s+)?(?P<number>10\s*(?:\^|\*\*)\s*[-−–]\d{1,2}|10⁻[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2})\s*$|\s(?i:in|en)\s+(?P<plain>10[-−–]\d)\s*$",
    )
});
/// "10^6 ohm", "10⁶ Ω", "1E6 ohm", "in 100 MΩ" before a unit.
static POWER: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"(?:^|[\s(\[{])(?:(?P<written>10\s*(?:\^|\*\*)\s*[-−–+]?\d{1,2}|10[⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2}|1[eE][-−+]?\d{1,2})|(?i:in|en)\s+(?P<counted>10{1,3}))\s*[·×*]?\s*(?P<unit>[A-Za-zµΩ])",
    )
});
/// "MΩ/10", "MOhm / 1000", "MΩ ÷ 10": whether the numbers or the unit was divided is not told.
static DIVIDED: LazyLock<Option<Regex>> =
    LazyLock::new(|| pattern(r"(?i)(?P<unit>Ω|ohms?|meg|a)\s*[/÷]\s*(?P<number>10{1,3})(?:$|[\s)\]}])"));
/// Brackets that hold nothing.
static EMPTY: LazyLock<Option<Regex>> = LazyLock::new(|| pattern(r"\(\s*\)|\[\s*\]"));

fn pattern(text: &'static str) -> Option<Regex> {
    Regex::new(text).ok()
}

/// Words for powers of ten before a unit ("thousands of megohms", "Tausend MΩ"), with the power (`data/scales.csv`).
static WORDS: LazyLock<Vec<(&'static str, i32)>> = LazyLock::new(|| {
    let rows = data::rows::<2>(include_str!("../../data/scales.csv"));
    let mut words: Vec<_> = rows.filter_map(|[word, power]| Some((word, power.parse().ok()?))).collect();
    // "Tens of thousands" before "thousands".
    words.sort_by_key(|(word, _): &(&str, i32)| std::cmp::Reverse(word.len()));
    words
});

/// The factor in a text, if one stands there.
#[must_use]
pub(crate) fn find(text: &str) -> Option<Scale> {
    in_words(text).or_else(|| {
        let signs =
            text.contains(['x', 'X', '×', '·', '⋅', '∙', '•', '*', '/', '÷', '^', 'e', 'E']) || text.contains("10");
        if signs {
            signed(text).or_else(|| bracketed(text)).or_else(|| before_unit(text)).or_else(|| divided(text))
        } else {
            None
        }
    })
}

fn signed(text: &str) -> Option<Scale> {
    let found = SIGNED.as_ref()?.captures(text)?;
    let (number, mark) = (found.name("number")?, found.name("sign").or(found.name("letter"))?);
    let power = power(number.as_str());
    let rest = without(text, mark.start(), number.end());
    let (before, behind) = (last_word(text.get(..mark.start())?), first_word(text.get(number.end()..)?));
    // "IR · 1000 V", "3 x 400 V", "4x10 mm²", "R · 10 min": the number is that of its own unit.
    let is_of_other = is_other_unit(behind) || behind.starts_with("mm");
    let is_beside = is_unit(before) || is_unit(behind);
    let is_written_out = !number.as_str().chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    let is_alone = rest.trim().is_empty() || is_written_out;
    (!is_of_other && (is_beside || is_alone && power.is_some())).then_some(Scale {
        rest,
        power,
        stands_alone: is_alone && power.is_some(),
    })
}

/// The word right behind a factor, without brackets.
fn first_word(text: &str) -> &str {
    let text = text.trim_start_matches([' ', ')', ']', '}', '(', '[']);
    text.split([' ', ')', ']', '}', ',', ';', '·', '*']).next().unwrap_or_default()
}

/// The word right before a factor, without brackets.
fn last_word(text: &str) -> &str {
    let text = text.trim_end_matches([' ', '(', '[', '{', ',', ';']);
    text.rsplit([' ', '(', '[', '{', ',', ';']).next().unwrap_or_default()
}

/// Whether a word is a unit of what is measured, so that a factor beside it is its own.
fn is_unit(word: &str) -> bool {
    best(word).is_some_and(|dimension| !is_circumstance(dimension))
}

/// Whether a word is a unit of a circumstance: nobody multiplies volts, minutes or degrees.
fn is_other_unit(word: &str) -> bool {
    best(word).is_some_and(is_circumstance)
}

fn best(word: &str) -> Option<Dimension> {
    let read = super::read_plain(word, None);
    read.first().filter(|best| best.weight >= 0.5).map(|best| best.unit.dimension)
}

/// Whether values of this dimension are circumstances of a test or ratings.
pub(crate) const fn is_circumstance(dimension: Dimension) -> bool {
    matches!(
        dimension,
        Dimension::Voltage
            | Dimension::VoltageRate
            | Dimension::Time
            | Dimension::Temperature
            | Dimension::Frequency
            | Dimension::Speed
            | Dimension::Power
            | Dimension::ApparentPower
    )
}

fn bracketed(text: &str) -> Option<Scale> {
    let patterns = [&BRACKETED, &ENDING];
    let found = patterns.into_iter().find_map(|pattern| pattern.as_ref()?.captures(text))?;
    let (whole, number) = (found.get(0)?, found.name("number").or(found.name("plain"))?);
    let rest = without(text, whole.start(), whole.end());
    Some(Scale { rest, power: power(number.as_str()), stands_alone: true })
}

fn before_unit(text: &str) -> Option<Scale> {
    let found = POWER.as_ref()?.captures(text)?;
    let (number, unit) = (found.name("written").or(found.name("counted"))?, found.name("unit")?);
    let is_meant = is_unit(first_word(text.get(unit.start()..)?));
    is_meant.then(|| Scale {
        rest: without(text, number.start(), unit.start()),
        power: power(number.as_str()),
        stands_alone: false,
    })
}

fn divided(text: &str) -> Option<Scale> {
    let found: Captures<'_> = DIVIDED.as_ref()?.captures(text)?;
    let (unit, number) = (found.name("unit")?, found.name("number")?);
    Some(Scale { rest: without(text, unit.end(), number.end()), power: None, stands_alone: false })
}

/// "Thousands of megohms", "MΩ (Tausend)".
fn in_words(text: &str) -> Option<Scale> {
    let lower = text.to_lowercase();
    if lower.len() != text.len() {
        return None;
    }
    WORDS.iter().find_map(|(word, power)| {
        let from = lower.find(word)?;
        let to = from + word.len();
        let is_apart = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
        let is_word = is_apart(lower.get(..from)?.chars().next_back()) && is_apart(lower.get(to..)?.chars().next());
        let rest = text.get(to..)?.trim_start();
        let skipped = lower.get(text.len() - rest.len()..)?;
        let link = ["of ", "de ", "d'", "d’", "von "].iter().find(|link| skipped.starts_with(**link));
        let joined = rest.get(link.map_or(0, |link| link.len())..)?;
        let behind = text.get(to..)?;
        // "Tens. 500 V" is short for a voltage.
        let is_beside = is_unit(first_word(joined)) || is_unit(last_word(text.get(..from)?));
        let is_short = behind.starts_with('.') && !word.ends_with('.');
        (is_word && is_beside && !is_short).then(|| Scale {
            rest: format!("{} {joined}", text.get(..from).unwrap_or_default().trim_end_matches('(')),
            power: Some(*power),
            stands_alone: false,
        })
    })
}

/// The power of ten that a text is by itself: "10", "x100", "×10³", "0.1".
///
/// ```
/// use windrow_text::unit::power_of_ten;
/// assert_eq!(power_of_ten("x100"), Some(2));
/// assert_eq!(power_of_ten("0.1"), Some(-1));
/// assert_eq!(power_of_ten("50"), None);
/// ```
#[must_use]
pub fn power_of_ten(text: &str) -> Option<i32> {
    let bare = text.trim().trim_start_matches(['x', 'X', '×', '*', '·']).trim_start();
    (bare.len() <= 12).then(|| power(bare))?
}

/// Largest power of ten that a multiplier has.
const LARGEST_POWER: i32 = 15;

/// The power of ten that a number as written is.
fn power(number: &str) -> Option<i32> {
    let plain: String = number.chars().filter(|c| !c.is_whitespace()).map(upright).collect();
    let lower = plain.to_lowercase().replace("**", "^");
    if let Some(exponent) =
        lower.strip_prefix("10^").or_else(|| lower.strip_prefix("1e")).or_else(|| lower.strip_prefix('e'))
    {
        // "E 104" is a number of an inventory.
        return exponent.trim_start_matches('+').parse().ok().filter(|power: &i32| power.abs() <= LARGEST_POWER);
    }
    if let Some(exponent) = lower.strip_prefix("10").filter(|exponent| exponent.starts_with('-')) {
        return exponent.parse().ok();
    }
    // Raised digits: "10³".
    if number.contains(raised) {
        return lower.strip_prefix("10")?.parse().ok();
    }
    let zeros = |digits: &str| digits.chars().all(|c| c == '0').then_some(digits.len());
    if let Some((whole, decimals)) = lower.split_once(['.', ',']) {
        let before = decimals.strip_suffix('1').filter(|_| zeros(whole) == Some(1))?;
        return Some(-i32::try_from(zeros(before)?).ok()? - 1);
    }
    i32::try_from(zeros(lower.strip_prefix('1')?)?).ok()
}

const fn raised(c: char) -> bool {
    matches!(c, '⁰' | '¹' | '²' | '³' | '⁴' | '⁵' | '⁶' | '⁷' | '⁸' | '⁹')
}

/// A raised digit or sign, or one of the dashes, in its plain form.
const fn upright(c: char) -> char {
    match c {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        '⁻' | '−' | '–' => '-',
        '⁺' => '+',
        c => c,
    }
}

/// The text without the bytes from `from` to `to`, and without brackets that held nothing else.
fn without(text: &str, from: usize, to: usize) -> String {
    let rest = format!("{} {}", text.get(..from).unwrap_or_default(), text.get(to..).unwrap_or_default());
    EMPTY.as_ref().map_or_else(|| rest.clone(), |empty| empty.replace_all(&rest, " ").into_owned())
}

#[cfg(test)]
mod tests {
    use super::find;

    #[test]
    fn every_pattern_compiles() {
        for regex in [&super::SIGNED, &super::BRACKETED, &super::ENDING, &super::POWER, &super::DIVIDED, &super::EMPTY]
        {
            assert!(regex.is_some());
        }
    }

    /// Habits of old instruments and of tables (common practice, no source).
    #[test]
    fn factors_beside_units_are_found() {
        for (text, power) in [
            ("MΩ x 10", Some(1)),
            ("x10 MΩ", Some(1)),
            ("MOhm (x1000)", Some(3)),
            ("IR × 1000 MΩ", Some(3)),
            ("MEGOHMS X 100", Some(2)),
            ("MΩ × 10³", Some(3)),
            ("tan δ · 10⁻³", Some(-3)),
            ("tan δ x 10^-4", Some(-4)),
            ("tg δ (×10⁻⁴)", Some(-4)),
            ("tan d *10-3", Some(-3)),
            ("tan d (10^-3)", Some(-3)),
            ("tan δ in 10⁻³", Some(-3)),
            ("tg δ 10^-4", Some(-4)),
            ("tan d in 10-3", Some(-3)),
            ("Riso [10⁹ Ω]", Some(9)),
            ("10^6 ohm", Some(6)),
            ("Iso x 0,1 MOhm", Some(-1)),
            ("IR in 100 MΩ", Some(2)),
            ("MΩ/10", None),
            ("thousands of megohms", Some(3)),
            ("IN THOUSANDS OF MEGOHMS UNLESS MARKED M", Some(3)),
            ("Megohms (hundreds)", Some(2)),
            ("milliers de MΩ", Some(3)),
            ("Tausend MΩ", Some(3)),
            ("miles de megohmios", Some(3)),
            ("x 5 MΩ", None),
        ] {
            assert_eq!(find(text).map(|scale| scale.power), Some(power), "{text}");
        }
    }

    #[test]
    fn what_is_no_factor_is_left_alone() {
        for text in [
            "MAX10",
            "Sheet 10-3",
            "IR on 10-3",
            "BOX 12",
            "3 x 400 V",
            "10 min / 1 min",
            "MΩ",
            "P-101 U-E",
            "Extruder 10",
            "R10/R1",
            "1.2E3",
            "Tx10 A",
        ] {
            assert_eq!(find(text), None, "{text}");
        }
    }
}
