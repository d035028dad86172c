//! OpenDocument spreadsheets (OASIS OpenDocument 1.3 part 3): styles, then the tables of the content in one pass.

mod cell;
mod format;
mod paragraph;
mod row;
mod shown;
mod style;
mod table;

use windrow_source::number_format::Epoch;
use windrow_source::spreadsheet::budget::{Budget, too_many};
use windrow_source::spreadsheet::remarks::Remarks;
use windrow_source::{Limits, ReadError, Workbook};

use crate::package::Package;
use crate::read::encrypted;
use crate::xml::{Item, Tag};
use style::{Opened, Styles};
use table::Sheet;

/// The part with the tables.
const CONTENT: &str = "content.xml";
/// The part with the styles that people name.
const STYLES: &str = "styles.xml";
/// The part that lists the others, and says which are encrypted.
const MANIFEST: &str = "META-INF/manifest.xml";

/// What cells refer to, and where remarks go.
#[derive(Debug)]
pub(crate) struct Context<'c> {
    /// Styles.
    pub(crate) styles: Styles,
    /// Day that dates count from.
    pub(crate) epoch: Epoch,
    /// Limits.
    pub(crate) limits: &'c Limits,
    /// What is left of them.
    pub(crate) budget: Budget,
    /// Remarks.
    pub(crate) remarks: Remarks,
    /// Name of the table being read.
    pub(crate) sheet: String,
}

/// Whether the package is an OpenDocument.
pub(crate) fn is_one(package: &Package<'_>) -> bool {
    package.has(CONTENT)
}

/// Reads all tables, hidden ones included.
pub(crate) fn read(package: &mut Package<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    refuse_encrypted(package)?;
    let styles = read_styles(package)?;
    let (budget, remarks) = (Budget::new(limits), Remarks::default());
    let mut context = Context { styles, epoch: Epoch::Y1900, limits, budget, remarks, sheet: String::new() };
    let mut sheets = Vec::new();
    let mut xml = package.xml(CONTENT)?;
    loop {
        match xml.next()? {
            Item::Open(tag) => match tag.name() {
                "table" => {
                    let sheet = Sheet::of(&tag)?;
                    context.styles.settle();
                    sheets.push(table::read(&mut xml, &sheet, &mut context)?);
                }
                "null-date" => context.epoch = epoch(&tag)?,
                // Both hold tables that are none of the document: what changed, and what other programs sent.
                "tracked-changes" | "dde-links" => xml.skip()?,
                _ => {
                    let opened = Opened::of(&tag)?;
                    context.styles.read(&mut xml, opened)?;
                }
            },
            Item::End => break,
            _ => {}
        }
        if sheets.len() > limits.sheets {
            return Err(too_many("sheets", sheets.len(), limits.sheets));
        }
    }
    Ok(Workbook { sheets, notes: context.remarks.into_lines(), ..Workbook::default() })
}

fn read_styles(package: &mut Package<'_>) -> Result<Styles, ReadError> {
    let mut styles = Styles::default();
    if !package.has(STYLES) {
        return Ok(styles);
    }
    let mut xml = package.xml(STYLES)?;
    loop {
        match xml.next()? {
            Item::Open(tag) if tag.name() == "master-styles" => xml.skip()?,
            Item::Open(tag) => {
                let opened = Opened::of(&tag)?;
                styles.read(&mut xml, opened)?;
            }
            Item::End => break,
            _ => {}
        }
    }
    styles.settle();
    Ok(styles)
}

fn epoch(tag: &Tag<'_>) -> Result<Epoch, ReadError> {
    let date = tag.attribute("date-value")?;
    Ok(if date.is_some_and(|date| date.starts_with("1904")) { Epoch::Y1904 } else { Epoch::Y1900 })
}

fn refuse_encrypted(package: &mut Package<'_>) -> Result<(), ReadError> {
    if !package.has(MANIFEST) {
        return Ok(());
    }
    let mut xml = package.xml(MANIFEST)?;
    loop {
        match xml.next()? {
            Item::Open(tag) if tag.name() == "encryption-data" => return Err(encrypted()),
            Item::End => return Ok(()),
            _ => {}
        }
    }
}
