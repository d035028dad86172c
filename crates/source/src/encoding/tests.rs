use oem_cp::code_table::ENCODING_TABLE_CP_MAP;
use proptest::prelude::*;

use super::*;

/// Invented lines of records in four languages; each has what its encoding can hold.
const ENGLISH: &str = "Rod mill 2;winding to earth;4.2 MΩ;12 µA;at 25 °C\nRod mill 3;over 2 GΩ ±5 %;31 µA;27 °C";
const GERMAN: &str = "Pumpe 7;Prüfspannung 500 V;gemäß Prüfplan;25 °C\nLüfter 3;März 1988;18 µA;überholt";
const FRENCH: &str = "Pompe 4;tension d'épreuve 500 V;février 1991;20 °C\nrésistance élevée;août 1992;séché à l'étuve";
const SPANISH: &str = "Bomba 3;tensión 500 V;20 °C\nmáquina según año 1993;número 4;25 µA";
const POLISH: &str = "Pompa 3;napięcie próby 500 V;próba w październiku;opór dobry\nciśnienie;łożysko;część";

fn encoded(text: &str, encoding: Encoding) -> Vec<u8> {
    match encoding {
        Encoding::Standard(standard) => standard.encode(text).0.into_owned(),
        Encoding::Oem(page) => oem_cp::encode_string_checked(text, ENCODING_TABLE_CP_MAP.get(&page).unwrap()).unwrap(),
    }
}

fn check(text: &str, encoding: Encoding) {
    let bytes = encoded(text, encoding);
    let decoded = decode(&bytes);
    assert_eq!(decoded.text, text, "{} read as {}", encoding.name(), decoded.encoding.name());
    assert!(decoded.confidence > 0.8, "{}: {}", encoding.name(), decoded.confidence);
}

#[test]
fn text_of_each_code_page_comes_back_right() {
    let mac = Encoding::Standard(encoding_rs::MACINTOSH);
    let no_ohm = ENGLISH.replace('Ω', "ohm");
    check(ENGLISH, Encoding::Oem(437));
    check(&no_ohm, Encoding::Oem(850));
    check(&no_ohm, WINDOWS_1252);
    check(ENGLISH, mac);
    for text in [GERMAN, FRENCH, SPANISH] {
        for encoding in [WINDOWS_1252, Encoding::Oem(850), Encoding::Oem(437), mac, UTF_8] {
            check(text, encoding);
        }
    }
    check(POLISH, Encoding::Standard(encoding_rs::WINDOWS_1250));
    check("絶縁抵抗;5.2 MΩ;20℃\n巻線;測定 μA", Encoding::Standard(encoding_rs::SHIFT_JIS));
}

/// Code points from the mapping tables of the Unicode Consortium (CP437.TXT, CP850.TXT, CP1252.TXT, ROMAN.TXT).
#[test]
fn a_single_unit_is_enough() {
    let cases: [(&[u8], &str); 8] = [
        (b"5.2 M\xEA", "5.2 MΩ"),
        (b"5.2 M\xBD", "5.2 MΩ"),
        (b"31 \xE6A", "31 µA"),
        (b"31 \xB5A", "31 µA"),
        (b"20 \xF8C", "20 °C"),
        (b"20 \xB0C", "20 °C"),
        (b"20 \xA1C", "20 °C"),
        (b"MOTOR NR;PR\x9AFER", "MOTOR NR;PRÜFER"),
    ];
    for (bytes, text) in cases {
        assert_eq!(decode(bytes).text, text);
    }
}

#[test]
fn frames_of_dos_printouts_are_no_letters() {
    let text = "│ P 7  │ 25 °C │\n├──────┼───────┤";
    assert_eq!(decode(&encoded(text, Encoding::Oem(437))).text, text);
}

/// The sign of a footnote behind a value is no shade of a frame.
#[test]
fn raised_figures_behind_values_are_footnotes() {
    check("P-101;525²\nP-102;7470²\nP-103;91,5³\n² bei 500 V", WINDOWS_1252);
}

#[test]
fn marks_and_zero_bytes_decide() {
    let little: Vec<u8> = ENGLISH.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = ENGLISH.encode_utf16().flat_map(u16::to_be_bytes).collect();
    for (bytes, basis) in [
        (little.clone(), Basis::ZeroBytes),
        (big.clone(), Basis::ZeroBytes),
        ([&[0xFF, 0xFE], little.as_slice()].concat(), Basis::Mark),
        ([&[0xFE, 0xFF], big.as_slice()].concat(), Basis::Mark),
        ([b"\xEF\xBB\xBF", ENGLISH.as_bytes()].concat(), Basis::Mark),
    ] {
        let decoded = decode(&bytes);
        assert_eq!((decoded.text.as_ref(), decoded.basis), (ENGLISH, basis));
    }
}

#[test]
fn a_cut_character_at_the_end_does_not_mislead() {
    let bytes = GERMAN.as_bytes();
    let at = GERMAN.find('ß').unwrap() + 1;
    assert_eq!(decode(&bytes[..at]).encoding, UTF_8);
}

#[test]
fn a_declaration_is_taken_unless_the_bytes_contradict_it() {
    let latin = encoded(GERMAN, WINDOWS_1252);
    assert_eq!(decode_declared(&latin, Encoding::of_label("iso-8859-1")).text, GERMAN);
    assert_eq!(decode_declared(&latin, Some(UTF_8)).text, GERMAN);
    assert_eq!(decode_declared(GERMAN.as_bytes(), Some(UTF_16LE)).text, GERMAN);
    let dos = encoded(GERMAN, Encoding::Oem(850));
    assert_eq!(decode_declared(&dos, Encoding::of_code_page(850)).text, GERMAN);
}

#[test]
fn the_choice_and_the_runner_up_are_told() {
    let note = decode(b"20 \xF8C").note().unwrap();
    assert!(note.starts_with("text read as cp850, judged by its units and words"), "{note}");
    assert!(note.contains("next best"), "{note}");
    assert_eq!(decode(b"20 C").note(), None);
}

#[test]
fn pictures_are_no_text() {
    assert!(looks_like_text(ENGLISH));
    assert!(looks_like_text("\u{1B}E\u{F}page 1\u{C}\r\npage 2\u{1A}"));
    assert!(!looks_like_text("\u{89}PNG\r\n\u{1A}\n\0\0\0\rIHDR\0\0\u{1}\u{3}"));
}

proptest! {
    #[test]
    fn any_bytes_decode_and_the_confidence_is_a_share(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let decoded = decode(&bytes);
        prop_assert!((0.0..=1.0).contains(&decoded.confidence));
        prop_assert!(decoded.runners_up.iter().all(|(_, behind)| *behind >= 0.0));
    }

    #[test]
    fn valid_utf8_is_kept(text in "\\PC{0,200}") {
        prop_assume!(by_zero_bytes(text.as_bytes()).is_none() && !text.starts_with('\u{FEFF}'));
        let decoded = decode(text.as_bytes());
        prop_assert_eq!(decoded.text.as_ref(), text.as_str());
    }
}
