//! Headings in other words.

use super::book::{Base, Changed};
use crate::layouts::words::Words;
use std::collections::{BTreeMap, BTreeSet};

/// Things whose words may be exchanged for each other wherever they stand.
const THINGS: [&str; 18] = [
    "machine",
    "date",
    "voltage",
    "temperature",
    "ambient",
    "humidity",
    "serial",
    "by",
    "remark",
    "verdict",
    "average",
    "insulation_resistance",
    "leakage_current",
    "winding_resistance",
    "capacitance",
    "dissipation_factor",
    "unbalance",
    "index",
];

/// Another word of the same language.
pub(super) fn synonyms(base: &Base) -> Option<Changed> {
    reworded(base, |words, thing, word| {
        let list = words.list(thing);
        let at = list.iter().position(|known| known == word)?;
        list.get((at + 1) % list.len()).cloned()
    })
}

/// The first word of another language: German, or English for German.
pub(super) fn translated(base: &Base) -> Option<Changed> {
    let all = Words::all().ok()?;
    reworded(base, |words, thing, _| {
        let other = if words.language == "de" { "en" } else { "de" };
        all.iter().find(|words| words.language == other)?.list(thing).first().cloned()
    })
}

fn reworded(base: &Base, other: impl Fn(&Words, &str, &str) -> Option<String>) -> Option<Changed> {
    let all = Words::all().ok()?;
    let texts: Vec<&str> =
        base.book.sheets.iter().flat_map(|sheet| &sheet.cells).map(|cell| cell.text.as_str()).collect();
    let words = all.iter().max_by_key(|words| {
        let known = known(words);
        texts.iter().filter(|text| split(text, &known).is_some()).count()
    })?;
    let known = known(words);
    let mut book = base.book.clone();
    let mut any = false;
    let twice = twice(&texts, &known);
    for cell in book.sheets.iter_mut().flat_map(|sheet| &mut sheet.cells).filter(|cell| !cell.synthetic) {
        if let Some((thing, word, rest)) = split(&cell.text, &known)
            && !twice.contains(thing)
            && let Some(new) = other(words, thing, word)
            && new != word
        {
            cell.text = format!("{new}{rest}").into();
            any = true;
        }
    }
    any.then(|| Changed::book(book))
}

/// Things for which the file has several words: they may mean different things there ("Tag", "Machine").
fn twice<'t>(texts: &[&'t str], known: &BTreeMap<String, (&'static str, &'t str)>) -> BTreeSet<&'static str> {
    let mut words: BTreeMap<&'static str, BTreeSet<&str>> = BTreeMap::new();
    for (thing, word, _) in texts.iter().filter_map(|text| split(text, known)) {
        words.entry(thing).or_default().insert(word);
    }
    words.into_iter().filter(|(_, words)| words.len() > 1).map(|(thing, _)| thing).collect()
}

/// Word in small letters, thing, and the word as it stands in the vocabulary.
fn known(words: &Words) -> BTreeMap<String, (&'static str, &str)> {
    let all = THINGS.iter().flat_map(|thing| words.list(thing).iter().map(move |word| (word, *thing)));
    all.map(|(word, thing)| (word.to_lowercase(), (thing, word.as_str()))).collect()
}

/// A text that is a known word, with a unit or colon behind it at most.
fn split<'t>(
    text: &'t str,
    known: &BTreeMap<String, (&'static str, &'t str)>,
) -> Option<(&'static str, &'t str, &'t str)> {
    let end = [" (", " [", ", ", ":", " :"].iter().filter_map(|mark| text.find(mark)).min().unwrap_or(text.len());
    let (word, rest) = (text.get(..end)?, text.get(end..)?);
    known.get(&word.trim().to_lowercase()).map(|(thing, word)| (*thing, *word, rest))
}
