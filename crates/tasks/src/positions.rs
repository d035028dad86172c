//! Where a machine stood, by the names that its records call it, and who else stood there: a position keeps its name, a motor its history.

mod written;

use jiff::civil::Date;
use std::collections::{BTreeSet, HashMap};
use windrow_identity::site_code;
use windrow_model::{Asset, Test};
use windrow_report::positions::Stay;
use windrow_store::Snapshot;
use windrow_text::naming::earlier;
use windrow_text::tag::fold;
use written::Written;

/// Most other machines that are looked for at the positions of one.
const MOST: usize = 20;

/// Machines by the folded names that records call them.
#[derive(Debug, Default)]
pub struct Names {
    at: HashMap<String, Vec<usize>>,
}

impl Names {
    /// Names of `assets`, by their places there.
    #[must_use]
    pub fn of(assets: &[Asset]) -> Self {
        let mut at: HashMap<String, Vec<usize>> = HashMap::new();
        for (index, asset) in assets.iter().enumerate() {
            for name in folded(asset) {
                at.entry(name).or_default().push(index);
            }
        }
        Self { at }
    }

    /// Other machines of the same site, or of none that is told, that share a name with `asset`; the names come from `assets`.
    #[must_use]
    pub fn beside<'a>(&self, asset: &Asset, assets: &'a [Asset]) -> Vec<&'a Asset> {
        let places: BTreeSet<usize> =
            folded(asset).iter().filter_map(|name| self.at.get(name)).flatten().copied().collect();
        let is_there = |other: &&Asset| {
            let apart = matches!((&other.site, &asset.site), (Some(one), Some(two)) if one != two);
            other.asset_id != asset.asset_id && !apart
        };
        places.into_iter().filter_map(|index| assets.get(index)).filter(is_there).take(MOST).collect()
    }
}

/// Stays of machines by their ids.
type Own = HashMap<String, Vec<Stay>>;

/// Stays of `asset`, and of the machines `beside` it at the same positions, by position and day. `tests` are those of `asset`, `of_others`
/// those of the machines beside it.
///
/// # Errors
/// When the tables cannot be read.
pub fn of(
    snapshot: &Snapshot,
    (asset, tests): (&Asset, &[Test]),
    (beside, of_others): (&[&Asset], &[Test]),
) -> anyhow::Result<Vec<Stay>> {
    let mut machines: Vec<(&Asset, Vec<&Test>)> = vec![(asset, tests.iter().collect())];
    for other in beside {
        let is_its = |test: &&Test| test.asset_id.as_deref() == Some(other.asset_id.as_str());
        machines.push((other, of_others.iter().filter(is_its).collect()));
    }
    Ok(together(asset, beside, &own(snapshot, &machines)?))
}

/// Stays of all machines of a fleet, each with those beside it. `tests` are those of all.
///
/// # Errors
/// When the tables cannot be read.
pub fn of_all(snapshot: &Snapshot, assets: &[Asset], tests: &[Test]) -> anyhow::Result<Vec<Stay>> {
    let mut of_machine: HashMap<&str, Vec<&Test>> = HashMap::new();
    for test in tests {
        if let Some(asset) = test.asset_id.as_deref() {
            of_machine.entry(asset).or_default().push(test);
        }
    }
    let mut tests_of = |asset: &Asset| of_machine.remove(asset.asset_id.as_str()).unwrap_or_default();
    let machines: Vec<(&Asset, Vec<&Test>)> = assets.iter().map(|asset| (asset, tests_of(asset))).collect();
    let (names, own) = (Names::of(assets), own(snapshot, &machines)?);
    Ok(assets.iter().flat_map(|asset| together(asset, &names.beside(asset, assets), &own)).collect())
}

/// The stays of `asset` with those of others at its positions.
fn together(asset: &Asset, beside: &[&Asset], own: &Own) -> Vec<Stay> {
    let of = |asset: &Asset| own.get(&asset.asset_id).cloned().unwrap_or_default();
    let known: BTreeSet<String> = beside.iter().copied().chain([asset]).flat_map(folded).collect();
    let mut stays = of(asset);
    let told = stays.iter().filter(|stay| !stay.position.is_empty());
    let here: BTreeSet<String> = told.map(|stay| place(&stay.position, &known)).collect();
    let others = beside.iter().flat_map(|other| of(other));
    stays.extend(others.filter(|stay| here.contains(&place(&stay.position, &known))));
    for stay in &mut stays {
        stay.of.clone_from(&asset.asset_id);
    }
    // Tests whose records do not tell the name come last.
    stays.sort_by_key(|stay| (stay.position.is_empty(), place(&stay.position, &known), stay.from, stay.who.clone()));
    stays
}

