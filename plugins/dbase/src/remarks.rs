//! What a person should know about a table: one line a kind, with a count and the first records.

use std::collections::BTreeMap;

/// Records told for one kind.
const PLACES: usize = 5;

/// Remarks gathered while reading.
#[derive(Debug, Default)]
pub(crate) struct Remarks {
    lines: Vec<String>,
    counted: BTreeMap<String, (usize, Vec<String>)>,
}

impl Remarks {
    /// A remark on the table.
    pub(crate) fn plain(&mut self, line: String) {
        self.lines.push(line);
    }

    /// A remark on a record, by its number from 1.
    pub(crate) fn record(&mut self, what: &str, number: usize) {
        if !self.counted.contains_key(what) {
            self.counted.insert(what.to_owned(), Default::default());
        }
        if let Some((count, places)) = self.counted.get_mut(what) {
            *count += 1;
            if places.len() < PLACES {
                places.push(number.to_string());
            }
        }
    }

    /// The lines.
    pub(crate) fn into_lines(mut self) -> Vec<String> {
        for (what, (count, places)) in self.counted {
            let more = if count > places.len() { format!(" and {} more", count - places.len()) } else { String::new() };
            self.lines.push(format!("{what}: record {}{more}", places.join(", ")));
        }
        self.lines
    }
}
