//! Temperatures and humidity told in words: in remarks ("wdg 31 °C, damp") and titles ("all at 21 °C").

use crate::fold::{fold, mend};
use crate::marks::is_kind;
use crate::number;
use crate::unit;
use regex::Regex;
use std::sync::LazyLock;
use windrow_model::Dimension;

/// Of what a temperature is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The winding.
    Winding,
    /// The surroundings.
    Surroundings,
    /// Not told.
    Untold,
}

/// Longest text that is looked at, in bytes.
const LONGEST: usize = 400;
/// Temperatures at which windings are measured, °C; ovens and bearings are hotter. Common practice, no source.
const USUAL: std::ops::RangeInclusive<f64> = -30.0..=80.0;

/// Temperatures that resistances are converted to, °C. Common practice, no source.
const REFERENCES: [f64; 5] = [20.0, 25.0, 40.0, 75.0, 115.0];

static DEGREES: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?x)(?:^|[\s(=:~≈]|\b[tT][=°ª]?)(?P<number>[-−]?\d{1,3}(?:[.,]\d{1,2})?)\s?
          (?P<unit>°\s?[CF]?|º\s?[CF]?|[oO][CF]\b|(?i:deg(?:rees?|s)?)\.?\s?[CF]?\b|[Gg]rad(?:os)?\s?C?\b|degr[ée]s\s?C?\b|[CF]\b)",
    )
    .ok()
});

/// The temperatures that clauses of a text tell, °C, each with its place; none of a clause that says anything else ("baked at
/// 120 °C", "bearing 61 °C"), none of a text that speaks of a correction, and none where two differ for one place. Degrees without C
/// or F are no temperature here: nothing would say which.
#[must_use]
pub fn temperatures(text: &str) -> Vec<(Place, f64)> {
    if text.len() > LONGEST || !text.contains(|c: char| c.is_ascii_digit()) {
        return Vec::new();
    }
    let text = mend(text);
    if speaks_of_correction(&fold(&text)) {
        return Vec::new();
    }
    let mut found: Vec<(Place, f64)> = Vec::new();
    // Wide blanks part what is told ("Wdg temp 27 C   RH 45%").
    for told in text.split("  ").flat_map(clauses).filter_map(of_clause) {
        match found.iter().find(|(place, _)| *place == told.0) {
            Some((_, known)) if (known - told.1).abs() > 1e-9 => return Vec::new(),
            Some(_) => {}
            None => found.push(told),
        }
    }
    found
}

static HUMIDITY: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?ix)\b(?:r\.?\s?h\.?|h\.?\s?r\.?|r\.?\s?f\.?|rel\.?\s?(?:hum(?:idity)?\.?|feuchte|luftfeuchte)|(?:relative\s)?(?:luft)?feuchte|humidity|humidit[ée](?:\srelative)?|hygrom[ée]trie|humedad(?:\srelativa)?|hum\.?)
          \s?[:=]?\s?(?P<behind>\d{1,3}(?:[.,]\d)?)\s?% | \b(?P<before>\d{1,3}(?:[.,]\d)?)\s?%\s?(?:r\.?h\b|h\.?r\b|r\.?f\b|rel\b|humidity|humedad|humidit[ée])",
    )
    .ok()
});

/// The relative humidity that a text tells, %, where it tells one.
///
/// ```
/// assert_eq!(windrow_text::prose::humidity("Date 14-Jan-2009   RH 45%"), Some(45.0));
/// assert_eq!(windrow_text::prose::humidity("imbalance 2%"), None);
/// ```
#[must_use]
pub fn humidity(text: &str) -> Option<f64> {
    if text.len() > LONGEST || !text.contains('%') {
        return None;
    }
    let mut all = HUMIDITY.as_ref()?.captures_iter(text);
    let (found, None) = (all.next()?, all.next()) else { return None };
    let number = found.name("behind").or_else(|| found.name("before"))?;
    number::read(number.as_str()).first().map(|meaning| meaning.value).filter(|percent| *percent <= 100.0)
}

