//! Text to physical records: blank lines count, and a quoted field with line breaks belongs to one record.

use std::collections::BTreeMap;

use crate::dialect::Delimiter;
use crate::quotes;

/// A record that is not blank.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Record {
    /// Zero-based number among the physical records of the text.
    pub(crate) number: u32,
    /// Fields, without blanks and control characters around them.
    pub(crate) fields: Vec<String>,
}

impl Record {
    /// Number of the last field that is not empty, from 1; a record of one filled field at its start counts one.
    pub(crate) fn filled(&self) -> usize {
        self.fields.iter().rposition(|field| !field.is_empty()).map_or(0, |last| last + 1)
    }
}

/// Evenness from which on all records can be taken to have the same fields.
pub(crate) const EVEN: f64 = 0.95;

/// Share of the records that have the most frequent number of fields, blank ones counted; 0 where that is below three.
pub(crate) fn evenness(records: &[Record]) -> f64 {
    let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
    for record in records {
        *counts.entry(record.fields.len()).or_default() += 1;
    }
    let all: u32 = counts.values().sum();
    let most = counts.iter().filter(|(fields, _)| **fields >= 3).map(|(_, count)| *count).max().unwrap_or(0);
    f64::from(most) / f64::from(all.max(1))
}

/// All records of `text` that have a field that is not empty.
pub(crate) fn all(text: &str, delimiter: Delimiter) -> Vec<Record> {
    cut(&quotes::mend(text, delimiter).text, delimiter)
}

fn cut(text: &str, delimiter: Delimiter) -> Vec<Record> {
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).delimiter(delimiter.0).from_reader(text.as_bytes());
    let (mut records, mut record) = (Vec::new(), csv::StringRecord::new());
    let (mut number, mut end) = (0_u32, 0_usize);
    // Reading from memory, and text that is valid, cannot fail.
    while reader.read_record(&mut record).unwrap_or(false) {
        number = number.saturating_add(blank_lines(text, end));
        end = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        keep(&mut records, number, record.iter());
        number = number.saturating_add(1);
    }
    records
}

/// Empty lines that the reader passes over before the record that begins after byte `from`.
fn blank_lines(text: &str, from: usize) -> u32 {
    let bytes = text.as_bytes();
    let mut at = from;
    // The reader stops between the two bytes of a line end.
    if from > 0 && bytes.get(from - 1) == Some(&b'\r') && bytes.get(from) == Some(&b'\n') {
        at += 1;
    }
    let mut lines = 0_u32;
    loop {
        match (bytes.get(at), bytes.get(at + 1)) {
            (Some(b'\r'), Some(b'\n')) => at += 2,
            (Some(b'\r' | b'\n'), _) => at += 1,
            _ => return lines,
        }
        lines = lines.saturating_add(1);
    }
}

fn keep<'a>(records: &mut Vec<Record>, number: u32, fields: impl Iterator<Item = &'a str>) {
    let fields: Vec<String> = fields.map(clean).collect();
    if fields.iter().any(|field| !field.is_empty()) {
        records.push(Record { number, fields });
    }
}

/// The field without what steers terminals and pads files; line breaks and tabs inside stay.
fn clean(field: &str) -> String {
    let is_steering = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
    if field.contains(is_steering) { field.replace(is_steering, "").trim().to_owned() } else { field.trim().to_owned() }
}
