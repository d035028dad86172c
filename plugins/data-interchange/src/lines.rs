//! Lines of the format, and texts in quotes that may go over several.

/// Lines that a text in quotes may have.
const MOST_LINES: usize = 200;

/// The lines that are left.
#[derive(Debug, Clone)]
pub(crate) struct Lines<'t> {
    rest: &'t str,
    /// Number of the line read last, from 1.
    pub(crate) number: usize,
}

impl<'t> Lines<'t> {
    pub(crate) fn new(text: &'t str) -> Self {
        Self { rest: text, number: 0 }
    }

    /// The next line, without its end: a line feed, a carriage return, or both.
    pub(crate) fn next_line(&mut self) -> Option<&'t str> {
        if self.rest.is_empty() {
            return None;
        }
        let (line, rest) = match self.rest.find(['\n', '\r']).and_then(|end| self.rest.split_at_checked(end)) {
            Some((line, rest)) => (line, rest.strip_prefix("\r\n").or_else(|| rest.get(1..)).unwrap_or_default()),
            None => (self.rest, ""),
        };
        self.rest = rest;
        self.number += 1;
        Some(line)
    }

    /// The text that begins in `line`, read last: without its quotes, and with what follows where they are still open.
    ///
    /// Programs disagree on how a quote within a text is written; so a quote at the end of a line ends the text.
    pub(crate) fn quoted(&mut self, line: &str) -> String {
        let Some(inside) = line.trim_start().strip_prefix('"') else { return line.to_owned() };
        if let Some(text) = inside.trim_end().strip_suffix('"') {
            return text.replace("\"\"", "\"");
        }
        let (mut ahead, mut text) = (self.clone(), inside.to_owned());
        for _ in 0..MOST_LINES {
            let Some(next) = ahead.next_line() else { break };
            text.push('\n');
            if let Some(end) = next.trim_end().strip_suffix('"') {
                text.push_str(end);
                *self = ahead;
                return text.replace("\"\"", "\"");
            }
            text.push_str(next);
        }
        // No end: the quote is a mark that somebody typed.
        line.to_owned()
    }
}
