//! What the table and the titles around a number say of what it is.

use super::Reader;
use super::quantity::{is_of_surges, is_temperature, resistance};
use crate::column::{Column, Role};
use crate::context::{Body, Found};
use crate::fit;
use crate::heading::Heading;
use crate::loose::Caption;
use crate::view::Item;
use windrow_model::raw::Via;
use windrow_model::{Dimension, Quantity};
use windrow_text::marks::{self, Statistic};
use windrow_text::vocabulary::Concept;

/// Rows below the title of a list of limits in which its lines begin.
const LIMITS_BELOW: u32 = 3;
/// Most words of such a title.
const LIMIT_WORDS: usize = 3;

impl Reader<'_, '_, '_> {
    /// Whether another column of the block's table is headed as insulation, in kilohms or more.
    pub(super) fn has_insulation_beside(&self, column: &Column) -> bool {
        let Some(Body::Table(table)) = self.scene.blocks.get(self.block).map(|block| &block.body) else { return false };
        let table = *table;
        let columns = self.scene.tables.get(table).map(|read| read.columns.as_slice()).unwrap_or_default();
        columns.iter().any(|other| {
            let units = other.heading.units.as_ref().map(|by| by.value.0.as_slice());
            other.column != column.column
                && other.role == Role::Reading(Some(Quantity::InsulationResistance))
                && resistance(units) == Some(Quantity::InsulationResistance)
        })
    }

    /// "EX-2, phase V: leakage at the bushing, replaced", "wet ones left in the oven room overnight" below readings under a title in megohms:
    /// what was found or done, and no name of what was measured.
    pub(super) fn is_remark_below(&self, caption: &Caption, concept: Concept) -> bool {
        let is_below = self.scene.blocks.get(self.block).is_some_and(|block| block.rows.1 < caption.item.row);
        (concept == Concept::LeakageCurrent || is_temperature(concept))
            && is_below
            && caption.units.is_empty()
            && self.caption_units().is_some_and(|units| resistance(Some(units)) == Some(Quantity::InsulationResistance))
    }

    /// "Limits" right over a list of labels and values, or over the lines above it: what they tell was set and not measured.
    pub(super) fn stands_under_limits(&self) -> bool {
        let Some(block) = self.scene.blocks.get(self.block) else { return false };
        let cells = |row: u32| self.view.line(self.view.line_at(row)).iter().filter(|item| item.row == row).count();
        let is_filled = |row: u32| cells(row) > 0;
        // "Least value | 100 MΩ" tells one limit, and is no title.
        let is_title = |row: u32| cells(row) == 1;
        self.scene.loose.captions.iter().any(|caption| {
            let (text, item) = (self.view.cell(&caption.item).text.trim(), &caption.item);
            let is_near = item.row < block.rows.0 && block.rows.0 - item.row <= LIMITS_BELOW;
            is_near
                && is_title(item.row)
                && (block.columns.0..=block.columns.1).contains(&item.column)
                && text.split_whitespace().count() <= LIMIT_WORDS
                && marks::statistic(text) == Some(Statistic::Limit)
                && (item.row + 1..block.rows.0).all(is_filled)
        })
    }

    /// "After bearing change" beside a column that names its quantity: on what occasion the line was measured, and no figure of a bearing.
    pub(super) fn tells_occasion(&self, label: &Heading, column: &Column) -> bool {
        let text = |item: &Item| self.view.grid.cells.get(item.cell as usize).map(|cell| cell.text.as_str());
        matches!(column.role, Role::Reading(Some(_)))
            && label.concepts.iter().all(|(concept, ..)| fit::quantity(*concept).is_none())
            && label.items.first().and_then(text).is_some_and(windrow_text::round::names_round)
    }

    /// The title right over the block, where it speaks of surges alone and no column beside is of resistances.
    pub(super) fn title_of_surges(&self) -> Option<Item> {
        let has_resistances = match self.scene.blocks.get(self.block)?.body {
            Body::Table(table) => self.scene.tables.get(table)?.columns.iter().any(|column| {
                let units = column.heading.units.iter().flat_map(|by| &by.value.0);
                let is_reading = matches!(column.role, Role::Reading(_));
                is_reading && units.clone().any(|meaning| meaning.unit.dimension == Dimension::Resistance)
            }),
            Body::Pairs(_) | Body::Prose(_) => false,
        };
        let tell = |caption: &Caption| {
            let named: Vec<Quantity> = caption.concepts.iter().filter_map(|concept| fit::quantity(*concept)).collect();
            // "Essai d'onde de choc entre spires" names the test and no quantity.
            let names_test =
                named.is_empty() && windrow_text::marks::names_surge_test(&self.view.cell(&caption.item).text);
            let is_told = names_test || !named.is_empty();
            is_told.then(|| named.iter().all(|quantity| is_of_surges(*quantity)).to_string())
        };
        let Found::One(index, Via::Block | Via::Section) = self.scene.caption(self.block, tell) else { return None };
        let caption = self.scene.loose.captions.get(index).filter(|_| !has_resistances)?;
        let is_title = !caption.concepts.contains(&Concept::Limit);
        (is_title && tell(caption).as_deref() == Some("true")).then_some(caption.item)
    }

    /// "Surge voltage: 1500 V" right above "Deviation U-V: 3.6 %" in a form: the test that the deviations are of.
    pub(super) fn pair_of_surges(&self, row: u32) -> Option<Item> {
        let Body::Pairs(pairs) = &self.scene.blocks.get(self.block)?.body else { return None };
        let pairs = pairs.iter().filter_map(|at| self.scene.loose.pairs.get(*at));
        let above = pairs.filter(|pair| pair.label.row < row);
        let nearest = above.rev().find(|pair| pair.heading.concept() != Some(Concept::Unbalance))?;
        let quantity = nearest.heading.concept().and_then(fit::quantity)?;
        is_of_surges(quantity).then_some(nearest.label)
    }
}
