//! Positions of a plant, and which of their names are one position.

use crate::asset::{most_told, plate_number};
use crate::evidence::{Evidence, LIKELY, Profile, SURE, Word, compare, total};
use crate::grouped::grouped;
use crate::keys::{Keys, Position, has_slip, skeleton};
use crate::located::{Located, doubt};
use crate::prefix::split;
use crate::resolve::MentionIn;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::PlateField;

/// Positions at which a word must stand for the same letters before it is read so everywhere.
const ENOUGH: usize = 2;
/// Weight of a word that is known to stand for the letters.
const LEARNED: f64 = 2.0;
/// More names than this that could be one are no question that a person can answer.
const MOST_PARTNERS: usize = 4;

/// Two names that may be one position.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Likely {
    pub(crate) a: Position,
    pub(crate) b: Position,
    pub(crate) evidence: Vec<Evidence>,
}

/// All positions that records name.
pub(crate) struct Positions {
    /// Mentions of each name, as indexes.
    pub(crate) mentions: BTreeMap<Position, Vec<usize>>,
    parent: BTreeMap<Position, Position>,
    sited: BTreeMap<String, BTreeSet<Position>>,
    /// Names that stay apart until a person rules.
    pub(crate) likely: Vec<Likely>,
}

impl Positions {
    /// Finds names of one position. `told` are pairs that records or rulings call one, `apart` those ruled to be two, `located` those that an
    /// equipment list tells, which nothing else may contradict.
    pub(crate) fn learn(
        mentions: &[MentionIn<'_>],
        keys: &[Keys],
        told: &BTreeSet<(Position, Position)>,
        apart: &BTreeSet<(Position, Position)>,
        located: Vec<Located>,
    ) -> Self {
        let positioned = keys.iter().enumerate().filter_map(|(index, keys)| Some((keys.position()?, index)));
        let mut all =
            Self { mentions: grouped(positioned), parent: BTreeMap::new(), sited: BTreeMap::new(), likely: Vec::new() };
        for (a, b) in told {
            all.join(a, b);
        }
        let is_ruled = |a: &Position, b: &Position| {
            apart.contains(&(a.clone(), b.clone())) || apart.contains(&(b.clone(), a.clone()))
        };
        let listed = all.join_listed(located, mentions, keys, is_ruled);
        for candidate in candidates(&all.mentions, keys) {
            let (a, b) = (&candidate.a, &candidate.b);
            if is_ruled(a, b) || all.canonical(a) == all.canonical(b) {
                continue;
            }
            let mut evidence = compare(&all.profile(a, mentions, keys), &all.profile(b, mentions, keys));
            evidence.extend(candidate.learned);
            match total(&evidence) {
                sum if sum >= SURE && candidate.only => all.join(&candidate.a, &candidate.b),
                sum if sum >= LIKELY => all.likely.push(Likely { a: candidate.a, b: candidate.b, evidence }),
                _ => {}
            }
        }
        for position in all.mentions.keys().chain(told.iter().chain(&listed).flat_map(|(a, b)| [a, b])) {
            let home = all.canonical(position);
            if home.0.is_some() {
                all.sited.entry(position.1.clone()).or_default().insert(home);
            }
        }
        all
    }

    /// Joins the names that a list tells of one position where nothing contradicts, and leaves the others open; gives the joined ones.
    fn join_listed(
        &mut self,
        mut located: Vec<Located>,
        mentions: &[MentionIn<'_>],
        keys: &[Keys],
        is_ruled: impl Fn(&Position, &Position) -> bool,
    ) -> Vec<(Position, Position)> {
        let mut listed: Vec<(Position, Position)> = Vec::new();
        let plates: Vec<Vec<Evidence>> =
            located.iter().map(|one| self.plates(&one.tag, &one.location, mentions, keys)).collect();
        doubt(&mut located, &plates);
        for (Located { tag, location, mut evidence }, plates) in located.into_iter().zip(plates) {
            let [of_tag, of_location] =
                [&tag, &location].map(|position| [position.clone(), (None, position.1.clone())]);
            let ruled = of_tag.iter().any(|tag| of_location.iter().any(|location| is_ruled(tag, location)));
            if ruled || self.canonical(&tag) == self.canonical(&location) {
                continue;
            }
            evidence.extend(plates);
            if evidence.iter().all(|one| one.weight >= 0.0) {
                self.join(&tag, &location);
                listed.push((tag, location));
                continue;
            }
            // Asked about where records name it.
            let named = |names: [Position; 2]| names.into_iter().find(|name| self.mentions.contains_key(name));
            if let (Some(a), Some(b)) = (named(of_tag), named(of_location)) {
                self.likely.push(Likely { a, b, evidence });
            }
        }
        listed
    }

    /// The name that stands for all names of a position.
    pub(crate) fn canonical(&self, position: &Position) -> Position {
        let mut at = position;
        while let Some(next) = self.parent.get(at) {
            at = next;
        }
        at.clone()
    }

    fn join(&mut self, a: &Position, b: &Position) {
        let (a, b) = (self.canonical(a), self.canonical(b));
        // A site, a code and no slip stand for the others; parents are smaller in this order, so no circle can arise.
        let rank =
            |position: &Position| (position.0.is_none(), has_slip(&position.1), position.1.len(), position.clone());
        if a != b {
            let (child, parent) = if rank(&a) < rank(&b) { (b, a) } else { (a, b) };
            self.parent.insert(child, parent);
        }
    }

    /// Where a position stands; `None` if no site is told and several sites have its tag.
    pub(crate) fn home(&self, position: &Position) -> Option<Position> {
        let home = self.canonical(position);
        if home.0.is_some() {
            return Some(home);
        }
        match self.sited.get(&position.1) {
            None => Some(home),
            Some(sites) if sites.len() == 1 => sites.first().cloned(),
            Some(_) => None,
        }
    }

    /// The positions of all sites that have a tag.
    pub(crate) fn of_tag(&self, tag: &str) -> impl ExactSizeIterator<Item = &Position> {
        static NONE: BTreeSet<Position> = BTreeSet::new();
        self.sited.get(tag).unwrap_or(&NONE).iter()
    }

    pub(crate) fn profile(&self, position: &Position, mentions: &[MentionIn<'_>], keys: &[Keys]) -> Profile {
        let indexes = self.mentions.get(position).map_or(&[][..], Vec::as_slice);
        profile(position, indexes, mentions, keys)
    }

    /// What nameplates say for and against two names that a list tells of one position. Where records do not tell the site, they are meant
    /// too; a location and a tag are never alike.
    fn plates(&self, a: &Position, b: &Position, mentions: &[MentionIn<'_>], keys: &[Keys]) -> Vec<Evidence> {
        let profile = |position: &Position| {
            let siteless = (None, position.1.clone());
            let own = self.mentions.get(position).into_iter().flatten();
            let others = self.mentions.get(&siteless).filter(|_| position.0.is_some()).into_iter().flatten();
            let indexes: Vec<usize> = own.chain(others).copied().collect();
            Profile { site: None, tag: String::new(), ..profile(position, &indexes, mentions, keys) }
        };
        compare(&profile(a), &profile(b))
    }
}

fn profile(position: &Position, indexes: &[usize], mentions: &[MentionIn<'_>], keys: &[Keys]) -> Profile {
    let members: Vec<&MentionIn<'_>> = indexes.iter().filter_map(|index| mentions.get(*index)).collect();
    let of = |index: &usize| keys.get(*index);
    Profile {
        site: position.0.clone(),
        tag: most_told(indexes.iter().filter_map(|index| of(index)?.written.clone())).unwrap_or_default(),
        serials: indexes.iter().filter_map(|index| of(index)?.serial.clone()).collect(),
        power_w: plate_number(&members, PlateField::RatedPower),
        voltage_v: plate_number(&members, PlateField::RatedVoltage),
        speed_rpm: plate_number(&members, PlateField::RatedSpeed),
        made_year: plate_number(&members, PlateField::MadeYear),
    }
}

struct Candidate {
    a: Position,
    b: Position,
    learned: Option<Evidence>,
    /// Whether nothing else could be meant.
    only: bool,
}

/// Pairs worth comparing: one site, and tags that share a form. Grows with the number of positions, not of pairs.
fn candidates(mentions: &BTreeMap<Position, Vec<usize>>, keys: &[Keys]) -> Vec<Candidate> {
    let mut forms: BTreeMap<(&Option<String>, String), Vec<&Position>> = BTreeMap::new();
    let mut numbers: BTreeMap<(&Option<String>, &str), Vec<&Position>> = BTreeMap::new();
    for position in mentions.keys() {
        forms.entry((&position.0, skeleton(&position.1))).or_default().push(position);
        let number = position.1.trim_start_matches(char::is_alphabetic);
        numbers.entry((&position.0, number)).or_default().push(position);
    }
    let mut found = Vec::new();
    for group in forms.values().filter(|group| (2..=MOST_PARTNERS).contains(&group.len())) {
        for (index, a) in group.iter().enumerate() {
            let pair =
                |b: &&Position| Candidate { a: (*a).clone(), b: (*b).clone(), learned: None, only: group.len() == 2 };
            found.extend(group.iter().skip(index + 1).map(pair));
        }
    }
    let mut worded: Vec<(&Position, Word, Vec<&Position>)> = Vec::new();
    for (position, indexes) in mentions {
        let written: BTreeSet<&str> = indexes.iter().filter_map(|index| keys.get(*index)?.written.as_deref()).collect();
        if let Some(word) = written.iter().find_map(|text| Word::read(text)) {
            let near = numbers.get(&(&position.0, word.number.as_str())).map_or(&[][..], Vec::as_slice);
            let partners = near.iter().copied().filter(|other| word.abbreviation_in(&other.1).is_some()).collect();
            worded.push((position, word, partners));
        } else if let Some(rest) = written.iter().find_map(|text| split(text)).map(|(_, rest)| rest) {
            let other = (position.0.clone(), rest);
            if other != *position && mentions.contains_key(&other) {
                found.push(Candidate { a: other, b: position.clone(), learned: None, only: true });
            }
        }
    }
    let learned = learned(&worded);
    for (position, word, partners) in worded {
        for partner in partners.iter().take(MOST_PARTNERS) {
            found.push(Candidate {
                a: (*partner).clone(),
                b: position.clone(),
                learned: learned
                    .get(&word.word)
                    .filter(|letters| word.abbreviation_in(&partner.1) == Some(**letters))
                    .map(|letters| Evidence {
                        column: "tag",
                        what: "the word stands for these letters at other positions too",
                        weight: LEARNED,
                        a: (*letters).to_owned(),
                        b: word.word.clone(),
                    }),
                only: partners.len() == 1,
            });
        }
    }
    found
}

/// Words that stand for the same letters wherever a single tag of the site can be meant.
fn learned<'p>(worded: &[(&'p Position, Word, Vec<&'p Position>)]) -> BTreeMap<String, &'p str> {
    let mut seen: BTreeMap<&str, (BTreeSet<&'p str>, usize)> = BTreeMap::new();
    for (_, word, partners) in worded {
        if let [only] = partners.as_slice()
            && let Some(letters) = word.abbreviation_in(&only.1)
        {
            let entry = seen.entry(&word.word).or_default();
            entry.0.insert(letters);
            entry.1 += 1;
        }
    }
    seen.into_iter()
        .filter(|(_, (letters, count))| letters.len() == 1 && *count >= ENOUGH)
        .filter_map(|(word, (letters, _))| Some((word.to_owned(), letters.into_iter().next()?)))
        .collect()
}
