//! Cutting components out of a label; each function returns what is left.

use super::Label;
use crate::circuit::{self, CircuitMeaning};
use crate::fold::fold;
use crate::marks::is_kind;
use crate::number;
use crate::unit;
use crate::vocabulary::{self, Concept};
use crate::volts::{self, Whose};
use regex::{Captures, Regex};
use std::sync::LazyLock;
use windrow_model::Dimension;

/// Compiles a pattern that is part of the program; a test reads every one of them.
fn pattern(text: &'static str) -> Option<Regex> {
    Regex::new(text).ok()
}

static RATIO: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"(?i)\b(?:r|ir)?\s?(600|10|60|1)\s*(s|sec|min|m)?\s*[/:]\s*(?:r|ir)?\s?(60|15|1|30)\s*(s|sec|min|m)?\b(?:\s*ratio)?",
    )
});
static REFERENCE: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"(?i)(?:@|\bat|\bbei|\bb\.|\bà|\ba|\bto|\bauf|\bzu|\b[ck]orr\w*\.?)\s*(\d{2})\s*(?:°\s*c|deg\.?\s*c|°|c\b|ºc)|\b(?:i?r|rc)\s?(20|25|40|75)\b(?:\s*(?:°\s*c|c\b))?",
    )
});
static ELAPSED: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"(?ix)(?:\bau\s+bout\s+de\s+|\ba\s+los\s+|\bat\s+|\bbei\s+|\bà\s+|\bafter\s+|\bnach\s+|\baprès\s+|\btras\s+)?(?:\b|(?P<half>½\s*))(?:(?P<number>\d+(?:[.,]\d+)?)|(?P<word>one|ten|une?|dix|un|uno|diez|eine?r?|zehn)|(?P<fraction>1/2))?\s*[-\s]?(?P<unit>minutes?|minuten?|minutos?|mins?\b|mn\b|seconds?|sekunden?|segundos?|secondes?|secs?\b|sek\b|seg\b|s\b|min\b|m\b|['′″])",
    )
});
/// "R60", "IR1", "R15s", "Riso10min", "R 1'": with its unit any number is a time, alone only the usual ones.
static SHORT: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"(?i)\b(?:i?r|r_?\s?iso|iso|is)[\s_]?(?:(?P<number>\d{1,3}(?:[.,]\d+)?)\s?(?P<unit>s|sec|sek|seg|min|mn|m|'|′|″)(?:\W|$)|(?P<usual>15|30|45|60|90|120|180|240|300|360|420|480|540|600|10|1)\b)",
    )
});
/// "end of minute 1", "minuto 10", "1. Minute": a minute by its number.
static MINUTE: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"(?i)\b(?:minut[eo]\s+(?P<behind>\d{1,2})|(?P<before>\d{1,2})\s?(?:\.|ª|º|[eè]re|e|er|st|nd|rd|th)\s+minut[eo])\b(?:$|[^:.,/\d]|[:.,]\s|[:.,]$)",
    )
});
/// "1 kV/min", "16.7 V/s"; "500 V/1 min" is a voltage and its time.
static RATE: LazyLock<Option<Regex>> = LazyLock::new(|| {
    pattern(
        r"\b\d[\d.,]*\s*(?i:k?v(?:olts?)?(?:\s?[dc]c)?)\s*/\s*(?:s|(?i:se[ckg]|min|mn|se[ck]und[eo]?s?|minut[eo]s?))(?:$|[^\w-])",
    )
});

/// How fast a voltage is raised: neither a voltage nor a time.
pub(super) fn rate(text: &str) -> String {
    match RATE.as_ref().and_then(|regex| regex.find(text)) {
        Some(whole) => blank(text, whole.start(), whole.end()),
        None => text.to_owned(),
    }
}

