//! The unit of a circumstance in a cell of its own ("Temperature | 18.4 | C"): what the label promises says which unit a letter is.

use crate::fit::{Wants, wants};
use crate::heading::{By, Heading};
use crate::view::{Item, View};
use windrow_text::unit::{self, UnitMeaning};

/// Takes the cell as the unit of what the label promises, if it is one; returns whether it is.
pub(crate) fn tell(view: &View<'_>, label: &mut Heading, cell: &Item) -> bool {
    let Some(Wants::Number(Some(dimension))) = label.concept().map(wants) else { return false };
    let text = view.cell(cell).text.trim();
    let mut meanings = unit::read(text, Some(dimension));
    meanings.retain(|meaning| meaning.unit.dimension == dimension);
    if meanings.is_empty() || text.chars().count() > 12 {
        return false;
    }
    if label.units.is_none() {
        label.units = Some(By { value: (meanings, text.into()), item: *cell });
    }
    true
}

/// The units that a cell tells, as units of what is wanted.
pub(crate) fn within(wanted: Wants, told: &[UnitMeaning], text: &str) -> Vec<UnitMeaning> {
    match wanted {
        Wants::Number(Some(dimension)) if told.iter().all(|meaning| meaning.unit.dimension != dimension) => {
            unit::read(text, Some(dimension))
        }
        _ => told.to_vec(),
    }
}
