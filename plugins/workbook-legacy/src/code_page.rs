//! The code page of texts before Unicode (up to Excel 95): declared, or judged by the texts where the declaration is missing or
//! cannot be true.

use windrow_source::encoding::{Encoding, by_code_page};

use crate::record::{Record, Records};

/// Letters looked at, bytes.
const SAMPLE: usize = 256 << 10;

/// Chooses the encoding for all byte texts of a stream, and tells what a person should know of it.
pub(crate) fn choose(mut records: Records<'_>) -> (Encoding, Option<String>) {
    let (mut declared, mut sample) = (None, Vec::new());
    // Behind its last part a stream may be filled up with anything.
    while let Ok(Some(record)) = records.next() {
        if record.id == 0x0042 && declared.is_none() {
            declared = record.fields().u16().ok();
        }
        if let Some(text) = text_of(record).filter(|text| !text.is_ascii() && sample.len() < SAMPLE) {
            sample.extend_from_slice(text);
            sample.push(b'\n');
        }
    }
    by_code_page(&sample, declared)
}

/// The letters of a record that holds a byte text.
fn text_of(record: Record<'_>) -> Option<&[u8]> {
    let (at, is_long) = match record.id {
        0x0004 => (7, false),
        0x0204 | 0x00D6 => (6, true),
        0x0007 => (0, false),
        0x0207 => (0, true),
        0x001C => (4, true),
        0x0085 => (6, false),
        _ => return None,
    };
    let mut fields = record.fields();
    fields.take(at).ok()?;
    let length = if is_long { fields.u16().ok().map(usize::from) } else { fields.u8().ok().map(usize::from) }?;
    let rest = fields.rest();
    Some(rest.get(..length).unwrap_or(rest))
}