fn speaks_of_correction(folded: &str) -> bool {
    const STEMS: [&str; 8] = ["corr", "korr", "umgerechnet", "ramene", "referid", "bezogen", "refer", "converted"];
    // "Corriente" is a current, "corrosion" a damage.
    const OTHERS: [&str; 3] = ["corrient", "corros", "correa"];
    let begins = |word: &str, stems: &[&str]| stems.iter().any(|stem| word.starts_with(stem));
    folded.split(' ').any(|word| begins(word, &STEMS) && !begins(word, &OTHERS))
}

/// Pieces between marks of punctuation; a comma or point between digits is none.
fn clauses(text: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut from = 0;
    let bytes = text.as_bytes();
    for (at, c) in text.char_indices() {
        let digit = |index: Option<usize>| index.and_then(|index| bytes.get(index)).is_some_and(u8::is_ascii_digit);
        let between_digits = digit(at.checked_sub(1)) && digit(Some(at + c.len_utf8()));
        let ends = match c {
            ',' => !between_digits,
            // A point behind a word that is cut short ends nothing ("Temp. 17 °C").
            '.' => text.get(at + 1..).is_some_and(|rest| rest.trim_start().starts_with(char::is_uppercase)),
            ';' | '(' | ')' | '[' | ']' | '\n' | '|' | '/' | '–' | '—' => true,
            '-' => text.get(..at).is_some_and(|before| before.ends_with(' ')) && !digit(Some(at + 1)),
            _ => false,
        };
        if ends {
            pieces.extend(text.get(from..at));
            from = at + c.len_utf8();
        }
    }
    pieces.extend(text.get(from..));
    pieces
}

/// The one temperature of a clause that tells nothing else.
fn of_clause(clause: &str) -> Option<(Place, f64)> {
    let mut all = DEGREES.as_ref()?.captures_iter(clause);
    let (found, None) = (all.next()?, all.next()) else { return None };
    let (number, sign) = (found.name("number")?, found.name("unit")?);
    let read = |sign: &str| unit::read(sign, Some(Dimension::Temperature)).first().map(|meaning| meaning.unit);
    let unit = read(sign.as_str()).or_else(|| read(&fold(sign.as_str())))?;
    let word = fold(sign.as_str());
    // "Grad", "grados" and "degrés" are spoken where nobody measures in Fahrenheit.
    let is_told =
        sign.as_str().trim_end().ends_with(['C', 'F']) || word.starts_with("grad") || word.starts_with("degres");
    let value = number::read(&number.as_str().replace('−', "-")).first()?.value;
    let celsius = unit.to_stored(value);
    let around = format!("{} {}", clause.get(..number.start())?, clause.get(sign.end()..)?);
    // "Tª" is a temperature in Spanish.
    let folded = fold(&around.replace('ª', "°"));
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    // "Resistance of the windings at 17 °C": nobody converts to other temperatures than the usual ones.
    let is_reference = REFERENCES.contains(&celsius);
    let names_conductor = |word: &&str| !is_reference && is_kind(word, "conductor");
    let winding = words.iter().any(|word| is_kind(word, "winding") || names_conductor(word));
    let surroundings = words.iter().any(|word| is_kind(word, "surroundings"));
    let known = |word: &&str| {
        ["winding", "surroundings", "beside_temperature"].iter().any(|kind| is_kind(word, kind))
            || !is_reference && is_kind(word, "beside_measured")
            || names_conductor(word)
    };
    // "Between leads, winding at 20 °C both times": whatever else is said, that is the winding's.
    if is_told && USUAL.contains(&celsius) && is_winding_at(clause.get(..number.start())?) {
        return Some((Place::Winding, celsius));
    }
    if !is_told || !USUAL.contains(&celsius) || !words.iter().all(known) || winding && surroundings {
        return None;
    }
    let place = match (winding, surroundings) {
        (true, _) => Place::Winding,
        (_, true) => Place::Surroundings,
        _ => Place::Untold,
    };
    Some((place, celsius))
}

