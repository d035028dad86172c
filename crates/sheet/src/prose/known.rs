//! The machines of all sentences, each by one name.

use super::name::{self, Basis, Name};
use super::piece::{Piece, Says};
use super::sentence::{Sentence, says};
use std::collections::BTreeSet;
use windrow_text::said::Said;

/// Names the machines of each sentence, all of one machine alike: what ends as one longer name does is that machine ("FAN B" of "MAIN
/// FAN B", "2B"). A noun that no list knows names a machine only where its entry speaks of a motor or its like is named, too.
pub(super) fn settle(text: &str, pieces: &[Piece], sentences: &mut [Sentence]) {
    for sentence in sentences.iter_mut() {
        sentence.names = name::names(text, pieces, sentence.range.clone());
    }
    let entries: BTreeSet<usize> = sentences
        .iter()
        .filter(|sentence| says(pieces, &sentence.range, Said::Generic))
        .map(|sentence| sentence.entry)
        .collect();
    let numbered: Vec<(usize, Vec<String>)> = sentences
        .iter()
        .flat_map(|sentence| sentence.names.iter().map(move |name| (sentence.entry, name)))
        .filter(|(_, name)| name.basis == Basis::Numbered)
        .map(|(entry, name)| (entry, name.key.clone()))
        .collect();
    let is_machine = |key: &[String]| {
        let alike = |other: &[String]| {
            other.len() == key.len()
                && other.split_last().map(|(_, noun)| noun) == key.split_last().map(|(_, noun)| noun)
        };
        numbered.iter().any(|(entry, other)| other == key && entries.contains(entry))
            || numbered.iter().any(|(_, other)| other != key && alike(other))
    };
    for sentence in sentences.iter_mut() {
        sentence.names.retain(|name| name.basis != Basis::Numbered || is_machine(&name.key));
    }
    let mut known: Vec<Name> = Vec::new();
    for name in sentences.iter().flat_map(|sentence| &sentence.names) {
        if known.iter().all(|other| other.key != name.key) {
            known.push(name.clone());
        }
    }
    let fuller = |key: &[String]| {
        let mut longer = known.iter().filter(|other| other.key.len() > key.len() && other.key.ends_with(key));
        match (longer.next(), longer.next()) {
            (Some(one), None) => Some(one.clone()),
            _ => None,
        }
    };
    let is_dated = |sentence: &Sentence| {
        sentence
            .range
            .clone()
            .any(|at| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Date(_) | Says::DayOfYear(_))))
    };
    let clocked: BTreeSet<usize> =
        sentences.iter().filter(|sentence| sentence.is_clocked).map(|sentence| sentence.entry).collect();
    for sentence in sentences.iter_mut() {
        // In a list "Fan 1" beside "Theatre fan 1" may well be another machine.
        let is_listed = !is_dated(sentence) && !clocked.contains(&sentence.entry);
        for name in &mut sentence.names {
            if let Some(longer) = fuller(&name.key).filter(|_| name.key.last().is_some_and(|last| last.len() <= 4)) {
                // "BR2" beside "Mill BR2": a code of letters and a number is no other machine's.
                let is_open = name.is_open || is_listed && !is_code(&name.key);
                (name.text, name.key, name.is_open) = (longer.text, longer.key, is_open);
            }
        }
        if sentence.names.is_empty() {
            sentence.names.extend(short(text, pieces, sentence, &known));
        }
    }
}

/// Whether a name is one word of two letters or more and a number: "BR2", "SR1-M2".
fn is_code(key: &[String]) -> bool {
    let [word] = key else { return false };
    word.chars().filter(|c| c.is_alphabetic()).count() >= 2 && word.contains(|c: char| c.is_ascii_digit())
}

/// "2B" at the beginning of a sentence, of the one machine whose name ends so.
fn short(text: &str, pieces: &[Piece], sentence: &Sentence, known: &[Name]) -> Option<Name> {
    let at = sentence
        .range
        .clone()
        .find(|at| pieces.get(*at).is_some_and(|piece| !matches!(piece.says, Says::Clock | Says::Stop(_))))?;
    let written = text.get(pieces.get(at)?.span.clone())?;
    let word = windrow_text::fold::fold(written);
    let is_code = word.len() >= 2 && word.contains(|c: char| c.is_ascii_digit()) && word.contains(char::is_alphabetic);
    let mut named = known.iter().filter(|name| name.key.len() > 1 && name.key.last() == Some(&word));
    let (Some(one), None, true) = (named.next(), named.next(), is_code) else { return None };
    Some(Name { pieces: at..at + 1, ..one.clone() })
}
