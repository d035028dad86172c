//! Delimited text.

use crate::layouts::page::Page;

/// The page as delimited text; fields that need it are quoted.
pub(super) fn write(page: &Page, delimiter: char) -> String {
    let (rows, columns) = page.size();
    let mut text = String::new();
    for row in 0..rows {
        let fields = (0..columns).map(|column| {
            let shown = page.cells.get(&(row, column)).map_or("", |cell| cell.shown.as_str());
            let quoted = shown.contains([delimiter, '"', '\n']);
            if quoted { format!("\"{}\"", shown.replace('"', "\"\"")) } else { shown.to_owned() }
        });
        text.push_str(&fields.collect::<Vec<_>>().join(&delimiter.to_string()));
        text.push_str("\r\n");
    }
    text
}
