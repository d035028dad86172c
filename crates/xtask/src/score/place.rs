//! Places as truth and rows write them, in one form.

use windrow_model::place::column_letters;

/// A place within one sheet.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum At {
    /// `C14`, `table2:C14` in a document.
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
    Some((At::Cell(first_cell(text).to_owned()), None))
}

/// The cell that an address names, or the first one of its range: the table of a document belongs to the cell ("table2:B3:B5").
fn first_cell(text: &str) -> &str {
    let is_cell = |part: &str| {
        let digits = part.trim_start_matches(|c: char| c.is_ascii_uppercase());
        !digits.is_empty() && digits.len() < part.len() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let mut from = 0;
    for part in text.split(':') {
        let end = from + part.len();
        if is_cell(part) {
            return text.get(..end).unwrap_or(text);
        }
        from = end + 1;
    }
    text.split(':').next().unwrap_or(text)
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

#[cfg(test)]
mod tests {
    use super::{At, read};

    /// The addresses that readers give (README of `plugins/word-document`).
    #[test]
    fn a_cell_of_a_document_keeps_its_table_and_a_range_gives_its_first_cell() {
        for (text, cell) in [
            ("C14", "C14"),
            ("B4:B20", "B4"),
            ("table2:B3", "table2:B3"),
            ("table2:B3:B5", "table2:B3"),
            ("paragraph7", "paragraph7"),
            ("header1:paragraph1", "header1"),
        ] {
            assert_eq!(read(text), Some((At::Cell(cell.to_owned()), None)), "{text}");
        }
        assert_eq!(read("12:35"), Some((At::Line(12), Some(35))));
    }
}
