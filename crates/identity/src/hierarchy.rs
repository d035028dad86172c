//! Levels of functional locations: "P1-U2-CWP-0001-A" is a pump's motor in a system of a unit of a plant, if the owners' list is made so.
//!
//! ISO 14224 puts equipment below section, plant and installation, and leaves the codes to the owners. A location is split only where the
//! list itself shows how it is made: by one separator, either because what a machine belongs to begins its location, or because all
//! locations have as many parts and share the first. Nothing is split on the look of a single code.

use std::collections::BTreeSet;
use windrow_model::Asset;

/// Fewest locations that show how they are made (choice of this program, no source).
const FEWEST: usize = 3;
/// Fewest parts of a location that is split without a parent that begins it.
const FEWEST_PARTS: usize = 3;
const SEPARATORS: [char; 5] = ['-', '/', '.', '_', ' '];

/// A functional location as listed, and what it belongs to.
type Listed<'a> = (&'a str, Option<&'a str>);

/// Whether locations show that they are made with a separator.
type Shows = fn(&[Listed<'_>], char) -> bool;

/// Fills [`Asset::location_levels`] where the locations of the fleet show how they are made.
pub(crate) fn fill(assets: &mut [Asset]) {
    let Some(separator) = separator(assets) else { return };
    for asset in assets {
        if let Some(location) = &asset.functional_location {
            asset.location_levels = parts(location, separator).map(str::to_owned).collect();
        }
    }
}

fn parts(location: &str, separator: char) -> impl Iterator<Item = &str> {
    location.split(separator).map(str::trim)
}

/// The only separator that the locations are made with; `None` where none is, or more than one could be.
fn separator(assets: &[Asset]) -> Option<char> {
    let listed: Vec<Listed<'_>> = assets
        .iter()
        .filter_map(|asset| {
            Some((asset.functional_location.as_deref()?.trim(), asset.parent.as_deref().map(str::trim)))
        })
        .collect();
    if listed.len() < FEWEST {
        return None;
    }
    let only = |shows: Shows| {
        let mut found = SEPARATORS.into_iter().filter(|separator| shows(&listed, *separator));
        found.next().filter(|_| found.next().is_none())
    };
    only(parents_begin).or_else(|| only(alike))
}

/// Whether what machines belong to begins their locations, for all that tell both.
fn parents_begin(listed: &[Listed<'_>], separator: char) -> bool {
    let mut told = 0;
    for (location, parent) in listed.iter().filter_map(|(location, parent)| Some((location, (*parent)?))) {
        let rest = location.strip_prefix(parent).and_then(|rest| rest.strip_prefix(separator));
        if rest.is_none_or(str::is_empty) {
            return false;
        }
        told += 1;
    }
    told >= FEWEST
}

/// Whether all have as many parts, none of them empty, and share the first among several.
fn alike(listed: &[Listed<'_>], separator: char) -> bool {
    let split: Vec<Vec<&str>> = listed.iter().map(|(location, _)| parts(location, separator).collect()).collect();
    let counts: BTreeSet<usize> = split.iter().map(Vec::len).collect();
    let first: BTreeSet<&str> = split.iter().filter_map(|parts| parts.first().copied()).collect();
    let complete = split.iter().flatten().all(|part| !part.is_empty());
    let mixed = listed
        .iter()
        .any(|(location, _)| location.contains(SEPARATORS.map(|other| if other == separator { '\0' } else { other })));
    complete
        && !mixed
        && counts.len() == 1
        && counts.first().is_some_and(|count| *count >= FEWEST_PARTS)
        && 2 * first.len() <= listed.len()
}

#[cfg(test)]
mod tests {
    use super::separator;
    use windrow_model::Asset;

    fn listed(locations: &[(&str, &str)]) -> Vec<Asset> {
        let asset = |(location, parent): &(&str, &str)| Asset {
            functional_location: Some((*location).to_owned()),
            parent: (!parent.is_empty()).then(|| (*parent).to_owned()),
            ..crate::asset::blank()
        };
        locations.iter().map(asset).collect()
    }

    #[test]
    fn locations_that_are_made_alike_or_begin_with_their_parents_are_split() {
        let alike = [("P1-U2-CWP-0001-A", ""), ("P1-U2-CWP-0002-A", ""), ("P1-U1-FWP-0001-A", "")];
        assert_eq!(separator(&listed(&alike)), Some('-'));
        let parents = [("OAK.10.PMP-1", "OAK.10"), ("OAK.10.PMP-1.M1", "OAK.10.PMP-1"), ("ELM.7.FAN-2", "ELM.7")];
        assert_eq!(separator(&listed(&parents)), Some('.'));
    }

    #[test]
    fn one_look_is_no_evidence() {
        for locations in [
            &[("P1-U2-CWP-0001-A", ""), ("P1-U2-CWP-0002-A", "")][..],
            &[("P1-U2-CWP", ""), ("U2-CWP", ""), ("boiler house", "")],
            &[("A-1-x", ""), ("B-2-x", ""), ("C-3-x", "")],
            &[("P1-U2/C-1", ""), ("P1-U2/C-2", ""), ("P1-U2/C-3", "basement")],
            &[("P1-U2-.1-.2", ""), ("P1-U2-.1-.3", ""), ("P1-U3-.1-.4", "")],
        ] {
            assert_eq!(separator(&listed(locations)), None, "{locations:?}");
        }
    }
}
