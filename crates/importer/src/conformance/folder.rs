//! What stands in a plugin's folder.

use super::case::{Case, Expect, file_name};
use super::{Complaints, golden};
use crate::registry::Registry;
use std::fs;
use std::path::Path;

/// Most bytes of a sample.
const LARGEST_SAMPLE: usize = 20_000;
/// Most lines of a golden: what nobody reads nobody checks.
const LONGEST_GOLDEN: usize = 200;
/// Headings that the documentation of every plugin has.
const HEADINGS: [&str; 3] = ["//! # What it reads", "//! # How it is recognised", "//! # What is lost"];

/// Texts of a descriptor, whatever the kind of the plugin.
struct Texts {
    id: &'static str,
    named: [(&'static str, &'static str); 4],
    reads: &'static [&'static str],
}

fn texts(id: &str, registry: &Registry) -> Option<Texts> {
    let reader = registry.readers().iter().find(|plugin| plugin.id == id).map(|plugin| Texts {
        id: plugin.id,
        named: [
            ("title", plugin.title),
            ("summary", plugin.summary),
            ("version", plugin.version),
            ("since", plugin.since),
        ],
        reads: plugin.reads,
    });
    reader.or_else(|| {
        registry.importers().iter().find(|plugin| plugin.id == id).map(|plugin| Texts {
            id: plugin.id,
            named: [
                ("title", plugin.title),
                ("summary", plugin.summary),
                ("version", plugin.version),
                ("since", plugin.since),
            ],
            reads: plugin.reads,
        })
    })
}

/// Holds a folder to its form and a descriptor to its texts.
pub(super) fn check(plugin: &Path, registry: &Registry) -> Complaints {
    let mut complaints = Complaints::none();
    let plugin = plugin.canonicalize().unwrap_or_else(|_| plugin.to_path_buf());
    let name = file_name(&plugin);
    let Some(texts) = texts(&name, registry) else {
        complaints.add(format!("plugins/{name} registers no plugin with the id {name:?}, the name of its folder"));
        return complaints;
    };
    if texts.id.is_empty() || !texts.id.split('-').all(is_word) {
        complaints.add(format!("the id {:?} is not kebab case", texts.id));
    }
    for (field, text) in texts.named {
        if text.trim().is_empty() {
            complaints.add(format!("{name} has no {field}"));
        }
    }
    if texts.reads.is_empty() || texts.reads.iter().any(|text| text.trim().is_empty()) {
        complaints.add(format!("{name} does not say what it reads"));
    }
    let text = |file: &str| fs::read_to_string(plugin.join(file)).unwrap_or_default();
    if !text("Cargo.toml").contains(&format!("name = \"windrow-plugin-{name}\"")) {
        complaints.add(format!("the package of {name} is not named windrow-plugin-{name}"));
    }
    if text("README.md").trim().is_empty() {
        complaints.add(format!("{name} has no README.md"));
    }
    let code = text("src/lib.rs");
    for heading in HEADINGS.iter().filter(|heading| !code.lines().any(|line| line.trim_end() == **heading)) {
        complaints.add(format!("src/lib.rs of {name} lacks the heading \"{heading}\""));
    }
    complaints
}

fn is_word(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
}

/// Holds the samples of a plugin to their number, their size and what is said of them.
pub(super) fn check_cases(plugin: &Path, cases: &[Case], registry: &Registry) -> Complaints {
    let mut complaints = Complaints::none();
    let name = plugin.canonicalize().map(|plugin| file_name(&plugin)).unwrap_or_default();
    let is_reader = registry.readers().iter().any(|plugin| plugin.id == name);
    let wanted: &[(Expect, usize)] = if is_reader {
        &[(Expect::Read, 2), (Expect::Error, 1), (Expect::Refuse, 1)]
    } else {
        &[(Expect::Read, 2), (Expect::Hold, 1), (Expect::Refuse, 1)]
    };
    for (expect, least) in wanted {
        let count = cases.iter().filter(|case| case.expect() == *expect).count();
        if count < *least {
            complaints.add(format!("{name} has {count} samples to {expect:?}, and needs {least}"));
        }
    }
    for case in cases {
        check_case(case, is_reader, &mut complaints);
    }
    orphans(plugin, cases, &mut complaints);
    complaints
}

fn check_case(case: &Case, is_reader: bool, complaints: &mut Complaints) {
    let (name, said) = (case.name(), &case.said);
    if said.why.trim().is_empty() {
        complaints.add(format!("{name} does not say why it exists"));
    }
    if case.bytes.len() > LARGEST_SAMPLE {
        complaints.add(format!("{name} has {} bytes; {LARGEST_SAMPLE} are enough for one thing", case.bytes.len()));
    }
    let is_of_kind = match said.expect {
        Expect::Read | Expect::Refuse => true,
        Expect::Error => is_reader,
        Expect::Hold => !is_reader,
    };
    if !is_of_kind {
        complaints.add(format!("{name} expects what only the other kind of plugin can do"));
    }
    let counts = [said.cells.is_some(), said.readings.is_some(), said.holds.is_some()];
    let wanted = match (is_reader, said.expect) {
        (true, Expect::Read) => [true, false, false],
        (false, Expect::Read) => [false, true, false],
        (false, Expect::Hold) => [false, true, true],
        _ => [false; 3],
    };
    if counts != wanted {
        complaints
            .add(format!("{name} must say exactly what can be counted: cells (reader), readings, holds (importer)"));
    }
    let lines = fs::read_to_string(case.golden()).map_or(0, |text| text.lines().count());
    if lines > LONGEST_GOLDEN {
        complaints.add(format!("the golden of {name} has {lines} lines; {LONGEST_GOLDEN} are enough: cut the sample"));
    }
}

/// Goldens without a case.
fn orphans(plugin: &Path, cases: &[Case], complaints: &mut Complaints) {
    let Ok(entries) = fs::read_dir(plugin.join("golden")) else { return };
    let known: Vec<String> =
        cases.iter().filter(|case| golden::has_one(case)).map(|case| file_name(&case.golden())).collect();
    let mut names: Vec<String> = entries.filter_map(Result::ok).map(|entry| file_name(&entry.path())).collect();
    names.sort();
    for name in names.iter().filter(|name| !known.contains(name)) {
        complaints.add(format!("golden/{name} belongs to no case"));
    }
}
