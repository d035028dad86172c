//! The shared-string table, kept as one text with the ends of its strings.

use std::collections::BTreeMap;

use windrow_source::spreadsheet::struck::Run;
use windrow_source::{Limits, ReadError};

use crate::package::Package;
use crate::xml::Item;

use super::rich::Rich;

/// The strings that cells refer to by number.
#[derive(Debug, Default)]
pub(crate) struct Strings {
    text: String,
    ends: Vec<usize>,
    /// Runs of the strings that have any.
    runs: BTreeMap<usize, Vec<Run>>,
}

impl Strings {
    /// Appends a string.
    pub(crate) fn push(&mut self, rich: &Rich) {
        if !rich.runs.is_empty() {
            self.runs.insert(self.ends.len(), rich.runs.clone());
        }
        self.text.push_str(&rich.text);
        self.ends.push(self.text.len());
    }

    /// A string and its runs.
    pub(crate) fn get(&self, index: usize) -> Option<(&str, &[Run])> {
        let end = *self.ends.get(index)?;
        let start = index.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or(0);
        Some((self.text.get(start..end)?, self.runs.get(&index).map_or(&[], Vec::as_slice)))
    }
}

/// Reads the table.
pub(crate) fn read(package: &mut Package<'_>, part: &str, limits: &Limits) -> Result<Strings, ReadError> {
    let mut xml = package.xml(part)?;
    let mut strings = Strings::default();
    let mut rich = Rich::default();
    loop {
        match xml.next()? {
            Item::Open(tag) if tag.name() == "si" => {
                rich.read(&mut xml, limits.cell_text_bytes)?;
                strings.push(&rich);
            }
            Item::End => return Ok(strings),
            _ => {}
        }
    }
}
