//! Functional locations of the owners' equipment list: names of the positions to which the list gives tags.
//!
//! Records may call a machine by its tag or by where it stands. The list is the authority for both, so that they are two names of one
//! position, unless it puts several machines at one location, or the location is itself the tag of a machine that it lists. Where nameplates
//! contradict, or the location is that of more than the machine (a hall, a unit, a plant), a person is asked.

use crate::evidence::{Evidence, SURE};
use crate::keys::{Keys, Position};
use crate::prefix::Prefixes;
use crate::renumber::Used;
use crate::resolve::MentionIn;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Text;
use windrow_model::raw::Told;
use windrow_text::tag;

/// Weight of a location that holds more than the machine.
const COARSE: f64 = -2.0;
/// Weight of a list whose locations records use for other machines.
const AMISS: f64 = -1.0;
/// From this share of the locations whose nameplates can be compared on, a list's locations are no names of its machines (our own estimate).
const OFTEN: f64 = 0.25;

/// Two names that the list tells of one position.
#[derive(Debug, Clone)]
pub(crate) struct Located {
    pub(crate) tag: Position,
    pub(crate) location: Position,
    /// What the list itself says for and against it.
    pub(crate) evidence: Vec<Evidence>,
}

/// All names that lists tell of one position.
pub(crate) fn read(mentions: &[MentionIn<'_>], keys: &[Keys], prefixes: &Prefixes) -> Vec<Located> {
    let mut at: BTreeMap<Position, BTreeSet<Position>> = BTreeMap::new();
    for (mention, keys) in mentions.iter().zip(keys) {
        let (Some(told), Some(position)) = (&mention.mention.location, keys.position()) else { continue };
        let text = told.value.trim();
        let read = prefixes.read(text, position.0.as_ref());
        let location = read.map_or_else(|| (position.0.clone(), tag::fold(text)), |(site, tag)| (Some(site), tag));
        at.entry(location).or_default().insert(position);
    }
    if at.is_empty() {
        return Vec::new();
    }
    let tags = listed_tags(mentions, keys);
    at.retain(|location, positions| positions.len() == 1 && !location.1.is_empty() && !tags.contains(&location.1));
    let (used, wider) = (Used::of(mentions, keys), Wider::of(mentions, keys));
    let pairs =
        at.into_iter().flat_map(|(location, positions)| positions.into_iter().map(move |tag| (tag, location.clone())));
    let located = |(tag, location): (Position, Position)| {
        let mut evidence = vec![about("the equipment list puts the machine there", SURE)];
        if wider.is_more_than(&location.1, &tag) {
            evidence.push(about("the location is that of more than this machine", COARSE));
        }
        let (tag, location) = used.pair_at_one_site(tag, location)?;
        Some(Located { tag, location, evidence })
    };
    pairs.filter_map(located).collect()
}

/// Says of each location that no nameplate speaks for that others of the lists are used for other machines, where that is not rare. `plates` is
/// what nameplates say of each.
pub(crate) fn doubt(located: &mut [Located], plates: &[Vec<Evidence>]) {
    let is_against = |plates: &&Vec<Evidence>| plates.iter().any(|one| one.weight < 0.0);
    let compared = plates.iter().filter(|plates| !plates.is_empty()).count();
    let against = plates.iter().filter(is_against).count();
    #[expect(clippy::cast_precision_loss, reason = "counts of lines of a list")]
    let is_often = against > 0 && against as f64 >= OFTEN * compared as f64;
    if is_often {
        for (one, _) in located.iter_mut().zip(plates).filter(|(_, plates)| plates.is_empty()) {
            one.evidence.push(about("records use other locations of the list for other machines", AMISS));
        }
    }
}

fn about(what: &'static str, weight: f64) -> Evidence {
    Evidence { column: "functional_location", what, weight, a: String::new(), b: String::new() }
}

/// Tags of all machines on the lists that tell locations, of those too whose own location is not told.
fn listed_tags<'k>(mentions: &[MentionIn<'_>], keys: &'k [Keys]) -> BTreeSet<&'k String> {
    let list = |mention: &MentionIn<'_>, told: &Option<Told<Text>>| {
        let place = told.as_ref().and_then(|told| told.place.as_ref());
        (mention.source_file.to_owned(), place.and_then(|place| place.sheet.clone()))
    };
    let with_location = mentions.iter().filter(|mention| mention.mention.location.is_some());
    let lists: BTreeSet<_> = with_location.map(|mention| list(mention, &mention.mention.location)).collect();
    let listed = mentions.iter().zip(keys).filter(|(mention, _)| {
        mention.mention.location.is_some()
            || mention.test.is_none() && lists.contains(&list(mention, &mention.mention.tag))
    });
    listed.filter_map(|(_, keys)| keys.tag.as_ref()).collect()
}

/// Names of what holds more than one machine.
struct Wider {
    /// Sites, areas, and what begins other locations.
    places: BTreeSet<String>,
    /// What machines belong to, with the machines.
    parents: BTreeMap<String, BTreeSet<Position>>,
}

