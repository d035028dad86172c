//! "Power factor" beside a capacitance is the insulation's, not the motor's.

use super::{Column, Role};
use crate::view::View;
use windrow_model::Quantity;
use windrow_text::marks::names_power_factor;
use windrow_text::vocabulary::Concept;

/// Takes a column headed by a power factor for a reading of losses, where the table measures capacitances or dissipation factors.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let is_loss = |column: &Column| {
        matches!(column.role, Role::Reading(Some(Quantity::Capacitance | Quantity::DissipationFactor)))
    };
    // "Power kW | Power factor | Capacitance µF": a plate, with its run capacitor.
    let is_rating = |column: &Column| {
        matches!(column.role, Role::Field(Concept::RatedPower | Concept::RatedCurrent | Concept::RatedSpeed))
    };
    if !columns.iter().any(is_loss) || columns.iter().any(is_rating) {
        return;
    }
    let is_plate = |column: &&mut Column| column.role == Role::Field(Concept::OtherPlate);
    for column in columns.iter_mut().filter(is_plate) {
        if names_power_factor(&column.heading.text(view)) {
            column.role = Role::Reading(Some(Quantity::DissipationFactor));
            for (concept, ..) in &mut column.heading.concepts {
                *concept = Concept::DissipationFactor;
            }
        }
    }
}
