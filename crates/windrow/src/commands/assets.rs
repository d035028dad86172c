//! `windrow assets`: the machines of a fleet, one of them, how they meet the owners' equipment list, and why two names are one machine or
//! two.

mod listed;
mod one;
mod why;

use crate::args::AssetsArgs;
use crate::{Ending, output};
use anyhow::bail;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Asset, Test};
use windrow_store::Fleet;
use windrow_text::{fold::fold, tag};

/// Characters of an id that are shown; an id's beginning names it.
const SHORT: usize = 8;

pub(crate) fn run(args: &AssetsArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    let snapshot = fleet.snapshot()?;
    let assets = snapshot.rows::<Asset>()?;
    let tests = snapshot.rows::<Test>()?;
    if let Some([a, b]) = args.why.as_deref() {
        let decisions = fleet.settings()?.decisions;
        let why = why::why((a, find(&assets, a)?), (b, find(&assets, b)?), &tests, (&snapshot, &decisions))?;
        output::data(why.as_bytes())?;
        return Ok(Ending::Clean);
    }
    if let Some(name) = &args.machine {
        let asset = find(&assets, name)?;
        let tests: Vec<&Test> =
            tests.iter().filter(|test| test.asset_id.as_deref() == Some(asset.asset_id.as_str())).collect();
        output::data(one::described(asset, &tests).as_bytes())?;
        return Ok(Ending::Clean);
    }
    if args.compare_list {
        return listed::compare(&assets, &tests, args.format);
    }
    let mut of_asset: BTreeMap<&str, Vec<&Test>> = BTreeMap::new();
    for test in &tests {
        if let Some(id) = &test.asset_id {
            of_asset.entry(id).or_default().push(test);
        }
    }
    let rows: Vec<Vec<String>> = assets
        .iter()
        .map(|asset| row(asset, of_asset.get(asset.asset_id.as_str()).map_or(&[][..], Vec::as_slice)))
        .collect();
    output::list(&["id", "tag", "site", "serial", "spellings", "sources", "tests"], &rows, args.format)?;
    if let Some(shared) = shared_names(&assets) {
        output::note(&shared);
    }
    let open = tests.iter().filter(|test| test.asset_id.is_none()).count();
    match open {
        0 => output::note("every test is of one of these machines"),
        count => output::note(&format!("{count} tests are of no machine yet; windrow holds lists the questions")),
    }
    Ok(if open == 0 { Ending::Clean } else { Ending::Open })
}

/// Names that several machines have, with how to see why those are apart; `None` if each has its own.
fn shared_names(assets: &[Asset]) -> Option<String> {
    let mut named: BTreeMap<(String, Option<&str>), Vec<&Asset>> = BTreeMap::new();
    for asset in assets {
        named.entry((tag::fold(&asset.tag), asset.site.as_deref())).or_default().push(asset);
    }
    let several: Vec<&Vec<&Asset>> = named.values().filter(|machines| machines.len() > 1).collect();
    let [a, b, ..] = several.first()?.as_slice() else { return None };
    let tags: Vec<&str> = several.iter().filter_map(|machines| Some(machines.first()?.tag.as_str())).collect();
    let short = |asset: &Asset| asset.asset_id.chars().take(SHORT).collect::<String>();
    Some(format!(
        "several machines of one site, or of none, are called {}: windrow assets --why {} {} says why they are apart",
        tags.join(", "),
        short(a),
        short(b)
    ))
}

fn row(asset: &Asset, tests: &[&Test]) -> Vec<String> {
    let sources: BTreeSet<&str> = tests.iter().map(|test| test.source_file.as_str()).collect();
    let kept = tests.iter().filter(|test| test.duplicate_of.is_none()).count();
    vec![
        asset.asset_id.chars().take(SHORT).collect(),
        asset.tag.clone(),
        asset.site.clone().unwrap_or_default(),
        asset.serial_number.clone().unwrap_or_default(),
        asset.aliases.join(" | "),
        sources.len().to_string(),
        kept.to_string(),
    ]
}

