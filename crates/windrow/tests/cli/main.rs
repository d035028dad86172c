//! The program as people run it: the real binary over the demo records, its output, its exit status, and what it leaves on the disk.
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

mod again;
mod bad_input;
mod doubts;
mod export;
mod feed;
mod findings;
mod fleet;
mod forms;
mod layouts;
mod levels;
mod log;
mod machines;
mod plan;
mod pump;
mod readme;
mod records;
mod report;
mod serve;
mod stopped;
mod trade;
mod truth;

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// The demo records.
const SAMPLES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../samples");
/// Every table of the schema; `imports` is told apart because it says when.
const TABLES: [&str; 11] = [
    "assets",
    "tests",
    "readings",
    "reported_figures",
    "waveforms",
    "cells",
    "holds",
    "sources",
    "test_summary",
    "findings",
    "coverage",
];

/// What the program said, and how it ended.
#[derive(Debug)]
struct Said {
    status: Option<i32>,
    out: String,
    err: String,
}

impl From<Output> for Said {
    fn from(output: Output) -> Self {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        Self { status: output.status.code(), out: text(output.stdout), err: text(output.stderr) }
    }
}

fn program() -> Command {
    Command::new(env!("CARGO_BIN_EXE_windrow"))
}

fn windrow<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Said {
    program().args(arguments).output().unwrap().into()
}

/// Runs `command` on a fleet with further arguments.
fn on(fleet: &Path, command: &str, arguments: &[&str]) -> Said {
    windrow([&[command, "--fleet", fleet.to_str().unwrap()][..], arguments].concat())
}

/// The answer to a statement, as lines of comma-separated values without the header.
fn ask(fleet: &Path, sql: &str) -> Vec<String> {
    let said = on(fleet, "query", &[sql, "--format", "csv"]);
    assert_eq!(said.status, Some(0), "{sql}: {}", said.err);
    said.out.lines().skip(1).map(str::to_owned).collect()
}

/// The answer to a statement that gives one number.
fn count(fleet: &Path, sql: &str) -> i64 {
    let lines = ask(fleet, sql);
    assert_eq!(lines.len(), 1, "{sql}");
    lines[0].parse().unwrap()
}

/// All rows of all tables but `imports`.
fn everything(fleet: &Path) -> Vec<(&'static str, Vec<String>)> {
    TABLES.map(|table| (table, ask(fleet, &format!("SELECT * FROM {table}")))).to_vec()
}

/// Number of commits that readers can see.
fn commits(fleet: &Path) -> usize {
    let log = fs::read_dir(fleet.join("store/commits/_delta_log")).unwrap();
    log.filter(|entry| entry.as_ref().unwrap().path().extension().is_some_and(|ending| ending == "json")).count()
}

/// What `windrow run samples` said once, and the fleet that it made, which tests only read.
fn demo() -> &'static (PathBuf, Said) {
    static DEMO: OnceLock<(PathBuf, Said)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let fleet = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo");
        // What an earlier run of these tests left.
        let _ = fs::remove_dir_all(&fleet);
        let said = on(&fleet, "run", &[SAMPLES]);
        (fleet, said)
    })
}

/// A folder for one test.
fn folder() -> tempfile::TempDir {
    tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap()
}

/// A log of one machine with one reading, MOhm.
fn log_of(machine: &str, reading: u32) -> String {
    format!("Motor,Date,IR MOhm,Rated voltage V\n{machine},2001-02-03,{reading},480\n")
}
