//! What the codes of a layout file mean, and whether they are known.

use crate::column::Role;
use windrow_model::layout::{Column, Layout};
use windrow_model::{Circuit, Quantity, Unit};
use windrow_text::circuit::{CircuitMeaning, Named};
use windrow_text::marks::Statistic;
use windrow_text::vocabulary::Concept;

/// Words for what is neither a quantity nor a field.
const READING: &str = "reading";
const LINE_LABEL: &str = "line_label";
const COMPUTED: &str = "computed";
const LIMIT: &str = "limit";
const UNKNOWN: &str = "unknown";

/// The role of a column.
pub(super) fn role(is: &str) -> Option<Role> {
    match is {
        READING => return Some(Role::Reading(None)),
        LINE_LABEL => return Some(Role::LineLabel),
        COMPUTED => return Some(Role::Statistic(Statistic::Computed)),
        LIMIT => return Some(Role::Statistic(Statistic::Limit)),
        UNKNOWN => return Some(Role::Unknown),
        _ => {}
    }
    // "temperature" is the circumstance, not the quantity of that code.
    match Concept::from_code(is) {
        Some(Concept::Resistance | Concept::CorrectedResistance) => Some(Role::Reading(None)),
        Some(concept) => {
            Some(crate::fit::quantity(concept).map_or(Role::Field(concept), |own| Role::Reading(Some(own))))
        }
        None => Quantity::from_code(is).map(|quantity| Role::Reading(Some(quantity))),
    }
}

/// The word for a role.
pub(super) fn word(role: Role) -> String {
    match role {
        Role::Reading(Some(quantity)) => quantity.code().to_owned(),
        Role::Reading(None) => READING.to_owned(),
        Role::LineLabel => LINE_LABEL.to_owned(),
        Role::Statistic(Statistic::Limit) => LIMIT.to_owned(),
        Role::Statistic(_) => COMPUTED.to_owned(),
        // It has no heading that a layout could name.
        Role::Unknown | Role::Asked(_) | Role::NamePart => UNKNOWN.to_owned(),
        Role::Field(concept) => concept.code().to_owned(),
    }
}

/// What a label of a field announces.
pub(super) fn concept(is: &str) -> Option<Concept> {
    let of_quantity = |quantity: Quantity| {
        let fits = |concept: &&Concept| crate::fit::quantity(**concept) == Some(quantity);
        Concept::ALL.iter().find(fits).copied()
    };
    Concept::from_code(is).or_else(|| Quantity::from_code(is).and_then(of_quantity))
}

/// A circuit as header cells tell it.
pub(super) fn circuit(code: &str) -> Option<CircuitMeaning> {
    let named = match Circuit::from_code(code)? {
        Circuit::AllToEarth => Named::All,
        Circuit::UToEarth => Named::PhaseToEarth(0),
        Circuit::VToEarth => Named::PhaseToEarth(1),
        Circuit::WToEarth => Named::PhaseToEarth(2),
        Circuit::UToV => Named::Pair(0, 1),
        Circuit::VToW => Named::Pair(1, 2),
        Circuit::WToU => Named::Pair(2, 0),
        Circuit::U => Named::Phase(0),
        Circuit::V => Named::Phase(1),
        Circuit::W => Named::Phase(2),
        other @ (Circuit::ArmatureToEarth | Circuit::FieldToEarth | Circuit::RotorToEarth) => Named::Special(other),
    };
    Some(CircuitMeaning { named, naming: None, weight: 0.95 })
}

/// Checks that a layout says only what the program knows.
///
/// # Errors
/// What is wrong, where, and what was expected.
pub fn check(layout: &Layout) -> Result<(), String> {
    if layout.anchors.is_empty()
        && layout.fields.is_empty()
        && layout.tables.iter().all(|table| table.columns.is_empty())
    {
        return Err("it has no text to know its sheets by; give it anchors, fields or tables with columns".to_owned());
    }
    for field in &layout.fields {
        if concept(&field.is).is_none() {
            let what = format!("the field {:?} is {:?}, which is not known", field.label, field.is);
            return Err(format!("{what}; write what it is, such as tag, date or winding_temperature"));
        }
    }
    layout.tables.iter().flat_map(|table| &table.columns).try_for_each(check_column)
}

fn check_column(column: &Column) -> Result<(), String> {
    let name = column.under.join(" / ");
    let fail = |what: String, expected: &str| Err(format!("column {name:?}: {what}; {expected}"));
    if column.under.is_empty() || column.under.iter().any(|text| super::key(text).is_empty()) {
        return fail("it stands under no text".to_owned(), "write the texts over it, from the top");
    }
    let Some(role) = role(&column.is) else {
        let expected = "write a quantity such as insulation_resistance, or what a field is, such as tag or date";
        return fail(format!("{:?} is not known", column.is), expected);
    };
    if let Some(code) = &column.unit {
        let Some(unit) = Unit::from_ucum(code) else {
            return fail(format!("the unit {code:?} is not known"), "write its UCUM code, such as MOhm or uA");
        };
        if let Role::Reading(Some(quantity)) = role
            && quantity.dimension() != unit.dimension
        {
            return fail(format!("{code} is no unit of {quantity}"), "correct the unit or the quantity");
        }
    }
    match &column.circuit {
        Some(code) if circuit(code).is_none() => {
            fail(format!("the circuit {code:?} is not known"), "write its code, such as U-E or UVW-E")
        }
        _ => Ok(()),
    }
}
