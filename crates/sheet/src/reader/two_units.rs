//! Labels that tell two units, the second of another winding: "milliohms / rotor in ohms".

use super::Reader;
use super::unit::UnitTold;
use crate::heading::Heading;
use crate::value::unit_for;
use windrow_model::raw::Via;
use windrow_model::{Circuit, Quantity, Unit};
use windrow_text::circuit::Named;
use windrow_text::header;

impl Reader<'_, '_, '_> {
    /// The unit that such a label tells of the numbers under `column`; `None` for a label of one unit.
    pub(super) fn unit_by_winding(&self, label: &Heading, column: &Heading, quantity: Quantity) -> Option<UnitTold> {
        let [item] = label.items.as_slice() else { return None };
        let text = &self.view.cell(item).text;
        if !text.contains(['/', ',', ';']) {
            return None;
        }
        let told: Vec<(Option<Circuit>, Unit)> = text
            .split(['/', ',', ';'])
            .filter_map(|piece| {
                let piece = header::read(piece.trim());
                let unit = unit_for(&piece.units, &piece.unit_text, quantity)?;
                Some((special(piece.circuits.iter().map(|meaning| meaning.named)), unit))
            })
            .collect();
        let (_, first) = told.first()?;
        let (_, other) = told.iter().find(|(_, unit)| unit != first)?;
        let own = special(column.circuits.iter().flat_map(|by| &by.value).map(|meaning| meaning.named));
        let mut meant = told.iter().filter(|(of, _)| *of == own);
        match (meant.next(), meant.next()) {
            (Some((_, unit)), None) => Some(UnitTold::Known(self.told(*unit, Via::Row, item))),
            _ => Some(UnitTold::Conflict(*first, *other)),
        }
    }
}

/// The winding that is no stator's, if one is named.
fn special(mut named: impl Iterator<Item = Named>) -> Option<Circuit> {
    named.find_map(|named| if let Named::Special(circuit) = named { Some(circuit) } else { None })
}
