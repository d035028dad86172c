//! The binary part with the notes of a sheet.

use windrow_source::ReadError;

use crate::package::Package;
use crate::xlsx::notes::Notes;
use crate::xlsx::sheet::Context;

use super::record::{Fields, Records};
use super::strings::rich;

/// The beginning of a note.
const NOTE: u16 = 635;
/// Its text.
const TEXT: u16 = 637;

/// Notes by place.
pub(crate) fn read(package: &mut Package<'_>, part: &str, context: &mut Context<'_>) -> Result<Notes, ReadError> {
    let mut records = Records::new(part, package.part(part)?);
    let (mut notes, mut place) = (Notes::new(), None);
    while let Some(kind) = records.next()? {
        match kind {
            NOTE => place = Some(records.parsed(|fields| fields.u32().and_then(|_author| Fields::corners(fields)))?.0),
            TEXT => {
                let rich = records.parsed(|fields| rich(fields, &[]))?;
                records.check_length(&rich.text, context.limits.cell_text_bytes)?;
                let text = rich.text.trim();
                if let (Some(place), false) = (place, text.is_empty()) {
                    context.budget.take_items(1)?;
                    notes.insert(place, text.to_owned());
                }
            }
            _ => {}
        }
    }
    Ok(notes)
}
