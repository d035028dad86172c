//! Binary strings with runs, and the table of them.

use windrow_source::spreadsheet::struck::{Run, Strike};
use windrow_source::{Limits, ReadError};

use crate::package::Package;
use crate::xlsx::rich::Rich;
use crate::xlsx::strings::Strings;

use super::record::{Fields, Records};

/// A string of the table.
const ITEM: u16 = 19;

/// Reads the table; `struck_fonts` says which fonts strike through.
pub(crate) fn read(
    package: &mut Package<'_>,
    part: &str,
    (struck_fonts, limits): (&[bool], &Limits),
) -> Result<Strings, ReadError> {
    let mut records = Records::new(part, package.part(part)?);
    let mut strings = Strings::default();
    while let Some(kind) = records.next()? {
        if kind == ITEM {
            let rich = records.parsed(|fields| rich(fields, struck_fonts))?;
            records.check_length(&rich.text, limits.cell_text_bytes)?;
            strings.push(&rich);
        }
    }
    Ok(strings)
}

/// A string with runs (MS-XLSB 2.5.122): flags, text, and where each run begins, counted in halves of UTF-16.
pub(crate) fn rich(fields: &mut Fields<'_>, struck_fonts: &[bool]) -> Option<Rich> {
    let has_runs = fields.u8()? & 1 == 1;
    let mut rich = Rich { text: fields.text()?, runs: Vec::new() };
    if !has_runs {
        return Some(rich);
    }
    let (mut letters, mut unit) = (rich.text.char_indices(), 0_usize);
    let mut strike = Strike::Inherited;
    for _ in 0..fields.u32()? {
        let (start, font) = fields.u16().zip(fields.u16())?;
        let mut end = rich.text.len() - letters.as_str().len();
        while unit < usize::from(start) {
            let Some((at, letter)) = letters.next() else { break };
            unit += letter.len_utf16();
            end = at + letter.len_utf8();
        }
        rich.runs.push(Run { end, strike });
        let is_struck = struck_fonts.get(usize::from(font)).copied().unwrap_or(false);
        strike = if is_struck { Strike::On } else { Strike::Off };
    }
    rich.runs.push(Run { end: rich.text.len(), strike });
    rich.runs.retain({
        let mut before = 0;
        move |run| std::mem::replace(&mut before, run.end) < run.end
    });
    Some(rich)
}
