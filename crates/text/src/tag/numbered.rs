//! Machines that a title calls by what they are and a number: "GEN 2 STATOR", "Pompe n° 3".

use crate::fold::fold;
use crate::marks::is_kind;
use crate::unit;
use windrow_model::Dimension;

/// Signs and words between the name and its number.
const NUMBER_SIGNS: [&str; 8] = ["no", "nr", "n°", "num", "nro", "number", "n", "#"];
/// Words behind a number that count something else, or list further numbers.
const COUNTED: [&str; 22] = [
    "phase", "phases", "ph", "pole", "poles", "polig", "pol", "poles", "polos", "fases", "speed", "speeds", "lead",
    "leads", "and", "und", "et", "y", "to", "bis", "a", "off",
];

/// The one machine that a text calls by a word for machines (`data/words.csv`, kind `machine`) and a number or letter.
///
/// ```
/// use windrow_text::tag::numbered;
/// assert_eq!(numbered("POLARIZATION INDEX TEST  GEN 2 STATOR").as_deref(), Some("GEN 2"));
/// assert_eq!(numbered("MOTOR 500 HP"), None);
/// ```
#[must_use]
pub fn numbered(text: &str) -> Option<String> {
    // Dashes and colons join or part as blanks do; a stop or a bracket that stands alone parts a name from what follows.
    let is_word = |word: &&str| word.chars().any(|c| c.is_alphanumeric() || matches!(c, '#' | '.' | ';' | '(' | ')'));
    let words: Vec<&str> = text.split_whitespace().filter(is_word).collect();
    let mut found = (0..words.len()).filter_map(|at| named_at(&words, at));
    let first = found.next()?;
    found.next().is_none().then_some(first)
}

fn named_at(words: &[&str], at: usize) -> Option<String> {
    let noun = words.get(at).filter(|word| is_kind(&fold(word), "machine"))?;
    if noun.ends_with([',', ';', ':', ')']) {
        return None;
    }
    // "Motorgenerator Satz 2": a number of sets.
    let set = words.get(at + 1).filter(|word| is_kind(&fold(word), "set_of_machine"));
    let behind = at + 1 + usize::from(set.is_some());
    let sign = words.get(behind).filter(|word| NUMBER_SIGNS.contains(&fold(word).as_str()) || **word == "#");
    let number_at = behind + usize::from(sign.is_some());
    let number = words.get(number_at)?;
    let bare = number.trim_matches(['#', ',', ';', ':', '(', ')', '.', '"', '-']);
    let lists =
        number.ends_with(',') && words.get(number_at + 1).is_some_and(|next| is_number(next.trim_matches([',', ';'])));
    let next = words.get(number_at + 1).map(|next| next.trim_matches(['.', ',', '(', ')'])).unwrap_or_default();
    let counts = COUNTED.contains(&fold(next).as_str()) || !number.ends_with([',', ';', ':']) && is_rating(next);
    // "Motor P 620A": the letter begins a tag of its own.
    let goes_on = bare.chars().all(char::is_alphabetic) && next.contains(|c: char| c.is_ascii_digit());
    (is_number(bare) && !lists && !counts && !goes_on).then(|| match set {
        Some(set) => format!("{noun} {set} {bare}"),
        None => format!("{noun} {bare}"),
    })
}

/// Whether a word is a unit of nameplates or times, so that the number before it is no name.
fn is_rating(word: &str) -> bool {
    unit::read(word, None).first().is_some_and(|meaning| {
        !matches!(meaning.unit.dimension, Dimension::Resistance | Dimension::Temperature | Dimension::Capacitance)
    })
}

/// `2`, `3B`, `A`, `A2`: up to three digits, or one capital.
fn is_number(text: &str) -> bool {
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    let letters = text.bytes().filter(u8::is_ascii_uppercase).count();
    digits + letters == text.len() && digits <= 3 && letters <= 1 && (digits > 0 || letters == 1)
}

#[cfg(test)]
mod tests {
    use super::numbered;

    /// Common practice in titles, no source.
    #[test]
    fn titles_name_machines_by_a_word_and_a_number() {
        for (text, name) in [
            ("POLARIZATION INDEX TEST  GEN 2 STATOR", "GEN 2"),
            ("Generator 3, stator winding", "Generator 3"),
            ("Isolationsmessung Pumpe 4B", "Pumpe 4B"),
            ("Essai d'isolement - Pompe n° 3", "Pompe 3"),
            ("Alternateur A : indice de polarisation", "Alternateur A"),
            ("Ensayo de aislamiento Bomba No. 12", "Bomba 12"),
            ("FAN #2 MEG TEST", "FAN 2"),
        ] {
            assert_eq!(numbered(text).as_deref(), Some(name), "{text}");
        }
        for text in [
            "MOTOR 500 HP",
            "Motor 3 phase",
            "Generator 11 kV",
            "Motor tests 1994",
            "Motor 4160",
            "Pumps 1 and 2",
            "Pump 1 and 2",
            "Pump 1, 2, 3",
            "PUMP 1 MIN",
            "Pump 3 / Fan 4 and Fan 5",
            "Insulation test",
            "Fiche de vie - moteur P 620A",
            "Mc : machine . V : tension",
            "Mc : machine (  =  ). V : tension",
        ] {
            assert_eq!(numbered(text), None, "{text}");
        }
    }
}
