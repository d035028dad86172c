//! "I.R. in megohms. D.C. resistance by bridge, ohms.": sentences of one title that speak of two quantities, each with its unit.

use super::{Caption, caption};
use crate::fit::quantity;
use crate::view::Item;
use windrow_model::{Dimension, Quantity};

/// The captions that the sentences of a text are, where two of them tell different quantities of resistance, each with a unit.
pub(super) fn captions(text: &str, item: &Item) -> Option<Vec<Caption>> {
    let sentences = split(text);
    if sentences.len() < 2 {
        return None;
    }
    let captions: Vec<Caption> = sentences.into_iter().map(|sentence| caption(sentence, item)).collect();
    let mut told: Vec<Quantity> = captions.iter().filter_map(of_resistance).collect();
    told.dedup();
    (told.len() >= 2).then_some(captions)
}

/// The one quantity of resistance that a caption names with a unit.
fn of_resistance(caption: &Caption) -> Option<Quantity> {
    let mut named = caption.concepts.iter().filter_map(|concept| quantity(*concept));
    let first = named.next().filter(|first| first.dimension() == Dimension::Resistance)?;
    (named.all(|other| other == first) && !caption.units.is_empty()).then_some(first)
}

/// The sentences of a text; the points of an abbreviation end none ("D.C. resistance", "temp. Wicklung").
fn split(text: &str) -> Vec<&str> {
    let (mut sentences, mut from) = (Vec::new(), 0);
    for (at, _) in text.match_indices(". ") {
        let (Some(before), Some(behind)) = (text.get(from..at), text.get(at + 2..)) else { continue };
        let last = before.rsplit([' ', '(']).next().unwrap_or_default();
        let is_word = last.trim_end_matches(')').chars().count() >= 5 && !last.contains('.');
        if is_word && behind.trim_start().starts_with(char::is_uppercase) {
            sentences.push(before.trim());
            from = at + 2;
        }
    }
    sentences.extend(text.get(from..).map(str::trim).filter(|rest| !rest.is_empty()));
    sentences
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn sentences_end_with_words() {
        let text = "I.R. at 1 kV, in Megohms. D.C. resistance by bridge, ohms.";
        assert_eq!(split(text), ["I.R. at 1 kV, in Megohms", "D.C. resistance by bridge, ohms."]);
        assert_eq!(split("Temp. Wicklung 20 °C").len(), 1);
    }
}
