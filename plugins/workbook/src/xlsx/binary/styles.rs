//! The binary styles part.

use std::collections::BTreeMap;

use windrow_source::number_format::built_in;
use windrow_source::spreadsheet::style::Style;
use windrow_source::{Limits, ReadError};

use crate::package::Package;
use crate::xlsx::styles::Styles;

use super::record::{Fields, Records};

/// A font.
const FONT: u16 = 43;
/// A number format.
const FORMAT: u16 = 44;
/// A style.
const STYLE: u16 = 47;
/// Between these the styles are those of cells.
const CELL_STYLES: (u16, u16) = (617, 618);
/// Flag of a font that strikes through.
const STRIKE: u16 = 8;

/// Reads the cell styles; a cell refers to them by number.
pub(crate) fn read(package: &mut Package<'_>, part: &str, limits: &Limits) -> Result<Styles, ReadError> {
    let mut records = Records::new(part, package.part(part)?);
    let (mut styles, mut codes, mut is_of_cells) = (Styles::default(), BTreeMap::new(), false);
    while let Some(kind) = records.next()? {
        match kind {
            FONT => {
                let (_height, flags) = records.parsed(|fields| fields.u16().zip(fields.u16()))?;
                styles.struck_fonts.push(flags & STRIKE != 0);
            }
            FORMAT => {
                let (id, code) = records.parsed(|fields| fields.u16().zip(fields.text()))?;
                records.check_length(&code, limits.cell_text_bytes)?;
                codes.insert(id, code);
            }
            STYLE if is_of_cells => {
                let (format, font) = records.parsed(numbers)?;
                let code = codes.get(&format).cloned().or_else(|| built_in(format).map(str::to_owned));
                let struck = styles.struck_fonts.get(usize::from(font)).copied().unwrap_or(false);
                styles.cells.push(Style::new(code, struck));
            }
            kind if kind == CELL_STYLES.0 => is_of_cells = true,
            kind if kind == CELL_STYLES.1 => is_of_cells = false,
            _ => {}
        }
    }
    Ok(styles)
}

/// Numbers of the number format and the font of a style.
fn numbers(fields: &mut Fields<'_>) -> Option<(u16, u16)> {
    let _parent = fields.u16()?;
    fields.u16().zip(fields.u16())
}
