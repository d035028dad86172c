//! Levels of functional locations: "P1-U2-CWP-0001-A" is a pump's motor in a system of a unit of a plant, if the owners' list is made so.
//!
//! ISO 14224 puts equipment below section, plant and installation, and leaves the codes to the owners. A location is split only where the
//! list itself shows how it is made: by one separator, either because what a machine belongs to begins its location, or because all
//! locations have as many parts and share the first. Nothing is split on the look of a single code.
//!
//! Where no source tells a machine's area, it is the level below that of the site, as the location writes it ("P1-U2"), provided that two
//! levels or more lie below the widest, and that the sites that the records tell are the widest levels: where no site is told, the widest
//! may be a company.

use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Asset;

/// Fewest locations that show how they are made (choice of this program, no source).
const FEWEST: usize = 3;
/// Fewest parts of a location that is split without a parent that begins it.
const FEWEST_PARTS: usize = 3;
/// Levels that name an area: the widest is the site's.
const AREA_DEPTH: usize = 2;
const SEPARATORS: [char; 5] = ['-', '/', '.', '_', ' '];

/// A functional location as listed, and what it belongs to.
type Listed<'a> = (&'a str, Option<&'a str>);

/// Whether locations show that they are made with a separator.
type Shows = fn(&[Listed<'_>], char) -> bool;

/// Fills [`Asset::location_levels`] where the locations of the fleet show how they are made, and [`Asset::area`] from them where no
/// source tells it.
pub(crate) fn fill(assets: &mut [Asset]) {
    let Some(separator) = separator(assets) else { return };
    for asset in &mut *assets {
        if let Some(location) = &asset.functional_location {
            asset.location_levels = parts(location, separator).map(str::to_owned).collect();
        }
    }
    let sites = sites(assets);
    let is_open = |asset: &&mut Asset| {
        let of_site = asset.location_levels.first().is_some_and(|widest| sites.contains(widest));
        of_site && asset.area.is_none() && asset.location_levels.len() > AREA_DEPTH
    };
    for asset in assets.iter_mut().filter(is_open) {
        asset.area = asset.location_levels.get(..AREA_DEPTH).map(|levels| levels.join(&separator.to_string()));
    }
}

/// The widest levels of which a site is told; none where levels and sites are not the same things.
fn sites(assets: &[Asset]) -> BTreeSet<String> {
    let (mut site_of, mut widest_of) = (BTreeMap::new(), BTreeMap::new());
    let mut told = assets.iter().filter_map(|asset| Some((asset.location_levels.first()?, asset.site.as_ref()?)));
    let are_the_same = told.all(|(widest, site)| {
        *site_of.entry(widest).or_insert(site) == site && *widest_of.entry(site).or_insert(widest) == widest
    });
    if are_the_same { site_of.into_keys().cloned().collect() } else { BTreeSet::new() }
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
    use super::{fill, separator};
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

    /// Site, area, position in the sense of ISO 14224:2016 clause 8.2 (from memory).
    #[test]
    fn an_area_is_the_level_below_the_site_where_no_source_tells_it() {
        let located = |sites: [&str; 3]| {
            let mut assets =
                listed(&[("OAK-10-PMP-001", "OAK-10"), ("OAK-20-PMP-002", "OAK-20"), ("ELM-10-FAN-001", "ELM-10")]);
            for (asset, site) in assets.iter_mut().zip(sites) {
                asset.site = (!site.is_empty()).then(|| site.to_owned());
            }
            assets[1].area = Some("Yard".to_owned());
            fill(&mut assets);
            assets.into_iter().map(|asset| asset.area.unwrap_or_default()).collect::<Vec<_>>()
        };
        assert_eq!(located(["", "", ""]), ["", "Yard", ""], "the widest level may be a company");
        assert_eq!(located(["Oak Mill", "", ""]), ["OAK-10", "Yard", ""]);
        assert_eq!(located(["Oak Mill", "Oak Mill", "Elm Mill"]), ["OAK-10", "Yard", "ELM-10"]);
        // The widest level is a company's, or one plant of several of a site: nobody says which level is the area.
        assert_eq!(located(["Oak Mill", "Ash Mill", "Elm Mill"]), ["", "Yard", ""]);
        assert_eq!(located(["Oak Mill", "Oak Mill", "Oak Mill"]), ["", "Yard", ""]);
        let mut short = listed(&[("OAK-1", "OAK"), ("OAK-2", "OAK"), ("OAK-3", "OAK")]);
        fill(&mut short);
        assert!(short.iter().all(|asset| asset.area.is_none()), "the second level is the position");
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
