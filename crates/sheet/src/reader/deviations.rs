//! Deviations in percent that are of the traces of a surge test, and no unbalance of resistances.

use super::Reader;
use super::line::Line;
use super::quantity::What;
use crate::column::Column;
use crate::context::{Body, Found};
use crate::loose::Caption;
use crate::value::Amount;
use crate::view::Item;
use windrow_model::Quantity;
use windrow_model::raw::Via;
use windrow_text::circuit::{CircuitMeaning, Named};

impl Reader<'_, '_, '_> {
    /// What is told by name, by the nearest place; a deviation in a form on surges is that of the traces.
    pub(super) fn named(&self, item: &Item, amount: &Amount, line: &Line, column: &Column) -> What {
        match self.named_nearest(item, amount, line, column) {
            What::Measured(told) if told.value == Quantity::Unbalance && is_of_pairs(line, column) => {
                let surge = self.pair_of_surges(item.row);
                What::Measured(surge.map_or(told, |item| self.told(Quantity::SurgeDifference, Via::Block, &item)))
            }
            what => what,
        }
    }

    /// "Deviation in %" under "Surge comparison" is that of its traces: an unbalance is of no pair of phases.
    pub(super) fn of_comparison(&self, what: What) -> What {
        match what {
            What::Measured(told) if told.value == Quantity::Unbalance => {
                let corner = self.corner_quantity().filter(|(quantity, _)| *quantity == Quantity::SurgeDifference);
                What::Measured(corner.map_or(told, |(quantity, item)| self.told(quantity, Via::Column, &item)))
            }
            other => other,
        }
    }

    /// "Deviation in %" over pairs of phases under a title on surges: of the traces, too. What a line names itself is its own.
    pub(super) fn of_titled_comparison(&self, what: What, line: &Line, column: &Column) -> What {
        match what {
            What::Measured(told) if told.value == Quantity::Unbalance && is_of_pairs(line, column) => {
                let surge = self.title_of_surges();
                What::Measured(surge.map_or(told, |item| self.told(Quantity::SurgeDifference, Via::Block, &item)))
            }
            other => other,
        }
    }

    /// Whether the block's table has one line of values only: no resistances stand beside its deviations.
    pub(super) fn tells_deviations_only(&self) -> bool {
        let Some(Body::Table(table)) = self.scene.blocks.get(self.block).map(|block| &block.body) else { return false };
        let lines = self.scene.tables.get(*table).map(|read| read.table.body.as_slice()).unwrap_or_default();
        lines.iter().filter(|line| !line.is_statistic && !line.is_across).take(2).count() == 1
    }

    /// "1-2 %" under "Surge test": what that test tells of a pair of phases in percent is how far their traces differ.
    pub(super) fn is_share_of_surges(&self, line: &Line, column: &Column) -> bool {
        let names_test = |item: &Item| windrow_text::marks::names_surge_test(&self.view.cell(item).text);
        let names_it = |caption: &Caption| names_test(&caption.item).then(|| "surges".to_owned());
        let is_titled = || {
            let told = self.scene.caption(self.block, names_it);
            matches!(told, Found::One(_, Via::Block)) || self.title_of_surges().is_some()
        };
        is_of_pairs(line, column) && (column.heading.items.iter().any(names_test) || is_titled())
    }
}

/// Whether a number is of a pair of terminals, by its line or its column.
fn is_of_pairs(line: &Line, column: &Column) -> bool {
    let is_pair = |meaning: &CircuitMeaning| matches!(meaning.named, Named::Pair(..));
    let listed = column.heading.phases.iter().flatten().flatten();
    line.circuits.iter().chain(&column.heading.circuits).flat_map(|by| &by.value).chain(listed).any(is_pair)
}
