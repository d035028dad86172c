//! Places as truth and rows write them, in one form.

use windrow_model::place::column_letters;

/// A place within one sheet.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum At {
    /// `C14`.
    Cell(String),
    /// A line of a print-out.
    Line(u32),
    /// An XPath without prefixes and `[1]`.
    Path(String),
}

/// Reads a place; `None` for "the whole sheet".
pub(super) fn read(text: &str) -> Option<(At, Option<u32>)> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    if text.starts_with('/') {
        return Some((At::Path(xpath(text)), None));
    }
    if let Some((line, column)) = text.split_once(':')
        && let (Ok(line), Ok(column)) = (line.parse(), column.parse())
    {
        return Some((At::Line(line), Some(column)));
    }
    Some((At::Cell(text.split(':').next().unwrap_or(text).to_owned()), None))
}

/// An XPath without prefixes, `text()` and `[1]`.
pub(super) fn xpath(text: &str) -> String {
    let text = text.strip_suffix("/text()").unwrap_or(text);
    let steps = text.split('/').map(|step| {
        let (at, name) = step.strip_prefix('@').map_or(("", step), |name| ("@", name));
        format!("{at}{}", name.rsplit(':').next().unwrap_or(name))
    });
    steps.collect::<Vec<_>>().join("/").replace("[1]", "")
}

/// Cells of a range such as `B4:B20`.
pub(super) fn span(text: &str) -> Vec<String> {
    let corner = |text: &str| {
        let letters: String = text.chars().take_while(char::is_ascii_uppercase).collect();
        let row: u32 = text.get(letters.len()..)?.parse().ok()?;
        let column = letters.bytes().fold(0u32, |sum, letter| sum * 26 + u32::from(letter - b'A') + 1);
        (column > 0).then(|| (column - 1, row))
    };
    let Some((first, last)) = text.split_once(':') else { return Vec::new() };
    let (Some((left, top)), Some((right, bottom))) = (corner(first), corner(last)) else { return Vec::new() };
    let columns = left..=right.min(left + 200);
    columns
        .flat_map(|column| (top..=bottom.min(top + 2000)).map(move |row| format!("{}{row}", column_letters(column))))
        .collect()
}
