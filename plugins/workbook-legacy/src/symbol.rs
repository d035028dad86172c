//! Letters that a text font for symbols shows as Greek ones: old books write `MW` and set the W in that font.

/// Greek letters in the places of `A` to `Z` and `a` to `z` (the Symbol encoding of Adobe, from memory). A capital that looks like
/// a Latin one is that one: in `MW` the writer wants to see an M.
const UPPER: &str = "ABXΔEΦΓHIϑKΛMNOΠΘPΣTYςΩΞΨZ";
const LOWER: &str = "αβχδεφγηιϕκλμνοπθρστυϖωξψζ";

/// The letter that the font shows for `letter`; also where a program stored it in the area for private use.
pub(crate) fn shown(letter: char) -> char {
    let code = match u32::from(letter) {
        code @ 0xF020..=0xF0FF => code - 0xF000,
        code => code,
    };
    let greek = |letters: &str, first: char| letters.chars().nth(usize::try_from(code - u32::from(first)).unwrap_or(0));
    match char::from_u32(code).unwrap_or(letter) {
        'A'..='Z' => greek(UPPER, 'A').unwrap_or(letter),
        'a'..='z' => greek(LOWER, 'a').unwrap_or(letter),
        plain if plain.is_ascii() => plain,
        _ => letter,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_letters_of_units_are_shown() {
        assert_eq!("MW".chars().map(shown).collect::<String>(), "MΩ");
        assert_eq!(shown('m'), 'μ');
        assert_eq!(shown('\u{F057}'), 'Ω');
        assert_eq!((shown('5'), shown('°')), ('5', '°'));
    }

    #[test]
    fn every_letter_has_its_place() {
        assert_eq!((UPPER.chars().count(), LOWER.chars().count()), (26, 26));
    }
}
