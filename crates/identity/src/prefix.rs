//! Codes of sites before tags.

use crate::keys::Keys;
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::tag;

/// Site codes that owners put before a tag ("LQ-RF-201" at one mill), learned from the records themselves.
pub(crate) struct Prefixes {
    site_of: BTreeMap<String, String>,
}

/// Tags of a site that must share a code before it counts as one.
const ENOUGH: usize = 3;

impl Prefixes {
    pub(crate) fn learn(keys: &[Keys]) -> Self {
        let mut seen: BTreeMap<String, BTreeMap<String, BTreeSet<String>>> = BTreeMap::new();
        for keys in keys {
            let parts = keys.written.as_deref().and_then(split);
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
    pub(crate) fn applied(&self, keys: Keys) -> Keys {
        let Some((site, tag)) = keys.written.as_deref().and_then(|text| self.read(text, keys.site.as_ref())) else {
            return keys;
        };
        Keys { site: Some(site), tag: Some(tag), ..keys }
    }

    /// Folded site and tag of a text that begins with the code of a site, if no other `site` is told.
    pub(crate) fn read(&self, text: &str, site: Option<&String>) -> Option<(String, String)> {
        let (prefix, rest) = split(text)?;
        let known = self.site_of.get(&prefix)?;
        site.is_none_or(|told| told == known).then(|| (known.clone(), rest))
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
#[must_use]
pub fn split(text: &str) -> Option<(String, String)> {
    let text = text.trim();
    let at = text.find(['-', '/', ' ', '.', '_'])?;
    let (prefix, rest) = (text.get(..at)?, text.get(at + 1..)?);
    let code = prefix.len() >= 2 && prefix.chars().all(|c| c.is_ascii_alphabetic());
    let own = rest.starts_with(|c: char| c.is_ascii_alphabetic()) && rest.chars().any(|c| c.is_ascii_digit());
    (code && own).then(|| (prefix.to_uppercase(), tag::fold(rest)))
}
