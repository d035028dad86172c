//! OpenDocument spreadsheets: values, dates, merged cells, and the text that a number format puts around a number.

use super::escaped;
use crate::layouts::page::{At, Cell, Page, Stored};
use anyhow::bail;
use jiff::ToSpan;
use jiff::civil::Date;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const MEDIA_TYPE: &str = "application/vnd.oasis.opendocument.spreadsheet";
const NAMESPACES: &str = "xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
    xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
    xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"";

/// The bytes of a spreadsheet with these sheets; an error for number formats that say more than a text around the number.
pub(super) fn write(pages: &[Page]) -> anyhow::Result<Vec<u8>> {
    let mut content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<office:document-content {NAMESPACES} office:version=\"1.2\">\
         <office:body><office:spreadsheet>\n"
    );
    for page in pages {
        sheet(page, &mut content)?;
    }
    content.push_str("</office:spreadsheet></office:body></office:document-content>\n");
    let manifest = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<manifest:manifest \
         xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" manifest:version=\"1.2\">\
         <manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{MEDIA_TYPE}\"/>\
         <manifest:file-entry manifest:full-path=\"content.xml\" manifest:media-type=\"text/xml\"/></manifest:manifest>\n"
    );
    let mut package = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    // The media type stands first and as it is, so that the kind of the package can be told from its beginning.
    for (name, text) in [("mimetype", MEDIA_TYPE), ("content.xml", &content), ("META-INF/manifest.xml", &manifest)] {
        package.start_file(name, stored)?;
        package.write_all(text.as_bytes())?;
    }
    Ok(package.finish()?.into_inner())
}

fn sheet(page: &Page, text: &mut String) -> anyhow::Result<()> {
    let (rows, columns) = page.size();
    let _ = writeln!(text, "<table:table table:name=\"{}\">", escaped(&page.name));
    let _ = write!(text, "<table:table-column table:number-columns-repeated=\"{}\"/>", columns.max(1));
    for row in 0..rows {
        text.push_str("<table:table-row>");
        for column in 0..columns {
            let at = (row, column);
            match page.cells.get(&at) {
                Some(cell) => write_cell(page, at, cell, text)?,
                None if is_covered(page, at) => text.push_str("<table:covered-table-cell/>"),
                None => text.push_str("<table:table-cell/>"),
            }
        }
        text.push_str("</table:table-row>\n");
    }
    text.push_str("</table:table>\n");
    Ok(())
}

fn write_cell(page: &Page, at: At, cell: &Cell, text: &mut String) -> anyhow::Result<()> {
    let (kind, shown) = match &cell.stored {
        Stored::Text => ("office:value-type=\"string\"".to_owned(), cell.shown.clone()),
        Stored::Number(number, format) => {
            let (before, behind) = around(format.as_deref().unwrap_or("General"))?;
            (format!("office:value-type=\"float\" office:value=\"{number}\""), format!("{before}{number}{behind}"))
        }
        Stored::Date(days, _) => {
            let date = Date::constant(1899, 12, 30).checked_add(days.days())?;
            (format!("office:value-type=\"date\" office:date-value=\"{date}\""), date.to_string())
        }
    };
    let size = page.merged.iter().find(|(known, _)| *known == at).map_or((1, 1), |(_, size)| *size);
    let spans = match size {
        (1, 1) => String::new(),
        (rows, columns) => {
            format!(" table:number-rows-spanned=\"{rows}\" table:number-columns-spanned=\"{columns}\"")
        }
    };
    let _ = write!(text, "<table:table-cell {kind}{spans}>");
    for line in shown.lines() {
        let _ = write!(text, "<text:p>{}</text:p>", escaped(line));
    }
    text.push_str("</table:table-cell>");
    Ok(())
}

/// The texts before and behind the number in a format code of a workbook.
fn around(code: &str) -> anyhow::Result<(String, String)> {
    let (mut before, mut behind) = (String::new(), String::new());
    let mut has_number = false;
    let mut rest = code.strip_prefix("General").inspect(|_| has_number = true).unwrap_or(code).chars();
    while let Some(letter) = rest.next() {
        let literal: String = match letter {
            '"' => rest.by_ref().take_while(|letter| *letter != '"').collect(),
            '\\' => rest.next().into_iter().collect(),
            '0' | '#' | '?' | '.' => {
                has_number = true;
                continue;
            }
            ' ' => " ".to_owned(),
            _ => bail!("the number format {code:?} is more than a text around the number"),
        };
        if has_number { behind.push_str(&literal) } else { before.push_str(&literal) }
    }
    Ok((before, behind))
}

/// Whether a cell lies under one that is merged over it.
fn is_covered(page: &Page, (row, column): At) -> bool {
    page.merged.iter().any(|((top, left), (rows, columns))| {
        let inside = (*top..top + rows).contains(&row) && (*left..left + columns).contains(&column);
        inside && (row, column) != (*top, *left)
    })
}

#[cfg(test)]
mod tests {
    use super::around;

    #[test]
    fn only_a_text_around_a_number_can_be_written() {
        assert_eq!(around("0.0\" MΩ\"").ok(), Some((String::new(), " MΩ".to_owned())));
        assert_eq!(around("\\>0").ok(), Some((">".to_owned(), String::new())));
        assert!(around("0.0%").is_err() && around("#,##0,").is_err() && around("[>=1000]0;0").is_err());
    }
}
