//! Pages as files, and where each truth then stands.

mod delimited;
mod fixed;
mod html;
mod ods;
mod workbook;
mod xml2003;

use super::container::Container;
use super::page::{At, Cell, Page};
use windrow_model::place::column_letters;

/// Where a cell of a page stands in its file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Place {
    Cell(String),
    /// Line and column of a print-out, from 1.
    Line(u32, u32),
}

/// A file and where its cells are.
#[derive(Debug)]
pub(crate) struct Written {
    pub(crate) bytes: Vec<u8>,
    fixed: Option<fixed::Ruler>,
}

impl Written {
    /// The place of a cell.
    pub(crate) fn place(&self, page: &Page, at: At) -> Option<Place> {
        match &self.fixed {
            Some(ruler) => ruler.place(page, at),
            None => Some(Place::Cell(format!("{}{}", column_letters(at.1), at.0 + 1))),
        }
    }
}

/// Writes the pages; containers without sheets take the first.
pub(crate) fn write(container: Container, pages: &[Page]) -> anyhow::Result<Written> {
    let plain = |bytes| Ok(Written { bytes, fixed: None });
    let Some(first) = pages.first() else { return plain(Vec::new()) };
    match container {
        Container::Xlsx => plain(workbook::write(pages)?),
        Container::Ods => plain(ods::write(pages)?),
        Container::Xml2003 => plain(xml2003::write(pages).into_bytes()),
        Container::Delimited(delimiter) => plain(delimited::write(first, delimiter).into_bytes()),
        Container::Html => plain(html::write(first).into_bytes()),
        Container::Fixed => {
            let (text, ruler) = fixed::write(first);
            Ok(Written { bytes: text.into_bytes(), fixed: Some(ruler) })
        }
    }
}

/// The page as a print-out with the letters and numbers of its columns and rows.
pub(crate) fn as_print(page: &Page) -> String {
    let mut framed = Page::default();
    let (rows, columns) = page.size();
    for column in 0..columns {
        framed.put((0, column + 1), Cell::text(column_letters(column)));
    }
    for row in 0..rows {
        framed.put((row + 1, 0), Cell::text((row + 1).to_string()));
    }
    framed.lay(page.clone(), (1, 1));
    fixed::write(&framed).0
}

/// Text of XML and HTML.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
