//! Cells from their records.

use std::rc::Rc;

use windrow_source::spreadsheet::SPLIT;
use windrow_source::spreadsheet::remarks::Remark;
use windrow_source::spreadsheet::style::Place;
use windrow_source::{Cell, Content, ReadError, Refusal};

use crate::record::{Fields, Record, Records};
use crate::sheet::Sheet;
use crate::string::{Parts, Rich, long_bytes};
use crate::styles::{CellStyle, StyleRef};
use crate::tokens::refer_to_cells;
use crate::version::Version;

/// Where a cell stands and how it looks.
type Head = (Place, StyleRef);

impl<'a> Sheet<'_> {
    /// Takes in a record that holds a cell or several; tells whether it was one.
    pub(crate) fn cell(&mut self, record: Record<'a>, records: &mut Records<'a>) -> Result<bool, ReadError> {
        let mut fields = record.fields();
        match record.id {
            0x0002 => {
                let head = self.short_head(&mut fields)?;
                let value = f64::from(fields.u16()?);
                self.number(head, value)?;
            }
            0x0003 | 0x0203 => {
                let head = self.head(record, &mut fields)?;
                let value = f64::from_le_bytes(fields.bytes8()?);
                self.number(head, value)?;
            }
            0x0004 | 0x0204 | 0x00D6 => self.label(record, records)?,
            0x0005 | 0x0205 => {
                let head = self.head(record, &mut fields)?;
                let (value, is_error) = (fields.u8()?, fields.u8()? != 0);
                self.put_flag(head, value, is_error.then_some(record))?;
            }
            0x0006 | 0x0206 | 0x0406 => self.formula(record, *records)?,
            0x007E | 0x027E => {
                let head = self.head(record, &mut fields)?;
                let value = packed(fields.u32()?);
                self.number(head, value)?;
            }
            0x00BD => self.packed_row(fields)?,
            0x00FD => self.shared_string(record, fields)?,
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// Row, column and style; records of Excel 2 have their own form.
    fn head(&self, record: Record<'_>, fields: &mut Fields<'_>) -> Result<Head, ReadError> {
        let is_short = record.id < 0x0006 || (record.id == 0x0006 && self.globals.version == Version::Biff2);
        if is_short {
            return self.short_head(fields);
        }
        let place = (u32::from(fields.u16()?), u32::from(fields.u16()?));
        Ok((place, StyleRef::Index(fields.u16()?)))
    }

    fn short_head(&self, fields: &mut Fields<'_>) -> Result<Head, ReadError> {
        let place = (u32::from(fields.u16()?), u32::from(fields.u16()?));
        let (index, looks) = (fields.u8()? & 0x3F, fields.u8()?);
        fields.u8()?;
        let style = match index {
            _ if self.globals.styles.is_empty() => {
                StyleRef::Direct { font: u16::from(looks >> 6), format: u16::from(looks & 0x3F) }
            }
            // The index did not fit and was told before.
            0x3F => StyleRef::Index(self.long_index.unwrap_or(0x3F)),
            index => StyleRef::Index(u16::from(index)),
        };
        Ok((place, style))
    }

    fn number(&mut self, (place, style): Head, value: f64) -> Result<(), ReadError> {
        let epoch = self.globals.epoch;
        let (cell, remark) = self.style(style).style.number(place, value, epoch);
        if let Some(remark) = remark {
            self.remark(remark, place);
        }
        self.put(cell)
    }

    /// A truth value, or an error value where a record is given to blame.
    fn put_flag(&mut self, (place, style): Head, value: u8, error_in: Option<Record<'_>>) -> Result<(), ReadError> {
        let style = &self.style(style).style;
        let cell = match error_in {
            None => style.boolean(place, value != 0),
            Some(record) => {
                let code = error_text(value).ok_or_else(|| record.damaged("holds an unknown error value"))?;
                style.cell(place, code.to_owned(), Content::Error)
            }
        };
        self.put(cell)
    }

    /// A text in the cell itself.
    fn label(&mut self, record: Record<'a>, records: &mut Records<'a>) -> Result<(), ReadError> {
        let mut fields = record.fields();
        let head = self.head(record, &mut fields)?;
        let encoding = self.globals.encoding;
        let has_runs = record.id == 0x00D6;
        let rich = if self.globals.version == Version::Biff8 {
            let start = record.body.len() - fields.rest().len();
            let mut parts = Parts::new(record, records.continued(record)?, start);
            if has_runs { parts.with_runs_behind()? } else { parts.rich()? }
        } else if record.id == 0x0004 {
            let length = usize::from(fields.u8()?);
            Rich::of_bytes(fields.take(length)?, encoding, &[])
        } else {
            let bytes = long_bytes(&mut fields)?;
            let count = if has_runs { usize::from(fields.u8()?) } else { 0 };
            let runs = (0..count).map(|_| Ok((usize::from(fields.u8()?), u16::from(fields.u8()?))));
            Rich::of_bytes(bytes, encoding, &runs.collect::<Result<Vec<_>, ReadError>>()?)
        };
        self.text(head, &rich)
    }

    fn shared_string(&mut self, record: Record<'_>, mut fields: Fields<'_>) -> Result<(), ReadError> {
        let head = self.head(record, &mut fields)?;
        let index = fields.u32()?;
        let strings = Rc::clone(&self.globals.strings);
        let rich = usize::try_from(index).ok().and_then(|index| strings.get(index));
        let rich =
            rich.ok_or_else(|| record.damaged(&format!("names the shared string {index}, which is not there")))?;
        self.text(head, rich)
    }

    fn text(&mut self, (place, style): Head, rich: &Rich) -> Result<(), ReadError> {
        let style = self.style(style);
        let (text, runs) = self.globals.styles.shown(rich, &style);
        style.style.text(place, &text, &runs).map_or(Ok(()), |cell| self.put(cell))
    }

    /// Numbers side by side.
    fn packed_row(&mut self, mut fields: Fields<'_>) -> Result<(), ReadError> {
        let (row, mut column) = (u32::from(fields.u16()?), u32::from(fields.u16()?));
        // The last two bytes tell the last column once more.
        while fields.rest().len() >= 8 {
            let style = StyleRef::Index(fields.u16()?);
            let value = packed(fields.u32()?);
            self.number(((row, column), style), value)?;
            column += 1;
        }
        Ok(())
    }

    /// The result of a formula.
    fn formula(&mut self, record: Record<'a>, ahead: Records<'a>) -> Result<(), ReadError> {
        let mut fields = record.fields();
        let head = self.head(record, &mut fields)?;
        let result = fields.bytes8()?;
        self.is_computed =
            self.globals.version == Version::Biff8 && expression(fields.rest()).is_some_and(refer_to_cells);
        let put = self.result(record, head, result, &mut fields, ahead);
        self.is_computed = false;
        put
    }

    fn result(
        &mut self,
        record: Record<'a>,
        head: Head,
        result: [u8; 8],
        fields: &mut Fields<'_>,
        ahead: Records<'a>,
    ) -> Result<(), ReadError> {
        match result {
            [0, .., 0xFF, 0xFF] => {
                let text = self.formula_text(ahead)?;
                match text.filter(|rich| !rich.text.trim().is_empty()) {
                    Some(rich) => self.text(head, &rich),
                    None => self.without_result(head),
                }
            }
            [1, _, value, .., 0xFF, 0xFF] => self.put_flag(head, value, None),
            [2, _, value, .., 0xFF, 0xFF] => self.put_flag(head, value, Some(record)),
            [_, .., 0xFF, 0xFF] => self.without_result(head),
            number => {
                // Programs that write workbooks without computing them store a zero, and ask to compute it on opening.
                let asks = self.globals.version > Version::Biff2 && fields.u16().is_ok_and(|flags| flags & 2 != 0);
                let value = f64::from_le_bytes(number);
                if value == 0.0 && asks {
                    self.remark(Remark::Uncomputed, head.0);
                    return self.without_result(head);
                }
                self.number(head, value)
            }
        }
    }

    fn without_result(&mut self, (place, style): Head) -> Result<(), ReadError> {
        let cell = self.style(style).style.without_text(place);
        self.put(cell)
    }

    /// The text that a formula gave: in a record behind it and behind what the formula shares with others.
    fn formula_text(&self, mut ahead: Records<'a>) -> Result<Option<Rich>, ReadError> {
        while let Some(record) = ahead.next()? {
            match record.id {
                0x0007 => {
                    let mut fields = record.fields();
                    let length = usize::from(fields.u8()?);
                    return Ok(Some(Rich::of_bytes(fields.take(length)?, self.globals.encoding, &[])));
                }
                0x0207 if self.globals.version == Version::Biff8 => {
                    return Parts::new(record, ahead.continued(record)?, 0).rich().map(Some);
                }
                0x0207 => {
                    let bytes = long_bytes(&mut record.fields())?;
                    return Ok(Some(Rich::of_bytes(bytes, self.globals.encoding, &[])));
                }
                // Shared and array formulas, tables of results, and formulas too long for one record.
                0x00BC | 0x04BC | 0x0021 | 0x0221 | 0x0036 | 0x0037 | 0x0236 | 0x003C => {}
                _ => return Ok(None),
            }
        }
        Ok(None)
    }

    /// The style that a cell names. One that is not there is general; that is told once.
    fn style(&mut self, name: StyleRef) -> Rc<CellStyle> {
        self.globals.styles.get(name).unwrap_or_else(|| {
            self.without_style += usize::from(!self.globals.styles.is_empty());
            Rc::default()
        })
    }

    fn put(&mut self, cell: Cell) -> Result<(), ReadError> {
        let limit = self.limits.cell_text_bytes;
        if cell.text.len() > limit {
            let found = format!("cell {} has a text of more than {limit} bytes", cell.place());
            return Err(ReadError::new(Refusal::TooLarge, found, SPLIT));
        }
        self.budget.take(&cell)?;
        self.draft.put(Cell { computed: self.is_computed, ..cell });
        Ok(())
    }
}

/// The expression behind the result of a formula: flags, a place to compute in, and its length stand before it.
fn expression(rest: &[u8]) -> Option<&[u8]> {
    let [_, _, _, _, _, _, low, high, behind @ ..] = rest else { return None };
    behind.get(..usize::from(u16::from_le_bytes([*low, *high])))
}

/// A number packed into 30 bits: the upper half of a floating-point number or a whole one, perhaps a hundredfold.
fn packed(bits: u32) -> f64 {
    #[expect(clippy::cast_possible_wrap, reason = "the sign is the upper bit")]
    let value = if bits & 2 == 0 { f64::from_bits(u64::from(bits & !3) << 32) } else { f64::from(bits as i32 >> 2) };
    if bits & 1 == 0 { value } else { value / 100.0 }
}

/// Text of an error value ([MS-XLS] 2.5.10).
const fn error_text(code: u8) -> Option<&'static str> {
    Some(match code {
        0x00 => "#NULL!",
        0x07 => "#DIV/0!",
        0x0F => "#VALUE!",
        0x17 => "#REF!",
        0x1D => "#NAME?",
        0x24 => "#NUM!",
        0x2A => "#N/A",
        0x2B => "#GETTING_DATA",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand from [MS-XLS] 2.5.122: 1.0 and 0.01 by their upper halves, whole numbers with and without the hundredth.
    #[test]
    fn packed_numbers_unpack() {
        for (bits, value) in
            [(0x3FF0_0000, 1.0), (0x3FF0_0001, 0.01), (0x004B_5646, 1_234_321.0), (0x004B_5647, 12_343.21)]
        {
            assert!((packed(bits) - value).abs() < 1e-9, "{bits:#x}: {}", packed(bits));
        }
        assert!((packed(0xFFFF_FFFE) + 1.0).abs() < 1e-9);
    }
}
