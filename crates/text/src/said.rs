//! What words say in a sentence about readings: that something was measured, is wanted, is meant for later, was so before, or speaks
//! of another thing than the machine (`data/sentence.csv`).

use crate::data;
use crate::marks::is_kind;
use std::collections::HashMap;
use std::sync::LazyLock;

const WORDS: &str = include_str!("../data/sentence.csv");

/// Most words of an entry of the list.
pub const MOST_WORDS: usize = 3;

/// What a word says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Said {
    /// Nothing that changes what is told of a reading: articles, "gave", "cold", "after drying".
    Told,
    /// Something was measured: "tested", "Messung".
    Measured,
    /// What follows is when, or with how much, it was measured: "at", "nach", "sous".
    Link,
    /// The volts beside it are a test's: "dc", "tester".
    Direct,
    /// It was not so: "not", "kein", "sans".
    Negation,
    /// What follows was not so: "without", "ohne".
    Without,
    /// A limit or what is wanted: "minimum", "soll", "exigé".
    Bound,
    /// What is to come, or only if: "will", "nächste", "si".
    Plan,
    /// What was before: "previous", "Vorjahr", "dernier".
    Earlier,
    /// What something is compared with: "than", "gegenüber".
    Than,
    /// Values that somebody computed to another temperature.
    Corrected,
    /// A thing that is no winding of the machine: "cable", "Heizung".
    Foreign,
    /// The machine without its name: "motor".
    Generic,
    /// The machine told before: "ditto", "derselbe".
    Same,
    /// On the day of the writing.
    Today,
    /// What is numbered and no machine: "test 2", "Seite 3".
    Counted,
    /// A driven thing that people call their motor by: "winder", "Drehwerk".
    Drive,
    /// Whoever wrote it was not sure: "garbled".
    Doubt,
    /// Something that was done to the machine, or that it did, beside which a day, a time or a temperature is that of the event.
    Event,
    /// Right before a value it says how far, from where or against what: "up to", "from", "about".
    Turn,
    /// Tells one machine from another only for who stood beside it: "old", "spare", "this".
    Which,
    /// What a value is counted for: "per", "je".
    Per,
    /// An instrument, whose range or setting a value beside it may be.
    Instrument,
    /// Ends a sentence as a full stop does, in telexes.
    End,
    /// Cut short, so that the point behind it ends no sentence.
    Abbreviation,
}

const KINDS: [(&str, Said); 25] = [
    ("told", Said::Told),
    ("measured", Said::Measured),
    ("link", Said::Link),
    ("direct", Said::Direct),
    ("negation", Said::Negation),
    ("without", Said::Without),
    ("bound", Said::Bound),
    ("plan", Said::Plan),
    ("earlier", Said::Earlier),
    ("than", Said::Than),
    ("corrected", Said::Corrected),
    ("foreign", Said::Foreign),
    ("generic", Said::Generic),
    ("same", Said::Same),
    ("today", Said::Today),
    ("counted", Said::Counted),
    ("drive", Said::Drive),
    ("doubt", Said::Doubt),
    ("event", Said::Event),
    ("turn", Said::Turn),
    ("per", Said::Per),
    ("which", Said::Which),
    ("instrument", Said::Instrument),
    ("end", Said::End),
    ("abbreviation", Said::Abbreviation),
];

static SAID: LazyLock<HashMap<&'static str, Vec<Said>>> = LazyLock::new(|| {
    let mut said: HashMap<&str, Vec<Said>> = HashMap::new();
    for [kind, word] in data::rows::<2>(WORDS) {
        if let Some((_, of)) = KINDS.iter().find(|(code, _)| *code == kind) {
            said.entry(word).or_default().push(*of);
        }
    }
    said
});

/// All that the folded word, or the folded words up to [`MOST_WORDS`], can say; empty for words that the list does not know.
///
/// ```
/// use windrow_text::said::{Said, said};
/// assert!(said("vorjahr").contains(&Said::Earlier));
/// assert!(said("last year").contains(&Said::Earlier));
/// assert!(said("theatre").is_empty());
/// ```
#[must_use]
pub fn said(words: &str) -> &'static [Said] {
    SAID.get(words).map_or(&[], Vec::as_slice)
}

/// Whether the folded word calls a machine what it is: "pump", "Kesselspeisepumpe" (German joins its words), "winder".
#[must_use]
pub fn names_machine(word: &str) -> bool {
    is_kind(word, "machine") || said(word).contains(&Said::Drive) || ends_in_a_machine(word)
}

/// Whether the folded word is one for an instrument that is turned by hand, and so has but one voltage.
#[must_use]
pub fn is_turned_by_hand(word: &str) -> bool {
    is_kind(word, "turned_by_hand") || is_kind(word, "hand_driven")
}

/// Nouns that German words for machines end in.
const GERMAN_ENDS: [&str; 9] =
    ["pumpe", "motor", "lufter", "ventilator", "geblase", "verdichter", "generator", "antrieb", "kompressor"];

fn ends_in_a_machine(word: &str) -> bool {
    GERMAN_ENDS.iter().any(|end| word.len() > end.len() + 1 && word.ends_with(end))
}

/// Whether the folded word is one for the winding.
#[must_use]
pub fn names_winding(word: &str) -> bool {
    is_kind(word, "winding")
}

/// Whether the folded word is one for the air around the machine.
#[must_use]
pub fn names_surroundings(word: &str) -> bool {
    is_kind(word, "surroundings")
}

/// The bound that folded words before a number tell ("over", "mehr als").
#[must_use]
pub fn bound(words: &str) -> Option<windrow_model::Bound> {
    if is_kind(words, "atleast") {
        Some(windrow_model::Bound::AtLeast)
    } else {
        is_kind(words, "atmost").then_some(windrow_model::Bound::AtMost)
    }
}

#[cfg(test)]
mod tests {
    use super::{KINDS, Said, WORDS, names_machine, said};
    use crate::data;
    use crate::fold::fold;

    #[test]
    fn every_line_of_the_list_is_a_folded_word_of_a_known_kind() {
        for line in data::lines(WORDS) {
            let (kind, word) = line.split_once(',').expect(line);
            assert!(KINDS.iter().any(|(code, _)| *code == kind), "{line}");
            assert_eq!(fold(word), word, "{line}");
            assert!(word.split(' ').count() <= super::MOST_WORDS, "{line}");
        }
        for (code, kind) in KINDS {
            assert!(data::lines(WORDS).any(|line| line.starts_with(code)), "{kind:?}");
        }
    }

    #[test]
    fn words_of_four_languages_say_what_a_reading_must_not_be_taken_from() {
        for (word, kind) in [
            ("minimum", Said::Bound),
            ("grenzwert", Said::Bound),
            ("exige", Said::Bound),
            ("will", Said::Plan),
            ("nachste", Said::Plan),
            ("vorjahr", Said::Earlier),
            ("l an dernier", Said::Earlier),
            ("cable", Said::Foreign),
            ("kabel", Said::Foreign),
            ("nicht", Said::Negation),
        ] {
            assert!(said(word).contains(&kind), "{word}");
        }
        assert!(names_machine("kesselspeisepumpe") && names_machine("fan") && !names_machine("motoren"));
    }
}
