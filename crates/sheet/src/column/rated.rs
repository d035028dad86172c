//! Values beside the measured ones that a nameplate or a catalogue promised.

use super::{Column, Role};
use crate::view::View;
use windrow_text::marks::{Statistic, is_nominal};

/// "Rated | Measured" over ohms or megohms: what was promised is no reading, whatever else its heading says. A plate's own fields
/// ("Nameplate" over "kW", "V") stay what they are.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let is_promised = |column: &Column| column.heading.items.iter().any(|item| is_nominal(&view.cell(item).text));
    for column in columns.iter_mut().filter(|column| matches!(column.role, Role::Reading(_)) && is_promised(column)) {
        (column.role, column.fit) = (Role::Statistic(Statistic::Limit), 1.0);
    }
}
