//! A bare K behind a number: kilohms, or thousands of the unit that the column tells ("5K" under megohms).

use super::Reader;
use super::unit::{UnitPlaces, UnitTold};
use crate::value::{self, Amount};
use crate::view::Item;
use windrow_model::raw::Via;
use windrow_model::{Dimension, Quantity, Unit};

/// How many decades beyond its neighbours a reading may lie to be one of them.
const NEAR: f64 = 1.5;
/// How many decades beyond them the other meaning must lie to be none.
const FAR: f64 = 3.0;
/// Rows above and below in which neighbours are looked for.
const REACH: u32 = 40;

impl Reader<'_, '_, '_> {
    /// The unit of an insulation resistance written with a bare K: the meaning near whose size its neighbours are, a question where
    /// they do not tell. `None` for anything else.
    pub(super) fn thousands_of(&self, places: &UnitPlaces<'_>, quantity: Quantity) -> Option<UnitTold> {
        let is_bare = matches!(places.amount.unit_text.trim(), "K" | "k") && !places.amount.unit_by_format;
        if quantity != Quantity::InsulationResistance || !is_bare {
            return None;
        }
        let beside = match self.unit_beside(places, quantity) {
            UnitTold::Known(told) => Some(told.value),
            _ => None,
        };
        let many = thousand(beside.unwrap_or(Unit::MEGOHM))?;
        let neighbours = self.neighbours(places.item, beside);
        let number = places.amount.numbers.first()?.value;
        let off = |unit: Unit| decades_off(unit.to_stored(number), &neighbours);
        let (kilohms, thousands) = (off(Unit::KILOHM), off(many));
        let told = |unit| UnitTold::Known(self.told(unit, Via::Cell, places.item));
        match (kilohms, thousands) {
            (Some(kilohms), Some(thousands)) if thousands <= NEAR && kilohms >= FAR && beside.is_some() => {
                Some(told(many))
            }
            (Some(kilohms), Some(thousands)) if kilohms <= NEAR && thousands >= kilohms + 1.0 => {
                Some(told(Unit::KILOHM))
            }
            // Without a unit beside it K is a unit like the others, unless it lies far from them.
            (kilohms, _) if beside.is_none() && kilohms.is_none_or(|off| off < FAR) => None,
            _ => Some(UnitTold::Conflict(Unit::KILOHM, many)),
        }
    }

    /// Resistances in the column and the line of a cell, Ω: with their own unit, else in that of the column.
    fn neighbours(&self, item: &Item, unit: Option<Unit>) -> Vec<f64> {
        let rows = self.scene.blocks[self.block].rows;
        let (first, last) = (item.row.saturating_sub(REACH).max(rows.0), item.row.saturating_add(REACH).min(rows.1));
        let near = (self.view.line_at(first)..self.view.line_count())
            .take_while(|at| self.view.row(*at) <= last)
            .flat_map(|at| self.view.line(at));
        let within = |other: &&Item| {
            other.cell != item.cell
                && (other.column == item.column || other.row == item.row && other.column.abs_diff(item.column) <= 3)
        };
        let ohms = |other: &Item| {
            let amounts = value::amounts(self.view.cell(other), self.view.sense(other))?;
            let amount = amounts.parts.first().filter(|amount| !matches!(amount.unit_text.trim(), "K" | "k"))?;
            resistance(amount, unit.filter(|_| other.column == item.column))
        };
        near.filter(within).filter_map(ohms).filter(|ohms| *ohms > 0.0).collect()
    }
}

fn resistance(amount: &Amount, unit: Option<Unit>) -> Option<f64> {
    let own = value::unit_of(&amount.units, Dimension::Resistance);
    let unit = if amount.units.is_empty() { unit } else { own };
    Some(unit?.to_stored(amount.numbers.first()?.value))
}

/// A thousand of a unit of resistance.
fn thousand(unit: Unit) -> Option<Unit> {
    [Unit::KILOHM, Unit::MEGOHM, Unit::GIGOHM, Unit::TEROHM]
        .into_iter()
        .find(|more| (more.factor / unit.factor / 1000.0 - 1.0).abs() < 1e-9)
}

/// Decades between a value and the nearest end of its neighbours, 0 among them; `None` without neighbours.
fn decades_off(value: f64, neighbours: &[f64]) -> Option<f64> {
    let least = neighbours.iter().copied().reduce(f64::min)?;
    let most = neighbours.iter().copied().reduce(f64::max)?;
    Some((least / value).log10().max((value / most).log10()).max(0.0))
}
