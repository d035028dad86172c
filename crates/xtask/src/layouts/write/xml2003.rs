//! Excel 2003 XML (SpreadsheetML).

use super::escaped;
use crate::layouts::page::{Cell, Page, Stored};
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// The pages as one document.
pub(super) fn write(pages: &[Page]) -> String {
    let formats: BTreeSet<&str> = pages.iter().flat_map(|page| page.cells.values()).filter_map(format_of).collect();
    let formats: Vec<&str> = formats.into_iter().collect();
    let mut text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<?mso-application progid=\"Excel.Sheet\"?>\n\
        <Workbook xmlns=\"urn:schemas-microsoft-com:office:spreadsheet\" \
        xmlns:ss=\"urn:schemas-microsoft-com:office:spreadsheet\">\n<Styles>\n"
        .to_owned();
    for (format, at) in formats.iter().zip(1..) {
        let format = escaped(format);
        let _ = writeln!(text, "<Style ss:ID=\"s{at}\"><NumberFormat ss:Format=\"{format}\"/></Style>");
    }
    text.push_str("</Styles>\n");
    for page in pages {
        sheet(page, &formats, &mut text);
    }
    text.push_str("</Workbook>\n");
    text
}

fn format_of(cell: &Cell) -> Option<&str> {
    match &cell.stored {
        Stored::Number(_, format) => format.as_deref(),
        Stored::Date(_, format) => Some(format),
        Stored::Text => None,
    }
}

fn sheet(page: &Page, formats: &[&str], text: &mut String) {
    let _ = writeln!(text, "<Worksheet ss:Name=\"{}\"><Table>", escaped(&page.name));
    for row in 0..page.size().0 {
        let cells = page.cells.range((row, 0)..(row + 1, 0));
        let _ = write!(text, "<Row ss:Index=\"{}\">", row + 1);
        for (at, cell) in cells {
            let style = format_of(cell).and_then(|format| formats.iter().position(|known| *known == format));
            let style = style.map(|at| format!(" ss:StyleID=\"s{}\"", at + 1)).unwrap_or_default();
            let merged = page.merged.iter().find(|(known, _)| known == at).map_or((1, 1), |(_, size)| *size);
            let across = if merged.1 > 1 { format!(" ss:MergeAcross=\"{}\"", merged.1 - 1) } else { String::new() };
            let down = if merged.0 > 1 { format!(" ss:MergeDown=\"{}\"", merged.0 - 1) } else { String::new() };
            let (kind, value) = data(cell);
            let index = at.1 + 1;
            let _ = write!(
                text,
                "<Cell ss:Index=\"{index}\"{style}{across}{down}><Data ss:Type=\"{kind}\">{value}</Data></Cell>"
            );
        }
        text.push_str("</Row>\n");
    }
    text.push_str("</Table></Worksheet>\n");
}

fn data(cell: &Cell) -> (&'static str, String) {
    match &cell.stored {
        Stored::Text => ("String", escaped(&cell.shown)),
        Stored::Number(number, _) => ("Number", number.to_string()),
        Stored::Date(days, _) => {
            let date = Date::constant(1899, 12, 30).checked_add(days.days()).unwrap_or(Date::ZERO);
            ("DateTime", format!("{date}T00:00:00.000"))
        }
    }
}
