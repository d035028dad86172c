//! No text makes a parser panic, whatever stands in it, and what comes out is on its scale.

use proptest::prelude::*;
use windrow_text::{circuit, date, fold, header, marks, measure, number, tag, unit};

/// Everything that reads a text, with what is promised of the answers.
fn read_all(text: &str) -> Result<(), TestCaseError> {
    let scale = 0.0..=1.0_f32;
    for weight in [tag::likeness(text), tag::serial_likeness(text)] {
        prop_assert!(scale.contains(&weight), "{text:?}: {weight}");
    }
    for meaning in unit::read(text, None) {
        prop_assert!(scale.contains(&meaning.weight), "{text:?}: {meaning:?}");
    }
    for meaning in circuit::read(text) {
        prop_assert!(scale.contains(&meaning.weight), "{text:?}: {meaning:?}");
    }
    for (_, weight) in header::read(text).concepts {
        prop_assert!(scale.contains(&weight), "{text:?}: {weight}");
    }
    for meaning in number::read(text) {
        prop_assert!(meaning.value.is_finite(), "{text:?}: {meaning:?}");
    }
    for (range, _) in date::find_all(text) {
        prop_assert!(text.get(range.clone()).is_some(), "{text:?}: {range:?} is no part of it");
    }
    for part in measure::read(text).iter().flat_map(|measure| &measure.parts) {
        prop_assert!(!part.numbers.is_empty(), "{text:?}: a value without a number");
    }
    let _ = (date::read(text), date::impossible(text), measure::over_range(text), tag::fold(text), tag::initials(text));
    let _ = (marks::is_ditto(text), marks::is_void(text), marks::event(text), marks::statistic(text));
    let _ = (marks::statistic_phrase(text), marks::verdict(text), fold::fold(text), fold::mend(text));
    Ok(())
}

proptest! {
    #[test]
    fn of_any_letters(text in "\\PC{0,120}") {
        read_all(&text)?;
    }

    #[test]
    fn of_any_letters_with_controls(text in any::<String>()) {
        read_all(&text)?;
    }

    /// Letters and signs as they stand in records, in any order: nearer to what parsers look for.
    #[test]
    fn of_the_letters_of_records(text in "[0-9.,<>~±≥≤∞ MGkTmµμunΩΩohmeg?UVWRSTABCLE°CF/()*@%'\"+:;=−–-]{0,60}") {
        read_all(&text)?;
    }

    /// Words of records beside each other, cut anywhere.
    #[test]
    fn of_cut_words(
        words in prop::collection::vec(prop::sample::select(vec![
            "1 min", "10 Min.", "IR", "MΩ", "GOhm", ">2000", "14.3.87", "März", "Phase U", "gegen Erde", "40 °C", "corr.", "PI", "OL", "550 wet", "½", "10⁻³",
            "\u{feff}", "\u{200b}", "e\u{301}", "١٢", "ß", "İ", "ŉ", "1e999", "99999999999999999999", "0x", "--", "//",
        ]), 0..8),
        at in any::<prop::sample::Index>(),
    ) {
        let text = words.join(" ");
        let letters: Vec<char> = text.chars().collect();
        let cut = if letters.is_empty() { 0 } else { at.index(letters.len()) };
        read_all(&letters[cut..].iter().collect::<String>())?;
        read_all(&letters[..cut].iter().collect::<String>())?;
        read_all(&text)?;
    }
}
