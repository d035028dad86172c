//! A label and its value in one cell: "Date: 14.03.1987", "Tag = P-101; Serial = 4711".

use crate::fit::{self, fits, wants};
use crate::loose::is_identity;
use crate::sense::{Kind, Sense};
use windrow_model::Dimension;
use windrow_source::Cell;
use windrow_text::header::{self, Label};
use windrow_text::vocabulary::Concept;

/// One label with its value.
#[derive(Debug)]
pub struct Inline<'t> {
    /// The label as written.
    pub label: &'t str,
    /// What it tells.
    pub told: Label,
    /// The value as written.
    pub value: &'t str,
    /// What the value could mean.
    pub sense: Sense,
}

/// Most words of a label.
const MOST_WORDS: usize = 6;
/// Most words of a label that tells all of a measured value.
const MOST_MEASURED_WORDS: usize = 12;

/// The pairs in a text; none if it is a title or a remark with a colon.
#[must_use]
pub fn read(text: &str) -> Vec<Inline<'_>> {
    let mut found = Vec::new();
    for piece in text.split(['\n', ';', '\t', '|', '·', '•']).flat_map(apart).flat_map(sentences) {
        let Some((label, value)) = piece.split_once([':', '=']) else { continue };
        let (label, value) = (label.trim(), value.trim());
        let sense = Sense::read_text(value);
        // "Insulation, armature to frame, 500 V, 1 min: 12.5 Mohm": before a measured value a label may say all there is to say.
        let is_measured = is_measured(&sense);
        let most_words = if is_measured { MOST_MEASURED_WORDS } else { MOST_WORDS };
        if label.is_empty() || value.is_empty() || label.split_whitespace().count() > most_words {
            return Vec::new();
        }
        let told = header::read(label);
        // "U/masse : 320 MΩ": between what a resistance was measured says what it is.
        let names_circuit = told.unexplained.is_empty() && told.circuits.iter().any(|meaning| meaning.weight >= 0.9);
        if told.concepts.is_empty() && is_measured && names_circuit {
            found.push(Inline { label, told, value, sense });
            continue;
        }
        let Some((concept, weight)) = told.concepts.first().copied() else { continue };
        let names_resistance = matches!(concept, Concept::Resistance | Concept::CorrectedResistance)
            || fit::quantity(concept).is_some_and(|quantity| quantity.dimension() == Dimension::Resistance);
        let is_measured = is_measured && names_resistance;
        if !is_measured && label.split_whitespace().count() > MOST_WORDS {
            return Vec::new();
        }
        let cell = Cell::text(0, 0, value);
        // In a name the letters of phases and units say nothing ("5-M-910").
        let is_name = is_identity(concept) && (sense.tag >= 0.5 || is_lettered(value));
        // A title with a colon looks like a pair: a pair's label is sure, and its value holds no quantity word.
        let tells_more = sense.label.concepts.iter().any(|(concept, _)| fit::quantity(*concept).is_some())
            || !sense.label.circuits.is_empty()
            || sense.label.elapsed_s.is_some();
        // "Pumping station Elmside: quarterly tests" names a place and labels none.
        let is_place = matches!(concept, Concept::Site | Concept::Area) && !told.unexplained.is_empty();
        let is_title = !is_name && !is_measured && tells_more || told.unexplained.len() >= 2 || is_place;
        let tells_one = sense.begins.is_none();
        if (weight >= 0.6 || is_name) && !is_title && tells_one && fits(wants(concept), &cell, &sense) >= 0.5 {
            found.push(Inline { label, told, value, sense });
        }
    }
    found
}

/// "Motor: 3 ph 6600 V 300 HP": a machine and what its plate says, of which a power or speed is sure.
#[must_use]
pub fn is_plate(text: &str) -> bool {
    let Some((name, plate)) = text.split_once(':').filter(|(name, _)| name.split_whitespace().count() <= 3) else {
        return false;
    };
    let folded = windrow_text::fold::fold(name);
    let is_machine = folded.split(' ').any(windrow_text::said::names_machine);
    let words: Vec<&str> = plate.split([' ', ',', ';', '/']).filter(|word| !word.is_empty()).collect();
    let is_number = |word: &str| word.starts_with(|c: char| c.is_ascii_digit()) && !word.contains(char::is_alphabetic);
    let is_rating = |two: &[&str]| {
        let [number, unit] = two else { return false };
        let best = windrow_text::unit::read(unit, None).into_iter().next().filter(|best| best.weight >= 0.8);
        let dimension = best.map(|best| best.unit.dimension);
        is_number(number) && matches!(dimension, Some(Dimension::Power | Dimension::ApparentPower | Dimension::Speed))
    };
    is_machine && words.windows(2).any(is_rating)
}

/// "Groupe A", "Dock II Pumpe": a word and a capital letter, or words with a Roman number among them.
fn is_lettered(value: &str) -> bool {
    is_numbered_by_letters(value) || is_word_and_letter(value)
}

