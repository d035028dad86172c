//! Nameplates as forms: labels with values for one machine after another, without any reading.

use super::Reader;
use super::asset::plate_field;
use crate::loose::Pair;
use crate::view::{Item, Orientation};
use std::collections::BTreeSet;
use windrow_model::raw::{Mention, Via};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Hands over the machines that the forms of a sheet without readings tell: those with a tag and a serial number, by which tests
    /// elsewhere name them.
    pub(super) fn register_forms(&mut self) {
        let scene = self.scene;
        if !scene.blocks.is_empty() || self.view.orientation == Orientation::Turned {
            return;
        }
        for form in forms(&scene.loose.pairs) {
            if let Some((mention, item)) = self.registered_form(&form) {
                self.machines.push((mention, item.cell));
            }
        }
    }

    fn registered_form(&self, form: &[&Pair]) -> Option<(Mention, Item)> {
        let mut mention = Mention::default();
        let mut at = None;
        for pair in form {
            let Some(concept) = pair.heading.concept() else { continue };
            let cell = pair.cell(self.view);
            let text = || self.told(cell.text.trim().into(), Via::Block, &pair.value);
            match concept {
                Concept::Tag => (mention.tag, at) = (Some(text()), Some(pair.value)),
                Concept::Serial => mention.serial = Some(text()),
                Concept::Description => mention.description = Some(text()),
                Concept::Site => mention.site = Some(text()),
                Concept::Area => mention.area = Some(text()),
                Concept::Date => return None,
                _ if plate_field(concept).is_some() => {
                    let value = self.plate_value(concept, cell, pair.sense(self.view), &pair.heading);
                    mention
                        .plate
                        .extend(value.map(|(field, value)| (field, self.told(value, Via::Block, &pair.value))));
                }
                _ => {}
            }
        }
        mention.site = mention.site.or_else(|| self.caption_site());
        mention.serial.as_ref()?;
        at.map(|at| (mention, at))
    }
}

/// Pairs form by form: a label that the form has already begins the next one. Forms side by side are told apart by their columns.
fn forms(pairs: &[Pair]) -> Vec<Vec<&Pair>> {
    let key = |pair: &&Pair| matches!(pair.heading.concept(), Some(Concept::Tag));
    let columns: BTreeSet<u32> = pairs.iter().filter(key).map(|pair| pair.label.column).collect();
    let columns: Vec<u32> = columns.into_iter().collect();
    let of = |pair: &Pair| columns.iter().rposition(|column| *column <= pair.label.column).unwrap_or(0);
    let mut forms: Vec<Vec<&Pair>> = Vec::new();
    for number in 0..columns.len() {
        let mut form: Vec<&Pair> = Vec::new();
        for pair in pairs.iter().filter(|pair| of(pair) == number) {
            let has = |concept| form.iter().any(|known| known.heading.concept() == Some(concept));
            if pair
                .heading
                .concept()
                .is_some_and(|concept| matches!(concept, Concept::Tag | Concept::Serial) && has(concept))
            {
                forms.push(std::mem::take(&mut form));
            }
            form.push(pair);
        }
        forms.push(form);
    }
    forms
}
