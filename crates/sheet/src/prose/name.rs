//! Machines that sentences name: by a tag, or by a noun with its number.

use super::piece::{Piece, Says, Stop};
use crate::loose::names::is_site_word;
use crate::loose::only_tag;
use std::ops::Range;
use windrow_text::fold::fold;
use windrow_text::said::{Said, names_machine, said};

/// How a name was known for one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Basis {
    /// By a noun that no list knows and a number: "Wehr 1".
    Numbered,
    /// By a word for machines.
    Noun,
    /// By a tag.
    Tag,
}

/// A machine named in a sentence.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Name {
    /// As written.
    pub text: String,
    /// Its words, folded, without signs for numbers and words that every machine bears.
    pub key: Vec<String>,
    /// The pieces it is made of.
    pub pieces: Range<usize>,
    pub basis: Basis,
    /// Whether it may be another machine's.
    pub is_open: bool,
}

/// Signs and words before a number, folded.
const NUMBER_SIGNS: [&str; 9] = ["no", "nr", "n", "n°", "n °", "nro", "num", "n o", "#"];
/// Most words before or behind the noun.
const MOST_WORDS: usize = 4;

/// All machines named in `range` of the pieces, in order.
pub(super) fn names(text: &str, pieces: &[Piece], range: Range<usize>) -> Vec<Name> {
    let mut found: Vec<Name> = Vec::new();
    let mut at = range.start;
    while at < range.end {
        let name = tagged(text, pieces, at, &range).or_else(|| by_noun(text, pieces, at, &range));
        match name {
            Some(name) => {
                at = name.pieces.end.max(at + 1);
                match found.last_mut() {
                    // "Drehwerk T2-DW", "Fan 2 (K-12)": one machine by its noun and its tag.
                    Some(last) if last.pieces.end == name.pieces.start && name.basis == Basis::Tag => {
                        let first = last.pieces.start;
                        *last = Name { pieces: first..name.pieces.end, ..name };
                    }
                    Some(last) if is_in_brackets_behind(pieces, last, &name) => {
                        at = (at..range.end).find(|at| is_stop(pieces, *at, Stop::Close)).map_or(at, |close| close + 1);
                        last.pieces.end = at;
                    }
                    _ => found.push(name),
                }
            }
            None => at += 1,
        }
    }
    if found.is_empty() {
        found.extend(numbered(text, pieces, &range));
    }
    found
}

fn is_stop(pieces: &[Piece], at: usize, stop: Stop) -> bool {
    pieces.get(at).is_some_and(|piece| piece.says == Says::Stop(stop))
}

/// "Motor n.º 4417 (bomba de captación 1)": what it drives.
fn is_in_brackets_behind(pieces: &[Piece], last: &Name, name: &Name) -> bool {
    is_stop(pieces, last.pieces.end, Stop::Open) && name.pieces.start == last.pieces.end + 1
}

fn tagged(text: &str, pieces: &[Piece], at: usize, _: &Range<usize>) -> Option<Name> {
    let piece = pieces.get(at)?;
    let Says::Word(word, said) = &piece.says else { return None };
    if !said.is_empty() || !word.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let tag = only_tag(text.get(piece.span.clone())?)?;
    Some(Name { key: vec![fold(&tag)], text: tag, pieces: at..at + 1, basis: Basis::Tag, is_open: false })
}

/// A word for machines with what stands around it.
fn by_noun(text: &str, pieces: &[Piece], at: usize, range: &Range<usize>) -> Option<Name> {
    let core = (at..(at + MOST_WORDS).min(range.end)).find(|core| is_noun(pieces, *core))?;
    // What stands before the noun must all belong to it.
    let is_first = is_beginning(pieces, at, range);
    if !(at..core).all(|before| may_stand_before(text, pieces, before, is_first)) {
        return None;
    }
    let end = end_of(text, pieces, core, range);
    // "Birch Mill Station" is a plant.
    if pieces.get(end).and_then(Piece::word).is_some_and(is_site_word) {
        return None;
    }
    let is_generic = pieces.get(core)?.is(Said::Generic);
    let own: Vec<usize> = (at..end).filter(|index| *index != core || !is_generic).collect();
    let has_own = own.iter().any(|index| !is_sign(pieces, *index));
    if is_generic && !has_own
        || has_own
            && own.len() == 1
            && at < core
            && pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Phase(_)))
    {
        return None;
    }
    let mut name = named(text, pieces, at..end, Basis::Noun)?;
    // "Fan A to earth": fan A, or phase A of the fan.
    let next = pieces.get(end).filter(|piece| matches!(piece.says, Says::Circuit(_)) && end < range.end);
    let begins_with_letter = next.and_then(|piece| text.get(piece.span.clone())).is_some_and(|said| {
        said.split([' ', '\n'])
            .next()
            .is_some_and(|first| first.len() == 1 && first.bytes().all(|b| b.is_ascii_uppercase()))
    });
    name.is_open = begins_with_letter && !(at..end).any(|index| is_own_number(text, pieces, index));
    Some(name)
}

