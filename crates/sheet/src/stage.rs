//! Words that say when in the life of a winding a test was made (`data/stages.csv`).

use std::sync::LazyLock;
use windrow_model::Stage;
use windrow_text::fold::fold;

/// A phrase with its stage and where it counts.
struct Phrase {
    stage: Stage,
    place: &'static str,
    words: &'static str,
}

static PHRASES: LazyLock<Vec<Phrase>> = LazyLock::new(|| {
    let lines = include_str!("../data/stages.csv").lines().filter(|line| !line.starts_with('#')).skip(1);
    let phrase = |line: &'static str| {
        let mut fields = line.splitn(3, ',').map(str::trim);
        let (stage, place, words) = (Stage::from_code(fields.next()?)?, fields.next()?, fields.next()?);
        Some(Phrase { stage, place, words })
    };
    lines.filter_map(phrase).collect()
});

/// Longest text that names a stage, in bytes.
const LONGEST: usize = 60;
/// Most words of a heading in which one word names a stage.
const MOST_WORDS: usize = 4;
/// Longest remark that is looked at, in bytes.
const LONGEST_REMARK: usize = 240;

/// The stage that a heading or the cell of a stage names, at its beginning or end.
#[must_use]
pub fn stage(text: &str) -> Option<Stage> {
    if text.len() > LONGEST {
        return None;
    }
    let folded = fold(text);
    let named = PHRASES.iter().find(|phrase| match phrase.place {
        "behind" | "measured" | "pair" => false,
        "alone" => folded == phrase.words,
        _ => {
            let ends = || folded.strip_suffix(phrase.words).is_some_and(|before| before.ends_with(' '));
            phrase_at_start(&folded, phrase.words).is_some() || ends()
        }
    });
    named.map(|phrase| with_drying(phrase, &folded))
}

/// The stage that a word names in the heading of measured numbers ("Isolement entrée", "found MΩ"), where it says more than over dates or names.
#[must_use]
pub fn beside_quantity(text: &str) -> Option<Stage> {
    let folded = fold(text.split(['(', '[', ',']).next()?);
    // "Insulation as received and after washing" is a title of both.
    if folded.split(' ').count() > MOST_WORDS {
        return None;
    }
    let has = |words: &str| folded.split(' ').any(|word| word == words);
    PHRASES.iter().find(|phrase| phrase.place == "measured" && has(phrase.words)).map(|phrase| phrase.stage)
}

/// The stage that all of a heading names where its counterpart stands beside it: "found" before "left".
#[must_use]
pub fn of_pair(text: &str) -> Option<Stage> {
    let folded = fold(text);
    PHRASES.iter().find(|phrase| phrase.place == "pair" && folded == phrase.words).map(|phrase| phrase.stage)
}

/// The one stage that clauses of a remark begin with. What was done in passing ("to be cleaned", "rewound 1991") is none.
#[must_use]
pub fn of_remark(text: &str) -> Option<Stage> {
    if text.len() > LONGEST_REMARK {
        return None;
    }
    let mut found = text.split([',', ';', '.', '(', ')', ':', '\n', '–']).filter_map(|clause| {
        let folded = fold(clause);
        let phrase = PHRASES
            .iter()
            .filter(|phrase| phrase.place == "any")
            .find(|phrase| phrase_at_start(&folded, phrase.words).is_some())?;
        Some(with_drying(phrase, &folded))
    });
    let first = found.next()?;
    found.all(|other| other == first).then_some(first)
}

/// What follows `phrase` at the beginning of `text`, if it stands there as words of their own.
fn phrase_at_start<'t>(text: &'t str, phrase: &str) -> Option<&'t str> {
    text.strip_prefix(phrase).filter(|rest| rest.is_empty() || rest.starts_with(' '))
}

/// "After clean & bake": who cleans and dries has dried last.
fn with_drying(phrase: &Phrase, folded: &str) -> Stage {
    let dries = |word: &str| PHRASES.iter().any(|phrase| phrase.place == "behind" && phrase.words == word);
    let behind = folded.split_once(phrase.words).map_or("", |(_, behind)| behind);
    if phrase.stage == Stage::AfterCleaning && behind.split(' ').any(dries) { Stage::AfterDrying } else { phrase.stage }
}

#[cfg(test)]
mod tests {
    use super::{PHRASES, of_remark, stage};
    use windrow_model::Stage;

    #[test]
    fn every_line_of_the_list_is_read() {
        let lines = include_str!("../data/stages.csv").lines().filter(|line| !line.starts_with('#')).count();
        assert_eq!(PHRASES.len() + 1, lines);
    }

    #[test]
    fn stages_in_headers_and_cells() {
        for (text, expected) in [
            ("As received MΩ", Stage::AsFound),
            ("Before return MΩ", Stage::BeforeReturn),
            ("nach Reinigung", Stage::AfterCleaning),
            ("After clean", Stage::AfterCleaning),
            ("AFTER CLEAN & BAKE", Stage::AfterDrying),
            ("Nach Reinigung und Trocknung", Stage::AfterDrying),
            ("MΩ avant nettoyage", Stage::AsFound),
            ("Tras secado", Stage::AfterDrying),
            ("Después de rebobinar", Stage::AfterRewind),
            ("Inbetriebnahme", Stage::New),
        ] {
            assert_eq!(stage(text), Some(expected), "{text}");
        }
        assert_eq!(stage("Remarks"), None);
    }

    #[test]
    fn remarks_tell_a_stage_only_where_they_say_when() {
        for (text, expected) in [
            ("après séchage, 35°C", Stage::AfterDrying),
            ("AS FOUND", Stage::AsFound),
            ("Motor feucht; nach Trocknung", Stage::AfterDrying),
            ("Tras la limpieza", Stage::AfterCleaning),
        ] {
            assert_eq!(of_remark(text), Some(expected), "{text}");
        }
        for text in [
            "to be cleaned",
            "rewound 1991",
            "needs cleaning",
            "cleaned last year",
            "bitte reinigen",
            "à nettoyer",
            "before cleaning, after cleaning",
            "final",
        ] {
            assert_eq!(of_remark(text), None, "{text}");
        }
    }
}
