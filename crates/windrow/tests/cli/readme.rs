//! What the guide shows, run as it stands there.
#![cfg(unix)]

use crate::{SAMPLES, folder};
use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::Command;

const GUIDE: &str = include_str!("../../../../README.md");

/// The lines of the block of commands that holds `mark`.
fn block(mark: &str) -> Vec<&'static str> {
    let mut blocks = GUIDE.split("```sh\n").skip(1).filter_map(|rest| rest.split("```").next());
    blocks.find(|block| block.contains(mark)).unwrap().lines().collect()
}

/// Runs `line` in `folder`, where `windrow` is the program.
fn shell(folder: &Path, line: &str) {
    let path = format!("{}:{}", folder.join("bin").display(), std::env::var("PATH").unwrap());
    let output = Command::new("sh").args(["-c", line]).env("PATH", path).current_dir(folder).output().unwrap();
    // 1 says that something waits for a person, as it does in the demo.
    let is_well = output.status.code().is_some_and(|status| status < 2);
    assert!(is_well, "{line}\n{}", String::from_utf8_lossy(&output.stderr));
}

/// The line of a request in a comment of the guide: its beginning, and its other fields.
fn request(line: &str) -> Option<(&str, &str)> {
    let comment = line.rsplit_once("# ")?.1;
    comment.split_whitespace().find_map(|word| word.split_once("-…")).map(|(id, rest)| (id, rest.trim_end_matches('…')))
}

#[test]
fn the_round_trip_with_a_maintenance_system_goes_as_it_is_shown() {
    let folder = folder();
    let folder = folder.path();
    fs::create_dir(folder.join("bin")).unwrap();
    symlink(env!("CARGO_BIN_EXE_windrow"), folder.join("bin/windrow")).unwrap();
    symlink(SAMPLES, folder.join("samples")).unwrap();
    let mut seen: BTreeSet<PathBuf> = BTreeSet::new();
    let mut shown = Vec::new();
    for line in block("work_requests.csv") {
        shell(folder, line);
        let Ok(files) = fs::read_dir(folder.join("demo/requests")) else { continue };
        let mut new: BTreeSet<PathBuf> = files.map(|entry| entry.unwrap().path()).collect();
        new.retain(|file| !seen.contains(file));
        let text: String = new.iter().map(|file| fs::read_to_string(file).unwrap()).collect();
        seen.append(&mut new);
        if let Some((id, rest)) = request(line) {
            let written = text.lines().find(|written| written.starts_with(id)).unwrap_or_default();
            assert!(written.contains(rest), "{line}\n{written:?}");
            shown.push(rest.split(',').nth(1).unwrap());
        }
    }
    assert_eq!(shown, ["OPEN", "UPDATE", "CLOSE"]);
}