/// "Dock I Pumpe a": two to four words, the first in capitals, a Roman number behind it.
fn is_numbered_by_letters(value: &str) -> bool {
    const NUMBERS: [&str; 10] = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X"];
    let words: Vec<&str> = value.split(' ').filter(|word| !word.is_empty()).collect();
    let [first, others @ ..] = words.as_slice() else { return false };
    let is_name = first.chars().count() >= 4 && first.starts_with(char::is_uppercase);
    is_name
        && (1..=3).contains(&others.len())
        && first.chars().all(char::is_alphabetic)
        && others.iter().any(|word| NUMBERS.contains(word))
        && others.iter().all(|word| word.chars().all(char::is_alphanumeric))
}

fn is_word_and_letter(value: &str) -> bool {
    let Some((word, code)) = value.split_once(' ') else { return false };
    let is_word =
        word.chars().count() >= 4 && word.starts_with(char::is_uppercase) && word.chars().all(char::is_alphabetic);
    let is_letter = code.len() == 1 && code.chars().all(|c| c.is_ascii_uppercase());
    is_word && is_letter
}

/// Whether a value is a number with a unit that only measured values have.
fn is_measured(sense: &Sense) -> bool {
    let parts = sense.measure.iter().flat_map(|measure| &measure.parts);
    let mut units = parts.flat_map(|part| &part.units);
    sense.kind == Kind::Number
        && units.any(|meaning| meaning.unit.dimension == Dimension::Resistance && meaning.weight >= 0.6)
}

/// The stretches of a line that wide blanks hold apart; those before a colon only set it below its like ("Date      : 14.03.1987").
fn apart(line: &str) -> Vec<&str> {
    let (mut pieces, mut from) = (Vec::new(), 0);
    for (at, gap) in line.match_indices("   ") {
        let (before, behind) = (line.get(from..at), line.get(at + gap.len()..));
        if let (Some(before), Some(behind)) = (before, behind)
            && !behind.trim_start().starts_with([':', '='])
        {
            pieces.push(before);
            from = at + gap.len();
        }
    }
    pieces.extend(line.get(from..));
    pieces
}

/// The stretches of a line that end with a point before the next label ("Client: North. Date of test: 21 June 2017. Ambient 24 °C").
fn sentences(line: &str) -> Vec<&str> {
    let (mut pieces, mut from) = (Vec::new(), 0);
    let labels = line.matches([':', '=']).count();
    for (at, mark) in line.match_indices(". ") {
        let behind = line.get(at + mark.len()..).unwrap_or_default();
        let label = behind.split_once([':', '=']).map(|(label, _)| label);
        let begins_label = label.is_some_and(|label| {
            let told = header::read(label);
            told.unexplained.is_empty() && told.concepts.first().is_some_and(|(_, weight)| *weight >= 0.6)
        });
        // "Temp. bobinage: 31 °C" is cut short and no sentence.
        let has_pair = line.get(from..at).is_some_and(|before| before.contains([':', '=']));
        // What follows the value of the last label is prose of its own.
        let is_prose = label.is_none() && labels >= 2 && behind.starts_with(char::is_uppercase);
        if has_pair && (begins_label || is_prose) {
            pieces.extend(line.get(from..at));
            from = at + mark.len();
        }
    }
    pieces.extend(line.get(from..));
    pieces
}

/// Whether the text is nothing but labels with their values.
#[must_use]
pub fn is_pair(text: &str) -> bool {
    text.contains([':', '=']) && !read(text).is_empty()
}

#[cfg(test)]
mod tests {
    use super::read;

    fn values(text: &str) -> Vec<(&str, &str)> {
        read(text).into_iter().map(|pair| (pair.label, pair.value)).collect()
    }

    #[test]
    fn a_bare_word_for_machines_is_a_label_before_a_tag_and_not_before_prose() {
        assert_eq!(values("Machine: BF-7"), [("Machine", "BF-7")]);
        assert_eq!(values("Machine: see the other card"), []);
        assert_eq!(values("Machine : Groupe A"), [("Machine", "Groupe A")]);
        assert_eq!(values("Machine : voir fiche A"), []);
    }

    #[test]
    fn terminals_are_a_label_before_a_resistance_only() {
        assert_eq!(values("U/masse : 1,2 GΩ"), [("U/masse", "1,2 GΩ")]);
        assert_eq!(values("U/masse : voir ci-dessous"), []);
        assert_eq!(values("L : 20 m"), []);
    }

    #[test]
    fn sentences_part_pairs_and_points_of_abbreviations_do_not() {
        let line = "Client: Northfield Works. Date of test: 21 June 2017. Ambient 24 °C, RH 52 %.";
        assert_eq!(values(line), [("Client", "Northfield Works"), ("Date of test", "21 June 2017")]);
        assert_eq!(values("Site: St. Mary Works"), [("Site", "St. Mary Works")]);
        assert_eq!(values("Temp. bobinage: 31 °C"), [("Temp. bobinage", "31 °C")]);
    }

    #[test]
    fn wide_blanks_part_pairs_and_not_a_label_from_its_colon() {
        assert_eq!(values("Date      : 14.03.1987"), [("Date", "14.03.1987")]);
        assert_eq!(values("Date: 14.03.1987    Tested by   : O. Q."), [("Date", "14.03.1987"), ("Tested by", "O. Q.")]);
    }
}
