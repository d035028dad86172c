//! Counting what an import got right, asked about, missed or invented.

use super::compare::{self, FIELDS, Verdict, circuit, close, owns};
use super::machines::{self, Item};
use super::place::{self, At};
use super::strays::{self, Put};
use super::truth::{True, Truth};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Asset, Reading, Test, Text};
use windrow_pipeline::Rows;

/// Columns of the table: key and heading. `less` are readings, right or not, of which something told was left empty; `stray` those that
/// were put to a machine they are not of, `misnamed` those of them whose machine is called otherwise.
const COLUMNS: [(&str, &str); 15] = [
    ("right", "right"),
    ("incomplete", "less"),
    ("right_flagged", "r.flag"),
    ("wrong_flagged", "w.flag"),
    ("silently_wrong", "SILENT"),
    ("held", "held"),
    ("missed", "missed"),
    ("expect_hold", "due"),
    ("held_as_expected", "asked"),
    ("guessed", "GUESSED"),
    ("hold_lost", "lost"),
    ("false_readings", "false"),
    ("invented", "invent"),
    ("stray", "stray"),
    ("misnamed", "MISPUT"),
];

/// How the machine of a reading is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Machines {
    /// By which readings are grouped together; a wrong group is counted apart.
    ByGroup,
    /// By its tag, which no other machine of the corpus has; a wrong one is silently wrong.
    ByTag,
}

type Key = (String, Option<String>, At);

/// Counts by style, and what went wrong where.
#[derive(Debug, Default)]
pub(crate) struct Score {
    styles: BTreeMap<String, BTreeMap<String, usize>>,
    problems: Vec<(String, String)>,
    pub(crate) machines: machines::Machines,
    pub(crate) duplicates: machines::Duplicates,
}

impl Score {
    fn add(&mut self, file: &str, key: &str) {
        let style = file.split('/').next().unwrap_or(file).to_owned();
        *self.styles.entry(style).or_default().entry(key.to_owned()).or_default() += 1;
    }

    fn note(&mut self, kind: &str, truth: &True, detail: &str) {
        let cell = truth.cell.clone().or_else(|| truth.line.map(|line| line.to_string())).unwrap_or_default();
        let sheet = truth.sheet.as_deref().unwrap_or_default();
        self.problems.push((kind.to_owned(), format!("{} [{sheet}] {cell} {detail}", truth.file)));
    }

    /// Total of one counter.
    pub(crate) fn total(&self, key: &str) -> usize {
        self.styles.values().filter_map(|counts| counts.get(key)).sum()
    }

    /// The counters for other programs.
    pub(crate) fn as_json(&self) -> Value {
        json!({ "styles": self.styles, "machines": { "precision": self.machines.precision, "recall": self.machines.recall, "true": self.machines.of_truth, "found": self.machines.of_import },
            "duplicates": { "due": self.duplicates.due, "found": self.duplicates.found, "slips_due": self.duplicates.slips_due,
                "slips_found": self.duplicates.slips_found, "missed": self.duplicates.missed, "invented": self.duplicates.invented }, "problems": self.problems })
    }

    /// Prints the table and the first `show` problems of each kind.
    pub(crate) fn print(&self, show: usize) {
        let width = self.styles.keys().map(String::len).max().unwrap_or(5).max(5);
        let heads: Vec<String> = COLUMNS.iter().map(|(_, head)| format!("{head:>7}")).collect();
        println!("{:<width$} {:>6} {}", "style", "truth", heads.join(" "));
        let empty = BTreeMap::new();
        for style in self.styles.keys() {
            let counts = self.styles.get(style).unwrap_or(&empty);
            self.line(style, width, &|key| counts.get(key).copied().unwrap_or(0));
        }
        self.line("TOTAL", width, &|key| self.total(key));
        let by_field = |prefix: &str| {
            let told: Vec<String> = FIELDS
                .iter()
                .map(|field| (field, self.total(&format!("{prefix}_{field}"))))
                .filter(|(_, count)| *count > 0)
                .map(|(field, count)| format!("{field} {count}"))
                .collect();
            told.join(", ")
        };
        println!("silently wrong by field: {}", by_field("wrong"));
        println!("left empty by field:     {}", by_field("incomplete"));
        let (machines, copies) = (&self.machines, &self.duplicates);
        println!(
            "machines: B-cubed precision {:.4} recall {:.4} over {} tests; {} true machines, {} in the fleet",
            machines.precision, machines.recall, machines.tests, machines.of_truth, machines.of_import
        );
        println!(
            "duplicates: found {} of {} (with a slip: {} of {}), missed {}, invented {}",
            copies.found,
            copies.due,
            copies.slips_found,
            copies.slips_due,
            copies.missed.len(),
            copies.invented.len()
        );
        let kinds: BTreeSet<&str> = self.problems.iter().map(|(kind, _)| kind.as_str()).collect();
        for kind in kinds {
            let all: Vec<&str> =
                self.problems.iter().filter(|(of, _)| of == kind).map(|(_, text)| text.as_str()).collect();
            for text in all.iter().take(show) {
                println!("  {kind}: {text}");
            }
            if all.len() > show {
                println!("  {kind}: and {} more", all.len() - show);
            }
        }
    }

