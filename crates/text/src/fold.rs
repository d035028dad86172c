//! Folding of spelling: case, accents, punctuation, damaged signs.

use std::borrow::Cow;
use unicode_normalization::UnicodeNormalization;

/// Lower case, accents stripped, ß as ss, Ω/µ/° in one form each, punctuation to single blanks: the form in which words are
/// compared. `"Wickl.-Temp. (°C)"` becomes `"wickl temp °c"`.
///
/// Signs that carry meaning in a word stay: `°`, `%`, `‰` and Greek letters. Text in the wrong code page is mended first
/// (see [`mend`]).
///
/// ```
/// use windrow_text::fold::fold;
/// assert_eq!(fold("Wickl.-Temp. (°C)"), "wickl temp °c");
/// assert_eq!(fold("Résistance d'isolement"), "resistance d isolement");
/// ```
#[must_use]
pub fn fold(text: &str) -> String {
    let text = mend(text);
    let mut out = String::with_capacity(text.len());
    if text.is_ascii() {
        text.chars().for_each(|c| push_folded(&mut out, c.to_ascii_lowercase()));
    } else {
        for c in text.chars().map(one_form).nfkd().flat_map(char::to_lowercase) {
            match c {
                'ß' => out.push_str("ss"),
                'ø' => out.push('o'),
                'æ' => out.push_str("ae"),
                'œ' => out.push_str("oe"),
                'ł' => out.push('l'),
                'ı' => out.push('i'),
                'ς' => out.push('σ'),
                // NFKD takes the micro sign to the Greek letter; one form is kept.
                'μ' => out.push('µ'),
                _ => push_folded(&mut out, c),
            }
        }
    }
    out.truncate(out.trim_end().len());
    out
}

/// Appends a letter, digit or meaningful sign; anything else as one blank; combining marks not at all.
fn push_folded(out: &mut String, c: char) {
    if c.is_alphanumeric() || matches!(c, '°' | '%' | '‰') {
        out.push(c);
    } else if !is_combining(c) && !out.is_empty() && !out.ends_with(' ') {
        out.push(' ');
    }
}

fn is_combining(c: char) -> bool {
    matches!(c, '\u{300}'..='\u{36f}' | '\u{200b}'..='\u{200f}' | '\u{ad}' | '\u{feff}')
}

/// The ohm, micro, degree and delta signs that Unicode has twice, in one form each; any other character as it is.
#[must_use]
pub fn one_form(c: char) -> char {
    match c {
        '\u{2126}' => 'Ω',
        '\u{3bc}' => 'µ',
        'º' | '˚' | '∘' => '°',
        '∆' => 'Δ',
        _ => c,
    }
}

/// Text whose UTF-8 bytes were once read as Windows-1252, Mac Roman or code page 437 (`MÎ©`, `Mâ„¦`, `Â°C`), mended;
/// borrowed when there is nothing to mend.
///
/// Two or three characters are mended only if they are, taken back to bytes of that code page, the UTF-8 of one sign that
/// such records hold: words of four languages never are.
///
/// ```
/// use windrow_text::fold::mend;
/// assert_eq!(mend("MÎ©"), "MΩ");
/// assert_eq!(mend("PrÃ¼fspannung"), "Prüfspannung");
/// assert_eq!(mend("Prüfspannung"), "Prüfspannung");
/// ```
#[must_use]
pub fn mend(text: &str) -> Cow<'_, str> {
    if !text.contains(is_lead) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let (sign, length) =
            if is_lead(c) { mended_sign(rest).unwrap_or((c, c.len_utf8())) } else { (c, c.len_utf8()) };
        out.push(sign);
        rest = rest.get(length..).unwrap_or_default();
    }
    Cow::Owned(out)
}

/// The sign that the first two or three characters are in a wrong code page, and their length in bytes.
fn mended_sign(text: &str) -> Option<(char, usize)> {
    for width in [2, 3] {
        let length = text.char_indices().nth(width).map_or(text.len(), |(at, _)| at);
        let run = text.get(..length)?;
        let sign = CODE_PAGES.iter().find_map(|page| back_to_utf8(run, *page));
        if let Some(sign) = sign {
            return Some((sign, length));
        }
    }
    None
}