/// The one machine that `name` can mean.
pub(crate) fn find<'a>(assets: &'a [Asset], name: &str) -> anyhow::Result<&'a Asset> {
    let (own, site) = name.split_once(", ").map_or((name, None), |(own, site)| (own, Some(fold(site))));
    let plain = own.strip_prefix("serial ").unwrap_or(own);
    let folded = tag::fold(plain);
    let is_meant = |asset: &&Asset| {
        let spelled = std::iter::once(&asset.tag)
            .chain(&asset.aliases)
            .chain(&asset.serial_number)
            .chain(&asset.functional_location);
        let here = site.is_none() || asset.site.as_deref().map(fold) == site;
        let by_id = plain.len() >= 6 && asset.asset_id.starts_with(plain);
        by_id || here && spelled.into_iter().any(|text| tag::fold(text) == folded)
    };
    let found: Vec<&Asset> = assets.iter().filter(is_meant).collect();
    match found.as_slice() {
        [one] => Ok(one),
        [] => bail!("no machine is called {name:?}; `windrow assets` lists them"),
        several => {
            let names: Vec<String> = several.iter().map(|asset| called(asset)).collect();
            bail!("{name:?} could be {} machines: {}; give more of it", names.len(), names.join("; "))
        }
    }
}

fn called(asset: &Asset) -> String {
    let site = asset.site.as_deref().map(|site| format!(", {site}")).unwrap_or_default();
    let id: String = asset.asset_id.chars().take(SHORT).collect();
    let volts = asset.rated_voltage_v.map(|volts| format!(", {volts} V")).unwrap_or_default();
    let power = asset.rated_power_w.map(|watts| format!(", {} kW", watts / 1e3)).unwrap_or_default();
    format!("{}{site} ({id}{volts}{power})", asset.tag)
}

#[cfg(test)]
mod tests {
    use super::find;
    use windrow_model::Asset;

    fn asset(id: &str, tag: &str, site: &str) -> Asset {
        Asset {
            asset_id: id.to_owned(),
            tag: tag.to_owned(),
            aliases: vec!["Pump 7".to_owned()],
            site: Some(site.to_owned()),
            area: None,
            description: None,
            equipment_class: "EM".to_owned(),
            manufacturer: None,
            model: None,
            serial_number: Some(format!("5855-{id}")),
            rated_power_w: None,
            rated_voltage_v: None,
            rated_voltage_basis: None,
            rated_current_a: None,
            rated_speed_rpm: None,
            rated_frequency_hz: None,
            winding_kind: None,
            insulation_class: None,
            insulation_era: None,
            conductor: None,
            made_year: None,
            rewound_years: Vec::new(),
            in_service: None,
            functional_location: None,
            location_levels: Vec::new(),
            parent: None,
            list_key: None,
            listed_at: None,
            nameplate_conflicts: Vec::new(),
        }
    }

    #[test]
    fn a_machine_is_named_by_tag_and_site_serial_number_or_id() {
        let all = [asset("aaaaaaaa1", "P-7", "Oak Mill"), asset("bbbbbbbb2", "P-7", "Elm Mill")];
        let id = |name: &str| find(&all, name).map(|asset| asset.asset_id.clone()).map_err(|error| error.to_string());
        assert_eq!(id("p7, OAK MILL").as_deref(), Ok("aaaaaaaa1"));
        assert_eq!(id("Pump 7, Elm Mill").as_deref(), Ok("bbbbbbbb2"));
        assert_eq!(id("serial 5855 bbbbbbbb2").as_deref(), Ok("bbbbbbbb2"));
        assert_eq!(id("aaaaaaaa").as_deref(), Ok("aaaaaaaa1"));
        assert!(id("P-7").is_err_and(|told| told.contains("Oak Mill") && told.contains("Elm Mill")));
        assert!(id("P-9").is_err());
    }
}
