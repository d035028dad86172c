//! The text of a cell: paragraphs, with what is struck through.

use std::io::BufRead;

use windrow_source::ReadError;
use windrow_source::spreadsheet::struck::{Run, Strike};

use crate::xml::{Item, Tag, Xml};

use super::style::Styles;

/// Text as shown, and what of it was struck through.
#[derive(Debug, Default)]
pub(crate) struct Words {
    /// All text.
    pub(crate) text: String,
    /// Runs.
    pub(crate) runs: Vec<Run>,
}

impl Words {
    /// Appends the paragraph just opened, on a line of its own.
    pub(crate) fn paragraph<R: BufRead>(
        &mut self,
        xml: &mut Xml<R>,
        styles: &Styles,
        limit: usize,
    ) -> Result<(), ReadError> {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        // For every open element inside the paragraph, whether its text is struck through.
        let mut struck = vec![false];
        loop {
            match xml.next()? {
                Item::Open(tag) => {
                    let inner = Inner::of(&tag, styles)?;
                    match inner {
                        Inner::Span { strikes } => struck.push(strikes || struck.last() == Some(&true)),
                        Inner::Blanks(count) => {
                            self.text.extend(std::iter::repeat_n(' ', count.min(limit)));
                            xml.skip()?;
                        }
                        Inner::Sign(sign) => {
                            self.text.push(sign);
                            xml.skip()?;
                        }
                        Inner::Other => xml.skip()?,
                    }
                }
                Item::Close => {
                    struck.pop();
                    if struck.is_empty() {
                        return Ok(());
                    }
                }
                Item::Text(piece) => self.push(&piece),
                Item::Aside => {}
                Item::End => return Ok(()),
            }
            if self.text.len() > limit {
                return Err(xml.too_long(limit));
            }
            self.mark(if struck.last() == Some(&true) { Strike::On } else { Strike::Inherited });
        }
    }

    /// Appends text as paragraphs do: runs of white space are one blank, none at the beginning of a line.
    fn push(&mut self, piece: &str) {
        for letter in piece.chars() {
            if !matches!(letter, ' ' | '\t' | '\n' | '\r') {
                self.text.push(letter);
            } else if !self.text.is_empty() && !self.text.ends_with([' ', '\t', '\n']) {
                self.text.push(' ');
            }
        }
    }

    /// Prolongs the last run to the end of the text, or begins one.
    fn mark(&mut self, strike: Strike) {
        let end = self.text.len();
        match self.runs.last_mut() {
            Some(run) if run.strike == strike => run.end = end,
            _ => self.runs.push(Run { end, strike }),
        }
    }
}

/// An element inside a paragraph.
enum Inner {
    /// Text with a style, or a link.
    Span {
        /// Whether it is struck through.
        strikes: bool,
    },
    /// So many blanks.
    Blanks(usize),
    /// A tab or a line break.
    Sign(char),
    /// Something that is no text of the cell.
    Other,
}

impl Inner {
    fn of(tag: &Tag<'_>, styles: &Styles) -> Result<Self, ReadError> {
        Ok(match tag.name() {
            "span" => Self::Span { strikes: tag.attribute("style-name")?.is_some_and(|name| styles.strikes(&name)) },
            "a" | "ruby" | "ruby-base" | "meta" | "sheet-name" | "title" | "date" | "time" => {
                Self::Span { strikes: false }
            }
            "s" => Self::Blanks(tag.attribute("c")?.and_then(|count| count.parse().ok()).unwrap_or(1)),
            "tab" => Self::Sign('\t'),
            "line-break" => Self::Sign('\n'),
            _ => Self::Other,
        })
    }
}
