//! Numbers in sentences, by what their units make of them.

use super::piece::Says;
use windrow_model::{Dimension, Unit};
use windrow_text::fold::fold;
use windrow_text::measure::{self, Part};
use windrow_text::said;

/// Longest time that is one since voltage was applied, s.
const LONGEST_S: f64 = 3600.0;
/// Farthest bytes from the words of a bound to their number.
const BOUND_REACH: usize = 24;

/// The number at the beginning of `rest`, with what it says and its length; `before` is the sign right before it, and it
/// `is_labelled` where a phase stands before it.
pub(super) fn at(rest: &str, before: Option<char>, is_labelled: bool) -> Option<(Says, usize)> {
    let ends = rest.find(['\n', ')', ']']).into_iter().chain(rest.find(": ")).min();
    let rest = rest.get(..ends.unwrap_or(rest.len()))?.trim_end_matches(':');
    if before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '.' | '-' | '_')) {
        return None;
    }
    if let Some(found) = in_words(rest) {
        return Some(found);
    }
    let is_sign = rest
        .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '>' | '<' | '≥' | '≤' | '~' | '≈' | '½' | '¼' | '¾'));
    if !is_sign && !begins_bound(rest) {
        return None;
    }
    if let Some(length) = unclear(rest) {
        return Some((Says::Doubtful, length));
    }
    if let Some((celsius, length)) = celsius(rest) {
        // "3C" is the name of a pump.
        if length == 2 {
            return Some((Says::Other, length));
        }
        return Some((Says::Celsius(celsius), length));
    }
    let (part, length) = begin(rest, is_labelled)?;
    let behind = rest.get(length..).unwrap_or_default();
    if behind.trim_start().starts_with('?') {
        return Some((Says::Doubtful, length));
    }
    Some((says(part), length))
}

/// The number with its unit. In "U 450 V 440" the V is the next phase, and over a wide blank only the unit of a list is looked for.
fn begin(rest: &str, is_labelled: bool) -> Option<(Part, usize)> {
    let (part, length) = measure::begin(rest)?;
    let alone = || {
        let until = rest.len() - rest.trim_start_matches(|c: char| !c.is_ascii_digit()).len();
        let digits = rest
            .get(until..)?
            .find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
            .map_or(rest.len(), |end| until + end);
        measure::begin(rest.get(..digits)?)
    };
    let bare = |taken: &str| taken.trim_end_matches([',', '.']).len();
    if part.units.is_empty() {
        return Some((part, bare(rest.get(..length)?)));
    }
    let is_resistance = part.units.first().is_some_and(|best| best.unit.dimension == Dimension::Resistance);
    let is_letter = part.unit_text.chars().count() == 1 && part.unit_text.chars().all(char::is_alphabetic);
    let goes_on = rest
        .get(length..)?
        .trim_start()
        .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '>' | '<' | '≥' | '~'));
    let is_wide = rest.get(..length)?.contains("  ");
    // "2500 V DC": what kind of voltage it is, is a word of its own.
    let is_voltage = part.units.first().is_some_and(|best| best.unit.dimension == Dimension::Voltage);
    if is_voltage && let Some((unit, _)) = part.unit_text.split_once(' ') {
        let end = rest.find(unit).map_or(length, |at| at + unit.len());
        return Some((part, end.min(length)));
    }
    if is_labelled && is_letter && goes_on || is_wide && !is_resistance {
        let (part, length) = alone()?;
        return Some((part, bare(rest.get(..length)?)));
    }
    Some((part, length))
}

/// Whether words for a bound and then a number stand here.
fn begins_bound(rest: &str) -> bool {
    let Some(at) = rest.find(|c: char| c.is_ascii_digit()).filter(|at| (2..=BOUND_REACH).contains(at)) else {
        return false;
    };
    // "LE" is short for "less or equal" in tables, and an article in French.
    let is_word = |words: &str| words.trim().len() > 2 && words.ends_with(char::is_whitespace);
    rest.get(..at).is_some_and(|words| is_word(words) && said::bound(&fold(words)).is_some())
}