/// Characters as which the first byte of a two- or three-byte sequence for our signs and letters shows.
fn is_lead(c: char) -> bool {
    matches!(c, 'Â' | 'Ã' | 'Ä' | 'Å' | 'Î' | 'Ï' | 'â' | '¬' | '√' | 'Œ' | '‚' | '┬' | '├' | '╬' | 'Γ')
}

const CODE_PAGES: [fn(char) -> Option<u8>; 3] = [windows_1252, mac_roman, code_page_437];

/// The one Latin or Greek letter, punctuation mark or mathematical sign that the bytes of `run` are in UTF-8.
fn back_to_utf8(run: &str, page: fn(char) -> Option<u8>) -> Option<char> {
    let bytes: Option<Vec<u8>> = run.chars().map(page).collect();
    let text = String::from_utf8(bytes?).ok()?;
    let mut signs = text.chars();
    let sign = signs.next()?;
    let plausible = matches!(sign, '\u{a0}'..='\u{17f}' | '\u{391}'..='\u{3ce}' | '\u{2000}'..='\u{22ff}');
    (plausible && signs.next().is_none()).then_some(sign)
}

/// Position of `c` in `table`, counted from byte 0x80.
fn in_table(c: char, table: &str) -> Option<u8> {
    table.chars().position(|entry| entry == c).and_then(|index| u8::try_from(index + 0x80).ok())
}

fn windows_1252(c: char) -> Option<u8> {
    // Bytes 0x80 to 0x9F; the five that are not assigned stand as themselves. From 0xA0 on equal to Unicode.
    const HIGH: &str = "€\u{81}‚ƒ„…†‡ˆ‰Š‹Œ\u{8d}Ž\u{8f}\u{90}‘’“”•–—˜™š›œ\u{9d}žŸ";
    match u32::from(c) {
        code @ 0xa0..=0xff => u8::try_from(code).ok(),
        _ => in_table(c, HIGH),
    }
}

fn mac_roman(c: char) -> Option<u8> {
    const HIGH: &str = "ÄÅÇÉÑÖÜáàâäãåçéèêëíìîïñóòôöõúùûü†°¢£§•¶ß®©™´¨≠ÆØ∞±≤≥¥µ∂∑∏π∫ªºΩæø¿¡¬√ƒ≈∆«»…\u{a0}ÀÃÕŒœ–—“”‘’÷◊ÿŸ⁄€‹›ﬁﬂ‡·‚„‰ÂÊÁËÈÍÎÏÌÓÔ";
    in_table(c, HIGH)
}

fn code_page_437(c: char) -> Option<u8> {
    const HIGH: &str = "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}";
    in_table(c, HIGH)
}

#[cfg(test)]
mod tests {
    use super::{fold, mend};

    #[test]
    fn folds_words_of_four_languages() {
        for (text, expected) in [
            ("Wickl.-Temp. (°C)", "wickl temp °c"),
            ("Großer Läufer", "grosser laufer"),
            ("N° de série", "n° de serie"),
            ("Nº de máquina", "n° de maquina"),
            ("  I.R. -- (M\u{2126}) ", "i r mω"),
            ("\u{3bc}A / µA", "µa µa"),
            ("% RH", "% rh"),
            ("", ""),
            ("...", ""),
        ] {
            assert_eq!(fold(text), expected, "{text:?}");
        }
    }

    /// Damage: UTF-8 read as another code page (record-keeping dictionary, section 2; common practice, no source).
    #[test]
    fn mends_utf8_read_in_a_wrong_code_page() {
        for sign in ["Ω", "\u{2126}", "µ", "°", "∞", "≥", "é", "ü", "–", "½"] {
            let as_1252: String =
                sign.bytes().map(|b| if b < 0xa0 { HIGH_1252[usize::from(b) - 0x80] } else { char::from(b) }).collect();
            assert_eq!(mend(&as_1252), sign, "{as_1252:?}");
        }
        assert_eq!(mend("M╬⌐"), "MΩ");
        assert_eq!(mend("┬░C"), "°C");
        assert_eq!(mend("MŒ©"), "MΩ");
        assert_eq!(mend("¬∞C"), "°C");
    }

    #[test]
    fn leaves_sound_text_alone() {
        for text in
            ["Décharge à la masse", "Âge", "Übertemperatur", "MΩ", "±5", "château", "Île", "«É»", "Maß»", "90Ø°"]
        {
            assert_eq!(mend(text), text);
        }
    }

    const HIGH_1252: [char; 32] = [
        '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}', '\u{90}', '‘',
        '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
    ];
}
