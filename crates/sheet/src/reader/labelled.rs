//! Values of one cell, each behind its phase: "U=320 V=310 W=330".

use super::Reader;
use crate::column::{Column, Role};
use crate::context::Body;
use crate::heading;
use crate::value::{Amount, Amounts};
use windrow_model::Dimension;
use windrow_text::circuit::{self, CircuitMeaning, Naming};

/// How sure letters are that stand together as phases do.
const TOGETHER: f32 = 0.9;

/// The phases that label the values of a cell, where there are two or more, all different and of one way of naming.
pub(super) fn phases(amounts: &Amounts) -> Option<Vec<Vec<CircuitMeaning>>> {
    let told: Vec<Vec<CircuitMeaning>> = amounts.parts.iter().map(|part| circuit::read(&part.label)).collect();
    let names =
        |meanings: &[CircuitMeaning], naming: Naming| meanings.iter().any(|meaning| meaning.naming == Some(naming));
    let naming = told
        .first()?
        .iter()
        .filter_map(|meaning| meaning.naming)
        .find(|naming| told.iter().all(|meanings| names(meanings, *naming)))?;
    let of_naming = |meanings: &Vec<CircuitMeaning>| -> Vec<CircuitMeaning> {
        let kept = meanings.iter().filter(|meaning| meaning.naming == Some(naming));
        kept.map(|meaning| CircuitMeaning { weight: meaning.weight.max(TOGETHER), ..meaning.clone() }).collect()
    };
    let all: Vec<Vec<CircuitMeaning>> = told.iter().map(of_naming).collect();
    let are_apart = all.iter().enumerate().all(|(at, one)| {
        all.iter().skip(at + 1).all(|other| one.first().map(|a| a.named) != other.first().map(|b| b.named))
    });
    (all.len() >= 2 && are_apart).then_some(all)
}

/// Whether the values of a cell stand behind letters that may be no phases: "U=500 W=120" may be 500 V beside one resistance, "R=120 T=25"
/// 25 °C; "U=500V W=120" says so.
pub(super) fn may_be_conditions(amounts: &Amounts) -> bool {
    let is_letter = |label: &str| label.chars().filter(|c| c.is_alphabetic()).count() == 1;
    if amounts.parts.len() < 2 || !amounts.parts.iter().all(|part| is_letter(&part.label)) {
        return false;
    }
    let dimension = |part: &Amount| part.units.first().map(|best| best.unit.dimension);
    let has_another =
        amounts.parts.iter().any(|part| dimension(part).is_some_and(|other| other != Dimension::Resistance));
    has_another || amounts.parts.len() == 2 && amounts.parts.iter().any(|part| dimension(part).is_none())
}

impl Reader<'_, '_, '_> {
    /// "Phases A / B / C to earth | after 10 min": the phases that the headings of other columns of readings list, where all list the same.
    pub(super) fn phases_beside(&self, column: &Column) -> Option<Vec<Vec<CircuitMeaning>>> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        let names_own = !column.heading.circuits.is_empty();
        let others = self.scene.tables.get(table)?.columns.iter().filter(|other| {
            matches!(other.role, Role::Reading(_)) && other.column != column.column && other.group() == column.group()
        });
        let listed = |other: &Column| {
            let mut texts = other.heading.items.iter().map(|item| self.view.cell(item).text.as_str());
            texts.find_map(|text| heading::three_phases(text).filter(|_| text.contains('/')))
        };
        let mut told = others.filter_map(listed);
        let first = told.next().filter(|_| !names_own)?;
        told.all(|other| other == first).then_some(first)
    }
}