/// Whether a text ends by saying "winding at", and not "of the winding at", which leads to the temperature that a value was converted to.
fn is_winding_at(before: &str) -> bool {
    /// What leads from a thing to what it is of.
    const GENITIVES: [&str; 6] = ["of", "de", "del", "du", "des", "der"];
    let folded = fold(before);
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    let is_link = |word: &str| is_kind(word, "beside_temperature") && !is_kind(word, "winding");
    let told = match words.split_last() {
        Some((last, before)) if is_link(last) => before,
        _ => &words,
    };
    let Some((winding, rest)) = told.split_last() else { return false };
    is_kind(winding, "winding") && !rest.iter().rev().take(2).any(|word| GENITIVES.contains(word))
}

#[cfg(test)]
mod tests {
    use super::{Place, humidity, temperatures};
    use proptest::prelude::*;

    /// Common practice in remarks, no source.
    #[test]
    fn remarks_tell_temperatures_in_four_languages() {
        for (text, place, celsius) in [
            ("T° enroulement 24°C", Place::Winding, 24.0),
            ("26°C", Place::Untold, 26.0),
            ("après étuvage, 38 °C", Place::Untold, 38.0),
            ("moteur humide 20°C", Place::Untold, 20.0),
            ("Temp. bobinage: 22,5 °C", Place::Winding, 22.5),
            ("Wicklung 31 °C", Place::Winding, 31.0),
            ("Maschine feucht, Wicklungstemp. 17 Grad", Place::Winding, 17.0),
            ("bei 19 °C gemessen", Place::Untold, 19.0),
            ("devanado a 27 ºC", Place::Winding, 27.0),
            ("T=25 °C", Place::Untold, 25.0),
            ("wdg temp 86F", Place::Winding, 30.0),
            ("wdg 31 C; damp", Place::Winding, 31.0),
            ("winding 18 deg C", Place::Winding, 18.0),
            ("amb. 18 °C", Place::Surroundings, 18.0),
            ("-- all at 21 °C", Place::Untold, 21.0),
            ("Mittlere Wicklungstemperatur: 24,5 °C", Place::Winding, 24.5),
            ("bobinage à 22 degrés", Place::Winding, 22.0),
            ("outdoor motor - winding -5 °C", Place::Winding, -5.0),
            ("Ohms, lead to lead, winding at 20 °C both times", Place::Winding, 20.0),
            ("Resistencia entre puntas con el devanado a 25 °C", Place::Winding, 25.0),
        ] {
            let found = temperatures(text);
            let is_it = matches!(found.as_slice(), [(at, value)] if *at == place && (value - celsius).abs() < 1e-9);
            assert!(is_it, "{text}: {found:?}");
        }
        // A current ("corriente") is no correction.
        let line = "Temperatura media del devanado: 24,5 °C (6 RTD). Corriente de medida 50 A. Lecturas en microohmios";
        assert_eq!(temperatures(line), [(Place::Winding, 24.5)]);
        assert_eq!(temperatures("wdg 31 C, amb 18 C"), [(Place::Winding, 31.0), (Place::Surroundings, 18.0)]);
    }

    #[test]
    fn lines_of_a_form_tell_temperature_and_humidity() {
        let line = "Date 14-Jan-2009   Winding temp 27 C   Test volts 5 kV dc   RH 45%";
        assert_eq!((temperatures(line), humidity(line)), (vec![(Place::Winding, 27.0)], Some(45.0)));
        for text in ["rel. Feuchte: 62 %", "HR 62 %", "humedad relativa 62%", "hygrométrie 62 %", "62 % r.F.", "62% RH"]
        {
            assert_eq!(humidity(text), Some(62.0), "{text}");
        }
        assert_eq!(temperatures("Tª dev. 24 ºC"), [(Place::Winding, 24.0)]);
    }

    #[test]
    fn other_temperatures_are_not_the_machines() {
        for text in [
            "baked 8 h at 120 °C",
            "bearing 61 °C",
            "Lager 45 °C",
            "corrected to 40 °C",
            "umgerechnet auf 20 °C",
            "ramené à 40 °C",
            "referido a 40 ºC",
            "étuvé à 75 °C pendant 12 h",
            "between 20 °C and 30 °C",
            "wdg 20 °C, wdg 30 °C",
            "class F 105 °C",
            "M 31",
            "30°",
            "200 M",
        ] {
            assert_eq!(temperatures(text), [], "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,60}") {
            let _ = (temperatures(&text), humidity(&text));
        }
    }
}
