//! Pieces to sentences and entries.

use super::name;
use super::piece::{Piece, Says, Stop};
use super::sentence::{self, Sentence};
use windrow_model::Precision;
use windrow_text::said::{Said, names_machine};

/// Cuts pieces into sentences.
pub(super) fn sentences(text: &str, pieces: &[Piece]) -> Vec<Sentence> {
    let mut out: Vec<Sentence> = Vec::new();
    let (mut from, mut entry, mut text_of, mut last_text) = (0, 0, 0, 0);
    let is_notebook = is_notebook(pieces);
    let headlines = headlines(pieces);
    let mut close = |from: usize, to: usize, leads: bool, text_of: usize| {
        let is_stop = |at: &usize| pieces.get(*at).is_some_and(|piece| matches!(piece.says, Says::Stop(_)));
        let Some(first) = (from..to).find(|at| !is_stop(at)) else { return };
        let last = (from..to).rfind(|at| !is_stop(at)).unwrap_or(first);
        let is_clocked = pieces.get(first).is_some_and(|piece| piece.says == Says::Clock);
        let mut sentence =
            Sentence { range: first..last + 1, leads, entry, text: text_of, is_clocked, names: Vec::new() };
        let is_new = is_clocked
            || is_date_heading(pieces, &sentence)
            || headlines.iter().any(|line| line.start == sentence.range.start)
            || is_notebook && begins_with_day(pieces, &sentence);
        entry += usize::from(is_new || text_of != last_text);
        (sentence.entry, last_text) = (entry, text_of);
        out.push(sentence);
    };
    for at in 0..pieces.len() {
        let Some(Says::Stop(stop)) = pieces.get(at).map(|piece| &piece.says) else { continue };
        let is_colon = |at: usize| pieces.get(at).is_some_and(|piece| piece.says == Says::Stop(Stop::Colon));
        let leads = at.checked_sub(1).is_some_and(is_colon);
        let ends = match stop {
            Stop::Full | Stop::Paragraph | Stop::Text => true,
            Stop::Line if headlines.iter().any(|line| line.start == at + 1 || line.end == at) => true,
            Stop::Line => leads || is_notebook && is_day_of_line(pieces, at + 1) || begins_anew(text, pieces, from, at),
            _ => false,
        };
        if ends {
            close(from, at, leads, text_of);
            from = at + 1;
        }
        text_of += usize::from(*stop == Stop::Text);
    }
    close(from, pieces.len(), false, text_of);
    out
}

/// Whether the line behind the piece `at` begins a sentence of its own: with a time of day, or, after a value, with a machine or phase.
fn begins_anew(text: &str, pieces: &[Piece], from: usize, at: usize) -> bool {
    let next = at + 1;
    let Some(piece) = pieces.get(next) else { return true };
    match piece.says {
        Says::Clock => return true,
        Says::Date(_) => {
            return (from..at).any(|at| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Resistance(_))))
                || is_alone(pieces, next);
        }
        _ => {}
    }
    let only_date = (from..at).all(|at| {
        pieces.get(at).is_some_and(|piece| {
            matches!(piece.says, Says::Date(_) | Says::Stop(_))
                || sentence::is_known(piece) && piece.word().is_some() && !piece.is(Said::Measured)
        })
    }) && (from..at).any(|at| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Date(_))));
    let has_value = (from..at).any(|at| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Resistance(_))));
    let end = (next..pieces.len())
        .find(|at| {
            pieces
                .get(*at)
                .is_some_and(|piece| matches!(piece.says, Says::Stop(Stop::Line | Stop::Paragraph | Stop::Full)))
        })
        .unwrap_or(pieces.len());
    let is_named = || name::names(text, pieces, next..end).first().is_some_and(|name| name.pieces.start == next);
    let is_phase = matches!(piece.says, Says::Phase(_) | Says::Circuit(_));
    only_date || (has_value || has_name(text, pieces, from..at)) && (is_phase && has_value || is_named())
}

fn has_name(text: &str, pieces: &[Piece], range: std::ops::Range<usize>) -> bool {
    name::names(text, pieces, range.clone()).first().is_some_and(|name| name.pieces.start == range.start)
}

/// Whether a date and words of the list make a whole line.
fn is_alone(pieces: &[Piece], at: usize) -> bool {
    let line = pieces
        .get(at..)
        .unwrap_or_default()
        .iter()
        .take_while(|piece| !matches!(piece.says, Says::Stop(Stop::Line | Stop::Paragraph)));
    line.into_iter().all(|piece| {
        matches!(piece.says, Says::Date(_) | Says::Stop(_)) || piece.word().is_some() && sentence::is_known(piece)
    })
}

