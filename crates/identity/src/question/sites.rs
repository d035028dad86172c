//! What is known of the machines that share a tag at several sites.

use super::{MOST_CHOICES, Names, Open};
use crate::keys::Position;
use std::collections::BTreeMap;

/// What is known of the machines of one tag, written once.
pub(super) struct Sites<'a> {
    open: &'a Open<'a>,
    written: BTreeMap<String, (Vec<String>, String)>,
}

impl<'a> Sites<'a> {
    pub(super) fn new(open: &'a Open<'a>) -> Self {
        Self { open, written: BTreeMap::new() }
    }

    /// The machines as answers, and what is told of each.
    pub(super) fn of(&mut self, tag: &str, names: &Names) -> (Vec<String>, String) {
        if let Some(known) = self.written.get(tag) {
            return known.clone();
        }
        let positions = self.open.positions.of_tag(tag);
        let more = positions.len().saturating_sub(MOST_CHOICES);
        let (mut choices, mut parts) = (Vec::new(), Vec::new());
        for position in positions.take(MOST_CHOICES) {
            let name = names.position(position);
            parts.push(format!("{name} ({})", self.described(position)));
            choices.push(name);
        }
        if more > 0 {
            parts.push(format!("and {more} more"));
        }
        let known = (choices, parts.join("; "));
        self.written.insert(tag.to_owned(), known.clone());
        known
    }

    fn described(&self, position: &Position) -> String {
        let profile = self.open.positions.profile(position, self.open.mentions, self.open.keys);
        let indexes = self.open.positions.mentions.get(position).map_or(&[][..], Vec::as_slice);
        let days = || indexes.iter().filter_map(|index| self.open.mentions.get(*index)?.on);
        let mut parts = vec![format!("{} records", indexes.len())];
        if let (Some(first), Some(last)) = (days().min(), days().max()) {
            parts.push(format!("{} to {}", first.year(), last.year()));
        }
        parts.extend(profile.voltage_v.map(|volts| format!("rated {volts} V")));
        parts.join(", ")
    }
}
