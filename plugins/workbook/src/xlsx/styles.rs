//! The styles part: number format and strike-through of every cell style.

use std::collections::BTreeMap;

use windrow_source::number_format::built_in;
use windrow_source::spreadsheet::style::Style;
use windrow_source::{Limits, ReadError};

use crate::package::Package;
use crate::xml::{Item, Tag};

use super::workbook::truth;

/// What the styles part tells.
#[derive(Debug, Default)]
pub(crate) struct Styles {
    /// Styles of cells; a cell refers to them by number.
    pub(crate) cells: Vec<Style>,
    /// Whether each font strikes through.
    pub(crate) struck_fonts: Vec<bool>,
}

#[derive(Debug, Default)]
struct Pass {
    codes: BTreeMap<u16, String>,
    styles: Styles,
}

/// Reads the styles.
pub(crate) fn read(package: &mut Package<'_>, part: &str, limits: &Limits) -> Result<Styles, ReadError> {
    let mut xml = package.xml(part)?;
    let mut pass = Pass::default();
    // Lists that hold fonts or styles for other purposes have the same members.
    let mut list = String::new();
    loop {
        match xml.next()? {
            Item::Open(tag) => match (tag.name(), list.as_str()) {
                ("fonts" | "cellXfs" | "cellStyleXfs" | "numFmts" | "dxfs", _) => tag.name().clone_into(&mut list),
                ("numFmt", "numFmts") => pass.code(&tag, limits)?,
                ("font", "fonts") => pass.styles.struck_fonts.push(false),
                ("strike", "fonts") => pass.strike(&tag)?,
                ("xf", "cellXfs") => pass.style(&tag)?,
                _ => {}
            },
            Item::End => return Ok(pass.styles),
            _ => {}
        }
    }
}

impl Pass {
    fn code(&mut self, tag: &Tag<'_>, limits: &Limits) -> Result<(), ReadError> {
        let id = tag.attribute("numFmtId")?.and_then(|id| id.parse().ok());
        let code = tag.attribute("formatCode")?.filter(|code| code.len() <= limits.cell_text_bytes);
        if let (Some(id), Some(code)) = (id, code) {
            self.codes.insert(id, code.into_owned());
        }
        Ok(())
    }

    fn strike(&mut self, tag: &Tag<'_>) -> Result<(), ReadError> {
        let struck = tag.attribute("val")?.is_none_or(|value| truth(&value));
        if let Some(font) = self.styles.struck_fonts.last_mut() {
            *font = struck;
        }
        Ok(())
    }

    fn style(&mut self, tag: &Tag<'_>) -> Result<(), ReadError> {
        let number = |name: &str| Ok(tag.attribute(name)?.and_then(|value| value.parse::<u16>().ok()).unwrap_or(0));
        let (format, font) = (number("numFmtId")?, number("fontId")?);
        let code = self.codes.get(&format).cloned().or_else(|| built_in(format).map(str::to_owned));
        let struck = self.styles.struck_fonts.get(usize::from(font)).copied().unwrap_or(false);
        self.styles.cells.push(Style::new(code, struck));
        Ok(())
    }
}