/// `R10/R1`, `10 min / 1 min`, `60/30`: the names of ratios.
pub(super) fn ratio(text: &str, label: &mut Label) -> String {
    let Some(found) = RATIO.as_ref().and_then(|regex| regex.captures(text)) else { return text.to_owned() };
    let seconds = |number: &str, unit: Option<&str>| {
        let value: f64 = number.parse().unwrap_or(0.0);
        let minutes = unit.map_or(value <= 10.0, |unit| unit.to_lowercase().starts_with('m'));
        if minutes { value * 60.0 } else { value }
    };
    let (Some(whole), Some(a), Some(b)) = (found.get(0), found.get(1), found.get(3)) else { return text.to_owned() };
    let late = seconds(a.as_str(), found.get(2).map(|unit| unit.as_str()));
    let early = seconds(b.as_str(), found.get(4).map(|unit| unit.as_str()));
    let concept = match (late, early) {
        (600.0, 60.0) => Concept::PolarizationIndex,
        (60.0, 30.0) => Concept::AbsorptionRatio,
        // "60/15" alone may be anything.
        (60.0, 15.0) if whole.as_str().contains(char::is_alphabetic) => Concept::AbsorptionRatio,
        _ => return text.to_owned(),
    };
    label.concepts.push((concept, 1.0));
    blank(text, whole.start(), whole.end())
}

/// `@40C`, `R40`, `corrected to 40 °C`: the reference of a correction.
pub(super) fn reference(text: &str, label: &mut Label) -> String {
    let Some(found) = REFERENCE.as_ref().and_then(|regex| regex.captures(text)) else { return text.to_owned() };
    let Some(whole) = found.get(0) else { return text.to_owned() };
    let degrees = found.get(1).or_else(|| found.get(2)).and_then(|number| number.as_str().parse::<f64>().ok());
    // "R60" is a time, "R40" a temperature; only the usual references count.
    let Some(degrees) = degrees.filter(|degrees| [20.0, 25.0, 40.0, 75.0].contains(degrees)) else {
        return text.to_owned();
    };
    label.reference_c = Some(degrees);
    if found.get(2).is_some() {
        let kept = blank(text, whole.start(), whole.end());
        label.concepts.push((Concept::CorrectedResistance, 0.9));
        return kept;
    }
    blank(text, whole.start(), whole.end())
}

/// Longest time that is told in minutes by a capital letter, min. Common practice, no source.
const LONGEST_IN_MINUTES: f64 = 60.0;