fn is_noun(pieces: &[Piece], at: usize) -> bool {
    pieces.get(at).and_then(Piece::word).is_some_and(names_machine)
}

/// Whether nothing but a clock, a date or a mark stands before this piece in its sentence.
fn is_beginning(pieces: &[Piece], at: usize, range: &Range<usize>) -> bool {
    (range.start..at).all(|before| {
        pieces
            .get(before)
            .is_some_and(|piece| matches!(piece.says, Says::Clock | Says::Date(_) | Says::DayOfYear(_) | Says::Stop(_)))
    })
}

/// Whether a piece may belong to the noun behind it: a number, a word of a name ("CW pump", "Ash pump"), or another noun.
fn may_stand_before(text: &str, pieces: &[Piece], at: usize, is_first: bool) -> bool {
    let Some(piece) = pieces.get(at) else { return false };
    let written = text.get(piece.span.clone()).unwrap_or_default();
    match &piece.says {
        Says::Number(_) => is_short_number(written),
        Says::Other | Says::Celsius(_) | Says::Volts(_) => is_lettered_number(written),
        Says::Word(word, said) => {
            let is_named_so = written.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit()) || is_first;
            names_machine(word)
                || said.is_empty() && is_named_so && written.contains(char::is_alphanumeric)
                || is_sign(pieces, at)
        }
        _ => false,
    }
}

/// "No.", "Nr.", "n°" before a number.
fn is_sign(pieces: &[Piece], at: usize) -> bool {
    let is_number = |at: usize| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Number(_)));
    let is_written = pieces.get(at).and_then(Piece::word).is_some_and(|word| NUMBER_SIGNS.contains(&word));
    is_written && is_number(at + 1)
}

fn is_short_number(written: &str) -> bool {
    written.len() <= 4 && written.bytes().all(|b| b.is_ascii_digit())
}

/// "3A": one or two digits and a capital right behind.
fn is_lettered_number(written: &str) -> bool {
    let digits = written.trim_end_matches(|c: char| c.is_ascii_uppercase());
    written.len() == digits.len() + 1 && (1..=2).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit())
}

/// "2", "2B", "A": what tells machines of one kind apart.
fn is_own_number(text: &str, pieces: &[Piece], at: usize) -> bool {
    let Some(piece) = pieces.get(at) else { return false };
    let written = text.get(piece.span.clone()).unwrap_or_default();
    match &piece.says {
        // "Pump 3A" has no amperes, and "fan 2C" no degrees.
        Says::Other | Says::Celsius(_) | Says::Volts(_) => is_lettered_number(written),
        Says::Number(_) => is_short_number(written),
        Says::Phase(_) => written.len() == 1,
        Says::Word(_, said) => {
            let digits = written.bytes().filter(u8::is_ascii_digit).count();
            let is_code = written.contains('-')
                && written.len() <= 12
                && written.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit() || b == b'-');
            let is_short = written.len() <= 4 && written.bytes().all(|b| b.is_ascii_alphanumeric());
            said.is_empty() && digits > 0 && (is_short || is_code)
        }
        _ => false,
    }
}

/// Where the name with its noun at `core` ends.
fn end_of(text: &str, pieces: &[Piece], core: usize, range: &Range<usize>) -> usize {
    let mut at = core + 1;
    // Further nouns: "fan motor", "WINDER GEN".
    while at < range.end && is_noun(pieces, at) {
        at += 1;
    }
    if is_sign(pieces, at) && is_own_number(text, pieces, at + 1) {
        return at + 2;
    }
    if at < range.end && is_own_number(text, pieces, at) && !is_one_of_phases(text, pieces, at, range) {
        return at + 1;
    }
    // "bomba de condensado 2B", "ventilador tiro inducido 1", "extractor de cenizas"
    let is_of = |at: usize| {
        pieces
            .get(at)
            .and_then(Piece::word)
            .is_some_and(|word| matches!(word, "de" | "du" | "des" | "del" | "d" | "of" | "la" | "las" | "los" | "der"))
    };
    let mut end = at;
    let mut has_of = false;
    while end < range.end && end < at + 2 * MOST_WORDS {
        if is_sign(pieces, end) && is_own_number(text, pieces, end + 1) {
            return end + 2;
        }
        if end > at && is_own_number(text, pieces, end) && !is_of(end) && !is_one_of_phases(text, pieces, end, range) {
            return end + 1;
        }
        let is_word = pieces.get(end).is_some_and(|piece| matches!(&piece.says, Says::Word(word, said) if said.is_empty() && word.chars().all(char::is_alphabetic) && !word.is_empty()));
        if is_of(end) {
            has_of = true;
        } else if !is_word {
            break;
        }
        end += 1;
    }
    while end > at && is_of(end - 1) {
        end -= 1;
    }
    if has_of { end } else { at }
}

