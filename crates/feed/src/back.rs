//! What comes back from a maintenance system: acknowledgements, work orders and what people found, as lines of CSV or one by one.

mod answer;

use crate::error::{Error, Result};
use answer::{Doubt, word};
use csv::{ByteRecord, ReaderBuilder};
use std::collections::BTreeMap;
use windrow_model::{Acknowledgement, Finding};

pub use answer::Answer;

/// Fields of an answer, with the headings under which each is told.
const COLUMNS: &[(&str, &[&str])] = &[
    ("finding_id", &["finding", "finding_id"]),
    ("outcome", &["outcome"]),
    ("work_order", &["work_order"]),
    ("failure_mode", &["failure_mode"]),
    ("by", &["by"]),
    ("on", &["on", "date"]),
    ("reason", &["reason", "note"]),
];

/// What a file or a request told.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Answers {
    /// Words on findings, in their order.
    pub words: Vec<Acknowledgement>,
    /// Lines, or answers of a request, that say what was known already.
    pub known: usize,
    /// Those that say nothing that can be used.
    pub wrong: Vec<Wrong>,
    /// Headings that are not used.
    pub unused: Vec<String>,
}

/// What is wrong with a line, or with an answer of a request.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Number of the line or of the answer, from 1.
    pub line: u64,
    /// Number of the column or field, from 1 (0 for a field that is none), and its name; none where the whole line is meant.
    pub column: Option<(usize, String)>,
    /// What is wrong, and what is expected.
    pub what: String,
}

impl std::fmt::Display for Wrong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.column {
            Some((number, name)) => write!(f, "line {}, column {number} ({name}): {}", self.line, self.what),
            None => write!(f, "line {}: {}", self.line, self.what),
        }
    }
}

/// Reads the bytes of a file against the findings of the fleet and what was said before.
///
/// # Errors
/// When the file has no headings that are known; a line that is wrong is told and the rest goes on.
pub fn read(bytes: &[u8], findings: &[Finding], before: &[Acknowledgement]) -> Result<Answers> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let first = bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    if first.contains(&0) {
        return Err(Error::Usage("it is UTF-16 or no text: save it as CSV in UTF-8".to_owned()));
    }
    let mut reader = ReaderBuilder::new().flexible(true).delimiter(delimiter(first)).from_reader(bytes);
    let headings =
        reader.byte_headers().map_err(|error| Error::Usage(format!("no line of headings can be read: {error}")))?;
    let columns = Columns::of(headings)?;
    let mut taken = Taken::after(before);
    taken.answers.unused.clone_from(&columns.unused);
    let mut record = ByteRecord::new();
    let mut lines = Lines { bytes, at: 0, line: 1 };
    loop {
        let line = lines.of(reader.position());
        match reader.read_byte_record(&mut record) {
            Ok(false) => return Ok(taken.answers),
            Ok(true) => taken.take(Line { columns: &columns, record: &record, number: line }.word(findings)),
            Err(error) => {
                taken.take(Err(Wrong { line, column: None, what: format!("it cannot be read: {error}") }));
            }
        }
    }
}

/// The delimiter of a line of headings: the first of comma, semicolon and tab that stands in it.
fn delimiter(headings: &[u8]) -> u8 {
    [b',', b';', b'\t'].into_iter().find(|delimiter| headings.contains(delimiter)).unwrap_or(b',')
}

/// Holds the answers of a request, each with its number there, against the findings of the fleet and what was said before.
#[must_use]
pub fn take(told: &[(u64, Answer)], findings: &[Finding], before: &[Acknowledgement]) -> Answers {
    let mut taken = Taken::after(before);
    for (number, answer) in told {
        taken.take(word(answer, findings).map_err(|Doubt { field, what }| {
            let at = COLUMNS.iter().position(|(name, _)| *name == field).unwrap_or_default() + 1;
            Wrong { line: *number, column: Some((at, field.to_owned())), what }
        }));
    }
    taken.answers
}

/// Answers while they are taken.
struct Taken {
    answers: Answers,
    /// What was said so far.
    said: Vec<Acknowledgement>,
}

impl Taken {
    fn after(before: &[Acknowledgement]) -> Self {
        Self { answers: Answers::default(), said: before.to_vec() }
    }

    fn take(&mut self, word: std::result::Result<Acknowledgement, Wrong>) {
        match word {
            Ok(word) if self.said.iter().any(|other| is_same(other, &word)) => self.answers.known += 1,
            Ok(word) => {
                self.said.push(word.clone());
                self.answers.words.push(word);
            }
            Err(wrong) => self.answers.wrong.push(wrong),
        }
    }
}

