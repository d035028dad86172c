//! From mentions to machines.

use crate::asset;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Asset;
use windrow_model::raw::Mention;
use windrow_text::{fold, tag};

/// A mention and the source it stands in.
#[derive(Debug, Clone, Copy)]
pub struct MentionIn<'a> {
    /// Path of the source.
    pub source_file: &'a str,
    /// What it says.
    pub mention: &'a Mention,
}

/// Machines, and which of them each mention is.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Resolved {
    /// Machines, sorted by site, tag and id.
    pub assets: Vec<Asset>,
    /// For each mention the id of its machine; `None` where its record leaves it open.
    pub asset_of: Vec<Option<String>>,
}

/// What decides who a mention is: folded site and tag, and the serial number.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Keys {
    site: Option<String>,
    tag: Option<String>,
    serial: Option<String>,
}

impl Keys {
    fn of(mention: &Mention) -> Self {
        let folded = |text: &str| Some(fold::fold(text)).filter(|text| !text.is_empty());
        let code = |text: &str| Some(tag::fold(text)).filter(|text| !text.is_empty());
        Self {
            site: mention.site.as_ref().and_then(|told| folded(&told.value)),
            tag: mention.tag.as_ref().and_then(|told| code(&told.value)),
            serial: mention.serial.as_ref().and_then(|told| code(&told.value)),
        }
    }
}

