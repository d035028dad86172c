//! Records under one tag whose series contradict: two folders, or two sheets of a file, tell tests of one kind on one day, and no number of
//! the one is that of the other. A plant does not test a machine twice a day and again another day with other results, and file each round
//! in another folder; two plants that use one tag do.

use crate::evidence::Evidence;
use crate::resolve::MentionIn;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::{RawReading, RawTest};
use windrow_model::{Precision, TestKind};

/// Days or months in which two folders must contradict: one alone may be a test before and one after cleaning (choice of this program, no
/// source).
const ENOUGH: usize = 2;
/// The same for years, in which a machine may well be tested twice.
const ENOUGH_YEARS: usize = 4;
/// Share by which two tellings of one result may differ.
const SAME: f64 = 0.05;
/// Weight of a day on which two folders contradict.
const DAY: f64 = -1.5;
/// Days named as evidence.
const MOST_DAYS: usize = 3;

/// Folders whose records are of one machine, as far as their series tell.
#[derive(Debug, Clone, Default)]
pub(crate) struct Part {
    /// Shortest name that tells it from the others.
    pub(crate) name: String,
    /// Mentions, as indexes.
    pub(crate) members: Vec<usize>,
}

/// Parts of one name, two of them with the evidence against their being one, and records that could be of any part.
#[derive(Debug, Clone, Default)]
pub(crate) struct Parts {
    pub(crate) parts: Vec<Part>,
    pub(crate) pairs: Vec<(usize, usize, Vec<Evidence>)>,
}

