//! Every case of `tests/reference/stats_*.json` of the repository, each at the tolerance that it states.
//!
//! Libraries and versions stand in the cases and in the README beside them, and are printed where a case fails. A case that no
//! function here claims fails the test, and the number of cases is held.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests fail by panicking")]

mod case;
mod multiplicity;
mod nist;
mod robust;
mod survival;
mod trend;
mod waveform;
mod worked_examples;

use case::{Case, cases};

/// Cases in the files, those on physics among them.
const ALL: usize = 79;
/// Corrections and dew points: `crates/criteria/tests/reference.rs` runs these and holds their number.
const PHYSICS: usize = 25;

/// Runs one case.
type Run = fn(&Case);

#[test]
fn every_case_is_run() {
    let files: [(&str, Run); 6] = [
        ("trend", trend::run),
        ("survival", survival::run),
        ("robust", robust::run),
        ("multiplicity", multiplicity::run),
        ("waveform", waveform::run),
        ("nist", nist::run),
    ];
    let mut count = cases("physics").len();
    assert_eq!(count, PHYSICS);
    for (file, run) in files {
        for case in cases(file) {
            run(&case);
            case.was_held();
            count += 1;
        }
    }
    assert_eq!(count, ALL);
}

/// A file of cases that this test does not know would be run by nobody.
#[test]
fn no_file_of_cases_is_unknown() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference");
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| name.starts_with("stats_"))
        .collect();
    names.sort();
    let known =
        ["datasets", "multiplicity", "nada_values", "nist", "physics", "robust", "survival", "trend", "waveform"];
    assert_eq!(names, known.map(|name| format!("stats_{name}.json")));
}
