//! Notes and threaded comments of a sheet.

use std::collections::BTreeMap;

use windrow_source::{Grid, ReadError};

use crate::package::Package;
use crate::xml::Item;

use super::binary::{self, is_binary};
use super::rich::Rich;
use super::sheet::Context;
use super::{address, relations};

/// The two kinds of notes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// A note, its text like a shared string.
    Note,
    /// A remark of a thread, its text plain.
    Thread,
}

/// Notes by place.
pub(crate) type Notes = BTreeMap<(u32, u32), String>;

/// Hangs the notes on their cells; those on empty cells become remarks.
pub(crate) fn attach(
    package: &mut Package<'_>,
    sheet_part: &str,
    grid: &mut Grid,
    context: &mut Context<'_>,
) -> Result<(), ReadError> {
    let mut notes = Notes::new();
    for relation in relations::of(package, sheet_part)? {
        let kind = match relation.kind.as_str() {
            "comments" => Kind::Note,
            "threadedComment" => Kind::Thread,
            _ => continue,
        };
        let found = if is_binary(&relation.part) {
            binary::notes::read(package, &relation.part, context)?
        } else {
            read(package, &relation.part, kind, context)?
        };
        for (place, text) in found {
            // A thread has a note beside it for programs that know no threads; the thread itself counts.
            if kind == Kind::Thread || !notes.contains_key(&place) {
                notes.insert(place, text);
            }
        }
    }
    for (place, text) in notes {
        match grid.cells.binary_search_by_key(&place, |cell| (cell.row, cell.column)) {
            Ok(index) => grid.cells[index].note = Some(text),
            Err(_) => context.remarks.stray_note(context.name, place, &text),
        }
    }
    Ok(())
}

/// Notes of one part; several on one cell are a thread, one a line.
fn read(package: &mut Package<'_>, part: &str, kind: Kind, context: &mut Context<'_>) -> Result<Notes, ReadError> {
    let mut xml = package.xml(part)?;
    let (mut notes, mut rich) = (Notes::new(), Rich::default());
    let mut place = None;
    loop {
        match xml.next()? {
            Item::Open(tag) if matches!(tag.name(), "comment" | "threadedComment") => {
                place = tag.attribute("ref")?.as_deref().and_then(address::place);
            }
            Item::Open(tag) if tag.name() == "text" => {
                rich.text.clear();
                match kind {
                    Kind::Note => rich.read(&mut xml, context.limits.cell_text_bytes)?,
                    Kind::Thread => xml.text_into(&mut rich.text, context.limits.cell_text_bytes)?,
                }
                let text = rich.text.trim();
                if let (Some(place), false) = (place, text.is_empty()) {
                    context.budget.take_items(1)?;
                    let note = notes.entry(place).or_default();
                    if !note.is_empty() {
                        note.push('\n');
                    }
                    note.push_str(text);
                }
            }
            Item::End => return Ok(notes),
            _ => {}
        }
    }
}