    fn line(&self, name: &str, width: usize, count: &dyn Fn(&str) -> usize) {
        let cells: Vec<String> = COLUMNS
            .iter()
            .map(|(key, _)| match *key {
                "guessed" => count("guessed_silently") + count("guessed_flagged"),
                key => count(key),
            })
            .map(|count| format!("{count:>7}"))
            .collect();
        println!("{name:<width$} {:>6} {}", count("truth"), cells.join(" "));
    }
}

struct Index<'r> {
    readings: BTreeMap<Key, Vec<usize>>,
    tests: BTreeMap<&'r str, &'r Test>,
    assets: BTreeMap<&'r str, &'r Asset>,
    machines: Machines,
    asked: BTreeSet<Key>,
    asked_rows: BTreeSet<(String, Option<String>, String)>,
    asked_sheets: BTreeSet<(String, Option<String>)>,
    /// Files whose truth names no sheet.
    sheetless: BTreeSet<&'r str>,
}

impl Index<'_> {
    fn key(&self, file: &str, sheet: Option<&str>, at: At) -> Key {
        let sheet = if self.sheetless.contains(file) { None } else { sheet.map(str::to_owned) };
        (file.to_owned(), sheet, at)
    }

    fn keys_of(&self, truth: &True) -> Vec<Key> {
        let key = |at| self.key(&truth.file, truth.sheet.as_deref(), at);
        if let Some(cell) = &truth.cell {
            return vec![key(At::Cell(cell.clone()))];
        }
        let path = truth.xpath.as_ref().map(|path| key(At::Path(place::xpath(path))));
        path.into_iter().chain(truth.line.map(|line| key(At::Line(line)))).collect()
    }

    fn compare(&self, truth: &True, reading: &Reading, test: &Test) -> Verdict {
        let mut verdict = compare::compare(truth, reading, test);
        if self.machines == Machines::ByTag {
            let asset = test.asset_id.as_deref().and_then(|id| self.assets.get(id)).copied();
            compare::machine(truth, asset, &mut verdict);
        }
        verdict
    }

    fn is_asked(&self, truth: &True) -> bool {
        let row = truth.cell.as_deref().map(|cell| cell.trim_start_matches(char::is_alphabetic).to_owned());
        let related = truth
            .related
            .iter()
            .filter_map(|cell| Some(self.key(&truth.file, truth.sheet.as_deref(), place::read(cell)?.0)));
        self.keys_of(truth).into_iter().chain(related).any(|key| self.asked.contains(&key))
            || self.asked_sheets.contains(&(truth.file.clone(), truth.sheet.clone()))
            || row.is_some_and(|row| self.asked_rows.contains(&(truth.file.clone(), truth.sheet.clone(), row)))
    }
}

