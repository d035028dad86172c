//! A nameplate without readings: a card of one machine, or a register of a single line, whose labels read as pairs.

use super::Reader;
use super::asset::plate_field;
use crate::loose::Pair;
use crate::view::Orientation;
use windrow_model::Text;
use windrow_model::raw::{Mention, Renumbered, Told, Via};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Registers the machine of a sheet that tells a nameplate and nothing else. Several tags on one sheet are no card.
    pub(super) fn note_card(&mut self) {
        let has_more = !self.groups.is_empty() || !self.machines.is_empty() || self.holds.cells().next().is_some();
        let has_readings = self.scene.tables.iter().any(crate::context::ReadTable::has_readings);
        if has_more || has_readings || self.view.orientation != Orientation::Upright {
            return;
        }
        if let Some((mention, cell)) = self.renumbered().or_else(|| self.card()) {
            self.machines.push((mention, cell));
        }
    }

    /// A list of renumbered machines that has a single line.
    fn renumbered(&self) -> Option<(Mention, u32)> {
        let (old, new) = (self.only(Concept::OldTag).ok()??, self.only(Concept::NewTag).ok()?);
        let new = match new {
            Some(new) => new,
            None => self.only(Concept::Tag).ok()??,
        };
        let on = match self.only(Concept::Date).ok()? {
            Some(pair) => {
                let meanings = crate::dates::meanings(pair.cell(self.view), pair.sense(self.view));
                // A day that can be read in two ways decides nothing: the line stays unread.
                let [only] = meanings.as_slice() else { return None };
                Some(self.told(only.date, Via::Block, &pair.value))
            }
            None => None,
        };
        let mention = Mention {
            tag: Some(self.on_card(new)),
            other_tags: vec![self.on_card(old)],
            renumbered: Some(Renumbered { on }),
            site: self.caption_site(),
            ..Mention::default()
        };
        Some((mention, new.value.cell))
    }

    fn card(&self) -> Option<(Mention, u32)> {
        let (tag, serial) = (self.only(Concept::Tag).ok()?, self.only(Concept::Serial).ok()?);
        let cell = tag.or(serial)?.value.cell;
        let text = |pair: Option<&Pair>| pair.map(|pair| self.on_card(pair));
        let other = |concept: Concept| self.only(concept).ok().flatten().map(|pair| self.on_card(pair));
        let mut mention = Mention {
            tag: text(tag),
            serial: text(serial),
            site: other(Concept::Site),
            area: other(Concept::Area),
            description: other(Concept::Description),
            list_key: other(Concept::ListKey),
            location: other(Concept::FunctionalLocation),
            parent: other(Concept::Parent),
            ..Mention::default()
        };
        mention.site = mention.site.or_else(|| self.caption_site());
        for pair in &self.scene.loose.pairs {
            let Some(concept) = pair.heading.concept().filter(|concept| plate_field(*concept).is_some()) else {
                continue;
            };
            let value = self.plate_value(concept, pair.cell(self.view), pair.sense(self.view), &pair.heading);
            if let Some((field, value)) = value
                && mention.plate.iter().all(|(known, _)| *known != field)
            {
                mention.plate.push((field, self.told(value, Via::Block, &pair.value)));
            }
        }
        (!mention.plate.is_empty() || mention.list_key.is_some() || mention.location.is_some())
            .then_some((mention, cell))
    }

    /// The one pair that tells `concept`; an error where there are several.
    fn only(&self, concept: Concept) -> Result<Option<&Pair>, ()> {
        let mut found = self.scene.loose.pairs.iter().filter(|pair| pair.heading.concept() == Some(concept));
        match (found.next(), found.next()) {
            (_, Some(_)) => Err(()),
            (one, None) => Ok(one),
        }
    }

    fn on_card(&self, pair: &Pair) -> Told<Text> {
        self.told(pair.cell(self.view).text.trim().into(), Via::Block, &pair.value)
    }
}
