//! One table of HTML.

use super::escaped;
use crate::layouts::page::{At, Page};
use std::fmt::Write as _;

/// The page as a document with one table.
pub(super) fn write(page: &Page) -> String {
    let (rows, columns) = page.size();
    let mut text = "<html><head><meta charset=\"utf-8\"></head><body>\n<table border=\"1\">\n".to_owned();
    for row in 0..rows {
        text.push_str("<tr>");
        let mut column = 0;
        while column < columns {
            let size = page.merged.iter().find(|(at, _)| *at == (row, column)).map_or((1, 1), |(_, size)| *size);
            if !is_covered(page, (row, column)) {
                let shown = page.cells.get(&(row, column)).map_or("", |cell| cell.shown.as_str());
                let across = if size.1 > 1 { format!(" colspan=\"{}\"", size.1) } else { String::new() };
                let down = if size.0 > 1 { format!(" rowspan=\"{}\"", size.0) } else { String::new() };
                let _ = write!(text, "<td{across}{down}>{}</td>", escaped(shown));
            }
            column += size.1;
        }
        text.push_str("</tr>\n");
    }
    text.push_str("</table>\n</body></html>\n");
    text
}

/// Whether a cell lies under one that is merged over it.
fn is_covered(page: &Page, (row, column): At) -> bool {
    page.merged.iter().any(|((top, left), (rows, columns))| {
        let inside = (*top..top + rows).contains(&row) && (*left..left + columns).contains(&column);
        inside && (row, column) != (*top, *left)
    })
}
