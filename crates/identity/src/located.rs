//! Functional locations of the owners' equipment list: names of the positions to which the list gives tags.
//!
//! Records may call a machine by its tag or by where it stands. The list is the authority for both, so that they are two names of one
//! position, unless it puts several machines at one location or the location is itself another machine's tag.

use crate::keys::{Keys, Position};
use crate::prefix::Prefixes;
use crate::renumber::Used;
use crate::resolve::MentionIn;
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::tag;

/// Pairs of names that the list tells of one position, the tag first.
pub(crate) fn read(mentions: &[MentionIn<'_>], keys: &[Keys], prefixes: &Prefixes) -> BTreeSet<(Position, Position)> {
    let mut at: BTreeMap<Position, BTreeSet<Position>> = BTreeMap::new();
    let mut tags: BTreeSet<&String> = BTreeSet::new();
    for (mention, keys) in mentions.iter().zip(keys) {
        let (Some(told), Some(position)) = (&mention.mention.location, keys.position()) else { continue };
        tags.extend(&keys.tag);
        let text = told.value.trim();
        let read = prefixes.read(text, position.0.as_ref());
        let location = read.map_or_else(|| (position.0.clone(), tag::fold(text)), |(site, tag)| (Some(site), tag));
        at.entry(location).or_default().insert(position);
    }
    at.retain(|location, positions| positions.len() == 1 && !location.1.is_empty() && !tags.contains(&location.1));
    if at.is_empty() {
        return BTreeSet::new();
    }
    let used = Used::of(mentions, keys);
    let pairs =
        at.into_iter().flat_map(|(location, positions)| positions.into_iter().map(move |tag| (tag, location.clone())));
    pairs.filter_map(|(tag, location)| used.pair_at_one_site(tag, location)).collect()
}

#[cfg(test)]
mod tests {
    use crate::resolve::{MentionIn, resolve};
    use windrow_model::Text;
    use windrow_model::place::Place;
    use windrow_model::raw::{Mention, Told, Via};

    fn told(text: &str) -> Option<Told<Text>> {
        (!text.is_empty()).then(|| Told::at(text.into(), Via::Row, text, Place::new(None, "A1")))
    }

    /// Machines of a list of `(tag, location)`, then of records that name one `tag` each.
    fn machines(list: &[(&str, &str)], records: &[&str]) -> Vec<Option<String>> {
        let listed = list.iter().map(|(tag, location)| Mention {
            tag: told(tag),
            location: told(location),
            ..Mention::default()
        });
        let named = records.iter().map(|tag| Mention { tag: told(tag), ..Mention::default() });
        let all: Vec<Mention> = listed.chain(named).collect();
        let place = Place::new(None, "A1");
        let is_test = |index: usize| (index >= list.len()).then_some(&place);
        let mentions: Vec<MentionIn<'_>> = all
            .iter()
            .enumerate()
            .map(|(index, mention)| MentionIn {
                source_file: "a.csv",
                mention,
                on: None,
                test: is_test(index),
                origin: "",
                record: None,
            })
            .collect();
        resolve(&mentions, &[]).asset_of
    }

    #[test]
    fn a_record_that_names_the_location_is_of_the_machine_that_the_list_puts_there() {
        let found =
            machines(&[("P-1", "OAK-10-PMP-001"), ("P-2", "OAK-10-PMP-002")], &["oak 10 pmp 001", "P-1", "P-2"]);
        assert!(found[2].is_some() && found[2] == found[0] && found[3] == found[0]);
        assert_ne!(found[4], found[0]);
    }

    #[test]
    fn a_location_of_two_machines_or_one_that_is_a_tag_names_neither() {
        let shared = machines(&[("P-1", "OAK-10-PMP"), ("P-2", "OAK-10-PMP")], &["OAK-10-PMP"]);
        assert!(shared[0] != shared[1] && shared[2] != shared[0] && shared[2] != shared[1], "{shared:?}");
        let tag = machines(&[("P-1M", "P-1"), ("P-1", "OAK-10-PMP-001")], &["P-1"]);
        assert!(tag[2] == tag[1] && tag[0] != tag[1], "{tag:?}");
    }
}
