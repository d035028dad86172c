//! Symbols of inception and extinction voltages, which are read in pairs: `Ue` alone is the extinction of one standard and the
//! inception of another language.

use super::{Column, Role};
use crate::fit::quantity;
use crate::view::View;
use windrow_model::{Dimension, Quantity};
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;

/// Pairs of symbols, inception before extinction: U_i and U_e as in IEC 60270 (from memory), Ue and Ua of "Einsetzen" and "Aussetzen"
/// (common practice, no source).
const PAIRS: [(&str, &str); 2] = [("ui", "ue"), ("ue", "ua")];

/// Two columns of volts headed by such a pair beside apparent charges.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    if !columns.iter().any(|column| column.role == Role::Reading(Some(Quantity::PdMagnitude))) {
        return;
    }
    let symbols: Vec<Option<String>> = columns.iter().map(|column| symbol(view, column)).collect();
    let at = |name: &str| symbols.iter().position(|symbol| symbol.as_deref() == Some(name));
    let pairs: Vec<(usize, usize)> = PAIRS.iter().filter_map(|(on, off)| Some((at(on)?, at(off)?))).collect();
    // All three symbols in one table are of no one custom.
    let [(on, off)] = pairs.as_slice() else { return };
    for (index, concept) in [(*on, Concept::PdInception), (*off, Concept::PdExtinction)] {
        let column = &mut columns[index];
        let Some(item) = column.heading.items.last().copied() else { continue };
        column.role = Role::Reading(quantity(concept));
        column.fit = 0.9;
        column.heading.concepts = vec![(concept, 0.9, item)];
        column.heading.unexplained.clear();
        column.heading.circuits.clear();
    }
}

/// The folded symbol that heads a column of volts.
fn symbol(view: &View<'_>, column: &Column) -> Option<String> {
    let item = column.heading.items.last()?;
    let text = view.cell(item).text.split(['(', '[', '/', ',']).next()?.trim();
    // "Ui kV": the unit behind the symbol, without a bracket.
    let unit = column.heading.units.as_ref().map_or("", |by| by.value.1.trim());
    let text = text.strip_suffix(unit).filter(|symbol| !unit.is_empty() && symbol.ends_with(' ')).unwrap_or(text);
    let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
    let in_volts = units.any(|meaning| meaning.unit.dimension == Dimension::Voltage && meaning.weight >= 0.8);
    in_volts.then(|| fold(text).replace(' ', ""))
}
