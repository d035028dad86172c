//! Days that the sheet tells and nothing explains, beside the day that a title gave to tests.

use super::is_far;
use crate::context::Body;
use crate::reader::Reader;
use crate::reader::test::Group;
use crate::view::Item;
use std::collections::BTreeSet;
use windrow_model::raw::Told;
use windrow_model::{PartialDate, Place, Precision};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Days in loose texts that are the date of no test: under labels that nothing explains, or in titles that say nothing else.
    pub(super) fn days_unused(&self) -> Vec<(Item, PartialDate)> {
        let performed = self.groups.iter().filter_map(|group| group.test.performed.as_ref());
        let used: BTreeSet<Place> = performed.filter_map(|told| told.place.clone()).collect();
        let mut days = Vec::new();
        for pair in &self.scene.loose.pairs {
            let meanings = crate::dates::meanings(pair.cell(self.view), pair.sense(self.view));
            if let ([meaning], None) = (meanings.as_slice(), pair.heading.concept()) {
                days.push((pair.value, meaning.date));
            }
        }
        for caption in &self.scene.loose.captions {
            let is_bare = caption.concepts.is_empty() && caption.footnote.is_none();
            if let ([meaning], true) = (caption.dates.as_slice(), is_bare) {
                days.push((caption.item, meaning.date));
            }
        }
        days.retain(|(item, date)| date.precision == Precision::Day && !used.contains(&self.place(item)));
        days
    }

    /// Days that stand alone outside of tables, under no label: no rivals of a sentence, for a letter bears its own day.
    pub(super) fn lone_days(&self) -> Vec<(Item, PartialDate)> {
        let loose = &self.scene.loose;
        let pairs = loose.pairs.iter().flat_map(|pair| [pair.label.cell, pair.value.cell]);
        let labelled: BTreeSet<u32> = pairs.chain(loose.captions.iter().map(|caption| caption.item.cell)).collect();
        let is_told = |cell: u32| labelled.contains(&cell) || self.fates.get(cell as usize).is_none_or(Option::is_some);
        let mut days = Vec::new();
        for item in self.view.items().iter().filter(|item| !is_told(item.cell)) {
            let meanings = crate::dates::meanings(self.view.cell(item), self.view.sense(item));
            if let [meaning] = meanings.as_slice()
                && !meaning.bare_number
            {
                days.push((*item, meaning.date));
            }
        }
        days
    }

    /// The cell of a day that stands as near to a test's block as the one that a title gave it, and differs.
    pub(super) fn rival_day(
        &self,
        group: &Group,
        days: &[(Item, PartialDate)],
        lone: &[(Item, PartialDate)],
    ) -> Option<u32> {
        let told = group.test.performed.as_ref()?;
        if !is_far(told.via) || self.is_labelled_date(told) {
            return None;
        }
        let (above, top) = (self.scene.gap_above(group.block), self.scene.blocks.get(group.block)?.rows.0);
        let is_near = |item: &Item| item.row <= top && (item.row > above || above == 0);
        let lone = if windrow_text::date::read(told.text.trim()).is_empty() { &[] } else { lone };
        // Of the days over the entries of a notebook the last one before the sentence is its own.
        let is_prose = matches!(self.scene.blocks.get(group.block)?.body, Body::Prose(_));
        let own = || self.view.items().iter().find(|item| told.place.as_ref() == Some(&self.place(item)));
        let row = if is_prose { own().map(|item| item.row) } else { None };
        let is_later = |item: &Item| row.is_none_or(|row| item.row > row);
        let rival =
            days.iter().chain(lone).find(|(item, date)| is_near(item) && is_later(item) && *date != told.value)?;
        Some(rival.0.cell)
    }

    /// Whether a label that means the day of a test leads to the date, or its text says that it is.
    pub(super) fn is_labelled_date(&self, told: &Told<PartialDate>) -> bool {
        if windrow_text::date::measured_on(&told.text).is_some() {
            return true;
        }
        let Some(place) = &told.place else { return false };
        let mut dates = self.scene.loose.pairs.iter().filter(|pair| pair.heading.concept() == Some(Concept::Date));
        dates.any(|pair| self.place(&pair.value) == *place)
    }
}
