//! The header: items of three lines, up to the data.

use windrow_source::{ReadError, Refusal};

use crate::lines::Lines;

/// What to do about a damaged file.
pub(crate) const REPAIR: &str = "look for another copy of it, or save it again from the program that wrote it";
/// Items that a header may have; no program writes more than one for each of a few thousand columns.
const MOST_ITEMS: usize = 100_000;

/// The error of a damaged file, with the line where it shows.
pub(crate) fn damaged(line: usize, found: &str) -> ReadError {
    ReadError::new(Refusal::Damaged, format!("line {line}: {found}"), REPAIR)
}

/// What the header tells.
#[derive(Debug, Default)]
pub(crate) struct Header {
    /// Number of tuples (rows), where told.
    pub(crate) tuples: Option<usize>,
    /// What a person should know: title, labels, units.
    pub(crate) notes: Vec<String>,
}

/// Reads the header and leaves `lines` at the data.
pub(crate) fn header(lines: &mut Lines<'_>) -> Result<Header, ReadError> {
    let mut header = Header::default();
    for _ in 0..MOST_ITEMS {
        let (Some(topic), Some(numbers), Some(text)) = (lines.next_line(), lines.next_line(), lines.next_line()) else {
            return Err(damaged(lines.number, "it ends within its header"));
        };
        let text = lines.quoted(text);
        let Some((vector, value)) = numbers.split_once(',') else {
            return Err(damaged(lines.number, "an item of the header has no two numbers"));
        };
        let (vector, value) = (vector.trim(), value.trim());
        match topic.trim().to_ascii_uppercase().as_str() {
            "DATA" => return Ok(header),
            "TUPLES" => header.tuples = value.parse().ok(),
            "TABLE" if !text.trim().is_empty() => header.notes.push(format!("title of the table: {}", text.trim())),
            "LABEL" | "UNITS" | "DISPLAYUNITS" | "COMMENT" if !text.trim().is_empty() => {
                let what = topic.trim().to_ascii_lowercase();
                header.notes.push(format!("the header tells as {what} of column {vector}: {}", text.trim()));
            }
            _ => {}
        }
    }
    Err(damaged(lines.number, "its header has no end"))
}
