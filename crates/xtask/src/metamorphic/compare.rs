//! Readings of a changed copy beside those of the file as it was.

use super::book::{Base, Changed, Found, Key};
use crate::score::compare::{circuit, close};
use std::collections::BTreeMap;
use windrow_model::{Reading, Test};

/// What became of the readings.
#[derive(Debug, Clone, Default)]
pub(super) struct Tally {
    /// Readings of the file as it was.
    pub(super) base: usize,
    pub(super) same: usize,
    /// Asked about, or different with a flag that says so.
    pub(super) held: usize,
    /// Stored, with an attribute no longer told.
    pub(super) less: usize,
    /// Neither stored nor asked about.
    pub(super) gone: usize,
    pub(super) wrong: usize,
    /// Readings that were none.
    pub(super) extra: usize,
    pub(super) notes: Vec<String>,
}

impl Tally {
    pub(super) fn add(&mut self, other: Self) {
        self.base += other.base;
        self.same += other.same;
        self.held += other.held;
        self.less += other.less;
        self.gone += other.gone;
        self.wrong += other.wrong;
        self.extra += other.extra;
        self.notes.extend(other.notes);
    }

    pub(super) fn line(&self) -> String {
        let counts = [self.base, self.same, self.held, self.less, self.gone, self.wrong, self.extra];
        counts.map(|count| format!("{count:>7}")).join(" ")
    }
}

/// A reading with its test and the letters and digits of its machine's tag.
struct Fact<'r> {
    reading: &'r Reading,
    test: &'r Test,
    machine: Option<String>,
}

fn facts(found: &Found) -> BTreeMap<Key, Vec<Fact<'_>>> {
    let tests: BTreeMap<&str, &Test> = found.rows.tests.iter().map(|test| (test.test_id.as_str(), test)).collect();
    let machines: BTreeMap<&str, String> =
        found.rows.assets.iter().map(|asset| (asset.asset_id.as_str(), plain(&asset.tag))).collect();
    let mut facts: BTreeMap<Key, Vec<Fact<'_>>> = BTreeMap::new();
    for reading in &found.rows.readings {
        let Some(test) = tests.get(reading.test_id.as_str()) else { continue };
        let machine = test.asset_id.as_deref().and_then(|id| machines.get(id)).cloned();
        let key = (reading.source_sheet.clone(), reading.source_cell.clone());
        facts.entry(key).or_default().push(Fact { reading, test, machine });
    }
    for several in facts.values_mut() {
        several.sort_by(|a, b| a.reading.circuit.cmp(&b.reading.circuit).then(a.reading.seq.cmp(&b.reading.seq)));
    }
    facts
}

fn plain(tag: &str) -> String {
    tag.chars().filter(|letter| letter.is_alphanumeric()).collect::<String>().to_uppercase()
}

/// Counts what became of the readings of `base`.
pub(super) fn tally(file: &str, base: &Base, changed: &Changed, found: &Found) -> Tally {
    let (before, mut after) = (facts(&base.found), facts(found));
    let single = matches!(changed, Changed::File { .. });
    let mut tally = Tally::default();
    for (key, was) in &before {
        // Another container takes one sheet.
        if single && base.book.sheets.first().is_some_and(|sheet| sheet.name.as_deref() != key.0.as_deref()) {
            continue;
        }
        let now = after.remove(key).unwrap_or_default();
        tally.base += was.len();
        tally.extra += now.len().saturating_sub(was.len());
        for (at, was) in was.iter().enumerate() {
            let Some(now) = now.get(at) else {
                if found.held.contains(key) {
                    tally.held += 1;
                } else {
                    tally.gone += 1;
                    tally.notes.push(format!("gone: {file} {:?} {} {:?}", key.0, key.1, was.reading.raw_text));
                }
                continue;
            };
            judge(file, was, now, &mut tally);
        }
    }
    for (key, extra) in after {
        tally.extra += extra.len();
        tally.notes.push(format!("extra: {file} {:?} {}", key.0, key.1));
    }
    tally
}

fn judge(file: &str, was: &Fact<'_>, now: &Fact<'_>, tally: &mut Tally) {
    let differences = differences(was, now);
    let wrong: Vec<String> = differences
        .iter()
        .filter(|(field, less, _)| !less && !crate::score::compare::owns(field, now.reading, now.test))
        .map(|(field, _, text)| format!("{field} {text}"))
        .collect();
    if differences.is_empty() {
        tally.same += 1;
    } else if !wrong.is_empty() {
        tally.wrong += 1;
        let reading = was.reading;
        let place = format!("{:?} {} {:?}", reading.source_sheet, reading.source_cell, reading.raw_text);
        tally.notes.insert(0, format!("WRONG: {file} {place}: {}", wrong.join("; ")));
    } else if differences.iter().all(|(_, less, _)| *less) {
        tally.less += 1;
        let lost: Vec<String> = differences.iter().map(|(field, _, text)| format!("{field} {text}")).collect();
        let reading = was.reading;
        tally.notes.push(format!(
            "less: {file} {:?} {}: {}",
            reading.source_sheet,
            reading.source_cell,
            lost.join("; ")
        ));
    } else {
        tally.held += 1;
    }
}

/// Field, whether the copy merely tells less, and both values.
fn differences(was: &Fact<'_>, now: &Fact<'_>) -> Vec<(&'static str, bool, String)> {
    let mut found = Vec::new();
    let mut texts = |field, was: Option<&str>, now: Option<&str>| {
        if was != now {
            found.push((field, now.is_none(), format!("{} -> {}", was.unwrap_or("-"), now.unwrap_or("-"))));
        }
    };
    texts("quantity", Some(&was.reading.quantity), Some(&now.reading.quantity));
    texts("bound", Some(&was.reading.bound), Some(&now.reading.bound));
    texts("as_reported", Some(&was.reading.as_reported), Some(&now.reading.as_reported));
    texts("circuit", was.reading.circuit.as_deref().map(circuit), now.reading.circuit.as_deref().map(circuit));
    texts("asset", was.machine.as_deref(), now.machine.as_deref());
    let date = |fact: &Fact<'_>| fact.test.performed_on.map(|date| format!("{date}/{}", fact.test.performed_precision));
    let coarser = match (date(was), date(now)) {
        (Some(was), Some(now)) if was.ends_with("/day") && !now.ends_with("/day") => was.get(..4) == now.get(..4),
        _ => false,
    };
    if !coarser {
        texts("date", date(was).as_deref(), date(now).as_deref());
    }
    let volts = |fact: &Fact<'_>| fact.reading.applied_voltage_v.or(fact.test.test_voltage_v);
    let mut numbers = |field, was: Option<f64>, now: Option<f64>| {
        let same = match (was, now) {
            (Some(was), Some(now)) => close(was, now, 1e-6, 1e-15),
            (was, now) => was.is_none() && now.is_none(),
        };
        if !same {
            found.push((field, now.is_none(), format!("{was:?} -> {now:?}")));
        }
    };
    numbers("value", Some(was.reading.value), Some(now.reading.value));
    numbers("elapsed", was.reading.elapsed_s, now.reading.elapsed_s);
    numbers("voltage", volts(was), volts(now));
    numbers("temperature", was.test.winding_temperature_c, now.test.winding_temperature_c);
    if coarser {
        found.push(("date", true, String::new()));
    }
    found
}