/// Whether a letter is one of several phases ("Fan A 340 B 350 C 345"), so that it names no machine.
fn is_one_of_phases(text: &str, pieces: &[Piece], at: usize, range: &Range<usize>) -> bool {
    let is_phase = |at: usize| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Phase(_)));
    let written = |at: usize| pieces.get(at).and_then(|piece| text.get(piece.span.clone()));
    is_phase(at) && range.clone().any(|other| other != at && is_phase(other) && written(other) != written(at))
}

/// "Wehr 1", "Rechenreiniger 2" at the beginning of a sentence.
fn numbered(text: &str, pieces: &[Piece], range: &Range<usize>) -> Option<Name> {
    let first = range.clone().find(|at| {
        pieces.get(*at).is_some_and(|piece| {
            !matches!(piece.says, Says::Clock | Says::Date(_) | Says::DayOfYear(_) | Says::Stop(_))
        })
    })?;
    let is_word = |at: usize| {
        pieces.get(at).is_some_and(|piece| {
            let written = text.get(piece.span.clone()).unwrap_or_default();
            let is_named = written.starts_with(char::is_uppercase)
                && written.chars().count() >= 3
                && written.chars().all(char::is_alphabetic);
            is_named && matches!(&piece.says, Says::Word(_, said) if said.is_empty())
        })
    };
    let end = (first..range.end).take(3).take_while(|at| is_word(*at)).last()? + 1;
    let is_short = pieces.get(end).is_some_and(|piece| piece.span.len() <= 3);
    (end < range.end && is_short && is_own_number(text, pieces, end) && !is_one_of_phases(text, pieces, end, range))
        .then(|| named(text, pieces, first..end + 1, Basis::Numbered))
        .flatten()
}

/// The name made of these pieces.
fn named(text: &str, pieces: &[Piece], range: Range<usize>, basis: Basis) -> Option<Name> {
    let first = range.clone().find(|at| !is_sign(pieces, *at) || !is_noun_behind(pieces, *at, &range))?;
    let (from, to) = (pieces.get(first)?.span.start, pieces.get(range.end - 1)?.span.end);
    let whole: Vec<&str> = text.get(from..to)?.split_whitespace().collect();
    let is_generic = |word: &str| said(&fold(word)).contains(&Said::Generic);
    let is_number_sign = |word: &str| NUMBER_SIGNS.contains(&fold(word).as_str());
    let mut kept = whole.clone();
    let others = kept.iter().filter(|word| !is_generic(word) && !is_number_sign(word)).count();
    let has_noun = kept.iter().any(|word| !is_generic(word) && names_machine(&fold(word)));
    if has_noun && others >= 1 {
        // "Motor bomba de condensado 2B", "2 FD fan motor"
        while kept.first().is_some_and(|word| is_generic(word)) {
            kept.remove(0);
        }
        while kept.last().is_some_and(|word| is_generic(word)) {
            kept.pop();
        }
    } else if let [generic, .., number] = kept.as_slice()
        && is_generic(generic)
        && number.len() >= 3
        && number.contains(|c: char| c.is_ascii_digit())
    {
        // "Motor n.º 4417" is known by its number.
        kept = vec![*number];
    }
    if let Some(code) = kept.last().filter(|code| kept.len() > 1 && code.contains('-')) {
        // "Hebepumpe T2-HP" is known by its code.
        kept = vec![*code];
    }
    // "Old motor", "the spare motor": which one it is, is not told.
    let tells_which = kept.iter().any(|word| {
        let is_plain = said(&fold(word)).iter().any(|said| matches!(said, Said::Generic | Said::Which | Said::Same));
        !is_plain && !is_number_sign(word)
    });
    if !tells_which {
        return None;
    }
    let key: Vec<String> = kept.iter().filter(|word| !is_number_sign(word)).map(|word| fold(word)).collect();
    let is_name = !key.is_empty() && key.iter().any(|word| !word.is_empty());
    is_name.then(|| Name {
        text: kept.join(" ").trim_matches(['.', ',']).to_owned(),
        key,
        pieces: range,
        basis,
        is_open: false,
    })
}

/// "No. 2 FD fan": the number stands before the noun, so that the sign before it is no part of the name.
fn is_noun_behind(pieces: &[Piece], at: usize, range: &Range<usize>) -> bool {
    (at..range.end).any(|at| is_noun(pieces, at))
}
