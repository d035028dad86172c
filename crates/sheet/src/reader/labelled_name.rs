//! "MOT. TB-7 | DRIER FAN 1" in one line of a title: of two names that may be machines' the one behind a word for machines is its name.

use super::Reader;
use crate::context::Found;
use crate::loose::Caption;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

/// From this likeness on a text is made as codes of machines are.
const CODE: f32 = 0.85;

impl Reader<'_, '_, '_> {
    /// What a title names, where other names beside it in its line are words with a number and it alone is a code behind a label.
    pub(super) fn labelled_in_line(&self, found: Found<usize>) -> Found<usize> {
        if !matches!(found, Found::Many(_)) {
            return found;
        }
        let tell = |caption: &Caption| {
            let name = caption.tag.as_deref().filter(|name| tag::likeness(name) >= CODE && !name.contains(' '))?;
            caption.concepts.contains(&Concept::Tag).then(|| tag::fold(name))
        };
        let Found::One(index, via) = self.scene.identity_caption(self.block, tell) else { return found };
        let captions = &self.scene.loose.captions;
        let own = captions[index].item;
        let rivals = captions
            .iter()
            .filter(|other| other.item.row == own.row && other.item.cell != own.cell && other.tag.is_some());
        let are_words = rivals.filter_map(|other| other.tag.as_deref()).all(|name| name.contains(' '));
        if are_words { Found::One(index, via) } else { found }
    }
}
