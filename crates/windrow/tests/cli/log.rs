//! The log, which tells an integrator what happened without a debugger.

use crate::{SAMPLES, folder, on};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;

#[test]
fn json_lines_have_spans_for_every_file_sheet_and_stage() {
    let folder = folder();
    let (fleet, file) = (folder.path().join("fleet"), folder.path().join("log.jsonl"));
    let arguments = ["--log", "info", "--log-format", "json", "--log-file", file.to_str().unwrap()];
    let said = on(&fleet, "run", &[&[SAMPLES][..], &arguments].concat());
    assert_eq!(said.status, Some(1), "{}", said.err);
    let (mut names, mut files, mut sheets) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    for line in fs::read_to_string(&file).unwrap().lines() {
        let event: Value = serde_json::from_str(line).unwrap_or_else(|error| panic!("{error}: {line}"));
        assert!(event["timestamp"].is_string() && event["level"].is_string(), "{line}");
        let of_us = event["target"].as_str().unwrap().starts_with("windrow");
        assert!(of_us || event["level"] != "INFO", "a level alone is about this program: {line}");
        let spans = event["spans"].as_array().into_iter().flatten().chain(event.get("span"));
        for span in spans {
            names.insert(span["name"].as_str().unwrap().to_owned());
            files.extend(span["file"].as_str().map(str::to_owned));
            sheets.extend(span["sheet"].as_str().map(str::to_owned));
        }
    }
    for stage in ["looking", "understanding", "read", "sheet", "normalizing", "committing", "analyzing", "reporting"] {
        assert!(names.contains(stage), "{stage} among {names:?}");
    }
    assert!(files.contains("lindquay/ledger_1979-1988.xlsx") && files.len() > 20, "{files:?}");
    assert!(!sheets.is_empty(), "sheets are named");
}

#[test]
fn what_is_refused_is_logged_with_its_name_for_who_asks() {
    let folder = folder();
    let said = on(&folder.path().join("fleet"), "import", &[&format!("{SAMPLES}/unclaimed"), "--log", "info"]);
    let refused = said.err.lines().find(|line| line.contains("refused") && line.contains("protected.xlsx"));
    assert!(refused.is_some_and(|line| line.contains("password")), "{}", said.err);
}

#[test]
fn a_filter_that_is_none_is_told() {
    let folder = folder();
    let said = on(&folder.path().join("fleet"), "import", &[SAMPLES, "--log", "a=b=c"]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("a=b=c") && said.err.contains("info"), "{}", said.err);
}
