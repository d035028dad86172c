//! One table of HTML.

use super::escaped;
use crate::layouts::page::Page;
use std::fmt::Write as _;

/// The page as a document with one table.
pub(super) fn write(page: &Page) -> String {
    let (rows, columns) = page.size();
    let mut text = "<html><head><meta charset=\"utf-8\"></head><body>\n<table border=\"1\">\n".to_owned();
    for row in 0..rows {
        text.push_str("<tr>");
        let mut column = 0;
        while column < columns {
            let shown = page.cells.get(&(row, column)).map_or("", |cell| cell.shown.as_str());
            let span = page.merged.iter().find(|(at, _)| *at == (row, column)).map_or(1, |(_, size)| size.1);
            let attribute = if span > 1 { format!(" colspan=\"{span}\"") } else { String::new() };
            let _ = write!(text, "<td{attribute}>{}</td>", escaped(shown));
            column += span;
        }
        text.push_str("</tr>\n");
    }
    text.push_str("</table>\n</body></html>\n");
    text
}