/// "one minute", "al minuto": times in words.
fn in_words(rest: &str) -> Option<(Says, usize)> {
    const ONE: [&str; 10] = [
        "one minute",
        "eine minute",
        "einer minute",
        "1 minute",
        "une minute",
        "un minuto",
        "al minuto",
        "a la minute",
        "je minute",
        "ten minutes",
    ];
    let mut ends = rest.match_indices(|c: char| !c.is_alphanumeric()).map(|(at, _)| at).chain([rest.len()]);
    let _ = ends.next()?;
    let end = ends.next()?;
    let said = fold(rest.get(..end)?);
    let at = ONE.iter().position(|known| *known == said)?;
    let seconds = if at + 1 == ONE.len() { 600.0 } else { 60.0 };
    Some((Says::Elapsed(seconds), end))
}

/// Length of digits that mean two things or none: "4/40", "1000-1500", "1?0".
fn unclear(rest: &str) -> Option<usize> {
    let word = rest.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')')).next()?;
    let joined = |mark: char| {
        let mut sides = word.split(mark);
        let is_number = |side: Option<&str>| {
            side.is_some_and(|side| {
                side.starts_with(|c: char| c.is_ascii_digit()) && side.chars().all(|c| c.is_ascii_digit() || c == '.')
            })
        };
        is_number(sides.next()) && is_number(sides.next())
    };
    (['/', '-', '–', '…'].into_iter().any(joined) || word.contains('?')).then_some(word.len())
}

/// A temperature with its sign: "22C", "62 grados C", "55 Grad".
fn celsius(rest: &str) -> Option<(f64, usize)> {
    let digits = rest.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ',')).unwrap_or(rest.len());
    let number = rest.get(..digits)?.trim_end_matches(['.', ',']);
    let behind = rest.get(number.len()..)?;
    let lead = behind.len() - behind.trim_start_matches(' ').len();
    let sign = behind.get(lead..)?;
    const SIGNS: [(&str, bool); 20] = [
        ("° C", true),
        ("°C", true),
        ("º C", true),
        ("ºC", true),
        ("oC", true),
        ("deg C", true),
        ("deg. C", true),
        ("degrees C", true),
        ("grados C", true),
        ("Grad C", true),
        ("degrés C", true),
        ("grados", true),
        ("Grad", true),
        ("degrés", true),
        ("GRAD", true),
        ("°F", false),
        ("deg F", false),
        ("F", false),
        ("C", true),
        ("° F", false),
    ];
    let (written, is_celsius) =
        SIGNS.iter().filter(|(written, _)| sign.starts_with(written)).max_by_key(|(written, _)| written.len())?;
    let ends = sign.get(written.len()..).is_none_or(|after| !after.starts_with(char::is_alphanumeric));
    let value = windrow_text::number::read(number).first()?.value;
    let celsius = if *is_celsius { value } else { (value - 32.0) / 1.8 };
    (ends && lead <= 1).then_some((celsius, number.len() + lead + written.len()))
}

/// What a number says with the unit that is surely meant.
fn says(part: Part) -> Says {
    let Some(best) = part.units.first() else { return Says::Number(part) };
    let value = part.numbers.first().map_or(f64::NAN, |number| number.value);
    match best.unit.dimension {
        Dimension::Resistance if best.weight >= 0.6 => Says::Resistance(part),
        Dimension::Time => {
            let seconds = best.unit.to_stored(value);
            if seconds <= LONGEST_S && best.unit != Unit::HOUR { Says::Elapsed(seconds) } else { Says::Other }
        }
        Dimension::Voltage => Says::Volts(volts(&part, best.unit)),
        Dimension::Temperature => Says::Other,
        _ => Says::Other,
    }
}

/// The voltage, read in the way that makes it a usual one where the mark between its digits leaves two.
fn volts(part: &Part, unit: Unit) -> f64 {
    let mut values = part.numbers.iter().map(|number| unit.to_stored(number.value));
    let first = values.clone().next().unwrap_or(f64::NAN);
    values.find(|volts| windrow_text::volts::is_usual(*volts)).unwrap_or(first)
}