/// Counts.
pub(crate) fn count(truth: &Truth, rows: &Rows, machines: Machines) -> Score {
    let index = index(truth, rows, machines);
    let mut score = Score::default();
    let mut used = vec![false; rows.readings.len()];
    let mut clusters: BTreeSet<Item> = BTreeSet::new();
    let mut puts: Vec<Put<'_>> = Vec::new();
    let paired = pairs(truth, rows, &index, &mut used);
    let readings: Vec<(&True, Option<&Reading>)> =
        paired.iter().map(|(truth, at)| (*truth, at.and_then(|at| rows.readings.get(at)))).collect();
    score.duplicates = machines::Duplicates::of(&readings, &rows.tests);
    for (true_reading, paired) in paired {
        score.add(&true_reading.file, "truth");
        let found = paired.and_then(|at| {
            let reading = &rows.readings[at];
            index.tests.get(reading.test_id.as_str()).map(|test| (reading, *test))
        });
        if let (Some((_, test)), Some(asset)) = (found, &true_reading.asset)
            && let Some(id) = &test.asset_id
        {
            let sheet = true_reading.sheet.as_deref().unwrap_or_default();
            let item = format!("{}|{sheet}|{:?}", true_reading.file, true_reading.performed_on);
            clusters.insert((asset.clone(), id.to_string(), item));
            puts.push(Put { truth: true_reading, asset, id });
        }
        one(true_reading, found, &index, &mut score);
    }
    false_readings(truth, rows, &index, &used, &mut score);
    note_mixed(&clusters, rows, &mut score);
    for put in strays::strays(&puts) {
        let tag = index.assets.get(put.id).map(|asset| asset.tag.clone()).unwrap_or_default();
        score.add(&put.truth.file, "stray");
        if strays::is_named_otherwise(put, &tag) {
            score.add(&put.truth.file, "misnamed");
        }
        score.note("stray", put.truth, &format!("of {} put to {tag:?}", put.truth.tag.as_deref().unwrap_or(put.asset)));
    }
    score.machines = machines::Machines::of(&clusters);
    score
}

fn index<'r>(truth: &'r Truth, rows: &'r Rows, machines: Machines) -> Index<'r> {
    let sheetless =
        truth.readings.iter().filter(|truth| truth.sheet.is_none()).map(|truth| truth.file.as_str()).collect();
    let mut index = Index {
        readings: BTreeMap::new(),
        tests: rows.tests.iter().map(|test| (test.test_id.as_str(), test)).collect(),
        assets: rows.assets.iter().map(|asset| (asset.asset_id.as_str(), asset)).collect(),
        machines,
        asked: BTreeSet::new(),
        asked_rows: BTreeSet::new(),
        asked_sheets: BTreeSet::new(),
        sheetless,
    };
    for (at, reading) in rows.readings.iter().enumerate() {
        if let Some((place, _)) = place::read(&reading.source_cell) {
            let key = index.key(&reading.source_file, reading.source_sheet.as_deref(), place);
            index.readings.entry(key).or_default().push(at);
        }
    }
    let holds = rows.holds.iter().map(|hold| (&hold.source_file, &hold.source_sheet, hold.source_cell.as_deref()));
    let held = rows.cells.iter().filter(|cell| cell.disposition == "held");
    for (file, sheet, cell) in
        holds.chain(held.map(|cell| (&cell.source_file, &cell.source_sheet, Some(cell.source_cell.as_str()))))
    {
        let text = cell.unwrap_or_default();
        for cell in place::span(text) {
            let key = index.key(file, sheet.as_deref(), At::Cell(cell));
            index.asked.insert(key);
        }
        match place::read(text) {
            Some((place, _)) => {
                let key = index.key(file, sheet.as_deref(), place);
                index.asked.insert(key);
            }
            None => {
                index.asked_sheets.insert((file.to_string(), sheet.as_ref().map(Text::to_string)));
            }
        }
    }
    for (file, sheet, at) in &index.asked {
        if let At::Cell(cell) = at {
            let row = cell.trim_start_matches(char::is_alphabetic).to_owned();
            index.asked_rows.insert((file.clone(), sheet.clone(), row));
        }
    }
    index
}