/// What the records of each machine call it, test by test.
fn own(snapshot: &Snapshot, machines: &[(&Asset, Vec<&Test>)]) -> anyhow::Result<Own> {
    let several: Vec<&(&Asset, Vec<&Test>)> = machines.iter().filter(|(asset, _)| folded(asset).len() > 1).collect();
    let written = Written::of(snapshot, &several)?;
    let stays = |(asset, tests): &(&Asset, Vec<&Test>)| {
        let kept: Vec<&Test> = tests.iter().copied().filter(|test| test.duplicate_of.is_none()).collect();
        // Of a machine with one name whatever a record writes is this name.
        let only = (folded(asset).len() < 2).then(|| present(&asset.tag).to_owned());
        let names = if only.is_some() { HashMap::new() } else { written.names(asset, &kept) };
        let name = |test: &Test| only.clone().or_else(|| names.get(test.test_id.as_str()).cloned()).unwrap_or_default();
        let (told, untold): (Vec<_>, Vec<_>) =
            kept.into_iter().map(|test| (test.performed_on, name(test))).partition(|(_, name)| !name.is_empty());
        let known = folded(asset);
        let all = runs(told, &known).into_iter().chain(runs(untold, &known));
        (asset.asset_id.clone(), all.map(|run| run.of(asset)).collect())
    };
    Ok(machines.iter().map(stays).collect())
}

/// Tests in a row under one name.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Run {
    name: String,
    from: Option<Date>,
    to: Option<Date>,
    tests: usize,
}

impl Run {
    fn of(self, asset: &Asset) -> Stay {
        Stay {
            of: asset.asset_id.clone(),
            position: self.name,
            who: asset.asset_id.clone(),
            tag: asset.tag.clone(),
            serial: asset.serial_number.clone(),
            from: self.from,
            to: self.to,
            tests: self.tests,
        }
    }
}

/// Runs of tests at one position in the order of time, under the name that the first of them writes; tests without a day are counted
/// where their name was last.
fn runs(mut named: Vec<(Option<Date>, String)>, known: &BTreeSet<String>) -> Vec<Run> {
    named.sort();
    let (dated, undated): (Vec<_>, Vec<_>) = named.into_iter().partition(|(day, _)| day.is_some());
    let mut runs: Vec<Run> = Vec::new();
    for (day, name) in dated {
        match runs.last_mut().filter(|run| place(&run.name, known) == place(&name, known)) {
            Some(run) => {
                run.to = day;
                run.tests += 1;
            }
            None => runs.push(Run { name, from: day, to: day, tests: 1 }),
        }
    }
    for (_, name) in undated {
        match runs.iter_mut().rev().find(|run| place(&run.name, known) == place(&name, known)) {
            Some(run) => run.tests += 1,
            None => runs.push(Run { name, from: None, to: None, tests: 1 }),
        }
    }
    runs
}

/// Folded names of a machine, without what is told of earlier ones beside them.
fn folded(asset: &Asset) -> BTreeSet<String> {
    let all = std::iter::once(&asset.tag).chain(&asset.aliases);
    all.map(|name| fold(present(name))).filter(|name| !name.is_empty()).collect()
}

/// What tells one position from another: the folded name, without the code of the site before it where the name is known without that code
/// too. "LQ-C-51" in the log of the head office is "C-51" in the book of the site, and no move.
fn place(name: &str, known: &BTreeSet<String>) -> String {
    let without_code = site_code(name).map(|(_, rest)| rest);
    without_code.filter(|rest| known.contains(rest)).unwrap_or_else(|| fold(name))
}

/// A name without what is told of an earlier one beside it.
fn present(text: &str) -> &str {
    earlier(text).map(|(now, _)| now).filter(|now| !now.is_empty()).unwrap_or(text).trim()
}

#[cfg(test)]
mod tests {
    use super::runs;
    use jiff::civil::date;
    use std::collections::BTreeSet;

    #[test]
    fn a_motor_that_came_back_stood_there_twice() {
        let on = |year: i16, name: &str| (Some(date(year, 5, 1)), name.to_owned());
        let told = vec![
            on(2009, "P-101"),
            on(1998, "P-101"),
            on(1999, "P 101"),
            on(2003, "P-102"),
            (None, "P-102".to_owned()),
        ];
        let told: Vec<(String, i16, i16, usize)> = runs(told, &BTreeSet::new())
            .into_iter()
            .map(|run| (run.name, run.from.unwrap().year(), run.to.unwrap().year(), run.tests))
            .collect();
        let expected = [("P-101", 1998, 1999, 2), ("P-102", 2003, 2003, 2), ("P-101", 2009, 2009, 1)];
        assert_eq!(told, expected.map(|(name, from, to, tests)| (name.to_owned(), from, to, tests)));
    }

    /// "SGN-C-51" is how a head office writes the C-51 of the site SGN: one stay, not two that take turns. Without "C-51" among the known
    /// names "SGN-C-51" could be a position of its own.
    #[test]
    fn a_code_of_the_site_before_the_name_is_no_move() {
        let on = |year: i16, name: &str| (Some(date(year, 5, 1)), name.to_owned());
        let told = || vec![on(1980, "C-51"), on(1990, "SGN-C-51"), on(1991, "C51"), on(2012, "SGN-C-51")];
        let known: BTreeSet<String> = ["c51", "sgnc51"].map(windrow_text::tag::fold).into();
        let stays = runs(told(), &known);
        assert_eq!(stays.iter().map(|run| (run.name.as_str(), run.tests)).collect::<Vec<_>>(), [("C-51", 4)]);
        assert_eq!(runs(told(), &BTreeSet::new()).len(), 4);
    }
}
