//! Letters that are symbols of quantities in one table and phases in another: "U (kV)" and "I" beside what was measured at that voltage.

use super::{Column, Role};
use crate::view::{Item, View};
use windrow_model::{Dimension, Quantity};
use windrow_text::vocabulary::Concept;

/// "U (kV)" alone among the columns is the applied voltage; where its fellow phases stand beside it in volts it is a phase. "I" beside
/// such a voltage is the current.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let symbol = |column: &Column| column.heading.items.last().and_then(|item| symbol(view, item));
    let in_volts = |column: &Column| {
        let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
        units.next().is_some_and(|best| best.unit.dimension == Dimension::Voltage && best.weight >= 0.8)
    };
    if !columns.iter().any(in_volts) {
        return;
    }
    settle_peaks(view, columns, in_volts);
    let letters: Vec<usize> =
        (0..columns.len()).filter(|at| in_volts(&columns[*at]) && symbol(&columns[*at]).is_some()).collect();
    let has_company =
        |at: usize| (0..columns.len()).any(|other| other != at && matches!(columns[other].role, Role::Reading(_)));
    if let [only] = letters.as_slice()
        && columns[*only].role == Role::Reading(None)
        && matches!(symbol(&columns[*only]), Some("U" | "V"))
        && has_company(*only)
    {
        let column = &mut columns[*only];
        column.heading.circuits.clear();
        (column.role, column.fit) = (Role::Field(Concept::TestVoltage), 0.9);
    }
    let is_current = |column: &Column| column.role == Role::Unknown && symbol(column) == Some("I") && column.fit >= 0.7;
    for column in columns.iter_mut().filter(|column| is_current(column)) {
        column.role = Role::Reading(Some(Quantity::LeakageCurrent));
        column.heading.unexplained.clear();
    }
}

/// "Û [V]" beside a difference in percent is the peak of an impulse: the circumflex is the sign of a peak value (IEC 60027-1, from
/// memory).
fn settle_peaks(view: &View<'_>, columns: &mut [Column], in_volts: impl Fn(&Column) -> bool) {
    let has_difference = columns
        .iter()
        .any(|column| matches!(column.role, Role::Reading(Some(Quantity::Unbalance | Quantity::SurgeDifference))));
    let is_peak = |column: &Column| {
        let text = column.heading.items.last().map(|item| view.cell(item).text.trim());
        let letter = text.and_then(|text| text.split([' ', '(', '[', '/', ',']).next());
        matches!(letter, Some("Û" | "û" | "U\u{302}" | "u\u{302}"))
            && matches!(column.role, Role::Reading(None) | Role::Field(Concept::TestVoltage))
    };
    for column in columns.iter_mut().filter(|column| has_difference && is_peak(column) && in_volts(column)) {
        column.heading.circuits.clear();
        (column.role, column.fit) = (Role::Reading(Some(Quantity::SurgePeakVoltage)), 0.9);
    }
}

/// "C" beside the loss factors of one table is the capacitance measured with them, unless A and B stand beside it as phases do.
pub(super) fn settle_capacitance(view: &View<'_>, columns: &mut [Column]) {
    let leaf = |column: &Column| column.heading.items.last().copied();
    let letter = |column: &Column| leaf(column).and_then(|item| symbol(view, &item));
    let is_loss = |column: &Column| column.role == Role::Reading(Some(Quantity::DissipationFactor));
    if !columns.iter().any(is_loss) || columns.iter().any(|column| matches!(letter(column), Some("A" | "B"))) {
        return;
    }
    let is_capacitance = |column: &&mut Column| {
        matches!(column.role, Role::Reading(None | Some(Quantity::Capacitance))) && letter(column) == Some("C")
    };
    for column in columns.iter_mut().filter(is_capacitance) {
        let Some(item) = leaf(column) else { continue };
        column.heading.circuits.retain(|by| by.item.cell != item.cell);
        column.heading.concepts.insert(0, (Concept::Capacitance, 0.9, item));
        column.role = Role::Reading(Some(Quantity::Capacitance));
    }
}

/// The letter that is all of a heading but its unit, in brackets or behind it ("U kV").
fn symbol<'v>(view: &View<'v>, item: &Item) -> Option<&'v str> {
    let whole = view.cell(item).text.trim();
    let (text, rest) = whole.split_at_checked(1)?;
    // "U in kV", "U en kV".
    let told = [" in ", " en "].iter().find_map(|lead| rest.strip_prefix(lead)).unwrap_or(rest);
    let unit = told.trim_matches([' ', '(', ')', '[', ']', '/', ',']);
    let is_unit = || windrow_text::unit::read(unit, None).first().is_some_and(|best| best.weight >= 0.8);
    let is_apart = rest.starts_with([' ', '(', '[', '/', ',']);
    let is_letter = text.chars().all(|c| c.is_ascii_uppercase());
    (is_letter && (rest.is_empty() || is_apart && is_unit())).then_some(text)
}