/// Each truth with the reading of its place that is most like it.
fn pairs<'t>(truth: &'t Truth, rows: &Rows, index: &Index<'_>, used: &mut [bool]) -> Vec<(&'t True, Option<usize>)> {
    let mut groups: BTreeMap<Vec<Key>, Vec<&True>> = BTreeMap::new();
    for reading in &truth.readings {
        groups.entry(index.keys_of(reading)).or_default().push(reading);
    }
    let mut paired = Vec::new();
    for (keys, truths) in groups {
        let found: Vec<usize> = keys
            .iter()
            .flat_map(|key| index.readings.get(key).into_iter().flatten())
            .copied()
            .filter(|at| !used[*at])
            .collect();
        let mut bids: Vec<(i32, usize, usize)> = Vec::new();
        for (t, truth) in truths.iter().enumerate() {
            let same_token = |at: usize| index.machines == Machines::ByGroup || near(truth, &rows.readings[at]);
            let candidates = found.iter().enumerate().filter(|(_, at)| same_token(**at));
            bids.extend(candidates.map(|(r, at)| (-likeness(truth, &rows.readings[*at]), t, r)));
        }
        bids.sort_unstable();
        let (mut done, mut taken) = (BTreeMap::new(), BTreeSet::new());
        for (_, t, r) in bids {
            if !done.contains_key(&t) && taken.insert(r) {
                done.insert(t, found[r]);
                used[found[r]] = true;
            }
        }
        paired.extend(truths.iter().enumerate().map(|(t, truth)| (*truth, done.get(&t).copied())));
    }
    paired
}

/// Whether a reading of a print-out stands where its truth does: another number of the line is another number.
fn near(truth: &True, reading: &Reading) -> bool {
    let column = place::read(&reading.source_cell).and_then(|(_, column)| column);
    truth.column.zip(column).is_none_or(|(want, have)| want.abs_diff(have) <= 3)
}

fn likeness(truth: &True, reading: &Reading) -> i32 {
    let same_time = matches!((truth.elapsed_s, reading.elapsed_s), (Some(a), Some(b)) if close(a, b, 1e-6, 0.01));
    let same_value = truth.value.is_some_and(|value| close(value, reading.value, 1e-6, 1e-15));
    let same_circuit = truth.circuit.as_deref().map(circuit) == reading.circuit.as_deref().map(circuit);
    let column = place::read(&reading.source_cell).and_then(|(_, column)| column);
    4 * i32::from(truth.quantity == reading.quantity)
        + 3 * i32::from(same_value)
        + 2 * i32::from(same_circuit)
        + 2 * i32::from(same_time)
        + 6 * i32::from(column.is_some() && column == truth.column)
}

fn one(truth: &True, found: Option<(&Reading, &Test)>, index: &Index<'_>, score: &mut Score) {
    let file = &truth.file;
    if truth.expect == "hold" {
        score.add(file, "expect_hold");
        return due(truth, found, index, score);
    }
    let Some((reading, test)) = found else {
        let kind = if index.is_asked(truth) { "held" } else { "missed" };
        score.add(file, kind);
        return score.note(kind, truth, &truth.why);
    };
    invented(truth, reading, test, score);
    let verdict = index.compare(truth, reading, test);
    if !verdict.empty.is_empty() {
        score.add(file, "incomplete");
    }
    for field in &verdict.empty {
        score.add(file, &format!("incomplete_{field}"));
        score.note(&format!("empty {field}"), truth, "");
    }
    let silent: Vec<&str> = verdict.wrong.iter().copied().filter(|field| !owns(field, reading, test)).collect();
    if !silent.is_empty() {
        score.add(file, "silently_wrong");
        for field in &silent {
            score.add(file, &format!("wrong_{field}"));
        }
        score.note("silently_wrong", truth, &format!("{:?} {}", reading.raw_text, verdict.notes.join("; ")));
    } else if !verdict.wrong.is_empty() {
        score.add(file, "wrong_flagged");
        score.note("wrong_flagged", truth, &verdict.notes.join("; "));
    } else if reading.flags.iter().any(|flag| flag.contains("assumed")) {
        score.add(file, "right_flagged");
        for flag in reading.flags.iter().filter(|flag| flag.contains("assumed")) {
            score.note(&format!("flag {flag}"), truth, "");
        }
    } else {
        score.add(file, "right");
    }
}

fn invented(truth: &True, reading: &Reading, test: &Test, score: &mut Score) {
    for field in &truth.must_be_unknown {
        let told = match field.as_str() {
            "winding_temperature_c" => test.winding_temperature_c.is_some(),
            "ambient_temperature_c" => test.ambient_temperature_c.is_some(),
            "elapsed_s" => reading.elapsed_s.is_some(),
            "applied_voltage_v" => reading.applied_voltage_v.or(test.test_voltage_v).is_some(),
            _ => false,
        };
        let named = match field.as_str() {
            "elapsed_s" => "elapsed",
            "applied_voltage_v" => "voltage",
            _ => "temperature",
        };
        if told && !owns(named, reading, test) {
            score.add(&truth.file, "invented");
            score.note("invented", truth, field);
        }
    }
}

