//! Records: a kind and fields, separated by semicolons.

use crate::escape;

/// A record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Record {
    /// Its kind: one or two letters.
    pub(crate) kind: String,
    /// Its fields, each with its letter first.
    fields: Vec<String>,
}

impl Record {
    /// From a line. Two semicolons are one within a field.
    pub(crate) fn of(line: &str) -> Self {
        let mut fields = vec![String::new()];
        let mut letters = line.chars().peekable();
        while let Some(letter) = letters.next() {
            let is_end = letter == ';' && letters.next_if_eq(&';').is_none();
            match fields.last_mut() {
                Some(field) if !is_end => field.push(letter),
                _ => fields.push(String::new()),
            }
        }
        let mut fields = fields.into_iter().map(|field| escape::resolved(&field));
        Self { kind: fields.next().unwrap_or_default(), fields: fields.collect() }
    }

    /// What stands behind `letter` in the first field that begins with it.
    pub(crate) fn field(&self, letter: char) -> Option<&str> {
        self.fields.iter().find_map(|field| field.strip_prefix(letter))
    }

    /// The fields, with their letters.
    pub(crate) fn fields(&self) -> impl Iterator<Item = (char, &str)> {
        self.fields.iter().filter_map(|field| {
            let first = field.chars().next()?;
            Some((first, field.get(first.len_utf8()..)?))
        })
    }

    /// The number behind `letter`; `None` if there is none.
    pub(crate) fn number(&self, letter: char) -> Option<u32> {
        self.field(letter)?.trim().parse().ok()
    }
}