/// `1 min`, `60 s`, `R60`, `10'`, `½ min`.
pub(super) fn elapsed(text: &str, label: &mut Label) -> String {
    for found in ELAPSED.as_ref().into_iter().flat_map(|regex| regex.captures_iter(text)) {
        let Some(whole) = found.get(0) else { continue };
        let unit_text = found.name("unit").map_or("", |unit| unit.as_str());
        let number =
            match (found.name("number"), found.name("word"), found.name("fraction").or_else(|| found.name("half"))) {
                (Some(number), _, _) => number::read(number.as_str()).first().map(|meaning| meaning.value),
                (None, Some(word), _) => {
                    Some(if matches!(word.as_str().to_lowercase().as_str(), "ten" | "dix" | "diez" | "zehn") {
                        10.0
                    } else {
                        1.0
                    })
                }
                (None, None, Some(_)) => Some(0.5),
                _ => None,
            };
        let lower = unit_text.to_lowercase();
        if text.get(..whole.start()).is_some_and(|before| before.ends_with(':')) {
            match clock_in_minutes(text, &whole, &lower) {
                Some((seconds, from)) => {
                    label.elapsed_s = Some(seconds);
                    return blank(text, from, whole.end());
                }
                None => continue,
            }
        }
        // A bare "m" or "s" apart from its number is metres, or a phase.
        let apart = whole.as_str().contains(char::is_whitespace);
        if matches!(lower.as_str(), "m") && apart {
            continue;
        }
        // "10M" in a print-out is ten minutes, "450M" are megohms.
        if unit_text == "M" && number.is_some_and(|number| number > LONGEST_IN_MINUTES) {
            continue;
        }
        // "49'800" is a number with a mark between its thousands.
        let is_mark = matches!(lower.as_str(), "'" | "′" | "″");
        if is_mark && text.get(whole.end()..).is_some_and(|after| after.starts_with(|c: char| c.is_ascii_digit())) {
            continue;
        }
        // "5-M-910" is a tag.
        let is_value = |text: &str| {
            let word = fold(text.trim_start_matches('-').split_whitespace().next().unwrap_or_default());
            ["wert", "werte", "messwert", "messwerte", "value", "values", "reading", "readings"]
                .contains(&word.as_str())
        };
        let hyphens = |text: &str, at_end: bool| {
            if at_end { text.ends_with('-') } else { text.starts_with('-') && !is_value(text) }
        };
        if text.get(..whole.start()).is_some_and(|before| hyphens(before, true))
            || text.get(whole.end()..).is_some_and(|after| hyphens(after, false))
        {
            continue;
        }
        let (before, behind) = (text.get(..whole.start()), text.get(whole.end()..));
        if is_time_of_machine(before.unwrap_or_default(), behind.unwrap_or_default()) {
            continue;
        }
        let Some(number) = number else { continue };
        let factor = if lower.starts_with('m') || matches!(lower.as_str(), "'" | "′") { 60.0 } else { 1.0 };
        label.elapsed_s = Some(number * factor);
        // "a 30 s": the Spanish word before a time is no phase.
        let leads = before.is_some_and(|before| before.trim() == "a");
        return blank(text, if leads { 0 } else { whole.start() }, whole.end());
    }
    let minute = MINUTE.as_ref().and_then(|regex| regex.captures(text));
    if let Some((number, whole)) = minute.and_then(|found| {
        let number = found.name("behind").or_else(|| found.name("before"))?;
        Some((number.as_str().parse::<f64>().ok()?, found.get(0)?))
    }) {
        label.elapsed_s = Some(number * 60.0);
        return blank(text, whole.start(), whole.end());
    }
    // "r_1_2" is the resistance between two terminals.
    let is_pair = |found: &Captures<'_>| {
        let behind = found.get(0).and_then(|whole| text.get(whole.end()..)).unwrap_or_default();
        let mut behind = behind.chars();
        behind.next().is_some_and(|mark| matches!(mark, '-' | '–')) && behind.next().is_some_and(|c| c.is_ascii_digit())
    };
    if let Some(found) = SHORT.as_ref().and_then(|regex| regex.captures(text)).filter(|found| !is_pair(found))
        && let Some((seconds, end)) = short_time(&found)
        && let Some(whole) = found.get(0)
    {
        label.elapsed_s = Some(seconds);
        label.concepts.push((Concept::InsulationResistance, 0.8));
        return blank(text, whole.start(), end);
    }
    text.to_owned()
}

/// "1:30 min": minutes and seconds, in seconds, and where they begin. "1:30 s" and "0:01:30 min" are no such time.
fn clock_in_minutes(text: &str, seconds: &regex::Match<'_>, unit: &str) -> Option<(f64, usize)> {
    let before = text.get(..seconds.start())?.strip_suffix(':')?;
    let digits = before.chars().rev().take_while(char::is_ascii_digit).count();
    let from = before.len() - digits;
    let minutes: f64 = before.get(from..)?.parse().ok()?;
    let told: String = seconds.as_str().chars().take_while(char::is_ascii_digit).collect();
    let is_clock =
        digits <= 3 && told.len() == 2 && unit.starts_with("mi") && !before.get(..from)?.ends_with([':', '.', ',']);
    let seconds: f64 = told.parse().ok().filter(|seconds| is_clock && *seconds < 60.0)?;
    Some((minutes * 60.0 + seconds, from))
}

