//! "I.R. in megohms. D.C. resistance by bridge, ohms.": the unit of conductors where a title tells that of insulation as well.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::{Body, Found};
use crate::fit;
use crate::loose::Caption;
use windrow_model::Quantity;
use windrow_text::unit::UnitMeaning;

impl Reader<'_, '_, '_> {
    /// The one unit of the nearest sentence that names the resistance of windings and nothing else, where another sentence of its title tells
    /// of insulation, which has columns of its own in the table.
    pub(super) fn titled_units_of_conductor(&self, column: &Column) -> Option<&[UnitMeaning]> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        let mut columns = self.scene.tables.get(table)?.columns.iter();
        let is_insulation = |other: &Column| other.role == Role::Reading(Some(Quantity::InsulationResistance));
        columns.find(|other| other.column != column.column && is_insulation(other))?;
        let names_only = |caption: &Caption, wanted: Quantity| {
            let mut named = caption.concepts.iter().filter_map(|concept| fit::quantity(*concept)).peekable();
            named.peek().is_some() && named.all(|quantity| quantity == wanted)
        };
        let captions = &self.scene.loose.captions;
        // The sentence before or behind it, in the same cell, tells of insulation.
        let is_beside_insulation = |caption: &Caption| {
            let mut others = captions.iter().filter(|other| other.item.cell == caption.item.cell);
            others.any(|other| names_only(other, Quantity::InsulationResistance))
        };
        let tell = |caption: &Caption| match caption.units.as_slice() {
            [(_, text)] if names_only(caption, Quantity::WindingResistance) && is_beside_insulation(caption) => {
                Some(text.clone())
            }
            _ => None,
        };
        let Found::One(index, _) = self.scene.caption(self.block, tell) else { return None };
        self.scene.loose.captions.get(index)?.units.first().map(|(units, _)| units.as_slice())
    }
}
