//! The workbook part: which sheets there are, in which order, and which epoch the dates count from.

use windrow_source::number_format::Epoch;
use windrow_source::spreadsheet::budget::too_many;
use windrow_source::{Limits, ReadError};

use crate::package::Package;
use crate::xml::{Item, Tag};

/// What the workbook part tells.
#[derive(Debug, Default)]
pub(crate) struct Book {
    /// Sheets in order.
    pub(crate) sheets: Vec<Entry>,
    /// Day that dates count from.
    pub(crate) epoch: Epoch,
    /// Whether all formulas are to be computed when the workbook is opened: their stored results may be placeholders.
    pub(crate) computes_on_load: bool,
}

/// A sheet as the workbook lists it.
#[derive(Debug, Default)]
pub(crate) struct Entry {
    /// Name.
    pub(crate) name: String,
    /// Id of the relation to its part.
    pub(crate) relation: String,
    /// Hidden, or hidden so that only a program can show it.
    pub(crate) hidden: bool,
}

/// Reads the workbook part.
pub(crate) fn read(package: &mut Package<'_>, part: &str, limits: &Limits) -> Result<Book, ReadError> {
    let mut xml = package.xml(part)?;
    let mut book = Book::default();
    loop {
        match xml.next()? {
            Item::Open(tag) => match tag.name() {
                "sheet" => book.sheets.push(entry(&tag)?),
                "workbookPr" if is_on(&tag, "date1904")? => book.epoch = Epoch::Y1904,
                "calcPr" => book.computes_on_load = is_on(&tag, "fullCalcOnLoad")?,
                _ => {}
            },
            Item::End => return Ok(book),
            _ => {}
        }
        if book.sheets.len() > limits.sheets {
            return Err(too_many("sheets", book.sheets.len(), limits.sheets));
        }
    }
}

fn entry(tag: &Tag<'_>) -> Result<Entry, ReadError> {
    let mut entry = Entry::default();
    for attribute in tag.attributes() {
        match attribute? {
            ("name", value) => entry.name = value.into_owned(),
            ("id", value) => entry.relation = value.into_owned(),
            ("state", value) => entry.hidden = value == "hidden" || value == "veryHidden",
            _ => {}
        }
    }
    Ok(entry)
}

/// Whether a flag of an element is set.
pub(crate) fn is_on(tag: &Tag<'_>, name: &str) -> Result<bool, ReadError> {
    Ok(tag.attribute(name)?.is_some_and(|value| truth(&value)))
}

/// A flag as written.
pub(crate) fn truth(value: &str) -> bool {
    matches!(value, "1" | "true" | "on")
}
