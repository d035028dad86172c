//! Letters of the font Symbol, in which old documents set `Ω` and `µ` by typing `W` and `m`.

/// Letters of the font for `A` to `Z` and `a` to `z`, by the encoding published with the font (from memory).
const UPPER: &str = "ΑΒΧΔΕΦΓΗΙϑΚΛΜΝΟΠΘΡΣΤΥςΩΞΨΖ";
const LOWER: &str = "αβχδεφγηιϕκλμνοπθρστυϖωξψζ";

/// What a letter shows in the font Symbol; those that are no letters are themselves but for a few signs.
pub(crate) fn shown(letter: char) -> char {
    // Word processors keep letters of such fonts in an area of their own.
    let code = match letter as u32 {
        code @ 0xF020..=0xF0FF => code - 0xF000,
        code => code,
    };
    let Some(byte) = u8::try_from(code).ok() else { return letter };
    let of = |letters: &str, first: u8| letters.chars().nth(usize::from(byte - first));
    match byte {
        b'A'..=b'Z' => of(UPPER, b'A').unwrap_or(letter),
        b'a'..=b'z' => of(LOWER, b'a').unwrap_or(letter),
        0xA3 => '≤',
        0xA5 => '∞',
        0xB0 => '°',
        0xB1 => '±',
        0xB3 => '≥',
        0xB4 => '×',
        0xB8 => '÷',
        0xB9 => '≠',
        0xBB => '≈',
        0x20..=0x7E => char::from(byte),
        _ => letter,
    }
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn units_typed_in_the_font_are_units() {
        assert_eq!(['W', 'm', '\u{F057}', '\u{F0B0}', '5', ' '].map(shown), ['Ω', 'μ', 'Ω', '°', '5', ' ']);
    }
}
