//! Letters beyond ASCII, which the format writes as escape sequences.
//!
//! ESC `N` and a letter of ISO 6937 without its highest bit (a diacritical mark goes before its letter); or ESC and two letters that are the
//! halves of a byte of Windows-1252. Tables of ISO/IEC 6937:2001 from memory.

use unicode_normalization::char::compose;
use windrow_source::encoding::WINDOWS_1252;

const ESCAPE: char = '\u{1B}';

/// Letters of ISO 6937 that stand alone, by their letter without the highest bit.
const ALONE: [(char, char); 38] = [
    ('!', '¡'),
    ('"', '¢'),
    ('#', '£'),
    ('%', '¥'),
    ('\'', '§'),
    ('+', '«'),
    ('0', '°'),
    ('1', '±'),
    ('2', '²'),
    ('3', '³'),
    ('4', '×'),
    ('5', 'µ'),
    ('6', '¶'),
    ('7', '·'),
    ('8', '÷'),
    (';', '»'),
    ('<', '¼'),
    ('=', '½'),
    ('>', '¾'),
    ('?', '¿'),
    ('Q', '¹'),
    ('R', '®'),
    ('S', '©'),
    ('T', '™'),
    ('`', 'Ω'),
    ('a', 'Æ'),
    ('b', 'Đ'),
    ('c', 'ª'),
    ('i', 'Ø'),
    ('j', 'Œ'),
    ('k', 'º'),
    ('l', 'Þ'),
    ('q', 'æ'),
    ('s', 'ð'),
    ('y', 'ø'),
    ('z', 'œ'),
    ('{', 'ß'),
    ('|', 'þ'),
];

/// Diacritical marks, by their letter without the highest bit.
const MARKS: [(char, char); 13] = [
    ('A', '\u{300}'),
    ('B', '\u{301}'),
    ('C', '\u{302}'),
    ('D', '\u{303}'),
    ('E', '\u{304}'),
    ('F', '\u{306}'),
    ('G', '\u{307}'),
    ('H', '\u{308}'),
    ('J', '\u{30A}'),
    ('K', '\u{327}'),
    ('M', '\u{30B}'),
    ('N', '\u{328}'),
    ('O', '\u{30C}'),
];

/// `text` with its escape sequences resolved; one that makes no sense stays.
pub(crate) fn resolved(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(ESCAPE) {
        out.push_str(before);
        if let Some((letter, length)) = sequence(after) {
            out.push(letter);
            rest = after.get(length..).unwrap_or_default();
        } else {
            out.push(ESCAPE);
            rest = after;
        }
    }
    out.push_str(rest);
    out
}

/// The letter of the sequence at the start of `after` (behind the escape), and its length in bytes.
fn sequence(after: &str) -> Option<(char, usize)> {
    let mut letters = after.chars();
    let (first, second) = (letters.next()?, letters.next()?);
    if first == 'N' {
        if let Some((_, mark)) = MARKS.iter().find(|(letter, _)| *letter == second) {
            let base = letters.next().filter(char::is_ascii)?;
            return Some((compose(base, *mark)?, 3));
        }
        return ALONE.iter().find(|(letter, _)| *letter == second).map(|(_, found)| (*found, 2));
    }
    let half = |letter: char, from: u32| (letter as u32).checked_sub(from).filter(|half| *half < 16);
    let byte = half(first, 0x20)? << 4 | half(second, 0x30)?;
    let decoded = WINDOWS_1252.decode(&[u8::try_from(byte).ok()?]).chars().next()?;
    Some((decoded, 2))
}

#[cfg(test)]
mod tests {
    use super::resolved;

    #[test]
    fn units_and_accents_come_out_of_both_kinds_of_sequences() {
        assert_eq!(resolved("20 \u{1B}N0C, 5 M\u{1B}N`, 3 \u{1B}N5A"), "20 °C, 5 MΩ, 3 µA");
        assert_eq!(resolved("gepr\u{1B}NHuft, d\u{1B}NBecembre"), "geprüft, décembre");
        assert_eq!(resolved("two\u{1B} :lines, 20 \u{1B}+0C"), "two\nlines, 20 °C");
        assert_eq!(resolved("lone \u{1B}"), "lone \u{1B}");
    }
}
