//! What comes back from a maintenance system: acknowledgements, work orders and what people found, as lines of CSV.

use crate::error::{Error, Result};
use crate::modes;
use csv::{ByteRecord, ReaderBuilder};
use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_model::{Acknowledgement, Finding, Word, WorkOutcome};

/// Headings that are known, with the names under which each is told.
const COLUMNS: &[(&str, &[&str])] = &[
    ("finding", &["finding", "finding_id"]),
    ("outcome", &["outcome"]),
    ("work_order", &["work_order"]),
    ("failure_mode", &["failure_mode"]),
    ("by", &["by"]),
    ("on", &["on", "date"]),
    ("reason", &["reason", "note"]),
];
/// Fewest letters of an id that name a finding.
const FEWEST: usize = 8;
/// What a line says that tells no outcome.
const SEEN: &str = "acknowledged";

/// What a file told.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Answers {
    /// Words on findings, in the order of the file.
    pub words: Vec<Acknowledgement>,
    /// Lines that say what was known already.
    pub known: usize,
    /// Lines that say nothing that can be used.
    pub wrong: Vec<Wrong>,
    /// Headings that are not used.
    pub unused: Vec<String>,
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Number of the line, from 1.
    pub line: u64,
    /// Number of the column, from 1, and its heading; none where the whole line is meant.
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
    let delimiter = if first.contains(&b';') && !first.contains(&b',') { b';' } else { b',' };
    let mut reader = ReaderBuilder::new().flexible(true).delimiter(delimiter).from_reader(bytes);
    let headings =
        reader.byte_headers().map_err(|error| Error::Usage(format!("no line of headings can be read: {error}")))?;
    let columns = Columns::of(headings)?;
    let mut answers = Answers { unused: columns.unused.clone(), ..Answers::default() };
    let mut said: Vec<Acknowledgement> = before.to_vec();
    let mut record = ByteRecord::new();
    let mut lines = Lines { bytes, at: 0, line: 1 };
    loop {
        let line = lines.of(reader.position());
        match reader.read_byte_record(&mut record) {
            Ok(false) => return Ok(answers),
            Ok(true) => {}
            Err(error) => {
                answers.wrong.push(Wrong { line, column: None, what: format!("it cannot be read: {error}") });
                continue;
            }
        }
        match word(&Line { columns: &columns, record: &record, number: line }, findings) {
            Ok(word) if said.iter().any(|other| is_same(other, &word)) => answers.known += 1,
            Ok(word) => {
                said.push(word.clone());
                answers.words.push(word);
            }
            Err(wrong) => answers.wrong.push(wrong),
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
        if columns.known.contains_key("finding") {
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

    /// The text under `name`; `None` where it is empty or the file has no such column.
    fn text(&self, name: &str) -> std::result::Result<Option<String>, Wrong> {
        let Some((at, _)) = self.columns.known.get(name) else { return Ok(None) };
        let bytes = self.record.get(*at).unwrap_or_default();
        let text = std::str::from_utf8(bytes).map_err(|_| self.wrong(name, "it is no UTF-8".to_owned()))?.trim();
        if text.chars().any(char::is_control) {
            return Err(self.wrong(name, "it holds control characters".to_owned()));
        }
        Ok((!text.is_empty()).then(|| text.to_owned()))
    }
}

fn word(line: &Line<'_>, findings: &[Finding]) -> std::result::Result<Acknowledgement, Wrong> {
    if line.record.len() > line.columns.count {
        let what = format!(
            "it has {} fields under {} headings: quote texts that hold the delimiter",
            line.record.len(),
            line.columns.count
        );
        return Err(Wrong { line: line.number, column: None, what });
    }
    let finding = find(line, findings)?;
    let outcome = match line.text("outcome")?.map(|text| text.to_lowercase().replace([' ', '-'], "_")) {
        None => None,
        Some(text) if text == SEEN => None,
        Some(text) => Some(WorkOutcome::from_code(&text).ok_or_else(|| {
            line.wrong("outcome", format!("{text:?} is none; acknowledged, confirmed, nothing_found or repaired is"))
        })?),
    };
    let failure_mode = match line.text("failure_mode")? {
        None => None,
        Some(text) => Some(modes::known(&text).map(str::to_owned).ok_or_else(|| {
            line.wrong(
                "failure_mode",
                format!("{text:?} is no failure mode of a motor or generator; {} are (ISO 14224)", modes::all()),
            )
        })?),
    };
    let on = match line.text("on")? {
        None => None,
        Some(text) => {
            Some(text.parse::<Date>().map_err(|_| line.wrong("on", format!("{text:?} is no day; 2026-11-28 is")))?)
        }
    };
    Ok(Acknowledgement {
        finding: finding.finding_id.clone(),
        word: Word::Acknowledged,
        level: finding.level.clone(),
        reason: line.text("reason")?.unwrap_or_else(|| "told by the maintenance system".to_owned()),
        by: line.text("by")?,
        on: on.map(|day| day.to_string()),
        work_order: line.text("work_order")?,
        outcome,
        failure_mode,
    })
}

fn find<'a>(line: &Line<'_>, findings: &'a [Finding]) -> std::result::Result<&'a Finding, Wrong> {
    let id = line
        .text("finding")?
        .ok_or_else(|| line.wrong("finding", "it is empty; the id of a finding is expected".to_owned()))?;
    let asked = id.to_lowercase();
    let mut found = findings.iter().filter(|finding| asked.len() >= FEWEST && finding.finding_id.starts_with(&asked));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (None, _) => Err(line.wrong("finding", format!("{id:?} is no finding of this fleet"))),
        (Some(_), Some(_)) => {
            Err(line.wrong("finding", format!("{id:?} begins the ids of several findings; give more of it")))
        }
    }
}
