//! "R Ω | at 20 °C": what is headed by the temperature alone that it was converted to is of the kind and in the unit of what stands before it.

use super::{Column, Role};
use windrow_model::Dimension;

/// Gives such columns the name and the unit of the resistances that they were converted from.
pub(super) fn settle(columns: &mut [Column]) {
    for index in 1..columns.len() {
        let (before, rest) = columns.split_at_mut(index);
        let (Some(source), Some(own)) = (before.last(), rest.first_mut()) else { continue };
        let heading = &own.heading;
        let is_open = matches!(own.role, Role::Reading(None))
            && heading.reference_c.is_some()
            && heading.units.is_none()
            && heading.concepts.is_empty()
            && heading.unexplained.is_empty()
            && own.group() == source.group();
        let mut units = source.heading.units.iter().flat_map(|by| &by.value.0);
        let is_source = matches!(source.role, Role::Reading(_))
            && source.heading.reference_c.is_none()
            && units.any(|meaning| meaning.unit.dimension == Dimension::Resistance);
        if is_open && is_source && source.column + 1 == own.column {
            own.heading.units.clone_from(&source.heading.units);
            own.heading.concepts.clone_from(&source.heading.concepts);
        }
    }
}