/// "run 4 h 20 min", "40 s after stop": how long the machine ran or stood still is no time of a voltage.
fn is_time_of_machine(before: &str, behind: &str) -> bool {
    let (before, behind) = (fold(before), fold(behind));
    let of_machine = |word: &str| is_kind(word, "machine_time");
    let lead: Vec<&str> = before.split_whitespace().rev().take(2).collect();
    let is_led = match lead.as_slice() {
        [last, ..] if of_machine(last) => true,
        // "4h 20 min" and "4 h 20 min": minutes behind hours.
        [last, first] if is_kind(last, "hours") => first.bytes().all(|b| b.is_ascii_digit()),
        [last, ..] => {
            let digits = last.bytes().take_while(u8::is_ascii_digit).count();
            digits > 0 && last.get(digits..).is_some_and(|unit| is_kind(unit, "hours"))
        }
        [] => false,
    };
    is_led || behind.split_whitespace().take(3).any(of_machine)
}

/// Seconds that a short name of a timed resistance tells, and where its time ends.
fn short_time(found: &Captures<'_>) -> Option<(f64, usize)> {
    let number = |name: &str| {
        let text = found.name(name)?;
        Some((number::read(text.as_str()).first()?.value, text.end()))
    };
    if let (Some((number, _)), Some(unit)) = (number("number"), found.name("unit")) {
        let minutes = unit.as_str().to_lowercase().starts_with('m') || matches!(unit.as_str(), "'" | "′");
        return Some((if minutes { number * 60.0 } else { number }, unit.end()));
    }
    let (number, end) = number("usual")?;
    Some((if number <= 10.0 { number * 60.0 } else { number }, end))
}

/// `at 500 V DC`, `5 kV`: the first voltage that is no machine's ("of 6.6 kV motors at 5 kV").
pub(super) fn voltage(text: &str, label: &mut Label) -> String {
    let named = volts::named(text);
    let own = named.iter().position(|named| named.whose != Whose::Machine);
    label.voltage_v = own.and_then(|at| named.get(at)).map(|named| named.volts);
    let cut = named.iter().enumerate().filter(|(at, named)| Some(*at) == own || named.whose == Whose::Machine);
    let kept = cut.rev().fold(text.to_owned(), |kept, (_, named)| blank(&kept, named.at.start, named.at.end));
    // "a 1000 V, TΩ": the Spanish and French word before a voltage is no phase.
    let leads = named.first().is_some_and(|named| text.get(..named.at.start).is_some_and(|lead| lead.trim() == "a"));
    if leads {
        return kept.trim_start().strip_prefix('a').unwrap_or(&kept).to_owned();
    }
    // "pC a 2 kV": so does it behind a unit.
    let of_unit = named.first().and_then(|named| text.get(..named.at.start)?.trim_end().strip_suffix(" a"));
    let is_unit = |before: &str| unit::read(before.trim(), None).iter().any(|meaning| meaning.weight >= 0.8);
    match of_unit.filter(|before| is_unit(before)) {
        Some(before) => format!("{before}  {}", kept.get(before.len() + 2..).unwrap_or_default()),
        None => kept,
    }
}