/// Numbers of lines by places in the file. The reader's own count is one behind where lines end in carriage return and line feed.
struct Lines<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
}

impl Lines<'_> {
    /// Number of the line that begins at `position`, which never goes back.
    fn of(&mut self, position: &csv::Position) -> u64 {
        let mut end = usize::try_from(position.byte()).unwrap_or(usize::MAX).min(self.bytes.len());
        // What is left of the line before, and lines without anything, are no lines of a record.
        while matches!(self.bytes.get(end), Some(b'\n' | b'\r')) {
            end += 1;
        }
        let passed = self.bytes.get(self.at..end).unwrap_or_default();
        self.line += passed.iter().map(|byte| u64::from(*byte == b'\n')).sum::<u64>();
        self.at = end;
        self.line
    }
}

/// Whether two words say the same; the level is that of the day on which one was read.
fn is_same(a: &Acknowledgement, b: &Acknowledgement) -> bool {
    Acknowledgement { level: String::new(), ..a.clone() } == Acknowledgement { level: String::new(), ..b.clone() }
}

struct Columns {
    known: BTreeMap<&'static str, (usize, String)>,
    count: usize,
    unused: Vec<String>,
}

impl Columns {
    fn of(headings: &ByteRecord) -> Result<Self> {
        let mut columns = Self { known: BTreeMap::new(), count: headings.len(), unused: Vec::new() };
        for (at, heading) in headings.iter().enumerate() {
            let heading = String::from_utf8_lossy(heading).trim().to_owned();
            let folded = heading.to_lowercase().replace([' ', '-'], "_");
            match COLUMNS.iter().find(|(_, names)| names.contains(&folded.as_str())) {
                Some((name, _)) => {
                    if columns.known.insert(name, (at, heading.clone())).is_some() {
                        return Err(Error::Usage(format!("column {}: {heading:?} stands twice", at + 1)));
                    }
                }
                None => columns.unused.push(heading),
            }
        }
        if columns.known.contains_key("finding_id") {
            return Ok(columns);
        }
        Err(Error::Usage(
            "line 1: no column is called finding_id; known columns are finding_id, outcome, work_order, failure_mode, by, on, reason"
                .to_owned(),
        ))
    }
}

struct Line<'a> {
    columns: &'a Columns,
    record: &'a ByteRecord,
    number: u64,
}

impl Line<'_> {
    fn wrong(&self, name: &str, what: String) -> Wrong {
        let column = self.columns.known.get(name).map(|(at, heading)| (at + 1, heading.clone()));
        Wrong { line: self.number, column, what }
    }

    /// The text under `name`, if the file has such a column.
    fn text(&self, name: &str) -> std::result::Result<Option<String>, Wrong> {
        let Some((at, _)) = self.columns.known.get(name) else { return Ok(None) };
        let bytes = self.record.get(*at).unwrap_or_default();
        let text = std::str::from_utf8(bytes).map_err(|_| self.wrong(name, "it is no UTF-8".to_owned()))?;
        Ok(Some(text.to_owned()))
    }

    fn word(&self, findings: &[Finding]) -> std::result::Result<Acknowledgement, Wrong> {
        let text = self.record.as_slice().trim_ascii_end();
        let breaks = text.iter().map(|byte| u64::from(*byte == b'\n')).sum::<u64>();
        if breaks > 0 {
            // Taken as it stands, a quotation mark that is never closed would swallow the answers behind it.
            let what = format!(
                "a text in quotation marks takes in {breaks} of the lines below, and nothing of it is read: close every quotation mark, and \
                 write each answer on one line"
            );
            return Err(Wrong { line: self.number, column: None, what });
        }
        let (fields, headings) = (self.record.len(), self.columns.count);
        if fields > headings {
            let what = format!("it has {fields} fields under {headings} headings: quote texts that hold the delimiter");
            return Err(Wrong { line: self.number, column: None, what });
        }
        let answer = Answer {
            finding_id: self.text("finding_id")?,
            outcome: self.text("outcome")?,
            work_order: self.text("work_order")?,
            failure_mode: self.text("failure_mode")?,
            by: self.text("by")?,
            on: self.text("on")?,
            reason: self.text("reason")?,
        };
        word(&answer, findings).map_err(|Doubt { field, what }| self.wrong(field, what))
    }
}