impl Wider {
    fn of(mentions: &[MentionIn<'_>], keys: &[Keys]) -> Self {
        let mut wider = Self { places: BTreeSet::new(), parents: BTreeMap::new() };
        for (mention, keys) in mentions.iter().zip(keys) {
            let told = mention.mention;
            wider.places.extend([&told.site, &told.area].into_iter().flatten().map(|told| tag::fold(&told.value)));
            if let Some(location) = &told.location {
                let text = location.value.trim();
                let ends = text.match_indices(|letter: char| !letter.is_alphanumeric());
                wider.places.extend(ends.filter_map(|(at, _)| text.get(..at)).map(tag::fold));
            }
            if let (Some(parent), Some(position)) = (&told.parent, keys.position()) {
                wider.parents.entry(tag::fold(&parent.value)).or_default().insert(position);
            }
        }
        wider
    }

    /// Whether a location, folded, is that of more than the machine that the list puts there.
    fn is_more_than(&self, location: &str, machine: &Position) -> bool {
        let others_belong = |machines: &BTreeSet<Position>| machines.iter().any(|other| other != machine);
        self.places.contains(location) || self.parents.get(location).is_some_and(others_belong)
    }
}

#[cfg(test)]
mod tests {
    use crate::resolve::{MentionIn, Resolved, resolve};
    use windrow_model::place::Place;
    use windrow_model::raw::{Mention, PlateField, PlateValue, Told, Via};
    use windrow_model::{Decision, Question, Text};

    fn told(text: &str) -> Option<Told<Text>> {
        (!text.is_empty()).then(|| Told::at(text.into(), Via::Row, text, Place::new(None, "A1")))
    }

    /// Machines of a list of `(tag, location)`, then of records that name one `tag` each.
    fn machines(list: &[(&str, &str)], records: &[&str]) -> Vec<Option<String>> {
        resolved(list, records, &[], &[]).asset_of
    }

    /// As [`machines`], with rated voltages of some of them by their place.
    fn resolved(list: &[(&str, &str)], records: &[&str], volts: &[(usize, f64)], rulings: &[Decision]) -> Resolved {
        let listed = list.iter().map(|(tag, location)| Mention {
            tag: told(tag),
            location: told(location),
            ..Mention::default()
        });
        let named = records.iter().map(|tag| Mention { tag: told(tag), ..Mention::default() });
        let mut all: Vec<Mention> = listed.chain(named).collect();
        for (index, volts) in volts {
            let told = Told::at(PlateValue::Number(*volts), Via::Row, volts.to_string(), Place::new(None, "C1"));
            all[*index].plate.push((PlateField::RatedVoltage, told));
        }
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
        resolve(&mentions, rulings)
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
        let bare = machines(&[("P-1M", "P-1"), ("P-1", "")], &["P-1", "P-1M"]);
        assert!(
            bare[2] == bare[1] && bare[3] == bare[0] && bare[0] != bare[1],
            "its own location is not told: {bare:?}"
        );
    }

    /// A generator of 13.8 kV called "Unit 1", and the motor of a pump that the list puts into unit 1.
    #[test]
    fn a_location_whose_records_are_of_another_nameplate_is_asked_about_and_a_ruling_settles_it() {
        let list = [("CWP-1A", "UNIT 1"), ("CWP-2A", "UNIT 2")];
        let (records, volts) = (["Unit 1", "CWP-1A"], [(2, 13_800.0), (3, 6600.0)]);
        let found = resolved(&list, &[&records[..], &["Unit 2"]].concat(), &volts, &[]);
        assert_ne!(found.asset_of[4], found.asset_of[1], "nothing speaks for that one either");
        assert_eq!(found.holds.len(), 2);
        let found = resolved(&list, &records, &volts, &[]);
        assert_ne!(found.asset_of[2], found.asset_of[3]);
        let [hold] = found.holds.as_slice() else { panic!("{:?}", found.holds) };
        assert_eq!(hold.question, Question::SameMachine.code());
        assert!(hold.context.contains("13800") && hold.context.contains("6600"), "{}", hold.context);
        for (answer, is_one) in [("same as CWP-1A", true), ("different from CWP-1A", false)] {
            let ruling = Decision {
                question: Question::SameMachine,
                answer: answer.to_owned(),
                file: Some("a.csv".to_owned()),
                sheet: None,
                cells: hold.source_cell.as_ref().map(ToString::to_string),
                text: Some(hold.raw_text.to_string()),
                by: None,
                on: None,
                why: None,
            };
            let ruled = resolved(&list, &records, &volts, &[ruling]);
            assert_eq!(ruled.asset_of[2] == ruled.asset_of[3], is_one, "{answer}");
            assert!(ruled.holds.iter().all(|hold| hold.question != Question::SameMachine.code()), "{answer}");
        }
    }

    #[test]
    fn a_location_that_holds_others_is_asked_about() {
        let list = [("P-1", "OAK-10"), ("P-2", "OAK-10-PMP-002"), ("P-3", "OAK-20-PMP-003")];
        let found = resolved(&list, &["OAK-10", "P-1"], &[], &[]);
        assert_ne!(found.asset_of[3], found.asset_of[4]);
        assert!(found.holds.iter().any(|hold| hold.question == Question::SameMachine.code()), "{:?}", found.holds);
    }
}
