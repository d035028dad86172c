//! Imports that do not come to their end: whatever stops them, the fleet is whole, and the next import is as if nothing had been.
#![cfg(unix)]

use crate::{SAMPLES, ask, count, everything, folder, on, program};
use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitStatus, Stdio};

/// The tables are those of one import: nothing of one without the other.
fn is_whole(fleet: &Path) -> String {
    let tables = ["sources", "tests", "readings", "cells"];
    let held = tables.map(|table| count(fleet, &format!("SELECT count(*) FROM {table}")).to_string()).join(",");
    let said = ask(fleet, "SELECT sources, tests, readings, cells FROM imports ORDER BY started_at DESC LIMIT 1");
    assert_eq!(said, [held.as_str()], "the tables hold what the last import says");
    let ids: BTreeSet<String> = ["tests", "cells"]
        .iter()
        .flat_map(|table| ask(fleet, &format!("SELECT DISTINCT import_id FROM {table}")))
        .collect();
    assert_eq!(ids.len(), 1, "and all rows are of one import");
    held
}

/// A fleet with one folder in it, and what it then holds.
fn begun(folder: &Path, name: &str) -> (PathBuf, String) {
    let fleet = folder.join(name);
    let said = on(&fleet, "import", &[&format!("{SAMPLES}/absorption")]);
    assert!(said.status.is_some_and(|status| status <= 1), "{}", said.err);
    let held = is_whole(&fleet);
    (fleet, held)
}

/// Runs an import that may write no file longer than `blocks` of 512 bytes (POSIX `ulimit -f`), which stops it with a signal or,
/// if `trap` says so, with an error of every such write as from a full disk.
fn limited(fleet: &Path, blocks: u64, trap: &str) -> (ExitStatus, String) {
    let script = format!("{trap} ulimit -f {blocks}; exec \"$0\" \"$@\"");
    let output = Command::new("sh")
        .args(["-c", &script, env!("CARGO_BIN_EXE_windrow"), "import", SAMPLES, "--workers", "1", "--fleet"])
        .arg(fleet)
        .output()
        .unwrap();
    (output.status, String::from_utf8_lossy(&output.stderr).into_owned())
}

/// Sizes of the tables' files of the demo, in blocks of 512 bytes, smallest first.
fn sizes() -> Vec<u64> {
    let (fleet, _) = crate::demo();
    let mut sizes = BTreeSet::new();
    for table in ["assets", "tests", "readings", "cells", "sources"] {
        for entry in fs::read_dir(fleet.join("store").join(table)).unwrap() {
            let metadata = entry.unwrap().metadata().unwrap();
            if metadata.is_file() {
                sizes.insert(metadata.len() / 512);
            }
        }
    }
    sizes.into_iter().collect()
}

#[test]
fn an_import_killed_while_it_writes_leaves_the_fleet_whole() {
    let folder = folder();
    let (fleet, before) = begun(folder.path(), "fleet");
    let mut killed = 0;
    for blocks in sizes() {
        let (status, _) = limited(&fleet, blocks.saturating_sub(1), "");
        killed += usize::from(status.code().is_none_or(|code| code > 3));
        if status.code().is_none_or(|code| code > 3) {
            assert_eq!(is_whole(&fleet), before, "killed at files of {blocks} blocks");
        }
    }
    assert!(killed > 2, "the limit stopped it at several files: {killed}");
    on(&fleet, "run", &[SAMPLES]);
    assert_eq!(everything(&fleet), everything(&crate::demo().0), "and the next import is as if nothing had been");
}

#[test]
fn a_disk_that_takes_no_more_is_told_and_leaves_the_fleet_whole() {
    let folder = folder();
    let (fleet, before) = begun(folder.path(), "fleet");
    let largest = *sizes().last().unwrap();
    let (status, err) = limited(&fleet, largest - 1, "trap '' XFSZ;");
    assert_eq!(status.code(), Some(3), "{err}");
    assert!(err.contains("could not write") && err.contains("store/"), "names the file: {err}");
    assert_eq!(is_whole(&fleet), before);
    on(&fleet, "run", &[SAMPLES]);
    assert_eq!(everything(&fleet), everything(&crate::demo().0));
}

#[test]
fn an_import_killed_at_any_line_of_its_log_leaves_the_fleet_whole() {
    let folder = folder();
    let (fleet, before) = begun(folder.path(), "fleet");
    let mut ended = BTreeSet::new();
    // The log of the tables' library is a clock that ticks through the commit.
    for lines in [1, 40, 120, 200, 260, 320, 380, 440, 500, 560, 620, 700] {
        let mut child = program()
            .args(["import", SAMPLES, "--workers", "1", "--log", "debug,windrow=debug", "--fleet"])
            .arg(&fleet)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let log = BufReader::new(child.stderr.take().unwrap());
        let seen = log.lines().take(lines).map(Result::unwrap).count();
        // It may have come to its end by itself.
        let _ = child.kill();
        child.wait().unwrap();
        let held = is_whole(&fleet);
        ended.insert((seen == lines, held == before));
    }
    assert!(ended.contains(&(true, true)), "some were stopped before the commit: {ended:?}");
    on(&fleet, "run", &[SAMPLES]);
    assert_eq!(everything(&fleet), everything(&crate::demo().0));
}
