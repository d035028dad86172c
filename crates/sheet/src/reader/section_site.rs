//! The place that a title tells of one of several tables that look alike: "M.V. Sandpiper" and "M.V. Turnstone" over pumps of the same names.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::{Body, ReadTable};
use crate::heading::Heading;
use crate::loose::Caption;
use crate::view::{Item, Orientation};
use std::collections::BTreeSet;
use windrow_model::Text;
use windrow_model::raw::{Told, Via};
use windrow_text::vocabulary::Concept;

/// Rows above a header in which its titles stand.
const TITLE_ROWS: u32 = 6;
/// Most words of a title that is a name.
const MOST_WORDS: usize = 6;
/// Most tables of a sheet that are compared.
const MOST_TABLES: usize = 60;

impl Reader<'_, '_, '_> {
    /// The first name among the titles of the block that a table of the same headings has not, where both tell machines of one name.
    pub(super) fn section_site(&self) -> Option<Told<Text>> {
        let Body::Table(own) = self.scene.blocks.get(self.block)?.body else { return None };
        let tables = &self.scene.tables;
        if self.view.orientation != Orientation::Upright || tables.len() > MOST_TABLES {
            return None;
        }
        let table = tables.get(own)?;
        let (heads, names, titles) = (self.heads(table), self.machines_of(table), self.names_above(table));
        let others = tables.iter().enumerate().filter(|(at, other)| *at != own && self.heads(other) == heads);
        let rivals = others.filter(|(_, other)| !names.is_disjoint(&self.machines_of(other)));
        let told: Vec<BTreeSet<&str>> =
            rivals.map(|(_, other)| self.names_above(other).into_iter().map(|(text, _)| text).collect()).collect();
        // A table without a title of its own goes on with the one above.
        let (text, item) = titles
            .into_iter()
            .find(|(text, _)| told.iter().any(|others| !others.is_empty() && !others.contains(text)))?;
        Some(self.told(text.into(), Via::Section, &item))
    }

    /// "Pumping station Elmside, quarterly tests" right above a table: the place that it names, which is a title of its own elsewhere on the sheet.
    pub(super) fn site_in_title(&self) -> Option<Told<Text>> {
        let block = self.scene.blocks.get(self.block)?;
        let above = self.scene.gap_above(self.block);
        let captions = &self.scene.loose.captions;
        let is_place = |concept: &Concept| matches!(concept, Concept::Site | Concept::Area);
        let places = captions.iter().filter(|caption| caption.concepts.iter().any(is_place) && self.is_name(caption));
        let places: BTreeSet<&str> = places.map(|caption| self.view.cell(&caption.item).text.trim()).collect();
        // The only place of a sheet is that of all its tables.
        if places.len() < 2 {
            return None;
        }
        let is_title = |caption: &&Caption| {
            let item = &caption.item;
            let is_over = item.column <= block.columns.1 && block.columns.0 <= item.right.max(item.column);
            (item.row > above || above == 0) && item.row < block.rows.0 && is_over
        };
        let mut told = captions.iter().filter(is_title).flat_map(|caption| {
            let text = self.view.cell(&caption.item).text.trim();
            // A title that is a place and nothing else is told by those who look for such.
            let is_within = move |place: &&&str| text != **place && text.contains(**place);
            places.iter().filter(is_within).map(move |place| (*place, caption.item))
        });
        let (place, item) = told.next()?;
        told.all(|(other, _)| other == place).then(|| self.told(place.into(), Via::Section, &item))
    }

    /// "Site | Elmside | Oakham" over "Asset | P-1 | P-1": the place that stands over the name of a column, in the line of a label for places.
    pub(super) fn site_over(&self, heading: &Heading, name: &Item) -> Option<Told<Text>> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        let corner = self.scene.tables.get(table)?.columns.first()?;
        let is_label = |item: &&Item| self.view.sense(item).concept() == Some(Concept::Site);
        let label = corner.heading.items.iter().find(is_label).filter(|label| label.row != name.row)?;
        let over = heading.items.iter().find(|item| item.row == label.row)?;
        Some(self.told(self.view.cell(over).text.trim().into(), Via::Column, over))
    }

    /// The texts of a table's headings.
    fn heads(&self, read: &ReadTable) -> Vec<&str> {
        read.table.header.iter().flatten().map(|item| self.view.cell(item).text.trim()).collect()
    }

    /// The names in a table's column of machines.
    fn machines_of(&self, read: &ReadTable) -> BTreeSet<&str> {
        let names = |column: &&Column| column.role == Role::Field(Concept::Tag);
        let Some(column) = read.columns.iter().find(names).map(|column| column.column) else { return BTreeSet::new() };
        let own = read.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == column);
        own.map(|item| self.view.cell(item).text.trim()).collect()
    }

    /// The titles right above a table that are names and say nothing else.
    fn names_above(&self, read: &ReadTable) -> Vec<(&str, Item)> {
        let Some(top) = read.table.header.iter().flatten().map(|item| item.row).min() else { return Vec::new() };
        let ends = self.scene.tables.iter().filter_map(|other| other.table.body.last().map(|line| line.row));
        let floor = ends.filter(|end| *end < top).max();
        let is_above = |caption: &&Caption| {
            let row = caption.item.row;
            row < top && row + TITLE_ROWS >= top && floor.is_none_or(|floor| row > floor)
        };
        // Over tables side by side each title is of the one that it stands over.
        let columns = |read: &ReadTable| read.table.columns;
        let is_beside = |other: &&ReadTable| {
            other.table.top() <= read.table.bottom()
                && read.table.top() <= other.table.bottom()
                && (columns(other).1 < columns(read).0 || columns(read).1 < columns(other).0)
        };
        let has_fellow = self.scene.tables.iter().any(|other| is_beside(&other));
        let is_over = |item: &Item| {
            !has_fellow || item.column <= columns(read).1 && columns(read).0 <= item.right.max(item.column)
        };
        let above = self.scene.loose.captions.iter().filter(is_above).filter(|caption| is_over(&caption.item));
        let above = above.filter(|caption| self.is_name(caption));
        above.map(|caption| (self.view.cell(&caption.item).text.trim(), caption.item)).collect()
    }

    fn is_name(&self, caption: &Caption) -> bool {
        let text = self.view.cell(&caption.item).text.trim();
        let is_place = |concept: &Concept| matches!(concept, Concept::Site | Concept::Area);
        // The "M.V." before the name of a ship is no unit.
        let is_unit = |told: &str| !told.contains('.');
        let says_more = !caption.dates.is_empty()
            || caption.units.iter().any(|(_, told)| is_unit(told))
            || !caption.heading.circuits.is_empty()
            || !caption.concepts.first().is_none_or(is_place)
            || caption.concepts.iter().any(|concept| crate::fit::quantity(*concept).is_some())
            || caption.tag.is_some();
        text.split_whitespace().count() <= MOST_WORDS
            && text.starts_with(char::is_uppercase)
            && !text.contains(|c: char| c.is_ascii_digit() || matches!(c, ':' | '='))
            && !text.ends_with('.')
            && !says_more
            && crate::places::may_be_place(text)
    }
}