/// Whether a text is a log: entries with times of day, or under dates.
pub(super) fn is_log(pieces: &[Piece], sentences: &[Sentence]) -> bool {
    let clocks = pieces.iter().filter(|piece| piece.says == Says::Clock).count();
    let headings = sentences.iter().filter(|sentence| is_date_heading(pieces, sentence)).count();
    clocks >= 2 || headings >= 2 || !headlines(pieces).is_empty()
}

/// Fewest lines of a notebook that begin with their day.
const FEWEST_DAYS: usize = 3;

/// Whether a day stands at the beginning of three lines or more: each begins an entry of that day.
pub(super) fn is_notebook(pieces: &[Piece]) -> bool {
    (0..pieces.len()).filter(|at| is_day_of_line(pieces, *at)).count() >= FEWEST_DAYS
}

/// Whether the piece is a whole day at the beginning of a line, and no stop parts it from what was written then.
fn is_day_of_line(pieces: &[Piece], at: usize) -> bool {
    let day = |piece: &Piece| matches!(&piece.says, Says::Date(meanings) if meanings.iter().all(|meaning| meaning.date.precision == Precision::Day));
    let is_end = |piece: &Piece| matches!(piece.says, Says::Stop(Stop::Line | Stop::Paragraph | Stop::Text));
    let begins = at.checked_sub(1).and_then(|before| pieces.get(before)).is_none_or(is_end);
    let goes_on = pieces.get(at + 1).is_some_and(|next| !is_end(next));
    begins && goes_on && pieces.get(at).is_some_and(day)
}

/// Whether a sentence begins with the day of its line.
pub(super) fn begins_with_day(pieces: &[Piece], sentence: &Sentence) -> bool {
    is_day_of_line(pieces, sentence.range.start)
}

/// Most pieces of a line that heads what was done on a day.
const MOST_OF_HEADLINE: usize = 12;

/// Lines that tell a day and who was on shift, where there are two or more: "Tues 12 March 1974   day shift   P.S.", "Mo 17.02.86
/// Frühschicht Hs." A line that tells a machine, a number or what was done is an entry itself.
pub(super) fn headlines(pieces: &[Piece]) -> Vec<std::ops::Range<usize>> {
    let is_end = |piece: &Piece| matches!(piece.says, Says::Stop(Stop::Line | Stop::Paragraph | Stop::Text));
    let is_day = |piece: &Piece| matches!(&piece.says, Says::Date(meanings) if meanings.iter().all(|meaning| meaning.date.precision == Precision::Day));
    let may_stand = |piece: &Piece| match &piece.says {
        Says::Stop(stop) => !matches!(stop, Stop::Colon | Stop::Open | Stop::Close),
        Says::Word(word, said) => !names_machine(word) && !said.iter().any(|said| TELLING.contains(said)),
        Says::Phase(_) | Says::Clock => true,
        _ => false,
    };
    let mut found = Vec::new();
    for at in 0..pieces.len() {
        let begins = at.checked_sub(1).and_then(|before| pieces.get(before)).is_none_or(is_end);
        if !begins || !pieces.get(at).is_some_and(is_day) {
            continue;
        }
        let end = (at..pieces.len()).find(|at| pieces.get(*at).is_some_and(is_end)).unwrap_or(pieces.len());
        let others = pieces.get(at + 1..end).unwrap_or_default();
        if others.len() <= MOST_OF_HEADLINE && others.iter().all(may_stand) {
            found.push(at..end);
        }
    }
    if found.len() >= 2 { found } else { Vec::new() }
}

/// What a word says that makes its line more than the head of a day.
const TELLING: [Said; 14] = [
    Said::Measured,
    Said::Event,
    Said::Plan,
    Said::Foreign,
    Said::Earlier,
    Said::Bound,
    Said::Corrected,
    Said::Than,
    Said::Negation,
    Said::Doubt,
    Said::Generic,
    Said::Drive,
    Said::Instrument,
    Said::Which,
];

/// Whether a sentence is the head of a day, or a part of it.
pub(super) fn is_of_headline(headlines: &[std::ops::Range<usize>], sentence: &Sentence) -> bool {
    headlines.iter().any(|line| line.start <= sentence.range.start && sentence.range.end <= line.end)
}

/// Whether a sentence is a date with words of the list only.
pub(super) fn is_date_heading(pieces: &[Piece], sentence: &Sentence) -> bool {
    let own = pieces.get(sentence.range.clone()).unwrap_or_default();
    let dates = own.iter().filter(|piece| matches!(piece.says, Says::Date(_))).count();
    dates == 1
        && own.iter().all(|piece| {
            matches!(piece.says, Says::Date(_) | Says::Stop(_))
                || piece.word().is_some() && sentence::is_known(piece) && !piece.is(Said::Measured)
        })
}