/// The parts of `members` that contradict, from the widest folders down; `None` if none do.
pub(crate) fn parts(mentions: &[MentionIn<'_>], members: &[usize]) -> Option<Parts> {
    let levels: [fn(&MentionIn<'_>) -> String; 3] = [
        |mention| mention.origin.to_owned(),
        |mention| format!("{}/{}", mention.origin, below(mention.source_file).split('/').next().unwrap_or_default()),
        |mention| format!("{}/{}", mention.origin, below(mention.source_file)),
    ];
    levels.into_iter().find_map(|folder| of_level(mentions, members, folder)).or_else(|| of_sheets(mentions, members))
}

/// The parts of the sheets of one file; what other files tell is no sheet's, and leaves it open.
pub(crate) fn of_sheets(mentions: &[MentionIn<'_>], members: &[usize]) -> Option<Parts> {
    let all: Vec<&MentionIn<'_>> = members.iter().filter_map(|at| mentions.get(*at)).collect();
    let sheet = |mention: &MentionIn<'_>| mention.test.and_then(|place| place.sheet.as_ref()).map(ToString::to_string);
    let is_one_file =
        all.windows(2).all(|two| (two[0].origin, two[0].source_file) == (two[1].origin, two[1].source_file));
    if !is_one_file || !all.iter().all(|mention| sheet(mention).is_some()) {
        return None;
    }
    of_level(mentions, members, |mention| {
        mention.test.and_then(|place| place.sheet.as_ref()).map(ToString::to_string).unwrap_or_default()
    })
}

/// Folder of a file below the imported one.
fn below(file: &str) -> &str {
    file.rsplit_once('/').map_or("", |(folder, _)| folder)
}

fn of_level(mentions: &[MentionIn<'_>], members: &[usize], folder: fn(&MentionIn<'_>) -> String) -> Option<Parts> {
    let mut folders: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for index in members {
        folders.entry(folder(mentions.get(*index)?)).or_default().push(*index);
    }
    if folders.len() < 2 {
        return None;
    }
    let series: Vec<Series<'_>> =
        folders.values().map(|of| Series::of(of.iter().filter_map(|at| mentions.get(*at)))).collect();
    let (mut against, mut with) = (BTreeMap::new(), Vec::new());
    for (a, one) in series.iter().enumerate() {
        for (b, other) in series.iter().enumerate().skip(a + 1) {
            let Compared { agree, contradict } = one.compared(other);
            if agree > 0 {
                with.push((a, b));
            } else if are_enough(&contradict) {
                against.insert((a, b), contradict);
            }
        }
    }
    let homes = joined(series.len(), &with);
    // Folders that agree through a third are one, whatever else they tell.
    against.retain(|(a, b), _| homes[*a] != homes[*b]);
    let involved: BTreeSet<usize> = against.keys().flat_map(|(a, b)| [homes[*a], homes[*b]]).collect();
    let names = short_names(&folders.keys().map(String::as_str).collect::<Vec<_>>());
    let mut found = Parts::default();
    let mut number = BTreeMap::new();
    for home in &involved {
        number.insert(*home, found.parts.len());
        found.parts.push(Part { name: names.get(*home)?.clone(), members: Vec::new() });
    }
    for (home, of) in homes.iter().zip(folders.into_values()) {
        if let Some(part) = number.get(home) {
            found.parts.get_mut(*part)?.members.extend(of);
        }
    }
    found.pairs = against
        .iter()
        .map(|((a, b), days)| (number[&homes[*a]], number[&homes[*b]], evidence(days, &names[*a], &names[*b])))
        .collect();
    (!found.pairs.is_empty()).then_some(found)
}

/// Whether series that contradict in these periods are of two machines.
fn are_enough(periods: &[String]) -> bool {
    let years = periods.iter().filter(|period| period.len() == "2014".len()).count();
    periods.len() - years >= ENOUGH || years >= ENOUGH_YEARS
}

fn evidence(days: &[String], a: &str, b: &str) -> Vec<Evidence> {
    let name = Evidence { column: "tag", what: "one tag", weight: 3.0, a: String::new(), b: String::new() };
    let folders =
        Evidence { column: "site", what: "different folders", weight: -0.5, a: a.to_owned(), b: b.to_owned() };
    let of_day = |day: &String| {
        let what = "tests of one kind on one day without a number in common";
        Evidence { column: "performed_on", what, weight: DAY, a: day.clone(), b: day.clone() }
    };
    [name, folders].into_iter().chain(days.iter().take(MOST_DAYS).map(of_day)).collect()
}

/// For each of `count` the lowest of those that it is joined with.
fn joined(count: usize, pairs: &[(usize, usize)]) -> Vec<usize> {
    let mut homes: Vec<usize> = (0..count).collect();
    // Each round carries the lowest number one pair further.
    for _ in 0..count {
        for (a, b) in pairs {
            let lowest = homes[*a].min(homes[*b]);
            (homes[*a], homes[*b]) = (lowest, lowest);
        }
    }
    homes
}

/// The last parts of paths, as many as tell them apart.
fn short_names(paths: &[&str]) -> Vec<String> {
    let tail = |path: &str, parts: usize| {
        let all: Vec<&str> = path.split(['/', '\\']).filter(|part| !part.is_empty()).collect();
        all.iter().skip(all.len().saturating_sub(parts)).copied().collect::<Vec<_>>().join("/")
    };
    let longest = paths.iter().map(|path| path.split(['/', '\\']).count()).max().unwrap_or(1);
    let differ =
        |parts: &usize| paths.iter().map(|path| tail(path, *parts)).collect::<BTreeSet<_>>().len() == paths.len();
    let parts = (1..=longest).find(differ).unwrap_or(longest);
    paths.iter().map(|path| tail(path, parts)).collect()
}

/// Tests of a folder by day and kind.
struct Series<'a>(BTreeMap<(String, TestKind), Vec<&'a RawTest>>);

/// How two series compare on the days that both tell.
struct Compared {
    agree: usize,
    contradict: Vec<String>,
}

impl<'a> Series<'a> {
    fn of<'m>(mentions: impl Iterator<Item = &'m MentionIn<'a>>) -> Self
    where
        'a: 'm,
    {
        let mut days: BTreeMap<(String, TestKind), Vec<&'a RawTest>> = BTreeMap::new();
        for test in mentions.filter_map(|mention| mention.record) {
            let is_short = |precision| matches!(precision, Precision::Day | Precision::Month | Precision::Year);
            let day = test.performed.as_ref().filter(|told| is_short(told.value.precision));
            // A stage says why a machine was tested twice.
            if let Some(day) = day.filter(|_| test.stage.is_none()) {
                days.entry((day.value.to_string(), test.kind)).or_default().push(test);
            }
        }
        Self(days)
    }

    fn compared(&self, other: &Self) -> Compared {
        let mut compared = Compared { agree: 0, contradict: Vec::new() };
        for (day, tests) in &self.0 {
            let Some(others) = other.0.get(day) else { continue };
            let of = |tests: &[&'a RawTest]| tests.iter().flat_map(|test| test.readings.iter()).collect::<Vec<_>>();
            match agree(&of(tests), &of(others)) {
                Some(true) => compared.agree += 1,
                Some(false) => compared.contradict.push(day.0.clone()),
                None => {}
            }
        }
        compared
    }
}

/// Whether any result of the one is told by the other too; `None` if nothing can be compared.
fn agree(a: &[&RawReading], b: &[&RawReading]) -> Option<bool> {
    let mut comparable = false;
    for one in a {
        for other in b.iter().filter(|other| is_same_measurement(one, other)) {
            comparable = true;
            let (x, y) = (one.unit.value.to_stored(one.number), other.unit.value.to_stored(other.number));
            if (x - y).abs() <= SAME * x.abs().max(y.abs()) {
                return Some(true);
            }
        }
    }
    comparable.then_some(false)
}

fn is_same_measurement(a: &RawReading, b: &RawReading) -> bool {
    let same_time = match (&a.elapsed_s, &b.elapsed_s) {
        (Some(a), Some(b)) => (a.value - b.value).abs() < 0.5,
        _ => true,
    };
    let volts = |reading: &RawReading| reading.applied_voltage_v.as_ref().map(|told| told.value.to_bits());
    let same_voltage = volts(a).zip(volts(b)).is_none_or(|(a, b)| a == b);
    let circuit = |reading: &RawReading| reading.circuit.as_ref().map(|told| told.value);
    a.quantity.value == b.quantity.value
        && circuit(a) == circuit(b)
        && a.as_reported == b.as_reported
        && same_time
        && same_voltage
}

#[cfg(test)]
mod tests {
    use super::{joined, short_names};

    #[test]
    fn folders_that_agree_through_a_third_are_one() {
        assert_eq!(joined(4, &[(2, 3), (0, 3)]), [0, 1, 0, 0]);
        assert_eq!(joined(0, &[]), [0; 0]);
    }

    #[test]
    fn names_of_folders_are_as_short_as_tells_them_apart() {
        assert_eq!(short_names(&["/r/north/log", "/r/south/log"]), ["north/log", "south/log"]);
        assert_eq!(short_names(&["/r/north", "/r/south"]), ["north", "south"]);
    }
}