/// The unit: in brackets, after a comma, as the last words, or all of the label.
pub(super) fn unit(text: &str, label: &mut Label) -> String {
    // "V nach 1 min": nobody waits for a voltage.
    if label.elapsed_s.is_some() && text.trim() == "V" {
        return text.to_owned();
    }
    for (open, close) in [('(', ')'), ('[', ']'), ('{', '}'), ('<', '>')] {
        if let (Some(from), Some(to)) = (text.rfind(open), text.rfind(close))
            && from < to
            && let Some(within) = text.get(from + open.len_utf8()..to)
            // "(MΩ, 500 V)": what was told beside it has been cut already.
            && take(within.trim().trim_matches([',', ';', ' ']), 0.0, label)
        {
            return blank(text, from, to + close.len_utf8());
        }
    }
    // "Zeit nach Anlegen in s": a word before it tells the letter from a phase.
    let seconds = [" in s", " en s"].iter().find_map(|end| text.trim_end().strip_suffix(end));
    if let Some(before) = seconds.filter(|before| !before.trim().is_empty())
        && take("s", 0.0, label)
    {
        return before.to_owned();
    }
    let starts: Vec<usize> = std::iter::once(0)
        .chain(
            text.char_indices()
                .filter(|(_, c)| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '=' | '|'))
                .map(|(at, c)| at + c.len_utf8()),
        )
        .collect();
    // "S - T Ω" and "A to earth" hold letters of units that belong to a circuit.
    let taken = circuit_run(text).map(|(from, to, _)| (from, to)).filter(|(from, to)| *to > from + 1);
    let free = |from: usize, to: usize| taken.is_none_or(|(first, last)| to <= first || last <= from);
    // A lone letter is a phase as easily as a unit ("MEG_V_E"): it is the unit only where no longer run is one.
    for letters in [false, true] {
        if let Some((from, to)) = unit_run(text, &starts, letters, &free, label) {
            return if text.get(from..to).is_some_and(names_a_concept) {
                text.to_owned()
            } else {
                blank(text, from, to)
            };
        }
    }
    text.to_owned()
}

/// Takes the last run of up to three words that is a unit ("in MΩ", "IR, MΩ, windings to earth", "leakage µA after"), of
/// lone letters or of longer runs; returns where it stands.
fn unit_run(
    text: &str,
    starts: &[usize],
    letters: bool,
    free: &dyn Fn(usize, usize) -> bool,
    label: &mut Label,
) -> Option<(usize, usize)> {
    let mut ends: Vec<usize> = starts.iter().skip(1).map(|at| at - 1).collect();
    ends.push(text.len());
    for end in ends.iter().rev() {
        let before: Vec<usize> = starts.iter().copied().filter(|start| start < end).collect();
        for start in before.iter().skip(before.len().saturating_sub(3)) {
            let Some(run) = text.get(*start..*end) else { continue };
            let run = run.trim().trim_matches([',', ';', ':', '=', '|']);
            let whole = run.len() == text.trim().len();
            // "A la entrada", "V phase": a letter is a unit at the end of what is said only.
            let ends = text.get(*end..).is_some_and(|rest| !rest.trim_start().starts_with(char::is_alphanumeric));
            let fits = (run.chars().count() == 1) == letters
                && !run.is_empty()
                && (!letters || ends || run == "%")
                && !is_name_in_amperes(run, text.get(*end..).unwrap_or_default());
            if fits && free(*start, *end) && take(run, if whole { 0.3 } else { 0.55 }, label) {
                return Some((*start, *end));
            }
        }
    }
    None
}

/// "ACC 12": capitals before a number that might be amperes are a machine's name, for nobody writes a unit before its number.
fn is_name_in_amperes(run: &str, behind: &str) -> bool {
    let is_numbered = behind.trim_start().starts_with(|c: char| c.is_ascii_digit());
    is_numbered
        && run.len() >= 2
        && run.bytes().all(|byte| byte.is_ascii_uppercase())
        && unit::read(run, None).iter().all(|meaning| meaning.unit.dimension == Dimension::Current)
}

/// "U in MΩ", "L1 en MΩ": what is left of a label without the word that led to its unit. "R in mΩ" names a resistance and no phase, as
/// "C in nF" and "I in µA" name what they are the symbols of.
pub(super) fn preposition(rest: &str) -> String {
    let before = ["in", "en"].iter().find_map(|word| rest.trim_end().strip_suffix(word));
    let before = before.filter(|before| before.ends_with(char::is_whitespace)).map(str::trim);
    before.filter(|before| !matches!(*before, "R" | "C" | "I")).unwrap_or(rest).to_owned()
}

/// "Megohms", "rpm" and "R.H." are a unit and the name of what is measured in one.
fn names_a_concept(run: &str) -> bool {
    let folded = fold(run);
    !vocabulary::hits(&folded.split(' ').collect::<Vec<_>>()).is_empty()
}

