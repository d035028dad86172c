//! Conservation: every non-empty cell of every sheet ends in exactly one disposition.

use std::collections::HashMap;
use windrow_model::raw::{CellMark, SourceStatus, Understood};
use windrow_model::{Disposition, Place, Text};
use windrow_source::Workbook;

/// Adds what nobody marked as unread, drops second marks with a note, and sets the status.
pub(super) fn account(book: &Workbook, understood: &mut Understood) {
    let mut marks: HashMap<Place, CellMark> = HashMap::with_capacity(understood.cells.len());
    let mut twice = 0_usize;
    for mark in understood.cells.drain(..) {
        if marks.insert(mark.place.clone(), mark).is_some() {
            twice += 1;
        }
    }
    if twice > 0 {
        understood.notes.push(format!("{twice} cells were accounted for twice, which is our bug"));
    }
    for grid in &book.sheets {
        for cell in grid.cells.iter().filter(|cell| !cell.synthetic) {
            let place = Place::new(grid.name.as_deref(), cell.place());
            let mark = marks.remove(&place).unwrap_or_else(|| CellMark {
                place,
                raw_text: cell.text.clone(),
                disposition: Disposition::Unread,
                target: None,
                reason: Some(Text::new_static("no importer read this cell")),
            });
            understood.cells.push(mark);
        }
    }
    if !marks.is_empty() {
        understood.notes.push(format!("{} marks point at cells that are not there, which is our bug", marks.len()));
    }
    let open = understood.cells.iter().any(|cell| matches!(cell.disposition, Disposition::Held | Disposition::Unread));
    understood.status = if open { SourceStatus::PartlyRead } else { SourceStatus::Read };
}
