//! A date cut into numbers, words and the marks between them.

use super::words::{Word, lookup};
use crate::fold::fold;

/// Most pieces in a date ("Monday the 14th of March in the year 1987" has twelve).
const MOST: usize = 14;

/// One piece.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Piece<'a> {
    /// Digits, with whether an apostrophe stood before (`'87`).
    Number { digits: &'a str, apostrophe: bool },
    /// A word that can stand in a date.
    Word(Word),
}

/// Pieces, and the mark before each (`\0` before the first and between digits and letters that touch; a blank only where
/// nothing else stands).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tokens<'a> {
    pub(super) pieces: Vec<Piece<'a>>,
    pub(super) marks: Vec<char>,
    /// Whether fillers or weekdays were left out.
    pub(super) shortened: bool,
}

impl<'a> Tokens<'a> {
    /// Pieces of all of `text`; `None` if something in it cannot stand in a date.
    pub(super) fn read(text: &'a str) -> Option<Self> {
        let mut tokens = Self { pieces: Vec::new(), marks: Vec::new(), shortened: false };
        let (mut rest, mut mark, mut apostrophe) = (text, '\0', false);
        while let Some(c) = rest.chars().next() {
            if tokens.pieces.len() > MOST {
                return None;
            }
            let length = if c.is_ascii_digit() {
                run(rest, |c| c.is_ascii_digit())
            } else if c.is_alphabetic() || c == '°' || c == 'º' || c == 'ª' {
                run(rest, |c| c.is_alphabetic() || matches!(c, '°' | 'º' | 'ª' | '\u{300}'..='\u{36f}'))
            } else {
                // "24'100" is a number; an apostrophe stands for the century behind a blank or a month.
                let behind_digits = mark == '\0' && matches!(tokens.pieces.last(), Some(Piece::Number { .. }));
                if behind_digits && matches!(c, '\'' | '’' | '‘' | '`' | '´') {
                    return None;
                }
                (mark, apostrophe) = next_mark(c, mark, apostrophe)?;
                rest = rest.get(c.len_utf8()..)?;
                continue;
            };
            let (piece, after) = rest.split_at_checked(length)?;
            tokens.push(piece, mark, apostrophe)?;
            (rest, mark, apostrophe) = (after, '\0', false);
        }
        // What follows the last piece may be a full stop, nothing else.
        matches!(mark, '\0' | ' ' | '.' | ',').then_some(tokens)
    }

    fn push(&mut self, piece: &'a str, mark: char, apostrophe: bool) -> Option<()> {
        let piece = if piece.starts_with(|c: char| c.is_ascii_digit()) {
            Piece::Number { digits: piece, apostrophe }
        } else {
            match lookup(&fold(piece))? {
                // Weekdays and fillers say nothing, and neither do the marks around them.
                Word::Weekday(_) | Word::Filler => {
                    self.shortened = true;
                    return Some(());
                }
                word => Piece::Word(word),
            }
        };
        self.pieces.push(piece);
        self.marks.push(mark);
        Some(())
    }

    /// Whether a word stands among the numbers.
    pub(super) fn has_words(&self) -> bool {
        self.pieces.iter().any(|piece| matches!(piece, Piece::Word(_)))
    }

    /// The numbers, in order, as written.
    pub(super) fn numbers(&self) -> Vec<&'a str> {
        self.pieces
            .iter()
            .filter_map(|piece| if let Piece::Number { digits, .. } = piece { Some(*digits) } else { None })
            .collect()
    }

    /// Whether an apostrophe stands before the last number.
    pub(super) fn apostrophe(&self) -> bool {
        matches!(
            self.pieces.iter().rev().find(|piece| matches!(piece, Piece::Number { .. })),
            Some(Piece::Number { apostrophe: true, .. })
        )
    }
}

fn run(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

/// The mark so far joined with one more character; `None` if it cannot stand in a date.
fn next_mark(c: char, mark: char, apostrophe: bool) -> Option<(char, bool)> {
    match c {
        '\'' | '’' | '‘' | '`' | '´' if !apostrophe => Some((if mark == '\0' { ' ' } else { mark }, true)),
        ' ' | '\u{a0}' | '\u{202f}' | '\t' => Some((if mark == '\0' { ' ' } else { mark }, apostrophe)),
        '.' | '/' | '-' | ',' | '–' | '_' | '‑' | '\\' => {
            let c = if matches!(c, '–' | '_' | '‑') { '-' } else { c };
            // Two marks together are an abbreviation's dot and a separator at most.
            let joined = match mark {
                '\0' | ' ' => c,
                '.' if c != '.' => c,
                _ => return None,
            };
            Some((joined, apostrophe))
        }
        _ => None,
    }
}