/// A reading of which something must be asked.
fn due(truth: &True, found: Option<(&Reading, &Test)>, index: &Index<'_>, score: &mut Score) {
    let file = &truth.file;
    let asked = index.is_asked(truth);
    let Some((reading, test)) = found else {
        let kind = if asked { "held_as_expected" } else { "hold_lost" };
        score.add(file, kind);
        if !asked {
            score.note(kind, truth, &truth.why);
        }
        return;
    };
    invented(truth, reading, test, score);
    let field = truth.hold_field.as_deref().unwrap_or("value");
    let verdict = index.compare(truth, reading, test);
    let silent: Vec<&str> = verdict.wrong.iter().copied().filter(|field| !owns(field, reading, test)).collect();
    let same_year = truth.year.is_none_or(|year| test.performed_on.is_some_and(|date| i32::from(date.year()) == year));
    let coarse = test.performed_on.is_none()
        || matches!(test.performed_precision.as_str(), "year" | "unknown" | "quarter") && same_year;
    let owned = owns(field, reading, test);
    let told = if asked || owned { "held_as_expected" } else { "hold_lost" };
    let kind = if !silent.is_empty() {
        "silently_wrong"
    } else if field == "date" && coarse || field == "asset" && test.asset_id.is_none() {
        told
    } else if field == "value" && truth.accept_unbounded && reading.bound == "at_least" && !reading.value.is_finite() {
        "held_as_expected"
    } else if owned {
        "guessed_flagged"
    } else {
        "guessed_silently"
    };
    score.add(file, kind);
    for field in &silent {
        score.add(file, &format!("wrong_{field}"));
    }
    if kind != "held_as_expected" {
        score.note(kind, truth, &format!("{} {}", truth.why, verdict.notes.join("; ")));
    }
}

/// Quantities that the truth does not speak of: circumstances of other readings.
const AUXILIARY: [&str; 3] = ["temperature", "time", "voltage"];

fn false_readings(truth: &Truth, rows: &Rows, index: &Index<'_>, used: &[bool], score: &mut Score) {
    let mut known: BTreeMap<Key, (&str, &str)> = BTreeMap::new();
    for not in &truth.not_readings {
        let at = not.cell.clone().map(At::Cell).or(not.line.map(At::Line));
        if let Some(at) = at {
            known.insert(index.key(&not.file, not.sheet.as_deref(), at), (&not.disposition, &not.why));
        }
    }
    for (reading, _) in rows.readings.iter().zip(used).filter(|(_, used)| !**used) {
        let key = place::read(&reading.source_cell)
            .map(|(at, _)| index.key(&reading.source_file, reading.source_sheet.as_deref(), at));
        let told = key.and_then(|key| known.get(&key)).copied();
        if told.is_none() && AUXILIARY.contains(&reading.quantity.as_str()) {
            score.add(&reading.source_file, "auxiliary");
            continue;
        }
        let (kind, why) = told.unwrap_or(("not_in_truth", ""));
        score.add(&reading.source_file, "false_readings");
        score.add(&reading.source_file, &format!("false_{kind}"));
        score.problems.push((
            format!("false_{kind}"),
            format!(
                "{} {:?} {} {} {why}",
                reading.source_file, reading.source_sheet, reading.source_cell, reading.raw_text
            ),
        ));
    }
}

/// Machines of the import that stand for several true ones.
fn note_mixed(clusters: &BTreeSet<Item>, rows: &Rows, score: &mut Score) {
    let mut of_found: BTreeMap<&str, BTreeMap<&str, &str>> = BTreeMap::new();
    for (asset, id, item) in clusters {
        of_found.entry(id).or_default().entry(asset).or_insert(item);
    }
    for (id, assets) in of_found.iter().filter(|(_, assets)| assets.len() > 1) {
        let tag = rows
            .assets
            .iter()
            .find(|asset| asset.asset_id == **id)
            .map(|asset| format!("{} {:?}", asset.tag, asset.site));
        score.problems.push(("mixed machines".to_owned(), format!("{} {assets:?}", tag.unwrap_or_default())));
    }
}
