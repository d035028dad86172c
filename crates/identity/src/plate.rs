//! Nameplate words in the codes of the schema.

use windrow_model::raw::PlateField;
use windrow_text::fold::fold;

/// Letters of thermal classes: IEC 60085:2007 Table 1 (verified through a national adoption); O is an old letter for Y.
const CLASSES: [(&str, &str); 10] = [
    ("y", "90"),
    ("o", "90"),
    ("a", "105"),
    ("e", "120"),
    ("b", "130"),
    ("f", "155"),
    ("h", "180"),
    ("n", "200"),
    ("r", "220"),
    ("c", "250"),
];

/// The code of a nameplate text, or the text itself where the schema has no codes for the field. `None` if it should be a code
/// and is none: it then stays in the cell and in no column.
///
/// ```
/// use windrow_identity::plate::code;
/// use windrow_model::raw::PlateField;
/// assert_eq!(code(PlateField::InsulationClass, "155 (F)").as_deref(), Some("155"));
/// assert_eq!(code(PlateField::WindingKind, "random-wound").as_deref(), Some("random"));
/// ```
#[must_use]
pub fn code(field: PlateField, text: &str) -> Option<String> {
    match field {
        PlateField::InsulationClass => class(text),
        PlateField::WindingKind => winding_kind(text),
        PlateField::EquipmentClass => equipment_class(text),
        _ => Some(text.to_owned()),
    }
}

fn class(text: &str) -> Option<String> {
    let folded = fold(text);
    let words = || folded.split(' ');
    let number = words().find_map(|word| CLASSES.iter().find(|(_, class)| *class == word));
    let letter = || words().rev().find_map(|word| CLASSES.iter().find(|(letter, _)| *letter == word));
    number.or_else(letter).map(|(_, class)| (*class).to_owned())
}

/// Class codes of ISO 14224:2016 Table A.4 are two capital letters (from memory); of words only those of electric machines are read.
fn equipment_class(text: &str) -> Option<String> {
    let text = text.trim();
    if text.len() == 2 && text.bytes().all(|letter| letter.is_ascii_uppercase()) {
        return Some(text.to_owned());
    }
    let folded = fold(text);
    let has = |words: &[&str]| folded.split(' ').any(|word| words.contains(&word));
    match (has(&["motor", "motors", "moteur"]), has(&["generator", "alternator", "generateur", "generador"])) {
        (true, false) => Some("EM".to_owned()),
        (false, true) => Some("EG".to_owned()),
        _ => None,
    }
}

/// Words for winding construction in four languages (record-keeping dictionary, section 12; common practice, no source).
fn winding_kind(text: &str) -> Option<String> {
    const FORM: &[&str] =
        &["form", "formed", "diamond", "formspule", "formspulen", "gabarit", "preformada", "preformado"];
    const RANDOM: &[&str] = &["random", "mush", "traufelwicklung", "traufel", "wild", "vrac", "redondo"];
    let folded = fold(text);
    let has = |words: &[&str]| folded.split(' ').any(|word| words.contains(&word));
    match (has(FORM), has(RANDOM)) {
        (true, false) => Some("form".to_owned()),
        (false, true) => Some("random".to_owned()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{class, winding_kind};

    #[test]
    fn classes_in_every_writing() {
        for (text, expected) in [
            ("F", "155"),
            ("class B", "130"),
            ("Cl. H", "180"),
            ("155", "155"),
            ("155(F)", "155"),
            ("A", "105"),
            ("Wkl. F", "155"),
        ] {
            assert_eq!(class(text).as_deref(), Some(expected), "{text}");
        }
        assert_eq!(class("unknown"), None);
    }

    #[test]
    fn constructions_in_four_languages() {
        for (text, expected) in [
            ("form-wound", "form"),
            ("Formspule", "form"),
            ("Träufelwicklung", "random"),
            ("bobinage en vrac", "random"),
            ("random", "random"),
        ] {
            assert_eq!(winding_kind(text).as_deref(), Some(expected), "{text}");
        }
        assert_eq!(winding_kind("stator"), None);
    }
}