/// Takes `run` as the unit if it is one with at least this weight; a word that names a concept as well is left to it.
fn take(run: &str, least: f32, label: &mut Label) -> bool {
    let meanings = unit::read(run, None);
    let Some(best) = meanings.first() else { return false };
    // "oF" is a damaged degree sign, "Test of" is not; nor is "MEGOHMS TO FRAME" in teraohms.
    if matches!(run, "of" | "TO") && least > 0.3 {
        return false;
    }
    let letter = run.chars().count() == 1 && least > 0.0;
    let ambiguous_word = least > 0.0 && best.unit.dimension == Dimension::Time && run.len() > 3;
    if best.weight < least || letter && !matches!(run, "V" | "Ω" | "%" | "A") || ambiguous_word {
        return false;
    }
    label.units = meanings;
    run.clone_into(&mut label.unit_text);
    true
}

/// The circuit: all of what is left, or a run of words in it.
pub(super) fn circuit(text: &str, label: &mut Label) -> String {
    let text = text.trim().trim_matches([',', ';', ':', '-', '(', ')', '=']).trim();
    let whole = circuit::read(text);
    if !whole.is_empty() {
        label.circuits = whole;
        return String::new();
    }
    if circuit::names_stator_and_other(text) {
        return text.to_owned();
    }
    match circuit_run(text) {
        Some((from, to, meanings)) => {
            label.circuits = meanings;
            blank(text, from, to)
        }
        None => text.to_owned(),
    }
}

/// The longest run of words that is a circuit beyond doubt, and what it means. A lone letter within a longer label is hardly
/// ever a phase.
fn circuit_run(text: &str) -> Option<(usize, usize, Vec<CircuitMeaning>)> {
    let mut bounds: Vec<usize> = std::iter::once(0)
        .chain(
            text.char_indices()
                .filter(|(_, c)| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')'))
                .map(|(at, c)| at + c.len_utf8()),
        )
        .collect();
    bounds.push(text.len() + 1);
    let phrases = winding_phrases(text, &bounds);
    for length in (1..bounds.len().min(7)).rev() {
        for window in 0..bounds.len() - length {
            let (from, to) = (bounds[window], (bounds[window + length] - 1).min(text.len()));
            let Some(run) = text.get(from..to) else { continue };
            if phrases.iter().any(|phrase| phrase.start < window + length && window < phrase.end) {
                continue;
            }
            let meanings = circuit::read(run.trim());
            if meanings.iter().any(|meaning| meaning.weight >= 0.5) {
                return Some((from, to, meanings));
            }
        }
    }
    None
}

/// Words, by their bounds, of phrases that name the resistance of windings: "resistance of windings U-V" holds no circuit "windings
/// U-V". ("Resistance to earth" does hold one.)
fn winding_phrases(text: &str, bounds: &[usize]) -> Vec<std::ops::Range<usize>> {
    let word = |at: usize| text.get(*bounds.get(at)?..bounds.get(at + 1)?.saturating_sub(1).min(text.len()));
    let folded: Vec<String> = (0..bounds.len() - 1).map(|at| word(at).map(fold).unwrap_or_default()).collect();
    let words: Vec<&str> = folded.iter().map(String::as_str).collect();
    vocabulary::hits(&words)
        .into_iter()
        .filter(|hit| hit.to - hit.from >= 2)
        .filter(|hit| hit.concept == Concept::WindingResistance)
        .map(|hit| hit.from..hit.to)
        .collect()
}

/// `text` with the bytes from `from` to `to` replaced by a blank.
fn blank(text: &str, from: usize, to: usize) -> String {
    format!("{} {}", text.get(..from).unwrap_or_default(), text.get(to..).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_pattern_compiles() {
        for regex in [&super::RATE, &super::RATIO, &super::REFERENCE, &super::ELAPSED, &super::SHORT, &super::MINUTE] {
            assert!(regex.is_some());
        }
    }
}