/// Resolves all mentions of a fleet. The order of mentions changes nothing but the order of `asset_of`.
#[must_use]
pub fn resolve(mentions: &[MentionIn<'_>]) -> Resolved {
    let keys: Vec<Keys> = mentions.iter().map(|mention| Keys::of(mention.mention)).collect();
    let prefixes = Prefixes::learn(mentions, &keys);
    let names: Vec<Keys> =
        mentions.iter().zip(keys).map(|(mention, keys)| prefixes.applied(mention.mention, keys)).collect();
    let groups = Groups::of(&names);
    let mut members: BTreeMap<usize, Vec<&MentionIn<'_>>> = BTreeMap::new();
    let group_of: Vec<Option<usize>> = names.iter().map(|keys| groups.find(keys)).collect();
    for (mention, group) in mentions.iter().zip(&group_of) {
        if let Some(group) = group {
            members.entry(*group).or_default().push(mention);
        }
    }
    let built: BTreeMap<usize, Asset> =
        members.into_iter().map(|(group, members)| (group, asset::build(&groups.name(group), &members))).collect();
    let asset_of = group_of
        .iter()
        .map(|group| group.and_then(|group| built.get(&group)).map(|asset| asset.asset_id.clone()))
        .collect();
    let mut assets: Vec<Asset> = built.into_values().collect();
    assets.sort_by(|a, b| (&a.site, &a.tag, &a.asset_id).cmp(&(&b.site, &b.tag, &b.asset_id)));
    Resolved { assets, asset_of }
}

/// Site codes that owners put before a tag ("LQ-RF-201" at one mill), learned from the records themselves.
struct Prefixes {
    site_of: BTreeMap<String, String>,
}

/// Tags of a site that must share a code before it counts as one.
const ENOUGH: usize = 3;

impl Prefixes {
    fn learn(mentions: &[MentionIn<'_>], keys: &[Keys]) -> Self {
        let mut seen: BTreeMap<String, BTreeMap<String, BTreeSet<String>>> = BTreeMap::new();
        for (mention, keys) in mentions.iter().zip(keys) {
            let parts = mention.mention.tag.as_ref().and_then(|told| split(&told.value));
            if let (Some((prefix, rest)), Some(site)) = (parts, &keys.site) {
                seen.entry(prefix).or_default().entry(site.clone()).or_default().insert(rest);
            }
        }
        let site_of = seen
            .into_iter()
            .filter_map(|(prefix, sites)| {
                let mut sites = sites.into_iter();
                let (site, tags) = sites.next()?;
                // A code of several sites is the kind of a machine ("P-", "FAN-"), not a site.
                (sites.next().is_none() && tags.len() >= ENOUGH && kinds(&tags) > 1).then_some((prefix, site))
            })
            .collect();
        Self { site_of }
    }

    /// The tag without its site's code, and the site that the code tells.
    fn applied(&self, mention: &Mention, keys: Keys) -> Keys {
        let Some((prefix, rest)) = mention.tag.as_ref().and_then(|told| split(&told.value)) else { return keys };
        match self.site_of.get(&prefix) {
            Some(site) if keys.site.as_ref().is_none_or(|told| told == site) => {
                Keys { site: Some(site.clone()), tag: Some(rest), serial: keys.serial }
            }
            _ => keys,
        }
    }
}

/// Number of different leading letters among tags: a site's code stands before machines of several kinds.
fn kinds(tags: &BTreeSet<String>) -> usize {
    tags.iter()
        .map(|tag| tag.chars().take_while(|c| c.is_alphabetic()).collect::<String>())
        .collect::<BTreeSet<_>>()
        .len()
}

/// A leading run of letters apart from the rest of a tag, if the rest is a tag of its own with letters and digits.
fn split(text: &str) -> Option<(String, String)> {
    let text = text.trim();
    let at = text.find(['-', '/', ' ', '.', '_'])?;
    let (prefix, rest) = (text.get(..at)?, text.get(at + 1..)?);
    let code = prefix.len() >= 2 && prefix.chars().all(|c| c.is_ascii_alphabetic());
    let own = rest.starts_with(|c: char| c.is_ascii_alphabetic()) && rest.chars().any(|c| c.is_ascii_digit());
    (code && own).then(|| (prefix.to_uppercase(), tag::fold(rest)))
}

/// Machines as sets of keys.
struct Groups {
    by_serial: BTreeMap<String, usize>,
    by_place: BTreeMap<(String, String), usize>,
    by_tag: BTreeMap<String, BTreeSet<usize>>,
    names: Vec<Keys>,
}

impl Groups {
    fn of(names: &[Keys]) -> Self {
        let mut groups =
            Self { by_serial: BTreeMap::new(), by_place: BTreeMap::new(), by_tag: BTreeMap::new(), names: Vec::new() };
        let mut sorted: Vec<&Keys> = names.iter().collect();
        sorted.sort();
        sorted.dedup();
        // Records that tell most come first, so that those that tell less can join them.
        sorted.sort_by_key(|keys| {
            usize::from(keys.site.is_none()) + usize::from(keys.tag.is_none()) + usize::from(keys.serial.is_none())
        });
        for keys in sorted {
            groups.add(keys);
        }
        groups
    }

    fn add(&mut self, keys: &Keys) {
        if self.find(keys).is_some() || keys.tag.is_none() && keys.serial.is_none() {
            return;
        }
        // A tag alone that several machines answer to is nobody's.
        let ambiguous = keys.site.is_none()
            && keys.serial.is_none()
            && keys.tag.as_ref().is_some_and(|tag| self.by_tag.contains_key(tag));
        if ambiguous {
            return;
        }
        let group = self.names.len();
        self.names.push(keys.clone());
        if let Some(serial) = &keys.serial {
            self.by_serial.insert(serial.clone(), group);
        }
        if let (Some(site), Some(tag)) = (&keys.site, &keys.tag) {
            // Two serial numbers at one position are two machines; the position alone then names neither.
            self.by_place.entry((site.clone(), tag.clone())).or_insert(group);
        }
        if let Some(tag) = &keys.tag {
            self.by_tag.entry(tag.clone()).or_default().insert(group);
        }
    }

    /// The one machine that `keys` can mean.
    fn find(&self, keys: &Keys) -> Option<usize> {
        if let Some(serial) = &keys.serial {
            return self.by_serial.get(serial).copied();
        }
        let tag = keys.tag.as_ref()?;
        let sharing = self.by_tag.get(tag)?;
        match &keys.site {
            Some(site) => {
                let here: Vec<usize> =
                    sharing.iter().copied().filter(|group| self.names[*group].site.as_ref() == Some(site)).collect();
                match here.as_slice() {
                    [one] => Some(*one),
                    _ => None,
                }
            }
            None => sharing.first().copied().filter(|_| sharing.len() == 1),
        }
    }

    fn name(&self, group: usize) -> String {
        let keys = &self.names[group];
        let part = |text: &Option<String>| text.clone().unwrap_or_default();
        format!("{}|{}|{}", part(&keys.serial), part(&keys.site), part(&keys.tag))
    }
}
