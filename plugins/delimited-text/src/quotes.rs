//! Quotation marks that quote nothing: ditto marks, inches, quotes never closed.
//!
//! A quote at the start of a field that is not closed before a delimiter would swallow the rest of the file. Such a quote
//! is quoted itself, so that the field keeps it as a character and the rest stays what it is.

use std::borrow::Cow;

use crate::dialect::Delimiter;

/// Line breaks that a quoted field may hold.
const MOST_LINES: usize = 60;

/// Text in which every quote at the start of a field is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Mended<'a> {
    pub(crate) text: Cow<'a, str>,
    /// Fields in which a quote was taken for a character though it is no ditto mark.
    pub(crate) unclosed: usize,
}

/// Mends `text` for fields cut by `delimiter`.
pub(crate) fn mend(text: &str, delimiter: Delimiter) -> Mended<'_> {
    let mark = char::from(delimiter.0);
    if !text.contains('"') {
        return Mended { text: Cow::Borrowed(text), unclosed: 0 };
    }
    let (mut out, mut unclosed) = (String::with_capacity(text.len() + 64), 0);
    let mut rest = text;
    while !rest.is_empty() {
        let field = Field::at(rest, mark);
        if let Some(end) = field.end() {
            let (quoted, after) = rest.split_at(end);
            out.push_str(quoted.trim_matches([' ', '\t']));
            rest = after;
        } else {
            let (plain, after) = rest.split_at(rest.find(|c| is_end(c, mark)).unwrap_or(rest.len()));
            if field.is_quoted() {
                unclosed += usize::from(!is_ditto(plain));
                out.push('"');
                out.push_str(&plain.replace('"', "\"\""));
                out.push('"');
            } else {
                out.push_str(plain);
            }
            rest = after;
        }
        let step = rest.chars().next().map_or(0, char::len_utf8);
        let (delimiter, after) = rest.split_at(step);
        out.push_str(delimiter);
        rest = after;
    }
    Mended { text: Cow::Owned(out), unclosed }
}

fn is_end(c: char, mark: char) -> bool {
    c == mark || c == '\n' || c == '\r'
}

fn is_ditto(field: &str) -> bool {
    field.chars().all(|c| c == '"' || c.is_whitespace())
}

/// The text from the start of a field on.
struct Field<'a> {
    text: &'a str,
    /// Where the opening quote stands, if the field begins with one.
    open: Option<usize>,
    mark: char,
}

impl<'a> Field<'a> {
    fn at(text: &'a str, mark: char) -> Self {
        let blank = text.len() - text.trim_start_matches(|c| matches!(c, ' ' | '\t') && c != mark).len();
        let open = text.get(blank..).filter(|rest| rest.starts_with('"')).map(|_| blank);
        Self { text, open, mark }
    }

    fn is_quoted(&self) -> bool {
        self.open.is_some()
    }

    /// Where a properly quoted field ends: at the delimiter or line end after the closing quote.
    fn end(&self) -> Option<usize> {
        let start = self.open? + 1;
        let close = self.close(start)?;
        let content = self.text.get(start..close)?;
        let after = self.text.get(close + 1..)?;
        let blank = after.len() - after.trim_start_matches(|c| matches!(c, ' ' | '\t') && c != self.mark).len();
        let ends = after.get(blank..)?.chars().next().is_none_or(|c| is_end(c, self.mark));
        (ends && !self.are_two_dittos(content)).then_some(close + 1 + blank)
    }

    /// The closing quote: the first that is not doubled.
    fn close(&self, start: usize) -> Option<usize> {
        let bytes = self.text.as_bytes();
        let (mut at, mut lines) = (start, 0);
        loop {
            match bytes.get(at)? {
                b'"' if bytes.get(at + 1) == Some(&b'"') => at += 1,
                b'"' => return Some(at),
                b'\n' => lines += 1,
                _ => {}
            }
            if lines > MOST_LINES {
                return None;
            }
            at += 1;
        }
    }

    /// `";12.5;"` and `";12.5⏎"`: what stands between two ditto marks, not a quoted text.
    fn are_two_dittos(&self, content: &str) -> bool {
        let inner = content.trim_matches(|c| matches!(c, ' ' | '\t') && c != self.mark);
        let starts_field = inner.starts_with(|c| is_end(c, self.mark));
        starts_field && (inner.ends_with(|c| is_end(c, self.mark)) || inner.contains(['\n', '\r']))
    }
}
