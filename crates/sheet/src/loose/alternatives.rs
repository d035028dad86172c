//! "Megs or GΩ": a title that names two units of resistance tells neither.

use windrow_model::Dimension;
use windrow_text::fold::fold;
use windrow_text::unit::{self, UnitMeaning};

/// Words between two that may each be meant. Common practice, no source.
const BETWEEN: [&str; 11] = ["or", "and", "oder", "und", "bzw", "resp", "ou", "et", "o", "u", "y"];

/// Both units of each such couple, with the words that they were written as.
pub(super) fn read(text: &str) -> Vec<(Vec<UnitMeaning>, String)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let told = |word: &str| {
        let word = word.trim_matches(['(', ')', '[', ']', ',', ';', '.', ':']);
        let units = unit::read(word, None);
        let is_of_resistance = units.first().is_some_and(|best| best.unit.dimension == Dimension::Resistance);
        is_of_resistance.then(|| (units, word.to_owned()))
    };
    let couples = words.windows(3).filter_map(|three| {
        let [one, between, other] = three else { return None };
        let is_between = BETWEEN.contains(&fold(between).as_str());
        is_between.then(|| Some([told(one)?, told(other)?])).flatten()
    });
    let differ = |couple: &[(Vec<UnitMeaning>, String); 2]| {
        couple[0].0.first().map(|best| best.unit) != couple[1].0.first().map(|best| best.unit)
    };
    couples.filter(differ).flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::read;

    #[test]
    fn couples_of_units_are_both_told() {
        let words = |text: &str| read(text).into_iter().map(|(_, word)| word).collect::<Vec<_>>();
        assert_eq!(words("Insulation resistance, Megs or GΩ"), ["Megs", "GΩ"]);
        assert_eq!(words("Isolation (MΩ oder GΩ)"), ["MΩ", "GΩ"]);
        assert!(words("MΩ or megohms").is_empty() && words("MΩ and °C").is_empty());
    }
}
